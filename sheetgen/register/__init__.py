"""What the office issued and what came back: recorded in a database, compared across books.

``open_register`` opens or makes a register, ``summarize`` makes of a recheck what is kept of it, and ``across`` finds
what several books say against each other.
"""

from sheetgen.register.across import across
from sheetgen.register.clashes import Clash, Placed, Source
from sheetgen.register.entries_kept import Change
from sheetgen.register.register import (
    Figure,
    History,
    IssuedBook,
    Outcome,
    RecheckMade,
    Register,
    ReturnedBook,
    open_register,
)
from sheetgen.register.summary import Spell, Stretch, Summary, Ticket, summarize
from sheetgen.register.wording import AcrossFinding

__all__ = [
    "AcrossFinding",
    "Change",
    "Clash",
    "Figure",
    "History",
    "IssuedBook",
    "Outcome",
    "Placed",
    "RecheckMade",
    "Register",
    "ReturnedBook",
    "Source",
    "Spell",
    "Stretch",
    "Summary",
    "Ticket",
    "across",
    "open_register",
    "summarize",
]
