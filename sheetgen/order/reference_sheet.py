"""The published figures that the order workbook shows as guidance, each with its source."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from sheetgen import templates
from sheetgen.order.draft import Draft, heading
from sheetgen.order.fields import fields, layout
from sheetgen.order.form_sheet import planning_defaults
from sheetgen.order.places import KEY_ROW
from sheetgen.order.published import compared_rates, grade_facts, rates, spray_ranges
from sheetgen.order.wheel_paths import wheel_paths
from sheetgen.xlsx.blocks import PLAIN_TABLE, draw_table
from sheetgen.xlsx.model import Sheet
from sheetgen.xlsx.page import block_page

LAST = 10
_WIDTHS = {0: 0, 1: 42, 2: 20, 3: 15, 4: 14, 5: 14, 6: 14, 7: 17, 8: 17, 9: 17, LAST: 54}
_CONSTANTS = (
    "area_divisor", "water_density", "mass_per_ton", "nozzle_spacing_per_width", "base_temperature",
    "station_length", "cubic_per_volume", "gravity_limit", "cover_over_flues", "emulsion_max", "nominal_share",
)  # fmt: skip
_CORRECTIONS = ("emulsion", "asphalt-a", "asphalt-b")
_Rows = Iterable[dict[str, Any]]


def draw_reference(draft: Draft) -> Sheet:
    """Draw the sheet; names its columns "grades", "ref_…", "range_…", "rate_…", "k_…" and its cells "c_…"."""
    sheet = draft.sheet("reference")
    sheet.column_widths |= _WIDTHS
    draft.head(sheet, LAST)
    row, starts = KEY_ROW, []
    for spec in layout()["reference"]:
        row = _draw(draft, sheet, spec, row + 1)
        starts.append(row)
    sheet.freeze = (2, 0)
    block_page(draft, sheet, "landscape", LAST, row - 1, [0, *starts[:-1]])
    return sheet


def _draw(draft: Draft, sheet: Sheet, spec: dict[str, Any], row: int) -> int:
    """A table under its heading, its columns named for the formulas; gives the row below it."""
    key = spec["key"]
    row = heading(draft, sheet, row, key, LAST)
    rows = list(_ROWS[key](draft))
    place = draw_table(
        draft, sheet, {"table": f"ref_{key}", **spec}, rows, row, 1, "order.column", 38, PLAIN_TABLE
    )
    for column in spec["column"]:
        if "name" in column:
            draft.name(column["name"], sheet, place.first_row, place.columns[column["key"]], rows=len(rows))
    if key == "constants":
        for line, name in enumerate(_CONSTANTS, start=place.first_row):
            draft.name(f"c_{name}", sheet, line, place.columns["value"])
    return place.last_row + 1


def _grades(draft: Draft) -> _Rows:
    return map(asdict, grade_facts(draft.system, draft.language))


def _ranges(draft: Draft) -> _Rows:
    return map(asdict, spray_ranges(draft.system, draft.language))


def _rates(draft: Draft) -> _Rows:
    say = draft.say
    for item in rates(draft.system, draft.language):
        surface = say[f"words.surface.{item.surface}"] if item.surface else say["order.column.any_surface"]
        yield asdict(item) | {"surface": surface, "source": _with_agency(item.agency, item.source)}


def _with_agency(agency: str, source: str) -> str:
    """Who publishes and in which document, what one says of the other once."""
    if agency in source or source in agency:
        return max(agency, source, key=len)
    return f"{agency}: {source}"


def _compared(draft: Draft) -> _Rows:
    say = draft.say
    for (work, at, basis), item in compared_rates(draft.system).items():
        words = (say[f"words.work.{work}"], say[f"words.surface.{at}"], say[f"words.basis.{basis}"])
        yield asdict(item) | {"key": "|".join(words), "text": f"{item.low:g}–{item.high:g}"}


def _corrections(draft: Draft) -> _Rows:
    table = {row["kind"]: row for row in templates.table("correction") if row["system"] == draft.system}
    for kind in _CORRECTIONS:
        numbers = {key: float(table[kind][key]) for key in ("t_min", "t_max", "c0", "c1", "c2")}
        yield {"name": kind, "source": templates.source(table[kind], draft.language), **numbers}


def _wheel_paths(draft: Draft) -> _Rows:
    return (row._asdict() for row in wheel_paths(draft.system))


def _constants(draft: Draft) -> _Rows:
    table = {row["key"]: row for row in templates.table("constants") if row["system"] == draft.system}
    return (_line(draft, table[key], constant=key) for key in _CONSTANTS)


def _defaults(draft: Draft) -> _Rows:
    usual = planning_defaults(draft.system)
    for field in fields("planning", draft.system):
        row = usual.get(field.path.split(".")[-1])
        if row:
            line = _line(draft, row, name=field.label(draft.say))
            yield line | {"value": 100 * line["value"], "unit": "%"} if field.kind == "percent" else line


def _line(draft: Draft, row: dict[str, str], **more: str) -> dict[str, Any]:
    source = templates.source(row, draft.language)
    return {"value": float(row["value"]), "unit": row["unit"], "source": source, **more}


_ROWS = {
    "grades": _grades,
    "ranges": _ranges,
    "rates": _rates,
    "compared": _compared,
    "correction": _corrections,
    "wheel_paths": _wheel_paths,
    "constants": _constants,
    "defaults": _defaults,
}
