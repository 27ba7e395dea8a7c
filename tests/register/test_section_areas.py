"""What several distributors sprayed of one section is judged together: beyond the order it is asked about, once."""

from __future__ import annotations

import pytest

from sheetgen.audit.compute.pay import ordered_area
from sheetgen.order.demo import demo_order
from sheetgen.register.register import across
from tests.register.books import summary

ORDER = demo_order("us", "en")
HAND = next(section for section in ORDER.sections if section.hand_spray)
LANE = ORDER.sections[0]


def a_return(name: str, section: str, area: float, order=ORDER, **facts: object):
    """A return that holds an area of one section, with a gallon payable for each square yard."""
    sections = {section: {"area": area, "payable": area}}
    return summary(name, order="one", canonical=order.canonical(), sections=sections, machine=name, **facts)


@pytest.mark.parametrize("section", [HAND, LANE], ids=["by hand", "by the bar"])
def test_a_section_that_two_books_hold_whole_is_asked_about_once_at_the_later_one(section):
    whole = ordered_area(section, ORDER)
    (found,) = across([a_return("A", section.id, whole), a_return("B", section.id, whole)])
    assert (found.finding.name, found.finding.severity) == ("section-beyond-order-in-books", "query")
    assert (found.path, found.other_path) == ("returns/B.xlsx", "returns/A.xlsx")
    assert section.id in found.finding.found
    # Stretches of a lane are compared by their stations: there the money stands at the other finding.
    assert found.finding.stake == pytest.approx(whole if section.hand_spray else 0)


@pytest.mark.parametrize("parts", [(0.5, 0.5), (0.52, 0.52), (1.0, 0.0)])
def test_a_section_that_two_distributors_share_is_no_finding(parts):
    whole = ordered_area(HAND, ORDER)
    returns = [a_return(name, HAND.id, part * whole) for name, part in zip("AB", parts, strict=True)]
    assert across(returns) == []


def test_what_one_book_alone_holds_beyond_the_order_is_a_matter_of_its_own_recheck():
    whole = ordered_area(HAND, ORDER)
    assert across([a_return("A", HAND.id, 3 * whole), a_return("B", LANE.id, 10)]) == []


def test_three_books_are_one_finding_with_what_is_beyond_the_order():
    whole = ordered_area(HAND, ORDER)
    (found,) = across([a_return(name, HAND.id, 0.6 * whole) for name in "ABC"])
    assert found.finding.stake == pytest.approx(0.6 * whole)
    assert "A.xlsx" in found.finding.found
    assert "B.xlsx" in found.finding.found


def test_books_of_different_orders_are_not_added_up():
    whole = ordered_area(HAND, ORDER)
    other = summary("B", order="two", canonical=ORDER.canonical(),
                    sections={HAND.id: {"area": whole, "payable": whole}})  # fmt: skip
    assert across([a_return("A", HAND.id, whole), other]) == []
