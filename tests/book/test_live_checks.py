"""The live checks: an honest log is ready to send, and what the recheck calls wrong shows before it is sent."""

from __future__ import annotations

import pytest

from sheetgen.audit.findings import catalogue
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from sheetgen.xlsx.results import results
from tests.plan.orders import order_of

TABLES = {"shots": "shot_checks", "loads": "load_checks", "days": "day_checks"}

# What the recheck calls wrong and one book's entries show, and the check that shows it.
SHOWN_BY = {
    "negative-entry": "is_negative",
    "dip-outside-chart": "is_dip_range",
    "dip-rose-during-shot": "is_dip_rose",
    "meter-ran-backwards": "is_meter_fell",
    "waste-above-volume": "is_waste",
    "width-wider-than-bar": "is_too_wide",
    "shot-without-length": "is_no_length",
    "shots-overlap-in-lane": "is_overlap",
    "ticket-repeated": "is_repeated",
    "grade-not-ordered": "is_grade",
    "gravity-out-of-bounds": "is_gravity",
    "diluted-against-order": "is_diluted",
    "load-not-listed": "is_load_not_listed",
    "load-used-before-it-came": "is_load_early",
    "load-used-beyond-its-volume": "is_load_beyond",
    "end-before-start": "is_end_before_start",
    "started-before-last-ended": "is_at_once",
    "two-shots-at-once": "is_at_once",
    "day-logged-twice": "is_repeated",
    "temperature-outside-chart": "is_chart",
    "section-not-ordered": "is_section",
    "temperature-missing": "is_temperature",
    "volume-reading-missing": "is_readings",
    "load-quantity-missing": "is_quantity",
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
        place = book.tables[table]
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


def test_an_empty_log_says_so():
    order = demo_order("us", "en")
    assert flags(order, {})[1] == texts("en")["checks.empty"]


def test_every_wrong_finding_on_entries_has_its_live_check():
    groups = {"shots", "lanes", "loads", "times", "temperature", "tank", "pace", "entries"}
    wrong = {name for name, kind in catalogue().items() if kind.severity == "error" and kind.group in groups}
    assert wrong - set(SHOWN_BY) - BEYOND_FORMULAS == set()


def test_a_day_logged_twice_shows_in_both_rows():
    order = demo_order("us", "en")
    log = honest_day(order, order.machines[0], seed=4)
    log |= {
        ("days", 1, column): value
        for (table, row, column), value in log.items()
        if (table, row) == ("days", 0)
    }
    shown, _line = flags(order, log)
    assert SHOWN_BY["day-logged-twice"] in shown["days", 0] & shown["days", 1]


@pytest.mark.parametrize("name", sorted(set(SHOWN_BY) - {"day-logged-twice"}))
def test_a_planted_error_shows_in_its_row(name):
    order = demo_order("us", "en")
    machine = order.machines[0]
    log, (error,) = planted(honest_day(order, machine, seed=4), order, machine, [name])
    shown, line = flags(order, log)
    assert SHOWN_BY[name] in shown[error.table, error.row], (error, shown)
    assert line not in (texts("en")["checks.ready"], texts("en")["checks.empty"])
