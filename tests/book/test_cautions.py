"""The usual cautions: those of the material, with a document each, also on the sheet where the act is logged."""

from __future__ import annotations

from functools import cache

import pytest

from sheetgen import templates
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.model import Book
from sheetgen.xlsx.results import results
from tests.audit.orders import changed, small

CLASSES = ("emulsion", "cutback", "asphalt")
# What each is about, in words of its own text, and the classes it holds for. The rules are those of NAVEDTRA 14081,
# AEMA and PPRA, UFGS 02785, 49 CFR 177, 29 CFR 1926 and the TxDOT manual, as tables/cautions.csv says for each.
TOPICS = {
    "maximum": (CLASSES, "above the maximum"),
    "steam": (("emulsion",), "held hot asphalt"),
    "water": (("asphalt", "cutback"), "moisture"),
    "emulsion_heat": (("emulsion",), "Never above 185 °F"),
    "charges": (("emulsion",), "anionic with cationic"),
    "dilution": (("emulsion",), "never emulsion to water"),
    "couplings": (CLASSES, "hose coupling"),
    "loading": (CLASSES, "no flame, no smoking"),
    "wind": (CLASSES, "broadside"),
    "wand": (CLASSES, "wand down"),
    "gas": (CLASSES, "cylinders upright"),
    "entry": (CLASSES, "Never enter a tank"),
    "fire": (CLASSES, "Never aim a water jet"),
    "static": (("cutback",), "Bond the truck"),
    "flushing": (CLASSES, "never with gasoline"),
    "solvent": (("emulsion",), "petroleum distillate"),
}
# The sheet on which the act is logged, a class that it is done with, and what its caution says.
ACTS = [
    ("loads", "emulsion", "never emulsion to water"),
    ("loads", "emulsion", "anionic with cationic"),
    ("loads", "cutback", "Bond the truck"),
    ("loads", "asphalt", "hose couplings"),
    ("loads", "asphalt", "burners off"),
    ("loads", "asphalt", "may hold water"),
    ("shots", "emulsion", "strong wind"),
    ("shots", "emulsion", "hand wand"),
    ("shots", "cutback", "Burners off while moving"),
    ("days", "cutback", "Never enter a tank"),
    ("days", "cutback", "Flush only with what the maker names"),
]


@cache
def book_of(material_class: str, language: str = "en") -> Book:
    order = changed(small("us"), language=language, material__material_class=material_class)
    return lay_out(order, order.machines[0])


def texts_on(book: Book, key: str) -> list[str]:
    """What a sheet shows in words, formulas calculated: a caution may hold the burner dip line of the distributor."""
    shown = {at: cell.value for at, cell in book.sheet(key).cells.items()}
    shown |= {(row, col): value for (sheet, row, col), value in results(book).items() if sheet == key}
    return [text for text in shown.values() if isinstance(text, str)]


@pytest.mark.parametrize("topic", TOPICS)
def test_each_danger_has_its_caution_where_the_material_has_the_danger(topic):
    classes, words = TOPICS[topic]
    for material_class in CLASSES:
        shown = [text for text in texts_on(book_of(material_class), "cautions") if words in text]
        assert len(shown) == (material_class in classes), material_class


@pytest.mark.parametrize("language", templates.LANGUAGES)
@pytest.mark.parametrize("material_class", CLASSES)
def test_each_caution_stands_beside_a_document_and_none_is_left_out(material_class, language):
    say = templates.texts(language)
    sheet = book_of(material_class, language).sheet("cautions")
    rows = [
        row for row in templates.table("cautions")
        if row["classes"] == "all" or material_class in row["classes"].split()
    ]  # fmt: skip
    shown = {cell.value: at for at, cell in sheet.cells.items() if isinstance(cell.value, str)}
    for row in rows:
        at = shown[say.own(f"caution.{row['key']}", "us")]
        beside = sheet.cells[at[0], at[1] + 1].value
        assert beside == say[f"caution_source.{row['source_key']}"]
        assert len(beside) > 5


@pytest.mark.parametrize(("key", "material_class", "words"), ACTS)
def test_the_caution_is_on_the_sheet_where_the_act_is_logged(key, material_class, words):
    assert any(words in text for text in texts_on(book_of(material_class), key))
