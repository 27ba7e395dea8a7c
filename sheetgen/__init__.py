"""Locked, formula-driven field books for sprayed asphalt, and an independent recheck of the books that come back.

``read_order`` reads what the office asks for, ``build`` writes the field books, ``recheck`` reads a returned book,
proves whether it was altered, validates its entries and recomputes its totals; ``write_report`` writes that down.
"""

from sheetgen.api import build, read_order, recheck, write_report
from sheetgen.errors import (
    BookInTheWay,
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
    "KeyFileError",
    "OrderError",
    "QuantityError",
    "RegisterError",
    "SheetgenError",
    "UnusableBook",
    "__version__",
    "build",
    "read_order",
    "recheck",
    "write_report",
]
