"""The monitor log and the checks of the gauges: what they say against stick, meter, stations and measured amounts."""

from __future__ import annotations

import datetime as dt
import json
from functools import cache
from random import Random

import openpyxl
import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.report import write_report
from sheetgen.audit.rules.gauges import valid_until
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.columns import compared
from sheetgen.demo.day import honest_day
from sheetgen.figures import serial
from sheetgen.order.demo import demo_order
from sheetgen.plausibility import plausibility
from sheetgen.templates import texts
from sheetgen.trade.gauging import gauge_error, gauge_factor
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import changed, findings_of, small
from tests.book.test_live_checks import CHECKS, flags, rechecked
from tests.selection import crossed, sampled

TABLES = ("monitor", "gauges")
GROUP = {name for table in TABLES for check in CHECKS[table].values() for name in check["finds"]}
GROUP = {name for name in GROUP if name.startswith(("monitor", "wheel", "meter", "gauge"))} | {
    "monitor-not-read"
}


@cache
def watched(units="us", language="en"):
    return changed(demo_order(units, language), machines__monitor=True)


def log_of(order, seed=4, days=1):
    return honest_day(order, order.machines[0], seed=seed, days=days)


def named(log, order):
    """The findings of the monitor and the gauges, each with its table, row and column."""
    places = {
        (each.sheet, each.cell): (each.table, each.row, each.column)
        for each in entries_of(log, order, order.machines[0])
    }
    return {
        (each.name, places[each.sheet, each.cell]) for each in findings_of(log, order) if each.name in GROUP
    }


# ------------------------------------------------------------------ published cases, and what follows by hand


@pytest.mark.parametrize(("cubic_inches", "within"), [(6, True), (7, False)])
def test_a_meter_by_the_rule_of_fuel_stock_control(cubic_inches, within):
    # Washington WAC 173-360A-0620 (as 40 CFR 280.43): a meter within 6 in³ for 5 gal drawn; a gallon is 231 in³.
    error = gauge_error(5 + cubic_inches / 231, 5)
    assert (error <= round(6 / (5 * 231), 6)) is within
    assert gauge_error(5 + 6 / 231, 5) == pytest.approx(0.00519, abs=5e-6)


@pytest.mark.parametrize(("shown", "within"), [(95, True), (105, True), (94, False), (106, False)])
def test_a_tachometer_against_the_true_speed(shown, within):
    # Sabita Manual 31 (2011): true speed within 5 %; 100 m/min here.
    assert (abs(gauge_error(shown, 100)) <= 0.05) is within


@pytest.mark.parametrize(("counted", "flagged"), [(101.0, False), (99.0, False), (101.2, True), (98.8, True)])
def test_a_meter_wrong_by_more_than_one_percent_is_set_again(counted, flagged):
    # Tex-922-K part I: a meter wrong by more than 1.0 % is rejected.
    order = small("us")
    log = {("gauges", 0, "date"): 46140.0, ("gauges", 0, "volume_counted"): counted,
           ("gauges", 0, "volume_measured"): 100.0}  # fmt: skip
    found = named(log, order)
    assert (found == {("meter-error-beyond-limit", ("gauges", 0, "volume_counted"))}) is flagged
    assert bool(found) is flagged


def test_the_factor_makes_readings_true():
    # by hand: a wheel that counts 1,004 ft over a taped 1,000 ft
    assert gauge_factor(1004, 1000) == 0.9960
    assert gauge_error(1004, 1000) == 0.004
    assert 1004 * gauge_factor(1004, 1000) == pytest.approx(1000, abs=0.05)


def day_of(year, month, day):
    return float(serial(dt.date(year, month, day)))


@pytest.mark.parametrize(
    ("checked", "sprayed", "old"),
    [((2025, 5, 5), (2026, 5, 5), False), ((2025, 5, 4), (2026, 5, 5), True), ((2024, 2, 29), (2025, 3, 1), False),
     ((2024, 2, 29), (2025, 3, 2), True)],
)  # fmt: skip
def test_a_calibration_of_more_than_twelve_months_before_spraying_is_too_old(checked, sprayed, old):
    # UFGS 02785 part 1.5: calibrated again within [12] months before the work; a national task team: 12 months.
    order = small("us")
    log = {("gauges", 0, "date"): day_of(*checked), ("gauges", 0, "distance_counted"): 1000.0,
           ("gauges", 0, "distance_measured"): 1000.0, ("shots", 0, "date"): day_of(*sprayed)}  # fmt: skip
    assert (valid_until(day_of(*checked)) < day_of(*sprayed)) is old
    assert named(log, order) == ({("gauge-check-too-old", ("gauges", 0, "date"))} if old else set())
    shown, _ = flags(order, log)
    assert ("is_old" in shown["gauges", 0]) is old
    newer = {(table, row + 1, key): value for (table, row, key), value in log.items() if table == "gauges"}
    newer["gauges", 1, "date"] = day_of(*sprayed) - 10
    assert named(log | newer, order) == set()
    assert "is_old" not in flags(order, log | newer)[0]["gauges", 0]


# ------------------------------------------------------------------ honest days


@pytest.mark.parametrize("units", ["us", "si"])
@pytest.mark.parametrize("seed", range(6))
def test_an_honest_monitor_is_not_accused(units, seed):
    order = watched(units)
    log = log_of(order, seed, days=2)
    assert named(log, order) == set()
    assert {row for table, row, _ in log if table == "monitor"} >= {0, 1}
    rows = compute(entries_of(log, order, order.machines[0]), order, order.machines[0]).monitor_rows
    assert all(row.from_stick is not None and row.from_meter is not None for row in rows)
    assert sum(row.shots for row in rows) == len({row for table, row, _ in log if table == "shots"})


@pytest.mark.parametrize(("units", "language"), [("us", "en"), ("si", "es")])
def test_an_honest_log_with_a_monitor_is_ready_to_send(units, language):
    order = watched(units, language)
    shown, _line = flags(order, log_of(order))
    assert {at: on for at, on in shown.items() if on} == {}


def test_a_distributor_without_a_monitor_has_no_log_for_one():
    order = demo_order("us", "en")
    keys = [sheet.key for sheet in lay_out(order, order.machines[0]).sheets]
    assert "monitor" not in keys
    assert "gauges" in keys
    watched_keys = [sheet.key for sheet in lay_out(watched(), watched().machines[0]).sheets]
    assert [key for key in watched_keys if key != "monitor"] == keys
    assert watched_keys[watched_keys.index("monitor") - 1] == "changes"  # with the forms that the crew prints


# ------------------------------------------------------------------ what goes wrong


def put(log, row, **cells):
    changes = {("monitor", row, key): value for key, value in cells.items()}
    return {place: value for place, value in (log | changes).items() if value is not None}


WRONG = {
    "monitor-and-stick-differ": lambda log: put(log, 0, volume=1.12 * log["monitor", 0, "volume"]),
    "monitor-and-meter-differ": lambda log: put(log, 0, volume=0.88 * log["monitor", 0, "volume"]),
    "monitor-and-stations-differ": lambda log: put(log, 0, distance=log["monitor", 0, "distance"] * 1.1),
    "monitor-rate-disagrees": lambda log: put(log, 0, rate=log["monitor", 0, "rate"] * 1.5),
    "monitor-shots-not-logged": lambda log: put(log, 0, first_shot=41.0, last_shot=44.0),
    "monitor-reading-missing": lambda log: put(log, 0, volume=None, distance=None, rate=None),
    "monitor-shots-read-twice": lambda log: put(log, 1, first_shot=3.0),
}


@pytest.mark.parametrize(("units", "name"), crossed(["us", "si"], [*WRONG]))
def test_each_disagreement_is_found_live_and_in_the_recheck(name, units):
    order = watched(units)
    log = WRONG[name](log_of(order))
    found = dict(named(log, order))
    assert name in found
    key = next(key for key, check in CHECKS["monitor"].items() if name in check["finds"])
    shown, _ = flags(order, log)
    assert f"is_{key}" in shown["monitor", found[name][1]]


def test_a_reading_that_is_lost_is_said_in_the_remarks():
    order = watched()
    log = put(log_of(order), 0, volume=None, distance=None, rate=None, remarks="screen dark")
    assert named(log, order) == set()
    assert flags(order, log)[0]["monitor", 0] == set()


@pytest.mark.parametrize(("shots", "reminded"), [(8, None), (9, 8), (12, 8)])
def test_the_monitor_is_read_before_it_forgets(shots, reminded):
    # common practice, no source: it keeps ten sessions; each shot may be one
    assert plausibility()["monitor_sessions"] == 10
    order = watched()
    log = {("shots", row, "load"): 1.0 for row in range(shots)}
    found = named(log, order)
    assert {place[1] for _, place in found} == (set() if reminded is None else {reminded})
    shown, _ = flags(order, log)
    assert {row for (table, row), on in shown.items() if "is_monitor" in on} == (
        set() if reminded is None else {reminded}
    )
    log |= {
        ("monitor", 0, "first_shot"): 1.0,
        ("monitor", 0, "last_shot"): 5.0,
        ("monitor", 0, "remarks"): "x",
    }
    assert {name for name, _ in named(log, order)} == set()


def test_gauge_checks_need_both_halves_and_a_date():
    order = small("us")
    log = {("gauges", 0, "date"): 46140.0, ("gauges", 0, "distance_counted"): 1000.0}
    assert named(log, order) == {("gauge-check-incomplete", ("gauges", 0, "distance_measured"))}
    log = {("gauges", 0, "distance_counted"): 1000.0, ("gauges", 0, "distance_measured"): 1000.0}
    assert named(log, order) == {("gauge-check-incomplete", ("gauges", 0, "date"))}
    log = {("gauges", 0, "date"): 46140.0, ("gauges", 0, "distance_counted"): 1020.0,
           ("gauges", 0, "distance_measured"): 1000.0}  # fmt: skip
    assert named(log, order) == {("wheel-error-beyond-limit", ("gauges", 0, "distance_counted"))}


# ------------------------------------------------------------------ live and recheck, generated


def drawn(seed):
    """A log of an honest day with entries of the two tables changed, blanked or doubled."""
    chance = Random(seed)
    units = chance.choice(("us", "si"))
    order = watched(units)
    log = log_of(order, seed % 7)
    for (table, row, key), value in list(log.items()):
        if table == "monitor" and chance.random() < 0.25 and isinstance(value, float):
            new = chance.choice((None, round(value * chance.uniform(0.8, 1.2), 1), round(value + 1), 0.0))
            if key in ("first_shot", "last_shot", "nozzles") and new is not None:
                new = float(max(1, round(new)))
            log[table, row, key] = new
        elif (
            table == "shots" and key in ("dip_after", "meter_before", "to_station") and chance.random() < 0.05
        ):
            log[table, row, key] = None
    for row in range(3):
        for key, true in (("distance", 500.0), ("volume", 100.0)):
            for half in ("counted", "measured"):
                if chance.random() < 0.75:
                    log["gauges", row, f"{key}_{half}"] = round(true * chance.uniform(0.98, 1.02), 1)
        if chance.random() < 0.9:
            log["gauges", row, "date"] = 46147.0 - chance.choice((1, 200, 365, 366, 400))
    return order, {place: value for place, value in log.items() if value is not None}


@pytest.mark.parametrize("seed", sampled(list(range(12)), 5))
def test_live_and_recheck_give_the_same_rows_and_results(seed):
    order, log = drawn(seed)
    machine = order.machines[0]
    book = lay_out(order, machine, log)
    values, keys = results(book), {sheet.name: sheet.key for sheet in book.sheets}
    own = compute(entries_of(log, order, machine), order, machine).results
    for table in TABLES:
        place = book.tables[table]
        for row, each in own[table].items():
            for column in compared(table):
                live = values[keys[place.sheet], place.first_row + row, place.columns[column.key]]
                assert (None if live == "" else live) == pytest.approx(each[column.key], abs=1e-9), (
                    table, row, column.key,
                )  # fmt: skip
    shown, _ = flags(order, log)
    found, odd, _ = rechecked(order, log)
    for (table, row), on in shown.items():
        if table in TABLES:
            finds = {name for flag in on for name in CHECKS[table][flag[3:]]["finds"]}
            here = {name for name in found.get((table, row), set()) if name in GROUP}
            assert here <= finds, (table, row, on, here)
            for flag in on - {"is_twice"}:
                assert set(CHECKS[table][flag[3:]]["finds"]) & here or (table, row) in odd, (table, row, flag)
    reminded = {row for (table, row), on in shown.items() if "is_monitor" in on}
    assert reminded == {at[1] for at, names in found.items() if "monitor-not-read" in names}


# ------------------------------------------------------------------ the report


def test_the_report_shows_both_tables_where_they_are_used(tmp_path):
    order = watched()
    log = put(log_of(order), 0, volume=999.0) | {("gauges", 0, "date"): 46140.0}
    log |= {("gauges", 0, "volume_counted"): 99.0, ("gauges", 0, "volume_measured"): 100.0}
    path = write_book(lay_out(order, order.machines[0], log), tmp_path / "book.xlsx")
    recheck = recheck_book(path)
    report, data, *_ = write_report(recheck, tmp_path / "out")
    found = json.loads(data.read_text("utf-8"))
    lines = found["monitor"]
    assert [line["results"]["by_stick"]["recomputed"] for line in lines] == [
        row["by_stick"] for row in recheck.monitor_rows
    ]
    assert all(result["same"] and result["cell"] for line in lines for result in line["results"].values())
    assert found["gauges"][0]["results"]["meter_factor"]["recomputed"] == 1.0101
    tab = texts("en")["report.sheet.gauges"]
    shown = [cell.value for row in openpyxl.load_workbook(report)[tab].iter_rows() for cell in row]
    assert recheck.monitor_rows[0]["by_stick"] in shown
    assert 1.0101 in shown
    names = {each.name for each in recheck.findings if each.severity != "note"}
    assert names == {"monitor-and-stick-differ", "monitor-and-meter-differ", "monitor-rate-disagrees"}


def test_the_report_has_no_sheet_for_them_where_nothing_is_written(tmp_path):
    order = small("us")
    path = write_book(lay_out(order, order.machines[0], log_of(order)), tmp_path / "book.xlsx")
    report, *_ = write_report(recheck_book(path), tmp_path / "out")
    assert texts("en")["report.sheet.gauges"] not in openpyxl.load_workbook(report).sheetnames
