"""Drawing the order workbook: sheets that a reader knows again, and formulas with the order's own macros."""

from __future__ import annotations

from sheetgen.order.fields import Field, fields, layout, offered, unit_label
from sheetgen.order.places import KEY_COLUMN, KEY_LINE, KEY_ROW, machine_key, material_key
from sheetgen.order.yard import Yard
from sheetgen.xlsx.blocks import Part, across, draw_title
from sheetgen.xlsx.drawing import Drawing
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Book, Sheet

_FORMATS = {
    "text": "General",
    "look": "General",
    "integer": "#,##0",
    "percent": "0.0#%",
    "one": "#,##0.0",
    "one_or_none": "0.##",
    "two": "#,##0.00",
    "three": "0.000",
    "factor": "0.0000#",
    "length": "#,##0.##",
    "money": "#,##0.00",
}
_WITH_THOUSANDS = ("volume", "area", "power", "distance")


class Draft(Drawing):
    """An order workbook being drawn.

    Attributes:
        language: that it is made in
        yard: what an order takes distributors and materials from; None for an order that is typed
        job_number: for the footer; empty in a blank order
    """

    yard: Yard | None = None

    def __init__(
        self, system: str, language: str, paper: str, job_number: str = "", invented: bool = False
    ) -> None:
        super().__init__(system, language, paper)
        self.macros = layout()["macros"]
        self.language, self.job_number = language, job_number
        line = f"\n{self.say['book.invented_short']}" if invented else ""
        self.footer = self.say.say("order.footer", number=job_number.replace("&", "&&"), line=line)

    @property
    def marker(self) -> str:
        """By which a reader knows the workbook and its version."""
        return str(layout()["marker"])

    def sheet(self, key: str) -> Sheet:
        """A new sheet with the marker by which a reader knows it; column A is hidden."""
        sheet = self.add(key, self.say[f"order.sheet.{key}.tab"])
        self.put(sheet, 0, 0, f"{self.marker}|{key}|{self.system}|{self.language}", "order_key")
        return sheet

    def shown(self, kind: str) -> str:
        """The number format of a kind of number, or a number format as it is."""
        if kind in _FORMATS:
            return _FORMATS[kind]
        if kind not in self.units:
            return kind
        digits = self.units[kind].decimals
        whole = "#,##0" if kind in _WITH_THOUSANDS else "0"
        return whole + ("." + "0" * digits if digits else "")

    def result(
        self, sheet: Sheet, row: int, col: int, template: str, style: str = "order_live",
        number_format: str = "General", table: str = "", index: int = 0, last: int | None = None,
    ) -> None:  # fmt: skip
        """A result shown while one types: blank where words or half an order stand behind it, never an error."""
        self.calc(sheet, row, col, _if_it_can_be(template), style, number_format, table, index, last)

    def result_part(self, first: int, last: int, template: str, kind: str) -> Part:
        """The same as a part of a line."""
        return Part(first, last, None, "order_live", self.shown(kind), _if_it_can_be(template))

    def head(self, sheet: Sheet, last_col: int, first_col: int = 1) -> None:
        """The sheet's title and note in its first two rows, and its page."""
        note = [(self.say[f"order.sheet.{sheet.key}.note"], "note")]
        draw_title(self, sheet, self.say[f"order.sheet.{sheet.key}.title"], note, last_col, first_col)
        self.put(sheet, KEY_ROW, KEY_COLUMN, KEY_LINE, "order_key")
        sheet.row_heights[KEY_ROW] = 0

    def book(self) -> Book:
        """The finished workbook, every formula written out."""
        self.write_out_formulas()
        properties = {"title": self.job_number, "subject": self.say["order.subject"]}
        return Book("", self.sheets, {}, self.tables, {}, properties)


def _if_it_can_be(template: str) -> str:
    return f'=IFERROR({template.removeprefix("=")},"")'


def sentences(draft: Draft, key: str) -> str:
    """The conditions of a sheet's checks, each followed by its sentence, joined to one text."""
    said = {
        name: draft.say.own_key(f"order.check.{key}.{name}", draft.system) for name in layout()[key]["check"]
    }
    return "&".join(
        f'IF(IFERROR({condition},FALSE),{{\'{said[name]}\'}}&" ","")'
        for name, condition in layout()[key]["check"].items()
    )


def warning_count(draft: Draft, key: str) -> str:
    """A formula that counts the conditions of a form's checks that hold."""
    counts = [f"IF(IFERROR({condition},FALSE),1,0)" for condition in layout()[key]["check"].values()]
    listed = (f'IF({of(draft, key, "{", "}")}="",0,1)' for of in (unusual, run_out))
    return "+".join([*counts, *listed])


def unusual(draft: Draft, sheet: str, before: str, after: str) -> str:
    """The labels of cells whose number is outside what is plausible there, under one sentence; else nothing.

    ``before`` and ``after`` stand around a field's name in formulas.
    """
    listed = [field for field in fields(sheet, draft.system) if field.plausible and field.kind in _NUMERIC]
    parts = "&".join(
        f'IF(ISNUMBER({cell}),IF(OR({read}<{low:g},{read}>{high:g}),"{field.label(draft.say)}; ",""),"")'
        for field in listed
        for cell, read in [_read(field, before, after)]
        for low, high in [field.plausible or (0, 0)]
    )
    return f'IF(({parts})="","",{{\'order.warning.unusual\'}}&{parts})' if parts else '""'


def not_listed(field: Field, cell: str, draft: Draft) -> str:
    """Whether a word in a cell is none of its drop-down's, as one that was pasted over it can be."""
    listed = f"|{'|'.join(offered(field.choice or 'yes_no', draft.say, draft.system))}|"
    return f'AND({cell}<>"",ISERROR(SEARCH("|"&{cell}&"|","{listed}")))'


def misread(draft: Draft, sheet: str, before: str, after: str) -> str:
    """The labels of cells whose word no list has, and of those with a number typed as text, under a sentence each.

    ``before`` and ``after`` stand around a field's name in formulas.
    """
    tests: dict[str, list[tuple[Field, str]]] = {"not_listed": [], "as_text": []}
    for field in fields(sheet, draft.system):
        cell = f"{before}{field.name}{after}"
        if field.kind in CHOICES:
            tests["not_listed"].append((field, not_listed(field, cell, draft)))
        elif field.kind in AS_NUMBERS:
            tests["as_text"].append((field, f'AND(ISTEXT({cell}),{cell}<>"")'))
    return "&".join(_labelled(draft, key, found) for key, found in tests.items() if found)


def run_out(draft: Draft, sheet: str, before: str, after: str) -> str:
    """The labels of certificates and calibrations that end before the day of the order, under one sentence.

    ``before`` and ``after`` stand around a field's name in formulas.
    """
    dated = [field for field in fields(sheet, draft.system) if field.until]
    cells = ((field, f"{before}{field.name}{after}") for field in dated)
    tests = [
        (field, f"IFERROR(AND(ISNUMBER({cell}),N({cell})<N({{job_date}})),FALSE)") for field, cell in cells
    ]
    return _labelled(draft, "run_out", tests)


def _labelled(draft: Draft, key: str, tests: list[tuple[Field, str]]) -> str:
    any_holds = ",".join(test for _field, test in tests)
    labels = "&".join(f'IF({test},"{field.label(draft.say)}; ","")' for field, test in tests)
    return f"IF(OR({any_holds}),{{'order.warning.{key}'}}&{labels},\"\")"


CHOICES = ("choice", "yes-no")
AS_NUMBERS = ("number", "integer", "percent", "tolerance", "date")  # results need them as numbers
_WARNING = {"bg_color": "#F8CBAD", "font_color": "#7F1D00", "bold": True}
_NUMERIC = ("number", "integer", "percent")


def _read(field: Field, before: str, after: str) -> tuple[str, str]:
    """The cell of a field, and how a formula reads its number: a percentage may be typed as 57 or as 0.57."""
    cell = f"{before}{field.name}{after}"
    return cell, f"<<part {cell}>>" if field.kind == "percent" else f"N({cell})"


def mark_looks(sheet: Sheet, row: int, col: int, last_row: int | None = None, letters: int = 0) -> None:
    """Colour cells with more ``letters`` than these; the words stand in them, so grey paper shows it too."""
    last = row if last_row is None else last_row
    rule = {"type": "formula", "criteria": f"=LEN({address(row, col)})>{letters}", "mark": dict(_WARNING)}
    sheet.conditional.append((row, col, last, col, rule))


def heading(draft: Draft, sheet: Sheet, row: int, group: str, last_col: int, first_col: int = 1) -> int:
    """A heading over the width of the sheet; gives the row below it."""
    return across(draft, sheet, row, last_col, draft.say[f"order.group.{group}"], "group", first_col)


def column_heads(draft: Draft, sheet: Sheet, unit: int, count: int, of: str = "distributor") -> None:
    """Name the columns behind that of the units by the number of their distributor or material, below its key."""
    key = material_key if of == "material" else machine_key
    heads = {unit - 1: None, unit: draft.say["order.column.unit"]}
    for number in range(1, count + 1):
        heads[unit + number] = draft.say.say(f"order.column.{of}", number=number)
        draft.put(sheet, KEY_ROW, unit + number, key(number), "order_key")
    heads[unit + count + 1] = draft.say["order.column.note"]
    for col, text in heads.items():
        draft.put(sheet, KEY_ROW + 1, col, text, "order_head")


def line_head(draft: Draft, field: Field, label: int, unit: int) -> list[Part]:
    """Begin a field's line: its key, its name, marked where an entry is required, and its unit, in these columns."""
    return [
        Part(KEY_COLUMN, KEY_COLUMN, field.path, "order_key"),
        Part(label, label, field.label(draft.say) + (" *" if field.required else ""), "label"),
        Part(unit, unit, unit_label(field, draft.system, draft.say) or None, "unit"),
    ]
