"""What a batch came to: a line a book, what could not be used, and what the books say against each other."""

from __future__ import annotations

import tempfile
import zlib
from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.batch import places
from sheetgen.batch.one_file import delivered
from sheetgen.batch.task import Result
from sheetgen.errors import UnusableBook

if TYPE_CHECKING:
    from sheetgen.batch.book_line import BookLine
    from sheetgen.batch.places import Place
    from sheetgen.batch.sample_plan import SampleTerms
    from sheetgen.register.register import Register
    from sheetgen.register.wording import AcrossFinding


class Tally:
    """Collects results as they come, and writes the summary of those that came: after a stop, of a part.

    Attributes:
        unusable: why the other files could not be used
    """

    def __init__(self) -> None:
        self._lines: list[bytes] = []  # as JSON, packed: a fiftieth of what they are as objects
        self.unusable: list[UnusableBook] = []
        self._returns: dict[int, str] = {}  # with the time at which each file was saved
        self._across: tuple[int, list[AcrossFinding]] | None = None

    @property
    def lines(self) -> list[BookLine]:
        """One for each book, in the order they came in."""
        from sheetgen.batch.book_line import BookLine

        return [BookLine.model_validate_json(zlib.decompress(line)) for line in self._lines]

    def add(self, result: Result) -> None:
        """Count a result."""
        if result.line is not None:
            self._lines.append(zlib.compress(result.line.model_dump_json().encode(), 1))
        if result.error is not None:
            self.unusable.append(result.error)
        if result.outcome is not None:
            saved = result.summary.saved if result.summary is not None else ""
            self._returns[result.outcome.return_id] = saved

    def across(self, register: Register) -> list[AcrossFinding]:
        """What the books so far say against each other and against the register that they were recorded in."""
        if self._across is None or self._across[0] != len(self._returns):
            found = register.across(self._returns)
            if any(one.finding.name == "return-changes-earlier" for one in found):
                from sheetgen.batch.book_line import told_as_days

                found = told_as_days(found, self.lines)
            self._across = len(self._returns), found
        return self._across[1]

    def write(
        self,
        out_dir: str | Place,
        language: str = "en",
        paper: str = "letter",
        register: Register | None = None,
        unsupported: Mapping[str, float] | None = None,
        sample: SampleTerms | None = None,
    ) -> list[Place]:
        """Write the summary of the results so far into a folder, and say where it is.

        ``unsupported`` are claimed quantities that no returned book stands behind, by what the claim calls the book.
        ``sample`` asks for a sample by value of the shots that are paid.
        """
        from sheetgen.batch.summary import write_summary

        across = [] if register is None else self.across(register)
        write = partial(
            write_summary, self.lines, self.unusable, language=language, paper=paper, across=across,
            unsupported=unsupported or {}, sample=sample,
        )  # fmt: skip
        folder = places.place(out_dir)
        if isinstance(folder, Path):
            return [*write(out_dir=folder)]
        with tempfile.TemporaryDirectory() as made:
            written = write(out_dir=made)
            return [*delivered([(folder / file.name, file.read_bytes()) for file in written])]
