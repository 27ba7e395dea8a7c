"""Prices and the contract's quantity: what is beyond it, what is short of it, money to the cent, tons and areas."""

from __future__ import annotations

import pytest

from sheetgen.trade import area_of, emulsion_in, volume_factor, volume_of
from sheetgen.trade.pay import PayTerms
from tests.published import Published, Q, cases

# 48 CFR 11.702, clause 52.211-18: a unit-priced estimated quantity off by more than 15 % either way, only for the part
# beyond 115 % or below 85 % (rule seen); the numbers are worked out by hand.
FAR = "48 CFR 11.702, clause 52.211-18"
# 23 CFR 635.109: a significant change of a major item (rule seen); its limits 125 % and 75 % are from memory.
FHWA = "23 CFR 635.109"
# A municipal tender form, its agency not shown: 10 % of the unit price on the shortfall below 85 % (seen).
TENDER = "municipal tender form: 10 % on a shortfall below 85 %"
ESTIMATE = 10_000.0
FIFTEEN = PayTerms(estimate=ESTIMATE, overrun_limit=0.15, underrun_limit=0.15)
QUARTER = PayTerms(
    unit_price=3.0, estimate=ESTIMATE, overrun_limit=0.25, underrun_limit=0.25, underrun_price=3.4
)
TEN_PERCENT = PayTerms(unit_price=3.0, estimate=ESTIMATE, underrun_limit=0.15, underrun_share=0.10)

CASES = [
    Published(FAR, "computed", "10,000 estimated, 13,000 used: open to adjustment", 1500, 0,
              lambda: FIFTEEN.beyond(13_000)),
    Published(FAR, "computed", "10,000 estimated, 7,000 used: short of 85 %", 1500, 0, lambda: FIFTEEN.short(7_000)),
    Published(FAR, "computed", "115 % itself: nothing beyond", 0, 0, lambda: FIFTEEN.beyond(11_500)),
    Published(FAR, "computed", "85 % itself: nothing short", 0, 0, lambda: FIFTEEN.short(8_500)),
    Published(FHWA, "memory", "13,000 of 10,000: beyond 125 %", 500, 0, lambda: QUARTER.beyond(13_000)),
    Published(FHWA, "memory", "7,000 of 10,000: all of it at another price, 3.40", 23_800, 0,
              lambda: QUARTER.amount_if_ended(7_000)),
    Published(FHWA, "memory", "7,500 of 10,000: keeps its price of 3.00", 22_500, 0,
              lambda: QUARTER.amount_if_ended(7_500)),
    Published(TENDER, "computed", "shortfall of 1,500 at 3.00: 450 beside 7,000 × 3.00", 21_450, 0,
              lambda: TEN_PERCENT.amount_if_ended(7_000)),
    Published("US Army subcourse EN5459, 8.328 lb/gal × specific gravity (factor seen)", "computed",
              "22.5 tons at 1.02, gallons at 60 °F", 5297.5, 1, lambda: volume_of(Q(22.5, "short_ton"), 1.02)),
    Published("California tack coat guidelines 2009 §5, wording quoted elsewhere (seen)", "seen",
              "61,952 gal at 240 gal/ton, tons", 258.1, 1, lambda: 61_952 / 240),
    Published("Deduction for water, 60/40 fog", "computed", "1,200 gal at 120 °F: emulsion at 60 °F", 709.2, 1,
              lambda: emulsion_in(Q(1200, "gal"), 0.60).magnitude * volume_factor(Q(120, "degF"), "emulsion")),
    Published("Round Rock, Texas, seal coat bid list 1988", "seen", "112 × 58 ft, paid as whole yd²", 722, 0,
              lambda: area_of(Q(112, "ft"), Q(58, "ft"))),
]  # fmt: skip


@cases(CASES)
def test_the_contract_quantity_and_the_units_of_pay(case: Published) -> None:
    case.check()


def test_only_what_is_beyond_the_limit_has_the_other_price() -> None:
    terms = PayTerms(unit_price=3.0, estimate=ESTIMATE, overrun_limit=0.15, overrun_price=2.5)
    assert terms.amount(11_500) == 34_500
    assert terms.amount(13_000) == 34_500 + 1_500 * 2.5
    assert (terms.price_at(11_500), terms.price_at(11_501)) == (3.0, 2.5)
    assert terms.difference(11_000, 12_000) == 500 * 3.0 + 500 * 2.5
    assert terms.difference(12_000, 11_000) == -(500 * 3.0 + 500 * 2.5)


def test_a_price_that_is_not_agreed_is_the_unit_price() -> None:
    terms = PayTerms(unit_price=3.0, estimate=ESTIMATE, overrun_limit=0.15)
    assert terms.amount(13_000) == 39_000
    assert terms.beyond(13_000) == 1_500


@pytest.mark.parametrize(
    ("quantity", "price", "amount"),
    [(1, 0.125, 0.13), (1, 2.675, 2.68), (1, 1.005, 1.01), (3, 0.335, 1.01), (1, 0.124, 0.12), (-1, 0.125, -0.13)],
)  # fmt: skip
def test_money_is_rounded_once_half_up_on_the_decimal_number(quantity, price, amount) -> None:
    assert PayTerms(unit_price=price).amount(quantity) == amount  # 2.675 is below its half as a double


def test_a_currency_without_cents_and_an_order_without_a_price() -> None:
    assert PayTerms(unit_price=0.5, money_decimals=0).amount(1) == 1
    assert PayTerms(unit_price=0.0005, money_decimals=3).amount(1) == 0.001
    free = PayTerms(estimate=ESTIMATE, overrun_limit=0.15)
    assert (free.amount(5), free.amount_if_ended(5), free.difference(1, 2)) == (None, None, None)
    assert free.beyond(13_000) == 1_500


def test_the_end_of_the_work_changes_nothing_above_the_limit() -> None:
    for terms in (QUARTER, TEN_PERCENT):
        assert terms.amount_if_ended(9_000) == terms.amount(9_000) == 27_000
        assert terms.amount(7_000) == 21_000  # as long as the work goes on


@pytest.mark.parametrize(
    ("limited", "ordered"), [(1000.0, 950.0), (1000.0, 900.0), (0.0, 900.0), (1200.0, 0.0)]
)
def test_what_a_unit_more_changes_is_the_difference_of_what_is_paid(limited, ordered) -> None:
    terms = PayTerms(excess_limit=0.05)

    def paid(limited: float, ordered: float) -> float:
        return terms.pay(limited, ordered).payable

    by_limited, by_ordered = terms.slopes(limited, ordered)
    assert paid(limited + 1, ordered) - paid(limited, ordered) == pytest.approx(by_limited)
    assert paid(limited, ordered + 1) - paid(limited, ordered) == pytest.approx(by_ordered)
