"""The report's JSON: its published schema, raw numbers, and what it says of where a book comes from."""

from __future__ import annotations

import datetime as dt
import json
import math
from dataclasses import replace

import pytest

from sheetgen import templates
from sheetgen.audit.findings import finding
from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.document import Document
from sheetgen.audit.report.write import document_data
from sheetgen.batch.schemas import FILES, model, schema
from sheetgen.columns import entry_columns, published, reported
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
    assert shipped["properties"]["version"]["const"] == (4 if name == "plan.schema.json" else 3)


@pytest.mark.parametrize(("units", "language"), [("us", "en"), ("si", "es")])
def test_what_is_written_is_a_document_with_nothing_missing_and_nothing_more(units, language, tmp_path):
    case = report_case(units, language)
    written = write_report(case, tmp_path)[1].read_text(encoding="utf-8")
    read = model(Document).model_validate_json(written, strict=True)
    assert read.model_dump() == json.loads(written) == document_data(contents(case))


def test_keys_are_sorted_and_no_number_is_one_that_json_does_not_know(written):
    def sorted_keys(pairs):
        assert [key for key, _ in pairs] == sorted(key for key, _ in pairs)
        return dict(pairs)

    def refuse(constant):
        raise AssertionError(constant)

    json.loads(written, object_pairs_hook=sorted_keys, parse_constant=refuse)


@pytest.mark.parametrize("number", [math.inf, -math.inf, math.nan])
def test_a_number_that_json_does_not_know_is_never_written(case, number):
    document = contents(case)._replace(coverage=number)
    with pytest.raises(ValueError, match="no number for JSON"):
        document_data(document)


def test_every_number_is_the_computed_one_to_the_last_digit(written, case):
    data = json.loads(written)
    totals = {published("overall", key): value for key, value in case.totals.overall.items()}
    assert {key: result["recomputed"] for key, result in data["totals"].items()} == totals
    for line, row in zip(data["shots"], case.shot_rows, strict=True):
        assert line["row"] == row["row"] + 1
        for column in reported("shots"):
            result = line["results"][published("shots", column.key)]
            assert result["recomputed"] == row[column.key], (line["label"], column.key)
    known = case.uncertainty
    for line in data["shots"]:
        shot = known.shot(line["row"] - 1)
        assert line["judged"] == shot.verdict
        if shot.rate is not None:
            assert math.isclose(line["results"]["bar_rate"]["uncertainty"], data["coverage"] * shot.rate)
    assert [each["raw"] for each in data["entries"]] == [each.raw for each in case.entries]
    plain = [each for each in case.entries if _reading(each) not in ("date", "time")]
    told = [each for each, own in zip(data["entries"], case.entries, strict=True) if own in plain]
    assert [each["value"] for each in told] == [each.value for each in plain]


def _reading(entry):
    known = entry_columns(entry.table).get(entry.column)
    return known.reading if known else ""


def test_dates_and_times_are_those_of_a_calendar_and_a_clock(written, case):
    read = {"date": [], "time": []}
    for told, own in zip(json.loads(written)["entries"], case.entries, strict=True):
        if own.value is not None and _reading(own) in read:
            read[_reading(own)].append((told["value"], own.value))
    assert min(map(len, read.values())) > 5
    origin = dt.datetime(1899, 12, 30)
    for told, serial in read["date"]:
        assert dt.datetime.fromisoformat(told) == origin + dt.timedelta(days=int(serial))
    for told, part in read["time"]:
        clock = dt.time.fromisoformat(told)
        seconds = clock.hour * 3600 + clock.minute * 60 + clock.second
        assert seconds == pytest.approx(part * 86400, abs=0.5)


def test_no_published_name_is_given_twice_or_for_nothing():
    for table, names in templates.toml("published_names.toml").items():
        known = {column.key for column in reported(table)} | set(entry_columns(table))
        assert set(names) <= known, table
        for keys in ({column.key for column in reported(table)}, entry_columns(table)):
            told = [published(table, key) for key in keys]
            assert len(told) == len(set(told)), table


def test_every_field_has_a_description():
    for name in FILES:
        shipped = json.loads((templates.root() / name).read_text(encoding="utf-8"))
        for part in (shipped, *shipped["$defs"].values()):
            for key, field in part.get("properties", {}).items():
                assert field.get("description"), (name, part.get("title"), key)


def test_a_difference_is_the_book_less_the_recheck(written):
    data = json.loads(written)
    base = data["shots"][0]["results"]["volume_corrected"]
    assert (base["difference"], base["same"]) == (pytest.approx(5), False)
    assert data["shots"][4]["results"]["area"]["book"] is None
    assert data["shots"][5]["results"]["bar_rate"]["book"] == "#REF!"
    assert data["shots"][7]["results"]["result"] | {"sheet": "", "cell": ""} == {
        "book": "low", "recomputed": "in", "difference": None, "same": False, "uncertainty": None, "sheet": "",
        "cell": "",
    }  # fmt: skip
    money = pytest.approx(12 * data["book"]["unit_price"])
    assert data["worth"]["book"] == {"volume": 12, "money": money, "quantity": 12}
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
    other = ["stick-and-meter-differ", "nothing-sprayed"]
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
    assert any(said.payable.reasons[0].title in each for each in said.conclusion.sentences)


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
        (["nothing-sprayed", "stick-reading-rose-during-shot"], "error"),
    ],
)
def test_the_conclusion_is_that_of_the_most_serious_finding(case, names, severity):
    conclusion = contents(changed(case, findings=[finding(name) for name in names])).conclusion
    assert conclusion.severity == severity
    headline = texts("en")[f"report.headline.{severity}"]
    if severity in ("clean", "note"):  # nobody has looked whether the office issued it
        headline = texts("en").say("report.headline.unproven", headline=headline)
    assert conclusion.headline == headline
    assert sum(conclusion.counts.model_dump().values()) == len(names)


@pytest.mark.parametrize(
    ("claim", "words"),
    [(None, ""), (0.0, "claim_same"), (7.0, "claim_more"), (-7.5, "claim_less")],
)
def test_a_claim_is_set_against_the_recheck_in_a_sentence(case, claim, words):
    own = case.totals.overall["payable"]
    sentences = contents(changed(case, claim=None if claim is None else own + claim)).conclusion.sentences
    start = texts("en")[f"report.verdict.{words}"].split("{")[0] if words else "Claimed"
    assert any(sentence.startswith(start) for sentence in sentences) == bool(words)
    if claim:
        sentence = next(each for each in sentences if each.startswith(start))
        assert f"{abs(claim):,.10g} gal" in sentence
        assert f"{abs(claim) * case.order.pay.unit_price:,.2f} USD" in sentence
        assert ("more" in sentence) == (claim > 0)


def test_shots_that_are_not_counted_or_cannot_be_told_are_named(case):
    conclusion = contents(case).conclusion
    assert conclusion.shots_not_counted == [4]
    unsure = [shot.row + 1 for shot in case.uncertainty.shots if shot.verdict == "cannot-be-told"]
    assert conclusion.shots_cannot_be_told == unsure
