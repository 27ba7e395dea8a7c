"""The errors that a person can cause.

    SheetgenError
    ├── QuantityError      a number handed to the arithmetic has the wrong dimension, sign or is not finite
    ├── OrderError         an order workbook cannot be used; carries every mistake found in it
    ├── UnusableBook       a returned file cannot be read as a field book
    │   └── ClaimError     a claim sheet cannot be used; carries every mistake found in it
    ├── EntriesError       a table of entries cannot be typed into a book; carries every mistake found in it
    ├── RevisionError      a changed order whose job and distributor have a book that it does not replace
    ├── BookInTheWay       another file lies where a field book would be written
    ├── ReportInTheWay     another file lies where a report would be written
    ├── KeyFileError       a signing key cannot be used
    ├── SettingsError      the settings of the office cannot be used
    ├── RegisterError      the register of books cannot be used
    ├── UnknownFindingError  there is no finding of that name
    └── TemplateError      what a template declares does not fit

Each says what was found, where, what was expected and what to do. A traceback on bad input is a defect.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sheetgen.output import in_full


class SheetgenError(Exception):
    """Anything wrong with what a person gave; ``str()`` of it is fit to show to that person."""

    _given: tuple[str, ...] = ()  # the attributes that it is made of, where these are not just its message

    def __reduce__(self) -> Any:
        """As it goes from process to process."""
        given = tuple(getattr(self, name) for name in self._given)
        return (type(self), given) if given else super().__reduce__()


class QuantityError(SheetgenError, ValueError):
    """A quantity of the wrong dimension, a negative one, or one that is not finite."""


@dataclass(frozen=True, slots=True)
class Mistake:
    """One mistake in an input file.

    Attributes:
        sheet: name of the sheet, empty where the mistake is in the file as a whole
        cell: A1 address, empty where there is none
        found: what stands there, as text
        expected: what was expected
        remedy: what to do about it
    """

    sheet: str
    cell: str
    found: str
    expected: str
    remedy: str

    def told(self, language: str = "") -> str:
        """The mistake in one line, in the language of its own texts; the reader's where none is given."""
        from sheetgen.templates import spoken, texts

        where = f"{self.sheet}!{self.cell}" if self.cell else self.sheet
        facts = {"found": self.found, "expected": self.expected, "remedy": self.remedy}
        return texts(language or spoken()).say(
            f"order.told.{'at' if where else 'whole'}", where=where, **facts
        )

    def __str__(self) -> str:
        return self.told()


class _Mistaken(SheetgenError):
    """A file with mistakes in it, all of them at once.

    Attributes:
        path: the file, as the person named it
        mistakes: every mistake found, in the order of the sheets and cells, or of the lines
        language: of the file, where it can be known, else the reader's; what is said around the mistakes is in it
    """

    _told = ""  # beginning of the keys of what is said before the mistakes
    _given = ("path", "mistakes", "language")

    def __init__(self, path: str, mistakes: Sequence[Mistake], language: str = "") -> None:
        from sheetgen.templates import spoken, texts

        self.path, self.mistakes = path, tuple(mistakes)
        self.language = language = language or spoken()
        count, first = len(self.mistakes), self.mistakes[0]
        if not first.sheet:  # of the file as a whole
            super().__init__(f"{in_full(path)}: {in_full(first.told(language))}")
            return
        head = f"{self._told}{'one' if count == 1 else 'several'}"
        lines = [f"  {in_full(mistake.told(language))}" for mistake in self.mistakes]
        said = texts(language).say(head, path=in_full(path), count=count)
        super().__init__("\n".join([said, *lines]))


class OrderError(_Mistaken):
    """An order that cannot be used, with all of its mistakes at once."""

    _told = "order.told."


class UnusableBook(SheetgenError):
    """A file that cannot be read as a returned field book.

    Attributes:
        path: the file, as the person named it
        found: what it is or what is wrong with it
        expected: what was expected
        remedy: what to do
    """

    _given: tuple[str, ...] = ("path", "found", "expected", "remedy")

    def __init__(self, path: str, found: str, expected: str, remedy: str) -> None:
        self.path, self.found, self.expected, self.remedy = path, found, expected, remedy
        from sheetgen.templates import spoken_texts

        facts = {"path": in_full(path), "found": found, "expected": expected, "remedy": remedy}
        super().__init__(spoken_texts().say("unusable.told", **facts))


class ClaimError(UnusableBook):
    """A claim sheet that cannot be used, with all of its mistakes at once, in the order of its lines."""

    _given = ("path", "mistakes")

    def __init__(self, path: str, mistakes: Sequence[Mistake]) -> None:
        self.mistakes = tuple(mistakes)
        first = self.mistakes[0]
        super().__init__(path, first.found, first.expected, first.remedy)
        lines = [in_full(mistake) for mistake in self.mistakes]
        self.args = ("\n".join(f"{in_full(path)}: {line}" for line in lines),)


class EntriesError(_Mistaken):
    """Tables of entries that cannot be typed into a book, with all of their mistakes at once; nothing is written."""

    _told = "fill.told."


class RevisionError(SheetgenError):
    """A changed order for a job and distributor that have a book which it does not replace; nothing is issued."""


class BookInTheWay(SheetgenError):
    """Another file lies where a field book would be written; it is left alone, and nothing is written."""


class ReportInTheWay(SheetgenError):
    """Another file lies where a report would be written; it is left alone.

    Attributes:
        files: those in the way
        message: what is said of them
    """

    _given = ("files", "message")

    def __init__(self, files: str, message: str) -> None:
        self.files, self.message = files, message
        super().__init__(message)


class KeyFileError(SheetgenError):
    """A signing key file that is missing, unreadable or of the wrong kind."""


class SettingsError(SheetgenError):
    """Settings of the office that cannot be read, or hold what is no setting."""


class RegisterError(SheetgenError):
    """A register of books that cannot be opened or written."""


class UnknownFindingError(SheetgenError):
    """There is no finding of the name that was asked for; the message lists those near it."""


class TemplateError(SheetgenError):
    """A declaration in ``templates_src`` that cannot be used.

    Attributes:
        file: below ``templates_src``
        line: from 1; 0 where it is not known
    """

    _given = ("file", "line", "found", "remedy")

    def __init__(self, file: str, line: int, found: str, remedy: str) -> None:
        self.file, self.line, self.found, self.remedy = file, line, found, remedy
        where = f"templates_src/{file}, line {line}" if line else f"templates_src/{file}"
        super().__init__(f"{where}: {found}. {remedy}")
