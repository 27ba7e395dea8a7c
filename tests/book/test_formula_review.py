"""Every formula of every kind of book under review, and each rule of the review shown to see what it is for.

A constant that belongs in a named cell, a reference that follows an entry which is moved, a range that is no whole
list, a volatile function, a reference to an empty cell or to an entry, a column whose rows differ, units that do not
agree. What is allowed, and why, stands in ``formula_review.toml``.
"""

from __future__ import annotations

from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from tests.audit.orders import ASPHALT, CERTIFIED, ROUND_WITH_HEADS, small
from tests.book.formula_dimensions import Dimensions, unit_mixes
from tests.book.formula_review import DECLARED, Reviewed, changed, constants, numbers, reviewed, tree
from tests.book.formula_rules import (
    bad_references,
    moved_references,
    ragged_ranges,
    uneven_columns,
    unnamed_constants,
    volatile_functions,
)
from tests.selection import exhaustive
from tests.strategies import orders

RULES = (
    unnamed_constants, moved_references, ragged_ranges, volatile_functions, bad_references, uneven_columns, unit_mixes,
)  # fmt: skip
ONE_ROW, MANY_ROWS = {"shots": 1, "loads": 1, "days": 1}, {"shots": 500, "loads": 40, "days": 20}
SEAL = {
    "median_size": 9.5, "flakiness": 0.2, "loose_weight": 1400, "specific_gravity": 2.65, "traffic_factor": 0.65,
    "surface_correction": 0, "absorption": 0, "waste_factor": 1.05,
}  # fmt: skip
CONTRACT = {
    "pay__estimate": 4.5,
    "pay__overrun_limit": 0.15,
    "pay__overrun_price": 0.3,
    "pay__underrun_limit": 0.15,
}
BOOKS = {
    "inch-pound, English": lambda: demo_order("us", "en"),
    "inch-pound, Spanish": lambda: demo_order("us", "es"),
    "metric, English": lambda: demo_order("si", "en"),
    "metric, Spanish": lambda: demo_order("si", "es"),
    "asphalt, rates at the spraying temperature": lambda: small(
        "us", **ASPHALT, sections__rate_temperature="spraying"
    ),
    "diluted, as diluted, tolerance in rate, paid by the meter": lambda: small(
        "si", material__dilution=0.5, sections__basis="as-diluted", sections__tolerance_kind="absolute",
        sections__tolerance=0.02, sections__rate=0.4, pay__measured_by="meter", machines__monitor=True,
    ),
    "calibrated tank, dips in sixteenths": lambda: small(
        "us", machines__tank=CERTIFIED, reading__dip_notation="sixteenths"
    ),
    "round tank with heads, dips in fractions": lambda: small(
        "us", machines__tank=ROUND_WITH_HEADS, reading__dip_notation="fraction"
    ),
    "all by hand": lambda: small("us", sections__hand_spray=True, pay__hand_exempt=False),
    "metric, with the design of a seal": lambda: small("si", planning__seal_design=SEAL),
    "paid by tickets, a shortfall at a share of the price": lambda: small(
        "us", pay__unit="mass-by-ticket", pay__unit_price=900, **CONTRACT, pay__underrun_share=0.1,
    ),
    "paid by area, a shortfall at another price": lambda: small(
        "si", "es", pay__unit="area", pay__unit_price=0.4, **CONTRACT, pay__underrun_price=0.5,
    ),
    "one row": lambda: small("si", "es", size=ONE_ROW, machines__monitor=True),
    "five hundred rows": lambda: small("us", size=MANY_ROWS),
}  # fmt: skip

USUAL = (  # between them every sheet, system, language, notation and way to pay
    "inch-pound, English", "metric, Spanish", "diluted, as diluted, tolerance in rate, paid by the meter",
    "calibrated tank, dips in sixteenths",
)  # fmt: skip


@cache
def _book(name: str) -> Reviewed:
    return reviewed(BOOKS[name]())


@pytest.mark.parametrize("name", [name if name in USUAL else exhaustive(name) for name in BOOKS])
@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.__name__.replace("_", " "))
def test_no_formula_has_a_fault(name, rule):
    assert rule(_book(name)) == []


@given(order=orders(most_rows=5, most_machines=1))
@settings(max_examples=4, deadline=None, suppress_health_check=list(HealthCheck))
def test_no_formula_of_any_order_has_a_fault(order: Order):
    review = reviewed(order)
    assert [fault for rule in RULES for fault in rule(review)] == []


# ---------------------------------------------------------------- what the review takes as declared


def test_every_number_that_is_declared_stands_in_some_formula():
    met = set()
    for name in BOOKS:
        if len(met) == len(constants()):
            break
        for family in _book(name).families().values():
            for number in numbers(tree(family[0].formula)):
                met |= {
                    index
                    for index, (value, where, _unit, _why) in enumerate(constants())
                    if value == number.value and where.fullmatch(family[0].place)
                }
    assert [one for index, one in enumerate(constants()) if index not in met] == []


def test_every_declared_number_has_a_reason():
    assert all(why for _value, _where, _unit, why in constants())


@pytest.mark.parametrize("name", ["inch-pound, English", "metric, Spanish"])
def test_the_unit_of_nearly_every_formula_can_be_told(name):
    review = _book(name)
    dimensions = Dimensions(review)
    told = {False: 0, True: 0}
    places = set()
    for family in review.families().values():
        undecided = dimensions.undecided(family[0])
        told[undecided] += len(family)
        if undecided:
            places.add(family[0].place)
    assert places <= set(DECLARED["untold"]["places"])
    assert told[True] < 0.01 * told[False]


# ---------------------------------------------------------------- each rule sees what it is for


def _changed(place: str, old: str, new: str, row: int = 0) -> Reviewed:
    """The book with one formula changed; ``{name}`` stands for the address of a named cell."""
    review = _book("inch-pound, English")
    sheet = next(one.sheet for one in review.formulas() if one.place == place)
    return changed(review, place, _written(review, old, sheet), _written(review, new, sheet), row)


def _written(review: Reviewed, text: str, sheet: str) -> str:
    for name, area in review.areas.items():
        text = text.replace(f"{{{name}}}", area.a1 if area.sheet == sheet else area.full)
    return text


CHANGES = {
    "a factor of units as a number": (unnamed_constants, "shots.area", "/{area_divisor}", "/9"),
    "decimals as a number": (unnamed_constants, "shots.base", ",{round_volume})", ",1)"),
    "a density as a number": (unnamed_constants, "loads.by_ticket", "{water_density}", "8.328"),
    "a sum that stops a row early": (ragged_ranges, "total_loaded", "$22)", "$21)"),
    "a sum that starts a row late": (ragged_ranges, "total_loaded", "$5:", "$6:"),
    "a condition on other rows than the sum": (ragged_ranges, "days.loaded", "$F$22", "$F$21"),
    "a running sum that starts in the second row": (ragged_ranges, "shots.running", "$6:", "$7:", 3),
    "a running sum that ends in the row above": (ragged_ranges, "shots.running", ":$AL9", ":$AL8", 3),
    "the time of day": (volatile_functions, "total_area", "=SUM", "=0*NOW()+SUM"),
    "an address in a text": (volatile_functions, "total_area", "=SUM(", '=SUM(INDIRECT("A1"),'),
    "an empty cell": (bad_references, "total_area", "=SUM", "=Totals!ZZ99+SUM"),
    "a sheet that is not there": (bad_references, "total_area", "=SUM", "=Elsewhere!A1+SUM"),
    "an entry in place of the order's value": (bad_references, "loads.by_ticket", "{water_density}", "Loads!$H$6", 1),
    "the entry of another row": (bad_references, "shots.net", "$A6+1", "$A7+1"),
    "a fixed entry of the log": (bad_references, "total_share", "{total_loaded}", "Loads!$H$6"),
    "an entry by its address": (moved_references, "shots.from", "INDEX($J$5:$J$54,$A6+1)", "$J6"),
    "a list that ends in an entry": (moved_references, "total_end", "Days!$B$5:$B$13", "Days!$B$5:$B$12"),
    "a list of all entries and no more": (moved_references, "total_end", "Days!$B$5:$B$13", "Days!$B$6:$B$12"),
    "a row that differs": (uneven_columns, "shots.base", "*", "*1*", 17),
    "a reference that slips a row": (uneven_columns, "shots.length", "$AC9", "$AC8", 3),
    "a value in the place of a formula's part": (uneven_columns, "days.unexplained", "+", "+0+", 2),
    "square feet for square yards": (unit_mixes, "shots.area", "/{area_divisor}", "/1"),
    "an area taken from volumes": (unit_mixes, "total_unexplained", "{total_wasted}", "{total_area}"),
    "feet for inches": (unit_mixes, "shot_checks.is_nozzles", "*{spacing_per_width}", "*1"),
    "a volume compared with a depth": (unit_mixes, "shot_checks.is_reserve", "{reserve}", "{burner_dip}"),
    "seconds for minutes": (unit_mixes, "catch.flow", "*60/", "*1/"),
    "a product for a quotient": (unit_mixes, "ordered.quantity", "*", "/"),
    "a mass without the density": (unit_mixes, "loads.by_ticket", "{water_density}", "1"),
    "a text for a number": (unit_mixes, "total_water", "{total_sprayed}", "{grade}"),
    "a rate at a temperature": (unit_mixes, "planned_factor", "{spray_planned}", "{tank_height}"),
    "a lookup by the wrong column": (unit_mixes, "shots.before", "{chart_depths}", "{chart_volumes}"),
    "a condition on the wrong column": (unit_mixes, "sections.area", ",$A", ",$B"),
}  # fmt: skip


@pytest.mark.parametrize("change", CHANGES)
def test_the_review_sees(change):
    rule, *where = CHANGES[change]
    review = _changed(*where)
    faults = rule(review)
    assert faults
    assert all(where[0] in fault for fault in faults)
