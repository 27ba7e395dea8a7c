"""No order, the office's own or one that a returned book carries, takes the machine: every number has its bounds."""

from __future__ import annotations

import base64
import copy
import json
import math
import time
import zlib
from functools import cache

import openpyxl
import pytest
from pydantic import ValidationError

from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.errors import OrderError, UnusableBook
from sheetgen.order.bounds import bounds
from sheetgen.order.demo import demo_order
from sheetgen.order.fields import layout
from sheetgen.order.model import Order
from sheetgen.order.places import FIRST_LINE, KEY_LINE
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.templates import LANGUAGES, texts
from sheetgen.units import SYSTEMS
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small

_SECONDS = 1.0  # of processor time for a carried order that is refused


@cache
def whole(units="us"):
    """An order with something of everything that has a bound."""
    made = demo_order(units, "en").model_dump(mode="json")
    made["planning"]["seal_design"] = layout()["stand_ins"][units]["seal_design"]
    made["planning"] |= {"replaced_rate": 0.3, "replaced_residue": 0.8}
    machine = made["machines"][0]
    inch = 1 if units == "us" else 25.4
    machine["tank"] |= {
        "points": [{"depth": 0, "volume": 0}, {"depth": 40 * inch, "volume": 500}],
        "width": 40 * inch,
    }
    return made


def with_value(units, path, value):
    """The order with one number replaced, the first of a list where the path leads into one."""
    made = copy.deepcopy(whole(units))
    part, steps = made, path.split(".")
    for step in steps[:-1]:
        part = part.setdefault(step, {}) if part.get(step) is None else part[step]
        part = part[-1] if isinstance(part, list) else part
    part[steps[-1]] = [value] if steps[-1] == "bar_widths" else value
    return made


def said(made):
    """What the model says of an order that it refuses."""
    with pytest.raises(ValidationError) as caught:
        Order.model_validate(made)
    return str(caught.value)


ALL = [(units, path) for units in SYSTEMS for path in bounds(units)]


def test_every_number_of_an_order_has_a_bound_in_both_systems():
    numbers = set()

    def walk(part, path):
        if isinstance(part, dict):
            for key, value in part.items():
                walk(value, [*path, key])
        elif isinstance(part, list):
            for item in part:
                walk(item, path)
        elif isinstance(part, int | float) and not isinstance(part, bool):
            numbers.add(".".join(path))

    for units in SYSTEMS:
        walk(whole(units), [])
    schema = {"rounding", "size"}  # whole numbers with bounds of their own in the model
    own = {
        "job.revision",
        "material.specific_gravity",
        "planning.start_hour",
        "planning.seal_design.flakiness",
        "limits.rate_checks",
        "pay.money_decimals",
    }
    assert {path for path in numbers if path.split(".")[0] not in schema} <= set(bounds("us")) | own
    assert set(bounds("us")) == set(bounds("si"))


@pytest.mark.parametrize(("units", "path"), ALL)
def test_a_number_beyond_its_bounds_is_refused(units, path):
    low, high = bounds(units)[path]
    for value in (
        math.nextafter(low, -math.inf),
        math.nextafter(high, math.inf),
        1e300,
        -1e300,
        math.inf,
        math.nan,
    ):
        text = said(with_value(units, path, value))
        name = path.rsplit(".", 1)[-1]
        known = (name, "least", "range", "maximum")  # a rule between two fields may see it first
        assert any(word in text for word in known)


@pytest.mark.parametrize("path", ["machines.tank.points", "sections.lanes"])
def test_a_list_beyond_its_bounds_is_refused(path):
    items = (
        [{"depth": number / 10, "volume": number} for number in range(501)]
        if path.endswith("points")
        else [f"L{number}" for number in range(51)]
    )
    assert "at most" in said(with_value("us", path, items))


SLIPS = [
    ("machines", "tank.height", 4200, 200), ("machines", "nozzle_spacing", 0.01, 1),
    ("machines", "nozzle_spacing", 0.001, 1),
    ("machines", "bar_widths", "8; 10; 12000", 100), ("machines", "discharge_max", 12000000, 2000),
    ("sections", "to_station", 1e12, 9999999), ("sections", "rate", 30, 10),
    ("material", "material.spray_max", 1700, 600),
]  # fmt: skip


@pytest.fixture(scope="module")
def blanks(tmp_path_factory):
    """The demonstration order as a workbook, in each language."""
    folder = tmp_path_factory.mktemp("orders")
    return {lang: write_order(folder / f"{lang}.xlsx", order=demo_order("us", lang)) for lang in LANGUAGES}


@pytest.mark.parametrize(("lang", "sheet", "path", "typed", "bound"), [
    *[("en", *slip) for slip in SLIPS], ("es", *SLIPS[0]),
], ids=lambda value: str(value))  # fmt: skip
def test_a_slip_of_the_finger_is_named_at_its_cell(blanks, tmp_path, sheet, path, typed, bound, lang):
    file = tmp_path / "order.xlsx"
    say = texts(lang)
    workbook = openpyxl.load_workbook(blanks[lang])
    tab = workbook[say[f"order.sheet.{sheet}.tab"]]
    cells = [cell for row in tab.iter_rows() for cell in row]
    keys = {str(cell.value): cell for cell in cells if cell.column == 1 or _in_key_row(tab, cell)}
    at = (
        tab.cell(int(_first_line(tab)), keys[path].column)
        if sheet == "sections"
        else tab.cell(keys[path].row, 5 if sheet == "machines" else 3)
    )
    at.value = typed
    workbook.save(file)
    begun = time.process_time()
    with pytest.raises(OrderError) as caught:
        read_order(file)
    assert time.process_time() - begun < 5 * _SECONDS
    named = [each for each in caught.value.mistakes if each.cell == at.coordinate]
    assert named, caught.value
    side, key = ("ge", "greater_than_equal") if bound == 1 else ("le", "less_than_equal")
    assert named[0].expected == say.say(f"order.mistake.{key}.expected", **{side: f"{bound:.10g}"})
    assert named[0].sheet == tab.title


def _in_key_row(tab, cell):
    return any(tab.cell(cell.row, 1).value == key for key in (KEY_LINE,))


def _first_line(tab):
    return next(cell.row for row in tab.iter_rows(max_col=1) for cell in row if cell.value == FIRST_LINE)


HOSTILE = [
    ("machines.nozzle_spacing", 1e-9), ("machines.bar_widths", 1e9), ("machines.tank.height", 1e9),
    ("machines.tank.height", 5000), ("machines.tank.height", 20000), ("material.spray_max", 1e300),
    ("machines.discharge", 5e-324), ("reading.dip", 5e-324), ("sections.rate", 5e-324),
    ("sections.to_station", 1e300), ("machines.tank.points", 5000), ("machines.tank.points", 20000),
    ("planning.shift_hours", 5e-324), ("planning.shot_step", 5e-324), ("material.spray_planned", "Infinity"),
]  # fmt: skip


@pytest.fixture(scope="module")
def results_of_a_blank_book(tmp_path_factory):
    """No formula reads the record. What a process reads once is read."""
    order = small()
    book = lay_out(order, order.machines[0])
    calculated = results(book)
    recheck_book(write_book(book, tmp_path_factory.mktemp("sound") / "book.xlsx", calculated))
    return calculated


@pytest.mark.parametrize(("path", "value"), HOSTILE, ids=str)
def test_a_hostile_carried_order_is_refused_at_once(results_of_a_blank_book, tmp_path, path, value):
    order = small()
    if path.endswith("points"):
        value = [{"depth": number / 1000, "volume": number} for number in range(value)]
    carried = with_value("us", path, value)
    if path.startswith("machines.tank"):
        carried["machines"][0]["tank"]["shape"] = "calibrated" if path.endswith("points") else "circular"
    text = json.dumps(carried).replace('"Infinity"', "Infinity")
    made = lay_out(order, order.machines[0])
    kept = made.sheet("record").cells
    rows = [row for (row, col), cell in kept.items() if col == 0 and cell.value == "order"]
    packed = base64.b64encode(zlib.compress(text.encode())).decode()
    cut = [packed[at : at + 30_000] for at in range(0, len(packed), 30_000)]
    for row, line in zip(rows, [*cut, *[""] * (len(rows) - len(cut))], strict=True):
        kept[row, 1] = kept[row, 1]._replace(value=f"B{line}")
    file = write_book(made, tmp_path / "back.xlsx", results_of_a_blank_book)
    begun = time.process_time()
    with pytest.raises(UnusableBook, match="carried order is not one"):
        recheck_book(file)
    assert time.process_time() - begun < _SECONDS


ACTING = ["\x1b[31m", "\0", "a\nb", "\x9b31m", "\u202e", "\u2066", "\ufffe", "\ud800", "\u2028"]


@pytest.mark.parametrize("sign", ACTING)
def test_signs_that_act_on_a_screen_are_refused_in_an_order(sign):
    for path in ("job.number", "job.name", "machines.name", "sections.road", "material.grade", "pay.source"):
        made = with_value("us", path, f"A{sign}B")
        with pytest.raises(ValidationError):
            Order.model_validate(made)


@pytest.mark.parametrize(
    "name", ["Camión Ñandú", "دستگاه\u200cها", "क्‍ष", "車両 7", "Zoë's № 5 – “old”", "\u200fאב"]
)
def test_names_of_every_language_are_taken(name):
    assert Order.model_validate(with_value("us", "job.name", name)).job.name == name


def test_a_cell_of_several_lines_is_read_as_one_line(tmp_path):
    file = write_order(tmp_path / "order.xlsx", order=demo_order("us", "en"))
    workbook = openpyxl.load_workbook(file)
    tab = workbook[texts("en")["order.sheet.job.tab"]]
    row = next(cell.row for line in tab.iter_rows(max_col=1) for cell in line if cell.value == "job.place")
    tab.cell(row, 3).value = "North end,\nbehind the depot"
    workbook.save(file)
    assert read_order(file).job.place == "North end, behind the depot"
