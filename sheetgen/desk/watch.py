"""A watched folder: what people put there is handed in, and what becomes of it is put into a folder inside it.

The folder is looked through every few seconds, since no system tells what another computer wrote on a shared drive. A
file is taken when two looks found it unchanged and it opens whole. It is only read. What was taken is remembered by
its content, in the record of its delivery: under another name or after a restart it is not taken again.
"""

from __future__ import annotations

import hashlib
import logging
import os
import stat
import threading
from collections.abc import Callable, Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from sheetgen.audit.claim_sheet import is_claim_text
from sheetgen.desk.deliveries import MOST_BYTES, MOST_FILES, Deliveries, Delivery, Refused
from sheetgen.desk.results import put_results
from sheetgen.desk.work import Work
from sheetgen.errors import UnusableBook
from sheetgen.office.kinds import TEXTS
from sheetgen.output import printable
from sheetgen.templates import LANGUAGES, texts
from sheetgen.xlsx.package import file_bytes, open_package

EVERY = 4.0  # seconds between two looks
_UNCHANGED = 2  # looks at which a file is the same before it is taken
_PATIENT = 75  # looks after which a file that does not open is taken as it is: the recheck says what is wrong with it
_SILENT = timedelta(minutes=1)  # for which a look may last before the drive passes for away
_TAKEN = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm", ".xls", ".xlsb", ".ods", ".fods", ".ots"})
_LONGEST_TEXT = 8 * 2**20  # bytes; a claim sheet of as many lines as it may have is a quarter of that
_OUT_OF_SIGHT = 0x2 | 0x100  # Windows: hidden, temporary
_log = logging.getLogger("sheetgen.desk")


class Facts(NamedTuple):
    """What a look finds of a file: it is the same as long as these are."""

    size: int
    changed: int


class Watching(NamedTuple):
    """How it is with the folder.

    Attributes:
        away: why it cannot be used, in the system's words; empty where it can
        since: when that began
        waiting: files that are not taken yet, each with the key of the reason
    """

    folder: Path
    results: Path
    away: str
    since: datetime | None
    waiting: dict[str, str]


class Watch:
    """Looks through one folder."""

    def __init__(
        self, folder: Path, deliveries: Deliveries, work: Work, language: str,
        now: Callable[[], datetime] = datetime.now,
    ) -> None:  # fmt: skip
        self.folder, self.results = folder, folder / texts(language)["desk.watch.results"]
        self._deliveries, self._work, self._language, self._now = deliveries, work, language, now
        self._seen: dict[Path, tuple[Facts, int]] = {}
        self._done: dict[Path, Facts] = {}
        self._known: set[str] = set()
        self._under_way: list[str] = []
        self._waiting: dict[str, str] = {}
        self._away, self._since, self._looking = "", now(), now()
        self._has_results = False
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._run, name="watch", daemon=True)

    def recall(self) -> None:
        """Go on where the last desk was: what it took is known, what it had not put out will be."""
        for delivery in [*self._deliveries.all()]:
            if delivery.watched != str(self.folder):
                continue
            if delivery.state == "receiving":  # cut off; the files are still in the folder
                self._deliveries.remove(delivery)
                continue
            self._known |= set(delivery.sha256)
            if delivery.put_out:
                self._has_results = True
            else:
                self._under_way.append(delivery.id)

    def begin(self) -> None:
        """Begin to look."""
        self.recall()
        self._thread.start()

    def end(self, seconds: float = 5.0) -> None:
        """End after the look that is under way, unless the drive keeps it waiting."""
        self._ended.set()
        self._thread.join(seconds)

    def expect(self, delivery: Delivery) -> None:
        """Put the results of a delivery out once more when they are made."""
        delivery.results, delivery.put_out = {}, False
        self._under_way.append(delivery.id)

    def state(self) -> Watching:
        """How it is with the folder now."""
        away, since = self._away, self._since
        if not away and self._now() - self._looking > _SILENT:
            away, since = texts(self._language)["desk.watch.silent"], self._looking
        return Watching(self.folder, self.results, away, since if away else None, dict(self._waiting))

    def look(self) -> None:
        """Look through the folder once: take what is ready, and put out what is done."""
        self._looking = self._now()
        try:
            self._look()
        except OSError as error:
            self._seen, self._waiting = {}, {}
            if not self._away:
                self._since = self._now()
                _log.warning("watched folder %s away: %s", self.folder, error)
            self._away = error.strerror or str(error)
            return
        if self._away:
            _log.warning("watched folder %s back", self.folder)
        self._away = ""

    def _run(self) -> None:
        while not self._ended.is_set():
            try:
                self.look()
            except Exception:  # a fault of this program must not stop the looks
                _log.exception("fault in a look through %s", self.folder)
            self._ended.wait(EVERY)
            self._looking = self._now()

    def _look(self) -> None:
        waiting: dict[str, str] = {}
        seen: dict[Path, tuple[Facts, int]] = {}
        ready: list[Path] = []
        for path, facts, is_open in self._found(waiting):
            before, looks = self._seen.get(path, (None, 0))
            seen[path] = facts, looks + 1 if before == facts else 1
            if self._done.get(path) == facts:
                continue
            reasons = {"open": is_open, "large": facts.size > MOST_BYTES, "new": seen[path][1] < _UNCHANGED}
            if any(reasons.values()):
                waiting[self._shown(path)] = next(why for why, holds in reasons.items() if holds)
            else:
                ready.append(path)
        if self._has_results and not self.results.is_dir():  # an empty folder stays where a drive was
            raise FileNotFoundError(
                0, texts(self._language).say("desk.watch.no_results", name=self.results.name)
            )
        self.results.mkdir(exist_ok=True)
        self._has_results, self._seen = True, seen
        self._take(ready[:MOST_FILES], waiting)
        self._waiting = waiting
        self._put_out()

    def _found(self, waiting: dict[str, str]) -> Iterator[tuple[Path, Facts, bool]]:
        """The files that somebody may have handed in, and whether a program has each open."""

        def closed(error: OSError) -> None:
            if error.filename is None or Path(error.filename) == self.folder:
                raise error
            waiting[self._shown(Path(error.filename))] = "closed"

        own = {texts(language)["desk.watch.results"] for language in LANGUAGES}
        for top, folders, names in os.walk(self.folder, onerror=closed):
            folders[:] = sorted(each for each in folders if not each.startswith((".", "~")))
            if Path(top) == self.folder:
                folders[:] = [each for each in folders if each not in own]
            for name in sorted(names):
                path = Path(top, name)
                facts = _facts(path) if _may_be_taken(path) else None
                if facts is not None:
                    yield path, facts, bool({f"~${name}", f".~lock.{name}#"} & set(names))

    def _take(self, ready: list[Path], waiting: dict[str, str]) -> None:
        """Hand in the files that are whole and new, together."""
        if not ready:
            return
        delivery = self._deliveries.new(watched=str(self.folder))
        try:
            for path in ready:
                why = self._received(delivery, path)
                if why:
                    waiting[self._shown(path)] = why
        except Refused:  # full; the rest comes with the next look
            pass
        finally:
            self._hand_in(delivery)

    def _received(self, delivery: Delivery, path: Path) -> str:
        """Copy a file into a delivery unless its content was taken before; or the reason why it waits."""
        facts, looks = self._seen[path]
        try:
            data = file_bytes(str(path))
        except UnusableBook:
            return "closed"
        if _facts(path) != facts:
            return "new"
        if path.suffix.lower() in TEXTS and not (len(data) <= _LONGEST_TEXT and is_claim_text(data)):
            self._done[path] = facts  # nothing of ours
            return ""
        digest = hashlib.sha256(data).hexdigest()
        if digest not in self._known and digest not in delivery.sha256:
            place = self._deliveries.place_for(delivery, self._shown(path))
            try:
                self._deliveries.count(delivery, len(data))
                place.write_bytes(data)
                if looks < _PATIENT and path.suffix.lower() not in TEXTS:
                    open_package(place)
            except (UnusableBook, OSError, Refused) as error:
                self._deliveries.forget(delivery, place)
                if isinstance(error, UnusableBook):  # it may still grow
                    return "not_whole"
                raise
            delivery.sha256.append(digest)
        self._done[path] = facts
        return ""

    def _hand_in(self, delivery: Delivery) -> None:
        if not delivery.received:
            self._deliveries.remove(delivery)
            return
        _log.info("taken from %s: %s", self.folder, printable(", ".join(delivery.came_as), 4096))
        self._work.take(delivery)
        self._known |= set(delivery.sha256)
        self._under_way.append(delivery.id)

    def _put_out(self) -> None:
        for id in [*self._under_way]:
            delivery = self._deliveries.get(id)
            if delivery is not None and delivery.state != "done":
                continue
            if delivery is not None:
                put_results(self._deliveries, delivery, self.results, self._language)
            self._under_way.remove(id)

    def _shown(self, path: Path) -> str:
        return path.relative_to(self.folder).as_posix()


def _may_be_taken(path: Path) -> bool:
    return path.suffix.lower() in _TAKEN | TEXTS and not path.name.startswith((".", "~"))


def _facts(path: Path) -> Facts | None:
    """Size and time of a file that people see; None of one that is gone, or is no file."""
    try:
        found = path.stat()
    except OSError:
        return None
    hidden = getattr(found, "st_file_attributes", 0) & _OUT_OF_SIGHT
    return Facts(found.st_size, found.st_mtime_ns) if stat.S_ISREG(found.st_mode) and not hidden else None
