"""From the cells of a returned book to entries: every input cell read as a person meant it, or questioned."""
