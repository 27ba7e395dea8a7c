"""Claim sheets of a delivery, and of the watched folder that it came from.

In a watched folder a claim sheet counts for the books that it names, whether they came before it, with it or later. Of
several sheets on one book the last one counts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from sheetgen.audit.claim_sheet import keys_of, read_claim_sheet
from sheetgen.batch.workers import Apart
from sheetgen.desk.deliveries import MOST_FILES, BookFacts, Deliveries, Delivery
from sheetgen.errors import SheetgenError
from sheetgen.office.kinds import Kind, kind_of
from sheetgen.templates import spoken_texts

Claimed = dict[str, float]


def merged(sheets: Mapping[str, Claimed]) -> Claimed:
    """Give what the claim sheets of a delivery claim together.

    Args:
        sheets: what each claims by book, by the sheet's name

    Raises:
        SheetgenError: two of them claim different quantities for one book.
    """
    claimed: Claimed = {}
    of: dict[str, str] = {}
    for name, sheet in sheets.items():
        for book, quantity in sheet.items():
            if claimed.setdefault(book, quantity) != quantity:
                facts = {"book": book, "one": of[book], "other": name}
                raise SheetgenError(spoken_texts().say("desk.watch.claimed_twice", **facts))
            of.setdefault(book, name)
    return claimed


class Claims:
    """Reads claim sheets, in the process of strangers' files."""

    def __init__(self, deliveries: Deliveries, apart: Apart) -> None:
        self._deliveries, self._apart = deliveries, apart

    def read(self, paths: list[Path]) -> dict[str, Claimed]:
        """Read claim sheets, by their names.

        Raises:
            SheetgenError: lines of one cannot be read.
        """
        return {path.name: self._apart.run(read_claim_sheet, path) for path in paths}

    def before(self, delivery: Delivery) -> Claimed:
        """Give what earlier claim sheets of the delivery's watched folder claim, where they could be read."""
        claimed: Claimed = {}
        for earlier in reversed([*self._earlier(delivery)]):
            paths = [self._deliveries.path(earlier, "received", each.file) for each in earlier.claims]
            claimed |= merged(self.read(paths))
        return claimed

    def named(self, delivery: Delivery, claimed: Claimed) -> Iterator[tuple[Path, str, str]]:
        """Find the books of earlier deliveries of the folder that are named in claim sheets, as many as can be taken.

        Yields:
            the file, the name that it came with and the digest of its content
        """
        for earlier in self._earlier(delivery) if claimed else ():
            facts = {each.file: each for each in earlier.books}
            for name, came_as, digest in zip(earlier.received, earlier.came_as, earlier.sha256, strict=True):
                path, book = self._deliveries.path(earlier, "received", name), facts.get(name)
                if len(delivery.received) >= MOST_FILES or digest in delivery.sha256:
                    continue
                if claimed.keys() & _keys(came_as, book) and (book or self._may_be_a_book(earlier, path)):
                    yield path, came_as, digest

    def _earlier(self, delivery: Delivery) -> Iterator[Delivery]:
        """Other deliveries of the watched folder that are done, the latest first; none where nothing is watched."""
        for each in self._deliveries.all() if delivery.watched else ():
            if each.id != delivery.id and each.watched == delivery.watched and each.state == "done":
                yield each

    def _may_be_a_book(self, earlier: Delivery, path: Path) -> bool:
        """Whether a file was left aside with its delivery, such as for a claim sheet that could not be read."""
        return bool(earlier.trouble) and self._apart.run(kind_of, path) is Kind.BOOK


def _keys(came_as: str, book: BookFacts | None) -> set[str]:
    more = (book.identity, book.job, book.distributor) if book else ("", "", "")
    return set(keys_of(came_as, *more))
