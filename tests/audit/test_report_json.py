"""The report's JSON: its published schema, raw numbers, and what it says of where a book comes from."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import pytest

from sheetgen import templates
from sheetgen.audit.findings import finding
from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.document import Document
from sheetgen.audit.report.write import sorted_data, write_json
from sheetgen.batch.schemas import FILES, model, schema
from sheetgen.templates import LANGUAGES, texts
from tests.audit.report_case import changed, report_case

STATUSES = ("issued", "signed", "unsigned", "altered", "unknown-version")


@pytest.fixture(scope="module")
def case():
    return report_case()


@pytest.fixture(scope="module")
def written(case, tmp_path_factory):
    return write_report(case, tmp_path_factory.mktemp("json"))[1].read_text(encoding="utf-8")


@pytest.mark.parametrize("name", FILES)
def test_the_schema_that_is_shipped_is_that_of_what_is_written(name):
    shipped = json.loads((templates.root() / name).read_text(encoding="utf-8"))
    assert shipped == json.loads(json.dumps(schema(FILES[name])))
    assert shipped["properties"]["version"]["const"] == 1


@pytest.mark.parametrize(("units", "language"), [("us", "en"), ("si", "es")])
def test_what_is_written_is_a_document_with_nothing_missing_and_nothing_more(units, language, tmp_path):
    case = report_case(units, language)
    written = write_report(case, tmp_path)[1].read_text(encoding="utf-8")
    read = model(Document).model_validate_json(written, strict=True)
    assert read.model_dump() == json.loads(written) == sorted_data(contents(case))


def test_keys_are_sorted_and_no_number_is_one_that_json_does_not_know(written):
    def sorted_keys(pairs):
        assert [key for key, _ in pairs] == sorted(key for key, _ in pairs)
        return dict(pairs)

    def refuse(constant):
        raise AssertionError(constant)

    json.loads(written, object_pairs_hook=sorted_keys, parse_constant=refuse)


@pytest.mark.parametrize("number", [math.inf, -math.inf, math.nan])
def test_a_number_that_json_does_not_know_is_never_written(case, number, tmp_path):
    document = contents(case)._replace(coverage=number)
    with pytest.raises(ValueError, match="no number for JSON"):
        write_json(document, tmp_path / "report.json")
    assert not list(tmp_path.iterdir())


def test_every_number_is_the_computed_one_to_the_last_digit(written, case):
    data = json.loads(written)
    assert {key: result["recomputed"] for key, result in data["totals"].items()} == case.totals.overall
    for line, row in zip(data["shots"], case.shot_rows, strict=True):
        for key, result in line["results"].items():
            assert result["recomputed"] == row[key], (line["label"], key)
    known = case.uncertainty
    for line in data["shots"]:
        shot = known.shot(line["row"])
        assert line["judged"] == shot.verdict
        if shot.rate is not None:
            assert math.isclose(line["results"]["mix_rate"]["uncertainty"], data["coverage"] * shot.rate)
    assert [each["raw"] for each in data["entries"]] == [each.raw for each in case.entries]
    assert [each["value"] for each in data["entries"]] == [each.value for each in case.entries]


def test_a_difference_is_the_book_less_the_recheck(written):
    data = json.loads(written)
    base = data["shots"][0]["results"]["base"]
    assert (base["difference"], base["same"]) == (pytest.approx(5), False)
    assert data["shots"][4]["results"]["area"]["book"] is None
    assert data["shots"][5]["results"]["mix_rate"]["book"] == "#REF!"
    assert data["shots"][7]["results"]["verdict"] | {"sheet": "", "cell": ""} == {
        "book": "low", "recomputed": "in", "difference": None, "same": False, "uncertainty": None, "sheet": "",
        "cell": "",
    }  # fmt: skip
    assert data["worth"]["book"] == {"volume": 12, "money": pytest.approx(12 * data["book"]["unit_price"])}
    claim = data["claim"]
    assert claim["difference"]["volume"] == claim["claimed"] - data["totals"]["payable"]["recomputed"]


def test_a_changed_formula_stands_before_the_results_and_totals_that_follow_from_it(case):
    names = ("total-differs-from-recheck", "value-differs-from-recheck", "formula-changed")
    cell = next(one for one in case.findings if one.name == "formula-changed")
    same = [replace(cell, name=name) for name in names]  # one place, so as much is at stake in each
    found = contents(changed(case, findings=same)).findings
    assert [one.name for one in found] == list(reversed(names))


def test_doubts_with_one_possible_reading_stand_behind_the_other_doubts(case):
    names = ["date-read-by-context", "station-read-by-range"]  # queries; a number read by its range is a note
    read = [finding(name, sheet="Shots", cell="G12", row=0, found="1", expected="2") for name in names]
    other = ["dip-and-meter-differ", "nothing-sprayed"]
    lot = [*read, *(finding(name, found="1", expected="2") for name in other)]
    found = contents(changed(case, findings=lot)).findings
    assert [one.name for one in found if one.severity == "query"] == [*other, *names]


def test_at_stake_is_the_difference_the_row_or_the_whole_payable_quantity(case):
    by_name = {one.name: one for one in contents(case).findings}
    shots = {row["row"]: row for row in case.shot_rows}
    payable = case.totals.overall["payable"]
    assert by_name["formula-changed"].at_stake == pytest.approx(5)  # the result that differs by 5
    assert by_name["total-differs-from-recheck"].at_stake == pytest.approx(12)
    assert by_name["temperature-missing"].at_stake == abs(shots[3]["net"])  # it has no volume at base
    assert by_name["unknown-template-version"].at_stake == payable
    assert by_name["claim-above-recheck"].at_stake == case.claim - payable
    assert by_name["locking-dropped-by-program"].at_stake is None


def _shot_cell(case, row, column):
    return next(
        each for each in case.entries if (each.table, each.row, each.column) == ("shots", row, column)
    )


def _at(case, name, row, column, **facts):
    place = _shot_cell(case, row, column)
    return finding(name, sheet=place.sheet, cell=place.cell, row=row, **facts)


def test_nothing_is_at_stake_at_an_entry_that_no_quantity_is_calculated_from(case):
    lot = [
        _at(case, "unreadable-entry-beside-quantities", 0, "start", found="10:48x"),
        _at(case, "two-shots-at-once", 0, "start"),
        _at(case, "same-as-above", 0, "section"),  # a note asks for nothing
        _at(case, "ambiguous-number", 0, "width"),
    ]
    found = {one.name: one.at_stake for one in contents(changed(case, findings=lot)).findings}
    assert found.pop("ambiguous-number") == case.shot_rows[0]["base"]
    assert set(found.values()) == {None}


def test_a_shot_with_many_findings_is_in_question_once_and_the_three_figures_add_up(case):
    one = [_at(case, "ambiguous-number", 0, "width")]
    two = [*one, _at(case, "unreadable-entry", 0, "temperature")]
    first, second = (contents(changed(case, findings=lot)).payable for lot in (one, two))
    assert first.in_question.volume == second.in_question.volume > 0
    assert first.undisputed.volume + first.in_question.volume == pytest.approx(first.recomputed.volume)
    assert first.recomputed.volume == case.totals.overall["payable"]
    assert [each.name for each in first.reasons] == ["ambiguous-number"]
    none = contents(changed(case, findings=[])).payable
    assert (none.in_question.volume, none.reasons) == (0, [])
    assert none.undisputed == none.recomputed


def test_doubt_about_the_order_puts_all_of_the_payable_in_question(case):
    said = contents(changed(case, findings=[finding("carried-order-altered")]))
    assert said.payable.undisputed.volume == 0
    assert said.payable.in_question.volume == case.totals.overall["payable"]
    assert any(said.payable.reasons[0].title in each for each in said.verdict.sentences)


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("status", STATUSES)
def test_it_says_what_is_proven_of_the_origin_and_what_is_not(status, language):
    case = changed(report_case("us", language), origin=status, public_key="ab" * 32, template="9")
    said = contents(case).origin
    say = texts(language)
    assert said.headline == say[f"report.origin.{status}.headline"]
    never = [say[f"report.origin.never.{key}"] for key in ("readings", "typist", "instruments")]
    assert said.not_proven[-3:] == never
    assert (len(said.not_proven) > 3) == (status != "issued"), (
        "only an office's own signature leaves no doubt of it"
    )
    proven = {"issued", "signed"}
    signature = (
        say.say(f"report.origin.{status}.proven", public_key="abababab…abababab") if status in proven else ""
    )
    assert (signature in said.proven) == (status in proven)


def test_a_book_that_cannot_be_laid_out_again_is_not_said_to_be_as_issued(case):
    said = contents(changed(case, origin="unknown-version", findings=[])).origin
    assert said.proven == []


def test_what_was_compared_with_the_office_s_own_order_is_said(case):
    say = texts("en")
    own = contents(changed(case, order_given=True)).origin.proven
    assert say["report.origin.agrees"] in own
    other = [*case.findings, finding("carried-order-differs", found="1", expected="2")]
    differs = contents(changed(case, order_given=True, findings=other)).origin.proven
    assert say["report.origin.differs"] in differs
    assert say["report.origin.agrees"] not in differs
    clean = contents(changed(case, findings=[])).origin.proven
    assert say["report.origin.unchanged"] in clean
    assert say["report.origin.unchanged"] not in contents(case).origin.proven


@pytest.mark.parametrize(
    ("names", "severity"),
    [
        ([], "clean"),
        (["results-not-in-file"], "note"),
        (["results-not-in-file", "nothing-sprayed"], "query"),
        (["nothing-sprayed", "dip-rose-during-shot"], "error"),
    ],
)
def test_the_verdict_is_that_of_the_gravest_finding(case, names, severity):
    verdict = contents(changed(case, findings=[finding(name) for name in names])).verdict
    assert verdict.severity == severity
    headline = texts("en")[f"report.headline.{severity}"]
    if severity in ("clean", "note"):  # nobody has looked whether the office issued it
        headline = texts("en").say("report.headline.unproven", headline=headline)
    assert verdict.headline == headline
    assert sum(verdict.counts.model_dump().values()) == len(names)


@pytest.mark.parametrize(
    ("claim", "words"),
    [(None, ""), (0.0, "claim_same"), (7.0, "claim_more"), (-7.5, "claim_less")],
)
def test_a_claim_is_set_against_the_recheck_in_a_sentence(case, claim, words):
    own = case.totals.overall["payable"]
    sentences = contents(changed(case, claim=None if claim is None else own + claim)).verdict.sentences
    start = texts("en")[f"report.verdict.{words}"].split("{")[0] if words else "Claimed"
    assert any(sentence.startswith(start) for sentence in sentences) == bool(words)
    if claim:
        sentence = next(each for each in sentences if each.startswith(start))
        assert f"{abs(claim):,.10g} gal" in sentence
        assert f"{abs(claim) * case.order.pay.unit_price:,.2f} USD" in sentence
        assert ("more" in sentence) == (claim > 0)


def test_shots_that_are_not_counted_or_cannot_be_told_are_named(case):
    verdict = contents(case).verdict
    assert verdict.shots_not_counted == [4]
    unsure = [shot.row + 1 for shot in case.uncertainty.shots if shot.verdict == "cannot-be-told"]
    assert verdict.shots_cannot_be_told == unsure
