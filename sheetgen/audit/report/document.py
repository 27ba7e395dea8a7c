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
NameOfFinding = Annotated[str, Field(description="as sheetgen explain takes it")]
SheetOfFinding = Annotated[str, Field(description="of the book; empty for a finding about the whole")]
SeverityOfFinding = Annotated[
    Severity,
    Field(
        description="error changes a quantity or breaks proof, query needs an explanation, note asks for nothing"
    ),
]
Origin = Literal["issued", "signed", "unsigned", "altered", "unknown-version"]
Row = Annotated[int, Field(ge=1, description="row of its log as printed, from 1")]

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

    identity: Annotated[
        str, Field(description="of the issued book, as printed in it; empty where the file has none")
    ]
    template: Annotated[str, Field(description="version of the templates that it names")]
    job: Annotated[str, Field(description="number of the job")]
    job_name: Annotated[str, Field(description="name of the job")]
    place: Annotated[str, Field(description="where the job is, as ordered")]
    invented: Annotated[bool, Field(description="whether the job is a demonstration and does not exist")]
    distributor: Annotated[str, Field(description="name of the distributor that the book is for")]
    material: Annotated[str, Field(description="grade of the material")]
    language: Annotated[str, Field(description="of the order and the book, as its folder of texts is named")]
    units: Annotated[Literal["us", "si"], Field(description="unit system of the order and the book")]
    base_temperature: Annotated[
        str, Field(description="that corrected volumes are at, as printed, such as 60 °F")
    ]
    unit_of: Annotated[dict[str, str], Field(description="printed unit of each kind of quantity")]
    currency: Annotated[str, Field(description="of all money; empty where the order names none")]
    unit_price: Annotated[
        float | None, Field(description="money per unit of pay; null where the order gives none")
    ]
    pay_unit: Annotated[str, Field(description="unit of what is paid, as printed")]
    paid_by: Annotated[
        Literal["volume", "mass", "mass-by-ticket", "area"], Field(description="what the order pays by")
    ]


class OriginFacts(NamedTuple):
    """What is proven of where the book comes from, and what is not."""

    status: Annotated[
        Origin,
        Field(
            description="issued and signed by the office; signed by the key that the book names; unsigned; altered; "
            "of a version of the templates that is not known. A summary has it as origin"
        ),
    ]
    order_given: Annotated[bool, Field(description="compared with the office's own copy of the order")]
    public_key: Annotated[str, Field(description="that the book names, hexadecimal")]
    office_key: Annotated[str, Field(description="that was to count, hexadecimal")]
    headline: Annotated[str, Field(description="the status in a sentence")]
    proven: Annotated[list[str], Field(description="what is proven, in sentences")]
    not_proven: Annotated[list[str], Field(description="what is not proven, in sentences")]


class Counts(Part):
    """How many findings of each severity."""

    error: int = Field(description="findings that change a quantity or break proof")
    query: int = Field(description="findings that need an explanation")
    note: int = Field(description="findings that ask for nothing")


class ConclusionFacts(NamedTuple):
    """The conclusion, in a word and in sentences."""

    severity: Annotated[
        Literal["error", "query", "note", "clean"],
        Field(description="the highest severity found, or clean. A summary has it as conclusion"),
    ]
    headline: Annotated[str, Field(description="the conclusion in a few words")]
    sentences: Annotated[list[str], Field(description="what follows from it, with quantities and money")]
    counts: Annotated[Counts, Field(description="how many findings of each severity")]
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

    book: Annotated[Value, Field(description="what the book shows; null where the file holds no result")]
    recomputed: Annotated[
        Value, Field(description="what the recheck calculates from the entries; null where it cannot")
    ]
    difference: Annotated[float | None, Field(description="book - recomputed, where both are numbers")]
    same: Annotated[
        bool, Field(description="the same number within 1e-9 of it, the same text, or both nothing")
    ]
    uncertainty: Annotated[float | None, Field(description=_EXPANDED)]
    sheet: Annotated[str, Field(description="where the book shows it; empty where it shows no such result")]
    cell: Annotated[str, Field(description="where the book shows it; empty where it shows no such result")]


class Line(NamedTuple):
    """One row of a log, or one section: its results side by side, by the keys of the book's columns."""

    row: Row
    label: Label
    results: Annotated[
        dict[str, Result],
        Field(
            description="by name, see the list of names; volumes, rates and areas in the units of the book"
        ),
    ]


class ShotLine(NamedTuple):
    """One shot, with what its readings can tell."""

    row: Row
    label: Label
    results: Annotated[
        dict[str, Result],
        Field(
            description="by name, see the list of names; volumes, rates and areas in the units of the book"
        ),
    ]
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

    volume: Annotated[float, Field(description="undiluted, in the unit of volume of the book")]
    money: Annotated[float | None, Field(description="null where the order gives no unit price")]
    quantity: Annotated[
        float | None,
        Field(description="in the unit of pay, where what is payable is told; null elsewhere"),
    ] = None


class Reason(NamedTuple):
    """What puts a part of the payable quantity in question."""

    name: Annotated[str, Field(description="of the findings")]
    title: Annotated[str, Field(description="in words")]
    findings: Annotated[int, Field(description="how many of that name")]
    amount: Annotated[Money, Field(description="how much they put in question")]


class Payable(NamedTuple):
    """The payable quantity in three figures: in question counts no material twice, however many findings it has."""

    recomputed: Annotated[Money, Field(description="what is payable as calculated from the entries")]
    undisputed: Annotated[Money, Field(description="recomputed - not_payable - in_question")]
    in_question: Annotated[Money, Field(description="what hangs on findings that are not decided")]
    not_payable: Annotated[Money, Field(description="not payable, by what was decided on findings")]
    reasons: Annotated[
        list[Reason], Field(description="at most three, the largest first; their amounts may overlap")
    ]


class Claim(NamedTuple):
    """A claimed payable quantity."""

    claimed: Annotated[float, Field(description="in the unit of pay of the book")]
    recomputed: Annotated[
        float | None, Field(description="what is payable as calculated; null where it cannot be")
    ]
    difference: Annotated[Money | None, Field(description="claimed - recomputed")]


class FindingLine(NamedTuple):
    """One thing to act on."""

    number: Annotated[
        int, Field(description="from 1: most serious first, within a severity by what is at stake")
    ]
    name: NameOfFinding
    severity: SeverityOfFinding
    title: Annotated[str, Field(description="the name in words")]
    sheet: SheetOfFinding
    cell: Annotated[str, Field(description="of that sheet; empty for a finding about the whole")]
    found: Annotated[str, Field(description="what is in the book, or what happened")]
    expected: Annotated[str, Field(description="what would be right; empty where found says it all")]
    matters: Annotated[
        str, Field(description="what hangs on it in this book; empty where nothing more is known")
    ]
    why: Annotated[str, Field(description="why such a finding matters")]
    remedy: Annotated[str, Field(description="what to do, and who does it")]
    row: Annotated[
        int | None, Field(description="row of the log it is about, as printed, from 1; null for none")
    ]
    at_stake: Annotated[
        float | None,
        Field(
            description="how much of the payable quantity hangs on it at most, undiluted: what is calculated from "
            "the"
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
    sheet: Annotated[str, Field(description="as that of the finding")]
    cell: Annotated[str, Field(description="as that of the finding")]
    found: Annotated[str, Field(description="what the finding said when it was decided")]
    decision: Annotated[
        str,
        Field(
            description="accepted, corrected, not-payable; empty while open, or another word that was typed"
        ),
    ]
    value: Annotated[
        float | None, Field(description="of a correction: what is payable of the volume at stake")
    ]
    initials: Annotated[str, Field(description="of the person who decided")]
    date: Annotated[str, Field(description="as it was typed")]
    remark: Annotated[str, Field(description="the reason, as it was typed")]


class EntryLine(NamedTuple):
    """One entry: as typed, and as read."""

    table: Annotated[
        str,
        Field(description="shots, loads, days, changes, monitor, gauges, pages, or empty for a single field"),
    ]
    row: Row
    column: Annotated[str, Field(description="name of the column, see the list of names")]
    sheet: Annotated[str, Field(description="of the book")]
    cell: Annotated[str, Field(description="of that sheet")]
    raw: Annotated[Value, Field(description="as the file has it")]
    value: Annotated[
        Value,
        Field(
            description="as read: a number in the order's unit, a date or a time of day by ISO 8601, a text"
        ),
    ]
    how: Annotated[
        str, Field(description="how the entry was read where that is not plain, in words; empty otherwise")
    ]
    trouble: Annotated[
        str, Field(description="name of the finding where it could not be read, or with a query")
    ]


class Document(NamedTuple):
    """The whole report on one returned book."""

    program: Annotated[str, Field(description="name and version of the program that rechecked")]
    date: Annotated[str | None, Field(description="the day of the recheck, ISO 8601, where one was given")]
    coverage: Annotated[
        float, Field(description="coverage factor of every expanded uncertainty (JCGM 100:2008, 6.3.3)")
    ]
    file: Annotated[File, Field(description="the file that was rechecked")]
    book: Annotated[BookFacts, Field(description="the book that the file says it is, and its units")]
    origin: Annotated[OriginFacts, Field(description="where the book comes from, and how far that is proven")]
    conclusion: Annotated[ConclusionFacts, Field(description="the conclusion in words")]
    material: Annotated[
        Money | None, Field(description="the threshold of materiality; null where none was given")
    ]
    totals: Annotated[
        dict[str, Result], Field(description="of the whole book, by name, see the list of names")
    ]
    worth: Annotated[
        dict[str, Money], Field(description="book - recomputed of the payable quantity, and the deduction")
    ]
    payable: Annotated[Payable | None, Field(description="null where none can be computed")]
    claim: Annotated[Claim | None, Field(description="null where nothing is claimed")]
    findings: Annotated[list[FindingLine], Field(description="most serious first")]
    decisions: Annotated[
        list[DecisionLine],
        Field(description="one for each error and query, then those on findings that are no longer there"),
    ]
    shots: Annotated[list[ShotLine], Field(description="rows of the shot log that are used")]
    loads: Annotated[list[Line], Field(description="rows of the load log that are used")]
    days: Annotated[list[Line], Field(description="rows of the log of days that are used")]
    sections: Annotated[list[Line], Field(description="ordered sections")]
    paid_sections: Annotated[
        list[Line], Field(description="ordered sections in the unit of pay; empty where that is a volume")
    ]
    entries: Annotated[
        list[EntryLine], Field(description="all input cells that hold something, and blank ones of used rows")
    ]
    changes: Annotated[
        list[Line], Field(description="changes on the road, with the shots that each holds for")
    ]
    monitor: Annotated[
        list[Line], Field(description="sessions of the monitor against stick, meter and stations")
    ]
    gauges: Annotated[list[Line], Field(description="checks of distance wheel and meter")]
    format: Annotated[Literal["sheetgen recheck"], Field(description="says which schema applies")] = (
        "sheetgen recheck"
    )
    version: Annotated[
        Literal[3], Field(description="rises when a field changes its meaning, its name, or goes")
    ] = 3
