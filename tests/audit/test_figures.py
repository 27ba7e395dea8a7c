"""Entries as a report prints them: as the book shows them, in its language."""

import datetime as dt

import pytest

from sheetgen.audit.report.figures import Figures
from tests.audit.orders import small

US, SI, ES = (
    Figures(small(units, language)) for units, language in (("us", "en"), ("si", "en"), ("us", "es"))
)
DAY_ZERO = dt.date(
    1899, 12, 30
)  # ECMA-376 part 1, 18.17.4.1: serial day 1 of the 1900 system is 31 December 1899


@pytest.mark.parametrize(("figures", "value", "reading", "printed"), [
    (US, None, "number", ""),
    (US, "hand", "kind", "hand spray"), (ES, "void", "kind", "anulado"), (ES, "maybe", "kind", "maybe"),
    (US, "about 16", "dip", "about 16"),
    (US, 16.5, "dip", "16.5"), (US, 1234567.0, "number", "1234567"), (US, 0.1 + 0.2, "number", "0.3"),
    (US, 11850.0, "station", "118+50"), (US, 11805.0, "station", "118+05"), (US, 11850.5, "station", "118+50.50"),
    (SI, 3450.0, "station", "3+450"), (SI, 3005.0, "station", "3+005"), (SI, 3005.25, "station", "3+005.25"),
    (US, float((dt.date(2026, 5, 4) - DAY_ZERO).days), "date", "2026-05-04"), (US, 1e12, "date", "1e+12"),
    (US, 0.25, "time", "06:00"), (US, 0.0, "time", "00:00"), (US, 1.0, "time", "24:00"), (US, 1.5, "time", "1.5"),
    (US, -0.5, "time", "-0.5"), (US, (13 * 60 + 7) / 1440, "time", "13:07"),
])  # fmt: skip
def test_an_entry_is_printed_as_the_book_shows_it(figures, value, reading, printed):
    assert figures.entry(value, reading) == printed


def test_a_verdict_is_a_word_where_there_is_one_and_else_stands_as_it_is():
    assert US.word("high") == US.say["words.high"]
    assert US.word("beyond words") == "beyond words"


def test_money_needs_a_price_and_a_sum_that_is_a_number():
    priced = Figures(small("us", pay__unit_price=2.75, pay__currency="USD"))
    assert (priced.worth(85), priced.worth_behind(85)) == (233.75, ", 233.75 USD")
    assert priced.worth(float("inf")) is None
    free = Figures(small("us", pay__unit_price=None))
    assert (free.worth(85), free.worth_behind(85)) == (None, "")
