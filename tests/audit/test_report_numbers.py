"""How numbers of a report are shown, as LibreOffice and Excel read the formats, and how high its texts stand."""

from __future__ import annotations

import pytest

from sheetgen.audit.report.figures import difference_format, finest, printed, reach_format
from sheetgen.audit.report.pages import shortened
from sheetgen.audit.report.returned_file import ReturnedFile, place
from sheetgen.xlsx.page import whole_blocks
from sheetgen.xlsx.text_fit import text_height


@pytest.mark.parametrize(
    ("number_format", "difference", "shape"),
    [
        ("#,##0.0", 12.0, "#,##0.0"),
        ("#,##0", -0.25, "#,##0.00"),
        ("#,##0.0", 0.00004, "#,##0.00000"),
        ("0.00000", 0.5, "0.00000"),
        ("+0.0%;-0.0%;0.0%", 0.0001, "0.00%"),
        ("+0.0%;-0.0%;0.0%", 1e-7, "0.00000%"),
        ("General", 2.5, "0.0"),
        ("#,##0", 1 / 3, "#,##0.000"),
    ],
)
def test_a_difference_is_never_printed_as_nothing(number_format, difference, shape):
    assert difference_format(number_format, difference) == f'"≠ "+{shape};"≠ "-{shape}'


@pytest.mark.parametrize(
    ("number_format", "reach", "shape"),
    [
        ("#,##0", 1.8177, "#,##0.0"),
        ("#,##0.0", 0.8177, "#,##0.00"),
        ("#,##0.0", 85.2, "#,##0.0"),
        ("#,##0", 85.2, "#,##0"),
        ("0.0000", 0.00073, "0.00000"),
        ("+0.0%;-0.0%;0.0%", 0.0087, "0.00%"),
        ("+0.0%;-0.0%;0.0%", 0.12, "0.0%"),
        ("#,##0.0", None, "#,##0.0"),
    ],
)
def test_an_uncertainty_has_two_digits_where_the_value_has_fewer_decimals(number_format, reach, shape):
    # JCGM 100:2008, 7.2.6: it usually suffices to quote uncertainties to at most two significant digits.
    assert reach_format(number_format, reach) == f'"± "{shape}'


@pytest.mark.parametrize(
    ("number_format", "value", "shape"),
    [("#,##0", 1234.5, "#,##0.0"), ("#,##0", 1200.0, "#,##0"), ("#,##0.0", 0.1 + 0.2, "#,##0.0")],
)
def test_a_claim_is_shown_with_the_decimals_that_it_has(number_format, value, shape):
    assert finest(number_format, value) == shape


@pytest.mark.parametrize(
    ("number_format", "value", "text"),
    [
        ("#,##0.0", 0.1 + 0.2, "0.3"),
        ("#,##0.0", 3.6000000000000085, "3.6"),
        ("#,##0.0", 12079.999999999998, "12080"),
        ("#,##0.0", 478.70833333333337, "478.7083"),
        ("#,##0", 1234.25, "1234.25"),
        ("0.0000", 1 / 12, "0.0833333"),
        ("0.0000", 0.0000004, "0.0000004"),
        ("+0.0%;-0.0%;0.0%", -0.048854, "-4.8854"),
        ("+0.0%;-0.0%;0.0%", -0.0488540000000001, "-4.8854"),
        ("0.0%", 0.1, "10"),
        ("#,##0.0", -1e-16, "0"),
        ("#,##0.0", 1e300, "1e+300"),
        ("General", -2.5, "-2.5"),
        ("@", 7.0, "7"),
    ],
)
def test_a_plain_number_has_the_digits_of_the_quantity_and_no_dust(number_format, value, text):
    assert printed(number_format, value) == text


@pytest.mark.parametrize(
    ("name", "link"),
    [
        ("book.xlsx", "book.xlsx"),
        ("a b.xlsx", "a%20b.xlsx"),
        ("50% #2?.xlsx", "50%25%20%232%3F.xlsx"),
        ("Ñandú.xlsx", "Ñandú.xlsx"),
        ("%41.xlsx", "%2541.xlsx"),
        ("a\nb.xlsx", "a%0Ab.xlsx"),
    ],
)
def test_signs_that_a_link_would_misread_are_escaped(name, link, tmp_path):
    returned = ReturnedFile.seen_from(tmp_path, str(tmp_path / name))
    assert returned.cell("Shots", "B7") == f"external:{link}#'Shots'!B7"


def test_there_is_no_link_without_a_cell_or_where_it_would_be_too_long(tmp_path):
    assert ReturnedFile("book.xlsx").cell("Shots", "") == ""
    assert ReturnedFile("book.xlsx").cell("", "A1") == ""
    assert ReturnedFile("x" * 2100).cell("Shots", "A1") == ""
    assert ReturnedFile("book.xlsx").cell("Sho\x01ts", "A1") == ""
    assert place("Bob's log", "C3") == "'Bob''s log'!C3"


def test_a_text_stands_no_lower_in_a_narrower_column_a_larger_font_or_bold():
    text = "The tank rose during a shot; the two dips are swapped, or one is mistyped. " * 3
    heights = [text_height(text, width) for width in (80, 40, 20, 10)]
    assert heights == sorted(heights)
    assert heights[0] < heights[-1]
    assert text_height(text, 30, 9) < text_height(text, 30, 12)
    assert (
        text_height(text, 30, 9) <= text_height(text, 30, 9, bold=True) <= text_height(text, 20, 9, bold=True)
    )
    assert text_height("x" * 300, 10) >= 20 * 10, "a word that is too long is broken, not cut"
    assert text_height("a\nb\nc", 10) > text_height("a b c", 10)


def test_blocks_are_never_cut_by_a_page():
    assert whole_blocks([50, 50, 50, 50, 50], 120) == [2, 4]
    assert whole_blocks([200, 10], 120) == []  # it stands on the page where the long one ends
    assert whole_blocks([200, 50], 120) == [1]
    assert whole_blocks([], 120) == []


def test_signs_that_a_file_cannot_have_or_that_act_on_a_screen_are_replaced_and_all_others_kept():
    """Extensible Markup Language (XML) 1.0, 2.2 Characters: what a document may hold. The Unicode Standard: controls,
    ends of lines, embeddings and isolates of direction, and places that hold no character."""
    acting = [(0x7F, 0x9F), (0x2028, 0x202E), (0x2066, 0x206F), (0xFDD0, 0xFDEF), (0xFFF9, 0xFFFB)]
    allowed = [(0x9, 0xA), (0xD, 0xD), (0x20, 0xD7FF), (0xE000, 0xFFFD), (0x10000, 0x10FFFF)]
    for sign in [*range(0x3000), *range(0xD700, 0x10100)]:
        held = any(first <= sign <= last for first, last in allowed)
        kept = held and not any(first <= sign <= last for first, last in acting)
        assert shortened(f"a{chr(sign)}b") == (f"a{chr(sign)}b" if kept else "a·b")
