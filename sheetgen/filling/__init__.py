"""Typing entries of other programs into a field book: tables are read, each value is checked as its sheet does it."""
