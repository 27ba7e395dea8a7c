"""Charts as they stand in the file: whatever the standard would take for yes is said, so that programs agree.

ECMA-376 part 1, 21.2: the "val" of CT_Boolean is true by default, blanks are drawn as zero, tick marks cross the axis;
what a program makes of an element that is not there at all depends on who wrote the file.
"""

from __future__ import annotations

import zipfile

import pytest
from lxml import etree

from sheetgen.book.layout import lay_out
from sheetgen.order.demo import demo_order
from sheetgen.xlsx.chart_file import with_defaults_stated
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.audit.orders import day, small

C = {"c": "http://schemas.openxmlformats.org/drawingml/2006/chart"}
SHOWN = ("showLegendKey", "showVal", "showCatName", "showSerName", "showPercent", "showBubbleSize")
# Each element and what it must say of every child named: in the files of this program, never left to the reader.
SAID = [
    ("c:chartSpace", {"roundedCorners": "0"}),
    ("c:chart", {"autoTitleDeleted": "0", "dispBlanksAs": "gap", "plotVisOnly": "1"}),
    ("//c:title | //c:legend", {"overlay": "0"}),
    ("//c:scatterChart/c:ser | //c:lineChart/c:ser", {"smooth": "0"}),
    ("//c:barChart/c:ser", {"invertIfNegative": "0"}),
    ("//c:barChart | //c:lineChart | //c:scatterChart", {"varyColors": "0"}),
    ("//c:dLbls | //c:dLbl[not(c:delete)]", dict.fromkeys(SHOWN, "0") | {"showVal": "1"}),
    ("//c:catAx | //c:valAx", {"delete": "0", "majorTickMark": "out", "minorTickMark": "none"}),
]


@pytest.fixture(scope="module")
def charts(tmp_path_factory) -> list[etree._Element]:
    order = demo_order()
    path = write_book(lay_out(order, order.machines[0]), tmp_path_factory.mktemp("charts") / "book.xlsx")
    with zipfile.ZipFile(path) as file:
        parts = sorted(name for name in file.namelist() if name.startswith("xl/charts/chart"))
        return [etree.fromstring(file.read(name)) for name in parts]


@pytest.mark.parametrize(("where", "said"), SAID, ids=[where.split(" ")[0] for where, _said in SAID])
def test_a_chart_says_what_a_reader_would_take_for_granted(charts, where, said):
    path = f"self::{where}" if where == "c:chartSpace" else where
    found = [element for chart in charts for element in chart.xpath(path, namespaces=C)]
    assert found
    for element in found:
        values = {name: [each.get("val") for each in element.findall(f"c:{name}", C)] for name in said}
        assert values == {name: [value] for name, value in said.items()}


def test_what_a_chart_says_already_stays():
    part = (
        '<c:chartSpace xmlns:c="{c}"><c:chart><c:plotArea><c:scatterChart><c:ser><c:smooth val="1"/></c:ser>'
        '</c:scatterChart></c:plotArea><c:dispBlanksAs val="span"/></c:chart></c:chartSpace>'
    ).format(**C)
    chart = etree.fromstring(with_defaults_stated(part.encode()))
    assert [each.get("val") for each in chart.iter(f"{{{C['c']}}}smooth", f"{{{C['c']}}}dispBlanksAs")] == [
        "1",
        "span",
    ]


def test_a_row_without_a_shot_draws_nothing():
    order = small()
    log = day(order)
    book = lay_out(order, order.machines[0], log)
    sheet, shown = book.sheet("charts"), results(book)
    rows = {row for table, row, _ in log if table == "shots"}
    values = {place: shown.get(("charts", *place)) for place, cell in sheet.cells.items() if cell.formula}
    first = min(row for row, _ in values)
    drawn = {row - first for (row, _), value in values.items() if value not in (None, "")}
    assert drawn == rows
    assert max(row for row, _ in values) - first > max(rows)
