"""A shot that the book of a revision has too is one shot: no clash with itself, counted once, and that is said."""

from __future__ import annotations

import json

import pytest

import sheetgen
from sheetgen.audit.model import Entry
from sheetgen.audit.run import recheck_book
from sheetgen.batch.book_line import line_of
from sheetgen.batch.summary_document import summary_of
from sheetgen.book.layout import lay_out
from sheetgen.demo.day import honest_day
from sheetgen.office.orders import issue
from sheetgen.order.model import Order
from sheetgen.register.packed_entries import pack
from sheetgen.register.register import across, open_register
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small
from tests.register.books import DAY, spell, stretch, summary, ticket

_COLUMNS = (
    "date",
    "start",
    "section",
    "lane",
    "from_station",
    "to_station",
    "dip_after",
    "remarks",
    "dip_before",
)


def shots(*rows: tuple) -> str:
    """Entries of a shot log: day, start, section, lane, stations, stick reading, remark, reading before."""
    return pack(Entry("shots", index, column, "Shots", f"{column}{index}", value, value)
                for index, row in enumerate(rows) for column, value in zip(_COLUMNS, row, strict=False)
                if value is not None)  # fmt: skip


ONE = (DAY, 0.4, "S1", "R", 100.0, 300.0, 30.0)
TWO = (DAY, 0.5, "S1", "R", 300.0, 500.0, 20.0)
NEW = (DAY + 1, 0.4, "S1", "R", 500.0, 700.0, 35.0)


def a_return(name: str, *rows: tuple, replaces: tuple[str, ...] = (), **facts: object):
    """A return with shots in all that can clash; its order names what it replaces."""
    order = json.dumps({"job": {"replaces": list(replaces)}}, separators=(",", ":"))
    placed = [(row, each) for row, each in enumerate(rows) if each[0] is not None]
    clock = [(f"{int(each[1] * 24)}:{round(each[1] * 1440) % 60:02}", row, each) for row, each in placed]
    return summary(
        name, **{"identity": name, "order": f"order {name}", "canonical": order, "entries": shots(*rows),
                 "serial": "SN 1", "machine": "D-1",
                 "stretches": tuple(stretch(each[4], each[5], row, date=each[0], start=each[1])
                                    for row, each in placed),
                 "spells": tuple(spell(at, at[:-2] + "59", row) for at, row, each in clock if each[0] == DAY),
                 } | facts)  # fmt: skip


def told(*returns) -> list[tuple[str, str]]:
    return [(each.finding.name, each.identity) for each in across(returns)]


def test_without_a_revision_the_shots_clash():
    names = {name for name, _ in told(a_return("A", ONE, TWO), a_return("B", ONE, TWO))}
    assert names == {"stretch-in-two-books", "distributor-in-two-places"}


def test_shots_taken_over_count_in_the_later_book_and_clash_with_nothing():
    (found,) = across([a_return("A", ONE, TWO), a_return("B", ONE, TWO, NEW, replaces=("A",))])
    assert (found.finding.name, found.identity, found.other_identity) == ("shots-in-later-book", "A", "B")
    assert found.finding.severity == "note"
    assert found.finding.shots == (0, 1)
    assert "2 of 2 shots are also in book B" in found.finding.found


def test_shots_typed_again_at_other_rows_are_the_same_shots():
    one, two = (*ONE, None, 40.0), (*TWO, None, 30.0)
    assert told(a_return("A", one, two), a_return("B", NEW, two, one, replaces=("A",))) == [
        ("shots-in-later-book", "A")
    ]


def test_a_reading_before_that_follows_another_row_in_the_later_book_is_a_change():
    found = told(
        a_return("A", (*ONE, None, 40.0), TWO), a_return("B", TWO, (*ONE, None, 40.0), replaces=("A",))
    )
    assert found == [("shots-in-later-book", "A"), ("later-book-changes-shot", "B")]


def test_a_book_that_begins_with_new_shots_has_none_in_common():
    assert told(a_return("A", ONE, TWO), a_return("B", NEW, replaces=("A",))) == []


def test_a_shot_of_the_earlier_book_alone_still_counts_there():
    (found,) = across([a_return("A", ONE, TWO), a_return("B", ONE, NEW, replaces=("A",))])
    assert found.finding.shots == (0,)
    assert "1 of 2" in found.finding.found


def test_another_shot_on_the_same_stretch_is_no_shot_taken_over():
    again = (DAY + 1, 0.45, "S1", "R", 100.0, 300.0, 35.0)
    names = {name for name, _ in told(a_return("A", ONE), a_return("B", ONE, again, replaces=("A",)))}
    assert names == {"shots-in-later-book"}
    names = {name for name, _ in told(a_return("A", ONE), a_return("B", NEW, again, replaces=("A",)))}
    assert names == {"stretch-in-two-books"}


def test_what_the_later_book_says_otherwise_is_asked_about():
    changed = (*ONE[:6], 28.0)
    found = {
        each.finding.name: each
        for each in across([a_return("A", ONE), a_return("B", changed, replaces=("A",))])
    }
    assert found.keys() == {"shots-in-later-book", "later-book-changes-shot"}
    asked = found["later-book-changes-shot"]
    assert (asked.identity, asked.finding.severity) == ("B", "query")
    assert "30 → 28" in asked.finding.found


def test_a_corrected_station_leaves_it_one_shot():
    corrected = (*ONE[:5], 310.0, *ONE[6:])
    names = {name for name, _ in told(a_return("A", ONE), a_return("B", corrected, replaces=("A",)))}
    assert names == {"shots-in-later-book", "later-book-changes-shot"}


def test_across_several_revisions_a_shot_counts_in_the_last():
    first, second = a_return("A", ONE), a_return("B", ONE, TWO, replaces=("A",))
    third = a_return("C", ONE, TWO, NEW, replaces=("B",))
    found = [(each.identity, each.finding.shots) for each in across([first, second, third])]
    assert found == [("A", (0,)), ("B", (0, 1))]
    assert {each.finding.name for each in across([first, second, third])} == {"shots-in-later-book"}


def test_a_book_of_another_job_or_distributor_is_not_believed():
    for facts in ({"job": "INV-2"}, {"machine": "D-2"}):
        names = {name for name, _ in told(a_return("A", ONE), a_return("B", ONE, replaces=("A",), **facts))}
        assert "shots-in-later-book" not in names
        assert any(name.startswith("stretch-") for name in names)


def loads(*tickets: str) -> str:
    """Entries of a load log: the same day and supplier, a ticket each."""
    typed = {"date": DAY, "supplier": "Invented Terminal"}
    return pack(Entry("loads", row, column, "Loads", f"{column}{row}", value, value)
                for row, number in enumerate(tickets)
                for column, value in (typed | {"ticket": number}).items())  # fmt: skip


def test_a_load_taken_over_is_one_delivery():
    first = a_return("A", entries=loads("T-1"), tickets=(ticket("T-1"),))
    later = a_return(
        "B", replaces=("A",), entries=loads("T-1", "T-2"), tickets=(ticket("T-1"), ticket("T-2", 1))
    )
    assert told(first, later) == []
    strange = a_return("C", entries=loads("T-1"), tickets=(ticket("T-1"),), job="INV-9")
    assert told(first, later, strange) == [("ticket-in-two-books", "C")]


def test_the_register_says_it_when_only_one_of_the_books_is_new(tmp_path):
    with open_register(tmp_path / "register.db") as register:
        register.record_return(a_return("B", ONE, TWO, replaces=("A",)))
        late = register.record_return(a_return("A", ONE, TWO))
        (found,) = register.across([late.return_id])
    assert (found.finding.name, found.identity) == ("shots-in-later-book", "A")


def test_a_book_taken_over_as_a_whole_is_no_book_of_the_season():
    with open_register() as register:
        register.record_returns([a_return("A", ONE, TWO), a_return("B", ONE, TWO, NEW, replaces=("A",))])
        other = a_return("P", ONE, TWO, job="INV-2"), a_return("Q", ONE, job="INV-2", replaces=("P",))
        register.record_returns(other)
        kept = register.kept_returns()
    assert [each.identity for each in kept] == ["B", "P", "Q"]
    assert [set(each.elsewhere) for each in kept] == [set(), {0}, set()]


# ------------------------------------------------------------------ real books


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """A book half filled, and the book of a revision that took its entries over; both came back."""
    folder = tmp_path_factory.mktemp("season")
    order, place = small("us", pay__unit_price=4.0), str(folder / "register.db")
    issue(order, folder / "first", None, place)
    log = honest_day(order, order.machines[0], seed=3, sections=("S1", "S2"))
    first = write_book(lay_out(order, order.machines[0], log), folder / "first.xlsx")
    made = order.model_dump(mode="json")
    made["job"] |= {"revision": 1, "replaces": [sheetgen.recheck(first).identity]}
    made["sections"][0]["rate"] = 0.06
    (second,) = issue(Order.model_validate(made), folder / "second", None, place, [first]).books
    return place, recheck_book(first), recheck_book(second)


def test_a_run_pays_each_shot_once_and_says_it(season):
    place, first, second = season
    with open_register(place) as register:
        found = register.across([register.record_return(each).return_id for each in (first, second)])
    assert {each.finding.name for each in found} == {"shots-in-later-book"}
    document = summary_of([line_of(each) for each in (first, second)], [], found)
    (total,) = document.totals
    paid = second.totals.overall["payable"]
    assert first.totals.overall["payable"] == paid > 0
    assert (total.payable, total.undisputed + total.in_question) == (paid, pytest.approx(paid))
    assert [line.payable for line in document.books] == [0.0, paid]
    assert "shots-in-later-book" in {each.name for each in document.across}


def test_what_is_claimed_again_for_shots_taken_over_is_a_difference(season):
    place, first, second = season
    claimed = [line_of(each).model_copy(update={"claim": each.totals.overall["payable"], "difference": 0.0})
               for each in (first, second)]  # fmt: skip
    with open_register(place) as register:
        found = register.across([register.record_return(each).return_id for each in (first, second)])
    (total,) = summary_of(claimed, [], found).totals
    assert total.difference == first.totals.overall["payable"]
    assert total.money == pytest.approx(4.0 * total.difference)
