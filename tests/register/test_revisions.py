"""A changed order is issued only as a revision of the book that is out, and the new book lists what it changes."""

from __future__ import annotations

import pytest

import sheetgen
from sheetgen.book.layout import lay_out
from sheetgen.errors import RevisionError
from sheetgen.office.orders import issue, work_on_order
from sheetgen.order.model import Order
from sheetgen.order.write import write_order
from sheetgen.register.register import open_register
from tests.audit.orders import small

ORDER = small("us")
_BLANK = ["no-shots-logged"]  # what is said of a book in which no one has written yet


def changed(order: Order, revision: int = 0, replaces: tuple[str, ...] = (), **sections: dict) -> Order:
    """An order with other entries in some sections, as a revision or not."""
    made = order.model_dump() | {"changed": ()}
    made["job"] |= {"revision": revision, "replaces": replaces}
    for section in made["sections"]:
        section |= sections.get(section["id"], {})
    return Order.model_validate(made)


def with_distributors(*names: str, **job: object) -> Order:
    """The demonstration order for distributors of these names."""
    made = ORDER.model_dump()
    made["machines"] = [made["machines"][0] | {"name": name} for name in names]
    made["job"] |= job
    return Order.model_validate(made)


@pytest.fixture
def office(tmp_path):
    """Issues orders into one folder, known to one register."""
    place = str(tmp_path / "register.db")
    return lambda order: issue(order, tmp_path / "books", None, place)


def code_of(issued) -> str:
    """The code of the first of the books."""
    return sheetgen.recheck(issued.books[0]).identity


def test_a_second_book_for_one_job_and_distributor_is_refused_in_words(office, tmp_path):
    code = code_of(office(ORDER))
    with pytest.raises(RevisionError) as refused:
        office(changed(ORDER, S1={"rate": 0.06}))
    said = str(refused.value)
    assert code in said
    assert "a first issue" in said
    assert f"Type revision 1 and replaces {code} on the sheet Job" in said
    assert " UTC for another order" in said
    assert len(list((tmp_path / "books").iterdir())) == 1


def test_a_revision_is_issued_and_lists_what_changes(office):
    code = code_of(office(ORDER))
    made = office(changed(ORDER, 1, (code,), S1={"rate": 0.06, "lanes": ("EB",)}))
    assert [(each.of, each.field, each.was, each.now) for each in made.order.changed] == [
        ("S1", "lanes", "EB; WB", "EB"),
        ("S1", "rate", "0.05 gal/yd²", "0.06 gal/yd²"),
    ]
    assert made.told[0] == f"Changes against book {code}: 2"
    assert made.told[2].endswith("0.05 gal/yd² → 0.06 gal/yd²")
    sheet = lay_out(made.order, made.order.machines[0]).sheet("revision")
    shown = [cell.value for cell in sheet.cells.values()]
    assert {"0.05 gal/yd²", "0.06 gal/yd²"} <= set(shown)
    assert [each.name for each in sheetgen.recheck(made.books[0]).findings] == _BLANK


def test_a_first_issue_has_no_list(office):
    made = office(ORDER)
    assert (made.order.changed, made.told) == ((), [])
    assert "Revision" not in [sheet.name for sheet in lay_out(ORDER, ORDER.machines[0]).sheets]


@pytest.mark.usefixtures("made_anew")
def test_the_very_same_order_is_built_again_to_the_last_byte(office):
    first = office(ORDER)
    before = first.books[0].read_bytes()
    assert office(ORDER).books[0].read_bytes() == before
    revision = changed(ORDER, 1, (code_of(first),), S1={"rate": 0.06})
    book = office(revision).books[0]
    before = book.read_bytes()
    again = office(revision)
    assert again.books == [book]
    assert book.read_bytes() == before
    assert again.order.changed


def test_an_order_that_was_replaced_is_built_again_with_a_word(office):
    code = code_of(office(ORDER))
    later = code_of(office(changed(ORDER, 1, (code,), S1={"rate": 0.06})))
    (said,) = office(ORDER).told
    assert code in said
    assert later in said


def test_what_was_replaced_cannot_be_replaced_again(office):
    first = code_of(office(ORDER))
    second = code_of(office(changed(ORDER, 1, (first,), S1={"rate": 0.06})))
    with pytest.raises(RevisionError) as refused:
        office(changed(ORDER, 2, (first,), S1={"rate": 0.07}))
    assert f"Type revision 2 and replaces {second} on" in str(refused.value)
    with pytest.raises(RevisionError, match="Type revision 2 and"):
        office(changed(ORDER, 1, (second,), S1={"rate": 0.07}))
    third = office(changed(ORDER, 2, (second,), S1={"rate": 0.07}))
    assert [each.was for each in third.order.changed] == ["0.06 gal/yd²"]


def test_each_distributor_with_a_book_is_named(office):
    both = with_distributors("North", "South")
    codes = [sheetgen.recheck(book).identity for book in office(both).books]
    with pytest.raises(RevisionError) as refused:
        office(changed(both, 1, (codes[0],), S1={"rate": 0.06}))
    assert str(refused.value).startswith("South, job")
    assert codes[1] in str(refused.value)
    assert len(office(changed(both, 1, tuple(codes), S1={"rate": 0.06})).books) == 2


def test_a_distributor_that_joins_has_nothing_to_replace(office):
    code = code_of(office(with_distributors("North")))
    made = office(with_distributors("North", "South", revision=1, replaces=(code,)))
    assert [(each.sheet, each.of, each.was, each.now) for each in made.order.changed] == [
        ("machines", "South", "", "South")
    ]


def test_a_code_that_the_register_has_not_is_said(office):
    code = code_of(office(ORDER))
    told = office(changed(ORDER, 1, (code, "0000-0000-0001"), S1={"rate": 0.06})).told
    assert "0000-0000-0001" in told[0]
    assert "Check the code" in told[0]


@pytest.mark.parametrize("number", ["DEMO 0001", "demo-0001"])
def test_a_job_number_is_compared_as_people_write_it(office, number):
    office(ORDER)
    with pytest.raises(RevisionError):
        office(with_distributors(ORDER.machines[0].name, number=number))


def test_another_job_and_another_distributor_are_free(office):
    office(ORDER)
    assert office(with_distributors(ORDER.machines[0].name, number="DEMO-0002")).told == []
    assert office(with_distributors("Another")).told == []


def test_without_a_register_nothing_is_known_and_nothing_refused(tmp_path):
    for order in (ORDER, changed(ORDER, 1, ("0000-0000-0001",), S1={"rate": 0.06})):
        assert issue(order, tmp_path, None, None).told == []


def test_the_office_s_own_order_proves_a_revised_book(office):
    code = code_of(office(ORDER))
    own = changed(ORDER, 1, (code,), S1={"rate": 0.06})
    (book,) = office(own).books
    assert [each.name for each in sheetgen.recheck(book, order=own).findings] == _BLANK
    other = changed(ORDER, 1, (code,), S1={"rate": 0.061})
    assert "carried-order-differs" in {each.name for each in sheetgen.recheck(book, order=other).findings}


def test_the_register_keeps_a_revised_book_as_it_was_issued(office, tmp_path):
    code = code_of(office(ORDER))
    later = code_of(office(changed(ORDER, 1, (code,), S1={"rate": 0.06})))
    with open_register(tmp_path / "register.db") as register:
        assert [book.identity for book in register.issued_for("demo 0001")] == [code, later]
        assert "Revision" in [sheet.name for sheet in register.layout(later).sheets]


@pytest.mark.parametrize(("lang", "word"), [("en", "Changes against"), ("es", "Cambios respecto")])
def test_handing_the_file_in_says_the_same(tmp_path, lang, word):
    place, order = str(tmp_path / "register.db"), small("us", lang)
    first = work_on_order(
        write_order(tmp_path / "1.xlsx", order=order), tmp_path, register=place, pictures=False
    )
    second = changed(order, S1={"rate": 0.06})
    refused = work_on_order(
        write_order(tmp_path / "2.xlsx", order=second), tmp_path, register=place, pictures=False
    )
    code = sheetgen.recheck(first.books[0]).identity
    assert code in refused.error
    assert refused.books == ()
    third = changed(order, 1, (code,), S1={"rate": 0.06})
    done = work_on_order(
        write_order(tmp_path / "3.xlsx", order=third), tmp_path, register=place, pictures=False
    )
    assert done.warnings[0].startswith(word)
    assert len(done.books) == 1
