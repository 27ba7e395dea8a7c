"""What the crew looked at and confirmed with a remark: a query stays one, and is shown with what was said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from sheetgen.audit.findings import catalogue, confirmable
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case

# Found in many rows together, and only said at one of them: no remark in that row is about all of them.
_OF_MANY_ROWS = "invention"


def check(case: Case) -> Iterator[Finding]:
    """Every row that is confirmed without a reason."""
    for table, rows in case.logs.by_table(void=True).items():
        for row in rows:
            if row.confirmed is not None and not row.remarks:
                number = case.voice.number(row.row)
                yield case.voice.at("confirmed-without-remark", table, row.row, "confirmed", number=number)


def acknowledged(case: Case, findings: Iterable[Finding]) -> Iterator[Finding]:
    """The findings; each query at a confirmed row, about that row, with the crew's remark.

    No error is acknowledged, and no query that the book goes on asking.
    """
    tables = {entry.sheet: entry.table for entry in case.logs.entries.values()}
    remarks = {
        (table, row.row): row.remarks
        for table, rows in case.logs.by_table().items()
        for row in rows
        if row.confirmed is not None and row.remarks
    }
    for one in findings:
        table = tables.get(one.sheet, "")
        remark = remarks.get((table, -1 if one.row is None else one.row))
        queried = one.severity == "query" and catalogue()[one.name].group != _OF_MANY_ROWS
        if remark is None or not queried or not confirmable(one.name, table):
            yield one
            continue
        said = case.voice.say.say("said.acknowledged", remark=remark)
        yield replace(one, acknowledged=remark, matters=f"{said}. {one.matters}".strip())
