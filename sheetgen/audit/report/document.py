"""What a recheck's report says, as data: the JSON file, and what the pages of the workbook are drawn from.

The parts of it are named tuples: thousands are made of each book, and a class of them costs next to nothing at the
start. What their fields are made of is checked by the schema, in the tests.

``templates_src/recheck.schema.json`` is the JSON Schema of :class:`Document`. Its ``version`` is raised with every
change that a reader of the JSON must know of; without one, fields are only added.
"""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, ConfigDict, Field

_EXPANDED = "expanded: standard uncertainty times the coverage factor"

Value = float | str | bool | None
Severity = Literal["error", "query", "note"]
Origin = Literal["issued", "signed", "unsigned", "altered", "unknown-version"]
Row = Annotated[int, Field(ge=0, description="row of its log, from 0; the printed number is one more")]

Label = Annotated[str, Field(description="what it is called: its printed number, its date or its section")]


class Part(BaseModel):
    """Frozen, and nothing in it that is not declared."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class File(NamedTuple):
    """The returned file."""

    name: Annotated[str, Field(description="its name, without folders")]
    sha256: Annotated[
        str, Field(description="SHA-256 of its bytes, hexadecimal; empty where it was not taken")
    ]
    program: Annotated[
        str, Field(description="the program that the file says wrote it last; empty where it says nothing")
    ]


class BookFacts(NamedTuple):
    """What the book is, and in which units all numbers of it are."""

    identity: str
    template: Annotated[str, Field(description="version of the templates that it names")]
    job: str
    job_name: str
    place: str
    invented: Annotated[bool, Field(description="whether the job is a demonstration and does not exist")]
    distributor: str
    material: str
    language: str
    system: Literal["us", "si"]
    base: Annotated[str, Field(description="the base temperature, printed")]
    units: Annotated[dict[str, str], Field(description="printed unit of each kind of quantity")]
    currency: str
    unit_price: Annotated[
        float | None, Field(description="money per unit of volume; null where the order gives none")
    ]


class OriginFacts(NamedTuple):
    """What is proven of where the book comes from, and what is not."""

    status: Origin
    order_given: Annotated[bool, Field(description="compared with the office's own copy of the order")]
    public_key: Annotated[str, Field(description="that the book names, hexadecimal")]
    office_key: Annotated[str, Field(description="that was to count, hexadecimal")]
    headline: str
    proven: list[str]
    not_proven: list[str]


class Counts(Part):
    """How many findings of each severity."""

    error: int
    query: int
    note: int


class VerdictFacts(NamedTuple):
    """The verdict, in a word and in sentences."""

    severity: Literal["error", "query", "note", "clean"]
    headline: str
    sentences: list[str]
    counts: Counts
    open: Annotated[int, Field(description="errors and queries that are not decided")]
    decided: Annotated[int, Field(description="errors and queries that are decided")]
    shots: Annotated[int, Field(description="shots in the log")]
    shots_not_counted: Annotated[
        list[int], Field(description="printed numbers of shots without a volume or an area")
    ]
    shots_cannot_be_told: Annotated[
        list[int],
        Field(
            description="printed numbers of shots whose readings cannot tell whether they are in tolerance"
        ),
    ]


class Result(NamedTuple):
    """One result: as the book shows it, and as recomputed."""

    book: Value
    recomputed: Value
    difference: Annotated[float | None, Field(description="book - recomputed, where both are numbers")]
    same: Annotated[
        bool, Field(description="the same number within 1e-9 of it, the same text, or both nothing")
    ]
    uncertainty: Annotated[float | None, Field(description=_EXPANDED)]
    sheet: str
    cell: Annotated[str, Field(description="where the book shows it; empty where it shows no such result")]


class Line(NamedTuple):
    """One row of a log, or one section: its results side by side, by the keys of the book's columns."""

    row: Row
    label: Label
    results: dict[str, Result]


class ShotLine(NamedTuple):
    """One shot, with what its readings can tell."""

    row: Row
    label: Label
    results: dict[str, Result]
    judged: Annotated[
        Literal["in", "out", "cannot-be-told", ""],
        Field(
            description="in or out of tolerance with the expanded uncertainty; empty where it is not judged"
        ),
    ]
    allowed: Annotated[float | None, Field(description="allowed deviation, as a part of the ordered rate")]
    budget: Annotated[
        dict[str, float], Field(description="relative standard uncertainty of the rate by what it comes from")
    ]


AnyLine = Line | ShotLine


class Money(NamedTuple):
    """A difference in volume, and what it is worth."""

    volume: float
    money: Annotated[float | None, Field(description="null where the order gives no unit price")]


class Reason(NamedTuple):
    """What puts a part of the payable quantity in question."""

    name: Annotated[str, Field(description="of the findings")]
    title: str
    findings: Annotated[int, Field(description="how many of that name")]
    amount: Money


class Payable(NamedTuple):
    """The payable quantity in three figures: in question counts no material twice, however many findings it has."""

    recomputed: Money
    undisputed: Annotated[Money, Field(description="recomputed - struck - in_question")]
    in_question: Annotated[Money, Field(description="what hangs on findings that are not decided")]
    struck: Annotated[Money, Field(description="not payable, by what was decided on findings")]
    reasons: Annotated[
        list[Reason], Field(description="at most three, the largest first; their amounts may overlap")
    ]


class Claim(NamedTuple):
    """A claimed payable quantity."""

    claimed: float
    recomputed: float | None
    difference: Annotated[Money | None, Field(description="claimed - recomputed")]


class FindingLine(NamedTuple):
    """One thing to act on."""

    number: Annotated[int, Field(description="from 1: gravest first, within a severity by what is at stake")]
    name: str
    severity: Severity
    title: str
    sheet: str
    cell: str
    found: str
    expected: str
    matters: str
    why: str
    remedy: str
    row: Annotated[int | None, Field(description="row of the log it is about, from 0")]
    at_stake: Annotated[
        float | None,
        Field(
            description="how much of the payable quantity hangs on it at most, undiluted: what is calculated from the "
            "entry it asks about, or the difference itself; null where no quantity depends on it, where that "
            "cannot be said, and for a note"
        ),
    ]
    below_material: Annotated[
        bool,
        Field(
            description="less is at stake than the threshold of materiality; listed apart, behind the others"
        ),
    ] = False
    acknowledged: Annotated[
        str,
        Field(
            description="the crew's remark, where the crew looked at what is queried and confirmed it; empty elsewhere"
        ),
    ] = ""


class DecisionLine(NamedTuple):
    """What was decided on a finding, or is to be decided."""

    number: Annotated[int | None, Field(description="of the finding; null where it is no longer there")]
    name: Annotated[str, Field(description="of the finding")]
    sheet: str
    cell: str
    found: str
    decision: Annotated[
        str,
        Field(description="accepted, corrected, struck; empty while open, or another word that was typed"),
    ]
    value: Annotated[
        float | None, Field(description="of a correction: what is payable of the volume at stake")
    ]
    initials: str
    date: str
    remark: str


class EntryLine(NamedTuple):
    """One entry: as typed, and as read."""

    table: Annotated[
        str,
        Field(description="shots, loads, days, changes, monitor, gauges, pages, or empty for a single field"),
    ]
    row: Row
    column: str
    sheet: str
    cell: str
    raw: Annotated[Value, Field(description="as the file has it")]
    value: Annotated[
        Value,
        Field(description="as read: a number in the order's unit, a serial day, a part of a day, a text"),
    ]
    how: str
    trouble: Annotated[
        str, Field(description="name of the finding where it could not be read, or only with doubt")
    ]


class Document(NamedTuple):
    """The whole report on one returned book."""

    program: Annotated[str, Field(description="name and version of the program that rechecked")]
    date: Annotated[str | None, Field(description="the day of the recheck, ISO 8601, where one was given")]
    coverage: Annotated[
        float, Field(description="coverage factor of every expanded uncertainty (JCGM 100:2008, 6.3.3)")
    ]
    file: File
    book: BookFacts
    origin: OriginFacts
    verdict: VerdictFacts
    material: Annotated[
        Money | None, Field(description="the threshold of materiality; null where none was given")
    ]
    totals: dict[str, Result]
    worth: Annotated[
        dict[str, Money], Field(description="book - recomputed of the payable quantity, and the deduction")
    ]
    payable: Annotated[Payable | None, Field(description="null where none can be computed")]
    claim: Claim | None
    findings: list[FindingLine]
    decisions: Annotated[
        list[DecisionLine],
        Field(description="one for each error and query, then those on findings that are no longer there"),
    ]
    shots: list[ShotLine]
    loads: list[Line]
    days: list[Line]
    sections: list[Line]
    entries: list[EntryLine]
    changes: Annotated[
        list[Line], Field(description="changes on the road, with the shots that each holds for")
    ]
    monitor: Annotated[
        list[Line], Field(description="sessions of the monitor against stick, meter and stations")
    ]
    gauges: Annotated[list[Line], Field(description="checks of distance wheel and meter")]
    format: Literal["sheetgen recheck"] = "sheetgen recheck"
    version: Literal[1] = 1
