"""What a recheck's report says, as data: the JSON file, and what the pages of the workbook are drawn from.

The parts of it are named tuples: thousands are made of each book, and a class of them costs next to nothing at the
start. The schema takes what their attributes are from their own words; what they are made of is checked by it, in the
tests.

``templates_src/recheck.schema.json`` is the JSON Schema of :class:`Document`. Its ``version`` is raised with every
change that a reader of the JSON must know of; without one, fields are only added.
"""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from pydantic import BaseModel, ConfigDict, Field

Value = float | str | bool | None
Severity = Literal["error", "query", "note"]
Origin = Literal["issued", "signed", "unsigned", "altered", "unknown-version"]
Row = Annotated[int, Field(ge=1)]


class Part(BaseModel):
    """Frozen, and nothing in it that is not declared; the schema takes what its attributes are from its own words."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)


class File(NamedTuple):
    """The returned file.

    Attributes:
        name: its name, without folders
        sha256: SHA-256 of its bytes, hexadecimal; empty where it was not taken
        program: the program that the file says wrote it last; empty where it says nothing
    """

    name: str
    sha256: str
    program: str


class BookFacts(NamedTuple):
    """What the book is, and in which units all numbers of it are.

    Attributes:
        identity: of the issued book, as printed in it; empty where the file has none
        template: version of the templates that it names
        job: number of the job
        job_name: name of the job
        place: where the job is, as ordered
        invented: whether the job is a demonstration and does not exist
        distributor: name of the distributor that the book is for
        material: grade of the material
        language: of the order and the book, as its folder of texts is named
        units: unit system of the order and the book
        base_temperature: that corrected volumes are at, as printed, such as 60 °F
        unit_of: printed unit of each kind of quantity
        currency: of all money; empty where the order names none
        unit_price: money per unit of pay; null where the order gives none
        pay_unit: unit of what is paid, as printed
        paid_by: what the order pays by
    """

    identity: str
    template: str
    job: str
    job_name: str
    place: str
    invented: bool
    distributor: str
    material: str
    language: str
    units: Literal["us", "si"]
    base_temperature: str
    unit_of: dict[str, str]
    currency: str
    unit_price: float | None
    pay_unit: str
    paid_by: Literal["volume", "mass", "mass-by-ticket", "area"]


class OriginFacts(NamedTuple):
    """What is proven of where the book comes from, and what is not.

    Attributes:
        status: issued and signed by the office; signed by the key that the book names; unsigned; altered; of a version
            of the templates that is not known. A summary has it as origin
        order_given: compared with the office's own copy of the order
        public_key: that the book names, hexadecimal
        office_key: that was to count, hexadecimal
        headline: the status in a sentence
        proven: what is proven, in sentences
        not_proven: what is not proven, in sentences
    """

    status: Origin
    order_given: bool
    public_key: str
    office_key: str
    headline: str
    proven: list[str]
    not_proven: list[str]


class Counts(Part):
    """How many findings of each severity.

    Attributes:
        error: findings that change a quantity or break proof
        query: findings that need an explanation
        note: findings that ask for nothing
    """

    error: int
    query: int
    note: int


class ConclusionFacts(NamedTuple):
    """The conclusion, in a word and in sentences.

    Attributes:
        severity: the highest severity found, or clean. A summary has it as conclusion
        headline: the conclusion in a few words
        sentences: what follows from it, with quantities and money
        counts: how many findings of each severity
        open: errors and queries that are not decided
        decided: errors and queries that are decided
        shots: shots in the log
        shots_not_counted: printed numbers of shots without a volume or an area
        shots_cannot_be_told: printed numbers of shots whose readings cannot tell whether they are in tolerance
    """

    severity: Literal["error", "query", "note", "clean"]
    headline: str
    sentences: list[str]
    counts: Counts
    open: int
    decided: int
    shots: int
    shots_not_counted: list[int]
    shots_cannot_be_told: list[int]


class Result(NamedTuple):
    """One result: as the book shows it, and as recomputed.

    Attributes:
        book: what the book shows; null where the file holds no result
        recomputed: what the recheck calculates from the entries; null where it cannot
        difference: book - recomputed, where both are numbers
        same: the same number within 1e-9 of it, the same text, or both nothing
        uncertainty: expanded: standard uncertainty times the coverage factor
        sheet: where the book shows it; empty where it shows no such result
        cell: where the book shows it; empty where it shows no such result
    """

    book: Value
    recomputed: Value
    difference: float | None
    same: bool
    uncertainty: float | None
    sheet: str
    cell: str


class Line(NamedTuple):
    """One row of a log, or one section: its results side by side, by the keys of the book's columns.

    Attributes:
        row: row of its log as printed, from 1
        label: what it is called: its printed number, its date or its section
        results: by name, see the list of names; volumes, rates and areas in the units of the book
    """

    row: Row
    label: str
    results: dict[str, Result]


class ShotLine(NamedTuple):
    """One shot, with what its readings can tell.

    Attributes:
        row: row of its log as printed, from 1
        label: what it is called: its printed number, its date or its section
        results: by name, see the list of names; volumes, rates and areas in the units of the book
        judged: in or out of tolerance with the expanded uncertainty; empty where it is not judged
        allowed: allowed deviation, as a part of the ordered rate
        budget: relative standard uncertainty of the rate by what it comes from
    """

    row: Row
    label: str
    results: dict[str, Result]
    judged: Literal["in", "out", "cannot-be-told", ""]
    allowed: float | None
    budget: dict[str, float]


AnyLine = Line | ShotLine


class Money(NamedTuple):
    """A difference in volume, and what it is worth.

    Attributes:
        volume: undiluted, in the unit of volume of the book
        money: null where the order gives no unit price
        quantity: in the unit of pay, where what is payable is told; null elsewhere
    """

    volume: float
    money: float | None
    quantity: float | None = None


class Reason(NamedTuple):
    """What puts a part of the payable quantity in question.

    Attributes:
        name: of the findings
        title: in words
        findings: how many of that name
        amount: how much they put in question
    """

    name: str
    title: str
    findings: int
    amount: Money


class Payable(NamedTuple):
    """The payable quantity in three figures: in question counts no material twice, however many findings it has.

    Attributes:
        recomputed: what is payable as calculated from the entries
        undisputed: recomputed - not_payable - in_question
        in_question: what hangs on findings that are not decided
        not_payable: not payable, by what was decided on findings
        reasons: at most three, the largest first; their amounts may overlap
    """

    recomputed: Money
    undisputed: Money
    in_question: Money
    not_payable: Money
    reasons: list[Reason]


class Claim(NamedTuple):
    """A claimed payable quantity.

    Attributes:
        claimed: in the unit of pay of the book
        recomputed: what is payable as calculated; null where it cannot be
        difference: claimed - recomputed
    """

    claimed: float
    recomputed: float | None
    difference: Money | None


class FindingLine(NamedTuple):
    """One thing to act on.

    Attributes:
        number: from 1: most serious first, within a severity by what is at stake
        name: as sheetgen explain takes it
        severity: error changes a quantity or breaks proof, query needs an explanation, note asks for nothing
        title: the name in words
        sheet: of the book; empty for a finding about the whole
        cell: of that sheet; empty for a finding about the whole
        found: what is in the book, or what happened
        expected: what would be right; empty where found says it all
        matters: what hangs on it in this book; empty where nothing more is known
        why: why such a finding matters
        remedy: what to do, and who does it
        row: row of the log it is about, as printed, from 1; null for none
        at_stake: how much of the payable quantity hangs on it at most, undiluted: what is calculated from the entry it
            asks about, or the difference itself; null where no quantity depends on it, where that cannot be said, and
            for a note
        below_material: less is at stake than the threshold of materiality; listed apart, behind the others
        acknowledged: the crew's remark, where the crew looked at what is queried and confirmed it; empty elsewhere
    """

    number: int
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
    row: int | None
    at_stake: float | None
    below_material: bool = False
    acknowledged: str = ""


class DecisionLine(NamedTuple):
    """What was decided on a finding, or is to be decided.

    Attributes:
        number: of the finding; null where it is no longer there
        name: of the finding
        sheet: as that of the finding
        cell: as that of the finding
        found: what the finding said when it was decided
        decision: accepted, corrected, not-payable; empty while open, or another word that was typed
        value: of a correction: what is payable of the volume at stake
        initials: of the person who decided
        date: as it was typed
        remark: the reason, as it was typed
    """

    number: int | None
    name: str
    sheet: str
    cell: str
    found: str
    decision: str
    value: float | None
    initials: str
    date: str
    remark: str


class EntryLine(NamedTuple):
    """One entry: as typed, and as read.

    Attributes:
        table: shots, loads, days, changes, monitor, gauges, pages, or empty for a single field
        row: row of its log as printed, from 1
        column: name of the column, see the list of names
        sheet: of the book
        cell: of that sheet
        raw: as the file has it
        value: as read: a number in the order's unit, a date or a time of day by ISO 8601, a text
        how: how the entry was read where that is not plain, in words; empty otherwise
        trouble: name of the finding where it could not be read, or with a query
    """

    table: str
    row: Row
    column: str
    sheet: str
    cell: str
    raw: Value
    value: Value
    how: str
    trouble: str


class Document(NamedTuple):
    """The whole report on one returned book.

    Attributes:
        program: name and version of the program that rechecked
        date: the day of the recheck, ISO 8601, where one was given
        coverage: coverage factor of every expanded uncertainty (JCGM 100:2008, 6.3.3)
        file: the file that was rechecked
        book: the book that the file says it is, and its units
        origin: where the book comes from, and how far that is proven
        conclusion: the conclusion in words
        material: the threshold of materiality; null where none was given
        totals: of the whole book, by name, see the list of names
        worth: book - recomputed of the payable quantity, and the deduction
        payable: null where none can be computed
        claim: null where nothing is claimed
        findings: most serious first
        decisions: one for each error and query, then those on findings that are no longer there
        shots: rows of the shot log that are used
        loads: rows of the load log that are used
        days: rows of the log of days that are used
        sections: ordered sections
        paid_sections: ordered sections in the unit of pay; empty where that is a volume
        entries: all input cells that hold something, and blank ones of used rows
        changes: changes on the road, with the shots that each holds for
        monitor: sessions of the monitor against stick, meter and stations
        gauges: checks of distance wheel and meter
        format: says which schema applies
        version: rises when a field changes its meaning, its name, or goes
    """

    program: str
    date: str | None
    coverage: float
    file: File
    book: BookFacts
    origin: OriginFacts
    conclusion: ConclusionFacts
    material: Money | None
    totals: dict[str, Result]
    worth: dict[str, Money]
    payable: Payable | None
    claim: Claim | None
    findings: list[FindingLine]
    decisions: list[DecisionLine]
    shots: list[ShotLine]
    loads: list[Line]
    days: list[Line]
    sections: list[Line]
    paid_sections: list[Line]
    entries: list[EntryLine]
    changes: list[Line]
    monitor: list[Line]
    gauges: list[Line]
    format: Literal["sheetgen recheck"] = "sheetgen recheck"
    version: Literal[3] = 3
