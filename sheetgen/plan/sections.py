"""One section with one machine: the setting that is planned, what a length of it takes, what is sprayed in all."""

from __future__ import annotations

from sheetgen.plan.fit import Distributor, Lane, choose, settings_for
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import Ordered, Pass, SectionPlan, Setting, Verdict
from sheetgen.trade.loads import rock_land
from sheetgen.trade.rates import area_of, volume_for


def plan_section(distributor: Distributor, section: Ordered, inputs: Inputs) -> SectionPlan:
    """The plan of a section, not yet judged by its shots.

    A section that the machine cannot spray keeps its ordered area, so that its material is still ordered.
    """
    settings: tuple[Setting, ...] = ()
    chosen: int | None = None
    sprayed: tuple[Pass, ...] = (Pass(1, 0, section.covered_width, None, None, None, None),)
    if section.hand:
        verdict = _by_hand(distributor, section, inputs)
    else:
        settings = settings_for(distributor, Lane.of(section, inputs))
        chosen, verdict = choose(settings)
        sprayed = sprayed if chosen is None else settings[chosen].sprayed
    sprayed = tuple(_measured(distributor, section, inputs, each, verdict) for each in sprayed)
    width = sum(each.width for each in sprayed)
    area = area_of(section.length, width, distributor.system) * len(section.lanes)
    return SectionPlan(
        id=section.id,
        settings=settings,
        chosen=chosen,
        verdict=verdict,
        sprayed=sprayed,
        sprayed_area=area,
        sprayed_hot=area * section.mix_hot,
        sprayed_base=area * section.mix_base,
        judged=None,
    )


def given_to_other(section: Ordered) -> SectionPlan:
    """The plan of a section that the order gives to another distributor: nothing of it is sprayed or ordered."""
    nothing = Pass(1, 0, section.covered_width, None, None, None, None)
    return SectionPlan(section.id, (), None, "given-to-other", (nothing,), 0.0, 0.0, 0.0, None)


def _measured(
    distributor: Distributor, section: Ordered, inputs: Inputs, one: Pass, verdict: Verdict
) -> Pass:
    """A pass with what a length of it takes."""
    return one._replace(
        volume_per_length=volume_per_length(distributor, section, one.width),
        minutes_per_length=_minutes_per_length(distributor, one, verdict, inputs),
        land=_land(distributor, section, one.width, inputs),
    )


def volume_per_length(distributor: Distributor, section: Ordered, width: float) -> float:
    """[volume] hot that one unit of [distance] takes over a width."""
    return volume_for(section.mix_hot, 1.0, width, system=distributor.system)


def _by_hand(distributor: Distributor, section: Ordered, inputs: Inputs) -> Verdict:
    """A section by hand needs a load that reaches one step or its end, and nothing else of the machine."""
    step = min(inputs.shot_step, section.length)
    needed = volume_per_length(distributor, section, section.covered_width) * step
    return "hand" if round(distributor.usable / needed - 1, 6) >= 0 else "none"


def _minutes_per_length(
    distributor: Distributor, one: Pass, verdict: Verdict, inputs: Inputs
) -> float | None:
    if verdict == "hand":
        return area_of(1.0, one.width, distributor.system) / inputs.hand_rate
    return None if one.speed is None else 1 / one.speed


def _land(distributor: Distributor, section: Ordered, width: float, inputs: Inputs) -> float:
    """[distance] that one truck of aggregate covers in one pass, on a chip seal; else 0."""
    if section.work != "chip-seal" or section.hand or not (inputs.aggregate_truck and inputs.aggregate_cover):
        return 0.0
    return rock_land(inputs.aggregate_truck, 1 / inputs.aggregate_cover, width, distributor.system)
