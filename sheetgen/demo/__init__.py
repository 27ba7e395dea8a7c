"""The demonstration: an honest day of spraying, invented, and errors to plant in it."""
