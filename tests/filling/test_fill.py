"""Entries of other programs typed into a book: what is written, what is left alone, what is refused."""

from __future__ import annotations

import csv
import datetime as dt
import re
import subprocess
import sys
import zipfile

import openpyxl
import pandas as pd
import pytest
from lxml import etree

import sheetgen
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.demo.run import SEED
from sheetgen.figures import date_of
from sheetgen.order.demo import demo_order
from sheetgen.templates import texts
from sheetgen.xlsx.markup import parse
from tests.audit.orders import small
from tests.engines import office
from tests.selection import sampled

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
CASES = [("us", "en"), ("si", "es")]


def rows_of(log):
    """The entries of a day as rows of each log, by column key."""
    rows = {}
    for (table, row, column), value in sorted(log.items(), key=lambda item: item[0][:2]):
        rows.setdefault(table, {}).setdefault(row, {})[column] = value
    return {table: list(by_row.values()) for table, by_row in rows.items()}


def as_text(column, value, comma=False):
    """A value as another program writes it: dates and times in words, numbers with the language's decimal sign."""
    if column == "date":
        return date_of(value).isoformat()
    if column in ("start", "end", "time"):
        return f"{int(value * 1440 + 0.5) // 60}:{int(value * 1440 + 0.5) % 60:02d}"
    if isinstance(value, float):
        return f"{value:.10g}".replace(".", "," if comma else ".")
    return value


def write_csv(path, rows, heading=str, mark=",", encoding="utf-8"):
    columns = list(dict.fromkeys(column for row in rows for column in row))
    with path.open("w", encoding=encoding, newline="") as file:
        writer = csv.writer(file, delimiter=mark)
        writer.writerow([heading(column) for column in columns])
        for row in rows:
            writer.writerow([as_text(c, row[c], mark == ";") if c in row else "" for c in columns])
    return path


@pytest.fixture(scope="module")
def blank(tmp_path_factory):
    """The blank book of the demonstration in each language, its order, and its honest day."""
    found = {}
    for system, language in CASES:
        order = demo_order(system, language)
        book = sheetgen.build(order, tmp_path_factory.mktemp(language))[0]
        found[language] = (book, order, honest_day(order, order.machines[0], seed=SEED))
    return found


def mistakes(book, entries, tmp_path, **options):
    """What is refused, by where it is; nothing may have been written."""
    out = tmp_path / "out.xlsx"
    with pytest.raises(sheetgen.EntriesError) as caught:
        sheetgen.fill(book, entries, out, **options)
    assert not out.exists()
    return {each.sheet: each for each in caught.value.mistakes}


def values(path, tab):
    """The constants of a sheet by address."""
    sheet = openpyxl.load_workbook(path)[tab]
    return {
        cell.coordinate: cell.value
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None and not str(cell.value).startswith("=")
    }


@pytest.mark.parametrize(("system", "language"), sampled(CASES, 1))
def test_the_whole_demonstration_typed_from_csv_is_the_book_typed_by_hand(system, language, blank, tmp_path):
    """Every log from files of its own, under keys or printed headings; LibreOffice calculates what was left out."""
    book, order, log = blank[language]
    say, rows = texts(language, system), rows_of(log)
    mark, encoding = (",", "utf-8-sig") if language == "en" else (";", "cp1252")
    files = [write_csv(tmp_path / "shots.csv", rows["shots"], str, mark, encoding)]
    for table in ("days", "loads"):

        def printed(key, table=table):
            return say[f"{table}.{key}"]

        name = tmp_path / f"{say[f'sheet.{table}.tab']}.csv"
        files.append(write_csv(name, rows[table], printed, mark, encoding))
    filled = sheetgen.fill(book, files, tmp_path / "filled.xlsx")
    by_hand = sheetgen.recheck(write_filled(order, order.machines[0], log, tmp_path / "by_hand.xlsx"))

    at_once = sheetgen.recheck(filled)
    assert [each.name for each in at_once.findings] == ["results-not-in-file"]
    calculated = sheetgen.recheck(office(filled, tmp_path / "office"))
    assert [each.name for each in calculated.findings] == [each.name for each in by_hand.findings] == []
    for result in (at_once, calculated):
        assert result.totals == by_hand.totals
        assert _by_place(result) == _by_place(by_hand)
    payable = calculated.book_values["overall", 0, "payable"].value
    assert payable == by_hand.totals.overall["payable"] > 900


def _by_place(result):
    """Every entry as it was read, times to the second."""
    return {
        (each.table, each.row, each.column): round(each.value, 7) if type(each.value) is float else each.value
        for each in result.entries
    }


def test_nothing_but_entry_cells_results_and_the_wish_to_calculate_changes(blank, tmp_path):
    book, _, log = blank["en"]
    filled = sheetgen.fill(book, rows_of(log), tmp_path / "filled.xlsx")
    with zipfile.ZipFile(book) as before, zipfile.ZipFile(filled) as after:
        assert before.namelist() == after.namelist()
        for name in before.namelist():
            old, new = before.read(name), after.read(name)
            if name == "xl/workbook.xml":
                assert new.count(b'fullCalcOnLoad="1"') == 1
                assert _without_calculation(new) == _without_calculation(old)
            elif re.fullmatch(r"xl/worksheets/sheet\d+\.xml", name):
                _hold_alike(parse(old), parse(new))
            else:
                assert old == new, name


def _without_calculation(data):
    root = parse(data)
    root.find(f"{MAIN}calcPr").attrib.clear()
    return etree.tostring(root, method="c14n")


def _hold_alike(old, new):
    """All but the values of blank entry cells and the results of formulas is the same, to the byte."""
    typed = 0
    for one, other in zip(old.iter(f"{MAIN}c"), new.iter(f"{MAIN}c"), strict=True):
        assert one.get("r") == other.get("r")
        assert one.get("s") == other.get("s")
        formula = one.find(f"{MAIN}f")
        if formula is not None:
            assert etree.tostring(formula) == etree.tostring(other.find(f"{MAIN}f"))
            assert other.find(f"{MAIN}v") is None
        elif len(one) == 0 and len(other):
            typed += 1
        else:
            assert etree.tostring(one) == etree.tostring(other)
    for root in (old, new):
        for cell in list(root.iter(f"{MAIN}c")):
            cell.clear()
    assert etree.tostring(old, method="c14n") == etree.tostring(new, method="c14n")


def test_rows_go_behind_the_last_used_one_or_where_they_say(blank, tmp_path):
    book, _, _ = blank["en"]
    first = sheetgen.fill(
        book, {"days": [{"date": dt.date(2026, 5, 5), "remarks": "one"}]}, tmp_path / "1.xlsx"
    )
    second = sheetgen.fill(
        first, {"days": [{"no": 4, "remarks": "four"}, {"remarks": "five"}]}, tmp_path / "2.xlsx"
    )
    found = values(second, "Days")
    assert [found.get(f"L{row}") for row in range(6, 12)] == ["one", None, None, "four", "five", None]


def test_values_of_python_numpy_and_pandas_become_what_the_sheet_wants(blank, tmp_path):
    book, _, _ = blank["en"]
    table = pd.DataFrame(
        {
            "date": [pd.Timestamp(2026, 5, 5)], "start": [dt.time(7, 31)], "temperature": [pd.NA],
            "waste": [float("nan")], "from_station": ["118+50"], "to_station": [11900], "kind": [True],
            "dip_before": ['25 1/8"'],
        }
    )  # fmt: skip
    found = values(sheetgen.fill(book, {"shots": table}, tmp_path / "out.xlsx"), "Shots")
    assert found["B6"] == dt.datetime(2026, 5, 5)
    assert found["H6"] == dt.time(7, 31)
    assert (found["J6"], found["K6"], found["L6"], found["Q6"]) == ("118+50", 11900, 25.125, "hand spray")
    assert "P6" not in found
    assert "R6" not in found


def test_a_workbook_a_column_of_logs_and_single_fields(blank, tmp_path):
    book, _, _ = blank["en"]
    entries = openpyxl.Workbook()
    entries.active.title = "anything"
    entries.active.append(["sheet", "Date", "Remarks"])
    entries.active.append(["Loads", dt.date(2026, 5, 5), "=1+1 is no formula"])
    entries["anything"]["C2"].data_type = "s"
    entries.active.append(["days", dt.datetime(2026, 5, 6), "two"])
    fields = entries.create_sheet("fields")
    fields.append(["field", "value"])
    fields.append(["pads_gravity", 1.02])
    fields.append(["pads_weighed", "WET"])
    entries.save(tmp_path / "entries.xlsx")
    out = sheetgen.fill(book, tmp_path / "entries.xlsx", tmp_path / "out.xlsx")
    assert openpyxl.load_workbook(out)["Loads"]["T6"].value == "=1+1 is no formula"
    assert values(out, "Days")["B6"] == dt.datetime(2026, 5, 6)
    assert (values(out, "Calibration")["J7"], values(out, "Calibration")["D7"]) == (1.02, "wet")


def test_every_mistake_is_said_by_line_and_nothing_is_written(blank, tmp_path):
    book, _, _ = blank["en"]
    file = tmp_path / "shots.csv"
    file.write_text(
        "date,start,temperature,dip_before,nozzles,section,meter_after\n"
        "11/10,7:30,150,26.5,20,S1,\n"
        "2026-05-05,25:61,999,45,2.5,S9,\n"
        '2026-05-05,7:30,150,26.5,20,S1,"1,200"\n',
        encoding="utf-8",
    )
    found = mistakes(book, file, tmp_path)
    assert set(found) == {
        f"shots.csv, line {line}, {column}"
        for line, column in [
            (3, "start"), (3, "temperature"), (3, "dip_before"), (3, "nozzles"), (3, "section"), (4, "meter_after"),
            (2, "date"),
        ]
    }  # fmt: skip
    for each in found.values():
        assert each.found
        assert each.expected
        assert each.remedy


@pytest.mark.parametrize(
    ("text", "where", "said"),
    [
        ("date,colour\n2026-05-05,red\n", "days.csv, line 2, colour", "colour"),
        ("no,remarks\n99,x\n", "days.csv, line 2, no", "99"),
        ("no,remarks\n1,x\n1,y\n", "days.csv, line 3", "line 2"),
        ("remarks\n" + "".join(f"r{n}\n" for n in range(9)), "days.csv, line 9", "days"),
        ("log,remarks\nhouse,x\n", "days.csv, line 2, log", "house"),
        ("date,Date\n2026-05-05,2026-05-05\n", "days.csv, line 2, Date", "Date"),
        ("field,value\ntotal_payable,5\n", "days.csv, line 2, field", "total_payable"),
        ("remarks\na\x07b\n", "days.csv, line 2, remarks", "a·b"),
        ("date\n", "days.csv", ""),
    ],
    ids=range(9),
)
def test_what_is_refused(text, where, said, blank, tmp_path):
    file = tmp_path / "days.csv"
    file.write_text(text, encoding="utf-8")
    found = mistakes(blank["en"][0], file, tmp_path)
    assert said in found[where].found


def test_headings_that_fit_several_logs_ask_for_the_log(blank, tmp_path):
    file = tmp_path / "monday.csv"
    file.write_text("date,remarks\n2026-05-05,x\n", encoding="utf-8")
    (found,) = mistakes(blank["en"][0], file, tmp_path).values()
    assert "days" in found.found
    assert "shots" in found.found


def test_a_table_that_fits_no_log_is_said_once_however_many_lines_it_has(blank, tmp_path):
    table = tmp_path / "weather.csv"
    table.write_text("wind,sun\n1,2\n3,4\n5,6\n")
    named = tmp_path / "named.csv"
    named.write_text("log,date\nrain,1\nrain,2\nsnow,3\n")
    with pytest.raises(sheetgen.EntriesError) as caught:
        sheetgen.fill(blank["en"][0], [table, named], tmp_path / "out.xlsx")
    assert [(each.sheet, each.found.partition(",")[0]) for each in caught.value.mistakes] == [
        ("weather.csv, line 2", "weather"),
        ("named.csv, line 2, log", "rain"),
        ("named.csv, line 4, log", "snow"),
    ]


def test_entries_that_differ_stay_unless_replacing_is_asked_for(blank, tmp_path):
    _, order, log = blank["en"]
    there = write_filled(order, order.machines[0], log, tmp_path / "there.xlsx")
    new = {"shots": [{"no": 1, "temperature": 151.0, "section": log["shots", 0, "section"]}]}
    found = mistakes(there, new, tmp_path)
    assert list(found) == ["shots, row 1, temperature"]
    assert f"{log['shots', 0, 'temperature']:.10g}" in found["shots, row 1, temperature"].found
    out = sheetgen.fill(there, new, tmp_path / "replaced.xlsx", replace=True)
    assert values(out, "Shots")["P6"] == 151


def test_a_table_given_twice_does_not_count_twice(blank, tmp_path):
    book, _, log = blank["en"]
    filled = sheetgen.fill(book, rows_of(log), tmp_path / "once.xlsx")
    again = mistakes(filled, {"loads": rows_of(log)["loads"]}, tmp_path)
    assert len(again) == len(rows_of(log)["loads"])
    twice = mistakes(book, {"loads": rows_of(log)["loads"][:1] * 2}, tmp_path)
    assert list(twice) == ["loads, row 2"]


def test_the_book_itself_another_file_and_other_kinds_of_files_are_left_alone(blank, tmp_path):
    book, _, _ = blank["en"]
    before, new = book.read_bytes(), {"days": [{"remarks": "x"}]}
    other = tmp_path / "other.xlsx"
    other.write_bytes(b"crew")
    for out, said in ((book, "the book itself"), (other, "left alone"), (tmp_path / "out.xls", ".xlsx")):
        with pytest.raises(sheetgen.SheetgenError, match=re.escape(said)):
            sheetgen.fill(book, new, out)
    old = tmp_path / "old.xls"
    old.write_bytes(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "Workbook".encode("utf-16-le"))
    with pytest.raises(sheetgen.UnusableBook, match=r"old \.xls format"):
        sheetgen.fill(old, new, tmp_path / "new.xlsx")
    with pytest.raises(sheetgen.UnusableBook, match=r"old \.xls format"):
        sheetgen.fill(book, old, tmp_path / "new.xlsx")
    assert (book.read_bytes(), other.read_bytes()) == (before, b"crew")
    assert not (tmp_path / "new.xlsx").exists()


def test_locked_and_merged_cells_and_moved_logs_are_refused(blank, tmp_path):
    book, _, _ = blank["en"]
    changed = openpyxl.load_workbook(book)
    changed["Days"]["L6"].protection = openpyxl.styles.Protection(locked=True)
    changed["Days"].merge_cells("L7:L8")
    changed.save(tmp_path / "changed.xlsx")
    found = mistakes(
        tmp_path / "changed.xlsx", {"days": [{"no": n, "remarks": "x"} for n in (1, 3, 4)]}, tmp_path
    )
    assert list(found) == ["days, row 1, remarks", "days, row 2, remarks"]
    changed = openpyxl.load_workbook(book)
    changed["Days"].insert_rows(3)
    changed.save(tmp_path / "moved.xlsx")
    with pytest.raises(sheetgen.UnusableBook, match="Days"):
        sheetgen.fill(tmp_path / "moved.xlsx", {"days": [{"remarks": "x"}]}, tmp_path / "out.xlsx")


@pytest.mark.parametrize("notation", ["decimal", "fraction", "sixteenths"])
def test_a_reading_of_the_stick_is_typed_in_the_way_of_the_book(notation, tmp_path):
    order = small(reading__dip_notation=notation)
    book = sheetgen.build(order, tmp_path / "books")[0]
    typed = {"decimal": 16.5, "fraction": "16 1/2", "sixteenths": "16/8"}[notation]
    out = sheetgen.fill(book, {"shots": [{"dip_before": typed}]}, tmp_path / "out.xlsx")
    (entry,) = [each for each in sheetgen.recheck(out).entries if each.column == "dip_before"]
    assert entry.value == 16.5
    assert entry.trouble == ""


def test_the_command_says_what_it_typed_and_has_status_2_for_mistakes(blank, tmp_path):
    book, _, _ = blank["es"]
    say = texts("es", "si")
    good, bad = tmp_path / "days.csv", tmp_path / "bad.csv"
    good.write_text(f"{say['days.remarks']}\nbien\n", encoding="utf-8")
    bad.write_text("log,start_dip\ndays,9999\n", encoding="utf-8")
    done = [
        subprocess.run(
            [sys.executable, "-m", "sheetgen", "fill", book, file, "--out", tmp_path / f"{file.stem}.xlsx"],
            capture_output=True, text=True, check=False,
        )
        for file in (good, bad)
    ]  # fmt: skip
    assert [each.returncode for each in done] == [0, 2]
    assert f"{say['sheet.days.tab']} 1" in done[0].stdout
    assert "bad.csv, línea 2, start_dip" in done[1].stderr
    assert [(tmp_path / f"{name}.xlsx").exists() for name in ("days", "bad")] == [True, False]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("water;remarks\n1,234;4,5\n", 1.234),
        ("water,remarks\n1.234,4.5\n", 1.234),
        ("water;remarks\n1.234;4.5\n", None),  # 1.234 or 1234 to a reader of Spanish
    ],
    ids=("decimal comma", "decimal point", "undecided"),
)
def test_the_decimal_sign_is_known_from_the_whole_file(text, read, blank, tmp_path):
    book, _, _ = blank["es"]
    file = tmp_path / "loads.csv"
    file.write_text(text, encoding="utf-8")
    if read is None:
        assert "1234" in mistakes(book, file, tmp_path)["loads.csv, línea 2, water"].found
        return
    out = sheetgen.fill(book, file, tmp_path / "out.xlsx")
    entries = {each.column: each.raw for each in sheetgen.recheck(out).entries}
    assert (entries["water"], entries["remarks"]) == (read, text.strip()[-3:])
