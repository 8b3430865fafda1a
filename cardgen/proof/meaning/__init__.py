"""Reads the finished files as a person does, and compares what they mean with the specification.

Nothing here comes from the deck, the press or the templates: numbers are those of the second calculation,
words those of `layouts/words`, and what must stand is kept in `must.toml`.
"""
