"""Frauds in the file itself: the entries are honest, and something else in the book was changed by other means than
typing. What is payable stays what the entries make of it; a reader of the screen or of paper would be told otherwise.

A case changes the parts of a field book's file (ECMA-376: a zip archive of XML) by a size: a part of a value, or a
number of cells or lines.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple
from zipfile import ZIP_DEFLATED, ZipFile

import sheetgen
from sheetgen.audit.compute.pay import quantity_paid
from sheetgen.book.build import write_filled
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.model import Book, Cell
from tests.simulated.days import honest
from tests.simulated.jobs import JOBS

KINDS = ("tack", "prime in liters", "chip seal")
_PARTS = (0.01, 0.03, 0.10)
_ONCE = (1.0,)
_BOX = (
    "<xdr:twoCellAnchor><xdr:from><xdr:col>1</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>4</xdr:row><xdr:rowOff>0"
    "</xdr:rowOff></xdr:from><xdr:sp><xdr:txBody><a:p><a:r><a:t>Pay in full</a:t></a:r></a:p></xdr:txBody></xdr:sp>"
    "<xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>"
)
_RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"


class Forged:
    """The parts of a book's file in the hands of one who changes them."""

    def __init__(self, parts: dict[str, bytes], issued: Book) -> None:
        self.parts, self.issued = dict(parts), issued
        shown = re.findall(r'<sheet name="([^"]+)"', parts["xl/workbook.xml"].decode())
        self._numbers = {each.key: shown.index(each.name) + 1 for each in issued.sheets}

    def part(self, sheet: str) -> str:
        return f"xl/worksheets/sheet{self._numbers[sheet]}.xml"

    def edit(self, part: str, pattern: str, new: str | Callable[[re.Match[str]], str], most: int = 1) -> None:
        """Put something else in the place of a pattern."""
        changed, count = re.subn(pattern, new, self.parts[part].decode(), count=most, flags=re.DOTALL)
        assert count, f"{part} has no {pattern}"
        self.parts[part] = changed.encode()

    def payable(self) -> tuple[str, str]:
        key, row, column = self.issued.fields["total_payable"]
        return key, a1(row, column)

    def result(self, column: str, row: int = 0) -> tuple[str, str]:
        place = self.issued.tables["shots"]
        key = next(sheet.key for sheet in self.issued.sheets if sheet.name == place.sheet)
        return key, a1(place.first_row + row, place.columns[column])

    def cell(self, at: tuple[str, str], new: Callable[[re.Match[str]], str]) -> None:
        """Write a formula cell anew; of its match the style, the formula and the result are the first three groups."""
        self.edit(
            self.part(at[0]), rf'<c r="{at[1]}"( s="\d+")(?: t="str")?><f>([^<]*)</f><v>([^<]*)</v></c>', new
        )

    def constants(self, sheet: str) -> list[tuple[tuple[int, int], Cell]]:
        """Locked numbers of a sheet that are no formula's."""
        cells = self.issued.sheet(sheet).cells.items()
        return [each for each in cells if isinstance(each[1].value, float) and each[1].locked]


Edit = Callable[[Forged, float], None]


class FileCase(NamedTuple):
    """One fraud in a file: what is done, in words; from small to large; how."""

    name: str
    sizes: tuple[float, ...]
    edit: Edit


@cache
def _book(kind: str) -> tuple[dict[str, bytes], Book, frozenset[tuple[str, str]], float]:
    """The parts of an honest book's file, the book as issued, what is found in it, and what is payable."""
    order = JOBS[kind].order
    with TemporaryDirectory() as folder:
        path = Path(folder) / "honest.xlsx"
        write_filled(order, order.machines[0], honest(JOBS[kind], 1), path)
        with ZipFile(path) as archive:
            parts = {name: archive.read(name) for name in archive.namelist()}
        return parts, lay_out(order, order.machines[0]), *_rechecked(path)


def _rechecked(path: Path) -> tuple[frozenset[tuple[str, str]], float]:
    recheck = sheetgen.recheck(path)
    assert recheck.totals is not None
    asked = frozenset((each.name, each.place) for each in recheck.findings if each.severity != "note")
    return asked, quantity_paid(recheck.totals.overall, recheck.order) or 0.0


class FileTry(NamedTuple):
    """One case at one size in one book.

    Attributes:
        gain: by which part of the honest payable the payable changed
        found: names of the errors and queries that it brought
    """

    case: FileCase
    size: float
    gain: float
    found: frozenset[str]


def tried(case: FileCase, size: float, kind: str) -> FileTry:
    """What a case does to a book."""
    parts, issued, before, due = _book(kind)
    forged = Forged(parts, issued)
    case.edit(forged, size)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "forged.xlsx"
        with ZipFile(path, "w", ZIP_DEFLATED) as archive:
            for name, data in forged.parts.items():
                archive.writestr(name, data)
        after, paid = _rechecked(path)
    return FileTry(case, size, paid / due - 1, frozenset(name for name, _ in after - before))


# What cells show, and their formulas


def _times(size: float, text: str) -> str:
    return f"{float(text) * (1 + size):.10g}"


def _shown(at: Callable[[Forged], tuple[str, str]], more: bool = False) -> Edit:
    def edit(forged: Forged, size: float) -> None:
        forged.cell(
            at(forged), lambda old: old[0].replace(f"<v>{old[3]}</v>", f"<v>{_times(size, old[3])}</v>")
        )

    return edit


def _all_volumes(forged: Forged, size: float) -> None:
    for row in range(len({row for table, row, _ in honest(JOBS["tack"], 1) if table == "shots"})):
        try:
            _shown(lambda it, row=row: it.result("base", row))(forged, size)  # type: ignore[misc]
        except (AssertionError, ValueError):
            return  # rows that no shot stands in


def _words(forged: Forged, size: float) -> None:
    """The line of checks says what it does not give."""
    forged.cell(
        ("checks", "A3"), lambda old: old[0].replace(f"<v>{old[3]}</v>", "<v>Approved for payment</v>")
    )


def _value(at: Callable[[Forged], tuple[str, str]]) -> Edit:
    def edit(forged: Forged, size: float) -> None:
        address = at(forged)
        forged.cell(address, lambda old: f'<c r="{address[1]}"{old[1]}><v>{_times(size, old[3])}</v></c>')

    return edit


def _formula(at: Callable[[Forged], tuple[str, str]]) -> Edit:
    """The formula multiplied, and its result."""

    def edit(forged: Forged, size: float) -> None:
        address = at(forged)
        forged.cell(
            address,
            lambda old: (
                f'<c r="{address[1]}"{old[1]}><f>({old[2]})*{1 + size:g}</f><v>{_times(size, old[3])}</v></c>'
            ),
        )

    return edit


def _removed(forged: Forged, size: float) -> None:
    key, address = forged.result("base")
    forged.cell((key, address), lambda old: f'<c r="{address}"{old[1]}/>')


def _constant(sheet: str) -> Edit:
    """Locked numbers of a sheet raised: all that are above 1, or ten of them."""

    def edit(forged: Forged, size: float) -> None:
        large = [(at, cell) for at, cell in forged.constants(sheet) if float(cell.value or 0) > 1][:10]
        for at, _cell in large:
            forged.edit(
                forged.part(sheet), rf'(<c r="{a1(*at)}"[^>]*><v>)([^<]*)',
                lambda old: old[1] + _times(size, old[2]),
            )  # fmt: skip

    return edit


# What is kept from being seen


def _row(look: str) -> Edit:
    def edit(forged: Forged, size: float) -> None:
        place = forged.issued.tables["shots"]
        for row in range(int(size)):
            forged.edit(
                forged.part(forged.result("base")[0]), rf'<row r="{place.first_row + 1 + row}"[^>]*>',
                f'<row r="{place.first_row + 1 + row}" {look}>',
            )  # fmt: skip

    return edit


def _columns(look: str) -> Edit:
    def edit(forged: Forged, size: float) -> None:
        forged.edit(forged.part("totals"), r"<col [^>]*/>", f'<col min="1" max="6" {look}/>')

    return edit


def _sheet_hidden(forged: Forged, size: float) -> None:
    name = forged.issued.sheet("checks").name
    forged.edit("xl/workbook.xml", f'<sheet name="{name}"', f'<sheet name="{name}" state="hidden"')


def _format(code: str) -> Edit:
    """The payable total in a number format of its own."""

    def edit(forged: Forged, size: float) -> None:
        styles = "xl/styles.xml"
        inside = re.search(r"<cellXfs[^>]*>(.*?)</cellXfs>", forged.parts[styles].decode(), re.DOTALL)
        assert inside is not None
        looks = re.findall(r"<xf [^>]*/>|<xf [^>]*[^/]>.*?</xf>", inside[1], re.DOTALL)
        own: list[int] = []

        def restyled(old: re.Match[str]) -> str:
            own.append(int(re.sub(r"\D", "", old[1])))
            return old[0].replace(old[1], f' s="{len(looks)}"', 1)

        forged.cell(forged.payable(), restyled)
        new = re.sub(r'numFmtId="\d+"', 'numFmtId="299" applyNumberFormat="1"', looks[own[0]], count=1)
        new = re.sub(r'( applyNumberFormat="1")(.*?) applyNumberFormat="1"', r"\1\2", new, count=1)
        forged.edit(styles, "</cellXfs>", f"{new}</cellXfs>")
        forged.edit(styles, "</numFmts>", f'<numFmt numFmtId="299" formatCode="{code}"/></numFmts>')

    return edit


# What lies around the cells


def _comment(forged: Forged, size: float) -> None:
    """A remark at the payable total."""
    sheet, address = forged.payable()
    space = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    forged.parts["xl/comments1.xml"] = (
        f"<comments {space}><authors><author>office</author></authors><commentList>"
        f'<comment ref="{address}" authorId="0"><text><t>Approved: pay this</t></text></comment>'
        "</commentList></comments>"
    ).encode()
    folder, name = forged.part(sheet).rsplit("/", 1)
    forged.parts[f"{folder}/_rels/{name}.rels"] = (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        f'<Relationship Id="rId1" Type="{_RELATIONS}/comments" Target="../comments1.xml"/></Relationships>'
    ).encode()
    forged.edit(
        "[Content_Types].xml", "</Types>",
        '<Override PartName="/xl/comments1.xml" ContentType="application/vnd.openxmlformats-officedocument.'
        'spreadsheetml.comments+xml"/></Types>',
    )  # fmt: skip


def _charts(forged: Forged) -> list[str]:
    return sorted(part for part in forged.parts if "/charts/chart" in part)


def _line_lost(forged: Forged, size: float) -> None:
    for part in _charts(forged)[: int(size)]:
        forged.edit(part, r"<c:ser>(?:(?!</c:ser>).)*</c:ser>", "")


def _line_moved(forged: Forged, size: float) -> None:
    """A chart's line drawn of one column further right."""
    first = _charts(forged)[0]
    forged.edit(first, r"(!\$)P(\$\d+:\$)P(\$\d+</c:f>)", r"\1Q\2Q\3")


def _chart_title(forged: Forged, size: float) -> None:
    forged.edit(_charts(forged)[0], r"<a:t>[^<]*</a:t>", "<a:t>All within limits</a:t>")


def _in_part(part: Callable[[Forged], str], pattern: str, new: str, most: int = 1) -> Edit:
    return lambda forged, _size: forged.edit(part(forged), pattern, new, most)


def _of(sheet: str) -> Callable[[Forged], str]:
    return lambda forged: forged.part(sheet)


def _named(part: str) -> Callable[[Forged], str]:
    return lambda _forged: part


def _cases() -> Iterator[tuple[str, tuple[float, ...], Edit]]:
    base = Forged.result
    yield "the payable total shows more than its formula gives", _PARTS, _shown(Forged.payable)
    yield (
        "the volume of a shot shows more than its formula gives",
        _PARTS,
        _shown(lambda it: base(it, "base")),
    )
    yield "the volumes of all shots show more than their formulas give", _PARTS, _all_volumes
    yield "the line of checks shows other words", _ONCE, _words
    yield "the payable total typed over its formula", _PARTS, _value(Forged.payable)
    yield "the volume of a shot typed over its formula", _PARTS, _value(lambda it: base(it, "base"))
    yield "the formula of the payable total multiplied", _PARTS, _formula(Forged.payable)
    yield "the formula of a shot's volume multiplied", _PARTS, _formula(lambda it: base(it, "base"))
    yield "the formula of a shot's volume taken out", _ONCE, _removed
    yield "numbers of the tank chart raised", _PARTS, _constant("tank")
    yield "numbers of the order raised", _PARTS, _constant("job")
    yield "rows of the shot log hidden", (1.0, 3.0), _row('hidden="1"')
    yield (
        "rows of the shot log too low to be read (half a point)",
        (1.0, 3.0),
        _row('ht="0.5" customHeight="1"'),
    )
    yield "columns of the totals hidden", _ONCE, _columns('width="10" hidden="1"')
    yield "columns of the totals too narrow to be read", _ONCE, _columns('width="0.1" customWidth="1"')
    yield "the sheet of checks hidden", _ONCE, _sheet_hidden
    yield "the payable total shown by a format as nothing", _ONCE, _format(";;;")
    yield "the payable total shown by a format as another number", _ONCE, _format("&quot;9&quot;0")
    yield "a comment that says what to pay", _ONCE, _comment
    yield "a chart's line taken out (charts)", (1.0, 3.0), _line_lost
    yield "a chart's line drawn of other cells", _ONCE, _line_moved
    yield "another title over a chart", _ONCE, _chart_title
    yield (
        "a box of text laid over a sheet", _ONCE,
        _in_part(_named("xl/drawings/drawing1.xml"), "</xdr:wsDr>", _BOX),
    )  # fmt: skip
    yield "the picture of a code exchanged", _ONCE, _pictures
    yield (
        "another text at the foot of the totals", _ONCE,
        _in_part(_of("totals"), "<oddFooter>.*?</oddFooter>", "<oddFooter>Approved</oddFooter>"),
    )  # fmt: skip
    yield (
        "the checks of what is typed taken out", _ONCE,
        _in_part(_of("shots"), "<dataValidations.*?</dataValidations>", ""),
    )  # fmt: skip
    yield (
        "the colors that warn taken out",
        _ONCE,
        _in_part(_of("rates"), "<conditionalFormatting.*?</conditionalFormatting>", "", 0),
    )
    yield "the lock of a sheet taken off", _ONCE, _in_part(_of("totals"), "<sheetProtection[^>]*/>", "")
    yield (
        "a link that leads elsewhere",
        _ONCE,
        _in_part(_of("start"), r'(<hyperlink [^>]*location=")[^"]*"', r'\1Totals!A1"'),
    )
    yield (
        "the name of a limit given to another cell",
        _ONCE,
        _in_part(
            _named("xl/workbook.xml"),
            r"(<definedName name="
            r'"unexplained_limit">[^<]*\$)\d+',
            r"\g<1>29",
        ),
    )
    yield (
        "calculated as displayed",
        _ONCE,
        _in_part(_named("xl/workbook.xml"), "<calcPr ", '<calcPr fullPrecision="0" '),
    )


def _pictures(forged: Forged, size: float) -> None:
    first, second, *_ = sorted(part for part in forged.parts if "/media/" in part)
    forged.parts[first], forged.parts[second] = forged.parts[second], forged.parts[first]


FILE_CASES = [FileCase(*each) for each in _cases()]
