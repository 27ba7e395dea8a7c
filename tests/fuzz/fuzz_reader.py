"""Spoils returned books in many ways and reads and compares each: no crash, no hang, no memory, no file written.

    python -m tests.fuzz.fuzz_reader [CASES] [FIRST]

reads CASES (20,000) books from number FIRST (0) on, and says of each kind of answer how often it came. A case that
fails is printed with its number, and comes again with that number. Where the reader accepts a book, its two ways of
reading rows must have given the same.
"""

from __future__ import annotations

import resource
import socket
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from unittest import mock

from sheetgen.audit.proof.compare import compare
from sheetgen.errors import UnusableBook
from sheetgen.xlsx import worksheet
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.returned import ReturnedBook
from tests.audit.small_book import small_book, with_entries, write
from tests.fuzz.mutations import spoiled, unpacked

SECONDS = 5.0
MEGABYTES = 500


class Fuzz:
    """One sound book, and what its spoiled copies led to."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._issued = small_book()
        self._sound = write(with_entries(small_book()), folder / "sound.xlsx").read_bytes()
        self._parts = unpacked(self._sound)
        self._path = folder / "spoiled.xlsx"
        self.answers: Counter[str] = Counter()
        self.slowest = (0.0, -1)

    def case(self, number: int) -> None:
        """Reads the spoiled book of that number; ``AssertionError`` or the reader's own crash where it fails."""
        data = spoiled(self._sound, self._parts, number)
        self._path.write_bytes(data)
        start = time.process_time()
        answer = self._answer()
        seconds = time.process_time() - start
        self.slowest = max(self.slowest, (seconds, number))
        assert seconds < SECONDS, f"took {seconds:.1f} s"
        assert self._path.read_bytes() == data, "the input was changed"
        names = sorted(path.name for path in self._folder.iterdir())
        assert names == ["sound.xlsx", "spoiled.xlsx"], f"files were written: {names}"
        self.answers[answer] += 1

    def _answer(self) -> str:
        try:
            book = read_book(self._path)
        except UnusableBook as error:
            message = error.found
        else:
            return self._compared(book)
        assert message.isprintable(), "control characters in a message"
        assert self._parsed() is None, "the plain way refuses what the parser reads"
        return "refused"

    def _compared(self, book: ReturnedBook) -> str:
        parsed = self._parsed()
        assert parsed is not None, "the parser refuses what the plain way reads"
        assert book == parsed, "the two ways of reading rows differ"
        findings = compare(book, self._issued)
        for finding in findings:
            (finding.found + finding.expected).encode()
        return "read, with findings" if findings else "read, without findings"

    def _parsed(self) -> ReturnedBook | None:
        """The book with every row read by the parser."""
        with mock.patch.object(worksheet, "cut_rows", return_value=None):
            try:
                return read_book(self._path)
            except UnusableBook:
                return None


@contextmanager
def no_network() -> Iterator[None]:
    """Every attempt to look up a name, to connect, to send or to listen fails the case."""

    def refuse(*_args: object, **_options: object) -> None:
        raise AssertionError("a socket was used")

    with ExitStack() as stack:
        for name in ("connect", "connect_ex", "sendto", "bind"):
            stack.enter_context(mock.patch.object(socket.socket, name, refuse))
        stack.enter_context(mock.patch.object(socket, "getaddrinfo", refuse))
        yield


def main(cases: int = 20_000, first: int = 0) -> int:
    """Runs the cases; 1 where one failed."""
    failed = 0
    with tempfile.TemporaryDirectory() as folder, no_network():
        fuzz = Fuzz(Path(folder))
        for number in range(first, first + cases):
            try:
                fuzz.case(number)
            except BaseException as error:  # a panic of an extension module is no Exception
                if isinstance(error, KeyboardInterrupt):
                    raise
                failed += 1
                print(f"case {number}: {type(error).__name__}: {error}", flush=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(
        dict(fuzz.answers),
        f"failed {failed}, slowest {fuzz.slowest[0]:.2f} s (case {fuzz.slowest[1]}), {peak} MB",
    )
    return 1 if failed or peak > MEGABYTES else 0


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
