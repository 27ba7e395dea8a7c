"""Numbers in texts: parted as the readers of a language expect, and never to be read as a thousandfold."""

from __future__ import annotations

import unicodedata

import pytest

from sheetgen.figures import number_text
from sheetgen.reading.numbers import values_of
from sheetgen.templates import LANGUAGES

THIN = "\u202f"


@pytest.mark.parametrize(
    ("value", "decimals", "en", "es"),
    [
        # Spanish parts thousands by a blank, from five digits on: Ortografía de la lengua española (2010), VIII 2.2;
        # the blank is a narrow one and four digits may go together: SI Brochure (2019), 5.4.4.
        (752, 0, "752", "752"),
        (2793, 0, "2,793", "2793"),
        (-2793.5, 1, "-2,793.5", "-2793.5"),
        (12345, 0, "12,345", f"12{THIN}345"),
        (-12345.25, None, "-12,345.25", f"-12{THIN}345.25"),
        (1234567.5, 2, "1,234,567.50", f"1{THIN}234{THIN}567.50"),
        (99999.6, 0, "100,000", f"100{THIN}000"),
        # Three decimals end where thousands would.
        (1.4, 3, "1.400", "1.4"),
        (2, 3, "2.000", "2"),
        (0.4, 3, "0.400", "0.400"),
        (-0.25, 3, "-0.250", "-0.250"),
        (None, 2, "–", "–"),
        (1e300, None, "1e+300", "1e+300"),
    ],
)
def test_a_number_is_written_as_its_readers_expect(value, decimals, en, es):
    assert number_text(value, "en", decimals) == en
    assert number_text(value, "es", decimals) == es


def test_no_digit_that_was_not_asked_for_is_shown():
    assert number_text(1234.56789, "en", digits=6) == "1,234.57"


@pytest.mark.parametrize("language", LANGUAGES)
def test_a_number_that_is_typed_as_it_is_shown_is_read_as_itself(language):
    for value in (0.0, 7.25, -0.5, 1234.5, 12345.75, 1234567.0):
        typed = unicodedata.normalize(
            "NFKC", number_text(value, language)
        )  # as entries are before they are read
        assert values_of(typed) == (value,)
