"""Orders for the tests: the demonstration's, with one thing changed at a time; and a log
put before the rules."""

from __future__ import annotations

from sheetgen.audit.compute.book import Computation, compute
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.check import check_all
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order

SMALL = {"shots": 20, "loads": 6, "days": 3}


def changed(order: Order, **changes: object) -> Order:
    """An order with some of its parts changed; ``part__field`` reaches into a part,
    ``sections__x`` into each."""
    data = order.model_dump(mode="json")
    for path, value in changes.items():
        part, _, field = path.partition("__")
        if not field:
            data[part] = value
        elif isinstance(data[part], list):
            for each in data[part]:
                each[field] = value
        else:
            data[part][field] = value
    return Order.model_validate(data)


def small(units: str = "us", lang: str = "en", **changes: object) -> Order:
    """The demonstration's order in a book of few rows."""
    return changed(demo_order(units, lang), **{"size": SMALL, **changes})


ASPHALT = {
    "material__grade": "PG 64-22", "material__material_class": "asphalt", "material__specific_gravity": 1.03,
    "material__residue": 1.0, "material__spray_min": 275, "material__spray_max": 350,
    "material__spray_planned": 320, "material__flash_point": 446,
}  # fmt: skip
CUTBACK = {
    "material__grade": "MC-70", "material__material_class": "cutback", "material__specific_gravity": 0.949,
    "material__residue": 0.55, "material__spray_min": 125, "material__spray_max": 175,
    "material__spray_planned": 160, "material__flash_point": 100,
}  # fmt: skip
CERTIFIED = {
    "shape": "calibrated", "height": None, "width": None, "length": None,
    "points": [
        {"depth": depth, "volume": volume}
        for depth, volume in ((0, 0), (6, 55.3), (13, 160.1), (21, 300.4), (30, 462.9), (42, 617))
    ],
}  # fmt: skip
ROUND_WITH_HEADS = {
    "shape": "circular", "height": 46, "width": None, "length": 72, "heads": "ellipsoidal", "head_depth": 8,
}  # fmt: skip

VARIANTS: dict[str, Order] = {
    "inch-pound": small("us"),
    "metric": small("si", "es"),
    "asphalt": small("us", **ASPHALT),
    "cutback": small("us", **CUTBACK),
    "diluted one to one": small("us", material__dilution=0.5, sections__rate=0.03),
    "undiluted rate at spraying temperature": small(
        "us", material__dilution=0.7, sections__basis="undiluted", sections__rate_temperature="spraying"
    ),
    "metric, as diluted, tolerance in rate": small(
        "si", sections__basis="as-diluted", sections__tolerance_kind="absolute", sections__tolerance=0.02,
        sections__rate=0.4,
    ),
    "paid by the meter": small("us", pay__measured_by="meter"),
    "hand work not exempt": small("us", pay__hand_exempt=False, pay__excess_limit=0.0),
    "certified tank": small("us", machines__tank=CERTIFIED),
    "round tank with heads": small("us", machines__tank=ROUND_WITH_HEADS),
    "sixteenths": small("us", reading__dip_notation="sixteenths"),
    "coarse rounding": small(
        "us", rounding={"chart": 0, "volume": 0, "area": 0, "rate": 3, "pay": 1, "factor_emulsion": 4}
    ),
}  # fmt: skip


def put_before_the_rules(log: dict, order: Order) -> tuple[Computation, list[Finding]]:
    """A log read, computed and checked, without any file."""
    machine = order.machines[0]
    entries = entries_of(log, order, machine)
    computation = compute(entries, order, machine)
    return computation, check_all(computation, entries, order, machine)


def findings_of(log: dict, order: Order) -> list[Finding]:
    """Only the findings."""
    return put_before_the_rules(log, order)[1]


def names_of(log: dict, order: Order) -> set[str]:
    """Only their names."""
    return {finding.name for finding in findings_of(log, order)}


def day(order: Order, seed: int = 3, **more: object) -> dict:
    """An honest day of the order's first distributor."""
    return honest_day(order, order.machines[0], seed=seed, **more)
