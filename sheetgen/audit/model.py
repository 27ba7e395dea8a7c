"""What a recheck passes from step to step: entries, findings, the result."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from sheetgen.xlsx.returned import Value

Severity = Literal["error", "query", "note"]


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a log or a single input field.

    Attributes:
        table: "shots", "loads", or "" for a single field
        row: index of the row within the log, from 0; 0 for a single field
        column: key of the column or field
        sheet: tab name
        cell: A1 address
        raw: what was typed, as the file has it; None for blank
        value: how it was read: a number in the order's units, a text, a bool, a serial day or a part of a day;
            None where blank or unreadable
        how: why it was read so, where that is not obvious; empty otherwise
        trouble: name of the finding where it could not be read, or only with doubt; empty otherwise
    """

    table: str
    row: int
    column: str
    sheet: str
    cell: str
    raw: Value
    value: Value
    how: str = ""
    trouble: str = ""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing to act on. The wording is in ``texts/<language>/findings.toml`` under the finding's name.

    Attributes:
        name: what happened, in plain hyphenated words
        severity: "error", "query" or "note"
        sheet: tab name, empty where the finding is about the whole book
        cell: A1 address, empty where there is none
        found: what was found, as text
        expected: what was expected, as text
        matters: why it matters here, in gallons, money or safety, as text; empty where the general text says it all
        row: index of the log row it is about, None where there is none
        stake: how much of the payable quantity hangs on it, undiluted, in the order's unit, where the rule can say;
            0.0 for nothing, None where it follows from the entry it stands at
        shots: index of each shot whose material that is; empty where it follows from the entry it stands at
        acknowledged: the crew's remark, where the crew looked at what it queries and confirmed it; empty elsewhere
    """

    name: str
    severity: Severity
    sheet: str = ""
    cell: str = ""
    found: str = ""
    expected: str = ""
    matters: str = ""
    row: int | None = None
    stake: float | None = None
    shots: tuple[int, ...] = ()
    acknowledged: str = ""

    @property
    def place(self) -> str:
        """Sheet and cell, or the sheet alone; empty for the whole book."""
        return f"{self.sheet}!{self.cell}" if self.cell else self.sheet


@dataclass(frozen=True, slots=True)
class Decision:
    """What an auditor decided on a finding, as typed into a report.

    Attributes:
        name, sheet, cell, found: of the finding, as the report gave them
        decision: "accepted", "corrected" (to a volume), "not-payable"; empty, or another word that was typed
        value: what is payable of the volume at stake, where it is corrected; None where none was typed
        initials, date, remark: as typed, the date in ISO form where it was one
    """

    name: str
    sheet: str = ""
    cell: str = ""
    found: str = ""
    decision: str = ""
    value: float | None = None
    initials: str = ""
    date: str = ""
    remark: str = ""

    @property
    def said(self) -> bool:
        """Whether anything was typed."""
        return bool(self.decision or self.value is not None or self.initials or self.date or self.remark)


@dataclass(slots=True)
class Totals:
    """Recomputed totals, in the order's units; volumes of mix at base temperature unless the key says else.

    ``by_section`` and ``by_day`` hold one dictionary per section or day with the keys of :attr:`overall` that apply.
    """

    overall: dict[str, float | None] = field(default_factory=dict)
    by_section: dict[str, dict[str, float | None]] = field(default_factory=dict)
    by_day: dict[str, dict[str, float | None]] = field(default_factory=dict)


@dataclass(slots=True)
class Recheck:
    """The whole result for one returned book.

    Attributes:
        path: the returned file, as it was named
        identity: as the book prints it on every page; empty where its record cannot be read
        origin: what is proven of it, see :mod:`sheetgen.audit.proof.origin`
        order, machine: what the book was compared with
        shot_rows, load_rows, day_rows, section_rows, monitor_rows, gauge_rows, change_rows: recomputed rows by the
            keys of the book's own columns
        paid_rows: the sections in the unit of pay, where that is not a volume
        book_values: the book's own results, see :mod:`sheetgen.audit.entries.book_values`
        sha256, program: of the returned file: its digest, and what it says wrote it last
        template: the version of the templates that the book names
        public_key: the key that the book names, office_key: the one that was to count; hexadecimal, empty for none
        order_given: whether it was compared with the office's own copy of the order
        claim: a claimed payable quantity in the order's unit of pay, None where none was given
        uncertainty: of shots and totals, see :mod:`sheetgen.audit.compute.uncertainty`; None where not worked out
        saved: when the file says it was last saved, ISO 8601 in UTC; empty where it says nothing
        decisions: what was decided on findings of the same book, from earlier reports
        material: the threshold of materiality, a volume in the order's unit; None where none was given
        language: of findings and report; the order's where it is empty
    """

    path: str
    identity: str
    origin: str  # issued, signed, unsigned, altered, unknown-version
    order: Any
    machine: Any
    findings: list[Finding]
    entries: list[Entry]
    shot_rows: list[dict[str, Any]]
    load_rows: list[dict[str, Any]]
    totals: Totals
    book_values: dict[tuple[str, int, str], Any] = field(default_factory=dict)
    day_rows: list[dict[str, Any]] = field(default_factory=list)
    section_rows: list[dict[str, Any]] = field(default_factory=list)
    monitor_rows: list[dict[str, Any]] = field(default_factory=list)
    gauge_rows: list[dict[str, Any]] = field(default_factory=list)
    change_rows: list[dict[str, Any]] = field(default_factory=list)
    paid_rows: list[dict[str, Any]] = field(default_factory=list)
    sha256: str = ""
    program: str = ""
    template: str = ""
    public_key: str = ""
    office_key: str = ""
    order_given: bool = False
    claim: float | None = None
    uncertainty: Any = None
    saved: str = ""
    decisions: tuple[Decision, ...] = ()
    material: float | None = None
    language: str = ""

    @property
    def told(self) -> Any:
        """The order as findings and report speak of it: in their language, which can be another than the book's."""
        return self.order.in_language(self.language)

    @property
    def shots(self) -> Any:
        """The recomputed shots as a pandas table, one row a shot."""
        import pandas as pd

        return pd.DataFrame(self.shot_rows)

    @property
    def conclusion(self) -> Literal["error", "query", "note", "clean"]:
        """The gravest severity among the findings, "clean" where there is none."""
        for severity in ("error", "query", "note"):
            if any(finding.severity == severity for finding in self.findings):
                return severity
        return "clean"
