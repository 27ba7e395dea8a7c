"""What a book shows, proven cell by cell: as another engine calculates it, and no other value passes."""

from __future__ import annotations

from functools import cache

import formualizer
import pytest

from sheetgen import templates
from sheetgen.audit.entries.book_values import same
from sheetgen.audit.proof import shown_values
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.calculate import Rows, Values, compiled
from sheetgen.xlsx.calculated import calculated
from sheetgen.xlsx.formula_tree import NotFollowed
from sheetgen.xlsx.functions import FUNCTIONS, OF_LISTS, Failed
from sheetgen.xlsx.model import Book, Cell, Sheet
from sheetgen.xlsx.results import Engine, results
from sheetgen.xlsx.results import _plain as as_shown
from tests.audit.orders import day, small
from tests.fuzz.structured import ENTRIES
from tests.selection import exhaustive

CELLS = {(0, 0): 2.0, (1, 0): 5.0, (2, 0): 5.0, (3, 0): 9.0, (0, 1): "tack", (1, 1): "Fog", (2, 1): "fog", (3, 1): "",
         (0, 2): True, (1, 2): 2.675, (2, 2): -7.5, (3, 2): "12.5"}  # fmt: skip
FORMULAS = (
    "-2^2", "2+3*4%", '"a"&1.5&TRUE', '"Fog"="fog"', "TRUE=1", '1<"a"', "D9=0", 'D9=""', 'D9<"a"', 'D9<""',
    "D9<A1", "D9>=D9", "A1:A4", "B1*2", "C4*2", "1/0", "ABS(C3)", "ACOS(0.5)", "ACOS(2)", "AND(A1=2,C1)",
    "AVERAGE(A1:A4)", "CHOOSE(2,1,3)", "CHOOSE(4,1,3)", "COLUMNS(A1:C4)", "COS(1)", "COUNT(A1:C4)", "COUNTA(A1:C4)",
    "COUNTA(D9,B4)", 'COUNTIF(A1:A4,">2")', 'COUNTIF(B1:B4,"fog")', "COUNTIF(A1:A4,5)",
    'COUNTIFS(A1:A4,5,B1:B4,"fog")', 'COUNTIFS(A1:A4,">=2",A1:A4,"<9")', "DATE(2026,14,3)",
    "DAY(46000)", "MONTH(46000)", "YEAR(46000)", 'FIND("o","Fog")', 'FIND("O","Fog")', "IF(C1,A1)",
    'IFERROR(1/0,"none")', "INDEX(A1:C4,2,3)", "INDEX(A1:A4,5)", "INT(C3)", "ISNA(MATCH(3,A1:A4,0))",
    "ISNA(1/0)", "ISNUMBER(B1)", "ISNUMBER(1/0)", 'LEFT("tack",2)', "LEN(C4)", "LOOKUP(6,A1:A4,C1:C4)",
    "LOOKUP(1,A1:A4)", "MATCH(5,A1:A4,0)", 'MATCH("FOG",B1:B4,0)', "MATCH(3,A1:A4,0)", "MAX(A1:C4)",
    "MIN(A1:C4)", 'MID("tack",2,2)', "MOD(-7,3)", "MOD(7,0)", "N(C1)", "N(B1)", "NOT(C1)",
    "OR(A1=3,A1=2)", "PI()", 'REPT("a",3)', 'RIGHT("tack",2)', "ROUND(C2,2)", "ROUND(C3,0)",
    "ROUND(1234,-2)", "ROUNDUP(2.01,1)", "ROUNDDOWN(C3,0)", "ROWS(A1:C4)", "SQRT(2)", "SQRT(-1)",
    "STDEV(A1:A4)", 'SUBSTITUTE("a-b-a","a","c")', "SUM(A1:C4)", 'SUMIFS(A1:A4,B1:B4,"Fog")',
    'SUMIFS(A1:A4,A1:A4,"<"&A4,A1:A4,"<>2")', "SUMPRODUCT((A1:A4=5)*(A1:A4>A1)*C2)",
    'SUMPRODUCT(--(B1:B4<>""))', "TAN(1)", 'TRIM("  a  b ")', 'UPPER("fog")', 'VALUE("2.5")',
    'VALUE("٣")', 'COUNTIF(A1:A4,"２")',
    'VALUE("x")', "FALSE", 'HYPERLINK("#A1",B1)',
)  # fmt: skip


def by_engine(formula):
    engine = formualizer.Workbook()
    engine.add_sheet("One")
    for (row, column), value in CELLS.items():
        engine.set_value("One", row + 1, column + 1, value)
    engine.set_formula("One", 9, 9, f"={formula}")
    value = engine.evaluate_cell("One", 9, 9)
    return as_shown(value)


def here(formula):
    (value,) = compiled(f"={formula}", "One", 8, 8)(Values({"One": CELLS}), Rows([8]), 8)
    return str(value) if isinstance(value, Failed) else value


@pytest.mark.parametrize("formula", FORMULAS)
def test_a_formula_gives_what_the_engine_gives(formula):
    try:
        own = here(formula)
    except NotFollowed:
        assert formula == "A1:A4"  # an array, which no formula of a book is
        return
    theirs = by_engine(formula)
    assert type(own) is type(theirs) or not isinstance(own, bool)
    assert same(theirs, own), f"{own!r}, and the engine gives {theirs!r}"


def test_every_function_of_a_book_is_tried():
    known = {*FUNCTIONS, *OF_LISTS}
    allowed = set(templates.toml("functions.toml")["allowed"])
    tried = {name for name in allowed if any(f"{name}(" in formula for formula in FORMULAS)}
    assert allowed - tried == {"TEXT"}  # of which no formula of a field book is made
    assert known <= tried


def test_what_is_written_alike_and_is_not_the_same_is_compiled_apart():
    shown = Values({"One": CELLS})
    pairs = [compiled(f"={each}", "One", 8, 8)(shown, Rows([8]), 8) for each in ("TRUE", "1", '"1"')]
    assert [type(each) for (each,) in pairs] == [bool, float, str]
    assert (
        compiled("=$A2", "One", 1, 3) is compiled("=$A3", "One", 2, 3) is not compiled("=$A$2", "One", 1, 3)
    )


@cache
def honest(system, language):
    order = small(system, language)
    return order, order.machines[0]


@pytest.mark.parametrize(
    ("system", "language"), [("us", "en"), exhaustive(("us", "es")), ("si", "es"), exhaustive(("si", "en"))]
)
def test_an_honest_book_is_proven_without_being_calculated(system, language, tmp_path, monkeypatch):
    order, machine = honest(system, language)
    path = write_filled(order, machine, day(order), tmp_path / "honest.xlsx")
    monkeypatch.setattr(shown_values, "calculated", lambda *_given: pytest.fail("it was calculated"))
    assert "origin-unknown" not in {each.name for each in recheck_book(path).findings}


def test_no_formula_of_a_book_passes_with_another_value():
    order, machine = honest("us", "en")
    book, not_following = lay_out(order, machine), shown_values._not_following
    shown = {
        sheet.name: {at: cell.value for at, cell in sheet.cells.items() if cell.value is not None}
        for sheet in book.sheets
    }
    names = {sheet.key: sheet for sheet in book.sheets}
    for (key, *at), value in results(book).items():
        shown[names[key].name][tuple(at)] = value
    copied = shown_values._copied(book)
    assert not any(list(not_following(Values(shown), *copies)) for copies in copied)
    for formula, name, column, rows in copied:
        cells, last = shown[name], (rows.rows[-1], column)
        kept = cells[last]
        cells[last] = kept + 5 if isinstance(kept, float | int) else "approved"
        fresh = Rows(rows.rows)  # nothing is known of what these cells showed before
        assert list(not_following(Values(shown), formula, name, column, fresh)), (name, last)
        cells[last] = kept


@cache
def filled():
    order, machine = honest("us", "en")
    return lay_out(order, machine, day(order))


def entry_cells(book, key):
    return sorted(at for at, cell in book.sheet(key).cells.items() if not cell.locked)


def test_a_book_with_odd_entries_is_calculated_as_the_engine_does(monkeypatch):
    by_engine = []
    monkeypatch.setattr(
        "sheetgen.xlsx.results.results", lambda *given: by_engine.append(1) or results(*given)
    )
    odd = (*ENTRIES, 0.0, -1.0, 1e-300, 1e15, 46143.5)
    for start in range(0, len(odd), 10):
        places = entry_cells(filled(), "shots")[start::7]
        entries = {("shots", *at): value for at, value in zip(places, odd[start : start + 10], strict=False)}
        own, theirs = calculated(filled(), entries), results(filled(), entries)
        assert own.keys() - entries.keys() == theirs.keys() - entries.keys()
        unlike = {
            at: (each, theirs[at]) for at, each in own.items() if not shown_values._same(theirs[at], each)
        }
        assert unlike == {}
    assert (
        by_engine == []
    )  # digits without end, and a lookup of what is no number, take single formulas there


def test_a_formula_that_is_not_followed_is_given_to_the_engine_alone(monkeypatch):
    given = []
    result = Engine.result
    monkeypatch.setattr(Engine, "result", lambda self, *asked: given.append(asked) or result(self, *asked))
    monkeypatch.setattr("sheetgen.xlsx.calculated._MOST_BY_ENGINE", 1)  # each has an engine of its own
    cells = {
        (0, 0): Cell(formula='=MATCH("b*",B1:B3,0)'),
        (1, 0): Cell(formula="=A1+1"),
        (2, 0): Cell(formula="=SUM(C1:C2,A1)"),
        (3, 0): Cell(formula="=IFERROR(A3,A1*10)"),
        (0, 1): Cell("a"), (1, 1): Cell(formula='="b"&"c"'), (2, 1): Cell("b"),
        (0, 2): Cell(formula="=1/0"), (1, 2): Cell(3.0),
    }  # fmt: skip
    copied = [("one", *at, 1) for at, cell in cells.items() if cell.formula]
    book = Book("", [Sheet("one", "One", cells=cells)], {}, {}, {}, copied=copied)
    own = calculated(book, {})
    assert own == results(book)
    assert own["one", 1, 0] == 3
    assert own["one", 3, 0] == 20
    assert [place for _sheet, place, _formula in given] == [(0, 0), (2, 0)]


def test_an_error_goes_on_to_what_reads_it_as_in_the_engine():
    book = filled()
    at = next(
        ("shots", *place) for place in entry_cells(book, "shots") if book.sheet("shots").cells[place].value
    )
    entries = {at: "=", ("job", 0, 0): None}
    assert {k: v for k, v in calculated(book, entries).items() if str(v).startswith("#")} == {
        k: v for k, v in results(book, entries).items() if str(v).startswith("#")
    }


@pytest.mark.parametrize("formula", ["=A1", "=SUM(A1:A3)", "=1/0", "=1E308*10", "=COUNTA(B1:B2)"])
def test_what_is_not_followed_the_engine_calculates(formula):
    cells = {
        (0, 0): Cell(formula=formula),
        (0, 1): Cell(formula="=1/0"),
        (1, 0): Cell(formula="=IFERROR(B1,7)"),
        (1, 1): Cell(2.0),
    }
    copied = [("one", *at, 1) for at, cell in cells.items() if cell.formula]
    book = Book("", [Sheet("one", "One", cells=cells)], {}, {}, {}, copied=copied)
    assert calculated(book, {}) == results(book)
    assert calculated(book, {})["one", 1, 0] == 7
