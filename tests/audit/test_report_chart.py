"""The chart of deviations as it is drawn: what its lines and dots mean, and that it can be read in black and white."""

from __future__ import annotations

import zipfile

import openpyxl
import pytest
from lxml import etree

from sheetgen.audit.report import write_report
from sheetgen.audit.report.contents import contents
from sheetgen.templates import texts
from tests.audit.report_case import changed, report_case

# ECMA-376 part 1, 21.2 and 20.1.
AT = {
    "c": "http://schemas.openxmlformats.org/drawingml/2006/chart",
    "a": "http://schemas.openxmlformats.org/drawingml/2006/main",
}
FIRST = 5  # line of the table, as printed


@pytest.fixture(scope="module", params=[("us", "en"), ("si", "es")], ids="-".join)
def drawn(request, tmp_path_factory):
    case = report_case(*request.param)
    path = write_report(case, tmp_path_factory.mktemp("chart"))[0]
    with zipfile.ZipFile(path) as parts:
        chart = etree.fromstring(parts.read("xl/charts/chart1.xml"))
    say = texts(request.param[1])
    return case, say, chart, openpyxl.load_workbook(path)[say["report.sheet.charts"]]


def at(element, path):
    return [str(each) for each in element.xpath(path, namespaces=AT)]


def test_three_series_stand_over_the_shots_by_their_numbers(drawn):
    case, say, chart, _ = drawn
    shots = [
        each for each in contents(case).shots if each.results["verdict"].recomputed in ("in", "high", "low")
    ]
    last = FIRST + len(shots) - 1
    tab = say["report.sheet.charts"]
    for series, key, column in zip(
        chart.iterfind(".//c:ser", AT), ("deviation", "high", "low"), "BDE", strict=True
    ):
        assert at(series, "c:tx/c:v/text()") == [say[f"report.charts.{key}"]]
        assert at(series, "c:cat//c:f/text()") == [f"'{tab}'!$A${FIRST}:$A${last}"]
        assert at(series, "c:val//c:f/text()") == [f"'{tab}'!${column}${FIRST}:${column}${last}"]
    titles = at(chart, "//c:title//a:t/text()")
    assert titles == [say["report.charts.chart"], say["report.charts.shot"]]


def test_shots_are_black_dots_without_a_line_and_their_reach_is_a_bar(drawn):
    _, say, chart, sheet = drawn
    series = chart.find(".//c:ser", AT)
    last = FIRST + sum(1 for row in range(FIRST, 60) if sheet.cell(row, 1).value is not None) - 1
    reach = f"'{say['report.sheet.charts']}'!$C${FIRST}:$C${last}"
    assert len(series.xpath("c:spPr/a:ln/a:noFill", namespaces=AT)) == 1
    assert at(series, "c:marker/c:symbol/@val") == ["circle"]
    assert at(series, "c:marker/c:spPr/a:solidFill/a:srgbClr/@val") == ["000000"]
    assert at(series, "c:marker/c:spPr/a:ln/a:solidFill/a:srgbClr/@val") == ["000000"]
    bars = series.find("c:errBars", AT)
    assert [at(bars, f"c:{part}/@val") for part in ("errDir", "errBarType", "errValType")] == [
        ["y"],
        ["both"],
        ["cust"],
    ]
    assert [at(bars, f"c:{part}//c:f/text()") for part in ("plus", "minus")] == [[reach], [reach]]
    assert at(bars, "c:spPr/a:ln/a:solidFill/a:srgbClr/@val") == ["000000"]


def test_the_tolerance_above_and_below_is_told_apart_without_colours(drawn):
    _, _, chart, _ = drawn
    _, above, below = chart.iterfind(".//c:ser", AT)
    assert [at(each, "c:spPr/a:ln/a:prstDash/@val") for each in (above, below)] == [["dash"], ["sysDot"]]
    for each in (above, below):
        assert at(each, "c:marker/c:symbol/@val") == ["none"]
        assert at(each, "c:spPr/a:ln/a:solidFill/a:srgbClr/@val") != []


def test_the_picture_ends_at_thrice_the_tolerance_and_a_dot_beyond_has_an_arrow(drawn):
    case, _, chart, sheet = drawn
    shots = [
        each for each in contents(case).shots if each.results["verdict"].recomputed in ("in", "high", "low")
    ]
    edge = float(at(chart, "//c:valAx/c:scaling/c:max/@val")[0])
    assert at(chart, "//c:valAx/c:scaling/c:min/@val") == [f"-{edge:g}"]
    widest = max(each.allowed for each in shots)
    assert 3 * widest - 1e-9 <= edge < 3 * widest + 0.1
    beyond = 0
    for row, shot in enumerate(shots, FIRST):
        deviation = shot.results["deviation"].recomputed
        line = [sheet.cell(row, column).value for column in range(1, 7)]
        assert line[0] == shot.row + 1
        assert line[1] == pytest.approx(deviation, abs=1e-12)
        assert line[2] == pytest.approx(shot.results["deviation"].uncertainty, rel=1e-9)
        assert (line[3], line[4]) == (pytest.approx(shot.allowed), pytest.approx(-shot.allowed))
        arrow = "↑" if deviation > edge else "↓" if deviation < -edge else ""
        assert [sign for sign in "↑↓" if sign in line[5]] == list(arrow)
        beyond += bool(arrow)
    assert beyond >= 1


def test_without_a_shot_that_can_be_judged_there_is_a_sentence_and_no_picture(tmp_path):
    case = report_case()
    none = changed(case, shot_rows=[row | {"verdict": None, "deviation": None} for row in case.shot_rows])
    path = write_report(none, tmp_path)[0]
    with zipfile.ZipFile(path) as parts:
        assert not [name for name in parts.namelist() if "chart" in name]
    sheet = openpyxl.load_workbook(path)[texts("en")["report.sheet.charts"]]
    assert texts("en")["report.charts.none"] in [cell.value for row in sheet.iter_rows() for cell in row]
