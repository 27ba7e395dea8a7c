"""The live checks: an honest log is ready to send, and what the recheck calls wrong shows before it is sent."""

from __future__ import annotations

from random import Random

import pytest

from sheetgen.audit.compute.uncertainty import COVERAGE, uncertainty
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.findings import catalogue, live_checks
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.demo.planted_errors import PLANTS
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts, toml
from sheetgen.xlsx.results import results
from tests.audit.crew_rows import untidy
from tests.audit.orders import findings_of, put_before_the_rules, small
from tests.plan.orders import order_of
from tests.selection import crossed, exhaustive, sampled

TABLES = {log: group["table"] for log, group in toml("sheets/checks.toml").items()}

CHECKS = {
    log: {check["key"]: check for check in group["checks"]}
    for log, group in toml("sheets/checks.toml").items()
}
# Not to be known from the cells' values by a formula: how a text was meant, or that a result was tampered with.
BEYOND_FORMULAS = {
    "unreadable-entry",
    "error-value-in-entry",
    "fraction-turned-into-date",
    "entry-missing",
} | {name for name in catalogue() if name.startswith("ambiguous-")}


def flags(order, log):
    """What the checks show: (table, row) -> the checks that are 1."""
    book = lay_out(order, order.machines[0], log)
    values = results(book)
    shown = {}
    for log_table, table in TABLES.items():
        place = book.tables.get(table)
        if place is None:  # of what the distributor has not
            continue
        for row in range(place.first_row, place.last_row + 1):
            flagged = (
                (key, values["checks", row, col]) for key, col in place.columns.items() if key[:3] == "is_"
            )
            on = {key for key, value in flagged if value == 1}
            shown[log_table, row - place.first_row] = on
    sheet, row, col = book.fields["checks_line"]
    return shown, values[sheet, row, col]


@pytest.mark.parametrize(("units", "language"), [("us", "en"), ("us", "es"), ("si", "en"), ("si", "es")])
def test_an_honest_log_is_ready_to_send(units, language):
    order = demo_order(units, language)
    shown, line = flags(order, honest_day(order, order.machines[0], seed=4))
    assert {at: on for at, on in shown.items() if on} == {}
    assert line == texts(language)["checks.ready"]


@pytest.mark.parametrize(("widths", "flagged"), [((6.5, 6.0), False), ((6.5, 6.5), True), ((6.0, 8.0), True)])
def test_planned_passes_side_by_side_are_no_overlap_and_wider_ones_are(widths, flagged):
    # An 8 ft bar on a 12 ft lane is planned as 13 and 12 nozzles; the second pass is logged in two shots.
    machine = {"bar_widths": [8], "nozzle_spacing": 6, "nozzle_flow_max": 5, "nozzle_flow_min": 1}
    order = order_of({"rate": 0.15}, machine)
    stretches = [(0, 1000, widths[0]), (0, 400, widths[1]), (400, 1000, widths[1])]
    log = {}
    for row, (start, end, width) in enumerate(stretches):
        log |= {("shots", row, "section"): "S1", ("shots", row, "lane"): "L1", ("shots", row, "width"): width,
                ("shots", row, "from_station"): start, ("shots", row, "to_station"): end}  # fmt: skip
    shown, _ = flags(order, log)
    assert any("is_overlap" in on for on in shown.values()) is flagged


@pytest.mark.parametrize(("units", "record"), [("us", "dip"), ("si", "meter")])
def test_a_days_rest_is_asked_about_where_the_readings_do_not_explain_it(units, record):
    # To 4 %: the recheck takes a chart's slope over what a reading can be off by, and the thermometers with it.
    order = small(units, pay__measured_by=record)
    log = honest_day(order, order.machines[0], seed=4)
    book = lay_out(order, order.machines[0], log)
    place = book.tables["day_checks"]
    computation = put_before_the_rules(log, order)[0]
    reach = COVERAGE * uncertainty(computation, order, order.machines[0]).totals.by_day[0]
    shown = results(book)["checks", place.first_row, place.columns["reach"]]
    assert shown == pytest.approx(reach, rel=0.04)


def test_an_empty_log_says_so():
    order = demo_order("us", "en")
    assert flags(order, {})[1] == texts("en")["checks.empty"]


def test_every_error_on_entries_has_its_live_check():
    groups = {"shots", "lanes", "loads", "times", "temperature", "tank", "pace", "entries"}
    errors = {name for name, kind in catalogue().items() if kind.severity == "error" and kind.group in groups}
    assert errors - set(live_checks()) - BEYOND_FORMULAS == set()


def test_a_day_logged_twice_shows_in_both_rows():
    order = demo_order("us", "en")
    log = honest_day(order, order.machines[0], seed=4)
    log |= {
        ("days", 1, column): value
        for (table, row, column), value in log.items()
        if (table, row) == ("days", 0)
    }
    shown, _line = flags(order, log)
    assert "is_repeated" in shown["days", 0] & shown["days", 1]


def day_with_page_totals(order, last_row, **counted):
    """An honest day, its last shot further down on the page with blank rows before it, and the foreman's totals."""
    log = honest_day(order, order.machines[0], seed=4)
    last = max(row for table, row, _column in log if table == "shots")
    log = {
        (table, last_row if (table, row) == ("shots", last) else row, column): value
        for (table, row, column), value in log.items()
    }
    hot = [row.hot for row in put_before_the_rules(log, order)[0].shot_rows]
    right = {"shots": len(hot), "volume": sum(hot), "last_station": log["shots", last_row, "to_station"]}
    return log | {("pages", 0, column): value for column, value in (right | counted).items()}


@pytest.mark.parametrize("units", ["us", "si"])
def test_page_totals_go_by_the_filled_rows_where_rows_are_blank(units):
    order = demo_order(units, "en")
    log = day_with_page_totals(order, last_row=15)
    shown, line = flags(order, log)
    assert {at: on for at, on in shown.items() if on} == {}
    assert line == texts("en")["checks.ready"]
    assert {one.name for one in findings_of(log, order) if one.name.startswith("page-")} == set()


@pytest.mark.parametrize(
    ("column", "value", "name"),
    [("shots", 12, "page-count-differs"), ("volume", 1, "page-volume-differs"),
     ("last_station", 10000, "page-last-station-differs")],
)  # fmt: skip
def test_a_page_total_that_differs_is_not_ready_to_send(column, value, name):
    order = demo_order("us", "en")
    log = day_with_page_totals(order, last_row=14, **{column: value})
    shown, line = flags(order, log)
    assert {at: on for at, on in shown.items() if on} == {("pages", 0): {f"is_{column}"}}
    assert line == texts("en")["checks.thing"]
    assert {one.name for one in findings_of(log, order) if one.name.startswith("page-")} == {name}


def groups_of_plants(seed, size=3):
    """Every plant once, a few in a log, in an order of the seed's own."""
    names = Random(seed).sample(sorted(PLANTS), len(PLANTS))
    return ["+".join(names[at : at + size]) for at in range(0, len(names), size)]


def rechecked(order, log):
    """What the recheck finds at each row of the logs, and the rows with an entry that formulas take otherwise.

    One column that is blank in several rows is one finding, and is found in each of them.
    """
    entries = entries_of(log, order, order.machines[0])
    rows = {(each.sheet, each.cell): (each.table, each.row) for each in entries}
    found = {}
    for each in findings_of(log, order):
        at = rows.get((each.sheet, each.cell))
        down = each.shots if each.name in ("entry-missing", "temperature-missing") else ()
        for place in {at, *(("shots", row) for row in down)}:
            found.setdefault(place, set()).add(each.name)
    odd = {(each.table, each.row) for each in entries if each.trouble or each.how}
    return found, odd, {each.trouble for each in entries}


# Findings about what all rows up to one come to. A sum of the book lacks what its formulas cannot take in a row above,
# and passes its limit some rows later.
SUMS = {"load-used-beyond-its-volume"}
# Findings about all shots of a lane: formulas leave out what only a person can read in any of its rows.
OF_A_LANE = {"gap-in-lane", "stretch-not-sprayed", "strip-not-sprayed"}


@pytest.mark.parametrize(
    ("units", "together"),
    [
        *crossed(["us", "si"], groups_of_plants(3)),
        *(
            exhaustive((units, each))
            for seed in (4, 5)
            for each in groups_of_plants(seed)
            for units in ("us", "si")
        ),
    ],
)
def test_live_checks_and_recheck_speak_of_the_same_rows(units, together):
    names = together.split("+")
    order = small(units)
    log, _made = planted(honest_day(order, order.machines[0], seed=4), order, order.machines[0], names)
    line, found = they_speak_of_the_same_rows(order, log)
    if any(name in live_checks() for name in found.intersection(names)):  # one error may overwrite another
        assert line not in (texts("en")["checks.ready"], texts("en")["checks.empty"])


@pytest.mark.parametrize(
    ("units", "together"),
    sampled(
        [(units, each) for seed in (6, 7) for each in groups_of_plants(seed) for units in ("us", "si")], 17
    ),
)
def test_so_they_do_on_a_day_with_rows_of_every_kind(units, together):
    order = small(units, "es" if units == "si" else "en")
    honest = honest_day(order, order.machines[0], seed=4)
    log, made = planted(honest, order, order.machines[0], together.split("+"))
    changed = {row for table, row, key in log.keys() | honest.keys()
               if table == "shots" and log.get((table, row, key)) != honest.get((table, row, key))}  # fmt: skip
    log = untidy(log, order, changed | {each.row for each in made if each.table == "shots"})
    they_speak_of_the_same_rows(order, log, {"shots"})


def _odd_above(odd, at):
    """Whether a row above in the same log has an entry that formulas may take otherwise than a person."""
    return any(table == at[0] and row < at[1] for table, row in odd)


def they_speak_of_the_same_rows(order, log, tables=frozenset(TABLES)):
    """Hold the live checks of logs against what the recheck finds; gives the book's one line and every finding."""
    shown, line = flags(order, log)
    found, odd, troubles = rechecked(order, log)
    for at, finds in found.items():
        if at and at[0] not in tables:
            continue
        for name in finds - troubles:
            checks = {f"is_{key}" for table, key in live_checks().get(name, ()) if at and table == at[0]}
            flagged = set(shown[at]) if checks else set()
            if name in SUMS and _odd_above(odd, at):
                flagged = set().union(
                    *(on for (table, row), on in shown.items() if (table, row) >= at and table == at[0])
                )
                asked = [(table, row) for table, row in odd if table == at[0] and row < at[1]]
                flagged |= checks if any("is_unclear" in shown[each] for each in asked) else set()
            misread = name in OF_A_LANE and any(table == "shots" for table, _ in odd)
            assert not checks or checks & flagged or misread, (at, name, shown[at])
    everything = set().union(*found.values())
    for (table, row), flagged in shown.items():
        for flag in flagged if table in tables else ():
            check = CHECKS[table][flag.removeprefix("is_")]
            late = SUMS & {*check["finds"]} and _odd_above(odd, (table, row))
            here = everything if check.get("pair") or late else found.get((table, row), set())
            # An entry that formulas take otherwise than a person shows in its row, in the other of a pair, in its day.
            misread = odd if check.get("pair") or flag == "is_unexplained" else odd & {(table, row)}
            assert {*check["finds"], *check.get("at_times", ())} & here or misread, (
                table,
                row,
                flag,
                found,
            )
    return line, everything
