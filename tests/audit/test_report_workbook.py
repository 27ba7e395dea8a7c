"""The recheck workbook: every finding with its cell, every number as computed, right in both languages, on paper too.

What stands in the workbook is read back with openpyxl and, where it says so, with LibreOffice.
"""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from pathlib import Path
from urllib.parse import unquote

import openpyxl
import pytest

from sheetgen.audit.findings import catalogue, finding
from sheetgen.audit.model import Entry
from sheetgen.audit.report import report_names, write, write_report
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.log_sheets import LOADS, SHOTS
from sheetgen.columns import reported
from sheetgen.templates import LANGUAGES, texts
from tests.audit.report_case import PATH, changed, report_case
from tests.engines import office

VARIANTS = [("us", "en"), ("us", "es"), ("si", "en"), ("si", "es")]
SHEETS = (
    "verdict",
    "findings",
    "decisions",
    "shots",
    "loads",
    "reconciliation",
    "entries",
    "charts",
    "method",
)


@pytest.fixture(scope="module", params=VARIANTS, ids="-".join)
def case(request):
    return report_case(*request.param)


@pytest.fixture(scope="module")
def path(case, tmp_path_factory):
    """The report, one folder beside that of the returned books."""
    base = tmp_path_factory.mktemp("report")
    moved = changed(case, path=str(base / PATH))
    return write_report(moved, base / "rechecks")[0]


@pytest.fixture(scope="module")
def workbook(path):
    return openpyxl.load_workbook(path)


def sheet(workbook, case, key):
    return workbook[texts(case.order.language)[f"report.sheet.{key}"]]


def finding_rows(workbook, case):
    worksheet = sheet(workbook, case, "findings")
    head = next(
        row
        for row in range(1, 20)
        if worksheet.cell(row, 1).value == texts(case.order.language)["report.findings.number"]
    )
    titles = [cell.value for cell in worksheet[head]]
    return [
        dict(zip(titles, row, strict=True)) for row in worksheet.iter_rows(min_row=head + 1) if row[0].value
    ]


def test_the_sheets_stand_in_the_order_an_auditor_reads_them(workbook, case):
    say = texts(case.order.language)
    assert workbook.sheetnames == [say[f"report.sheet.{key}"] for key in SHEETS]


def test_every_finding_appears_with_its_cell_and_all_that_it_says(workbook, case):
    say = texts(case.order.language)
    title = {
        key: say.say(f"report.findings.{key}", unit="-")
        for key in ("sheet", "cell", "found", "expected", "remedy", "name", "why", "severity")
    }
    listed = sorted(
        (
            row[title["name"]].value,
            row[title["cell"]].value or "",
            row[title["found"]].value or "",
            row[title["expected"]].value or "",
        )
        for row in finding_rows(workbook, case)
    )
    assert listed == sorted((one.name, one.cell, one.found, one.expected) for one in case.findings)
    for row in finding_rows(workbook, case):
        kind = catalogue()[row[title["name"]].value]
        assert row[title["severity"]].value.endswith(say[f"report.severity.{kind.severity}"])
        assert kind.text("remedy", say.language) == row[title["remedy"]].value
        assert kind.text("why", say.language) in row[title["why"]].value


def test_the_gravest_stand_first_and_the_larger_volume_before_the_smaller(case):
    found = contents(case).findings
    ranks = [("error", "query", "note").index(one.severity) for one in found]
    assert ranks == sorted(ranks)
    assert [one.number for one in found] == list(range(1, len(found) + 1))
    for severity in ("error", "query", "note"):
        stakes = [one.at_stake for one in found if one.severity == severity]
        known = [stake for stake in stakes if stake is not None]
        assert stakes == sorted(known, reverse=True) + [None] * (len(stakes) - len(known))


def test_the_cell_of_a_finding_leads_to_that_cell_of_the_returned_file(workbook, case, path):
    cell_title = texts(case.order.language)["report.findings.cell"]
    sheet_title = texts(case.order.language)["report.findings.sheet"]
    followed = 0
    for row in finding_rows(workbook, case):
        cell, tab = row[cell_title], row[sheet_title].value
        if not cell.value:
            assert cell.hyperlink is None
            continue
        target = unquote(cell.hyperlink.target.replace("\\", "/"))
        assert (path.parent / target).resolve() == (path.parent.parent / PATH).resolve()
        quoted, address = re.fullmatch(r"'(.*)'!([A-Z]+[0-9]+)", cell.hyperlink.location).groups()
        assert (quoted.replace("''", "'"), address) == (tab, cell.value)
        followed += 1
    assert followed == sum(bool(one.cell) for one in case.findings)


def test_beside_its_book_a_report_names_the_file_alone(case, tmp_path):
    moved = changed(case, path=str(tmp_path / "book 7.xlsx"))
    workbook = openpyxl.load_workbook(write_report(moved, tmp_path)[0])
    targets = {
        cell.hyperlink.target
        for row in finding_rows(workbook, case)
        for cell in row.values()
        if cell.hyperlink
    }
    assert targets == {"book%207.xlsx"}


def blocks(workbook, case, block):
    """The lines of each shot or load: by printed number and line, a value by column."""
    say = texts(case.order.language)
    worksheet = sheet(workbook, case, block.table)
    keys = [None, *(key for key, _ in block.leads), "line", *(column.key for column in reported(block.table))]
    head = next(
        row for row in range(1, 20) if worksheet.cell(row, 1).value == say[f"report.lead.{block.table}"]
    )
    found = {}
    for row in worksheet.iter_rows(min_row=head + 2, values_only=True):
        if isinstance(row[0], int):
            line = next(kind for kind in block.kinds if say[f"report.line.{kind}"] == row[keys.index("line")])
            found[row[0], line] = dict(zip(keys, row, strict=True))
    return found


def written(shown, value):
    """The same value, a number to the 16 digits that a file has."""
    number = isinstance(value, float | int) and not isinstance(value, bool)
    return shown == pytest.approx(value, rel=1e-15) if number else shown == value


@pytest.mark.parametrize("block", [SHOTS, LOADS], ids=lambda block: block.table)
def test_the_numbers_side_by_side_are_those_computed_and_those_in_the_book(workbook, case, block):
    say = texts(case.order.language)
    shown = blocks(workbook, case, block)
    rows = case.shot_rows if block.table == "shots" else case.load_rows
    assert len(shown) == len(rows) * len(block.kinds)
    for row in rows:
        number = row["row"] + 1
        for column in reported(block.table):
            own, theirs = row[column.key], case.book_values[block.table, row["row"], column.key].value
            if column.key == "verdict":
                own = say[f"words.{own}"]
            assert written(shown[number, "own"][column.key], own), (number, column.key)
            book = say["report.none"] if theirs is None and own is not None else theirs
            assert written(shown[number, "book"][column.key], book), (number, column.key)


@pytest.mark.parametrize(
    ("place", "difference"),
    [
        (("shots", 0, "base"), 5),
        (("shots", 7, "verdict"), "≠"),
        (("shots", 4, "area"), "≠"),
        (("shots", 5, "mix_rate"), "≠"),
        (("shots", 6, "deviation"), 1e-7),
        (("shots", 0, "area"), "="),
        (("loads", 0, "factor"), "≠"),
    ],
)
def test_what_differs_is_marked_by_a_sign_and_in_bold(workbook, case, place, difference):
    table, row, column = place
    block = SHOTS if table == "shots" else LOADS
    shown = blocks(workbook, case, block)[row + 1, "difference"][column]
    assert shown == (
        pytest.approx(difference, rel=1e-6) if isinstance(difference, float | int) else difference
    )
    worksheet = sheet(workbook, case, table)
    at = 1 + 1 + len(block.leads) + 1 + [each.key for each in reported(table)].index(column)
    cells = [worksheet.cell(line, at) for line in range(1, worksheet.max_row + 1)]
    line = next(
        cell for cell in cells if cell.value == shown and worksheet.cell(cell.row, 1).value == row + 1
    )
    assert bool(line.font.b) == (difference != "=")
    if isinstance(shown, float | int):
        assert line.number_format.startswith('"≠ "+')
        decimals = len(line.number_format.split(";")[0].rpartition(".")[2].rstrip("%"))
        assert round(shown * (100 if "%" in line.number_format else 1), decimals), "printed as nothing"


def test_the_first_page_has_the_file_the_payable_quantity_and_the_claim(workbook, case):
    worksheet, say = sheet(workbook, case, "verdict"), texts(case.order.language)
    rows = {row[0]: row for row in worksheet.iter_rows(values_only=True) if isinstance(row[0], str)}
    own = case.totals.overall["payable"]
    payable = rows[say["report.quantity.payable"]]
    assert payable[1] == own
    assert payable[2] == pytest.approx(2 * case.uncertainty.totals.overall["payable"])
    assert payable[3:] == pytest.approx((own + 12, 12, 12 * case.order.pay.unit_price))
    claim = rows[say["report.quantity.claim"]]
    assert claim[3:5] == (case.claim, case.claim - own)
    assert claim[5] == pytest.approx((case.claim - own) * case.order.pay.unit_price)
    said = " ".join(str(value) for row in worksheet.iter_rows(values_only=True) for value in row if value)
    for text in (Path(PATH).name, case.sha256, case.program, case.identity, say["book.invented"]):
        assert text in said
    assert say[f"report.headline.{case.conclusion}"] in said


def test_the_reconciliation_adds_up_as_printed(workbook, case):
    worksheet, say = sheet(workbook, case, "reconciliation"), texts(case.order.language)
    rows = {row[1]: row for row in worksheet.iter_rows(values_only=True) if isinstance(row[1], str)}
    signed = {
        say[f"report.reconciliation.of.{key}"]: sign
        for key, sign in (
            ("start", 1),
            ("loaded", 1),
            ("sprayed", -1),
            ("wasted", -1),
            ("returned", -1),
            ("end", -1),
        )
    }
    total = sum(sign * rows[words][5] for words, sign in signed.items())
    unexplained = rows[say["report.reconciliation.of.unexplained"]]
    assert total == pytest.approx(unexplained[5], abs=1e-9)
    assert unexplained[5] == case.totals.overall["unexplained"]
    sections = {section.id for section in case.order.sections}
    assert sections <= {row[0] for row in worksheet.iter_rows(values_only=True)}
    text = " ".join(str(row[0]) for row in worksheet.iter_rows(values_only=True) if isinstance(row[0], str))
    amount = case.totals.overall["payable"] * case.order.pay.unit_price
    assert 1000 < amount < 10000  # Spanish groups the digits of five and more only
    printed = f"{amount:.2f}" if case.order.language == "es" else f"{amount:,.2f}"
    assert f"= {printed} {case.order.pay.currency}" in text


def test_every_entry_that_holds_something_is_listed_as_typed_and_as_read(workbook, case):
    worksheet, say = sheet(workbook, case, "entries"), texts(case.order.language)
    head = next(row for row in range(1, 20) if worksheet.cell(row, 4).value == say["report.entries.cell"])
    listed = {(row[0], row[3]): row for row in worksheet.iter_rows(min_row=head + 1, values_only=True)}
    typed = [entry for entry in case.entries if entry.raw is not None]
    assert len(typed) > 100
    for entry in typed:
        row = listed[entry.sheet, entry.cell]
        assert (
            row[4] == entry.raw
            or str(row[4]) == str(entry.raw)
            or isinstance(row[4], dt.date | dt.time | dt.datetime)
        )
        assert entry.how in (row[7] or "")
    with_unit = next(entry for entry in typed if entry.column == "width" and isinstance(entry.raw, str))
    assert listed[with_unit.sheet, with_unit.cell][4:6] == (with_unit.raw, with_unit.value)


def test_only_values_are_written_and_a_text_is_never_a_formula(path):
    with zipfile.ZipFile(path) as archive:
        parts = [name for name in archive.namelist() if name.startswith("xl/worksheets/sheet")]
        assert len(parts) == len(SHEETS)
        for name in parts:
            assert not re.search(rb"<f[ >/]", archive.read(name)), name


def test_every_page_names_the_book_and_repeats_its_headings(workbook, case):
    say = texts(case.order.language)
    for worksheet in workbook.worksheets:
        assert case.identity in worksheet.oddFooter.left.text
        assert re.search("&P.*&N", worksheet.oddFooter.right.text)
        assert worksheet.page_setup.paperSize == {"letter": 1, "a4": 9}[case.order.paper]
        assert worksheet.print_area
    for key in ("findings", "shots", "loads", "entries"):
        worksheet = sheet(workbook, case, key)
        assert all((worksheet.print_title_rows, worksheet.freeze_panes, worksheet.auto_filter.ref)), key
    verdict = sheet(workbook, case, "verdict")
    assert verdict.sheet_properties.pageSetUpPr.fitToPage
    assert (verdict.page_setup.fitToHeight, verdict.page_setup.fitToWidth) in ((1, 1), (None, None))
    assert say["report.title"] == verdict["A1"].value


@pytest.mark.usefixtures("made_anew")
def test_the_same_recheck_gives_the_same_bytes_and_a_date_is_printed_where_one_is_given(case, tmp_path):
    first = [path.read_bytes() for path in write_report(case, tmp_path / "a")]
    assert first == [path.read_bytes() for path in write_report(case, tmp_path / "a")]
    dated, text = write_report(case, tmp_path / "a", date=dt.date(2026, 6, 1))
    assert dated.read_bytes() != first[0]
    assert '"date": "2026-06-01"' in text.read_text(encoding="utf-8")
    verdict = sheet(openpyxl.load_workbook(dated), case, "verdict")
    assert any("2026-06-01" in str(row[0].value) for row in verdict.iter_rows())


@pytest.mark.parametrize("language", LANGUAGES)
def test_libreoffice_opens_it_without_an_error_value_and_follows_its_links(language, tmp_path):
    case = changed(report_case("si", language), path=str(tmp_path / PATH))
    path = write_report(case, tmp_path / "rechecks")[0]
    flat = office(path, tmp_path, "fods").read_text(encoding="utf-8")
    assert not re.search(r">(#[A-Z/0]+[!?]|Err:[0-9]+)<", flat.replace(">#REF!<", "><")), "an error value"
    links = {unquote(link) for link in re.findall(r'xlink:href="([^"]*)"', flat)}
    name = Path(PATH).name.replace("&", "&amp;")
    for one in case.findings:
        if one.cell:
            place = f"'{one.sheet.replace(chr(39), chr(39) * 2)}'!{one.cell}".replace("'", "&apos;")
            assert any(link.endswith(f"{name}#{place}") for link in links), (one.sheet, one.cell)


def test_two_files_of_one_name_can_have_reports_of_two_names(case, tmp_path):
    write_report(case, tmp_path)
    made = write_report(case, tmp_path, name="back (2)")
    assert [path.name for path in made] == ["back (2).recheck.xlsx", "back (2).recheck.json"]
    assert len(list(tmp_path.iterdir())) == 4


def test_an_interrupted_report_leaves_the_old_one_and_nothing_half_written(case, tmp_path, monkeypatch):
    written = [path.read_bytes() for path in write_report(case, tmp_path)]

    def stop(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(write, "draw_method", stop)
    with pytest.raises(KeyboardInterrupt):
        write_report(changed(case, claim=1.0), tmp_path)
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted(report_names(PATH))
    assert [(tmp_path / name).read_bytes() for name in report_names(PATH)] == written


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(1)",
        "a\x01b\x1f",
        "x" * 40_000,
        "_x0041_",
        "line\nline",
        "&P&8 9",
        "\u2028 \ufffe",
    ],
)
def test_whatever_a_cell_of_the_returned_file_holds_is_shown_as_text(text, tmp_path):
    case = report_case()
    entry = Entry("shots", 0, "remarks", "Shots", "T6", text, text, how=text)
    hostile = changed(
        case, path=str(tmp_path / "back.xlsx"), program=text, identity=text, entries=[*case.entries, entry],
        findings=[finding("sheet-added", sheet=text[:40], cell="A1", found=text, expected=text, matters=text)],
    )  # fmt: skip
    path, data = write_report(hostile, tmp_path / "out")
    workbook = openpyxl.load_workbook(path)
    values = [cell for worksheet in workbook.worksheets for row in worksheet.iter_rows() for cell in row]
    assert not [cell for cell in values if cell.data_type == "f"]
    assert data.stat().st_size
    for worksheet in workbook.worksheets:
        assert len(str(worksheet.oddFooter.left.text or "")) < 255


def test_a_book_in_which_nothing_was_written_has_a_report(tmp_path):
    case = report_case()
    empty = changed(
        case, path=str(tmp_path / "back.xlsx"), findings=[], entries=[], shot_rows=[], load_rows=[], day_rows=[],
        section_rows=[], book_values={}, claim=None, uncertainty=None, identity="", sha256="", program="",
    )  # fmt: skip
    workbook = openpyxl.load_workbook(write_report(empty, tmp_path)[0])
    said = [str(row[0].value) for row in workbook.worksheets[0].iter_rows()]
    clean = texts("en")["report.headline.clean"]
    assert texts("en").say("report.headline.unproven", headline=clean) in said
    assert workbook.worksheets[1].cell(5, 1).value == texts("en")["report.found.none"]


@pytest.mark.parametrize(("count", "words"), [(1, "all"), (5, "all"), (6, "rest"), (8, "rest")])
def test_the_first_page_says_how_many_findings_are_not_on_it(count, words, tmp_path):
    one = report_case().findings[0]
    several = changed(report_case(), path=str(tmp_path / "back.xlsx"), findings=[one] * count)
    first = openpyxl.load_workbook(write_report(several, tmp_path)[0]).worksheets[0]
    said = [str(row[0].value) for row in first.iter_rows()]
    assert texts("en").say(f"report.found.{words}", count=count - 5) in said


def test_both_languages_say_the_same_things_with_the_same_facts():
    spoken = {language: texts(language) for language in LANGUAGES}
    keys = {
        name: {key for key in set(say.keys()) if key.startswith("report.")} for name, say in spoken.items()
    }
    assert keys["en"] == keys["es"]
    for key in keys["en"]:
        facts = [sorted(re.findall(r"\{(\w+)\}", spoken[language][key])) for language in LANGUAGES]
        assert facts[0] == facts[1], key
        words = re.sub(r"\{\w+\}", "", spoken["en"][key])
        if len(words) > 25 and not key.endswith(".source"):
            assert spoken["en"][key] != spoken["es"][key], key


def test_a_book_without_results_is_said_to_have_none_and_not_to_differ(case, tmp_path):
    say = texts(case.order.language)
    bare = {place: value._replace(value=None) for place, value in case.book_values.items()}
    without = changed(case, book_values=bare, findings=[finding("results-not-in-file")])
    read = openpyxl.load_workbook(write_report(without, tmp_path)[0])
    shown = {key: [cell.value for row in sheet(read, case, key) for cell in row] for key in SHEETS}
    assert shown["verdict"].count(say["report.not_in_file"]) > 5
    assert say["report.none"] not in shown["verdict"] + shown["shots"] + shown["reconciliation"]
    for key in ("verdict", "shots", "loads", "reconciliation"):
        assert "≠" not in shown[key]
        assert (
            key == "reconciliation" or "=" not in shown[key]
        )  # the balance there has an equals sign of its own
