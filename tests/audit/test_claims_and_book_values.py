"""What is claimed, and what the book itself shows, against the recomputation."""

import pytest

from sheetgen.audit.compute.book import as_dict, compute
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.entries.book_values import BookValue, same
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.rules.check import check_all
from sheetgen.templates import texts
from tests.audit.orders import ASPHALT, changed, day, small

ORDER = small("us", pay__excess_limit=0.0, material__dilution=0.5, sections__rate=0.03, pay__unit_price=4.0)


def checked(order, log, book=None, claim=None):
    machine = order.machines[0]
    entries = entries_of(log, order, machine)
    computation = compute(entries, order, machine)
    return computation, check_all(computation, entries, order, machine, book, claim)


def shown_by_a_right_book(order, log):
    """The results that a book would show whose formulas are right."""
    computation, _ = checked(order, log)
    words = texts(order.language)
    values = {}
    for table, rows in (
        ("shots", computation.shot_rows), ("loads", computation.load_rows),
        ("days", computation.day_rows), ("sections", computation.section_rows),
    ):  # fmt: skip
        for index, row in enumerate(rows):
            for column, value in as_dict(row).items():
                place = (table, getattr(row, "row", index), column)
                shown = (
                    words[f"words.{value}"]
                    if column in ("verdict", "what") and value
                    else ""
                    if value is None
                    else value
                )
                values[place] = BookValue(shown, table.title(), f"{column} {place[1] + 1}")
    for key, value in computation.totals.overall.items():
        values["overall", 0, key] = BookValue("" if value is None else value, "Totals", key)
    return computation, values


def differences(order, log, changes):
    _, book = shown_by_a_right_book(order, log)
    for place, value in changes.items():
        book[place] = BookValue(value, book[place].sheet, book[place].cell)
    _, findings = checked(order, log, book)
    return {(each.name, each.cell) for each in findings if each.severity == "error" or "file" in each.name}


def test_a_right_book_has_no_difference():
    assert differences(ORDER, day(ORDER), {}) == set()


@pytest.mark.parametrize(("table", "column"), [("shots", "deviation"), ("days", "share")])
def test_a_part_that_differs_is_said_as_a_percentage(table, column):
    log = day(ORDER)
    _, book = shown_by_a_right_book(ORDER, log)
    place = (table, 0, column)
    right = book[place]
    book[place] = right._replace(value=right.value - 0.048854)
    (one,) = [each for each in checked(ORDER, log, book)[1] if each.cell == right.cell]
    assert one.expected == f"{100 * right.value:.10g} %"
    assert one.found == f"{100 * (right.value - 0.048854):.10g} %"
    assert "-4.8854 %" in one.matters


@pytest.mark.parametrize("places", [1e-8, 1e-6, 0.5])
@pytest.mark.parametrize(
    ("table", "row", "column", "name"),
    [
        ("shots", 2, "area", "value-differs-from-recheck"),
        ("shots", 2, "base", "value-differs-from-recheck"),
        ("loads", 1, "mix", "value-differs-from-recheck"),
        ("days", 0, "sprayed", "total-differs-from-recheck"),
        ("sections", 0, "payable", "total-differs-from-recheck"),
        ("overall", 0, "payable", "total-differs-from-recheck"),
    ],
)
def test_a_result_off_by_more_than_a_billionth_is_named_at_its_cell(table, row, column, name, places):
    log = day(ORDER)
    _, book = shown_by_a_right_book(ORDER, log)
    right = book[table, row, column]
    changed = {(table, row, column): right.value * (1 + places)}
    assert differences(ORDER, log, changed) == {(name, right.cell)}


def test_a_result_off_by_less_is_the_same():
    log = day(ORDER)
    _, book = shown_by_a_right_book(ORDER, log)
    assert (
        differences(ORDER, log, {("shots", 2, "base"): book["shots", 2, "base"].value * (1 + 1e-11)}) == set()
    )


def test_one_changed_result_is_not_told_again_in_all_that_follows_from_it():
    log = day(ORDER)
    _, book = shown_by_a_right_book(ORDER, log)
    changes = {
        ("shots", 2, column): book["shots", 2, column].value * 1.1
        for column in ("base", "mix_rate", "deviation")
    }
    changes |= {("shots", row, "running"): book["shots", row, "running"].value + 9 for row in range(2, 5)}
    found = differences(ORDER, log, changes)
    assert found == {("value-differs-from-recheck", "base 3")}


def test_results_left_out_of_the_file_are_one_note():
    log = day(ORDER)
    _, book = shown_by_a_right_book(ORDER, log)
    found = differences(ORDER, log, dict.fromkeys(book))
    assert len(found) == 1
    assert found.pop()[0] == "results-not-in-file"


@pytest.mark.parametrize(
    ("order", "column", "value", "name"),
    [
        (ORDER, "base", lambda row: row.net, "hot-volume-as-corrected"),
        # Column B at 320 °F: 1.0241406 - 4.064175e-4·320 + 6.789755e-8·320² = 0.90104 (D4311, computed).
        (small("us", **ASPHALT), "factor", lambda row: 0.9010, "factor-of-other-column"),
        (ORDER, "mix_rate", lambda row: row.residual_rate, "residual-rate-as-bar-rate"),
        (ORDER, "residual_rate", lambda row: row.mix_rate, "bar-rate-as-residual-rate"),
    ],
)
def test_a_pasted_result_is_known_by_what_it_is(order, column, value, name):
    log = day(order)
    if name == "factor-of-other-column":
        log["shots", 2, "temperature"] = 320.0
    computation, _ = checked(order, log)
    row = computation.shot_rows[2]
    assert (name, f"{column} 3") in differences(order, log, {("shots", 2, column): value(row)})


@pytest.mark.parametrize(
    ("theirs", "own", "alike"),
    [
        ("", None, True),
        (None, None, True),
        ("", 0.0, False),
        (0.0, None, False),
        (1.0, 1.0 + 1e-10, True),
        (1.0, 1.0 + 1e-8, False),
        ("within", "within", True),
        ("within", "HIGH", False),
        (True, 1.0, True),
    ],
)
def test_what_counts_as_the_same(theirs, own, alike):
    assert same(theirs, own) is alike


def claims(claim, order=ORDER, seed=4):
    log = day(order, seed)
    computation, findings = checked(order, log, claim=claim(checked(order, log)[0]))
    group = [each for each in findings if "claim" in each.name]
    return computation, group


def payable(computation):
    return computation.totals.overall["payable"]


def test_a_right_claim_is_no_finding():
    assert claims(payable)[1] == []


@pytest.mark.parametrize(
    ("more", "name", "severity"),
    [(25.0, "claim-above-recheck", "error"), (-25.0, "claim-below-recheck", "query")],
)
def test_a_claim_is_told_in_volume_and_money(more, name, severity):
    computation, (found,) = claims(lambda computation: payable(computation) + more)
    assert (found.name, found.severity) == (name, severity)
    assert f"{more:,.1f} gal" in found.matters
    assert f"{more * 4:,.2f} USD" in found.matters  # 4.00 a gallon
    assert f"{payable(computation):g} gal" in found.expected


def test_without_a_unit_price_no_money_is_named():
    order = small("us", pay__unit_price=None)
    _, (found,) = claims(lambda computation: payable(computation) + 30, order)
    assert "USD" not in found.matters


@pytest.mark.parametrize(
    ("claim", "name"),
    [
        # Hot gallons paid as gallons at 60 °F; water paid as emulsion; what a rule deducts; loads for what
        # was sprayed.
        (
            lambda c: 0.5 * sum(row.net for row in c.shot_rows) - c.totals.overall["deducted"],
            "hot-volume-claimed-as-corrected",
        ),
        (lambda c: 2 * sum(row.payable for row in c.section_rows), "water-claimed-as-emulsion"),
        (lambda c: sum(row.payable + row.deducted for row in c.section_rows), "excess-claimed"),
        (lambda c: sum(row.base for row in c.load_rows), "loads-claimed-as-sprayed"),
        (lambda c: 0.60 * sum(row.payable for row in c.section_rows), "residue-claimed"),
    ],
)  # fmt: skip
def test_a_claim_is_known_by_the_mistake_it_follows_from(claim, name):
    _, found = claims(claim)
    assert [each.name for each in found] == [name]


def test_a_claim_to_the_decimals_of_the_pay_is_known_by_its_mistake():
    """Hot gallons have one decimal; the claim has as many as the order pays by."""
    order = changed(ORDER, rounding__pay=0)
    _, found = claims(
        lambda c: round(0.5 * sum(row.net for row in c.shot_rows) - c.totals.overall["deducted"]), order
    )
    assert [each.name for each in found] == ["hot-volume-claimed-as-corrected"]


def test_a_claim_with_the_waste_in_it():
    log = day(ORDER, 4)
    log["shots", 1, "waste"] = 12.0
    computation, _ = checked(ORDER, log)
    wasted = 0.5 * sum(row.wasted for row in computation.shot_rows)
    claim = sum(row.payable for row in computation.section_rows) + wasted
    assert wasted > 1
    assert [each.name for each in checked(ORDER, log, claim=claim)[1] if "claim" in each.name] == [
        "waste-claimed"
    ]


def test_a_claim_by_the_other_correction_column():
    # Column B in place of A: about 0.9 % less at 300 °F (D4311 figures: 0.9187 and 0.9083).
    order = small("us", **ASPHALT)
    log = day(order, 4)
    computation, _ = checked(order, log)
    other = Factors.of(order, "asphalt-b")
    claim = sum(
        round(row.net * other.at(shot.temperature), 1)
        for shot, row in zip(computation.logs.shots, computation.shot_rows, strict=True)
    )
    names = [each.name for each in checked(order, log, claim=claim)[1] if "claim" in each.name]
    assert names == ["claimed-by-other-column"]
