"""What may be declared in the templates: the columns and cells of sheets, the fields of the order, rules and checks.

The models are the documentation of the keys. :func:`check_declarations` holds every file against them; it runs when
books are built and in the tests, and costs a recheck nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from difflib import get_close_matches
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator

from sheetgen import templates
from sheetgen.columns import tables
from sheetgen.errors import TemplateError
from sheetgen.units import SYSTEMS, units

Formula = Annotated[str, Field(description="a formula template, see sheetgen/xlsx/formulas.py")]
Limit = float | dict[Literal["us", "si"], float]
Key = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]*$")]
Readings = Literal[
    "number", "count", "station", "dip", "time", "date", "kind", "section", "lane", "text", "as_it_is"
]
MEASURES = ("capacity", "full_mass", "widest", "coldest", "hottest")


class Part(BaseModel):
    """A part of a template: nothing in it that is not declared here."""

    model_config = ConfigDict(extra="forbid", strict=True)


class Read(Part):
    """How an entry is read, and what hangs on it."""

    as_: Readings = Field(alias="as", description="what it is read as")
    possible: list[float | str] = Field(
        default=[],
        description="minimum and maximum of a number, to tell 1,200 from 1.2: numbers in the order's unit, or "
        f"multiples of {', '.join(MEASURES)}, such as '1.5 capacity'",
    )
    of: str = Field(
        default="",
        description="the table whose kinds one of is picked; without it the words of its validation are",
    )
    former: str = Field(default="", description="its key in books of earlier versions, where it had another")
    ditto: bool = Field(default=False, description="'as above' can be entered")
    sign: bool = Field(default=False, description="its unit can be typed behind it")
    carried: bool = Field(default=False, description="blank in a used row means as in the row above")
    follows: str = Field(default="", description="blank in a used row can mean this entry of the row above")
    where_same: list[str] = Field(default=[], description="entries that must be as in the row above for that")
    label: bool = Field(default=False, description="a merged cell can hold it for all its rows")
    needed: bool = Field(default=False, description="a row cannot be counted without it")
    computed: bool = Field(default=False, description="a quantity is calculated from it")

    @model_validator(mode="after")
    def _a_span(self) -> Read:
        if self.possible and (self.as_ != "number" or len(self.possible) != 2):
            raise ValueError("possible: a number has a minimum and a maximum, nothing else has")
        for bound in self.possible:
            factor, _, measure = str(bound).rpartition(" ")
            if isinstance(bound, str) and (measure not in MEASURES or not re.fullmatch(r"[\d.]*", factor)):
                raise ValueError(f"possible: {bound!r} is no number and no multiple of {', '.join(MEASURES)}")
        return self


class Report(Part):
    """Where the recheck's report shows a column side by side: as typed, in the book, recomputed, difference."""

    width: float = Field(default=10, gt=0, description="of its column in the report, in characters")
    typed: list[str] = Field(
        default=[],
        description="wordings of the entries it follows from: report.typed.<table>.<key> in the texts",
    )
    after: str = Field(
        default="", description="key of the column behind which it stands; as declared where blank"
    )


class Validation(Part):
    """What an entry cell accepts. What it says is prompt.<table>.<key> in the texts."""

    kind: Literal["list", "words", "date", "time", "dip", "custom", "decimal", "whole"]
    source: str = Field(default="", description="of a list: a named range")
    words: list[str] = Field(default=[], description="of words: keys of texts")
    formula: str = Field(default="", description="of a custom one; [key] is the cell itself")
    minimum: str = Field(default="", description="a formula")
    maximum: str = Field(default="", description="a formula; none where blank")
    refuse: bool = Field(default=True, description="whether another entry is refused, or questioned")


class Item(Part):
    """What columns and single cells have in common."""

    key: Key = Field(description="its name in formulas, in the texts and in the recheck")
    format: str = Field(description="of its numbers: a key of sheetgen/book/number_formats.py")
    unit: str = Field(
        default="", description="kind of quantity of tables/units.csv; printed below the heading"
    )
    words: str = Field(default="", description="text table that a code is a key of")
    style: str = Field(default="", description="look of its cells, a key of styles.toml")
    strong: bool = Field(default=False, description="stands out")
    input: bool = Field(default=False, description="a person fills it in")
    value: str = Field(default="", description="from the order: what it is called there")
    result: bool = Field(default=False, description="of the plan: it is calculated there")
    constant: str = Field(default="", description="a number of tables/constants.csv")
    limit: str = Field(default="", description="a limit of tables/uniformity.csv")
    formula: Formula = ""
    instead: dict[str, Formula] = Field(
        default={},
        description="in its place where the order (its pay rule, a varied rate) has what each is named by",
    )
    needs: list[str] = Field(
        default=[],
        description="what the order's pay rule, or a section (varied), must have for it to be there",
    )
    read: Read | None = Field(default=None, description="how an entry is read")
    validation: Validation | None = Field(default=None, description="what an entry cell accepts")
    recomputed: bool = Field(default=False, description="the recheck calculates it again and compares it")
    not_recomputed: str = Field(default="", description="why it does not")
    report: Report | None = Field(default=None, description="where the report shows it")

    @model_validator(mode="after")
    def _fits(self) -> Item:
        if self.input != (self.read is not None):
            raise ValueError("an entry (input = true) says in 'read' how it is read; a result has neither")
        if self.input and self.formula:
            raise ValueError("an entry has no formula")
        if self.recomputed and self.not_recomputed:
            raise ValueError("it is recomputed or not: not both")
        if self.unit and self.unit != "station" and not all(_known_unit(self.unit, each) for each in SYSTEMS):
            raise ValueError(f"unit: {self.unit!r} is no kind of quantity of tables/units.csv")
        return self


class Column(Item):
    """A column of a table. Its heading is <table>.<key> in the texts."""

    width: float = Field(default=10, gt=0, description="in characters")
    formula_meter: Formula = Field(default="", description="in its place where the meter counts for pay")
    form: bool = Field(
        default=False, description="a result with a box on the paper form too: directly behind the entries"
    )
    hide_zero: bool = Field(default=False, description="a zero is not shown")
    text: bool = Field(default=False, description="of the plan: holds a text")
    span: int = Field(default=1, ge=1, description="of the plan: columns that it is merged over")


class Cell(Item):
    """A single cell. Its label is name.<key> in the texts."""

    side: Literal["", "left", "right"] = ""
    wide: bool = Field(default=False, description="merged over the unit's cell")


class Result(Item):
    """A result given for all pads and for each line of them; its cells are <key>, <key>_across, <key>_along."""

    all: Formula = ""
    across: Formula = ""
    along: Formula = ""
    limits: list[str] = Field(
        default=[], description="lines whose limit of tables/uniformity.csv stands here"
    )


class Table(Part):
    """A table and what its results have in common."""

    table: Key = Field(description="its name in formulas, in the texts and in the recheck")
    rows: int | str = Field(default=0, description="how many: a number, or a key of the order's size")
    rows_per_page: int = Field(default=0, ge=0, description="maximum on a printed page")
    rows_per_page_in_two: int = Field(default=0, ge=0, description="the same in two languages; 0: as in one")
    row_height: float = Field(default=0, ge=0, description="in points")
    begins: Key = Field(
        default="", description="of a log: key of the entry selected first; the first one if blank"
    )
    code: bool = Field(default=False, description="the printed code of the book stands at the upper right")
    strip: str = Field(
        default="",
        description="of the paper form: key of the last column below a strip of the tank chart; boxes for the page's "
        "totals stand beside it",
    )
    differs: str = Field(default="", description="finding of a result that differs from the recheck")
    cells: str = Field(default="", description="table that the single cells beside it count as")
    not_recomputed: str = Field(default="", description="why none of its results is recomputed")
    column: list[Column]
    fields: list[Cell] = []
    field: list[Cell] = []
    result: list[Result] = []


class Cells(Part):
    """A list of single cells."""

    cells: str = Field(description="table that they count as in the recheck")
    prefix: str = Field(default="", description="of their names, left out in the recheck")
    differs: str = ""
    fields: list[Cell]


class Group(Part):
    """A group of single cells below a heading."""

    key: str
    side: Literal["left", "right"]
    needs: str = Field(default="", description="of the plan: what must be there")
    given: bool = Field(default=False, description="of the order: only fields with a value are there")
    fields: list[Cell]


class Job(Part):
    """sheets/job.toml."""

    not_recomputed: str
    group: list[Group]


class Totals(Part):
    """sheets/totals.toml."""

    overall: Cells
    sections: Table
    mass: Table
    area: Table
    days: Table


class Calibration(Part):
    """sheets/calibration.toml."""

    pads: Table
    catch: Table


Needs = Annotated[
    Literal["", "monitor", "alone", "sections_of_others"],
    Field(
        description="it is there only where the distributor has a monitor, sprays a section alone, or the order gives"
        " sections to others"
    ),
]


class Helper(Part):
    """A value that several live checks of a row use."""

    key: Key
    needs: Needs = ""
    formula: Formula


class Check(Part):
    """A live check: 1 in a row where there is something to look at. Its words are check.<log>.<key> in the texts."""

    key: Key
    finds: list[str] = Field(description="the findings of the recheck that it stands for")
    at_times: list[str] = Field(
        default=[],
        description="findings that a marked row may have, and that a row without the mark may have too",
    )
    needs: Needs = ""
    pair: bool = Field(
        default=False, description="marks both rows of a pair; the finding stands at the later one"
    )
    confirm: bool = Field(
        default=False,
        description="a row that the crew confirmed, with a remark, does not show it; of no error",
    )
    of: Key = Field(default="used", description="the helper that says, by 1 or 0, in which rows it looks")
    formula: Formula


class Checks(Part):
    """The live checks of one log, in the order in which a row's first words are chosen."""

    as_above: list[Key] = Field(
        default=[],
        description="columns whose helpers say what each entry is taken for: a mark or a blank can mean the row above",
    )

    unclear: bool = Field(
        default=False, description="a helper names the entries that are there and cannot be read"
    )

    log: Key
    table: Key
    needs: Needs = ""
    helpers: list[Helper]
    checks: list[Check]


class LiveChecks(Part):
    """sheets/checks.toml."""

    shots: Checks
    loads: Checks
    days: Checks
    changes: Checks
    pages: Checks
    monitor: Checks
    gauges: Checks


class OrderField(Part):
    """A field of the order workbook. Its texts are order.field.<sheet>.<path>."""

    path: str = Field(description="its place in the order, in one distributor or in one section")
    kind: str = Field(description="how an entry is read, see sheetgen/order/fields.py")
    required: bool = False
    unit: str = ""
    unit_text: str = Field(default="", description="key of a text that stands in place of a unit")
    choice: str = Field(default="", description="key of its drop-down")
    default: Any = Field(default=None, description="what stands in a blank order; {us, si} where it differs")
    above: Limit | None = Field(default=None, description="the cell refuses what is not above")
    least: Limit | None = Field(default=None, description="the cell refuses what is below")
    most: Limit | None = Field(
        default=None, description="the cell refuses what is above; of a text its length"
    )
    plausible: Any = Field(
        default=None, description="between which numbers an entry is believed without asking"
    )
    until: bool = Field(
        default=False, description="the last day on which a certificate or a calibration holds"
    )
    suggest: str = Field(default="", description="a list offered without refusing anything else")
    width: float = 12
    added: bool = Field(
        default=False, description="older order workbooks lack its column and are blank there"
    )


class Plant(Part):
    """One entry that shows a finding in an otherwise honest log: the tests and the demonstration plant it."""

    table: Literal["shots", "loads", "days"]
    column: Key = Field(description="the entry, at which the finding must stand")
    value: float | str = Field(default="", description="what is typed; nothing where blank")
    also: list[str] = Field(default=[], description="findings that follow from it of necessity")


class Rule(Part):
    """A finding. Its words are findings.<name> and said.<name> in the texts. The live checks that stand for it name it
    in sheets/checks.toml; who else shows it follows from its file."""

    severity: Literal["error", "query", "note"] = Field(
        description="error: changes a quantity or breaks proof; query: needs an explanation; note: asks for nothing"
    )
    evidence: list[str] = Field(
        default=[],
        description="entries without which it cannot be seen, as table.column; a test leaves each out",
    )
    former: str = Field(default="", description="its name in earlier versions, where it had another")
    once: Literal["", "book", "column", "habit"] = Field(
        default="",
        description="entries that one finding is given for: all of a book, all of a column, or those of a column that"
        " are written alike",
    )
    plant: Plant | None = None


_SHEETS: dict[str, type[Part]] = {
    "job": Job,
    "totals": Totals,
    "calibration": Calibration,
    "checks": LiveChecks,
}


@cache
def check_declarations() -> None:
    """Hold every declaration against its model.

    Raises:
        TemplateError: names file, line and key of the first declaration that does not fit, and what to do.
    """
    for file, data, model in _declarations():
        check_part(file, data, model)
    for table, columns in tables().items():
        for column in columns.values():
            if column.formula and not column.recomputed and not column.not_recomputed:
                found = f"the result {column.key!r} of {table!r} is not compared by the recheck"
                raise TemplateError(
                    "sheets", 0, found, "Declare recomputed = true, or say why not in not_recomputed."
                )


def check_part(file: str, data: Any, model: type[Part], at: Sequence[str | int] = ()) -> None:
    """Hold one file, or the part of it at a path, against a model; raises TemplateError."""
    try:
        model.model_validate(data)
    except ValidationError as error:
        raise _template_error(file, model, error, at) from None


def _declarations() -> Iterator[tuple[str, Any, type[Part]]]:
    for file in sorted((templates.root() / "sheets").iterdir(), key=lambda item: item.name):
        data, name = templates.toml(f"sheets/{file.name}"), file.name.removesuffix(".toml")
        if name in _SHEETS or "table" in data:
            yield f"sheets/{file.name}", data, _SHEETS.get(name, Table)
    for file in sorted((templates.root() / "findings").iterdir(), key=lambda item: item.name):
        for name, facts in templates.toml(f"findings/{file.name}").items():
            check_part(f"findings/{file.name}", facts, Rule, (name,))
    order = templates.toml("order.toml")
    for sheet, part in order.items():
        for number, group in enumerate(part.get("group", ()) if isinstance(part, dict) else ()):
            for index, field in enumerate(group["fields"]):
                check_part("order.toml", field, OrderField, (sheet, "group", number, "fields", index))
    for index, field in enumerate(order["sections"]["fields"]):
        check_part("order.toml", field, OrderField, ("sections", "fields", index))


def _template_error(
    file: str, model: type[Part], error: ValidationError, at: Sequence[str | int]
) -> TemplateError:
    first = error.errors()[0]
    path = (*at, *first["loc"])
    line = line_of((templates.root() / file).read_text(encoding="utf-8"), path)
    if first["type"] == "extra_forbidden":
        key, allowed = str(path[-1]), _keys_at(model, first["loc"][:-1])
        near = get_close_matches(key, allowed, 1, 0.5)
        remedy = f"Write {near[0]!r}." if near else f"Known keys: {', '.join(allowed)}."
        return TemplateError(file, line, f"unknown key {key!r}", remedy)
    where = ".".join(str(each) for each in path)
    return TemplateError(
        file, line, f"{where}: {first['msg']}", "See sheetgen/declarations.py for what may stand there."
    )


def _keys_at(model: type[BaseModel], path: Sequence[str | int]) -> list[str]:
    """The keys that may stand at a path below a model."""
    models = {each.__name__: each for each in _parts(Part)}
    for part in path:
        if isinstance(part, str):
            field = next(one for name, one in model.model_fields.items() if part in (name, one.alias))
            names = re.findall(r"\w+", str(field.annotation))
            model = next(models[name] for name in names if name in models)
    return [one.alias or name for name, one in model.model_fields.items()]


def _parts(model: type[Part]) -> Iterator[type[Part]]:
    for each in model.__subclasses__():
        yield each
        yield from _parts(each)


def line_of(text: str, path: Sequence[str | int]) -> int:
    """The number of the line, from 1, at which a path of keys and indexes stands in a TOML text.

    The parser tells no lines. Where the path is not found it is the line nearest above.
    """
    lines = text.split("\n")
    low, high, header = 0, len(lines), ""
    parts = list(path)
    while parts:
        part = parts.pop(0)
        if isinstance(part, int):
            low = _item(lines, low, high, part)
            high = low + 1
            continue
        name = f"{header}.{part}" if header else part
        heads = [
            row
            for row in range(low, high)
            if lines[row].split("#")[0].strip() in (f"[{name}]", f"[[{name}]]")
        ]
        if heads:
            low, header = heads[_index(parts)], name
            high = next((row for row in range(low + 1, high) if _ends(lines[row], name)), high)
            continue
        if any(lines[row].lstrip("[").startswith(f"{name}.") for row in range(low, high)):
            header = name
            continue
        inner = [
            row for row in range(low, high) if re.search(rf"(?:^|[{{,\s]){re.escape(part)}\s*=", lines[row])
        ]
        low = inner[0] if inner else low
        if inner and parts and not isinstance(parts[0], int):
            high = low + 1
    return low + 1


def _index(parts: list[str | int]) -> int:
    """The index that follows in a path, taken off it; 0 where none does."""
    return parts.pop(0) if parts and isinstance(parts[0], int) else 0  # type: ignore[return-value]


def _item(lines: Sequence[str], low: int, high: int, number: int) -> int:
    """The row of an item of a list that has one item a row."""
    items = [row for row in range(low, high) if lines[row].lstrip().startswith("{")]
    return items[number] if number < len(items) else low


def _ends(line: str, name: str) -> bool:
    """Whether a line is a header that does not stand below another one."""
    return line.startswith("[") and not line.strip("[").startswith(f"{name}.")


def _known_unit(kind: str, system: str) -> bool:
    return kind in units(system)
