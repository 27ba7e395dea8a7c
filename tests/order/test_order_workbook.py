"""The order workbook itself: what it covers, what it locks, what it says, and where its figures come from."""

from __future__ import annotations

import inspect
import re
import types
from typing import Annotated, Literal, Union, get_args, get_origin

import openpyxl
import pytest
from pydantic import BaseModel

from sheetgen import templates
from sheetgen.order import entries, model, rules
from sheetgen.order.demo import demo_order
from sheetgen.order.fields import FORMS, fields, layout, words
from sheetgen.order.read import read_order
from sheetgen.order.write import lay_out_order, write_order
from sheetgen.reading.words import plain
from sheetgen.templates import LANGUAGES, texts
from sheetgen.units import SYSTEMS
from tests.validator import schema_errors

SHEETS = ("job", "material", "machines", "sections", "planning")
VARIANTS = [(units, lang) for units in SYSTEMS for lang in LANGUAGES]


def bare(annotation):
    """An annotation without Annotated and without None."""
    if get_origin(annotation) is Annotated:
        return bare(get_args(annotation)[0])
    if get_origin(annotation) in (Union, types.UnionType):
        return bare(next(arg for arg in get_args(annotation) if arg is not type(None)))
    return annotation


def paths(kind: type[BaseModel], prefix: str = "") -> dict[str, object]:
    """Every field below a model that is no model itself, by dotted path; lists of models are left out."""
    found: dict[str, object] = {}
    for name, field in kind.model_fields.items():
        inner = bare(field.annotation)
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            found |= paths(inner, f"{prefix}{name}.")
        elif not (get_origin(inner) is tuple and issubclass(bare(get_args(inner)[0]), BaseModel)):
            found[f"{prefix}{name}"] = inner
    return found


def test_every_field_of_the_order_has_one_cell():
    listed = [field.path for sheet in FORMS for field in fields(sheet, "us")]
    assert sorted(listed) == sorted(set(paths(model.Order)) - {"units", "language", "second_language"})
    assert sorted(field.path for field in fields("machines", "us")) == sorted(paths(model.Machine))
    assert sorted(field.path for field in fields("sections", "us")) == sorted(paths(model.Section))


def test_the_drop_downs_offer_exactly_what_the_order_takes():
    kinds = {
        "job": model.Order,
        "material": model.Order,
        "machines": model.Machine,
        "sections": model.Section,
    }
    seen = set()
    for sheet, kind in kinds.items():
        for field in fields(sheet, "us"):
            if field.kind == "choice":
                taken = paths(kind)[field.path]
                assert get_origin(taken) is Literal
                assert tuple(layout()["choices"][field.choice]["values"]) == get_args(taken)
                seen.add(field.choice)
    assert seen | {"yes_no", "valve"} == set(layout()["choices"])


def test_a_word_means_the_same_in_both_languages():
    for choice in layout()["choices"]:
        meant: dict[str, str] = {}
        for language in LANGUAGES:
            for value, word in words(choice, texts(language)).items():
                assert meant.setdefault(plain(word), value) == value


@pytest.mark.parametrize(("units", "lang"), VARIANTS)
@pytest.mark.parametrize("filled", [False, True])
def test_only_the_white_cells_can_be_typed_in(units, lang, filled):
    book = lay_out_order(units, lang, demo_order(units, lang) if filled else None)
    white = {"input", "input_text"}
    for sheet in book.sheets:
        assert sheet.protected
        for cell in sheet.cells.values():
            assert cell.locked == (cell.style not in white)
            assert cell.locked or cell.formula is None


def test_every_white_cell_says_what_to_type():
    book = lay_out_order("us", "en")
    for sheet in book.sheets:
        told = {
            (row, col)
            for rule in sheet.validations
            if rule.prompt and rule.prompt_title and rule.error
            for row in range(rule.first_row, rule.last_row + 1)
            for col in range(rule.first_col, rule.last_col + 1)
        }
        assert told == {at for at, cell in sheet.cells.items() if not cell.locked}


@pytest.mark.parametrize(("units", "lang"), VARIANTS)
def test_nothing_is_longer_than_a_spreadsheet_takes(units, lang):
    # Limits of Excel: 32 characters of a message's title, 255 of a message, of a list, of a text in a formula;
    # 8,192 of a formula ("Excel specifications and limits", from memory).
    book = lay_out_order(units, lang, demo_order(units, lang))
    for sheet in book.sheets:
        assert len(sheet.name) <= 31
        for rule in sheet.validations:
            assert len(rule.prompt_title) <= 32
            assert len(rule.error_title) <= 32
            assert max(len(rule.prompt), len(rule.error)) <= 255
            assert len(rule.formula1) <= 255
        for cell in sheet.cells.values():
            if cell.formula:
                assert len(cell.formula) <= 8192
                assert all(len(text) <= 255 for text in re.findall(r'"((?:[^"]|"")*)"', cell.formula))


def test_labels_and_notes_are_shown_in_full():
    for language in LANGUAGES:
        say = texts(language)
        for sheet in SHEETS:
            for field in fields(sheet, "us"):
                assert len(field.label(say)) <= 32
                assert (
                    max(len(field.note(say, units)) for units in SYSTEMS) <= 240
                )  # its unit comes before it


# A number before a unit, or a station, as only the other unit system writes it.
FOREIGN = {
    "si": re.compile(
        r"\d (?:ft|gal|lb|pulg|pies?)\b|\d °F|\d in(?! McLeod)\b|(?<![\d+])\d+\+\d\d(?!\d)|8; 10; 12"
    ),
    "us": re.compile(r"\d (?:mm|cm|m|km|L|kg)\b|\d °C|(?<![\d+])\d+\+\d{3}(?!\d)"),
}


def told(system: str, language: str, sheets: set[str]) -> list[str]:
    """Everything that the sheets say: cells, texts in formulas, messages and drop-downs."""
    found: list[str] = []
    for sheet in lay_out_order(system, language).sheets:
        if sheet.key in sheets:
            for cell in sheet.cells.values():
                found += [cell.value] if isinstance(cell.value, str) and cell.style != "order_key" else []
                found += re.findall(r'"((?:[^"]|"")*)"', cell.formula or "")
            for rule in sheet.validations:
                found += [rule.prompt_title, rule.prompt, rule.error_title, rule.error, rule.formula1]
    return found


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("system", ["us", "si"])
def test_an_order_workbook_speaks_in_the_units_of_its_system(system, language):
    # The reference sheet shows figures as their documents print them.
    texts_shown = told(system, language, {"guide", *SHEETS, "points", "preview"})
    assert len(texts_shown) > 500
    assert [text for text in texts_shown if FOREIGN[system].search(text)] == []


@pytest.mark.parametrize("system", ["us", "si"])
def test_a_spanish_order_workbook_has_no_english_but_the_titles_of_documents(system):
    english = re.compile(r"\b(the|seen|read|practice|source|exact|memory|from|with|each|order)\b")
    shown = told(system, "es", {"guide", *SHEETS, "points", "preview", "reference"})
    assert [text for text in shown if english.search(text)] == []
    inches = {"pulgadas", "fracciones"}  # how a dip may be written where depths are inches
    assert any(inches & set(re.findall(r"\w+", text)) for text in shown) is (system == "us")


def order_texts(language: str) -> dict[str, str]:
    say = texts(language)
    return {key: say[key] for key in say.keys() if key.startswith("order.")}  # noqa: SIM118


def test_both_languages_say_the_same_things_with_the_same_gaps():
    english, spanish = order_texts("en"), order_texts("es")
    assert english.keys() == spanish.keys()
    for key in english:
        gaps = [sorted(re.findall(r"\{(\w+)", text[key])) for text in (english, spanish)]
        assert gaps[0] == gaps[1], key


def test_nothing_was_left_in_the_other_language():
    english, spanish = order_texts("en"), order_texts("es")
    # Words that are the same in both, signs, and what is printed as it is.
    same = {
        "Material",
        "Material | surface | basis",
        "%",
        "min",
        "no",
        "A4",
        "c0",
        "L/t",
        "c1",
        "c2",
        '"{value}"',
        "{value}",
    }
    alike = {key for key in english if english[key] == spanish[key]}
    assert {english[key] for key in alike} <= same


def test_every_kind_of_mistake_has_its_wording():
    kinds = set(re.findall(r'MisreadError\(\s*"(\w+)"', inspect.getsource(entries)))
    kinds |= {row["mistake"] for row in templates.table("reasons")} - {""}
    kinds |= set(re.findall(r'broken\(\s*"([\w-]+)"', inspect.getsource(model)))
    kinds |= {"blank", "no_result", "row_missing", "nothing_ordered", "other"}
    kinds |= {"greater_than", "greater_than_equal", "less_than_equal", "string_too_long", "too_long"}
    assert len(kinds) > 30
    for language in LANGUAGES:
        for kind in kinds:
            for part in ("expected", "remedy"):
                assert texts(language)[f"order.mistake.{kind}.{part}"]


def test_every_check_has_its_sentence():
    for language in LANGUAGES:
        say = texts(language)
        for sheet in ("material", "machines", "sections"):
            given = {key for key in order_texts(language) if key.startswith(f"order.check.{sheet}.")}
            named = {re.sub("_(us|si)$", "", key) for key in given}
            assert named == {f"order.check.{sheet}.{key}" for key in layout()[sheet]["check"]}
            assert all(say[key].endswith((".", "?")) for key in given)


def test_published_figures_carry_their_source_and_whether_it_was_read():
    grades = [row["grade"] for row in templates.table("materials")]
    assert len(grades) == len(set(grades))
    statuses = {"seen", "memory", "computed"}
    for row in templates.table("materials"):
        for fact in ("gravity", "residue", "flash"):
            given = row[f"{fact}_min"] if fact != "gravity" else row["gravity_low"]
            assert (row[f"{fact}_seen"] in statuses) == bool(given)
            assert row[f"{fact}_seen"] != "seen" or row["source"]
    for row in templates.table("spray_ranges"):
        assert row["grade"] in grades
        assert row["seen"] in statuses
        assert row["source"]
        assert not row["max"] or float(row["min"]) < float(row["max"])
    for row in templates.table("rates"):
        assert row["seen"] in statuses
        assert row["source"]
        assert not row["max"] or float(row["min"]) <= float(row["max"])
    assert [row["grade"] for row in templates.table("spray_ranges")] == sorted(
        (row["grade"] for row in templates.table("spray_ranges")), key=grades.index
    )  # the order workbook finds the ranges of a grade one below the other


@pytest.mark.parametrize(
    ("grade", "document", "low", "high"),
    [
        # UFC 3-250-03 Table 3-2; FAA P-602 Table 1; City of Austin 301S.6 Table 18; Maryland SHA 503 (all read).
        ("CSS-1h", "UFC 3-250-03", "70", "160"),
        ("CRS-1", "UFC 3-250-03", "125", "185"),
        ("CRS-1", "Maryland", "70", "140"),
        ("CRS-2", "City of Austin", "120", "160"),
        ("MC-30", "City of Austin", "70", "150"),
        ("RC-250", "FAA P-602", "165", ""),
        ("CRS-2", "Caltrans", "110", "185"),
    ],
)
def test_spraying_ranges_as_printed(grade, document, low, high):
    rows = [
        (row["min"], row["max"])
        for row in templates.table("spray_ranges")
        if row["grade"] == grade and row["document"].startswith(document) and row["unit"] == "°F"
    ]
    assert rows == [(low, high)]


def test_the_demo_stands_in_where_an_order_has_a_mistake():
    assert rules.demo_order("us", "en") == demo_order("us", "en")


def test_the_file_is_protected_without_a_password_and_hides_nothing_but_its_keys(demo_file):
    workbook = openpyxl.load_workbook(demo_file)
    for sheet in workbook:
        assert sheet.protection.sheet
        assert sheet.protection.password is None
        assert sheet.sheet_state == "visible"
        assert [name for name, column in sheet.column_dimensions.items() if column.hidden] == ["A"]
        hidden = {row for row, line in sheet.row_dimensions.items() if line.hidden}
        assert hidden in ({4}, {3, 4})


def test_the_file_follows_the_open_xml_schema(demo_file):
    assert schema_errors(demo_file) == []


@pytest.mark.parametrize("units", SYSTEMS)
def test_an_order_workbook_of_an_earlier_version_is_read_as_it_was(units, tmp_path):
    """Lines and columns that came later are missing from it: there it is blank."""
    order = demo_order(units)
    before = write_order(tmp_path / "before.xlsx", order=order)
    added = {field.path for sheet in SHEETS for field in fields(sheet, units) if field.added}
    assert added
    book = openpyxl.load_workbook(before)
    keys = [
        cell for sheet in book for row in sheet.iter_rows() for cell in row
        if cell.value in added and (sheet.row_dimensions[cell.row].hidden or cell.column == 1)
    ]  # fmt: skip
    assert len(keys) >= len(added)
    for key in keys:
        key.value = None
    book.save(tmp_path / "earlier.xlsx")
    assert read_order(tmp_path / "earlier.xlsx") == read_order(before)
