"""Deliveries: files that were handed in together, and what became of them. Each has a folder of its own.

<folder>/2026-05-04-081500-3fa9c1/delivery.json   what is said of it, written whole with each change of state
                                  received/       the files, never changed
                                  orders/<n>/     marked copy, plan, pictures and books of the order n
                                  reports/        of the returned books
"""

from __future__ import annotations

import secrets
import shutil
import threading
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ValidationError

from sheetgen.audit.model import Decision
from sheetgen.errors import Mistake, SheetgenError
from sheetgen.file_names import received_name
from sheetgen.templates import spoken
from sheetgen.whole_file import write_whole

State = Literal["receiving", "waiting", "working", "done"]
MOST_FILES = 1000
MOST_BYTES = 64 * 2**20  # of a file; a book of 500 shots has half a million
MOST_IN_ALL = 1024 * 2**20  # of a delivery
_RECORD = "delivery.json"
_SHOWN = 200  # signs of a name as it came


class PictureFacts(BaseModel):
    """A picture in the delivery's folder, and what it shows in words."""

    file: str
    words: str


class OrderFacts(BaseModel):
    """What became of an order, or of a yard; files are named from the delivery's folder."""

    file: str
    language: str = "en"
    job: str = ""
    job_name: str = ""
    mistakes: list[Mistake] = []
    marked: str = ""
    answer: list[list[str]] = []
    warnings: list[str] = []
    plan: str = ""
    page: str = ""
    pictures: list[PictureFacts] = []
    books: list[str] = []
    yard: bool = False
    error: str = ""

    @property
    def planned(self) -> bool:
        """Whether it is an order without a mistake."""
        return bool(self.answer)

    @property
    def sound_yard(self) -> bool:
        """Whether it is a yard without a mistake."""
        return self.yard and not self.mistakes and not self.error


class BookFacts(BaseModel):
    """What became of a returned book; volumes in ``unit``, with ``decimals`` as the order rounds what is paid."""

    file: str
    error: str = ""
    severity: str = ""
    headline: str = ""
    language: str = "en"
    job: str = ""
    distributor: str = ""
    identity: str = ""
    payable: float | None = None
    in_question: float | None = None
    unit: str = ""
    decimals: int = 0
    errors: int = 0
    queries: int = 0
    notes: int = 0
    report: str = ""
    document: str = ""
    copy_with_notes: str = ""


class ReportFacts(BaseModel):
    """An earlier report whose decisions were taken over: the identity of its book, how many of them were new."""

    file: str
    book: str
    new: int
    decisions: list[Decision]


class ClaimFacts(BaseModel):
    """A claim sheet: the files that it was compared with, and what it names of which no returned book is here."""

    file: str
    compared: list[str] = []
    absent: list[str] = []


class AcrossFacts(BaseModel):
    """What two books say against each other."""

    severity: str
    name: str
    books: str
    cell: str
    found: str


class Delivery(BaseModel):
    """Files handed in together.

    Attributes:
        id: name of its folder
        made: local time, ISO 8601
        state: what it waits for
        received: names of the files, as they are kept
        came_as: the names they came with, in the same order
        language: of the person who handed them in
        other: files for which there was nothing to do, with the reason
        summary: the workbook on all returned books, where there are several
        trouble: why it could not be finished
        watched: the watched folder that they came from; empty where they were handed in on the page
        sha256: of each file that came from there
        results: by file, the folder's name among the results there
        put_out: whether all results are there
    """

    id: str
    made: str
    state: State = "receiving"
    received: list[str] = []
    came_as: list[str] = []
    language: str = ""
    orders: list[OrderFacts] = []
    books: list[BookFacts] = []
    reports: list[ReportFacts] = []
    claims: list[ClaimFacts] = []
    across: list[AcrossFacts] = []
    other: list[tuple[str, str]] = []
    summary: str = ""
    trouble: str = ""
    watched: str = ""
    sha256: list[str] = []
    results: dict[str, str] = {}
    put_out: bool = False


class Refused(SheetgenError):
    """A file or delivery that is not taken.

    Attributes:
        why: key of the text that says why
    """

    def __init__(self, why: str) -> None:
        self.why = why
        super().__init__(why)


class Deliveries:
    """All deliveries in a folder. Threads may use it at once."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._lock = threading.Lock()
        self._held: dict[str, Delivery] = {}
        self._bytes: dict[str, int] = {}

    def new(self, watched: str = "") -> Delivery:
        """An empty delivery, for files to be received in: those of a watched folder, where one is named."""
        now = datetime.now().astimezone()
        made = now.isoformat(timespec="seconds")
        delivery = Delivery(
            id=f"{now:%Y-%m-%d-%H%M%S}-{secrets.token_hex(3)}", made=made, language=spoken(), watched=watched
        )
        (self.folder / delivery.id / "received").mkdir(parents=True)
        self.keep(delivery)
        return delivery

    def get(self, id: str) -> Delivery | None:
        """The delivery of that name; None where there is none."""
        with self._lock:
            if id in self._held:
                return self._held[id]
        return next((each for each in self.all() if each.id == id), None)

    def all(self) -> Iterator[Delivery]:
        """Every delivery, the latest first; folders that hold none are passed over."""
        if not self.folder.is_dir():
            return
        for folder in sorted(self.folder.iterdir(), reverse=True):
            with self._lock:
                held = self._held.get(folder.name)
            if held is not None:
                yield held
                continue
            try:
                delivery = Delivery.model_validate_json((folder / _RECORD).read_bytes())
            except (OSError, ValidationError):
                continue
            if delivery.id == folder.name:
                yield delivery

    def keep(self, delivery: Delivery) -> None:
        """Write what is said of a delivery; those that are not done are held in memory too."""
        with self._lock:
            self._held[delivery.id] = delivery
            write_whole(self.folder / delivery.id / _RECORD, delivery.model_dump_json(indent=1).encode())
            if delivery.state == "done":
                del self._held[delivery.id]
                self._bytes.pop(delivery.id, None)

    def place_for(self, delivery: Delivery, given: str) -> Path:
        """Where a file that comes under a name is to be written; the name is taken from then on.

        Raises:
            Refused: the delivery takes no more files.
        """
        with self._lock:
            if delivery.state != "receiving":
                raise Refused("closed")
            if len(delivery.received) >= MOST_FILES:
                raise Refused("many_files")
            name = received_name(given, delivery.received)
            delivery.received.append(name)
            delivery.came_as.append(given[-_SHOWN:])
            return self.path(delivery, "received", name)

    def take_along(self, delivery: Delivery, source: Path, came_as: str, digest: str) -> Path:
        """Put a file of an earlier delivery of a watched folder into a later one, and give its place there."""
        with self._lock:
            name = received_name(came_as, delivery.received)
            place = self.path(delivery, "received", name)
            shutil.copyfile(source, place)
            delivery.received.append(name)
            delivery.came_as.append(came_as)
            delivery.sha256.append(digest)
        self.keep(delivery)
        return place

    def count(self, delivery: Delivery, size: int) -> None:
        """Count bytes that came.

        Raises:
            Refused: there are too many.
        """
        with self._lock:
            self._bytes[delivery.id] = self._bytes.get(delivery.id, 0) + size
            if self._bytes[delivery.id] > MOST_IN_ALL:
                raise Refused("large_delivery")

    def forget(self, delivery: Delivery, path: Path) -> None:
        """Take a file away that did not come whole."""
        with self._lock:
            at = delivery.received.index(path.name)
            del delivery.received[at], delivery.came_as[at]
        path.unlink(missing_ok=True)

    def remove(self, delivery: Delivery) -> None:
        """Take away a delivery of which nothing was received whole."""
        with self._lock:
            self._held.pop(delivery.id, None)
            self._bytes.pop(delivery.id, None)
        shutil.rmtree(self.folder / delivery.id, ignore_errors=True)

    def path(self, delivery: Delivery, *parts: str) -> Path:
        """A path in the folder of a delivery."""
        return self.folder.joinpath(delivery.id, *parts)
