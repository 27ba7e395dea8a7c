"""The sheet on which an auditor decides: a row for each finding, with cells to type in; drawn, and read again."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

from sheetgen import templates
from sheetgen.audit.decisions import DECISIONS, merged
from sheetgen.audit.findings import catalogue, name_now, severity_words
from sheetgen.audit.model import Decision, Recheck
from sheetgen.audit.report.document import DecisionLine, Document
from sheetgen.audit.report.figures import Figures, finest
from sheetgen.audit.report.own_files import CATEGORY, CREATED, DECIDED, may_be_replaced, properties_of
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.errors import SheetgenError, UnusableBook
from sheetgen.figures import day_text
from sheetgen.output import in_full, printable
from sheetgen.templates import LANGUAGES
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.formulas import literal
from sheetgen.xlsx.model import Validation
from sheetgen.xlsx.returned import ReturnedSheet, Value, is_number

_COLUMNS = (
    ("number", 5), ("severity", 10), ("what", 27), ("sheet", 9), ("cell", 7), ("found", 28), ("stake", 10),
    ("decision", 14), ("value", 11), ("initials", 9), ("date", 11), ("remark", 27), ("name", 16),
)  # fmt: skip
_AT = {key: column for column, (key, _) in enumerate(_COLUMNS)}
_TYPED = ("decision", "value", "initials", "date", "remark")
_HEAD = 4
_BOOK = (2, 0)  # the cell that says of which book
_IDENTITY = re.compile(r"[0-9A-F]{4}(?:-[0-9A-F]{4}){2}")
_LONGEST = 2000  # signs of a remark


def draw_decisions(book: ReportBook, document: Document, figures: Figures) -> None:
    """Draw it: every finding that asks for something, then decisions on findings that are no longer there."""
    page, say = book.page("decisions", [width for _, width in _COLUMNS], landscape=True), book.say
    unit, conclusion = figures.unit("volume"), document.conclusion
    page.title(say["report.decisions.title"], say.say("report.decisions.note", unit=unit))
    page.across(_BOOK[0], say.say("report.decisions.of", book=document.book.identity or "-"), "fact_bold")
    page.across(
        3, say.say("report.decisions.count", open=conclusion.open, decided=conclusion.decided), "fact_bold"
    )
    page.head(_HEAD, [say.say(f"report.decisions.{key}", unit=unit) for key, _ in _COLUMNS])
    last = _HEAD
    for last, one in enumerate(document.decisions, start=_HEAD + 1):
        _draw(page, last, one, document, figures)
    if last == _HEAD:
        last += 1
        page.across(last, say["report.decisions.none"], "cell")
    else:
        page.sheet.validations = list(_validations(page, last, unit))
    page.sheet.freeze = (_HEAD + 1, 3)
    page.sheet.protected = True  # but for the cells to type in
    page.finish(last, repeat=(_HEAD, _HEAD))


def _draw(page: Page, row: int, one: DecisionLine, document: Document, figures: Figures) -> None:
    say = page.say
    found = next((each for each in document.findings if each.number == one.number), None)
    severity = "" if found is None else severity_words(found.severity, say)
    title = catalogue()[one.name].text("title", say.language) if one.name in catalogue() else one.name
    gone = title if found is not None else f"{title} {say['report.decisions.gone']}"
    page.put(row, _AT["number"], one.number, "cell_centre")
    page.put(row, _AT["severity"], severity, "cell_bold")
    for key, text in (("what", gone), ("sheet", one.sheet), ("cell", one.cell), ("found", one.found)):
        page.put(row, _AT[key], text, "cell")
    stake = None if found is None else found.at_stake
    page.put(
        row,
        _AT["stake"],
        stake,
        "cell_number",
        "" if stake is None else finest(figures.format("volume"), stake),
    )
    page.put(row, _AT["name"], one.name, "cell_code")
    typed = {
        "decision": say[f"report.decided.{one.decision}"] if one.decision in DECISIONS else one.decision,
        "value": one.value, "initials": one.initials, "date": one.date, "remark": one.remark,
    }  # fmt: skip
    for key, value in typed.items():
        shape = figures.format("volume") if key == "value" else "General"
        page.put(row, _AT[key], None if value == "" else value, "cell_entry", shape)
        cell = page.sheet.cells[row, _AT[key]]
        page.sheet.cells[row, _AT[key]] = cell._replace(locked=False)
    texts = {"what": gone, "found": one.found, "remark": one.remark, "name": one.name, "sheet": one.sheet}
    styles = {"name": "cell_code", "remark": "cell_entry"}
    page.fit(row, [(text, page.widths[_AT[key]], styles.get(key, "cell")) for key, text in texts.items()], 24)


def _validations(page: Page, last: int, unit: str) -> Iterator[Validation]:
    """What the cells take: a word of the list, a volume."""
    say = page.say
    words = ",".join(say[f"report.decided.{key}"] for key in DECISIONS)
    rules: dict[str, dict[str, Any]] = {
        "decision": {"kind": "list", "formula1": literal(words)},
        "value": {"kind": "decimal", "operator": ">=", "formula1": "=0"},
    }
    for key, rule in rules.items():
        prompt = say.say(f"report.decisions.prompt.{key}", unit=unit)
        yield Validation(
            _HEAD + 1, _AT[key], last, _AT[key], **rule,
            prompt_title=say.say(f"report.decisions.{key}", unit=unit)[:32], prompt=prompt,
            error_title=say["book.check_entry"], error=prompt,
        )  # fmt: skip


def read_decisions(path: str | Path) -> tuple[str, tuple[Decision, ...]]:
    """Read what was decided in a report: the identity of its book, and a decision for each row, empty ones too.

    Raises:
        UnusableBook: the file cannot be read as a report with a sheet of decisions.
    """
    from sheetgen.xlsx.read import read_book

    try:
        sheets = read_book(path).sheets
    except UnusableBook as error:
        raise _no_report(path, error.found) from error
    for sheet in sheets:
        for language in LANGUAGES:
            if _is_decisions(sheet, language):
                said = _IDENTITY.search(str(_value(sheet, *_BOOK) or ""))
                return said[0] if said else "", tuple(_rows(sheet))
    raise _no_report(path)


def _no_report(path: str | Path, found: str = "") -> UnusableBook:
    say = templates.spoken_texts()
    return UnusableBook(
        in_full(path), found or say["report.decisions.no_report.found"],
        say["report.decisions.no_report.expected"], say["report.decisions.no_report.remedy"],
    )  # fmt: skip


def decisions_in(path: Path) -> dict[str, tuple[Decision, ...]]:
    """Read the decisions of a report, or of all reports in a folder, by the identity of the book.

    Of several reports of one book the one written last counts, row by row.

    Raises:
        UnusableBook: a report that is named cannot be read.
    """
    if path.is_dir():
        named = [each for each in path.glob("*.recheck.xlsx") if _is_decided(each)]
        named.sort(key=lambda each: (each.stat().st_mtime_ns, each.name))
    else:
        named = [path]
    found: dict[str, list[tuple[Decision, ...]]] = {}
    for file in named:
        identity, decisions = read_decisions(file)
        if identity:
            found.setdefault(identity, []).append(decisions)
        elif file == path:
            raise SheetgenError(
                templates.spoken_texts().say("report.decisions.no_identity", path=printable(str(path)))
            )
    return {identity: kept for identity, each in found.items() if (kept := merged(*each))}


def with_decisions_at(there: Path, recheck: Recheck) -> tuple[Recheck, Path | None]:
    """Take over what was decided in the report of the same book that lies where a new one will be.

    Returns:
        the recheck with those decisions; and the report, where a person saved it: a copy of it is then kept beside
    """
    if not there.is_file() or not _is_decided(there):
        return recheck, None
    try:
        identity, typed = read_decisions(there)
    except UnusableBook:
        return recheck, None  # another file in the way, or no longer a report
    if not identity or identity != recheck.identity or not any(each.said for each in typed):
        return recheck, None  # what was changed in it are no decisions
    said = [each for each in typed if each.said]
    if may_be_replaced(there):  # what it took over; what was decided since is later
        return replace(recheck, decisions=merged(said, recheck.decisions)), None
    _keep(there)
    return replace(recheck, decisions=merged(recheck.decisions, said)), there


def _keep(report: Path) -> None:
    """Copy a report as a person saved it to the next free name beside."""
    data, number = report.read_bytes(), 1
    stem = report.name.removesuffix(".xlsx")
    while (kept := report.with_name(f"{stem}.decided-{number}.xlsx")).exists() and kept.read_bytes() != data:
        number += 1
    write_whole(kept, data)


def _is_decided(file: Path) -> bool:
    """Whether a report can hold decisions: it was saved by a person, or took them over."""
    try:
        said = properties_of(file.read_bytes())
    except (OSError, zipfile.BadZipFile):
        return False
    return CATEGORY in said and (said.count(CREATED) != 2 or DECIDED in said)


def _is_decisions(sheet: ReturnedSheet, language: str) -> bool:
    say = templates.texts(language)
    heads = {
        key: say[f"report.decisions.{key}"] for key in ("number", "what", "decision", "initials", "name")
    }
    return all(_value(sheet, _HEAD, _AT[key]) == text for key, text in heads.items())


def _rows(sheet: ReturnedSheet) -> Iterator[Decision]:
    last = max((row for row, _ in sheet.cells), default=0)
    for row in range(_HEAD + 1, last + 1):
        name = _text(_value(sheet, row, _AT["name"]))
        typed = [_value(sheet, row, _AT[key]) for key in _TYPED]
        if not name:
            continue
        value = typed[1]
        yield Decision(
            name=name_now(name),
            **{key: _text(_value(sheet, row, _AT[key])) for key in ("sheet", "cell", "found")},
            decision=_code(_text(typed[0])),
            value=float(value) if is_number(value) and value >= 0 else None,
            initials=_text(typed[2]),
            date=_date(typed[3]),
            remark=_with_value(_text(typed[4]), value),
        )


def _with_value(remark: str, value: Value) -> str:
    """The remark; a value that is no volume stays beside it, so that nothing typed is lost."""
    if value is None or _text(value) == "" or (is_number(value) and value >= 0):
        return remark
    return " ".join(part for part in (remark, f"[{_text(value)}]") if part)


def _code(text: str) -> str:
    """The decision that a word stands for in any of the languages; the word itself where it is another."""
    for language in LANGUAGES:
        say, typed = templates.texts(language), templates.typed_words(language)["decisions"]
        for code in DECISIONS:
            if text.casefold() in (say[f"report.decided.{code}"].casefold(), *typed[code]):
                return code
    return text


def _date(value: Value) -> str:
    """A date as it was typed; a serial day in ISO form."""
    if is_number(value) and 1 <= value < 2_958_466:
        return day_text(value)
    return _text(value)


def _text(value: Value) -> str:
    text = f"{value:.10g}" if is_number(value) else str(value if value is not None else "")
    return text.strip()[:_LONGEST]


def _value(sheet: ReturnedSheet, row: int, column: int) -> Value:
    cell = sheet.cells.get((row, column))
    return None if cell is None else cell.value
