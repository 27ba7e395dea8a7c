"""What crews type beside plain numbers: 730, 7.30, 25 1/8", 138F, ditto marks. The cell takes it, the book's formulas
read it as the recheck does, in every engine, and nothing else changes.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.ditto_marks import ditto_marks
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from sheetgen.xlsx.model import Cell
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import put_before_the_rules
from tests.book.formula_review import reaches
from tests.book.test_live_checks import flags
from tests.engines import (
    differences,
    gnumeric,
    office,
    values_by_gnumeric,
    values_by_ironcalc,
    values_by_libreoffice,
)

US, SI = demo_order("us", "en"), demo_order("si", "es")
MINUTE = 1 / 1440
# What is typed, and what both sides read; None where it is asked about.
TIMES = {
    730.0: 450, 7.3: 450, 450 * MINUTE: 450, "7:30": 450, "19:05": 1145, 7.0: 420, 1005.0: 605, 2359.0: 1439,
    7.05: 425, 23.45: 1425, 2400.0: 0, 1.0: 0, 0.0: 0, 7.5: None, 7.25: None, 7.65: None, 775.0: None, 2575.0: None,
    2430.0: None, -0.1: None, 730.5: None, "noon": None, "25:00": None, "7:75": None,
}  # fmt: skip
SPOKEN = {
    "7h30": 450, "7 h 30": 450, "7 30": 450, "7H": 420, "7:30 am": 450, "7:30am": 450, "7:30 a.m.": 450, "12:15 am": 15,
    "1:15 p. m.": 795, "12 pm": 720, "7:05p": 1145, "742 am": 462, "730 hrs": 450, "0730 h": 450, "7:30 h": 450,
    "25h00": None, "7h75": None, "13:00 pm": None, "1.5 h": None,
}  # fmt: skip
DEGREES = {"138F": 138, "138 °F": 138, "138°": 138, "138.5f": 138.5, 138.0: 138, "warm": None}
CELSIUS = {"59C": 59, "59 °C": 59, "59.5 °c": 59.5, 59.0: 59, "tibio": None}
INCHES = {'25 1/8"': 25.125, '25"': 25, '25.125"': 25.125, "25 1/8": 25.125, '25 15/16"': 25.9375, 25.5: 25.5,
          "25 1/8”": 25.125,
          '25 1/7"': None, '25 9/8"': None, 'wet"': None}  # fmt: skip

POUNDS = {"2,900 lb": 2900, "2900 lbs": 2900, "2900LB.": 2900, "2,900": 2900, "2900.5 lb": 2900.5, 2900.0: 2900,
          "2.9.1 lb": None, "heavy": None}  # fmt: skip
KILOS = {"1315 kg": 1315, "1,315 kg": 1315, "1315,5 kgs": 1315.5, 1315.0: 1315, "pesado": None}
GALLONS = {"4 gal": 4, "4.5 gals.": 4.5, 4.0: 4, "some": None}
LITERS = {"14 L": 14, "14,5 lts": 14.5, "14 l.": 14, 14.0: 14, "14 t": None}


def column_of(order, table, key, typed):
    """A log with one thing after the other in a column; the reader's values and the book with results."""
    log = honest_day(order, order.machines[0], seed=4)
    log |= {(table, row, key): value for row, value in enumerate(typed)}
    read = {each.row: each for each in entries_of(log, order, order.machines[0])
            if (each.table, each.column) == (table, key)}  # fmt: skip
    book = lay_out(order, order.machines[0], log)
    return [read[row] for row in range(len(typed))], book


def shown(book, values, table, key, count):
    place = book.tables[table]
    sheet = next(sheet.key for sheet in book.sheets if sheet.name == place.sheet)
    return [values[sheet, place.first_row + row, place.columns[key]] for row in range(count)]


CASES = [
    (US, "start", TIMES, "shot_checks", "start_as", MINUTE),
    (US, "start", SPOKEN, "shot_checks", "start_as", MINUTE),
    (SI, "end", SPOKEN, "shot_checks", "end_as", MINUTE),
    (US, "time", dict(list(SPOKEN.items())[:16]), "load_checks", "time_as", MINUTE),
    (SI, "end", TIMES, "shot_checks", "end_as", MINUTE),
    (US, "temperature", DEGREES, "shot_checks", "temperature_as", 1),
    (SI, "temperature", CELSIUS, "shot_checks", "temperature_as", 1),
    (US, "dip_before", INCHES, "shots", "depth_before", 1),
    (US, "waste", GALLONS, "shot_checks", "waste_as", 1),
    (SI, "waste", LITERS, "shot_checks", "waste_as", 1),
    (US, "net_mass", POUNDS, "load_checks", "net_mass_as", 1),
    (SI, "net_mass", KILOS, "load_checks", "net_mass_as", 1),
]


@pytest.mark.parametrize(("order", "key", "typed", "table", "as_read", "unit"), CASES)
def test_book_and_recheck_read_alike(order, key, typed, table, as_read, unit):
    entries, book = column_of(order, log_of(table), key, typed)
    formulas = shown(book, results(book), table, as_read, len(typed))
    for entry, formula, (value, wanted) in zip(entries, formulas, typed.items(), strict=True):
        if wanted is None:
            assert (entry.value, formula) == (None, ""), value
            assert entry.trouble, value
        else:
            assert entry.value == pytest.approx(wanted * unit), value
            assert formula == pytest.approx(wanted * unit), value


def log_of(table):
    """The log of a table of workings."""
    return {"load_checks": "loads"}.get(table, "shots")


def accepted(order, key, typed, log="shots"):
    """Whether the cells of a column of a log take what is typed into them: a validation's own formula."""
    book = lay_out(order, order.machines[0])
    sheet, column = book.sheet(log), book.tables[log].columns[key]
    (rule,) = [rule for rule in sheet.validations if rule.first_col == column]
    assert rule.kind == "custom"
    assert len(rule.formula1) <= 255  # ECMA-376 part 1, 18.3.1.32, as programs keep it
    probe = replace(sheet, cells=sheet.cells | {(20_000, 900): Cell(formula=rule.formula1)})
    probed = read_by(replace(book, sheets=[probe if each is sheet else each for each in book.sheets]), probe)
    return [
        results(probed, {(log, rule.first_row, column): value})[log, 20_000, 900] is True for value in typed
    ]


def read_by(book, probe):
    """The book with the cell of a probe, those that its formula reads, and what those read: all that it hangs on."""
    sheets = {each.name: each for each in book.sheets}
    kept, open_ones = {name: {} for name in sheets}, [(probe.name, (20_000, 900))]
    while open_ones:
        name, at = open_ones.pop()
        cell = sheets[name].cells.get(at)
        if cell is None or at in kept[name]:
            continue
        kept[name][at] = cell
        for each in reaches(cell.formula or "", name):
            open_ones += [(each.sheet, place) for place in each.cells()]
    return replace(book, sheets=[replace(each, cells=kept[name]) for name, each in sheets.items()])


# Begins and ends as a reading does: the cell takes it, and the live check says that it cannot be read.
TAKEN_AND_ASKED = ('25 1/7"', '25 9/8"', "25h00", "7h75", "13:00 pm", "1.5 h", "2.9.1 lb", "14 t")


@pytest.mark.parametrize(("order", "key", "typed"), [case[:3] for case in CASES])
def test_a_cell_takes_what_is_read_and_refuses_the_rest(order, key, typed):
    log = "loads" if key in ("net_mass", "time") else "shots"
    by_hand = {
        value: wanted
        for value, wanted in typed.items()
        if not (isinstance(value, str) and value[-1].isdigit()) or "h" in value
    }
    taken = [wanted is not None or value in TAKEN_AND_ASKED for value, wanted in by_hand.items()]
    assert accepted(order, key, by_hand, log) == taken


@pytest.mark.parametrize(
    ("key", "number"), [("nozzles", 24.0), ("load", 1.0), ("temperature", 150.0), ("date", 46150.0)]
)
def test_marks_for_as_above_are_taken_where_they_mean_something(key, number):
    assert accepted(US, key, [number, '"', "“", "”", "do.", "Ditto", "x", -5.0]) == [
        *[True] * 6,
        False,
        False,
    ]


@pytest.mark.parametrize("key", ["section", "lane", "width", "kind"])
@pytest.mark.parametrize("order", [US, SI], ids=["us", "si"])
def test_drop_downs_offer_the_mark_for_as_above(order, key):
    book = lay_out(order, order.machines[0])
    sheet, column = book.sheet("shots"), book.tables["shots"].columns[key]
    (rule,) = [rule for rule in sheet.validations if rule.first_col == column]
    area = book.names[f"{key}_choices"]
    assert rule.formula1 == f"={area}"
    tab, row, col = book.fields[f"{key}_choices"]
    cells = book.sheet(tab).cells
    offered = [cells[at, col].value for at in range(row, row + 40) if (at, col) in cells]
    assert offered[-3:] == ['"', "“", "”"]
    assert set(offered[-3:]) <= set(ditto_marks())
    assert len(offered) > 3


SIGNS = {"net_mass": {"us": "lb", "si": "kg"}, "waste": {"us": "gal", "si": "L"}}


def typed_otherwise(log, order):
    """An honest day in a crew's own hand: the same times, temperatures and readings."""
    sign, typed = ("F" if order.units == "us" else "C"), dict(log)
    for (table, row, key), value in log.items():
        minutes = round(value * 1440) if key in ("start", "end", "time") else 0
        hour, minute = divmod(minutes, 60)
        if (key in ("start", "end") and table == "shots") or (table, key) == ("loads", "time"):
            bare, pointed = 100.0 * hour + minute, hour + minute / 100
            spoken = f"{hour}h{minute:02d}", f"{(hour + 11) % 12 + 1}:{minute:02d} {'ap'[hour // 12]}m"
            typed[table, row, key] = (
                bare, pointed if minute % 25 else bare, f"{hour}:{minute:02d}", *spoken
            )[row % 5]  # fmt: skip
        elif key in SIGNS and value:
            typed[table, row, key] = (
                f"{value:,.0f} {SIGNS[key][order.units]}" if value == int(value) else value
            )
        elif (
            table == "loads" and key in ("date", "grade") and row and log.get((table, row - 1, key)) == value
        ):
            typed[table, row, key] = '"'
        elif key in ("temperature", "start_temperature", "end_temperature"):
            typed[table, row, key] = (f"{value:g}{sign}", f"{value:g} °{sign}", value)[row % 3]
        elif key in ("dip_before", "dip_after") and order.units == "us":
            whole, part = int(value), Fraction(round((value % 1) * 64), 64)
            typed[table, row, key] = f'{whole} {part}"' if part else f'{whole}"'
    return typed


@pytest.mark.parametrize("order", [US, SI], ids=["us", "si"])
def test_ditto_marks_of_the_load_log_mean_the_row_above_that_is_not_void(order):
    machine = order.machines[0]
    log = honest_day(order, machine, seed=4)
    load = {key: value for (table, row, key), value in log.items() if (table, row) == ("loads", 0)}
    log |= {("loads", 0, "temperature"): 60.0, ("loads", 0, "specific_gravity"): 1.02}
    log |= {("loads", 1, "kind"): texts(order.language)["words.void"], ("loads", 1, "temperature"): 70.0,
            ("loads", 1, "remarks"): "torn ticket", ("loads", 1, "date"): load["date"] + 1}  # fmt: skip
    log |= {("loads", 2, key): value for key, value in load.items()} | {("loads", 2, "ticket"): "9999"}
    log |= {("loads", 2, key): '"' for key in ("date", "grade", "temperature", "specific_gravity")}
    entries = {(each.row, each.column): each.value for each in entries_of(log, order, machine)
               if each.table == "loads"}  # fmt: skip
    book = lay_out(order, machine, log)
    values = results(book)
    read = {key: shown(book, values, "load_checks", f"{key}_as", 3)[2]
            for key in ("date", "grade", "temperature", "specific_gravity")}  # fmt: skip
    assert read == {key: entries[2, key] for key in read}
    assert read == {"date": load["date"], "grade": load["grade"], "temperature": 60, "specific_gravity": 1.02}
    total = put_before_the_rules(log, order)[0].totals.overall
    assert values[book.fields["total_loaded"]] == pytest.approx(total["loaded"])
    (look,) = {shown(book, values, "loads", "look", 3)[2]}
    assert look == ""


@pytest.mark.parametrize("order", [US, SI], ids=["us", "si"])
def test_a_day_in_a_crews_own_hand_is_ready_to_send_and_pays_the_same(order, tmp_path):
    machine = order.machines[0]
    log = honest_day(order, machine, seed=4)
    otherwise = typed_otherwise(log, order)
    assert sum(log[at] != value for at, value in otherwise.items()) > 40
    open_items, line = flags(order, otherwise)
    assert {at: on for at, on in open_items.items() if on} == {}
    assert line == flags(order, log)[1]
    path = write_filled(order, machine, otherwise, tmp_path / "typed.xlsx")
    neat = recheck_book(write_filled(order, machine, log, tmp_path / "neat.xlsx"))
    for file in (path, office(path, tmp_path / "office"), gnumeric(path, tmp_path / "gnumeric")):
        result = recheck_book(file)
        assert [each.name for each in result.findings if each.severity != "note"] == []
        assert result.totals.overall == neat.totals.overall


@pytest.mark.parametrize("engine", [values_by_ironcalc, values_by_libreoffice, values_by_gnumeric])
def test_every_engine_reads_it_alike(engine, tmp_path):
    log = honest_day(US, US.machines[0], seed=4)
    for key, typed in (
        ("start", TIMES),
        ("end", SPOKEN),
        ("waste", GALLONS),
        ("temperature", DEGREES),
        ("dip_before", INCHES),
        ("dip_after", ("21,125", "21,5", "1,125")),  # thousands to some programs, no number to others
    ):
        log |= {("shots", row, key): value for row, value in enumerate(typed)}
    log |= {("loads", row, "net_mass"): value for row, value in enumerate(POUNDS)}
    log |= {
        ("loads", 0, "time"): 630.0,
        ("loads", 1, "time"): "9h05",
        ("days", 0, "returned"): "12 gal",
        ("loads", 0, "temperature"): "138F",
    }
    log |= {("days", 0, "start_temperature"): "120 °F", ("days", 0, "start_dip"): '30 1/2"'}
    book = lay_out(US, US.machines[0], log)
    values = results(book)
    path = write_book(book, tmp_path / "book.xlsx", values)
    theirs = engine(path, book) if engine is values_by_ironcalc else engine(path, book, tmp_path / "out")
    assert differences(values, theirs, book) == []
