"""Formulas compared by meaning. Ways to write one formula are those that real programs were seen to write."""

from __future__ import annotations

import ironcalc
import pytest

from sheetgen.audit.proof.formats import displayed_as
from sheetgen.audit.proof.meaning import same_formula

SAME = [
    ("=(A1+B1)", "=A1+B1"),
    ("=((A1)*(B1))", "=A1*B1"),
    ("=A1+B1", "= A1  +\nB1"),
    ("=SUM(A1:A9)", "=sum(a1:a9)"),
    ("=IF(A1,FALSE,TRUE)", "=IF(A1,FALSE(),TRUE())"),
    ("=0.000000044988*A1", "=4.4988e-8*A1"),
    ("=0.000000044988*A1", "=4.4988E-08*A1"),
    ("=1.0*A1", "=1*A1"),
    ("=10%*A1", "=0.1*A1"),
    ("=A1%", "=A1/100"),
    ("=_xlfn.XLOOKUP(A1,B1:B9,C1:C9)", "=XLOOKUP(A1,B1:B9,C1:C9)"),
    ("=_xlfn._xlws.FILTER(A1:A9,B1:B9)", "=FILTER(A1:A9,B1:B9)"),
    ("='Job'!A1", "=Job!A1"),
    ("=STDEV(A1:A9)", "=_xlfn.STDEV.S(A1:A9)"),
    ("=INDEX($A$1:$A$1,B1)", "=INDEX($A$1,B1)"),
    ("='Shot log'!A1", "='SHOT LOG'!A1"),
    ("=$A$1+A$1", "=A1+$A1"),
    ("=+A1", "=A1"),
    ("=-1", "=-(1)"),
    ("=B2:A1", "=A1:B2"),
    ("=SUM($A:$C)", "=SUM(A:C)"),
    ("=SUM($1:$3)", "=SUM(1:3)"),
    ("=bar_rate*2", "=BAR_RATE*2"),
    ('="a""b"', '=("a""b")'),
    ("={1,2;3,4}", "={1, 2; 3, 4}"),
    ("=Log!A1", "=A1"),  # the formula's own sheet
    ("=A1<>B1", "=A1 <> B1"),
    ("='Log'!#REF!", "=#REF!"),
    ("=0.1+0.2", "=0.10000000000000001+0.2"),
    ("=A1+(B1-C1)", "=A1+B1-C1"),  # as IronCalc writes it
    ("=A1+(B1-(C1+D1))", "=A1+B1-(C1+D1)"),
    ("=A1*(B1/C1)", "=A1*B1/C1"),
    ('=A1&(B1&"x")', '=A1&B1&"x"'),
]

OTHER = [
    ("=STDEV(A1:A9)", "=_xlfn.STDEV.P(A1:A9)"),
    ("=INDEX($A$1:$A$2,B1)", "=INDEX($A$1,B1)"),
    ("=1", '="1"'),
    ("=1", "=TRUE"),
    ('="TRUE"', "=TRUE"),
    ('="#REF!"', "=#REF!"),
    ('="a"', '="A"'),
    ('="a b"', '="ab"'),
    ("=A1", "=A2"),
    ("=A1", "=B1"),
    ("=A1", "=Job!A1"),
    ("=SUM(A1:A9)", "=SUM(A1:A8)"),
    ("=SUM(A1,A9)", "=SUM(A1:A9)"),
    ("=A1-(B1-C1)", "=A1-B1-C1"),
    ("=A1/(B1*C1)", "=A1/B1*C1"),
    ("=A1/(B1/C1)", "=A1/B1*C1"),  # C1 may be 0
    ("=A1*(B1+C1)", "=A1*B1+C1"),
    ("=A1-(B1+C1)", "=A1-B1+C1"),
    ("=A1+(B1=C1)", "=A1+B1=C1"),
    ("=(A1>=B1)<>(C1>=D1)", "=A1>=B1<>C1>=D1"),
    ("=-A1^2", "=-(A1^2)"),  # a spreadsheet takes the sign first
    ("=A1>B1", "=A1>=B1"),
    ("=ROUND(A1,1)", "=ROUND(A1,2)"),
    ("=ROUND(A1,1)", "=ROUNDUP(A1,1)"),
    ("=IF(A1,1)", "=IF(A1,1,0)"),
    ("=IF(A1,1,)", "=IF(A1,1)"),
    ("=1", "=1.00000000001"),
    ("=A1*0.1", "=A1*10"),
    ("=bar_rate", "=mix_rate"),
    ("=#REF!+A1", "=#N/A+A1"),
    ("=A1+0", "=A1"),
    ("=(A1", "=A1"),  # one of them cannot be parsed
    ("=[1]Job!A1", "=Job!A1"),
]


@pytest.mark.parametrize(("issued", "returned"), SAME)
def test_two_ways_to_write_one_formula(issued, returned):
    assert same_formula(issued, returned, "Log", 11, 6)
    assert same_formula(returned, issued, "Log", 11, 6)


@pytest.mark.parametrize(("issued", "returned"), OTHER)
def test_two_formulas_that_are_not_the_same(issued, returned):
    assert not same_formula(issued, returned, "Log", 11, 6)
    assert not same_formula(returned, issued, "Log", 11, 6)


def test_a_formula_compared_once_is_not_taken_for_the_same_elsewhere():
    """Copies down a column are compared once; an anchored and a relative reference agree in one row only."""
    assert same_formula("=$A$5*B5", "=(A5)*B5", "Log", 4, 2)
    assert not same_formula("=$A$5*B6", "=(A6)*B6", "Log", 5, 2)
    assert not same_formula("=$A$5*B7", "=(A7)*B7", "Log", 6, 2)


@pytest.mark.parametrize(
    "formula",
    [
        "=" + "(" * 5_000,
        "=" + "-" * 8_000 + "1",
        "=" + "+".join(["1"] * 4_000),
        "=" + "IF(1," * 1_000,
        "='" * 4_000,
        '="' * 4_000,
        "=" + "[" * 8_000,
        "=A1:" * 2_000,
        "=\x00\x01",
        "=" + "#" * 8_000,
        "=" + "9" * 8_000,
        "=" + "A" * 100_000,
    ],
    ids=lambda formula: formula[:6].strip(),
)
def test_an_absurd_formula_is_compared_in_no_time(formula):
    assert same_formula(formula, formula)
    assert not same_formula(formula, "=A1", "Log", 5, 5)
    assert not same_formula(formula, formula + "1", "Log", 5, 5)


@pytest.mark.parametrize(
    ("formula", "inputs", "expected"),
    [("=-A1^2", {"A1": "3"}, "9"), ("=2^3^2", {}, "64"), ("=50%*A1", {"A1": "8"}, "4")],
)
def test_what_the_parser_takes_an_expression_for_is_what_an_engine_computes(formula, inputs, expected):
    """IronCalc as a second opinion on the order of operations."""
    model = ironcalc.create("book", "en", "UTC", "en")
    for cell, value in inputs.items():
        model.set_user_input(0, int(cell[1:]), ord(cell[0]) - 64, value)
    model.set_user_input(0, 9, 9, formula)
    model.evaluate()
    assert model.get_formatted_cell_value(0, 9, 9) == expected


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0.0", "0.0;-0.0"),
        ("+0.0%;-0.0%;0.0%", "\\+0.0%;\\-0.0%;0.0%"),  # as LibreOffice writes it
        ('0.## "ft"', '0.##" ft"'),
        ("General", "GENERAL"),
        ("hh:mm", "h:mm"),
        ("yyyy\\-mm\\-dd", "yyyy-mm-dd"),
        ("#,##0.0", "#,##0.0;[Red]-#,##0.0"),
        ("0\\+00", '0"+"00'),
        ("[$-409]h:mm AM/PM", "h:mm AM/PM"),
        ("#,##0_);(#,##0)", "#,##0 ;(#,##0)"),
        ("0.0", "[Blue]0.0"),
    ],
)
def test_number_formats_that_display_the_same(one, other):
    assert displayed_as(one) == displayed_as(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("0.0", "0.00"),
        ("0.0", "0.#"),
        ("0.0", "0.0%"),
        ("0.0", "0.0;0.0"),  # hides the minus sign
        ("0.0", '0.0;"";0.0'),
        ("0.0", ";;;"),
        ("0.0", "yyyy-mm-dd"),
        ("0.0", "General"),
        ("0.0", "0.0E+00"),
        ("0.0", '"12.5"'),
        ("0.0", '"1"0.0'),
        ("0.0", '0.0"0"'),
        ("#,##0", "#,##0,"),  # thousands
        ("hh:mm", "[h]:mm"),
        ("hh:mm", "yyyy-mm-dd"),
        ("yyyy-mm-dd hh:mm", "yyyy-mm-dd"),
        ("yyyy-mm-dd hh:mm", "hh:mm"),
        ("0.0", "[>100]0.0"),
        ("0 ?/?", "0"),
    ],
)
def test_number_formats_that_display_otherwise(one, other):
    assert displayed_as(one) != displayed_as(other)
