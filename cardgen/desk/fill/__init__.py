"""Filling in a specification at the desk: its groups one at a time, what is not saved yet, the sheet beside it."""
