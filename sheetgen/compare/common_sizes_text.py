"""The tables of common sizes as text."""

from __future__ import annotations

from sheetgen.compare.common_sizes import SURFACES, SmallMachine, published_span, small_machines, small_tanks
from sheetgen.plan.figures import Figures
from sheetgen.plan.text_page import Column, Lines, TextPage

_COLUMNS = (Column("bar", "width"), Column("spacing", "spacing"), Column("pump", "flow"), Column("passes"))


def common_sizes_text(language: str) -> str:
    """What distributors of common sizes can tack at the published rates, and how far a load of each tank goes."""
    page = TextPage(Figures("us", language), "compare.part")
    page.table("small", _machines(language))
    page.table("small_tanks", _tanks(language))
    return page.text().lstrip("\n")


def _machines(language: str) -> Lines:
    """Which small distributors can tack a lane, surface by surface: at the least and at the greatest rate."""
    figures = Figures("us", language)
    heads = [column.head(figures) for column in _COLUMNS]
    for surface in SURFACES:
        low, high = published_span(surface)
        heads.append(f"{figures.say[f'words.surface.{surface}']}\n{low:g} / {high:g}")
    rows: dict[tuple[float, ...], list[str]] = {}
    for machine in small_machines():
        sizes = (machine.bar, machine.spacing, machine.pump)
        row = rows.setdefault(sizes, [*(f"{size:g}" for size in sizes), str(machine.setting.passes)])
        row.append(_answer(machine, figures))
    return Lines(heads, [_paired(row) for row in rows.values()])


def _answer(machine: SmallMachine, figures: Figures) -> str:
    word = figures.say[f"compare.answer.{machine.answer}"]
    if machine.answer == "slower-pump":
        return f"{figures.bare(machine.setting.discharge, 'flow', 0)} {figures.unit('flow')}"
    return word


def _paired(row: list[str]) -> list[str]:
    """The answers of a surface's two rates in one cell."""
    answers = row[4:]
    pairs = zip(answers[::2], answers[1::2], strict=True)
    return row[:4] + [low if low == high else f"{low} / {high}" for low, high in pairs]


def _tanks(language: str) -> Lines:
    """How far a load of each tank goes, from the greatest to the least published rate."""
    figures = Figures("us", language)
    found = small_tanks()
    unit = figures.unit("distance")
    heads = [Column("tank", "volume").head(figures)]
    heads += [f"{figures.say[f'words.surface.{surface}']}\n{unit}" for surface in SURFACES]
    rows = []
    for size in dict.fromkeys(tank.tank for tank in found):
        row = [figures.bare(size, "volume", 0)]
        for surface in SURFACES:
            lengths = sorted(tank.length for tank in found if (tank.tank, tank.surface) == (size, surface))
            row.append(" – ".join(figures.bare(end, "distance", 0) for end in (lengths[0], lengths[-1])))
        rows.append(row)
    return Lines(heads, rows)
