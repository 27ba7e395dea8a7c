"""Which quantities hang on which entries, as the columns declare it: what cannot be read is "error" only where
one does, or where a row cannot be counted without it."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen.audit.compute.book import as_dict, compute
from sheetgen.audit.compute.calibration import compute_calibration
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.findings import catalogue
from sheetgen.columns import entry_columns as columns
from sheetgen.templates import texts
from tests.audit.orders import day, findings_of, small

LOGS = ("shots", "loads", "days")
WORDS = texts("en")
COLUMNS = [(table, key) for table in (*LOGS, "pads", "catch") for key in columns(table)]
BY_DIP = small("us", material__dilution=0.5, sections__rate=0.03)
BY_METER = small("us", pay__measured_by="meter")


def with_everything(log, weighed):
    """The log with an entry in every column that may be left blank; loads by mass, or by volume at a temperature."""
    log = log | {
        ("shots", 2, "waste"): 3.0,
        ("shots", 3, "kind"): "hand spray",
        ("days", 0, "returned"): 20.0,
        ("loads", 0, "water"): 30.0,
    }
    pads = {"line": "across", "area": 1.0, "mass_before": 100.0, "position": 1.0}
    for row in range(3):
        log |= {("pads", row, key): value for key, value in pads.items()}
        log |= {("pads", row, "mass_after"): 200.0 + row}
        log |= {("catch", row, "volume"): 0.5 + row / 100, ("catch", row, "seconds"): 10.0 + row}
    for place in [place for place in log if place[0] == "loads" and place[2] == "net_mass"]:
        if not weighed:
            del log[place]
            log["loads", place[1], "volume"] = 300.0
    if not weighed:
        log["loads", 0, "volume_at"] = WORDS["words.at_base"]
    return log


def in_parts(log):
    """The log with a part of a ticket by the stick and one by the meter."""
    log = log | {("loads", row, "kind"): WORDS["words.part"] for row in (0, 1)}
    return log | {
        ("loads", 0, "stick_before"): 6.0,
        ("loads", 0, "stick_after"): 30.0,
        ("loads", 1, "taken"): 200.0,
    }


def results(log, order):
    """Everything that is worked out from a log."""
    done = compute(entries_of(log, order, order.machines[0]), order, order.machines[0])
    rows = [as_dict(row) for part in (done.shot_rows, done.load_rows, done.day_rows) for row in part]
    for row in rows:
        row.pop("ticket", None)  # what a row is named by, as it was typed
    return (
        rows,
        done.totals.overall,
        done.totals.by_section,
        done.totals.by_day,
        compute_calibration(done.logs, order, order.machines[0]),
    )


@cache
def cases():
    """Logs that between them use every column, each with what is worked out from it."""
    logs = [
        (with_everything(day(order, 5), weighed), order)
        for order in (BY_DIP, BY_METER)
        for weighed in (True, False)
    ]
    logs.append((in_parts(logs[0][0]), BY_DIP))
    return [(log, order, results(log, order)) for log, order in logs]


@pytest.mark.parametrize(("table", "column"), COLUMNS)
def test_a_quantity_hangs_on_an_entry_just_where_it_is_declared(table, column):
    changes = False
    for log, order, before in cases():
        unread = {place: "?" for place in log if (place[0], place[2]) == (table, column)}
        changes = changes or results(log | unread, order) != before
    assert changes == columns(table)[column].computed


@pytest.mark.parametrize(("table", "column"), [each for each in COLUMNS if each[0] in LOGS])
def test_an_error_value_is_wrong_just_where_a_quantity_or_a_row_hangs_on_it(table, column):
    order = small("us")
    log = day(order, 5) | {(table, 0, column): "#REF!"}
    machine = order.machines[0]
    (entry,) = [
        each for each in entries_of(log, order, machine)
        if (each.table, each.row, each.column) == (table, 0, column)
    ]  # fmt: skip
    spec = columns(table)[column]
    beside = column in ("meter_before", "meter_after")  # of a shot whose volume the stick has told
    needed = (spec.computed or spec.needed) and not beside
    assert catalogue()[entry.trouble].severity == ("error" if needed else "query")
    (found,) = [
        each for each in findings_of(log, order) if each.cell == f"{column} 1" and each.found == "#REF!"
    ]
    assert (found.name, found.severity) == (entry.trouble, catalogue()[entry.trouble].severity)


@pytest.mark.parametrize(
    ("column", "typed", "severity"),
    [
        ("start", "early", "query"),
        ("start", 7.5, "query"),
        ("end", 45621.0, "query"),
        ("load", "the second", "query"),
        ("load", 2.5, "query"),
        ("nozzles", "most", "query"),
        ("width", "most", "error"),
        ("temperature", "hot", "error"),
        ("dip_before", "full", "error"),
    ],
)
def test_what_cannot_be_read_of_a_shot(column, typed, severity):
    order = small("us")
    findings = findings_of(day(order, 5) | {("shots", 2, column): typed}, order)
    assert {each.severity for each in findings if each.cell == f"{column} 3"} == {severity}
