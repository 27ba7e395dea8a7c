"""What returned books say against each other: each kind found once, at its cell, and nothing else found."""

import random
import re
from dataclasses import replace

import pytest

from sheetgen import templates
from sheetgen.audit.findings import catalogue
from sheetgen.order.demo import demo_order
from sheetgen.register.register import across, open_register
from sheetgen.register.summary import order_digest
from tests.register.books import DATABASES, DAY, entries, register_place, spell, stretch, summary, ticket

UNSAID = re.compile(r"None|nan\b|[{}]|XX")
"""What stands where a figure or a word should."""


def told(*summaries):
    """Name and cell of each finding, and which return it is about; each says what it found, and of which books."""
    found = across(summaries)
    identity = {each.path: each.identity for each in summaries}
    for each in found:
        say = each.finding
        assert say.found
        assert not any(UNSAID.search(part or "") for part in (say.found, say.expected, say.matters))
        assert each.identity == identity[each.path]
        assert each.other_identity == identity.get(each.other_path, "")
        assert each.return_id > 0
    return [
        (each.finding.name, each.finding.cell, each.path.removeprefix("returns/").removesuffix(".xlsx"))
        for each in found
    ]


def two(**facts):
    """Two returns of different books, each with one kind of rows: ``tickets=([...], [...])``."""
    return [
        summary(name, **{kind: tuple(rows[index]) for kind, rows in facts.items()})
        for index, name in enumerate(("a", "b"))
    ]


# Tickets


def test_a_ticket_in_two_books_is_counted_again_in_the_later_one():
    assert told(*two(tickets=([ticket("T-4410")], [ticket("t 4410", 2, date=DAY + 1)]))) == [
        ("ticket-in-two-books", "D8", "b")
    ]
    assert told(*two(tickets=([ticket("T-4410", date=DAY + 1)], [ticket("T4410", 2)]))) == [
        ("ticket-in-two-books", "D6", "a")
    ]


@pytest.mark.parametrize(
    ("facts", "name"),
    [
        ({}, "ticket-in-two-books"),
        ({"supplier": ""}, "ticket-in-two-books"),
        ({"supplier": "INVENTED-TERMINAL."}, "ticket-in-two-books"),
        ({"date": None}, "ticket-in-two-books"),
        ({"mass": None, "base": None}, "ticket-in-two-books"),
        ({"mass": None}, "ticket-in-two-books"),
        ({"mass": 8010.0}, "ticket-in-two-books"),
        ({"mass": 4000.0}, "ticket-perhaps-in-two-books"),
        ({"supplier": "", "date": DAY + 300}, "ticket-perhaps-in-two-books"),
        ({"supplier": "", "date": None}, "ticket-perhaps-in-two-books"),
        (
            {"supplier": "", "date": DAY + 2},
            "ticket-in-two-books",
        ),  # three days after the other, which is the bound
        ({"supplier": "", "date": DAY + 3}, "ticket-perhaps-in-two-books"),
        ({"supplier": "Another Terminal"}, None),
        ({"number": "T-4411"}, None),
    ],
)
def test_what_makes_two_tickets_one(facts, name):
    other = replace(ticket("T-4410", 1), **facts)
    names = [each[0] for each in told(*two(tickets=([ticket("T-4410", date=DAY - 1)], [other])))]
    assert names == ([name] if name else [])


def test_a_ticket_twice_in_one_book_is_that_books_own_affair():
    assert told(summary("a", tickets=(ticket("T-1"), ticket("T-1", 1)))) == []


def test_tickets_of_books_in_different_units_are_questioned():
    one, other = two(tickets=([ticket("T-1")], [ticket("T-1")]))
    assert [each[0] for each in told(one, replace(other, units="si"))] == ["ticket-perhaps-in-two-books"]


def test_what_a_ticket_is_worth_is_said():
    a, b = two(tickets=([ticket("T-1")], [ticket("T-1", base=961.5)]))
    (found,) = across([a, replace(b, price=2.5, currency="USD")])
    assert found.finding.matters == "961.5 gal counted again, 2,403.75 USD"
    assert (found.other_path, found.finding.sheet, found.finding.row) == ("returns/a.xlsx", "Loads", 0)
    assert "returns/a.xlsx, Loads!D6" in found.finding.found


# Stretches


def same_job(ours, theirs, **second):
    a, b = two(stretches=(ours, theirs))
    return told(a, replace(b, **second))


def test_a_stretch_in_two_books_of_one_section_is_paid_twice():
    assert same_job([stretch(1000, 2000)], [stretch(1900, 2500, 3, date=DAY + 1)]) == [
        ("stretch-in-two-books", "F9", "b")
    ]


@pytest.mark.parametrize(
    ("first", "second", "at_fault"), [(0.6, 0.4, "a"), (0.4, 0.6, "b"), (None, 0.4, "b")]
)
def test_of_two_shots_on_one_day_the_later_one_is_at_fault(first, second, at_fault):
    found = same_job([stretch(0, 1000, start=first)], [stretch(0, 1000, start=second)])
    assert found == [("stretch-in-two-books", "F6", at_fault)]


@pytest.mark.parametrize(
    ("low", "high"), [(1500, 2500), (500, 1500), (1200, 1300), (0, 9000), (1000, 2000), (1998.9, 3000)]
)
def test_any_overlap_beyond_the_reading_of_a_station_is_found(low, high):
    assert [each[0] for each in same_job([stretch(1000, 2000)], [stretch(low, high, date=DAY + 1)])] == [
        "stretch-in-two-books"
    ]


@pytest.mark.parametrize(("low", "high"), [(2000, 3000), (0, 1000), (1999, 3000), (2500, 2600)])
def test_shots_end_to_end_do_not_overlap(low, high):
    assert same_job([stretch(1000, 2000)], [stretch(low, high, date=DAY + 1)]) == []


def test_passes_side_by_side_fill_a_lane_once():
    """Two distributors in echelon, 6 ft each on a lane of 12 ft: common practice, no source."""
    assert same_job([stretch(0, 1000, width=6.0)], [stretch(0, 1000, width=6.0)]) == []
    assert same_job([stretch(0, 1000, width=6.0)], [stretch(0, 1000, width=7.5)]) != []
    both = [stretch(0, 1000, width=6.0), stretch(0, 1000, 1, width=6.0)]
    assert same_job(both, [stretch(200, 300, 5, width=6.0, date=DAY + 1)]) == [
        ("stretch-in-two-books", "F11", "b")
    ]


@pytest.mark.parametrize(
    ("facts", "second", "name"),
    [
        ({"road": "COUNTY ROAD-7"}, {}, "stretch-in-two-books"),
        ({"road": "County Road 8"}, {}, None),
        ({"lane": "L"}, {}, None),
        ({"work": "fog"}, {}, None),
        ({"section": "S2"}, {}, None),  # two layers, as ordered
        ({"section": "S2"}, {"order": "order-2"}, "stretch-perhaps-in-two-books"),
        ({}, {"order": "order-2"}, "stretch-in-two-books"),  # the order amended
        ({}, {"order": "order-2", "job": "INV-2"}, "stretch-perhaps-in-two-books"),
        ({}, {"order": "order-2", "job": "INV-2", "place": "Elsewhere"}, None),
        ({}, {"units": "si"}, None),
    ],
)
def test_what_makes_two_stretches_one(facts, second, name):
    names = [each[0] for each in same_job([stretch(0, 1000)], [stretch(0, 1000, 1, **facts)], **second)]
    assert names == ([name] if name else [])


def test_the_volume_of_the_common_part_is_what_matters():
    a, b = two(stretches=([stretch(0, 1000)], [stretch(750, 1750, undiluted=81.0, date=DAY + 1)]))
    (found,) = across([a, replace(b, price=2.0, currency="USD")])
    assert found.finding.matters == "250 ft: 20.2 gal counted again, 40.50 USD"
    assert "County Road 7, lane R, 7+50 to 10+00, 2025-06-03" in found.finding.found


def test_a_shot_that_lies_over_several_is_named_once_with_the_one_it_covers_most():
    ours = [stretch(0, 300), stretch(300, 1000, 1), stretch(1000, 1100, 2)]
    a, b = two(stretches=(ours, [stretch(100, 1050, 7, date=DAY + 1)]))
    (found,) = across([a, b])
    assert (found.finding.cell, "Shots!F7" in found.finding.found) == ("F13", True)


def test_of_three_books_over_one_stretch_the_first_is_no_mistake():
    books = [summary(name, stretches=(stretch(0, 1000, date=DAY + day),)) for day, name in enumerate("abc")]
    assert told(*books) == [("stretch-in-two-books", "F6", "b"), ("stretch-in-two-books", "F6", "c")]


# Distributors


def one_machine(ours, theirs, **facts):
    a, b = two(spells=(ours, theirs))
    given = {"serial": "SN 77"} | facts
    return told(replace(a, **given), replace(b, **given))


def test_a_distributor_cannot_spray_at_two_places_at_one_time():
    assert one_machine([spell("9:30", "9:40")], [spell("9:35", "9:45", 4)]) == [
        ("distributor-in-two-places", "C10", "b")
    ]


@pytest.mark.parametrize(
    ("begins", "ends", "clash"),
    [
        ("9:40", "9:45", False),
        ("9:39", "9:45", False),  # a watch shows minutes
        ("9:38", "9:45", True),
        ("9:00", "9:30", False),
        ("9:00", "9:32", True),
        ("9:32", "9:35", True),
        ("9:00", "10:00", True),
        ("9:30", "9:40", True),
    ],
)
def test_times_that_overlap_by_more_than_a_watch_shows_clash(begins, ends, clash):
    assert bool(one_machine([spell("9:30", "9:40")], [spell(begins, ends)])) is clash


def test_the_same_minute_in_two_books_is_no_matter_of_reading_a_watch():
    assert one_machine([spell("9:30", "9:31")], [spell("9:30", "9:31")]) == [
        ("distributor-in-two-places", "C6", "b")
    ]


@pytest.mark.parametrize(
    ("facts", "second", "name"),
    [
        ({}, {}, "distributor-in-two-places"),
        ({}, {"serial": "sn-77"}, "distributor-in-two-places"),
        ({}, {"serial": "SN 78"}, None),
        ({"serial": "", "contractor": "Nobody Ltd"}, {}, "distributor-in-two-places"),
        ({"serial": ""}, {}, "distributor-in-two-places"),  # one job, one name
        ({"serial": ""}, {"job": "INV-2"}, "distributor-perhaps-in-two-places"),
        ({"serial": ""}, {"machine": "D-2"}, None),
    ],
)
def test_what_makes_two_distributors_one(facts, second, name):
    a, b = two(spells=([spell("9:30", "9:40")], [spell("9:30", "9:40")]))
    given = {"serial": "SN 77"} | facts
    names = [each[0] for each in told(replace(a, **given), replace(b, **given | second))]
    assert names == ([name] if name else [])


# Returns of one book


def returns(*packed, **facts):
    return [summary(f"r{n}", identity="A", entries=each, **facts) for n, each in enumerate(packed)]


def test_a_return_that_changes_an_earlier_one_is_questioned_with_each_change():
    first, second = returns(entries(G12=38.25, G13=35.0), entries(G12=37.25, G13=35.0))
    (found,) = across(
        [replace(first, overall={"payable": 100.0}), replace(second, overall={"payable": 112.0})]
    )
    assert found.finding.name == "return-changes-earlier"
    assert "Shots!G12 38.25 → 37.25" in found.finding.found
    assert found.finding.matters == "payable 100.0 gal before, 112.0 gal now"


@pytest.mark.parametrize(
    ("before", "after", "name"),
    [
        ({"G12": 1.0}, {"G12": 2.0}, "return-changes-earlier"),
        ({"G12": 1.0, "G13": 2.0}, {"G12": 1.0}, "return-changes-earlier"),
        ({"G12": 1.0}, {"G12": 1.0, "G13": 2.0}, "return-adds-to-earlier"),
        ({"G12": 1.0}, {"G12": 1.0}, "return-repeated"),
        ({"F12": "118+50"}, {"F12": 11850.0}, "return-repeated"),
    ],
)
def test_what_a_later_return_does_to_an_earlier_one(before, after, name):
    assert told(*returns(entries(**before), entries(**after))) == [(name, "", "r1")]


def test_a_file_twice_in_a_folder_is_recognised():
    (found,) = across([summary("a"), summary("a", path="returns/copy of a.xlsx")])
    assert (found.finding.found, found.finding.expected) == (
        "exactly the file returns/a.xlsx",
        "each return once",
    )
    assert (found.path, found.other_path) == ("returns/copy of a.xlsx", "returns/a.xlsx")
    assert told(summary("a"), summary("a", path="returns/copy of a.xlsx")) == [
        ("return-repeated", "", "copy of a")
    ]
    assert told(summary("a"), summary("a")) == []


def test_a_superseded_return_clashes_with_nothing():
    """The corrected return struck the ticket out; what the first one said no longer counts."""
    first, second = returns(entries(G12=1.0), entries(G12=2.0))
    first = replace(
        first, tickets=(ticket("T-1"),), stretches=(stretch(0, 1000),), spells=(spell("9:30", "9:40"),)
    )
    other = summary(
        "b", serial=first.serial, tickets=first.tickets, stretches=first.stretches, spells=first.spells
    )
    assert [name for name, *_ in told(first, other)] == [
        "ticket-in-two-books", "distributor-in-two-places", "stretch-in-two-books"
    ]  # fmt: skip
    assert [name for name, *_ in told(first, second, other)] == ["return-changes-earlier"]


# Against the register


@pytest.fixture(params=DATABASES)
def register(request, tmp_path):
    with open_register(register_place(request.param, tmp_path)) as opened:
        yield opened


def test_the_register_remembers_between_runs(register):
    a, b = two(tickets=([ticket("T-1")], [ticket("T-1", 3)]))
    assert across([a], register) == []
    (found,) = across([b], register)
    assert (found.path, found.other_path) == (b.path, a.path)
    assert across([summary("c")], register) == []  # only what concerns the returns of this run
    assert across(returns(entries(G12=1.0), entries(G12=2.0)), register) != []
    assert across([summary("d")], register) == []  # nor what a correction in an earlier run changed
    assert [each for each in register.across() if each.finding.name.startswith("ticket")] == [found]


def test_a_run_done_again_says_the_same(register):
    books = [
        *returns(entries(G12=1.0), entries(G12=2.0)),
        *two(tickets=([ticket("T-1")], [ticket("T-1", 3)]), stretches=([stretch(0, 9)], [stretch(0, 9)])),
    ]
    first = across(books, register)
    assert [each.finding.name for each in first] == [
        "ticket-in-two-books", "stretch-in-two-books", "return-changes-earlier"
    ]  # fmt: skip
    assert across(books, register) == first


def test_a_book_that_was_not_issued_is_questioned(register):
    order = demo_order()
    assert across([summary("before")], register) == []  # nothing is said where issued books are not recorded
    issued = register.record_issue(order, order.machines[0])
    digest = order_digest(order.canonical())
    assert across([summary("a", identity=issued.identity, order=digest)], register) == []
    assert [each.finding.name for each in across([summary("b")], register)] == ["book-not-in-register"]


def test_a_book_with_another_order_than_issued_is_wrong(register):
    order = demo_order()
    issued = register.record_issue(order, order.machines[0])
    (found,) = across([summary("a", identity=issued.identity, order=order_digest("{}"))], register)
    assert (found.finding.name, found.finding.severity) == ("order-differs-from-register", "error")


# Thousands


def season(count, shots_a_day=6):
    """Honest returns of a season: own tickets, own stretches end to end, one distributor each, one day each."""
    for number in range(count):
        job, day = number // 10, DAY + number
        shots = range(shots_a_day)
        start = 900.0 * shots_a_day * (number % 10)
        yield summary(
            f"n{number:05}", job=f"INV-{job}", place=f"County {job % 7}", order=f"order-{job}",
            serial=f"SN {number % 40}", entries=entries(G12=float(number)),
            tickets=tuple(ticket(f"T{number}-{load}", load, date=day) for load in range(3)),
            stretches=tuple(
                stretch(start + 900.0 * s, start + 900.0 * (s + 1), s, road=f"Road {job}", date=day)
                for s in shots
            ),
            spells=tuple(
                replace(spell("7:00", "7:00", s), began=day + 0.3 + s / 96, ended=day + 0.3 + s / 96 + 0.004)
                for s in shots
            ),
        )  # fmt: skip


@pytest.mark.slow
def test_in_five_thousand_returns_exactly_the_planted_clashes_are_found():
    chance = random.Random(5)
    books = list(season(5000))
    planted = []
    for number in chance.sample(range(1, 5000), 30):
        book, name = books[number], f"n{number:05}"
        other = books[number - 1]
        if number % 3 == 0:
            again = replace(other.tickets[2], row=7, cell="D13", date=book.tickets[0].date)
            books[number] = replace(book, tickets=(*book.tickets, again))
            planted.append(("ticket-in-two-books", "D13", name))
        elif number % 3 == 1 and other.job == book.job:
            again = replace(other.stretches[5], row=30, cell="F36", date=book.stretches[0].date)
            books[number] = replace(book, stretches=(*book.stretches, again))
            planted.append(("stretch-in-two-books", "F36", name))
        else:
            again = replace(other.spells[3], row=30, cell="C36", began=other.spells[3].began + 0.001)
            books[number] = replace(book, spells=(*book.spells, again), serial=other.serial)
            planted.append(("distributor-in-two-places", "C36", name))
            books[number] = replace(books[number], spells=(again,))
    chance.shuffle(books)
    assert sorted(told(*books)) == sorted(planted)


# Words


@pytest.mark.parametrize("language", templates.LANGUAGES)
def test_every_kind_is_worded_in_both_languages(language):
    say = templates.texts(language)
    kinds = [kind for kind in catalogue().values() if kind.group == "across"]
    assert len(kinds) == 15
    for kind in kinds:
        for part in ("title", "why", "remedy"):
            assert kind.text(part, language)
        assert f"said.{kind.name}.found" in say


def test_two_places_at_one_time_are_named_with_the_minutes_that_they_share():
    a, b = two(spells=([spell("9:30", "9:40")], [spell("9:34", "9:45", station=None)]))
    (found,) = across([replace(a, serial="SN 77"), replace(b, serial="SN 77")])
    assert found.finding.matters == "6 min in common"
    assert "09:34 to 09:45, INV-1 County Road 7; also 09:30 to 09:40, INV-1 County Road 7 118+50, in" in (
        found.finding.found
    )


def test_findings_are_in_the_language_and_units_of_their_book():
    a, b = two(tickets=([ticket("T-1")], [ticket("T-1")]))
    given = {"language": "es", "units": "si"}
    (found,) = across([replace(a, **given), replace(b, **given)])
    assert found.finding.matters == "950.0 L contados otra vez"
    assert "también en" in found.finding.found


def test_what_a_crew_typed_cannot_reach_the_terminal_as_commands():
    a, b = two(tickets=([ticket("T\x1b[2J1")], [ticket("T\x1b[2J1")]))
    (found,) = across([a, b])
    assert "\x1b" not in found.finding.found
