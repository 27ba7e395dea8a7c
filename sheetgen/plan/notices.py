"""What a person should know of a plan: limits that are passed, advice that follows, with the source of each limit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from sheetgen import templates
from sheetgen.order.heating import emulsion_max, flash_point, published_maxima
from sheetgen.order.model import Machine, Order
from sheetgen.order.warned import OrderWarning, warnings_of
from sheetgen.order.wheel_paths import Across
from sheetgen.plan.inputs import Inputs
from sheetgen.plan.model import (
    AggregateCover,
    BarCard,
    Heating,
    Notice,
    Ordered,
    PlannedShot,
    Replaced,
    Seal,
    SectionPlan,
    Setting,
    ToOrder,
)
from sheetgen.plan.practice import notices_of_replaced
from sheetgen.plan.seal import notices_of_aggregate
from sheetgen.plan.shots import trucks_limit
from sheetgen.templates import texts
from sheetgen.trade.limits import limit

WHY_NOT = ("none-works", "none-varied", "tank-too-small")  # why a section cannot be sprayed
_PLACES = 6
_SEAL_PLACES = 0.10  # of the designed rate before a difference is worth a word: what agencies allow on a rate


def cautions_for(order: Order) -> tuple[str, ...]:
    """Keys of the usual cautions that hold for the order's class of material."""
    return tuple(row["key"] for row in templates.for_class("cautions", order.material.material_class))


def notices_of_order(
    order: Order,
    sections: Sequence[Ordered],
    inputs: Inputs,
    seal: Seal | None,
    replaced: Replaced | None,
) -> tuple[Notice, ...]:
    """What to know whichever machine sprays."""
    found = list(_of_warnings(order))
    for section in sections:
        found += _of_guidance(section)
        if section.work == "prime":
            values = (("width", section.width, "width"), ("covered", section.covered_width, "width"))
            found.append(Notice("prime-width", section.id, values, "FM 5-436, EN5459, NAVEDTRA 14081"))
    matched = inputs.aggregate_truck and inputs.aggregate_cover
    if any(section.work == "chip-seal" for section in sections) and not matched:
        found.append(Notice("no-aggregate"))
    if seal is not None:
        found += _of_seal(seal)
    if replaced is not None:
        found += notices_of_replaced(replaced, sections)
    found += _of_temperatures(order)
    if order.planning.arrival_temperature is None:
        found.append(Notice("arrival-not-given"))
    return tuple(found)


def notices_of_machine(
    machine: Machine,
    inputs: Inputs,
    sections: Sequence[Ordered],
    plans: Sequence[SectionPlan],
    shots: Sequence[PlannedShot] | None,
    heating: Heating,
    bar: BarCard,
    ordered: ToOrder,
    usable: float,
    order: Order,
    aggregate: Sequence[AggregateCover],
) -> tuple[Notice, ...]:
    """What to know of one machine on this job."""
    found: list[Notice] = []
    for section, plan in zip(sections, plans, strict=True):
        found += _of_fit(machine, section, plan, usable)
        found += _of_overlap(plan, inputs)
        found += _of_stone(plan, inputs, usable, shots)
        if plan.judged is not None and plan.verdict != "hand":
            found += _of_judging(section, plan)
    found += notices_of_aggregate(aggregate, inputs)
    if shots is None:
        found.append(Notice("too-many-shots", values=(("most", float(inputs.most_shots), ""),)))
    found += _of_heating(machine, inputs, heating, order)
    found += _of_loads(heating, shots)
    if not bar.angle_low <= bar.nozzle_angle <= bar.angle_high:
        values = (
            ("angle", bar.nozzle_angle, "angle"),
            ("low", bar.angle_low, "angle"),
            ("high", bar.angle_high, "angle"),
        )
        found.append(Notice("nozzle-angle", values=values, source=limit("nozzle_angle").source))
    if bar.coverage < inputs.coverage:
        values = (
            ("height", bar.heights[0 if not bar.coverage else inputs.coverage - 1], "depth"),
            ("most", bar.height_most, "depth"),
            ("coverage", float(bar.coverage), ""),
        )
        found.append(Notice("bar-lower" if bar.coverage else "bar-high", values=values))
    if ordered.left > 0:
        found.append(Notice("reserve-left", values=(("left", ordered.left, "volume"),)))
    return tuple(found)


def _of_warnings(order: Order) -> Iterator[Notice]:
    """The order's warnings, one for all sections or distributors of which the same is to be said."""
    items: dict[tuple[str, str], list[str]] = {}
    for each in warnings_of(order):
        items.setdefault((each.sheet, each.text), []).append(each.item)
    say = texts(order.language, order.units)
    for (sheet, text), names in items.items():
        told = OrderWarning(sheet, ", ".join(names), "", text).told(say)
        yield Notice("order-warning", values=(("text", told, ""),))


def _of_guidance(section: Ordered) -> Iterator[Notice]:
    guidance = section.guidance
    if guidance.verdict in ("none", "within"):
        return
    values: list[tuple[str, float | str, str]] = [
        ("rate", guidance.rate, "rate"),
        ("basis", section.basis, "basis"),
        ("low", _or_blank(guidance.low), "rate"),
        ("high", _or_blank(guidance.high), "rate"),
        ("agency", guidance.agency, ""),
        ("other_low", _or_blank(guidance.other_low), "rate"),
        ("other_high", _or_blank(guidance.other_high), "rate"),
    ]
    yield Notice(guidance.verdict, section.id, tuple(values), guidance.source)


def _or_blank(value: float | None) -> float | str:
    return "–" if value is None else value


def _of_fit(machine: Machine, section: Ordered, plan: SectionPlan, usable: float) -> Iterator[Notice]:
    if plan.verdict == "other-discharge" and plan.setting is not None:
        setting = plan.setting
        yield Notice(
            "other-discharge",
            plan.id,
            (
                ("limit", setting.limit, "limit"),
                ("calibrated", machine.discharge, "flow"),
                ("discharge", setting.discharge or 0.0, "flow"),
                ("speed", setting.sprayed_at or 0.0, "speed"),
                ("width", setting.open_width, "width"),
            ),
        )
    if plan.verdict == "none":
        short = section.outside_more and all(setting.passes > 1 for setting in plan.settings)
        yield Notice("none-varied", plan.id) if short and plan.settings else _none_works(plan, usable)
    if plan.setting is not None and plan.sprayed[0].across is not None:
        yield _varied(section, plan.sprayed[0].across)


def _varied(section: Ordered, across: Across) -> Notice:
    """Which nozzles are the larger ones, and the rates that they and the others give."""
    inside, outside = across.rates(section.mix_hot)
    values: tuple[tuple[str, float | str, str], ...] = (
        ("more", f"{100 * across.more:.10g}", ""),
        ("nozzles", across.told, ""),
        ("inside", inside, "rate"),
        ("outside", outside, "rate"),
    )
    return Notice("varied", section.id, values, across.source)


def _none_works(plan: SectionPlan, usable: float) -> Notice:
    """Why no setting works, by the setting that is nearest: the limits that cross, and how far apart they are."""
    if not plan.settings or all(setting.margins["load"] < 0 for setting in plan.settings):
        return Notice("tank-too-small", plan.id, (("usable", usable, "volume"),))
    nearest = min(plan.settings, key=_crossing)
    return Notice(
        "none-works",
        plan.id,
        (
            ("width", nearest.open_width, "width"),
            ("passes", float(nearest.passes), ""),
            ("least_by", nearest.least_by, "limit"),
            ("least", nearest.least_discharge, "flow"),
            ("greatest_by", nearest.greatest_by, "limit"),
            ("greatest", nearest.greatest_discharge, "flow"),
        ),
    )


def _crossing(setting: Setting) -> float:
    """How many times the least discharge is above the greatest."""
    return setting.least_discharge / setting.greatest_discharge


def _of_overlap(plan: SectionPlan, inputs: Inputs) -> Iterator[Notice]:
    setting = plan.setting
    if setting is None:
        return
    source = limit("pass_overlap").source
    if setting.overlap is not None:
        values: list[tuple[str, float | str, str]] = [
            ("passes", float(setting.passes), ""),
            ("nozzles", " + ".join(str(each.nozzles) for each in setting.sprayed), ""),
            ("overlap", setting.overlap, "spacing"),
            ("asked", inputs.overlap, "spacing"),
            ("most", inputs.overlap_most, "spacing"),
        ]
        yield Notice(_overlap_key(setting, inputs), plan.id, tuple(values), source)
    if setting.beyond > 0:
        yield Notice("beyond-lane", plan.id, (("beyond", setting.beyond, "width"),))


def _overlap_key(setting: Setting, inputs: Inputs) -> str:
    if setting.doubled:
        return "overlap-doubled"
    if setting.short:
        return "overlap-short"
    usual = max(inputs.overlap, inputs.overlap_most)
    return "overlap-wide" if round((setting.overlap or 0.0) - usual, _PLACES) > 0 else "overlap"


def _of_stone(
    plan: SectionPlan, inputs: Inputs, usable: float, shots: Sequence[PlannedShot] | None
) -> Iterator[Notice]:
    """How many shots the trucks of aggregate end before the tank does, or that they are too large to be matched."""
    one = plan.sprayed[0]
    if plan.setting is None or not one.land:
        return
    values: tuple[tuple[str, float | str, str], ...] = (
        ("land", one.land, "distance"),
        ("reach", usable / one.volume_per_length, "distance"),
        ("step", inputs.shot_step, "distance"),
    )
    source = "TxDOT Seal Coat Manual ch. 8"
    if not trucks_limit(one, usable, inputs.shot_step):
        yield Notice("stone-not-matched", plan.id, values, source)
        return
    of_section = [shot for shot in shots or () if shot.section == plan.id]
    limited = sum(shot.ends_by == "aggregate" for shot in of_section)
    if limited:
        counts = (("limited", float(limited), ""), ("shots", float(len(of_section)), ""))
        yield Notice("stone-limits", plan.id, (*values, *counts), source)


def _of_judging(section: Ordered, plan: SectionPlan) -> Iterator[Notice]:
    judged = plan.judged
    if judged is None or judged.verdict == "every-shot":
        return
    yield Notice(
        f"judge-{judged.verdict}",
        plan.id,
        (
            ("least", _or_blank(judged.by_dip), "distance"),
            ("meter", _or_blank(judged.by_meter), "distance"),
            ("longest", judged.longest, "distance"),
            ("tolerance", section.allowed, "percent"),
        ),
        "JCGM 100:2008",
    )


def _of_heating(machine: Machine, inputs: Inputs, heating: Heating, order: Order) -> Iterator[Notice]:
    emulsion = order.material.material_class == "emulsion"
    if heating.arrival >= heating.planned:
        return
    if order.material.material_class == "cutback" and machine.burners:
        yield _cutback_fired(order)
    if not machine.burner_power:
        yield Notice(
            "no-burner-power" if machine.burners else "no-burner",
            values=(("arrival", heating.arrival, "temperature"), ("planned", heating.planned, "temperature")),
        )
    elif emulsion and heating.rise is not None and heating.rise > inputs.emulsion_heating_rate:
        yield Notice(
            "heating-fast",
            values=(
                ("rise", heating.rise, "temperature_rate"),
                ("most", inputs.emulsion_heating_rate, "temperature_rate"),
                ("hours", heating.hours_planned, "hours"),
            ),
            source="Ohio DOT 422.07 (2010)",
        )


def _cutback_fired(order: Order) -> Notice:
    """That burners heat a cutback near or through its flash point; none known is the worst."""
    flash = flash_point(order)
    source = "UFGS 02785; NAVEDTRA 14081"
    if flash is None:
        return Notice("cutback-fired-unknown", source=source)
    return Notice("cutback-fired", values=(("flash", flash, "temperature"),), source=source)


def _of_loads(heating: Heating, shots: Sequence[PlannedShot] | None) -> Iterator[Notice]:
    """Loads that are to be heated and do not cover the flues."""
    line = heating.burner_volume
    if line is None or heating.arrival >= heating.planned:
        return
    low = [shot for shot in shots or () if shot.refill and round(shot.before - line, _PLACES) < 0]
    if low:
        loads = ", ".join(str(shot.load) for shot in low)
        values: tuple[tuple[str, float | str, str], ...] = (
            ("loads", loads, ""),
            ("volume", line, "volume"),
        )
        yield Notice("load-below-burner-line", values=values, source="NAVEDTRA 14081")


def _of_temperatures(order: Order) -> Iterator[Notice]:
    """Temperatures beyond a published maximum."""
    material, most = order.material, emulsion_max(order.units)
    hottest = max(material.spray_planned, order.planning.arrival_temperature or material.spray_planned)
    if material.material_class == "emulsion" and hottest > most:
        yield Notice("emulsion-hot", values=_temperatures(planned=hottest, most=most), source="AEMA, PPRA")
    for maximum in published_maxima(order)[:1]:
        if maximum.most < hottest and not (material.material_class == "emulsion" and hottest > most):
            values = (*_temperatures(planned=hottest, most=maximum.most), ("document", maximum.document, ""))
            yield Notice("above-published-maximum", values=values)


def _temperatures(**values: float) -> tuple[tuple[str, float | str, str], ...]:
    return tuple((name, value, "temperature") for name, value in values.items())


def _of_seal(seal: Seal) -> Iterator[Notice]:
    for name, ordered in seal.ordered:
        if abs(ordered / seal.binder - 1) > _SEAL_PLACES:
            values = (("ordered", ordered, "rate"), ("designed", seal.binder, "rate"))
            yield Notice("seal-differs", name, values, "McLeod's method")
