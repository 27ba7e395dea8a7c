"""Fixed numbers of a unit system, from the published table that the book shows too."""

from sheetgen.units import constants

__all__ = ["constants"]
