"""What a register knows of issued books, in a form that goes to the processes of a batch."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sheetgen.xlsx.model import Book


@dataclass(frozen=True, slots=True)
class IssuedAs:
    """Gives a book of an identity as it was issued; for ``partial(recheck_book, issued_as=IssuedAs(place))``.

    An open register cannot go to another process. This opens it when it is asked, which is for books of other
    templates alone.

    Attributes:
        place: the register's file or database address
    """

    place: str

    def __call__(self, identity: str) -> Book | None:
        """The book, None where the register does not know it."""
        from sheetgen.register.register import open_register

        with open_register(self.place) as register:
            return register.layout(identity)
