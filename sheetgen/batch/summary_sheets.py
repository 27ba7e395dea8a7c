"""The pages of a summary of many books."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from sheetgen import templates
from sheetgen.audit.findings import catalogue, severity_words
from sheetgen.audit.report.figures import difference_format, finest
from sheetgen.audit.report.pages import Column, Page, ReportBook, report_workbook
from sheetgen.audit.report.returned_file import link_to
from sheetgen.batch.book_line import BookLine
from sheetgen.batch.sample_plan import SamplePlan
from sheetgen.batch.summary_document import JobLine, SummaryDocument, TotalLine
from sheetgen.figures import number_text
from sheetgen.xlsx.returned import Value

_BOOKS = tuple(Column(key, width) for key, width in (
    ("number", 5), ("file", 36), ("identity", 15.5), ("job", 12), ("distributor", 13), ("origin", 12),
    ("conclusion", 10), ("error", 7), ("query", 7), ("note", 7), ("payable", 12), ("undisputed", 11), ("question", 11),
    ("book", 11), ("claim", 11), ("difference", 14), ("unit", 6), ("money", 15), ("amount", 15),
))  # fmt: skip
_wrapped = partial(Column, measured="cell")
_bold = partial(Column, style="cell_bold", measured="cell_bold")
_KINDS = (
    Column("severity", 12, "cell_bold"), _wrapped("title", 44), Column("count", 10, "cell_centre"),
    Column("books", 10, "cell_centre"), Column("name", 30, "cell_code", measured="cell_code"),
)  # fmt: skip
_FINDINGS = (
    _wrapped("file", 30), Column("number", 6, "cell_centre"), _wrapped("severity", 10), _wrapped("title", 40),
    _wrapped("where", 14), _wrapped("found", 50), Column("stake", 11, "cell_number"),
    Column("unit", 6, "cell_centre"), Column("money", 14, "cell_number"), Column("name", 28, "cell_code"),
)  # fmt: skip
_NO_TAB = re.compile(r"[\[\]:*?/\\\x00-\x1f']")  # signs that a sheet's name cannot have
_MOST = 100_000  # findings that the sheet lists; the CSV table has all
_ACROSS = (
    _bold("severity", 10), _bold("title", 26), *(Column(key, width, measured="cell_bold") for key, width in (
        ("file", 22), ("other", 22), ("where", 13), ("found", 28), ("expected", 22), ("matters", 24),
    )),
)  # fmt: skip
_SAMPLE = (
    _wrapped("file", 40), Column("identity", 18), Column("shot", 8, "cell_centre"), Column("cell", 14),
    Column("amount", 16, "cell_number", "#,##0.00"), Column("hits", 10, "cell_centre"), _wrapped("why", 30),
    Column("not_payable", 16, "cell_number", "#,##0.00"),
)  # fmt: skip
_UNSUPPORTED = (_bold("book", 36), Column("claimed", 16, "cell_number"), _wrapped("remedy", 76))
_UNUSABLE = (
    _bold("file", 26),
    *(Column(key, width, measured="cell_bold") for key, width in (("found", 38), ("expected", 32), ("remedy", 32))),
)  # fmt: skip


def write_summary_workbook(document: SummaryDocument, path: Path, language: str, paper: str) -> Path:
    """Draw all pages into a workbook that appears whole or not at all."""
    say = templates.texts(language)
    with report_workbook(path, language, paper, say["report.summary.document_title"]) as book:
        mark = f"{say['book.invented_short']} · " if _invented(document) else ""
        book.footer = mark + say["report.summary.footer"]
        _draw_books(book, document)
        _draw_kinds(book, document)
        _draw_findings(book, document)
        _draw_across(book, document)
        for plan in document.sample:
            _draw_sample(book, plan)
        _draw_unsupported(book, document)
        _draw_unusable(book, document)
    return path


def _invented(document: SummaryDocument) -> bool:
    return any(line.invented for line in document.books)


def _draw_books(book: ReportBook, document: SummaryDocument) -> None:
    page = _page(book, "books", _BOOKS)
    page.across(1, page.say["report.summary.note"], "note")
    row = 2
    if _invented(document):
        count = sum(line.invented for line in document.books)
        text = page.say.say("report.summary.invented", count=count, books=len(document.books))
        page.across(row, text, "banner")
        row += 1
    row = _tally(page, row, document)
    _heads(page, row, "books", _BOOKS)
    first = row
    for number, line in enumerate(document.books, start=1):
        _book(page, row + number, number, line)
    row += len(document.books)
    if document.books:
        page.sheet.filtered = (first, 0, row, page.last)
    for total in document.totals:
        row += 1
        _total(page, row, total, document)
    for job in document.jobs:
        row += 1
        _job(page, row, job)
    if undecided := sum(total.undecided for total in document.totals):
        row += 1
        page.across(row, page.say.say("report.summary.undecided", count=undecided), "fact_bold")
    if together := sum(total.together for total in document.totals):
        row += 1
        page.across(row, page.say.say("report.summary.together", count=together), "fact_bold")
    page.sheet.freeze = (first + 1, 2)
    page.finish(row, repeat=(first, first))


def _tally(page: Page, row: int, document: SummaryDocument) -> int:
    """How many books of each conclusion, in one line."""
    say, conclusions = page.say, [line.conclusion for line in document.books]
    counted = {"books": len(conclusions)} | {
        key: conclusions.count(key) for key in ("error", "query", "note", "clean")
    }
    counted["unusable"] = len(document.unusable)
    if document.unsupported:
        counted["unsupported"] = len(document.unsupported)
    text = "   ·   ".join(
        f"{say[f'report.summary.tally.{key}']}: {number}" for key, number in counted.items()
    )
    page.across(row, text, "fact_bold")
    page.height(row + 1, 6)
    return row + 2


def _book(page: Page, row: int, number: int, line: BookLine) -> None:
    say = page.say
    shape = "#,##0" + ("." + "0" * line.decimals if line.decimals else "")
    page.put(row, 0, number, "cell_centre")
    page.link(row, 1, link_to(line.report), line.file, "cell_link_left" if line.report else "cell")
    page.put(row, 2, line.identity, "cell_code")
    page.put(row, 3, line.job, "cell")
    page.put(row, 4, line.distributor, "cell")
    page.put(row, 5, say[f"report.summary.origin.{line.origin}"], "cell")
    page.put(row, 6, severity_words(line.conclusion, say), "cell_bold")
    for column, count in enumerate((line.counts.error, line.counts.query, line.counts.note), start=7):
        page.put(row, column, count, "cell_centre")
    for column, value in enumerate((line.payable, line.undisputed, line.in_question), start=10):
        page.put(row, column, value, "cell_number", shape)
    for column, value in ((13, line.book), (14, line.claim)):
        page.put(row, column, value, "cell_number", shape if value is None else finest(shape, value))
    if line.difference:
        page.put(row, 15, line.difference, "cell_number_bold", difference_format(shape, line.difference))
    else:
        page.put(row, 15, None if line.difference is None else "=", "cell_number")
    page.put(row, 16, line.unit, "cell_centre")
    page.put(row, 17, line.money or None, "cell_number", _money(line.currency))
    page.put(row, 18, line.amount, "cell_number", _money(line.currency))
    texts = {1: line.file, 2: line.identity, 3: line.job, 4: line.distributor}
    page.fit(row, [(text, page.widths[at], "cell_code" if at == 2 else "cell") for at, text in texts.items()])


def _total(page: Page, row: int, total: TotalLine, document: SummaryDocument) -> None:
    decimals = max((line.decimals for line in document.books), default=0)
    shape = "#,##0" + ("." + "0" * decimals if decimals else "")
    for column in range(page.last + 1):
        page.put(row, column, None, "total_label")
    page.put(row, 0, total.books, "total_label")
    page.put(row, 1, page.say["report.summary.total"], "total_label")
    for column, value in enumerate((total.payable, total.undisputed, total.in_question), start=10):
        page.put(row, column, value, "total_number", shape)
    if total.difference:
        page.put(row, 15, total.difference, "total_number", difference_format(shape, total.difference))
    page.put(row, 16, total.unit, "total_label")
    page.put(row, 17, total.money or None, "total_number", _money(total.currency))
    page.put(row, 18, total.amount, "total_number", _money(total.currency))


def _job(page: Page, row: int, job: JobLine) -> None:
    """A job against the contract's quantity, in a sentence each."""
    say = page.say

    def written(value: float | None, decimals: int | None = None) -> str:
        return number_text(value, say.language, decimals)

    amount, ended = (
        "" if value is None else f"{written(value, 2)} {job.currency}"
        for value in (job.amount, job.amount_if_ended)
    )
    facts = {
        "job": job.job, "books": job.books, "unit": job.unit, "payable": written(job.payable),
        "estimate": written(job.estimate), "beyond": written(job.beyond), "short": written(job.short),
        "amount": amount, "ended": ended,
    }  # fmt: skip
    parts = [say.say("report.summary.job.paid", **facts)]
    parts += [
        say.say(f"report.summary.job.{key}", **facts) for key in ("beyond", "short") if getattr(job, key)
    ]
    parts += [say.say("report.summary.job.amount", **facts)] if amount else []
    parts += [say.say("report.summary.job.ended", **facts)] if ended and ended != amount else []
    page.across(row, " ".join(parts), "fact_bold")


def _money(currency: str) -> str:
    plain = currency.replace('"', "")
    return f'#,##0.00 "{plain}"'


def _draw_kinds(book: ReportBook, document: SummaryDocument) -> None:
    say = book.say
    _table(book, "kinds", _KINDS, [
        (severity_words(kind.severity, say), catalogue()[kind.name].text("title", say.language), kind.count, kind.books,
         kind.name)
        for kind in document.kinds
    ])  # fmt: skip


def _draw_findings(book: ReportBook, document: SummaryDocument) -> None:
    """Every finding of every book in one table."""
    say, listed = book.say, document.findings[:_MOST]
    page = _table(book, "findings", _FINDINGS, [
        (one.file, one.number, severity_words(one.severity, say), catalogue()[one.name].text("title", say.language),
         f"{one.sheet} {one.cell}".strip() or say["report.findings.whole"], one.found, one.at_stake, one.unit,
         one.money, one.name)
        for one in listed
    ])  # fmt: skip
    if (more := len(document.findings) - _MOST) > 0:
        page.across(1, say.say("report.summary.more_findings", count=more), "fact_bold")
    for row, one in enumerate(listed, start=3):
        stake = "" if one.at_stake is None else finest("#,##0.0", one.at_stake)
        page.put(row, 6, one.at_stake, "cell_number", stake)
        page.put(row, 8, one.money, "cell_number", _money(one.currency))
    if listed:
        page.sheet.filtered = (2, 0, 2 + len(listed), page.last)


def _draw_across(book: ReportBook, document: SummaryDocument) -> None:
    say = book.say
    _table(book, "across", _ACROSS, [
        (severity_words(one.severity, say), catalogue()[one.name].text("title", say.language), one.file, one.other,
         f"{one.sheet} {one.cell}".strip(), one.found, one.expected, one.matters)
        for one in document.across
    ])  # fmt: skip


def _draw_sample(book: ReportBook, plan: SamplePlan) -> None:
    """The shots to compare with the papers, and what the sample says when they hold no further error."""
    page, say = _page(book, "sample", _SAMPLE, f" {plan.unit}"), book.say
    figures = {
        key: f"{number_text(getattr(plan, key), say.language, 2)} {plan.unit}"
        for key in ("tolerable", "total", "interval", "start", "known", "upper_limit")
    }
    words = {
        "seed": plan.seed, "population": plan.population, "size": plan.size, "count": len(plan.shots),
        "confidence": f"{100 * plan.confidence:g} %", **figures,
    }  # fmt: skip
    keys = ("terms", "assumed" if plan.assumed else "given", "limit")
    for row, key in enumerate(keys, start=1):
        page.across(row, say.say(f"report.summary.sample.{key}", **words), "sentence")
    head = len(keys) + 1
    page.head(head, [say.say(f"report.summary.sample.{key}", unit=plan.unit) for key, *_ in _SAMPLE])
    for row, one in enumerate(plan.shots, start=head + 1):
        why = say["report.summary.sample.whole" if one.whole else "report.summary.sample.drawn"]
        values = (
            one.file,
            one.identity,
            one.shot,
            one.cell,
            one.amount,
            one.hits,
            why,
            one.not_payable or None,
        )
        page.line(row, _SAMPLE, values)
    page.sheet.freeze = (head + 1, 0)
    page.finish(head + len(plan.shots), repeat=(head, head))


def _draw_unsupported(book: ReportBook, document: SummaryDocument) -> None:
    """What is claimed for books that did not come back."""
    remedy = book.say["report.summary.unsupported_remedy"]
    lines = [(one.book, one.claimed, remedy) for one in document.unsupported]
    page = _table(book, "unsupported", _UNSUPPORTED, lines)
    for row, one in enumerate(document.unsupported, start=3):
        page.put(row, 1, one.claimed, "cell_number", finest("#,##0", one.claimed))


def _draw_unusable(book: ReportBook, document: SummaryDocument) -> None:
    lines = [(one.file, one.found, one.expected, one.remedy) for one in document.unusable]
    _table(book, "unusable", _UNUSABLE, lines)


def _page(book: ReportBook, key: str, columns: Sequence[Column], of: str = "") -> Page:
    name = book.say[f"report.summary.sheet.{key}"] + _NO_TAB.sub(" ", of)[:12]
    page = Page(book, name, [column.width for column in columns], landscape=True)
    title = book.say["report.summary.title"]
    page.across(0, title if key == "books" else f"{title}: {name}", "title")
    page.height(0, 26)
    return page


def _heads(page: Page, row: int, sheet: str, columns: Sequence[Column]) -> None:
    page.head(row, [page.say[f"report.summary.{sheet}.{column.key}"] for column in columns])


def _table(book: ReportBook, key: str, columns: Sequence[Column], lines: Sequence[Sequence[Value]]) -> Page:
    """A page with one table, whose heads stand in its third row; a line that says so where it has none."""
    page = _page(book, key, columns)
    _heads(page, 2, key, columns)
    for row, line in enumerate(lines, start=3):
        page.line(row, columns, line)
    last = 2 + max(len(lines), 1)
    if not lines:
        page.across(last, page.say["report.summary.nothing"], "cell")
    page.sheet.freeze = (3, 0)
    page.finish(last, repeat=(2, 2))
    return page
