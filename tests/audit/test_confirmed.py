"""What a crew looked at and confirmed with a remark: no open item of the book, and a query with that remark."""

from __future__ import annotations

import pytest

from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.findings import catalogue, confirmable
from sheetgen.audit.report.contents import contents
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.demo.planted import planted
from sheetgen.templates import texts, toml
from tests.audit.crew_rows import bar_shots, inserted, struck_out, used
from tests.audit.orders import day, findings_of, put_before_the_rules, small
from tests.book.test_live_checks import CHECKS, flags
from tests.selection import sampled

ORDERS = {"us": small("us"), "si": small("si", "es")}
QUERIES = (
    "end-before-start", "shot-outside-section", "width-and-nozzles-differ", "tank-below-reserve",
    "outside-spraying-range", "second-pass-over-nothing", "rate-out-of-tolerance", "load-used-before-it-came",
)  # fmt: skip
REASON = "looked again: it is so"


def confirmed(log, order, rows, table="shots", remark=REASON):
    """The log with rows that the crew looked at and found so."""
    log = dict(log)
    for row in rows:
        log[table, row, "confirmed"] = texts(order.language)["words.yes"]
        log.pop((table, row, "remarks"), None)
        if remark:
            log[table, row, "remarks"] = remark
    return log


def shown(log, order):
    """What the live checks flag, by log and row, and their one line."""
    marked, line = flags(order, log)
    return {at: on for at, on in marked.items() if on}, line


def of_names(found, *names):
    return [each for each in found if each.name in names]


@pytest.mark.parametrize(
    ("units", "name"), [*(("us", name) for name in QUERIES), *sampled([("si", name) for name in QUERIES], 2)]
)
def test_a_true_and_unusual_row_leaves_the_open_items_and_stays_a_query(units, name):
    order = ORDERS[units]
    log, _ = planted(day(order), order, order.machines[0], [name])
    before, _ = shown(log, order)
    first = findings_of(log, order)
    rows = [row for table, row in before if table == "shots"]
    assert rows
    asked = of_names(first, name)
    assert asked
    log = confirmed(log, order, rows)
    after, _ = shown(log, order)
    checks = {
        check
        for on in before.values()
        for check in on
        if name in CHECKS["shots"].get(check[3:], {}).get("finds", ())
    }
    assert checks
    assert not checks & {check for on in after.values() for check in on}
    then = of_names(findings_of(log, order), name)
    assert [(one.cell, one.severity, one.found) for one in then] == [
        (one.cell, "query", one.found) for one in asked
    ]
    said = texts(order.language).say("said.acknowledged", remark=REASON)
    assert all(one.acknowledged == REASON and one.matters.startswith(said) for one in then)
    assert not any(one.acknowledged for one in first)


@pytest.mark.parametrize("units", ORDERS)
def test_a_day_whose_only_oddity_is_confirmed_is_ready_to_send(units):
    order = ORDERS[units]
    log, _ = planted(day(order), order, order.machines[0], ["outside-spraying-range"])
    rows = [row for table, row in shown(log, order)[0] if table == "shots"]
    after, line = shown(confirmed(log, order, rows), order)
    assert after == {}
    assert line == texts(order.language)["checks.ready"]
    queried = [one for one in findings_of(confirmed(log, order, rows), order) if one.severity == "query"]
    assert queried
    assert all(one.acknowledged for one in queried)


@pytest.mark.parametrize(
    "name", ["stick-reading-rose-during-shot", "width-wider-than-bar", "shots-overlap-in-lane"]
)
def test_no_error_is_acknowledged_nor_leaves_the_open_items(name):
    order = ORDERS["us"]
    log, _ = planted(day(order), order, order.machines[0], [name])
    before, _ = shown(log, order)
    stakes = {one.cell: one.stake for one in of_names(findings_of(log, order), name)}
    assert stakes
    log = confirmed(log, order, used(log))
    after, line = shown(log, order)
    checks = {
        check
        for on in before.values()
        for check in on
        if name in CHECKS["shots"].get(check[3:], {}).get("finds", ())
    }
    lasting = {check for check in checks if not CHECKS["shots"][check[3:]].get("confirm")}
    assert lasting
    assert lasting <= {check for on in after.values() for check in on}
    assert line != texts("en")["checks.ready"]
    then = of_names(findings_of(log, order), name)
    assert {one.cell: one.stake for one in then} == stakes
    assert not any(one.acknowledged for one in then)


def test_what_can_be_confirmed_hides_no_error():
    for log, group in toml("sheets/checks.toml").items():
        lasting = {name for check in group["checks"] if not check.get("confirm") for name in check["finds"]}
        for check in group["checks"]:
            errors = {name for name in check["finds"] if catalogue()[name].severity == "error"}
            assert not check.get("confirm") or errors <= lasting, (log, check["key"])


COLD = ("days", 0, "air_temperature"), -20.0
# An oddity in a row of each other log, and the query about it.
ODD_ROWS = [
    ("days", {COLD[0]: COLD[1]}, {"air-below-limit"}),
    ("changes", {("changes", 0, "from_shot"): 500.0, ("changes", 0, "section"): "S1", ("changes", 0, "new_rate"): 0.05},
     {"change-without-authority"}),
    ("gauges", {("gauges", 0, "volume_counted"): 110.0, ("gauges", 0, "volume_measured"): 100.0},
     {"meter-error-beyond-limit"}),
    ("monitor", {("monitor", 0, "first_shot"): 1.0, ("monitor", 0, "last_shot"): 1.0, ("monitor", 0, "volume"): 9000.0,
                 ("monitor", 0, "session"): 1.0}, {"monitor-and-stick-differ", "monitor-and-meter-differ"}),
]  # fmt: skip


@pytest.mark.parametrize(("table", "odd", "names"), ODD_ROWS, ids=[each[0] for each in ODD_ROWS])
def test_an_oddity_of_any_log_is_confirmed_in_its_row(table, odd, names):
    order = small("us", limits__air_min=40)
    machines = tuple(each.model_copy(update={"monitor": True}) for each in order.machines)
    order = order.model_copy(update={"machines": machines})
    log = day(order) | {(table, 0, "date"): day(order)["days", 0, "date"]} | odd
    before, _ = shown(log, order)
    assert before[table, 0]
    asked = {one.name for one in findings_of(log, order) if one.severity == "query"}
    assert names <= asked
    log = confirmed(log, order, [0], table)
    after, _ = shown(log, order)
    assert (table, 0) not in after
    then = of_names(findings_of(log, order), *names)
    assert {one.name for one in then} == names
    assert all((one.severity, one.acknowledged) == ("query", REASON) for one in then)


def test_what_the_book_goes_on_asking_is_not_shown_as_acknowledged():
    order = ORDERS["us"]
    log = day(order)
    row = bar_shots(log)[1]
    log["shots", row, "load"] = 14.0
    log = confirmed(log, order, [row])
    after, _ = shown(log, order)
    assert after["shots", row] == {"is_load_not_listed"}
    assert [one.acknowledged for one in of_names(findings_of(log, order), "load-not-listed")] == [""]
    assert not confirmable("load-not-listed", "shots")
    assert confirmable("stick-and-meter-differ", "shots")  # no live check stands for it: the remark is shown


@pytest.mark.parametrize("table", ["shots", "loads", "days"])
@pytest.mark.parametrize("units", ORDERS)
def test_confirmed_without_a_remark_is_one_item_and_one_query(table, units):
    order = ORDERS[units]
    log = confirmed(day(order), order, [0], table, remark=None)
    after, _ = shown(log, order)
    assert after == {(table, 0): {"is_confirmed_why"}}
    found = [one for one in findings_of(log, order) if one.severity != "note"]
    assert [one.name for one in found] == ["confirmed-without-remark"]


@pytest.mark.parametrize("table", ["shots", "loads", "days"])
def test_a_word_that_confirms_nothing_is_said(table):
    order = ORDERS["us"]
    log = day(order) | {(table, 0, "confirmed"): "perhaps", (table, 0, "remarks"): REASON}
    assert shown(log, order)[0] == {(table, 0): {"is_confirmed"}}
    found = [one for one in findings_of(log, order) if one.severity != "note"]
    assert [one.name for one in found] == ["unreadable-entry-beside-quantities"]


@pytest.mark.parametrize("typed", ["x", "Sí", "YES", "y"])
def test_yes_is_read_in_any_language(typed):
    order = ORDERS["us"]
    log = day(order) | {("shots", 0, "confirmed"): typed, ("shots", 0, "remarks"): REASON}
    assert Logs.of(entries_of(log, order, order.machines[0])).shots[0].confirmed == "yes"


def test_a_mark_alone_makes_no_row():
    order = ORDERS["us"]
    log = day(order)
    plain, _ = put_before_the_rules(log, order)
    free = {table: used(log, table)[-1] + 1 for table in ("shots", "loads", "days")}
    for table, row in free.items():
        marked = log | {(table, row, "confirmed"): "yes"}
        computed, found = put_before_the_rules(marked, order)
        assert computed.totals == plain.totals
        assert not [one for one in found if one.severity != "note"]
        assert shown(marked, order)[0] == {}


def test_a_row_struck_out_stays_struck_out_where_it_was_confirmed():
    order = ORDERS["us"]
    log = day(order)
    row = bar_shots(log)[1]
    plain, _ = put_before_the_rules(log, order)
    for spoiled in (struck_out(log, order, row), inserted(log, row, remarks="line spoiled")):
        spoiled = spoiled | {("shots", row, "confirmed"): "yes"}
        computed, found = put_before_the_rules(spoiled, order)
        assert computed.totals == plain.totals
        assert not [one for one in found if one.severity != "note"]
        assert shown(spoiled, order)[0] == {}


@pytest.mark.parametrize("units", ORDERS)
def test_the_report_shows_it_behind_the_queries_that_nobody_looked_at(tmp_path, units):
    order = ORDERS[units]
    log, _ = planted(
        day(order), order, order.machines[0], ["outside-spraying-range", "width-and-nozzles-differ"]
    )
    rows = {one.row for one in of_names(findings_of(log, order), "outside-spraying-range")}
    path = tmp_path / "book.xlsx"
    write_filled(order, order.machines[0], confirmed(log, order, rows), path)
    recheck = recheck_book(path)
    document = contents(recheck)
    queries = [one for one in document.findings if one.severity == "query"]
    marked = [one for one in queries if one.acknowledged]
    assert {one.name for one in marked} >= {"outside-spraying-range"}
    assert queries[-len(marked) :] == marked
    assert len(marked) < len(queries)
    said = texts(order.language).say("report.verdict.acknowledged", count=len(marked))
    assert said in document.conclusion.sentences
    assert document.conclusion.counts.query == len(queries)
