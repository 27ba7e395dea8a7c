"""The work on deliveries, one after the other, in a thread of its own: the pages stay quick while it goes on.

Every file is read in another process with the limits of a file; one that dies takes no other along. What was under
way when the desk ended is gone on with when it begins again: finished reports are taken over.
"""

from __future__ import annotations

import json
import logging
import queue
import secrets
import threading
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.audit.claim_sheet import keys_of
from sheetgen.batch import IssuedAs, Result, Tally, recheck_many
from sheetgen.batch.workers import Apart
from sheetgen.desk.claims import Claimed, Claims, merged
from sheetgen.desk.deliveries import (
    AcrossFacts,
    BookFacts,
    ClaimFacts,
    Deliveries,
    Delivery,
    OrderFacts,
    PictureFacts,
    ReportFacts,
)
from sheetgen.errors import SheetgenError
from sheetgen.office.comparison import write_comparison
from sheetgen.office.decisions import Decisions
from sheetgen.office.kinds import Kind, kind_of
from sheetgen.office.orders import OrderWork, work_on_order, work_on_yard
from sheetgen.office.settings import Settings
from sheetgen.output import in_full
from sheetgen.templates import speaking, spoken_texts

if TYPE_CHECKING:
    from sheetgen.register.register import Register
    from sheetgen.register.wording import AcrossFinding

_JOBS = 2  # books under way at once: a computer of an office has other work too
_log = logging.getLogger("sheetgen.desk")


class Ended(Exception):
    """The desk ends; the delivery is gone on with when it begins again."""


class Work:
    """Takes deliveries as they come, and says how far it is.

    Attributes:
        settings: of the office; another may be put in its place at any time, and holds for what begins later
    """

    def __init__(
        self, deliveries: Deliveries, settings: Settings, register: str, decisions: Decisions
    ) -> None:
        self._deliveries, self.settings, self._register = deliveries, settings, register
        self._decisions = decisions
        self._waiting: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._progress: dict[str, tuple[int, int]] = {}
        self._ended = threading.Event()
        self._apart = Apart()
        self._claims = Claims(deliveries, self._apart)
        self._thread = threading.Thread(target=self._run, name="work", daemon=True)

    def begin(self) -> None:
        """Begin, with what was under way when the desk ended."""
        for delivery in reversed([*self._deliveries.all()]):
            if delivery.state in ("waiting", "working"):
                self.take(delivery)
        self._thread.start()

    def take(self, delivery: Delivery) -> None:
        """Put a delivery behind those that wait."""
        delivery.state = "waiting"
        self._deliveries.keep(delivery)
        self._progress[delivery.id] = 0, len(delivery.received)
        self._waiting.put(delivery.id)

    def progress(self, delivery: Delivery) -> tuple[int, int]:
        """How many of how many files are done."""
        return self._progress.get(delivery.id, (len(delivery.received), len(delivery.received)))

    def compare(self, delivery: Delivery, sizes: bool, language: str, folder: Path) -> Path:
        """Compare the distributors of a delivery's orders, and of the office's yard, and give the workbook.

        Args:
            delivery: with orders in it that have no mistake
            sizes: whether distributors of common sizes are compared too
            language: of the workbook
            folder: to write it into

        Raises:
            SheetgenError: the orders, or the yard, are in different units, or one cannot be read.
        """
        names = [each.file for each in delivery.orders if each.planned]
        paths = [self._deliveries.path(delivery, "received", name) for name in names]
        yard = Path(self.settings.yard) if self.settings.yard else None
        return self._apart.run(write_comparison, paths, yard, sizes, language, folder)

    @property
    def busy(self) -> bool:
        """Whether a delivery waits or is worked on."""
        return bool(self._progress)

    def end(self, seconds: float = 10.0) -> None:
        """End after the file that is under way."""
        self._ended.set()
        self._waiting.put(None)
        self._thread.join(seconds)
        self._apart.end()

    def _run(self) -> None:
        while (id := self._waiting.get()) is not None and not self._ended.is_set():
            delivery = self._deliveries.get(id)
            if delivery is not None:
                with speaking(delivery.language):
                    self._one(delivery)

    def _one(self, delivery: Delivery) -> None:
        delivery.state = "working"
        self._deliveries.keep(delivery)
        delivery.orders, delivery.books, delivery.reports = [], [], []
        delivery.claims, delivery.across, delivery.other, delivery.trouble = [], [], [], ""
        try:
            self._work(delivery)
        except Ended:
            return
        except SheetgenError as error:
            delivery.trouble = str(error)
        except Exception:  # a fault of this program must not stop the next delivery
            reference = secrets.token_hex(4)
            _log.exception("fault %s in delivery %s", reference, delivery.id)
            delivery.trouble = spoken_texts().say("desk.fault", reference=reference)
        delivery.state = "done"
        self._deliveries.keep(delivery)
        self._progress.pop(delivery.id, None)

    def _work(self, delivery: Delivery) -> None:
        by_kind = self._kinds(delivery)
        claims = by_kind.get(Kind.CLAIM, [])
        others = by_kind.get(Kind.OTHER, []) + self._reports(delivery, by_kind.get(Kind.REPORT, []))
        if not delivery.watched:
            others += claims[1:] if Kind.BOOK in by_kind else claims
            claims = claims[:1] if Kind.BOOK in by_kind else []
        delivery.other += [(path.name, "nothing") for path in others]
        self._count(delivery, len(others) + len(claims))
        yards = by_kind.get(Kind.YARD, [])
        for number, path in enumerate([*yards, *by_kind.get(Kind.ORDER, [])], start=1):
            delivery.orders.append(self._order(delivery, number, path, yard=path in yards))
            self._count(delivery, 1)
        sheets = self._claims.read(claims)
        books = by_kind.get(Kind.BOOK, []) + self._along(delivery, sheets)
        if books:
            self._books(delivery, books, self._claims.before(delivery) | merged(sheets))
        delivery.claims = [_claim_facts(name, sheet, delivery.books) for name, sheet in sheets.items()]

    def _along(self, delivery: Delivery, sheets: dict[str, Claimed]) -> list[Path]:
        """The books that came from the watched folder earlier and are named in a claim sheet that comes now."""
        books = []
        for source, came_as, digest in self._claims.named(delivery, merged(sheets)):
            books.append(self._deliveries.take_along(delivery, source, came_as, digest))
            done, everything = self._progress[delivery.id]
            self._progress[delivery.id] = done, everything + 1
        return books

    def _count(self, delivery: Delivery, files: int) -> None:
        """Count files as done; the desk may end between two of them."""
        done, everything = self._progress[delivery.id]
        self._progress[delivery.id] = done + files, everything
        if self._ended.is_set():
            raise Ended

    def _kinds(self, delivery: Delivery) -> dict[Kind, list[Path]]:
        found: dict[Kind, list[Path]] = {}
        for name in delivery.received:
            path = self._deliveries.path(delivery, "received", name)
            try:
                kind = self._apart.run(kind_of, path)
            except SheetgenError:
                kind = Kind.BOOK  # the recheck, which has its own process for each file, says what is wrong
            found.setdefault(kind, []).append(path)
            self._count(delivery, 0)
        return found

    def _reports(self, delivery: Delivery, paths: list[Path]) -> list[Path]:
        """Take over what was decided in earlier reports; those in which nothing can be are given back."""
        from sheetgen.audit.report.decisions_sheet import read_decisions

        nothing: list[Path] = []
        for path in paths:
            try:
                book, typed = self._apart.run(read_decisions, path)
            except SheetgenError:  # a summary or a copy with notes: no report on one book
                book, typed = "", ()
            said = [each for each in typed if each.said]
            if not book or not said:
                nothing.append(path)
                continue
            new = self._decisions.take_over(book, said)
            delivery.reports.append(ReportFacts(file=path.name, book=book, new=new, decisions=said))
            self._count(delivery, 1)
        return nothing

    def _order(self, delivery: Delivery, number: int, path: Path, yard: bool) -> OrderFacts:
        out = self._deliveries.path(delivery, "orders", str(number))
        key = Path(self.settings.key) if self.settings.key else None
        try:
            if yard:
                work = self._apart.run(work_on_yard, path, out)
            else:
                office = self.settings
                work = self._apart.run(
                    work_on_order, path, out, key, self._register,
                    yard=office.yard, second_language=office.second_language,
                )  # fmt: skip
        except (SheetgenError, OSError) as error:
            return OrderFacts(file=path.name, yard=yard, error=in_full(error))
        return _order_facts(path.name, work, self._deliveries.path(delivery))

    def _books(self, delivery: Delivery, paths: list[Path], claim: Claimed) -> None:
        from sheetgen.audit.report import write_report
        from sheetgen.audit.run import recheck_book
        from sheetgen.register.register import open_register

        one = partial(
            recheck_book, claim=claim or None, decisions=self._decisions.now(),
            public_key=self.settings.public_key or None,
            issued_as=IssuedAs(self._register), language=self.settings.language,
        )  # fmt: skip
        tally = Tally()
        reports = self._deliveries.path(delivery, "reports")
        with open_register(self._register) as register:
            for result in recheck_many(
                paths, register=register, out_dir=reports, jobs=_JOBS, apart=True, recheck_one=one,
                write_report=partial(write_report, copy=True),
            ):  # fmt: skip
                tally.add(result)
                delivery.books.append(_book_facts(result))
                self._count(delivery, 1)
            self._together(delivery, tally, register, reports)

    def _together(self, delivery: Delivery, tally: Tally, register: Register, reports: Path) -> None:
        """What the books of a delivery come to, and what they say against others."""
        delivery.across = [_across_facts(found) for found in tally.across(register)]
        if len(delivery.books) > 1:
            look = next(iter(tally.lines), None)
            language, paper = (look.language, look.paper) if look else ("en", "letter")
            written = tally.write(reports, language, paper, register)
            delivery.summary = f"reports/{written[0].name}"


def _order_facts(name: str, work: OrderWork, folder: Path) -> OrderFacts:
    def inside(path: Path) -> str:
        return path.relative_to(folder).as_posix()

    return OrderFacts(
        file=name,
        language=work.language,
        job=work.job[0],
        job_name=work.job[1],
        mistakes=list(work.mistakes),
        marked=inside(work.marked) if work.marked else "",
        answer=[list(row) for row in work.answer],
        warnings=list(work.warnings),
        plan=work.plan,
        page=inside(work.page) if work.page else "",
        pictures=[PictureFacts(file=inside(each.path), words=each.words) for each in work.pictures],
        books=[inside(book) for book in work.books],
        yard=work.yard,
        error=work.error,
    )


def _book_facts(result: Result) -> BookFacts:
    name = Path(str(result.path)).name
    line = result.line
    if line is None:
        error = result.error
        assert error is not None  # a result without a line says why
        facts = {"found": error.found, "expected": error.expected, "remedy": error.remedy}
        said = spoken_texts().say("desk.unusable", **facts)
        return BookFacts(file=name, error=said, severity="unusable")
    document = json.loads(Path(str(result.reports[1])).read_text(encoding="utf-8"))
    payable = document["payable"]
    return BookFacts(
        file=name,
        severity=line.conclusion,
        headline=document["conclusion"]["headline"],
        language=line.language,
        job=line.job,
        distributor=line.distributor,
        identity=line.identity,
        payable=line.payable,
        in_question=payable["in_question"]["quantity"] if payable else None,
        unit=line.unit,
        decimals=line.decimals,
        errors=line.counts.error,
        queries=line.counts.query,
        notes=line.counts.note,
        report=f"reports/{result.reports[0].name}",
        document=f"reports/{result.reports[1].name}",
        copy_with_notes=_named(result.reports[2:]),
    )


def _claim_facts(name: str, sheet: Claimed, books: list[BookFacts]) -> ClaimFacts:
    """What a claim sheet was compared with; what it names otherwise."""
    called = {each.file: keys_of(each.file, each.identity, each.job, each.distributor) for each in books}
    compared = [file for file, keys in called.items() if sheet.keys() & set(keys)]
    known = {key for keys in called.values() for key in keys}
    return ClaimFacts(file=name, compared=compared, absent=[key for key in sheet if key not in known])


def _named(reports: Iterable[object]) -> str:
    """The copy with notes; empty where only a text says that none could be made."""
    names = (Path(str(report)).name for report in reports)
    return next((f"reports/{name}" for name in names if not name.endswith(".txt")), "")


def _across_facts(across: AcrossFinding) -> AcrossFacts:
    finding = across.finding
    files = [Path(path).name for path in (across.path, across.other_path) if path]
    return AcrossFacts(
        severity=finding.severity,
        name=finding.name,
        books=", ".join(files),
        cell=finding.place,
        found=finding.found,
    )
