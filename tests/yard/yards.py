"""An invented yard, and an order that is typed from it."""

from __future__ import annotations

import datetime as dt
from functools import cache
from io import BytesIO
from typing import Any

import openpyxl

from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.order.write import lay_out_order
from sheetgen.order.yard import Yard, YardMaterial
from sheetgen.templates import texts
from sheetgen.xlsx.write import book_bytes

CERTIFIED, DIMENSIONS, MATERIAL = "Invented 2", "Invented 1", "Invented plant, tack"


@cache
def yard(units: str = "us", lang: str = "en") -> Yard:
    """Two distributors, one of them by certificate and with a function table, and two materials."""
    data = demo_order(units, lang).model_dump()
    first = data["machines"][0] | {"name": DIMENSIONS}
    step = 4 if units == "us" else 100
    tank = first["tank"] | {
        "shape": "calibrated",
        "height": None,
        "width": None,
        "length": None,
        "heads": "flat",
    }
    tank |= {
        "head_depth": 0,
        "points": [{"depth": line * step, "volume": line * step * 15} for line in range(11)],
    }
    second = first | {"name": CERTIFIED, "tank": tank, "calibration_until": dt.date(2026, 9, 30)}
    second["functions"] = [{"name": "Spray from the bar", "valves": ["open", "closed"]}]
    order = Order.model_validate(data | {"machines": [first, second]})
    other = order.material.model_copy(
        update={"certificate": "IC-7", "certificate_until": dt.date(2020, 3, 1)}
    )
    materials = (YardMaterial(MATERIAL, order.material), YardMaterial("Invented plant, old", other))
    return Yard(units, lang, order.machines, materials)


def simplest(lang: str = "en") -> dict[tuple[str, str], Any]:
    """What is typed for one section sprayed by one distributor: (sheet, field) and the entry."""
    say = texts(lang, "us")
    return {
        ("job", "job.number"): "INV-1",
        ("job", "job.name"): "Invented street",
        ("job", "job.date"): dt.date(2026, 5, 4),
        ("material", "yard.material"): MATERIAL,
        ("machines", "name"): CERTIFIED,
        ("sections", "road"): "Invented street",
        ("sections", "lanes"): "EB",
        ("sections", "from_station"): "10+00",
        ("sections", "to_station"): "24+50",
        ("sections", "width"): 10,
        ("sections", "work"): say["words.work.tack"],
        ("sections", "surface"): say["words.surface.milled-asphalt"],
        ("sections", "rate"): 0.05,
        ("sections", "basis"): say["words.basis.residual"],
        ("sections", "rate_temperature"): say["order.words.rate_temperature.base"],
        ("sections", "tolerance"): 10,
    }


@cache
def blank_order(lang: str) -> bytes:
    """A blank order from the yard."""
    return book_bytes(lay_out_order("us", lang, yard=yard("us", lang)))


def typed_order(path, lang="en", **changes):
    """An order from the yard with the simplest entries, saved by a program that calculates nothing.

    ``changes`` are entries by ``sheet__field``, dots as one underscore more; None leaves one out.
    """
    workbook = openpyxl.load_workbook(BytesIO(blank_order(lang)))
    entries = simplest(lang) | {tuple(key.split("__", 1)): value for key, value in changes.items()}
    for (sheet, field), value in entries.items():
        if value is not None:
            cell_of(workbook, sheet, field, lang).value = value
    workbook.save(path)
    return path


def cell_of(workbook, sheet, field, lang="en", column=None):
    """The cell of a field: the form's own, that of the first distributor, or that of the first section."""
    tab = workbook[texts(lang)[f"order.sheet.{sheet}.tab"]]
    keys = {str(cell.value): cell for row in tab.iter_rows(max_row=4) for cell in row}
    rows = {str(cell.value): cell.row for cell in tab["A"] if cell.value}
    if sheet == "sections":
        return tab.cell(rows["first line"], keys[field].column)
    first = {"job": "value", "material": "value", "materials": "material 1", "yard_materials": "material 1"}
    return tab.cell(rows[field], keys[column or first.get(sheet, "distributor 1")].column)
