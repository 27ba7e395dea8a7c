"""What a row was, names of the order, marks for "as above"; common practice, no source."""

import pytest

from sheetgen.audit.entries.read import entries_of
from tests.audit.orders import small
from tests.audit.reading.one import read

EN, ES = small("us", "en"), small("us", "es")


@pytest.mark.parametrize("order", [EN, ES])
@pytest.mark.parametrize("typed", ["yes", "Yes", "YES ", "y", "sí", "Sí", "si", "x", "X", "✓", True, 1.0])
def test_yes_in_either_language_is_hand_spray(order, typed):
    assert read(order, "kind", typed).value == "hand"


@pytest.mark.parametrize("order", [EN, ES])
@pytest.mark.parametrize("typed", ["no", "No", "N", False, 0.0])
def test_no_in_either_language_is_a_shot(order, typed):
    assert read(order, "kind", typed).value == "shot"


@pytest.mark.parametrize("typed", ["maybe", 2.0, "quizás"])
def test_neither_a_word_of_the_list_nor_yes_or_no(typed):
    assert read(EN, "kind", typed).trouble == "unreadable-entry"


def test_the_books_own_word_needs_no_note_and_another_one_does():
    assert read(EN, "kind", "hand spray").trouble == ""
    assert read(ES, "kind", "riego a mano").trouble == ""
    assert read(EN, "kind", "riego a mano").trouble == "word-read-as-another"
    assert read(EN, "kind", "yes").trouble == "word-read-as-another"


@pytest.mark.parametrize(
    ("typed", "name"), [("S1", "S1"), ("s1", "S1"), ("S 1", "S1"), ("S-1", "S1"), (" s1 ", "S1")]
)
def test_a_section_by_any_way_of_writing_it(typed, name):
    assert read(EN, "section", typed).value == name


def test_a_name_that_the_order_does_not_have_is_kept_and_named():
    assert read(EN, "section", "S9").trouble == "section-not-ordered"
    assert read(EN, "lane", "North").trouble == "lane-not-ordered"


def test_a_ticket_typed_as_a_number_is_its_digits():
    assert read(EN, "ticket", 10234.0, "loads").value == "10234"


def test_a_mark_for_as_above_is_the_entry_above():
    log = {("shots", 0, "section"): "S2", ("shots", 1, "section"): '"', ("shots", 2, "section"): "ídem"}
    log |= {("shots", row, "width"): 12.0 for row in range(3)}
    entries = entries_of(log, EN, EN.machines[0])
    assert [e.value for e in entries if e.column == "section"] == ["S2", "S2", "S2"]
    assert [e.trouble for e in entries if e.column == "section"] == ["", "same-as-above", "same-as-above"]


@pytest.mark.parametrize(
    "mark",
    ['"', "''", ",,", "〃", "″", "”", '-"-', '--"--', "¨", "↓", "|", "»", '"  "', "ditto", "Do.", "dto", "id.", "Íd.",
     "ibid",     "SAME", "as above", "lo mismo", "igual", "igual al anterior", "como arriba"],
)  # fmt: skip
@pytest.mark.parametrize(
    ("column", "above"), [("section", "S2"), ("width", 12.0), ("load", 1.0), ("temperature", 140.0)]
)
def test_every_sort_of_mark_for_as_above_is_read(mark, column, above):
    log = {("shots", 0, column): above, ("shots", 1, column): mark}
    entries = [each for each in entries_of(log, EN, EN.machines[0]) if each.column == column]
    assert [(each.value, each.trouble) for each in entries] == [(above, ""), (above, "same-as-above")]


@pytest.mark.parametrize(
    ("column", "trouble"),
    [
        ("dip_before", "unreadable-entry"),
        ("from_station", "unreadable-entry"),
        ("start", "unreadable-entry-beside-quantities"),
        ("meter_after", "unreadable-entry"),
    ],
)
def test_a_reading_is_never_as_above(column, trouble):
    log = {("shots", 0, column): 0.4, ("shots", 1, column): '"'}
    entry = [e for e in entries_of(log, EN, EN.machines[0]) if e.column == column][1]
    assert (entry.value, entry.trouble) == (None, trouble)
