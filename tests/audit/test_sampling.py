"""Samples by value and their upper limits, against published tables and examples; the threshold of materiality."""

from __future__ import annotations

import json

import openpyxl
import pytest

from sheetgen.audit.findings import finding
from sheetgen.audit.material import Material, read_material
from sheetgen.audit.report.contents import contents
from sheetgen.batch.book_line import line_of
from sheetgen.batch.sample_plan import SampleTerms, drawn, first_unit, plan_sample, sample_size, upper_share
from sheetgen.batch.summary import write_summary
from sheetgen.commands.recheck import recheck_command
from sheetgen.errors import SheetgenError
from sheetgen.templates import LANGUAGES, texts
from tests.audit.report_case import changed, report_case
from tests.audit.test_decisions import OPTIONS, book

# AICPA, Audit Guide "Audit Sampling" (2017), table C-1: risk, expected as a part of tolerable, then n where 10, 8, 6,
# 5, 4, 3, 2 and 1 % of the total may be wrong. Values seen.
TOLERABLE = (0.10, 0.08, 0.06, 0.05, 0.04, 0.03, 0.02, 0.01)
TABLE = [
    (0.05, 0.0, (30, 38, 50, 60, 75, 100, 150, 300)),
    (0.05, 0.1, (37, 46, 62, 74, 92, 123, 184, 368)),
    (0.05, 0.2, (47, 58, 78, 93, 116, 155, 232, 463)),
    (0.05, 0.3, (60, 75, 100, 120, 150, 200, 300, 600)),
    (0.05, 0.5, (116, 145, 193, 231, 289, 385, 577, 1154)),
    (0.10, 0.0, (24, 29, 39, 47, 58, 77, 116, 231)),
    (0.10, 0.2, (35, 43, 57, 69, 86, 114, 171, 341)),
    (0.20, 0.0, (17, 21, 27, 33, 41, 54, 81, 161)),
]


@pytest.mark.parametrize(("risk", "ratio", "sizes"), TABLE)
def test_sizes_are_those_of_the_published_table(risk, ratio, sizes):
    assert tuple(sample_size(each, ratio * each, 1 - risk) for each in TOLERABLE) == sizes


def test_sizes_of_a_second_source():
    # Touw and Hoogduin (2011), p. 23: 100,000 of 5,000,000 may be wrong: 150 at 95 %, 104 at 87.5 %. Values seen.
    assert sample_size(0.02) == 150
    assert sample_size(0.02, confidence=0.875) == 104


@pytest.mark.parametrize(("tolerable", "expected"), [(0.0, 0.0), (0.05, 0.05), (0.05, 0.06), (-1.0, 0.0)])
def test_a_share_that_leaves_nothing_to_tolerate_has_no_sample(tolerable, expected):
    with pytest.raises(ValueError, match="tolerable"):
        sample_size(tolerable, expected)


@pytest.mark.parametrize(
    ("taints", "share"),
    [
        # Touw and Hoogduin (2011), p. 138, 143 and 144: n 145, 95 %, binomial. Values seen; p. 138 prints 469,616.5 of
        # 13,500,000 from rounded tables, 469,618.6 by full precision.
        ([1, 0.20000072, 0.03999931], 0.0347866),
        ([1, 0.09887], 0.0333335),
        ([0.5, 0.4, 0.19887], 0.0325194),
        ([], 0.020448),
    ],
)
def test_upper_limits_are_those_of_the_published_examples(taints, share):
    assert upper_share(taints, 145) == pytest.approx(share, abs=6e-8 if taints else 6e-7)


def test_the_published_example_in_money():
    assert upper_share([0.03999931, 1, 0.20000072], 145) * 13_500_000 == pytest.approx(469_618.6, abs=0.05)


def test_the_limit_of_one_two_and_three_whole_errors():
    # the same page: p1 to p3 for n 145
    steps = [upper_share([1.0] * errors, 145) for errors in (1, 2, 3)]
    assert steps == pytest.approx([0.032297, 0.042781, 0.052603], abs=6e-7)


@pytest.mark.parametrize(("errors", "size"), [(1, 141), (2, 187)])
def test_the_smallest_sample_that_still_proves_the_threshold_with_whole_errors(errors, size):
    # Touw and Hoogduin (2011), p. 134: 450,000 of 13,500,000 may be wrong, 95 %, binomial. Values seen.
    tolerable = 450_000 / 13_500_000
    assert upper_share([1.0] * errors, size) <= tolerable < upper_share([1.0] * errors, size - 1)


def test_the_limit_of_a_large_sample_without_an_error():
    # the same page: none found among 1,100 leaves 36,730 of 13,500,000
    assert upper_share([], 1100) * 13_500_000 == pytest.approx(36_730, abs=20)


def test_units_are_drawn_at_a_fixed_interval():
    # Touw and Hoogduin (2011), p. 34: n 5 of 45, start 2: items 1, 3, 4, 7 and 9. Values seen.
    assert [place + 1 for place in drawn([7, 3, 4, 9, 0, 1, 8, 2, 6, 5], 9, 2)] == [1, 3, 4, 7, 9]


def test_the_first_unit_of_a_seed_is_always_the_same():
    assert first_unit(7, 100.0) == first_unit(7, 100.0) == pytest.approx(100 * (1 - 0.32383276483316237))
    assert all(0 < first_unit(seed, 100.0) <= 100 for seed in range(200))


# A plan over books


@pytest.fixture(scope="module")
def lines():
    case = report_case()
    clean = changed(case, claim=None, findings=[])
    return [
        line_of(changed(clean, path=f"{name}.xlsx", identity=name)) for name in ("A", "B", "C", "D", "E", "F")
    ]


def test_a_plan_states_what_it_drew_from_and_its_upper_limit(lines):
    plan = plan_sample(lines, SampleTerms(7, Material(share=0.10)))
    price, paid = lines[0].unit_price, sum(shot.paid for line in lines for shot in line.shots)
    assert (plan.unit, plan.size, plan.assumed) == (lines[0].currency, 30, False)
    assert plan.total == pytest.approx(paid * price)
    assert plan.interval == pytest.approx(plan.total / 30)
    assert sum(each.hits for each in plan.shots) in (29, 30)
    whole = [each for each in plan.shots if each.whole]
    assert all(each.amount >= plan.interval for each in whole)
    assert 0 < plan.upper_limit <= plan.tolerable * 1.05
    assert plan == plan_sample(lines, SampleTerms(7, Material(share=0.10)))
    assert plan.shots != plan_sample(lines, SampleTerms(2, Material(share=0.10))).shots


def test_what_is_struck_in_the_sample_raises_its_limit(lines):
    terms = SampleTerms(7, Material(share=0.20))
    before = plan_sample(lines, terms)
    hit = next(each for each in before.shots if not each.whole)
    struck = [
        line.model_copy(update={"shots": [
            shot.model_copy(update={"not_payable": shot.paid / 2 * ((line.file, shot.row + 1) == (hit.file, hit.shot))})
            for shot in line.shots
        ]})
        for line in lines
    ]  # fmt: skip
    after = plan_sample(struck, terms)
    assert [each.not_payable for each in after.shots if each.not_payable] == [pytest.approx(hit.amount / 2)]
    assert after.upper_limit > before.upper_limit


def test_where_little_may_be_wrong_every_shot_is_taken_whole_and_nothing_is_left_to_chance(lines):
    plan = plan_sample(lines[:1], SampleTerms(1, Material(share=0.001)))
    assert len(plan.shots) == plan.population
    assert all(each.whole for each in plan.shots)
    assert plan.upper_limit == 0


def test_books_that_nothing_is_paid_for_have_no_sample(lines):
    assert plan_sample([lines[0].model_copy(update={"shots": []})], SampleTerms(1)) is None


def test_books_in_gallons_and_in_liters_of_one_currency_have_one_sample(lines, tmp_path):
    mixed = [line.model_copy(update={"unit": "L"}) if place % 2 else line for place, line in enumerate(lines)]
    path, data, _csv = write_summary(mixed, [], tmp_path, "es", sample=SampleTerms(7))
    [plan] = json.loads(data.read_text(encoding="utf-8"))["sample"]
    assert plan["population"] == sum(len(line.shots) for line in lines)
    assert {shot["identity"] for shot in plan["shots"]} == {line.identity for line in lines}
    bare = {"unit_price": None, "currency": ""}
    unpriced = [line.model_copy(update=bare) for line in mixed]
    path, data, _csv = write_summary(unpriced, [], tmp_path / "unpriced", "es", sample=SampleTerms(7))
    plans = json.loads(data.read_text(encoding="utf-8"))["sample"]
    assert {plan["unit"] for plan in plans} == {line.unit for line in mixed}
    titles = openpyxl.load_workbook(path).sheetnames
    assert len({title.casefold() for title in titles}) == len(titles)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_summary_has_the_sample_on_a_sheet_of_its_own(lines, language, tmp_path):
    path, data, _csv = write_summary(lines, [], tmp_path, language, sample=SampleTerms(7))
    [plan] = json.loads(data.read_text(encoding="utf-8"))["sample"]
    assert plan["assumed"] is True
    say = texts(language)
    sheet = openpyxl.load_workbook(path)[f"{say['report.summary.sheet.sample']} {plan['unit']}"]
    assert [sheet.cell(6 + row, 3).value for row in range(len(plan["shots"]))] == [
        each["shot"] for each in plan["shots"]
    ]
    assert f"{plan['upper_limit']:,.2f} {plan['unit']}" in sheet["A4"].value
    assert "7" in sheet["A2"].value


# The threshold


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("500", Material(amount=500)), ("1,500.50", Material(amount=1500.5)), ("2%", Material(share=0.02)),
        ("2.5 %", Material(share=0.025)), ("1,5 %", Material(share=0.015)), ("12,000", Material(amount=12000)),
    ],
)  # fmt: skip
def test_a_threshold_is_money_or_a_share(text, expected):
    assert (
        read_material(text) == pytest.approx(expected)
        if None not in expected
        else read_material(text) == expected
    )


@pytest.mark.parametrize("text", ["", "much", "0", "-5", "0 %", "101 %", "nan", "inf", "1e99"])
def test_a_threshold_that_is_none_is_an_error_in_words(text):
    with pytest.raises(SheetgenError, match="--material"):
        read_material(text)


def _case(threshold):
    case = report_case()
    at = [one for one in case.entries if one.table == "shots" and one.column == "dip_after"][:3]
    lot = [
        finding(
            "level-fell-between-readings",
            sheet=one.sheet,
            cell=one.cell,
            row=one.row,
            stake=stake,
            shots=(one.row,),
        )
        for one, stake in zip(at, (3.0, 40.0, 5.0), strict=True)
    ]
    return changed(
        case, findings=[*lot, finding("formula-changed", sheet="x", cell="A1")], material=threshold
    )


def test_findings_below_the_threshold_stand_apart_and_their_sum_is_said():
    said = contents(_case(10.0))
    assert [(one.at_stake, one.below_material) for one in said.findings] == [
        (None, False), (40.0, False), (5.0, True), (3.0, True),
    ]  # fmt: skip
    assert said.material.volume == 10
    [stated] = [each for each in said.conclusion.sentences if "materiality" in each]
    assert "10.0 gal" in stated
    assert "8 gal" in stated, "many small ones together are no small thing"
    assert said.payable == contents(_case(None)).payable
    assert not any(one.below_material for one in contents(_case(None)).findings)


def test_the_command_takes_both_and_states_them(tmp_path):
    path, out = book(tmp_path / "b.xlsx", shots_3_dip_before=14.0), tmp_path / "out"
    recheck_command([str(path)], **OPTIONS, out=str(out), material="1 %", sample=3)
    said = json.loads((out / "b.recheck.json").read_text(encoding="utf-8"))
    assert said["material"]["volume"] == pytest.approx(0.01 * said["payable"]["recomputed"]["volume"])
    [plan] = json.loads((out / "summary.json").read_text(encoding="utf-8"))["sample"]
    assert plan["seed"] == 3
    assert plan["tolerable"] == pytest.approx(0.01 * plan["total"])
