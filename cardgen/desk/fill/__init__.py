"""Filling in a specification at the desk: group by group, what is not saved yet, the sheet beside it."""
