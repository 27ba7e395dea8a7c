"""Follow the plan of many drawn orders by hand: ``python -m tests.follow_the_plan 1000``.

For each order: whether it is built, and for one distributor of it what a log that follows the plan is found to be, and
whether card, rates, Preview and plan give the same; live checks and sheets for every tenth. Prints the figures.
"""

from __future__ import annotations

import sys
from collections import Counter
from random import Random

from sheetgen.book.layout import lay_out
from sheetgen.errors import OrderError
from sheetgen.order.model import Machine, Order
from sheetgen.plan.model import MachinePlan
from sheetgen.plan.workable import workable_plan
from sheetgen.units import constants
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import Results, results
from tests.audit.orders import findings_of
from tests.book.test_live_checks import flags
from tests.closed_loop import log_of, varied_order_of_number

_NEAR = 1e-6


def one_of(order: Order, chance: Random) -> Order:
    """The order with one of its distributors alone, as its book is for."""
    return order.model_copy(update={"machines": (chance.choice(order.machines),)})


def uncovered(order: Order, machine: Machine, planned: MachinePlan) -> list[str]:
    """Sections whose passes do not cover the lane once, or overlap by more than was asked or a usual joint is."""
    pitch = max(machine.bar_widths) / max(
        1, round(max(machine.bar_widths) * _per_width(order) / machine.nozzle_spacing)
    )
    asked = (order.planning.overlap or 0.0) / _per_width(order)
    usual = 6 / 12 if order.units == "us" else 0.15
    found = []
    for section, each in zip(order.sections, planned.sections, strict=True):
        if each.setting is None or each.setting.doubled:
            continue
        extra = each.sprayed_area / (abs(section.to_station - section.from_station) * len(section.lanes))
        sprayed = extra * constants(order.units)["area_divisor"]
        wide = sum(one.width for one in each.sprayed)
        covered = _covered(order, section)
        joints = max(1, each.passes - 1)
        most = covered + joints * max(asked, usual) + (pitch if each.passes == 1 else 0)
        if not covered - _NEAR <= wide <= most + _NEAR or abs(sprayed / wide - 1) > _NEAR:
            found.append(f"{section.id}: {wide:g} on {covered:g}")
    return found


def _per_width(order: Order) -> float:
    return constants(order.units)["nozzle_spacing_per_width"]


def _covered(order: Order, section: object) -> float:
    from sheetgen.plan import plan

    made = plan(order)
    return next(each.covered_width for each in made.sections if each.id == section.id)  # type: ignore[attr-defined]


def differing(order: Order, planned: MachinePlan) -> list[str]:
    """Where the card or the rates of a blank book say otherwise than the plan."""
    book = lay_out(order, order.machines[0])
    values = results(book)
    return _on_card(order, planned, book, values) + _on_rates(planned, book, values)


def _on_card(order: Order, planned: MachinePlan, book: Book, values: Results) -> list[str]:
    """Passes that the card shows otherwise: nozzles, width, discharge, speeds and seconds, one line for each kind."""
    found = []
    length = constants(order.units)["timing_length"]
    for number, each in enumerate(planned.sections, start=1):
        _sheet, row, _col = book.fields[f"card_section_{number}"]
        wanted = list({one.nozzles: one for one in each.sprayed}.values()) if each.setting else []
        shown = [
            [values.get(("card", line, col), "") for col in (2, 3, 5, 6, 8)]
            for line in (row + 2, row + 3)
            if ("card", line, 6) in values
        ]
        for line, one in zip(shown, wanted, strict=False):
            figures = (one.nozzles, round(one.width, 3), one.discharge, one.speed, 60 * length / one.speed)
            if not all(_same(a, b) for a, b in zip(line, figures, strict=True)):
                found.append(f"card {each.id}: {line} for {figures}")
        if any(line[0] != "" for line in shown[len(wanted) :]):
            found.append(f"card {each.id}: {len(wanted)} kinds of passes, {shown}")
    return found


def _on_rates(planned: MachinePlan, book: Book, values: Results) -> list[str]:
    """Settings that the rates show and the plan does not offer, or the other way round."""
    place = book.tables["fits"]
    cells = book.sheet("rates").cells
    shown: dict[str, list[tuple[float, ...]]] = {each.id: [] for each in planned.sections}
    for row in range(place.first_row, place.last_row + 1):
        at = {key: (row, col) for key, col in place.columns.items()}
        if cells[at["width"]].value is not None:
            figures = [cells[at[key]].value for key in ("nozzles", "width")]
            figures += [values["rates", *at[key]] for key in ("discharge", "speed")]
            shown[str(cells[at["section"]].value)].append(tuple(figures))
    found = []
    for each in planned.sections:
        wanted = {
            (one.nozzles, round(one.width, 3), one.discharge, one.speed)
            for setting in each.offered
            for one in setting.sprayed
        }
        lines = shown[each.id]
        if not all(any(all(map(_same, line, one)) for one in wanted) for line in lines) or not all(
            any(all(map(_same, line, one)) for line in lines) for one in wanted
        ):
            found.append(f"rates {each.id}: {lines} for {sorted(wanted)}")
    return found


def _same(shown: object, planned: float) -> bool:
    return isinstance(shown, (int, float)) and abs(shown - planned) <= 1e-3 * abs(planned)


def main(orders: int, first: int = 0) -> None:
    """Follow so many orders, and print what came of them."""
    counts: Counter[str] = Counter()
    for number in range(first, first + orders):
        order, chance = varied_order_of_number(number), Random(number)
        try:
            workable_plan(order)
        except OrderError:
            counts["refused: a distributor can spray none of it"] += 1
        alone = one_of(order, chance)
        try:
            (planned,) = workable_plan(alone).machines
        except OrderError:
            continue
        if not planned.shots:
            counts["built, more shots than are listed"] += 1
            continue
        counts["followed"] += 1
        counts["shots"] += len(planned.shots)
        said = [f"passes {each}" for each in uncovered(alone, alone.machines[0], planned)]
        log = log_of(alone, planned, chance)
        said += [
            f"{each.severity} {each.name}" for each in findings_of(log, alone) if each.severity != "note"
        ]
        if number % 10 == 0:
            counts["sheets and live checks evaluated"] += 1
            said += differing(alone, planned)
            said += [f"live {sorted(on)}" for on in flags(alone, log)[0].values() if on]
        if said:
            counts["with something to say"] += 1
            print(number, Counter(said).most_common(4), flush=True)
    for what, count in counts.items():
        print(f"{count:6} {what}")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
