"""A day of work typed in a spreadsheet program's own window, by keys alone: how many, and what the recheck says."""
