"""What the office issued and what came back: recorded in a database, compared across books.

``open_register`` opens or makes a register, ``summarize`` makes of a recheck what is kept of it, and ``across`` finds
what several books say against each other.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sheetgen.register.clashes import Clash, Placed, Source
    from sheetgen.register.kept_returns import KeptReturn
    from sheetgen.register.outcome import Figure, Outcome
    from sheetgen.register.packed_entries import Change
    from sheetgen.register.register import Register, across, open_register
    from sheetgen.register.summary import Spell, Stretch, Summary, Ticket, summarize
    from sheetgen.register.trail import History, IssuedBook, RecheckMade, ReturnedBook
    from sheetgen.register.wording import AcrossFinding

# Imported when first asked for: the summary of one book alone needs no database.
_HOMES = {
    "clashes": ("Clash", "Placed", "Source"),
    "kept_returns": ("KeptReturn",),
    "outcome": ("Figure", "Outcome"),
    "packed_entries": ("Change",),
    "register": ("Register", "across", "open_register"),
    "summary": ("Spell", "Stretch", "Summary", "Ticket", "summarize"),
    "trail": ("History", "IssuedBook", "RecheckMade", "ReturnedBook"),
    "wording": ("AcrossFinding",),
}

__all__ = [
    "AcrossFinding",
    "Change",
    "Clash",
    "Figure",
    "History",
    "IssuedBook",
    "KeptReturn",
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


def __getattr__(name: str) -> Any:
    for home, names in _HOMES.items():
        if name in names:
            return getattr(import_module(f"{__name__}.{home}"), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
