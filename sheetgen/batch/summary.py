"""Many returned books on a few pages: one line for each, the findings by kind, and what could not be used."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from sheetgen.batch.book_line import BookLine
from sheetgen.batch.summary_document import SummaryDocument, summary_of
from sheetgen.batch.summary_sheets import write_summary_workbook
from sheetgen.errors import UnusableBook
from sheetgen.whole_file import together

if TYPE_CHECKING:
    from sheetgen.batch.sample_plan import SampleTerms
    from sheetgen.register.wording import AcrossFinding


SUMMARY = ("summary.xlsx", "summary.json", "summary.findings.csv")
_COLUMNS = (
    "file", "identity", "number", "name", "severity", "sheet", "cell", "found", "at_stake", "unit", "money",
    "currency", "below_material",
)  # fmt: skip


def write_summary(
    lines: Sequence[BookLine],
    unusable: Sequence[UnusableBook],
    out_dir: str | Path,
    language: str = "en",
    paper: str = "letter",
    across: Sequence[AcrossFinding] = (),
    unsupported: Mapping[str, float] = MappingProxyType({}),
    sample: SampleTerms | None = None,
) -> list[Path]:
    """Write ``summary.xlsx``, ``summary.json`` and ``summary.findings.csv`` into a folder, and say where they are.

    Args:
        lines: one for each returned book, from :func:`line_of`, in the order they are to stand in
        unusable: what was raised for the files that could not be used
        out_dir: the folder, made where it is missing; a summary that is there is replaced, any other file is not
        language, paper: of the workbook: "en" or "es", "letter" or "a4"
        across: what the books say against each other, from the register
        unsupported: claimed quantities that no returned book stands behind, by what the claim sheet calls the book
        sample: draw a sample by value of the shots that are paid, and state it

    Raises:
        ReportInTheWay: another file lies in the place of the summary, or one that was changed since.
    """
    from sheetgen.audit.report.own_files import refuse_others
    from sheetgen.audit.report.write import number_rows, sorted_data, write_json

    folder = Path(out_dir)
    document = summary_of(lines, unusable, across, unsupported, sample)
    data = sorted_data(document)
    for book in data["books"]:
        number_rows(book["shots"])
    with together(folder, refuse_others) as stage:
        written = [
            write_summary_workbook(document, stage / SUMMARY[0], language, paper),
            write_json(data, stage / SUMMARY[1]),
            _write_findings(document, stage / SUMMARY[2]),
        ]
    return [folder / file.name for file in written]


def _write_findings(document: SummaryDocument, path: Path) -> Path:
    """Every finding of every book as a CSV table."""
    from sheetgen.audit.report.csv_tables import write_table

    rows = ([getattr(one, key) for key in _COLUMNS] for one in document.findings)
    return write_table(path, [_COLUMNS, *rows])
