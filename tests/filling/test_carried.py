"""The crew's entries go into the book of a revision, each as what it was: nothing lost, nothing paid otherwise."""

from __future__ import annotations

from functools import cache

import pytest
from typer.testing import CliRunner

import sheetgen
from sheetgen.book.build import book_name
from sheetgen.book.layout import lay_out
from sheetgen.book.record import identity
from sheetgen.cli import app
from sheetgen.demo.day import honest_day
from sheetgen.errors import RevisionError
from sheetgen.filling.carried import carry_over
from sheetgen.office.orders import issue
from sheetgen.order.model import Order
from sheetgen.order.write import write_order
from sheetgen.register.register import open_register
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small
from tests.selection import exhaustive

KEPT = (
    "date",
    "section",
    "verdict",
    "area",
    "hot",
    "base",
    "ordered_mix",
    "mix_rate",
    "deviation",
    "due",
    "counted",
)
SPRAYED = ("S1", "S2")


@cache
def issued() -> Order:
    return small("us")


@cache
def day() -> dict:
    """What a crew wrote that has sprayed two of the sections."""
    order = issued()
    return honest_day(order, order.machines[0], seed=3, sections=SPRAYED)


@pytest.fixture(scope="module")
def returned(tmp_path_factory):
    """The earlier book, half filled."""
    order = issued()
    folder = tmp_path_factory.mktemp("returned")
    return write_book(lay_out(order, order.machines[0], day()), folder / "returned.xlsx")


def revision(change, **facts) -> Order:
    """The order as a revision of the earlier book, with a change."""
    order = issued()
    made = order.model_dump(mode="json")
    made["job"] |= {"revision": 1, "replaces": [identity(order, order.machines[0])]}
    change(made, **facts)
    return Order.model_validate(made)


def section(made: dict, name: str) -> dict:
    return next(each for each in made["sections"] if each["id"] == name)


def part(key: str, /, **values):
    return lambda made: made[key].update(values)


def of_section(key: str, /, **values):
    return lambda made: section(made, key).update(values)


def another_section(made):
    made["sections"].append(
        section(made, "S1") | {"id": "S9", "road": "Another Road", "from_station": 100, "to_station": 900}
    )


def another_distributor(made):
    made["machines"].append(made["machines"][0] | {"name": "Another"})


def longer(made):
    section(made, "S2")["to_station"] += 500


def without_s4(made):
    made["sections"] = [each for each in made["sections"] if each["id"] != "S4"]


def everything(made):
    longer(made)
    another_section(made)
    section(made, "S1").update(rate=0.06)
    section(made, "S2").update(rate=0.045, width=11)
    made["size"].update(shots=made["size"]["shots"] + 10)


CHANGES = {
    "words of the job": part("job", name="Another name", place="Another place", agency="Another agency"),
    "a section more": another_section,
    "a section longer": longer,
    "a section less that is not begun": without_s4,
    "the rate of a section that is begun": of_section("S1", rate=0.06),
    "its width": of_section("S1", width=11),
    "rate and width": of_section("S2", rate=0.07, width=13),
    "rate on another basis": of_section("S1", rate=0.09, basis="undiluted"),
    "the rate of a section that is not begun": of_section("S3", rate=0.04),
    "a lane more": of_section("S1", lanes=["EB", "WB", "RT"]),
    "a distributor more": another_distributor,
    "unit price": part("pay", unit_price=9.5, currency="EUR"),
    "more rows": part("size", shots=40, loads=20, days=6),
    "how the day is planned": part("planning", haul_time=55),
    "much at once": everything,
}  # fmt: skip

REFUSED = {
    "the material is diluted otherwise": (part("material", dilution=0.4), "→"),
    "another residue": (part("material", residue=0.65), "→"),
    "another tank": (lambda made: made["machines"][0]["tank"].update(height=43), "→"),
    "a section less that is begun": (lambda made: made["sections"].pop(0), "S1"),
    "a lane less that is begun": (of_section("S1", lanes=["EB"]), "Shots, row"),
    "a section ends where shots went on": (of_section("S1", to_station=11300), "Shots, row"),
    "a narrow tolerance": (of_section("S1", tolerance=0.0005), "Shots, row"),
    "fewer rows than are used": (part("size", shots=2), "2"),
    "another reading that is paid": (part("pay", measured_by="meter"), "Shots, row"),
}


# What "much at once" has in it, each alone, and what a book of the same rates shows of one more name.
ALONE = ("a section more", "a section longer", "the rate of a section that is begun", "its width", "more rows",
         "words of the job", "a lane more")  # fmt: skip


@pytest.mark.parametrize("name", [exhaustive(name) if name in ALONE else name for name in CHANGES])
def test_each_entry_stays_what_it_was(returned, tmp_path, name):
    order = revision(CHANGES[name])
    paths = sheetgen.build(order, tmp_path, returned=[returned])
    before, after = first_recheck(returned), sheetgen.recheck(next(
        path for path in paths if path.name == book_name(order, order.machine(before_name()))))  # fmt: skip
    had, has = typed(before), typed(after)
    assert {place: has.get(place) for place in had} == had
    assert {place[0] for place in has.keys() - had.keys()} <= {"changes"}
    assert [[row[key] for key in KEPT] for row in before.shot_rows] == [
        [pytest.approx(row[key]) if isinstance(row[key], float) else row[key] for key in KEPT]
        for row in after.shot_rows
    ]
    assert before.totals.overall["payable"] == after.totals.overall["payable"]
    assert troubles(after) - {"stretch-not-sprayed"} <= troubles(
        before
    )  # of what the revision orders more of
    assert order.job.revision == after.order.job.revision
    assert after.order.changed


@cache
def first_recheck(returned):
    """What the recheck makes of the earlier book."""
    return sheetgen.recheck(returned)


def typed(recheck) -> dict:
    """What stands in the logs."""
    return {
        (each.table, each.row, each.column): each.raw
        for each in recheck.entries
        if each.table and each.raw is not None
    }


def before_name() -> str:
    return issued().machines[0].name


def troubles(recheck) -> set[str]:
    return {each.name for each in recheck.findings if each.severity in ("error", "query")}


@pytest.mark.parametrize("name", REFUSED)
def test_what_would_become_something_else_is_refused_and_nothing_is_written(returned, tmp_path, name):
    change, said = REFUSED[name]
    with pytest.raises(RevisionError) as refused:
        sheetgen.build(revision(change), tmp_path / "books", returned=[returned])
    assert said in str(refused.value)
    assert "without --from" in str(refused.value)
    assert not (tmp_path / "books").exists()
    assert returned.exists()


def test_shots_after_the_change_follow_the_revision(returned):
    carried = carry_over(revision(of_section("S1", rate=0.06)), [returned])
    changes = {place[1:]: value for place, value in carried.books[0].entries.items() if place[0] == "changes"}
    last = 1 + max(row for table, row, _ in day() if table == "shots")
    assert (changes[0, "from_shot"], changes[0, "new_rate"]) == (1, 0.05)
    assert (changes[1, "from_shot"], changes[1, "new_rate"]) == (last + 1, 0.06)
    assert (changes[0, "ordered_by"], changes[1, "ordered_by"]) == (
        "the order as first issued",
        "revision 1 of the order",
    )


def with_a_change_of_the_crews(folder, **cells):
    """The earlier book with a row on the sheet of changes."""
    order = issued()
    row = {"section": "S1", "from_shot": 2.0, "new_rate": 0.05, "ordered_by": "An inspector"} | cells
    log = day() | {("changes", 0, key): value for key, value in row.items()}
    return write_book(lay_out(order, order.machines[0], log), folder / "returned.xlsx")


def test_what_the_crew_wrote_on_the_sheet_of_changes_stays_in_its_turn(tmp_path):
    book = with_a_change_of_the_crews(tmp_path)
    carried = carry_over(revision(of_section("S1", rate=0.06)), [book]).books[0]
    rows = [carried.entries["changes", row, "from_shot"] for row in range(3)]
    assert rows == [1, 2, 1 + 1 + max(row for table, row, _ in day() if table == "shots")]
    assert carried.entries["changes", 1, "ordered_by"] == "An inspector"


def test_a_revision_of_a_revision_carries_what_was_carried(returned, tmp_path):
    first = revision(of_section("S1", rate=0.06))
    (book,) = sheetgen.build(first, tmp_path, returned=[returned])
    once = sheetgen.recheck(book)
    made = first.model_dump(mode="json") | {"changed": []}
    made["job"] |= {"revision": 2, "replaces": [once.identity]}
    section(made, "S1")["rate"] = 0.07
    (again,) = sheetgen.build(Order.model_validate(made), tmp_path, returned=[book])
    twice = sheetgen.recheck(again)
    assert [(row["base"], row["ordered_mix"], row["verdict"]) for row in once.shot_rows] == [
        (row["base"], row["ordered_mix"], row["verdict"]) for row in twice.shot_rows
    ]
    assert troubles(twice) <= troubles(once)
    assert [each.was for each in twice.order.changed] == ["0.06 gal/yd²"]


def test_entries_without_a_cell_are_named(tmp_path):
    made = issued().model_dump(mode="json")
    made["machines"][0]["monitor"] = True
    order = Order.model_validate(made)
    log = honest_day(order, order.machines[0], seed=3, sections=SPRAYED)
    book = write_book(lay_out(order, order.machines[0], log), tmp_path / "returned.xlsx")
    made["machines"][0]["monitor"] = False
    made["job"] |= {"revision": 1, "replaces": [identity(order, order.machines[0])]}
    made = carry_over(Order.model_validate(made), [book])
    monitor = {place: value for place, value in log.items() if place[0] == "monitor"}
    assert len(made.books[0].left) == len(monitor) > 0
    assert len(made.books[0].entries) == len(log) - len(monitor)
    assert all("the new book has no such cell" in line for line in made.told[-len(monitor) :])


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (part("job", revision=0, replaces=[]), "Type revision 1 and replaces"),
        (part("job", replaces=["0000-0000-0001"]), "expected a book that the order replaces"),
        (lambda made: made["machines"][0].update(name="Another"), "expected a distributor of the order"),
    ],
)
def test_a_book_that_is_not_replaced_gives_nothing(returned, tmp_path, change, said):
    with pytest.raises(RevisionError, match=said):
        sheetgen.build(revision(change), tmp_path / "books", returned=[returned])
    assert not (tmp_path / "books").exists()


def test_one_book_of_each_distributor(returned, tmp_path):
    with pytest.raises(RevisionError, match="a second book"):
        sheetgen.build(revision(longer), tmp_path, returned=[returned, returned])


@pytest.mark.usefixtures("made_anew")
def test_the_same_revision_again_gives_the_same_bytes(returned, tmp_path):
    order = revision(of_section("S1", rate=0.06))
    (book,) = sheetgen.build(order, tmp_path, returned=[returned])
    before = book.read_bytes()
    assert sheetgen.build(order, tmp_path, returned=[returned]) == [book]
    assert book.read_bytes() == before


@pytest.mark.parametrize(("lang", "taken"), [("en", "entries of book"), ("es", "datos del libro")])
def test_the_office_builds_with_a_register_and_is_told(tmp_path, lang, taken):
    order, place = small("us", lang), str(tmp_path / "register.db")
    issue(order, tmp_path / "first", None, place)
    log = honest_day(order, order.machines[0], seed=3, sections=SPRAYED)
    book = write_book(lay_out(order, order.machines[0], log), tmp_path / "returned.xlsx")
    made = order.model_dump(mode="json")
    made["job"] |= {"revision": 1, "replaces": [identity(order, order.machines[0])]}
    section(made, "S1")["rate"] = 0.06
    done = issue(Order.model_validate(made), tmp_path / "second", None, place, [book])
    assert taken in done.told[-2]
    assert done.told[-1].startswith("2 ")
    again = sheetgen.recheck(done.books[0])
    assert typed(again).items() >= typed(sheetgen.recheck(book)).items()
    with open_register(place) as register:
        assert register.issued(again.identity)


def test_the_command_takes_a_returned_book(returned, tmp_path):
    order = write_order(tmp_path / "order.xlsx", order=revision(of_section("S1", rate=0.06)))
    done = CliRunner().invoke(
        app, ["build", str(order), "--out", str(tmp_path / "books"), "--from", str(returned)]
    )
    assert done.exit_code == 0, done.output
    assert "entries of book" in done.output
    (book,) = (tmp_path / "books").iterdir()
    assert typed(sheetgen.recheck(book)).items() >= typed(sheetgen.recheck(returned)).items()
