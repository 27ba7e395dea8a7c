"""Locked, formula-driven field books for sprayed asphalt, and an independent recheck of the books that come back.

``read_order`` reads what the office asks for, ``build`` writes the field books, ``fill`` types
entries of other programs into one, ``recheck`` reads a returned book,
proves whether it was altered, validates its entries and recomputes its totals; ``write_report`` writes that down.
"""

from sheetgen.api import build, fill, read_order, recheck, write_report
from sheetgen.errors import (
    BookInTheWay,
    EntriesError,
    KeyFileError,
    OrderError,
    QuantityError,
    RegisterError,
    SheetgenError,
    UnusableBook,
)
from sheetgen.version import VERSION

__version__ = VERSION

__all__ = [
    "BookInTheWay",
    "EntriesError",
    "KeyFileError",
    "OrderError",
    "QuantityError",
    "RegisterError",
    "SheetgenError",
    "UnusableBook",
    "__version__",
    "build",
    "fill",
    "read_order",
    "recheck",
    "write_report",
]
