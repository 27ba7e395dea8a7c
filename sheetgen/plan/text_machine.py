"""The parts of a plan's text that concern one machine."""

from __future__ import annotations

from sheetgen.plan.figures import Figures, nozzles_of, speeds_of
from sheetgen.plan.model import MachinePlan, SectionPlan, Setting, ToOrder
from sheetgen.plan.text_table import Lines, head

_ORDER_KINDS = {"mass": "mass", "tons": "large_mass"}
_HEATING_KINDS = {
    "arrival": "temperature",
    "planned": "temperature",
    "room": "percent",
    "cold": "volume",
    "base": "volume",
    "mass": "mass",
    "specific_heat": "specific_heat",
    "specific_heat_low": "specific_heat",
    "specific_heat_high": "specific_heat",
    "heat": "heat",
    "heat_low": "heat",
    "heat_high": "heat",
    "hours": "hours",
    "hours_low": "hours",
    "hours_high": "hours",
    "hours_least": "hours",
    "hours_planned": "hours",
    "rise": "temperature_rate",
    "step": "temperature",
    "step_heat": "heat",
    "step_hours": "hours",
    "flue_top": "depth",
    "cover_over_flues": "depth",
    "burner_dip": "depth",
    "burner_volume": "volume",
}
_HOURS_DECIMALS = 2


def settings(machine: MachinePlan, figures: Figures) -> Lines:
    """Every bar width on every section; the planned one is marked."""
    heads = [
        head(figures, "section"), "", head(figures, "bar", "width"), head(figures, "passes"),
        head(figures, "open", "width"), head(figures, "nozzles"), head(figures, "overlap", "spacing"),
        head(figures, "speed", "speed"), head(figures, "nozzle_flow", "flow"), head(figures, "margin"),
        head(figures, "limit"), head(figures, "window", "flow"), head(figures, "planned", "speed"),
    ]  # fmt: skip
    rows = []
    for section in machine.sections:
        for index, setting in enumerate(section.settings):
            rows.append(_setting(section, setting, index == section.chosen, figures))
        if section.verdict == "hand":
            rows.append([section.id, "", *[figures.say["plan.by_hand"]], *[""] * (len(heads) - 3)])
    return Lines(heads, rows)


def _setting(section: SectionPlan, setting: Setting, planned: bool, figures: Figures) -> list[str]:
    possible = setting.possible
    window = f"{figures.bare(setting.least_discharge, 'flow')} – {figures.bare(setting.greatest_discharge, 'flow')}"
    return [
        section.id,
        figures.say["plan.planned_mark"] if planned else "",
        figures.bare(setting.bar_width, "width"),
        str(setting.passes),
        figures.bare(setting.open_width, "width"),
        nozzles_of(setting),
        figures.bare(setting.overlap, "spacing"),
        figures.bare(setting.speed, "speed"),
        figures.bare(setting.nozzle_flow, "flow", 2),
        f"{100 * setting.margin:+.0f} %",
        figures.say[f"plan.limit_short.{setting.limit}"],
        window if possible else figures.say["plan.none"],
        speeds_of(setting, figures) if possible else figures.say["plan.not_possible"],
    ]


def shots(machine: MachinePlan, figures: Figures) -> Lines:
    """Every shot in order, with its times; what is filled before it stands with the loads."""
    heads = [
        head(figures, "shot"), head(figures, "load"), head(figures, "section"), head(figures, "lane"),
        head(figures, "pass"), head(figures, "from"), head(figures, "to"), head(figures, "ends_by"),
        head(figures, "length", "distance"), head(figures, "volume", "volume"), head(figures, "left", "volume"),
        head(figures, "begins"), head(figures, "finished"), head(figures, "told"),
    ]  # fmt: skip
    rows = [
        [
            str(shot.number), str(shot.load), shot.section, shot.lane, str(shot.pass_number),
            figures.station(shot.from_station), figures.station(shot.to_station),
            figures.say[f"plan.ends_by.{shot.ends_by}"],
            figures.bare(shot.length, "distance"), figures.bare(shot.volume, "volume"),
            figures.bare(shot.after, "volume"), figures.clock(shot.begin), figures.clock(shot.end),
            figures.say["plan.yes" if shot.told else "plan.no"],
        ]
        for shot in machine.shots
    ]  # fmt: skip
    return Lines(heads, rows)


def loads(machine: MachinePlan, figures: Figures) -> Lines:
    """Every filling of the tank and where it runs out."""
    heads = [
        head(figures, "load"), head(figures, "filled_cold", "volume"), head(figures, "filled", "volume"),
        head(figures, "shots"), head(figures, "ends"), head(figures, "left", "volume"),
    ]  # fmt: skip
    rows = [
        [
            str(load.number),
            figures.bare(load.cold, "volume"),
            figures.bare(load.hot, "volume"),
            f"{load.first_shot} – {load.last_shot}",
            f"{load.section} {load.lane} {figures.station(load.station)}",
            figures.bare(load.left, "volume"),
        ]
        for load in machine.loads
    ]
    return Lines(heads, rows)


def stone(machine: MachinePlan, figures: Figures) -> Lines:
    """Stone of every chip seal section, and whether it comes in time."""
    heads = [
        head(figures, "section"), head(figures, "stone_volume", "aggregate"), head(figures, "stone_tons", "large_mass"),
        head(figures, "stone_trucks"), head(figures, "stone_per_shot"), head(figures, "longest", "distance"),
        head(figures, "wait_for_stone", "duration"), head(figures, "cover_limit", "duration"),
        head(figures, "cover_within", "distance"),
    ]  # fmt: skip
    rows = [
        [
            one.section,
            figures.bare(one.volume, "aggregate"),
            figures.bare(one.tons, "large_mass"),
            "–" if one.trucks is None else str(one.trucks),
            "–" if one.per_shot is None else str(one.per_shot),
            figures.bare(one.longest, "distance"),
            figures.bare(one.wait, "duration"),
            figures.bare(one.limit, "duration"),
            figures.bare(one.within, "distance"),
        ]
        for one in machine.stone
    ]
    return Lines(heads, rows)


def day(machine: MachinePlan, figures: Figures) -> Lines:
    """The day in one line."""
    day = machine.day
    if day.minutes is None or day.spray_minutes is None or day.end is None:
        return Lines()
    rows = [
        ["hours", figures.full(day.minutes / 60, "hours")],
        ["spray_hours", figures.full(day.spray_minutes / 60, "hours")],
        ["area_per_hour", figures.full(day.area_per_hour, "area_per_hour")],
        ["end", figures.clock(day.end)],
    ]
    return Lines([], [[figures.say[f"plan.row.{key}"], value] for key, value in rows])


def ordering(ordered: ToOrder, figures: Figures) -> Lines:
    """What to order."""
    rows = []
    for key, value in ordered._asdict().items():
        kind = _ORDER_KINDS.get(key, "large_mass" if key == "tons_whole" else "volume")
        shown = figures.full(value, kind, 0 if key.endswith("_whole") else None)
        rows.append([figures.say[f"plan.to_order_row.{key}"], shown])
    return Lines([], rows)


def heating(machine: MachinePlan, figures: Figures) -> Lines:
    """Heat and time for a full load."""
    rows = []
    for key, kind in _HEATING_KINDS.items():
        value: float | None = getattr(machine.heating, key)
        shown = figures.full(value, kind, _HOURS_DECIMALS if kind == "hours" else None)
        rows.append([figures.say[f"plan.heating_row.{key}"], shown])
    return Lines([], rows)


def judging(machine: MachinePlan, figures: Figures) -> Lines:
    """From which length the readings tell a rate."""
    heads = [
        head(figures, "section"), head(figures, "by_dip", "distance"), head(figures, "by_meter", "distance"),
        head(figures, "longest", "distance"), head(figures, "told"), head(figures, "advice"),
    ]  # fmt: skip
    rows = []
    for section in machine.sections:
        judged = section.judged
        if judged is not None:
            rows.append(
                [
                    section.id,
                    figures.bare(judged.by_dip, "distance"),
                    figures.bare(judged.by_meter, "distance"),
                    figures.bare(judged.longest, "distance"),
                    f"{judged.told} / {judged.shots}",
                    figures.say[f"plan.judge.{judged.verdict}"],
                ]
            )
    return Lines(heads, rows)


def bar(machine: MachinePlan, figures: Figures) -> Lines:
    """Heights and nozzles of the bar."""
    card = machine.bar
    rows = [
        ["spacing", figures.full(card.spacing, "spacing")],
        ["fan_angle", figures.full(card.fan_angle, "angle")],
        ["nozzle_angle", figures.full(card.nozzle_angle, "angle")],
        ["angle_low", figures.full(card.angle_low, "angle")],
        ["angle_high", figures.full(card.angle_high, "angle")],
        *(
            [f"height_{coverage}", figures.full(height, "depth")]
            for coverage, height in enumerate(card.offered, start=1)
        ),
        ["height_most", figures.full(card.height_most, "depth")],
        ["coverage", str(card.coverage) if card.coverage else "–"],
    ]
    named = [[figures.say[f"plan.bar_row.{key}"], value] for key, value in rows]
    for width, count in card.nozzles:
        text = figures.say.say("plan.bar_row.nozzles", width=figures.full(width, "width"))
        named.append([text, str(count)])
    return Lines([], named)
