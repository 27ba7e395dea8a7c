"""The calibration computed again from its entries: against ASTM D2995 and against the book's own formulas."""

from __future__ import annotations

import pytest

from sheetgen.audit.compute.book import compute
from sheetgen.audit.compute.calibration import compute_calibration
from sheetgen.audit.entries.book_values import BookValue
from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules.check import check_all
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.templates import texts
from tests.audit.orders import day, small
from tests.book.calibrated import GRAVITY, catch_entries, pads_entries

SIZE = {"shots": 6, "loads": 2, "days": 1}
US = small("us", size=SIZE)
NOZZLES = 24


def again(order, entries):
    """What is computed from entries alone; single fields are no log, so they are put in as they would be read."""
    logs = Logs.of(
        entries_of({key: value for key, value in entries.items() if key[0]}, order, order.machines[0])
    )
    for key, value in entries.items():
        if not key[0]:
            some = next(iter(logs.entries.values()))
            logs.entries[key] = type(some)("", 0, key[2], "", "", value, value)
    return compute_calibration(logs, order, order.machines[0])


def test_the_published_pads():
    # ASTM D2995: six pads of 1 ft², gravity 1.01: mean 0.0957 gal/yd², extremes +4.77 % and -4.11 % (computed)
    own = again(US, pads_entries("en") | {("", 0, "pads_gravity"): GRAVITY})
    assert round(own.results["pads_mean_across"], 4) == 0.0957
    assert round(100 * own.results["pads_greatest_across"], 2) == 4.77
    assert own.results["pads_mean_along"] is None


def test_the_published_cans():
    # ASTM D2995-99 method B: 0.92 gal in 10.0 s from each nozzle are 5.52 gal/min, from 36 of them 198.72 (seen)
    own = again(US, catch_entries(36) | {("", 0, "catch_seconds"): 10.0, ("", 0, "catch_nozzles"): 36.0})
    assert own.flows[0] == pytest.approx(5.52)
    assert own.results["discharge_measured"] == 198.72


@pytest.fixture(scope="module", params=[("us", "en"), ("si", "es")], ids=["us", "si"])
def returned(request, tmp_path_factory):
    order = small(*request.param, size=SIZE)
    entries = day(order) | pads_entries(request.param[1], "along", 0.5) | catch_entries(NOZZLES, 0.5)
    entries |= {("catch", 3, "volume"): 0.53, ("catch", 4, "seconds"): 10.5}
    entries |= {("", 0, "catch_seconds"): 10.0, ("", 0, "catch_nozzles"): float(NOZZLES)}
    path = tmp_path_factory.mktemp("calibrated") / "book.xlsx"
    return recheck_book(write_filled(order, order.machines[0], entries, path))


def test_recheck_and_formulas_agree_in_every_result_of_the_calibration(returned):
    values = {
        key: each.value
        for key, each in returned.book_values.items()
        if key[0] in ("pads", "catch", "calibration")
    }
    assert isinstance(values["pads", 0, "rate"], float)
    assert values["calibration", 0, "discharge_measured"] > 0
    assert values["calibration", 0, "pads_greatest_along"] > 0
    assert [each for each in returned.findings if each.name == "calibration-differs-from-recheck"] == []


@pytest.mark.parametrize(
    ("place", "factor"),
    [
        (("pads", 2, "rate"), 1.001),
        (("catch", 5, "flow"), 0.5),
        (("calibration", 0, "discharge_measured"), 1.1),
        (("calibration", 0, "pads_greatest_along"), 0.5),
    ],
)
def test_a_result_pasted_over_is_questioned_at_its_cell(returned, place, factor):
    values = dict(returned.book_values)
    was = values[place]
    values[place] = BookValue(was.value * factor, was.sheet, was.cell)
    order = returned.order
    computation = compute(returned.entries, order, returned.machine)
    findings = check_all(computation, returned.entries, order, returned.machine, values)
    (one,) = [each for each in findings if each.name == "calibration-differs-from-recheck"]
    assert (one.sheet, one.cell, one.severity) == (values[place].sheet, values[place].cell, "query")


@pytest.mark.parametrize("value", ["", None, "#REF!"])
def test_a_result_that_is_no_number_any_more_is_shown_as_it_is(returned, value):
    place = ("calibration", 0, "discharge_measured")
    values = dict(returned.book_values)
    was = values[place]
    values[place] = BookValue(value, was.sheet, was.cell)
    order = returned.order
    computation = compute(returned.entries, order, returned.machine)
    findings = check_all(computation, returned.entries, order, returned.machine, values)
    (one,) = [each for each in findings if each.name == "calibration-differs-from-recheck"]
    assert (value or texts(order.language)["said.nothing"]) in one.found
    assert f"{was.value:.4g}"[:3] in one.expected


def test_what_was_weighed_has_the_gravity_that_was_entered():
    of_order = again(US, pads_entries("en")).results["pads_mean_across"]
    entered = again(US, pads_entries("en") | {("", 0, "pads_gravity"): 1.2}).results["pads_mean_across"]
    assert entered / of_order == pytest.approx(US.material.specific_gravity / 1.2)


def test_pads_and_cans_that_give_no_rate_are_left_out():
    gravity = {("", 0, "pads_gravity"): GRAVITY}
    pads = pads_entries("en") | gravity
    whole = again(US, pads)
    for row, column, value in (
        (0, "area", 0.0),
        (1, "area", -1.0),
        (2, "mass_after", 499.0),
        (3, "mass_after", None),
    ):
        pads["pads", row, column] = value
    pads.pop(("pads", 4, "mass_before"))
    left = again(US, pads)
    assert left.rates == {5: whole.rates[5]}
    assert (left.results["pads_mean"], left.results["pads_spread"]) == (whole.rates[5], None)
    cans = catch_entries(6) | {("", 0, "catch_seconds"): 10.0, ("", 0, "catch_nozzles"): 6.0}
    assert again(US, cans).results["discharge_measured"] == pytest.approx(6 * 5.52)
    for row, column, value in (
        (0, "volume", -1.0),
        (1, "seconds", 0.0),
        (2, "seconds", -1.0),
        (3, "volume", None),
    ):
        cans["catch", row, column] = value
    left = again(US, cans)
    assert set(left.flows) == {4, 5}
    assert left.results["discharge_measured"] is None  # not every nozzle was caught
    cans.pop(("", 0, "catch_seconds"))
    assert again(US, cans).flows == {}
    dry = again(US, {("catch", row, "volume"): 0.0 for row in range(6)}
                | {("", 0, "catch_seconds"): 10.0, ("", 0, "catch_nozzles"): 6.0})  # fmt: skip
    assert dry.results["discharge_measured"] is None
