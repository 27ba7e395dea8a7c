"""Pictures of a plan as PNG and SVG: shots along the road, and what speeds and rates a machine can do.

Readable in black and white: areas are hatched, points differ in shape, everything is labelled. The same plan gives
the same bytes. Every picture has a text in its stead, in the SVG itself and in :func:`alternative`. Needs matplotlib,
the optional extra "pictures".
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sheetgen.errors import SheetgenError
from sheetgen.file_names import file_stems
from sheetgen.plan.figures import Figures
from sheetgen.plan.model import MachinePlan, Plan
from sheetgen.plan.picture_strip import draw_strip
from sheetgen.plan.picture_window import draw_window, windows_of
from sheetgen.templates import spoken_texts
from sheetgen.whole_file import whole_file

_STYLE = {
    "font.family": "DejaVu Sans",  # comes with matplotlib: the same on every machine
    "font.size": 9,
    "text.parse_math": False,  # a "$" in a name is a sign like others
    "svg.hashsalt": "plan",
    "svg.fonttype": "path",
    "hatch.linewidth": 0.6,
    "axes.linewidth": 0.8,
    "savefig.dpi": 150,
}


def draw_pictures(plan: Plan, folder: Path, lang: str | None = None) -> list[Path]:
    """Draw two pictures of every machine into a folder, each as PNG and as SVG, and say where they are.

    Args:
        plan: from :func:`sheetgen.plan.plan`
        folder: made where it is missing; a picture of the same name is replaced once the new one is complete
        lang: ``"en"`` or ``"es"``; by default the language of the order

    Raises:
        SheetgenError: matplotlib is not installed
    """
    pyplot = _pyplot()
    folder.mkdir(parents=True, exist_ok=True)
    figures = Figures(plan.units, lang or plan.language)
    made = []
    with pyplot.rc_context(_STYLE):
        stems = file_stems(plan.job, (machine.name for machine in plan.machines), "plan")
        for machine, stem in zip(plan.machines, stems, strict=True):
            for key, draw in (("strip", draw_strip), ("window", draw_window)):
                picture = pyplot.figure()
                draw(picture, plan, machine, figures)
                made += _save(picture, folder / f"{stem}_{key}", alternative(key, plan, machine, figures))
                pyplot.close(picture)
    return made


def alternative(key: str, plan: Plan, machine: MachinePlan, figures: Figures) -> str:
    """What a picture shows, in words, for whoever cannot see it."""
    say = figures.say
    if key == "strip":
        shots = "; ".join(
            say.say(
                "plan.picture.shot",
                number=shot.number,
                section=shot.section,
                lane=shot.lane,
                start=figures.station(shot.from_station),
                end=figures.station(shot.to_station),
                load=shot.load,
            )
            for shot in machine.shots
        )
        return say.say("plan.picture.strip", machine=machine.name, shots=shots or say["plan.none"])
    points = "; ".join(
        say.say(
            "plan.picture.point",
            section=name,
            rate=figures.full(rate, "rate"),
            speed=figures.full(speed, "speed"),
            width=figures.full(window.open_width, "width"),
        )
        for window in windows_of(plan, machine)
        for name, rate, speed in window.points
    )
    return say.say("plan.picture.window", machine=machine.name, points=points or say["plan.none"])


def _pyplot() -> Any:
    try:
        import matplotlib
    except ImportError:
        raise SheetgenError(spoken_texts()["plan.no_pictures"]) from None
    matplotlib.use("Agg")
    from matplotlib import pyplot

    return pyplot


def _save(picture: Any, stem: Path, text: str) -> list[Path]:
    """Both files, each written beside and moved into place, without the time they were made."""
    made = []
    for suffix, metadata in (
        ("png", {"Software": None, "Description": text}),
        ("svg", {"Date": None, "Creator": None, "Description": text}),
    ):
        path = stem.with_name(f"{stem.name}.{suffix}")
        with whole_file(path) as unfinished:
            picture.savefig(
                unfinished, format=suffix, metadata=metadata, bbox_inches="tight", facecolor="white"
            )
        made.append(path)
    return made
