"""The parts of a plan's text that concern one machine."""

from __future__ import annotations

from sheetgen.plan.figures import Figures, nozzles_of, speeds_of
from sheetgen.plan.model import MachinePlan, PlannedLoad, SectionPlan, Setting, ToOrder
from sheetgen.plan.text_page import Column, Lines, labelled, table

_ORDER_KINDS = {"mass": "mass", "tons": "large_mass", "tons_whole": "large_mass"}
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
_BAR_KINDS = {
    "spacing": "spacing", "fan_angle": "angle", "nozzle_angle": "angle", "angle_low": "angle", "angle_high": "angle",
    "height_1": "depth", "height_2": "depth", "height_3": "depth", "height_most": "depth",
}  # fmt: skip
_SETTINGS = (
    Column("bar", "width", "bar_width"),
    Column("passes"),
    Column("open", "width", "open_width"),
    Column("nozzles", of=lambda setting, _: nozzles_of(setting)),
    Column("overlap", "spacing"),
    Column("speed", "speed"),
    Column("nozzle_flow", "flow", lambda setting, figures: figures.bare(setting.nozzle_flow, "flow", 2)),
    Column("margin", of=lambda setting, _: f"{100 * setting.margin:+.0f} %"),
    Column("limit", shown="plan.limit_short"),
    Column("window", "flow", lambda setting, figures: _window(setting, figures)),
    Column("planned", "speed", lambda setting, figures: _planned(setting, figures)),
)
_SHOTS = (
    Column("shot", of="number"),
    Column("load"),
    Column("section"),
    Column("lane"),
    Column("pass", of="pass_number"),
    Column("from", of="from_station", shown="station"),
    Column("to", of="to_station", shown="station"),
    Column("ends_by", shown="plan.ends_by"),
    Column("length", "distance"),
    Column("volume", "volume"),
    Column("left", "volume", "after"),
    Column("begins", of="begin", shown="clock"),
    Column("finished", of="end", shown="clock"),
    Column("told", of=lambda shot, _: "yes" if shot.told else "no", shown="plan"),
)
_LOADS = (
    Column("load", of="number"),
    Column("filled_cold", "volume", "cold"),
    Column("filled", "volume", "hot"),
    Column("shots", of=lambda load, _: f"{load.first_shot} – {load.last_shot}"),
    Column("ends", of=lambda load, figures: _end_of_load(load, figures)),
    Column("left", "volume"),
)
_STONE = (
    Column("section"),
    Column("stone_volume", "aggregate", "volume"),
    Column("stone_tons", "large_mass", "tons"),
    Column("stone_trucks", of="trucks"),
    Column("stone_per_shot", of="per_shot"),
    Column("longest", "distance"),
    Column("wait_for_stone", "duration", "wait"),
    Column("cover_limit", "duration", "limit"),
    Column("cover_within", "distance", "within"),
)
_JUDGING = (
    Column("section", of="id"),
    Column("by_dip", "distance", "judged.by_dip"),
    Column("by_meter", "distance", "judged.by_meter"),
    Column("longest", "distance", "judged.longest"),
    Column("told", of=lambda section, _: f"{section.judged.told} / {section.judged.shots}"),
    Column("advice", of="judged.verdict", shown="plan.judge"),
)


def settings(machine: MachinePlan, figures: Figures) -> Lines:
    """Every bar width on every section; the planned one is marked."""
    heads = [Column("section").head(figures), "", *(column.head(figures) for column in _SETTINGS)]
    rows = []
    for section in machine.sections:
        lines = table(figures, _SETTINGS, section.settings).rows
        rows += [[section.id, _mark(section, index, figures), *line] for index, line in enumerate(lines)]
        if section.verdict == "hand":
            rows.append([section.id, "", figures.say["plan.by_hand"], *[""] * (len(heads) - 3)])
    return Lines(heads, rows)


def _mark(section: SectionPlan, index: int, figures: Figures) -> str:
    return figures.say["plan.planned_mark"] if index == section.chosen else ""


def _window(setting: Setting, figures: Figures) -> str:
    if not setting.possible:
        return figures.say["plan.none"]
    ends = (setting.least_discharge, setting.greatest_discharge)
    return " – ".join(figures.bare(end, "flow") for end in ends)


def _planned(setting: Setting, figures: Figures) -> str:
    return speeds_of(setting, figures) if setting.possible else figures.say["plan.not_possible"]


def shots(machine: MachinePlan, figures: Figures) -> Lines:
    """Every shot in order, with its times; what is filled before it stands with the loads."""
    return table(figures, _SHOTS, machine.shots)


def loads(machine: MachinePlan, figures: Figures) -> Lines:
    """Every filling of the tank and where it runs out."""
    return table(figures, _LOADS, machine.loads)


def _end_of_load(load: PlannedLoad, figures: Figures) -> str:
    return f"{load.section} {load.lane} {figures.station(load.station)}"


def stone(machine: MachinePlan, figures: Figures) -> Lines:
    """Stone of every chip seal section, and whether it comes in time."""
    return table(figures, _STONE, machine.aggregate)


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
    return Lines((), [[figures.say[f"plan.row.{key}"], value] for key, value in rows])


def ordering(ordered: ToOrder, figures: Figures) -> Lines:
    """What to order."""
    rows = []
    for key, value in ordered._asdict().items():
        shown = figures.full(value, _ORDER_KINDS.get(key, "volume"), 0 if key.endswith("_whole") else None)
        rows.append([figures.say[f"plan.to_order_row.{key}"], shown])
    return Lines((), rows)


def heating(machine: MachinePlan, figures: Figures) -> Lines:
    """Heat and time for a full load."""
    rows = []
    for key, kind in _HEATING_KINDS.items():
        value: float | None = getattr(machine.heating, key)
        shown = figures.full(value, kind, _HOURS_DECIMALS if kind == "hours" else None)
        rows.append([figures.say[f"plan.heating_row.{key}"], shown])
    return Lines((), rows)


def judging(machine: MachinePlan, figures: Figures) -> Lines:
    """From which length the readings tell a rate."""
    return table(figures, _JUDGING, [section for section in machine.sections if section.judged])


def bar(machine: MachinePlan, figures: Figures) -> Lines:
    """Heights and nozzles of the bar."""
    card, say = machine.bar, figures.say
    heights = {f"height_{coverage}": height for coverage, height in enumerate(card.offered, start=1)}
    rows = [
        *labelled(figures, "plan.bar_row", _BAR_KINDS, card._asdict() | heights).rows,
        [say["plan.bar_row.coverage"], str(card.coverage or "–")],
    ]
    for width, count in card.nozzles:
        rows.append([say.say("plan.bar_row.nozzles", width=figures.full(width, "width")), str(count)])
    return Lines((), rows)
