"""What openpyxl reads of a file, in the terms of the recheck's own reader, so that the two can be set side by side."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import openpyxl
from openpyxl.utils.datetime import to_excel
from openpyxl.worksheet.formula import ArrayFormula, DataTableFormula

from sheetgen.xlsx.address import a1
from sheetgen.xlsx.returned import ReturnedBook, ReturnedCell, ReturnedSheet

# Where the two readers may differ, by name. All of it was looked up in the file itself.
KNOWN = {
    "empty-result": "an empty text as the result of a formula is nothing to openpyxl",
    "whole-milliseconds": "openpyxl makes dates and times of numbers, rounded to the millisecond (utils.datetime)",
    "style-of-covered-cell": "openpyxl makes the cells under a merged one anew",
    "own-name": "openpyxl keeps print areas and titles apart from the names",
}
_MOMENTS = (dt.datetime, dt.date, dt.time, dt.timedelta)
_HALF_A_MILLISECOND = 0.0005 / 86400 * 1.01  # days; and the digits of a double
_VALIDATION = {
    "type": "none", "operator": "between", "errorStyle": "stop", "showErrorMessage": "0", "showInputMessage": "0",
    "allowBlank": "0", "promptTitle": "", "prompt": "", "errorTitle": "", "error": "",
}  # fmt: skip

LOWEST, NARROWEST = 4, 1  # points and characters in which nothing can be read: as good as hidden


def differences(path: Path, read: ReturnedBook) -> Iterator[str]:
    """Everything in which a reading of a file differs from openpyxl's, one line each."""
    formulas, values = openpyxl.load_workbook(path), openpyxl.load_workbook(path, data_only=True)
    if [sheet.name for sheet in read.sheets] != formulas.sheetnames:
        yield f"sheets {[sheet.name for sheet in read.sheets]} / {formulas.sheetnames}"
        return
    for sheet in read.sheets:
        for line in _sheet(sheet, formulas[sheet.name], values[sheet.name], formulas.epoch):
            yield f"{sheet.name}!{line}"
    yield from _names(read, formulas)


def _sheet(sheet: ReturnedSheet, formulas: Any, values: Any, epoch: dt.datetime) -> Iterator[str]:
    covered = {
        (row, column)
        for top, left, bottom, right in sheet.merges
        for row in range(top, bottom + 1)
        for column in range(left, right + 1)
        if (row, column) != (top, left)
    }
    theirs = {(cell.row - 1, cell.column - 1): cell for row in formulas.iter_rows() for cell in row}
    for place in sorted(sheet.cells.keys() | theirs.keys()):
        own, other = sheet.cells.get(place), theirs.get(place)
        if place in covered:
            continue
        if other is None:
            yield f"{a1(*place)}: only the recheck's reader has it: {own}"
            continue
        result = values.cell(place[0] + 1, place[1] + 1)
        for what, mine, plain in _cell(own, other, result, sheet.arrays.get(place), epoch):
            if mine != plain:
                yield f"{a1(*place)} {what}: {mine!r} / {plain!r}"
    for what, mine, plain in _whole_sheet(sheet, formulas):
        if mine != plain:
            yield f" {what}: {mine!r} / {plain!r}"


def _cell(
    own: ReturnedCell | None, other: Any, result: Any, array: str | None, epoch: dt.datetime
) -> Iterator[tuple[str, Any, Any]]:
    value = other.value
    formula = None
    if isinstance(value, ArrayFormula):
        formula = value.text if str(value.text).startswith("=") else f"={value.text}"
        yield "array", array, value.ref
    elif isinstance(value, DataTableFormula):
        formula = f"=TABLE({value.r1 or ''},{value.r2 or ''})"
    elif other.data_type == "f":
        formula = value
    yield "formula", None if own is None else own.formula, formula
    plain = _number(result.value, epoch)
    mine = None if own is None else own.value
    if formula is not None and mine == "" and plain is None:  # KNOWN: empty-result
        plain = ""
    if (
        isinstance(result.value, _MOMENTS)
        and isinstance(mine, float)
        and abs(mine - plain) <= _HALF_A_MILLISECOND
    ):
        plain = mine  # KNOWN: whole-milliseconds
    yield "value", mine, plain
    if own is not None:
        yield "kind", own.kind, _kind(plain, result)
        yield "locked", own.locked, bool(other.protection.locked)
        yield "number format", own.number_format, other.number_format


def _number(value: Any, epoch: dt.datetime) -> Any:
    """A value as the file has it: openpyxl makes dates and times of numbers that are shown as such."""
    if isinstance(value, _MOMENTS):
        return to_excel(value, epoch)
    return float(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _kind(plain: Any, result: Any) -> str:
    if plain is None:
        return "blank"
    if isinstance(plain, bool):
        return "bool"
    return "number" if isinstance(plain, float) else "error" if result.data_type == "e" else "text"


def _whole_sheet(sheet: ReturnedSheet, other: Any) -> Iterator[tuple[str, Any, Any]]:
    yield "state", sheet.state, other.sheet_state
    merges = sorted(
        (area.min_row - 1, area.min_col - 1, area.max_row - 1, area.max_col - 1)
        for area in other.merged_cells.ranges
    )
    yield "merges", sorted(sheet.merges), merges
    yield "protected", sheet.protected, bool(other.protection.sheet)
    if sheet.protected:
        theirs = {name: getattr(other.protection, name, None) for name in sheet.protection}
        for name, value in sheet.protection.items():
            if isinstance(theirs[name], bool):
                yield f"protection {name}", value in ("1", "true"), theirs[name]
    yield (
        "validations",
        sorted(map(_own_rule, sheet.validations)),
        sorted(map(_their_rule, other.data_validations.dataValidation)),
    )
    hidden = {
        number - 1
        for number, row in other.row_dimensions.items()
        if row.hidden or (row.height is not None and row.height < LOWEST)
    }
    yield "hidden rows", set(sheet.hidden_rows), hidden
    yield "hidden columns", set(sheet.hidden_columns), _hidden_columns(other)
    notes = {
        (cell.row - 1, cell.column - 1): cell.comment.text
        for row in other.iter_rows()
        for cell in row
        if cell.comment is not None
    }
    yield "notes", sheet.comments, notes


def _hidden_columns(other: Any) -> set[int]:
    return {
        column - 1
        for each in other.column_dimensions.values()
        if each.hidden or (each.customWidth and each.width < NARROWEST)
        for column in range(each.min, each.max + 1)
    }


def _own_rule(rule: dict[str, str]) -> tuple[str, ...]:
    truths = {"true": "1", "false": "0"}
    facts = [truths.get(rule.get(name, usual), rule.get(name, usual)) for name, usual in _VALIDATION.items()]
    places = " ".join(sorted(rule.get("sqref", "").split()))
    return (places, *facts, rule.get("formula1", ""), rule.get("formula2", ""))


def _their_rule(rule: Any) -> tuple[str, ...]:
    facts = []
    for name, usual in _VALIDATION.items():
        value = getattr(rule, name)
        facts.append(usual if value is None else str(int(value)) if isinstance(value, bool) else str(value))
    places = " ".join(sorted(str(rule.sqref).split()))
    return (places, *facts, str(rule.formula1 or ""), str(rule.formula2 or ""))


def _names(read: ReturnedBook, other: Any) -> Iterator[str]:
    mine = {
        name: text
        for name, text in read.names.items()
        if "_xlnm." not in name and "_FilterDatabase" not in name
    }  # KNOWN: own-name
    theirs = {name: item.attr_text for name, item in other.defined_names.items()}
    for sheet in other:
        theirs |= {f"{sheet.title}!{name}": item.attr_text for name, item in sheet.defined_names.items()}
    for name in sorted(mine.keys() | theirs.keys()):
        if mine.get(name) != theirs.get(name):
            yield f"name {name}: {mine.get(name)!r} / {theirs.get(name)!r}"
