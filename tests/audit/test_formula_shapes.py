"""Some two hundred shapes of formulas, saved again by four programs: the same in meaning, but where a program errs.

What a program damages is really another formula afterwards; the book that is issued must not use such shapes, and the
proof must say so where it meets them.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.audit.proof.meaning import same_formula
from sheetgen.xlsx.model import Book, Cell, Sheet
from sheetgen.xlsx.read import read_book
from tests.audit.resaving import ALONE, resaved
from tests.audit.small_book import write

OPERATORS = ("+", "-", "*", "/", "^", "&", "=", "<>", ">=", "<")
NESTED = [
    f"={formula}"
    for one in OPERATORS
    for other in OPERATORS
    for formula in (f"A1{one}(B1{other}C1)", f"(A1{one}B1){other}C1")
]
SIGNS = [
    *(
        "=-(A1+B1)",
        "=-(A1^2)",
        "=(-A1)^2",
        "=-A1^2",
        "=2^-A1",
        "=2^-(A1+1)",
        "=(A1%)^2",
        "=-(-A1)",
        "=+A1",
        "=-A1%",
    ),
    *("=(A1)", "=((A1))", "=SUM((A1:B1))", "=--(A1>B1)", "=(A1>B1)*(B1>C1)", "=(A1-B1)/(C1-D1)", "=A1^B1^C1"),
]
LITERALS = [
    *(
        "=TRUE",
        "=TRUE()",
        "=NOT(FALSE)",
        '="a""b"&"c"',
        '=A1=""',
        "=SUM({1,2;3,4})",
        "=SUM({1,2,3}*2)",
        "=#N/A",
    ),
    *(
        "=1E-10",
        "=1E+20",
        "=0.1",
        "=123456789012345",
        "=0.000000044988*A1",
        "=10%",
        "=.5",
        "=IF(A1=#N/A,1,2)",
    ),
]
CALLS = [
    *(
        "=IF(A1,,2)",
        "=IF(A1,1,)",
        "=ROUND(A1,-1)",
        "=INDEX(A1:B2,1,2)",
        "=OFFSET(A1,1,1)",
        "=LOG10(A1)",
        "=PI()",
    ),
    *('=SUMPRODUCT((A1:A3=B1:B3)*(C1:C3<>""))', '=SUMIFS(A1:A3,B1:B3,">="&C1)', '=COUNTIF(A1:A3,"<>")'),
    *('=IFERROR(1/0,"x")', "=VLOOKUP(A1,B1:C3,2,FALSE)", '=TEXT(A1,"0.00")', "=A1&CHAR(10)&B1", "=MAX(A1,0)"),
    *("=CHOOSE(A1,1,2,3)", "=AND(A1>1,OR(B1,C1))", "=MOD(A1,10)", "=DATE(2026,5,4)", "=IF((A1+B1)>C1,1,0)"),
    *(
        "=XLOOKUP(A1,B1:B3,C1:C3)",
        "=IFS(A1>1,1,TRUE,2)",
        '=TEXTJOIN(",",TRUE,A1:A3)',
        "=MAXIFS(A1:A3,B1:B3,1)",
    ),
]
PLACES = [
    "=$A$1+$A1+A$1",
    "=SUM(A:A)",
    "=SUM(1:2)",
    "='Shot log'!A1",
    "=Shapes!A1+Shapes!$B$2",
    "=bar*2",
]
DAMAGED_BY_ALL_BUT_ONE = ["=SUM((A1,B1))", "=(A1+B1)%"]
SHAPES = [*NESTED, *SIGNS, *LITERALS, *CALLS, *PLACES, *DAMAGED_BY_ALL_BUT_ONE]


def damaged(program: str, formula: str) -> bool:
    """Whether a program is known to write another formula, as seen in its files."""
    if program == "LibreOffice":
        return formula == "=SUM((A1,B1))"  # a union, written with the operator of its own format
    if program == "Gnumeric":
        return formula == "=A1^B1^C1"  # it takes powers of powers from the right
    if program != "ironcalc":
        return False
    if formula == "=(A1+B1)%":
        return True
    # It leaves out parentheses around a comparison or a joined text that is an operand of another operation.
    return formula in NESTED and formula not in HARMLESS_TO_IRONCALC


COMPARED = ("=", "<>", ">=", "<")


def _harmless(one: str, other: str) -> list[str]:
    """Which of the two shapes with these operators keep their meaning."""
    right, left = f"=A1{one}(B1{other}C1)", f"=(A1{one}B1){other}C1"
    kept = []
    joins_lost = other == "&" and one in ("+", "-", "*", "/")
    comparison_lost = other in COMPARED and (one == "&" or one in COMPARED)
    if not (joins_lost or comparison_lost):
        kept.append(right)
    if not (one == "&" and other in ("+", "-", "*", "/")) and not (one in COMPARED and other == "&"):
        kept.append(left)
    return kept


HARMLESS_TO_IRONCALC = {
    formula for one in OPERATORS for other in OPERATORS for formula in _harmless(one, other)
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("shapes")


@pytest.mark.parametrize("program", ALONE)
def test_a_formula_keeps_its_meaning_but_where_a_program_errs(folder, program):
    cells = {(row, 9): Cell(formula=formula) for row, formula in enumerate(SHAPES)}
    sheets = [Sheet("shapes", "Shapes", cells), Sheet("shots", "Shot log", {(0, 0): Cell("x")})]
    book = Book("0", sheets, {"bar": "Shapes!$A$1"}, {}, {})
    path = write(book, folder / f"{program}.xlsx", options={"use_future_functions": True})
    back = read_book(resaved(path, program, folder)).sheets[0].cells
    wrong = [
        (formula, back[row, 9].formula)
        for row, formula in enumerate(SHAPES)
        if same_formula(formula, back[row, 9].formula or "", "Shapes", row, 9) is damaged(program, formula)
    ]
    assert not wrong
