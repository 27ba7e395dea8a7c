"""A comparison as text for a terminal, and as a table of comma-separated values."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence

from sheetgen.audit.report.csv_tables import safe
from sheetgen.compare.over_jobs import Compared
from sheetgen.output import printable
from sheetgen.plan.figures import Figures
from sheetgen.plan.text_page import Lines, TextPage

COLUMNS = ("configuration", "sections", "loads", "hours", "sprayed", "left", "load_mass", "cannot")
_KINDS = {"hours": "hours", "sprayed": "volume", "left": "volume", "load_mass": "mass"}
_CSV = (
    "distributor", "job", "sections", "can_spray", "cannot", "loads", "hours", "sprayed_corrected",
    "left_over_corrected", "full_load_weight", "volume_unit", "weight_unit",
)  # fmt: skip


def heading(key: str, figures: Figures) -> str:
    """The heading of a column, with its unit below it."""
    unit = figures.unit(_KINDS.get(key, ""))
    return figures.say[f"compare.column.{key}"] + (f"\n{unit}" if unit else "")


def cannot(found: Compared, figures: Figures) -> str:
    """The sections that a configuration cannot spray, by job."""
    jobs = [f"{job.job}: {', '.join(job.unable)}" for job in found.jobs if job.unable]
    return "; ".join(jobs) or figures.say["plan.none"]


def compared_text(found: Sequence[Compared], system: str, language: str, invented: bool) -> str:
    """The comparison in one table, the configuration that can spray most first."""
    figures = Figures(system, language)
    page = TextPage(figures, "compare.part")
    jobs = ", ".join(job.job for job in found[0].jobs)
    page.line(figures.say.say("compare.title", count=len(found), jobs=jobs))
    if invented:
        page.line(figures.say["book.invented"])
    rows = [_row(each, figures) for each in found]
    page.table("over_jobs", Lines([heading(key, figures) for key in COLUMNS], rows))
    page.line(figures.say["compare.counted"])
    page.line(figures.say["answer.defer"])
    return page.text().rstrip("\n")


def _row(found: Compared, figures: Figures) -> list[str]:
    return [
        printable(found.configuration.name),
        f"{found.able} / {found.sections}",
        str(found.loads),
        figures.bare(None if found.minutes is None else found.minutes / 60, "hours"),
        figures.bare(found.sprayed, "volume"),
        figures.bare(found.left, "volume"),
        figures.bare(found.load_mass, "mass"),
        printable(cannot(found, figures), 400),
    ]


def compared_csv(found: Sequence[Compared], system: str, language: str) -> bytes:
    """A line for each configuration on each job, numbers unrounded, in UTF-8 with a mark that programs know it by."""
    figures, out = Figures(system, language), io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(_CSV)
    writer.writerows(_lines(found, figures))
    return out.getvalue().encode("utf-8-sig")


def _lines(found: Sequence[Compared], figures: Figures) -> Iterator[list[object]]:
    for each in found:
        for job in each.jobs:
            yield [
                safe(each.configuration.name), safe(job.job), job.sections, job.able, safe(" ".join(job.unable)),
                job.loads, "" if job.minutes is None else job.minutes / 60, job.sprayed, job.left, job.load_mass,
                figures.unit("volume"), figures.unit("mass"),
            ]  # fmt: skip
