"""Loads as they are: a ticket in parts, a load kept for the next day, a return, a rejected load, a volume that the
ticket gives at base temperature. Book and recheck count them alike, and accuse nobody."""

from __future__ import annotations

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.order.tank import chart_of
from sheetgen.register.summary import summarize
from sheetgen.templates import texts
from sheetgen.units import constants
from tests.audit.crew_rows import used
from tests.audit.orders import day, put_before_the_rules, small
from tests.book.test_live_checks import flags
from tests.selection import crossed

ORDERS = {"us": small("us"), "si": small("si", "es"), "diluted": small("us", material__dilution=0.6)}
MINUTE = 1 / 1440


def word(order, kind):
    return texts(order.language)[f"words.{kind}"]


def cells(log, table, row):
    return {key: value for (name, at, key), value in log.items() if (name, at) == (table, row)}


def with_row(log, table, row, **values):
    """The log with a row in place of another one; None leaves a cell blank."""
    kept = {at: value for at, value in log.items() if at[:2] != (table, row)}
    return kept | {(table, row, key): value for key, value in values.items() if value is not None}


def first_of(log, load):
    """The first shot of a load, and the stick reading before its fill."""
    row = min(row for (table, row, key), value in log.items()
              if (table, key) == ("shots", "load") and value == load + 1)  # fmt: skip
    before = log["days", 0, "start_dip"] if row == 0 else log["shots", row - 1, "dip_after"]
    return row, before


def in_parts(log, order):
    """Two loads from one ticket: the second by meter, the first by stick where no water was added to it."""
    computed, _ = put_before_the_rules(log, order)
    rows = computed.load_rows
    total = sum(cells(log, "loads", row)["net_mass"] for row in (0, 1)) * 1.05  # the rest went elsewhere
    shot, before = first_of(log, 0)
    one, two = cells(log, "loads", 0), cells(log, "loads", 1)
    same = {"kind": word(order, "part"), "ticket": one["ticket"]}
    after = {"stick_before": before, "stick_after": log["shots", shot, "dip_before"]}
    if order.material.dilution < 1:
        after = {"taken": round(rows[0].base / rows[0].factor, 1)}
    log = with_row(log, "loads", 0, **(one | same | after | {"net_mass": round(total, -1)}))
    taken = round(rows[1].base / rows[1].factor, 1)
    return with_row(log, "loads", 1, **(two | same | {"net_mass": None, "taken": taken}))


def measured(log, order, share=1.0):
    """A whole load that the meter counted into the tank, water and all."""
    row = put_before_the_rules(log, order)[0].load_rows[0]
    return log | {("loads", 0, "taken"): round(share * row.mix / row.factor, 1)}


def by_stick(log, order, eighths=0):
    """A whole load between two readings of the stick, so many eighths of an inch (or mm) short of its ticket."""
    row, chart = put_before_the_rules(log, order)[0].load_rows[0], chart_of(order.machines[0], order)
    before, step = 4 * order.reading.dip, order.reading.dip
    full = chart.depth_for(chart.volume(before) + row.mix / row.factor)
    after = round(full / step) * step - eighths * step
    return log | {("loads", 0, "stick_before"): before, ("loads", 0, "stick_after"): after}


def returned(log, order, by="stick"):
    """A part of what was left sent back at the end of the day."""
    last = used(log)[-1]
    before, temperature = log["shots", last, "dip_after"], log["days", 0, "end_temperature"]
    after = before - 16 * order.reading.dip
    log = log | {("days", 0, "end_dip"): after}
    values = {"date": log["days", 0, "date"], "time": log["shots", last, "end"] + 10 * MINUTE,
              "temperature": temperature, "kind": word(order, "returned")}  # fmt: skip
    chart = chart_of(order.machines[0], order)
    if by == "stick":
        values |= {"stick_before": before, "stick_after": after}
    elif by == "meter":
        values |= {"taken": round(chart.volume(before) - chart.volume(after), 1)}
    else:
        probe = returned(log | {("days", 0, "end_dip"): before}, order)
        mix = -put_before_the_rules(probe, order)[0].load_rows[-1].mix
        density = constants(order.units)["water_density"] * order.material.specific_gravity
        values |= {"ticket": "R-1", "net_mass": round(mix * density, 1), "temperature": None}
    return with_row(log, "loads", used(log, "loads")[-1] + 1, **values)


def rejected(log, order, remark="too cold"):
    row = used(log, "loads")[-1] + 1
    values = {"date": log["days", 0, "date"], "time": 0.3, "ticket": "X-7", "net_mass": 3000.0, "grade": "other",
              "kind": word(order, "rejected"), "remarks": remark}  # fmt: skip
    return with_row(log, "loads", row, **values)


def kept(log, order):
    """A load taken after the last reading of the day, and a next day that starts with it."""
    row, ended = used(log, "loads")[-1] + 1, log["days", 0, "end_dip"]
    date, temperature = log["days", 0, "date"], log["days", 0, "end_temperature"]
    chart, rule = chart_of(order.machines[0], order), put_before_the_rules(log, order)[0].factors
    starts = ended + 64 * order.reading.dip
    base = (chart.volume(starts) - chart.volume(ended)) * rule.at(temperature)
    water = round(base * (1 - order.material.dilution), 1) or None
    density = constants(order.units)["water_density"] * order.material.specific_gravity
    log = log | {("days", 1, key): value for key, value in cells(log, "days", 0).items()}
    log |= {("days", 1, "date"): date + 1, ("days", 1, "start_dip"): starts, ("days", 1, "end_dip"): starts,
            ("days", 1, "start_temperature"): temperature, ("days", 1, "end_temperature"): temperature}  # fmt: skip
    values = {"date": date, "time": 0.8, "ticket": "T-9", "net_mass": round((base - (water or 0.0)) * density, 1),
              "kind": word(order, "overnight"), "water": water}  # fmt: skip
    return with_row(log, "loads", row, **values)


def corrected(log, order):
    """The first load by a ticket that gives gallons at the base temperature, and no temperature."""
    base = put_before_the_rules(log, order)[0].load_rows[0].base
    load = cells(log, "loads", 0) | {"net_mass": None, "volume": base, "temperature": None}
    return with_row(log, "loads", 0, **(load | {"volume_at": word(order, "at_base")}))


def struck_out(log, order):
    """A row that was written wrongly and struck out, and one of which only a remark is left."""
    row = used(log, "loads")[-1] + 1
    spoiled = {"date": 1.0, "ticket": cells(log, "loads", 0)["ticket"], "net_mass": 9.0, "temperature": 999.0,
               "kind": word(order, "void"), "remarks": "wrong line"}  # fmt: skip
    return with_row(with_row(log, "loads", row, **spoiled), "loads", row + 1, remarks="line spoiled")


def sampled(log, _order):
    return log | {("loads", 0, "sample"): "17", ("loads", 0, "sample_to"): "laboratory"}


WAYS = {
    "whole, counted by the meter": measured, "whole, read by the stick": by_stick,
    "in parts": in_parts, "returned by stick": returned,
    "returned by meter": lambda log, order: returned(log, order, "meter"),
    "returned by ticket": lambda log, order: returned(log, order, "ticket"), "rejected": rejected,
    "kept for the next day": kept, "corrected": corrected, "struck out": struck_out, "sampled": sampled,
}  # fmt: skip


def answers(log, order):
    """What the live checks flag by log and row, their one line, and what the recheck asks."""
    shown, line = flags(order, log)
    computed, found = put_before_the_rules(log, order)
    return {at: on for at, on in shown.items() if on}, line, computed, {
        one.name for one in found if one.severity != "note"
    }  # fmt: skip


@pytest.mark.parametrize(("units", "way"), crossed([*ORDERS], [*WAYS]))
def test_true_work_is_ready_to_send_and_asks_nothing(units, way):
    order = ORDERS[units]
    shown, line, _, asked = answers(WAYS[way](day(order), order), order)
    assert shown == {}
    assert line == texts(order.language)["checks.ready"]
    assert asked == set()


@pytest.mark.parametrize("units", ORDERS)
def test_book_and_recheck_count_all_of_it_alike(tmp_path, units):
    order, path = ORDERS[units], tmp_path / "book.xlsx"
    log = in_parts(day(order), order)
    for way in (rejected, returned, sampled):
        log = way(log, order)
    write_filled(order, order.machines[0], log, path)
    recheck = recheck_book(path)
    assert {one.name for one in recheck.findings if one.severity != "note"} <= {"book-not-signed"}
    values = recheck.book_values
    for row in recheck.load_rows:
        for key in ("by_ticket", "measured", "base", "mix", "counted", "running", "dilution"):
            value = values["loads", row["row"], key].value
            assert (None if value == "" else value) == pytest.approx(row[key]), (row["row"], key)
    whats = [values["loads", row["row"], "what"].value for row in recheck.load_rows]
    plain = ["load"] * (len(whats) - 4)
    assert whats == [word(order, kind) for kind in ("part", "part", *plain, "rejected", "returned")]


@pytest.mark.parametrize("units", ORDERS)
def test_what_is_rejected_or_struck_out_changes_no_figure(units):
    order = ORDERS[units]
    plain, _ = put_before_the_rules(day(order), order)
    for way in (rejected, struck_out, sampled):
        computed, _ = put_before_the_rules(way(day(order), order), order)
        assert computed.totals == plain.totals


@pytest.mark.parametrize("units", ORDERS)
def test_a_return_is_subtracted_and_a_kept_load_is_of_no_day(units):
    order = ORDERS[units]
    plain, _ = put_before_the_rules(day(order), order)
    back, _ = put_before_the_rules(returned(day(order), order), order)
    row = back.load_rows[-1]
    assert row.mix == -row.measured < 0
    assert row.base == pytest.approx(row.mix * order.material.dilution, abs=0.51 * 10**-order.rounding.volume)
    assert back.totals.overall["loaded"] == pytest.approx(plain.totals.overall["loaded"] + row.mix)
    assert back.day_rows[0].loaded == pytest.approx(plain.day_rows[0].loaded + row.mix)
    assert back.totals.overall["payable"] == plain.totals.overall["payable"]
    night, _ = put_before_the_rules(kept(day(order), order), order)
    assert [each.loaded for each in night.day_rows] == [plain.day_rows[0].loaded, 0.0]
    mix = night.load_rows[-1].mix
    assert night.totals.overall["loaded"] == pytest.approx(plain.totals.overall["loaded"] + mix)
    alone = {at: value for at, value in kept(day(order), order).items() if at[:2] != ("days", 1)}
    unused, _ = put_before_the_rules(alone, order)
    assert unused.load_rows[-1].counted == 0.0
    assert unused.totals.overall["loaded"] == plain.totals.overall["loaded"]


def test_a_corrected_volume_is_compared_without_a_factor():
    order = ORDERS["us"]
    log = day(order)
    base = put_before_the_rules(log, order)[0].load_rows[0].base
    both = log | {("loads", 0, "volume"): base}
    assert "load-volume-already-corrected" in {one.name for one in put_before_the_rules(both, order)[1]}
    said = both | {("loads", 0, "volume_at"): word(order, "at_base")}
    names = {one.name for one in put_before_the_rules(said, order)[1]}
    assert not names & {"load-volume-already-corrected", "load-weight-and-volume-differ"}
    more = said | {("loads", 0, "volume"): 1.03 * base}
    assert "load-weight-and-volume-differ" in {one.name for one in put_before_the_rules(more, order)[1]}


def beyond_ticket(log, order):
    log = in_parts(log, order)
    return log | {("loads", 0, "net_mass"): round(0.8 * log["loads", 0, "net_mass"])}


def without_total(log, order):
    return {at: value for at, value in in_parts(log, order).items() if at[0] != "loads" or at[2] != "net_mass"
            or at[1] > 1}  # fmt: skip


def reversed_sticks(log, order):
    log = in_parts(log, order)
    ends = log["loads", 0, "stick_after"], log["loads", 0, "stick_before"]
    return log | {("loads", 0, "stick_before"): ends[0], ("loads", 0, "stick_after"): ends[1]}


def whole_and_part(log, order):
    log = in_parts(log, order)
    mass = log["loads", 0, "net_mass"]
    return log | {("loads", 2, "ticket"): log["loads", 0, "ticket"], ("loads", 0, "net_mass"): mass}


def another_total(log, order, share=1.05):
    log = in_parts(log, order)
    return log | {("loads", 1, "net_mass"): round(log["loads", 0, "net_mass"] * share, -1)}


WRONG = {
    "two totals": (another_total, "ticket-totals-differ", "totals_differ", {0, 1}),
    "short of its ticket by the meter": (
        lambda log, order: measured(log, order, 0.95), "load-measured-otherwise", "measured", {0}),
    "more than its ticket by the meter": (
        lambda log, order: measured(log, order, 1.05), "load-measured-otherwise", "measured", {0}),
    "short of its ticket by the stick": (
        lambda log, order: by_stick(log, order, 0.08 * chart_of(order.machines[0], order).height // order.reading.dip),
        "load-measured-otherwise", "measured", {0}),
    "more than the ticket": (beyond_ticket, "ticket-parts-above-ticket", "parts", {0, 1}),
    "no total": (without_total, "ticket-total-missing", "total", {0, 1}),
    "sticks the wrong way": (reversed_sticks, "load-sticks-reversed", "sticks", {0}),
    "whole and in parts": (whole_and_part, "ticket-repeated", "repeated", {0, 1, 2}),
    "a sample for nobody": (
        lambda log, order: log | {("loads", 0, "sample"): "17"}, "sample-not-handed-over", "sample", {0}),
    "rejected for no reason": (
        lambda log, order: rejected(log, order, None), "void-without-reason", "reason", {3}),
    "no such kind": (
        lambda log, order: log | {("loads", 0, "kind"): "perhaps"}, "unreadable-entry", "kind", {0}),
    "no such volume": (
        lambda log, order: log | {("loads", 0, "volume_at"): "perhaps"}, "unreadable-entry", "volume_at", {0}),
    "a part of nothing": (
        lambda log, order: {at: value for at, value in in_parts(log, order).items() if at != ("loads", 1, "taken")},
        "load-quantity-missing", "quantity", {1}),
    "off the chart": (
        lambda log, order: in_parts(log, order) | {("loads", 0, "stick_after"): 9e3},
        "stick-reading-outside-chart", "chart", {0}),
}  # fmt: skip


@pytest.mark.parametrize(("units", "way"), crossed(["us", "si"], [*WRONG]))
def test_what_cannot_be_shows_in_its_rows_and_in_the_recheck(units, way):
    order = ORDERS[units]
    make, name, check, rows = WRONG[way]
    shown, line, _, asked = answers(make(day(order), order), order)
    assert name in asked
    assert {row for (table, row), on in shown.items() if table == "loads" and f"is_{check}" in on} == rows
    assert line not in (texts(order.language)["checks.ready"], texts(order.language)["checks.empty"])


def test_a_shot_cannot_draw_on_a_load_that_did_not_come():
    order = ORDERS["us"]
    log = rejected(day(order), order)
    row = used(log)[-1]
    log["shots", row, "load"] = used(log, "loads")[-1] + 1.0
    shown, _, _, asked = answers(log, order)
    assert "is_load_not_listed" in shown["shots", row]
    assert "load-not-listed" in asked


def test_more_of_a_ticket_than_it_holds_is_an_error_of_that_much():
    order = ORDERS["us"]
    computed, found = put_before_the_rules(beyond_ticket(day(order), order), order)
    one = next(each for each in found if each.name == "ticket-parts-above-ticket")
    parts = [row for row in computed.load_rows if row.what == "part"]
    assert one.severity == "error"
    assert one.stake == pytest.approx(sum(row.base for row in parts) - parts[0].by_ticket)


@pytest.mark.parametrize(("share", "asked", "beyond"), [(1.005, False, 0), (1.05, True, 0), (0.6, True, 1)])
def test_what_hangs_on_two_totals_of_a_ticket_is_what_was_counted_above_the_lower(share, asked, beyond):
    order = ORDERS["us"]
    computed, found = put_before_the_rules(another_total(day(order), order, share), order)
    ones = [each for each in found if each.name == "ticket-totals-differ"]
    assert [each.severity for each in ones] == ["query"] * asked
    if ones:
        parts = [row for row in computed.load_rows if row.what == "part"]
        totals = [row.by_ticket for row in parts]
        taken = min(sum(row.base for row in parts), max(totals))
        assert ones[0].stake == pytest.approx(beyond * (taken - min(totals)))


def test_the_register_keeps_tickets_of_what_came_and_the_mass_of_whole_ones(tmp_path):
    order, path = ORDERS["us"], tmp_path / "book.xlsx"
    log = returned(rejected(in_parts(day(order), order), order), order, "ticket")
    write_filled(order, order.machines[0], log, path)
    tickets = summarize(recheck_book(path)).tickets
    assert [(each.row, each.mass is None) for each in tickets] == [(0, True), (1, True), (2, False)]


@pytest.mark.parametrize(
    ("typed", "kind"),
    [("Part", "part"), ("RETURNED", "returned"), ("devuelta", "returned"), ("sent back", "returned")],
)
def test_kinds_are_read_as_people_type_them(typed, kind):
    order = ORDERS["us"]
    computed, _ = put_before_the_rules(day(order) | {("loads", 0, "kind"): typed}, order)
    assert computed.load_rows[0].what == kind
