"""The command ``sheetgen recheck``: every named book, one after the other, and what they say against each other."""

from __future__ import annotations

import json
import logging
import sys
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from functools import partial
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.audit.claim_sheet import keys_of, read_claim
from sheetgen.audit.findings import in_a_line
from sheetgen.audit.model import Decision
from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.batch import IssuedAs, Result, Tally, recheck_many
from sheetgen.batch.book_line import BookLine
from sheetgen.errors import RegisterError, ReportInTheWay, SheetgenError
from sheetgen.figures import number_text
from sheetgen.output import as_json as as_json_line
from sheetgen.output import in_full, printable

if TYPE_CHECKING:
    from sheetgen.audit.material import Material
    from sheetgen.audit.model import Finding
    from sheetgen.batch.places import Place
    from sheetgen.batch.sample_plan import SampleTerms
    from sheetgen.order.model import Order
    from sheetgen.register.register import Register
    from sheetgen.register.wording import AcrossFinding

CLEAN, FINDINGS, UNUSABLE = 0, 1, 2
_MOST = 25  # findings of one book that are printed; the report has them all
_NAMED = 10  # files passed over that are named, of each kind


def recheck_command(
    books: Iterable[str],
    order: Path | None,
    public_key: str | None,
    claim: str | None,
    register: str | None,
    out: str,
    copy: bool,
    csv: bool,
    as_json: bool,
    jobs: int,
    scheduler: str | None = None,
    decisions: Path | None = None,
    material: str | None = None,
    sample: int | None = None,
    language: str = "",
) -> int:
    """Recheck books and folders of them, write the reports, print a line or more for each; the exit status."""
    if scheduler is not None:
        _check_for_cluster(jobs, register)
    books = list(books)
    own = None if order is None else _own_order(order)
    claimed = None if claim is None else read_claim(claim)
    threshold, terms = _threshold(material, sample)
    one = partial(
        recheck_book, claim=claimed, decisions=_decided(decisions, out) or None, material=threshold,
        language=language,
        public_key=None if public_key is None else _public_key(public_key),
        issued_as=None if register is None else IssuedAs(register),
    )  # fmt: skip
    seen, tally, passed_over = _Seen(own is not None), Tally(), _PassedOver()
    unsupported: dict[str, float] = {}
    across: list[AcrossFinding] = []
    with ExitStack() as stack:
        kept = stack.enter_context(_opened(register, books))
        shown = stack.enter_context(_progress())
        try:
            for result in recheck_many(
                books, order=own, register=kept, out_dir=out, jobs=jobs, scheduler=scheduler,
                recheck_one=one, write_report=partial(write_report, copy=copy, csv=csv), progress=shown,
                passed_over=passed_over.add,
            ):  # fmt: skip
                tally.add(result)
                seen.add(result)
                _say(result, as_json, own is not None)
            unsupported = _unsupported(claimed, seen.keys)  # after a stop, nobody knows
            if kept is not None and (seen.books > 1 or register is not None):
                across = tally.across(kept)
        except KeyboardInterrupt:
            print(templates.spoken_texts()["command.stopped"], file=sys.stderr)
            raise
        finally:
            passed_over.say()
            if seen.books > 1 or unsupported or terms:  # of what was done, also where a run is stopped
                seen.unusable |= not _summarized(
                    lambda: tally.write(out, *seen.look(own), kept, unsupported, terms)
                )
    _say_across(across, as_json)
    _say_unsupported(unsupported, claim, as_json)
    return UNUSABLE if seen.unusable else FINDINGS if across or unsupported or seen.findings else CLEAN


def _say_across(across: Iterable[AcrossFinding], as_json: bool) -> None:
    """What books say against each other, the pairs of files in turn."""
    for pair, together in groupby(across, _pair):
        if not as_json:
            print(pair)
        for found in together:
            print(_as_json(found) if as_json else f"  {in_a_line(found.finding, templates.spoken())}")


def _as_json(found: AcrossFinding) -> str:
    """What books say against each other, by the names of the summary."""
    from sheetgen.batch.summary_document import across_line

    return as_json_line(across_line(found, {}).model_dump())


def _decided(named: Path | None, out: str) -> dict[str, tuple[Decision, ...]]:
    """What was decided in the earlier report that is named, and in those where the new ones will be."""
    beside = Path(out) if "://" not in out and Path(out).is_dir() else None
    if named is None and (beside is None or not any(beside.glob("*.recheck.xlsx"))):
        return {}
    from sheetgen.audit.decisions import merged
    from sheetgen.audit.report.decisions_sheet import decisions_in

    found: dict[str, tuple[Decision, ...]] = {}
    for each in (named, beside):
        for identity, decisions in decisions_in(each).items() if each is not None else ():
            found[identity] = merged(found.get(identity, ()), decisions)
    return dict(sorted(found.items()))


def _threshold(material: str | None, sample: int | None) -> tuple[Material | None, SampleTerms | None]:
    """What is asked for: a threshold of materiality, a sample by value."""
    if material is None and sample is None:
        return None, None
    from sheetgen.audit.material import read_material
    from sheetgen.batch.sample_plan import SampleTerms

    threshold = None if material is None else read_material(material)
    return threshold, None if sample is None else SampleTerms(sample, threshold)


def _check_for_cluster(jobs: int, register: str | None) -> None:
    """What cannot go together with a cluster, and what its library would say on its own beside the errors of here."""
    say = templates.spoken_texts()
    if jobs > 1:
        raise SheetgenError(say.say("batch.jobs_there"))
    if register is not None and ("://" not in register or register.startswith("sqlite")):
        raise RegisterError(say.say("batch.register_here", register=register))
    logging.getLogger("distributed").setLevel(logging.CRITICAL)


# What one book alone does not need is imported where it is asked for: half of the time of such a run was imports.


def _own_order(path: Path) -> Order:
    from sheetgen.order.read import read_order

    order = read_order(path)
    templates.speak(order.language)
    return order


def _public_key(text: str) -> str:
    from sheetgen.signing import read_public_text

    return read_public_text(text)


def _opened(register: str | None, books: list[str]) -> AbstractContextManager[Register | None]:
    """The register to compare books in; none for one file alone that no register is named for."""
    if register is None and len(books) == 1 and Path(books[0]).is_file():
        return nullcontext()
    from sheetgen.register.register import open_register

    return open_register(register)


class _Seen:
    """What a run has seen so far: enough for the exit status, and for comparing books and claims."""

    def __init__(self, ordered: bool) -> None:
        self.books = 0
        self._ordered = ordered  # the order that was given has a language
        self.unusable = False
        self.findings = False
        self.keys: set[str] = set()  # books that a line of a claim sheet can be about
        self._first: BookLine | None = None

    def add(self, result: Result) -> None:
        self.books += 1
        self.unusable |= result.line is None
        if result.line is not None:
            self.findings |= result.conclusion in ("error", "query")
            line = result.line
            self.keys |= set(keys_of(str(result.path), line.identity, line.job, line.distributor))
            if self._first is None:
                self._first = result.line
                if not self._ordered:
                    templates.speak(result.line.language)

    def look(self, own: Order | None) -> tuple[str, str]:
        """Language and paper of a summary: those of the first report and of the given order, where there are such."""
        first = self._first or own
        if first is None:
            return templates.spoken(), "letter"
        return first.language, own.paper if own is not None else first.paper


class _PassedOver:
    """Files of the folders named that are not rechecked: said once, by kind."""

    def __init__(self) -> None:
        self._names: dict[str, list[str]] = {}

    def add(self, file: Place, why: str) -> None:
        self._names.setdefault(why, []).append(printable(str(file)))

    def say(self) -> None:
        if not self._names:
            return
        say = templates.spoken_texts()
        print(say["passed_over.head"], file=sys.stderr)
        for why, names in self._names.items():
            more = [say.say("passed_over.more", count=len(names) - _NAMED)] if len(names) > _NAMED else []
            shown = ", ".join([*names[:_NAMED], *more])
            print(say.say(f"passed_over.{why}", count=len(names), names=shown), file=sys.stderr)


def _summarized(write: Callable[[], object]) -> bool:
    """Whether the summary could be written; why not is said."""
    try:
        write()
    except ReportInTheWay as error:
        print(error, file=sys.stderr)
        return False
    return True


@contextmanager
def _progress() -> Iterator[Callable[[int, int], None] | None]:
    """Progress with rate and time left on a terminal, none in a pipe."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    rate = TextColumn("{task.fields[rate]}")
    say = templates.spoken_texts()
    what = TextColumn(say["command.recheck.progress"])
    columns = (what, BarColumn(), MofNCompleteColumn(), rate, TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("", rate="")

        def show(done: int, everything: int) -> None:
            progress.update(task, completed=done, total=everything)
            speed = progress.tasks[task].speed
            progress.update(
                task, rate="" if speed is None else say.say("command.recheck.speed", count=f"{speed:.1f}")
            )

        yield show


def _say(result: Result, as_json: bool, own: bool) -> None:
    if result.line is None:
        print(result.error, file=sys.stderr)
    elif as_json:
        print(as_json_line(json.loads(result.reports[1].read_text(encoding="utf-8"))))
    else:
        print(_text(result, result.line, own))


def _unsupported(claimed: float | dict[str, float] | None, seen: set[str]) -> dict[str, float]:
    """The lines of a claim sheet that no returned book stands behind."""
    if not isinstance(claimed, dict):
        return {}
    return {book: quantity for book, quantity in claimed.items() if book not in seen}


def _say_unsupported(lines: dict[str, float], claim: str | None, as_json: bool) -> None:
    for book, quantity in sorted(lines.items()):
        named = printable(book)
        facts = {"claim": claim, "quantity": number_text(quantity, templates.spoken()), "book": named}
        said = templates.spoken_texts().say("command.unsupported", **facts)
        line = {"claimed": quantity, "book": book, "said": said}
        print(as_json_line(line) if as_json else said)


def _text(result: Result, line: BookLine, own: bool) -> str:
    say = templates.texts(line.language)
    counts = {"error": line.counts.error, "query": line.counts.query, "note": line.counts.note}
    head = say.say(
        "command.recheck.head",
        path=in_full(result.path),
        conclusion=_said(say, result.conclusion),
    )
    if line.conclusion in ("clean", "note") and line.origin in ("signed", "unsigned") and not own:
        head += say["command.recheck.unchecked"]
    if any(counts.values()):
        told = ", ".join(
            f"{_said(say, key, 'report.summary.books')}: {count}" for key, count in counts.items() if count
        )
        head += say.say("command.recheck.counts", counts=told)
    more = len(result.findings) - _MOST
    return "\n".join(
        [
            head,
            say.say(
                "command.recheck.line",
                origin=_said(say, line.origin, "report.summary.origin"),
                payable=_paid(say, line),
                report=in_full(result.reports[0]),
            ),
        ]
        + [f"  {in_a_line(finding, line.language)}" for finding in _by_weight(result, line)[:_MOST]]
        + ([say.say("command.recheck.more", count=more)] if more > 0 else [])
    )


def _by_weight(result: Result, line: BookLine) -> list[Finding]:
    """The findings as the report has them: most serious first, then by what is at stake."""
    places = {(one.name, one.sheet, one.cell, one.found): one.number for one in line.findings}
    return sorted(result.findings, key=lambda one: places[one.name, one.sheet, one.cell, one.found])


def _paid(say: templates.Texts, line: BookLine) -> str:
    """What is payable, and of that what is undisputed and what in question."""
    if line.payable is None:
        return say["command.recheck.untold"]
    amounts = {
        "payable": line.payable,
        "undisputed": line.undisputed,
        "question": line.in_question,
        "not_payable": line.not_payable,
    }
    shown = {
        key: _amount(line, amount or 0.0, line.amount if amount == line.payable else None)
        for key, amount in amounts.items()
    }
    key = "three_figures" if line.in_question or line.not_payable else "payable"
    told = say.say(f"command.recheck.{key}", **shown)
    if line.not_payable:
        told += say.say("command.recheck.not_payable", **shown)
    if line.decided:
        told += say.say("command.recheck.decided", open=line.open, decided=line.decided)
    return told


def _amount(line: BookLine, quantity: float, money: float | None = None) -> str:
    """A quantity with what it is worth: at the unit price, where the contract's own amount is not given."""
    written = partial(number_text, language=line.language)
    if money is None and line.unit_price is not None:
        money = quantity * line.unit_price
    worth = (
        ""
        if money is None
        else f" ({written(money, decimals=line.money_decimals)} {printable(line.currency)})"
    )
    return f"{written(quantity)} {line.unit}{worth}"


def _said(say: templates.Texts, word: str, texts: str = "report.severity") -> str:
    """A code as a word inside a sentence."""
    key = f"{texts}.{word}"
    return say[key].lower() if key in say else word


def _pair(found: AcrossFinding) -> str:
    paths = [found.path, *([found.other_path] if found.other_path else [])]
    return templates.spoken_texts()["command.and"].join(in_full(path) for path in paths)
