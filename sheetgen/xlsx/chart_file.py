"""Charts that say what they mean where the standard's default is another.

XlsxWriter leaves out whatever one version of one program takes for no (smoothed lines, keys beside labels, a corner
that is round, an axis that is not drawn); the standard's default for these is yes (ECMA-376 part 1, 21.2, "val" of
CT_Boolean), for blanks "zero" and for tick marks "cross", and programs follow it in the files of everybody else.
"""

from __future__ import annotations

from typing import NamedTuple, cast

from lxml import etree

_C = "{http://schemas.openxmlformats.org/drawingml/2006/chart}"
_SHOWN = ("showLegendKey", "showVal", "showCatName", "showSerName", "showPercent", "showBubbleSize")
_AFTER_SHOWN = ("separator", "showLeaderLines", "leaderLines", "extLst")
_LOOK = ("spPr", "txPr", "extLst")
_TICKS = ("majorTickMark", "minorTickMark")
_AFTER_TICKS = ("tickLblPos", "spPr", "txPr", "crossAx")


class _Stated(NamedTuple):
    """What an element says of itself where XlsxWriter does not, and what comes after it in the standard's sequence."""

    parents: tuple[str, ...]
    child: str
    value: str
    followers: tuple[str, ...]


_STATED = (
    _Stated(("chartSpace",), "roundedCorners", "0", ("AlternateContent", "style", "clrMapOvr", "protection", "chart")),
    _Stated(("chart",), "autoTitleDeleted", "0", ("plotArea",)),
    _Stated(("chart",), "dispBlanksAs", "gap", ("extLst",)),
    _Stated(("title", "legend"), "overlay", "0", _LOOK),
    _Stated(("barChart", "lineChart", "scatterChart"), "varyColors", "0", ("ser", "marker", "axId")),
    _Stated(
        ("barChart/ser",), "invertIfNegative", "0",
        ("pictureOptions", "dPt", "dLbls", "trendline", "errBars", "cat", "val", "extLst"),
    ),
    _Stated(("barChart/ser/dPt",), "invertIfNegative", "0", ("marker", "bubble3D", "explosion", *_LOOK)),
    _Stated(("dPt",), "bubble3D", "0", ("explosion", *_LOOK)),
    _Stated(("lineChart/ser", "scatterChart/ser"), "smooth", "0", ("extLst",)),
    *(
        _Stated(("dLbls", "dLbl"), shown, "0", (*_SHOWN[place + 1 :], *_AFTER_SHOWN))
        for place, shown in enumerate(_SHOWN)
    ),
    _Stated(("catAx", "valAx"), "delete", "0", ("axPos",)),
    *(
        _Stated(("catAx", "valAx"), mark, value, (*_TICKS[place + 1 :], *_AFTER_TICKS))
        for place, (mark, value) in enumerate(zip(_TICKS, ("out", "none"), strict=True))
    ),
)  # fmt: skip


def with_defaults_stated(part: bytes) -> bytes:
    """The part of one chart (ECMA-376 part 1, 21.2), completed: what was said already stays as it is."""
    chart = etree.fromstring(part)
    for stated in _STATED:
        for parent in stated.parents:
            path = "descendant-or-self::" + "/".join(f"c:{name}" for name in parent.split("/"))
            found = chart.xpath(path, namespaces={"c": _C.strip("{}")})
            for element in cast("list[etree._Element]", found):
                _state(element, stated)
    return etree.tostring(chart, encoding="UTF-8", standalone=True, xml_declaration=True)


def _state(element: etree._Element, stated: _Stated) -> None:
    children = [etree.QName(child).localname for child in element]
    a_label_taken_away = element.tag == f"{_C}dLbl" and "delete" in children
    if stated.child in children or a_label_taken_away:
        return
    place = next((index for index, name in enumerate(children) if name in stated.followers), len(children))
    element.insert(place, etree.Element(f"{_C}{stated.child}", val=stated.value))
