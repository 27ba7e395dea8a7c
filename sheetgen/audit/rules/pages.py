"""What the foreman counted on each paper page against what was typed from it."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen import templates
from sheetgen.audit.compute.blanks import total
from sheetgen.audit.model import Finding
from sheetgen.audit.rules.case import Case
from sheetgen.order.model import Order


def check(case: Case) -> Iterator[Finding]:
    """Control totals of every page: number of shots, hot volume, last station."""
    per_page = _rows_on_a_page(case.order)
    pages: dict[int, dict[str, float]] = {}
    for (table, page, column), entry in case.logs.entries.items():
        if table == "pages" and isinstance(entry.value, float):
            pages.setdefault(page, {})[column] = entry.value
    for page, counted in sorted(pages.items()):
        yield from _page(case, page, counted, per_page)


def _rows_on_a_page(order: Order) -> int:
    """Shots on one printed page: as many pages as the most that fit on one asks for, all of the same length."""
    key = "rows_per_page_in_two" if order.second_language else "rows_per_page"
    pages = -(-order.size.shots // int(templates.toml("sheets/shots.toml")[key]))
    return -(-order.size.shots // pages)


def _page(case: Case, page: int, counted: dict[str, float], per_page: int) -> Iterator[Finding]:
    voice = case.voice
    rows = [row for _, row in case.shots if page * per_page <= row.row < (page + 1) * per_page]
    if "shots" in counted and counted["shots"] != len(rows):
        yield voice.at(
            "page-count-differs", "pages", page, "shots",
            counted=f"{counted['shots']:g}", typed=len(rows), page=voice.number(page),
        )  # fmt: skip
    hot = total(row.hot for row in rows)
    if "volume" in counted and abs(counted["volume"] - hot) >= 0.5 * 10**-case.order.rounding.volume:
        yield voice.at(
            "page-volume-differs", "pages", page, "volume", counted=voice.volume(counted["volume"]),
            typed=voice.volume(hot), difference=voice.volume(abs(counted["volume"] - hot)),
            page=voice.number(page), worth=voice.money(abs(counted["volume"] - hot)),
        )  # fmt: skip
    last = next((row.to for row in reversed(rows) if row.to is not None), None)
    if "last_station" in counted and last is not None and counted["last_station"] != last:
        yield voice.at(
            "page-last-station-differs", "pages", page, "last_station",
            counted=voice.station(counted["last_station"]), typed=voice.station(last),
            page=voice.number(page),
        )  # fmt: skip
