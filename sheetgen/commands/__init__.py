"""The commands of the terminal that are more than a few lines."""
