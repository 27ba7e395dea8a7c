"""A comparison as a workbook: all configurations on the first page, each job and each configuration behind it.

Only values are written, no formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from sheetgen.audit.report.own_files import refuse_others
from sheetgen.audit.report.pages import Page, ReportBook, report_workbook
from sheetgen.compare.over_jobs import Compared
from sheetgen.compare.text import COLUMNS, cannot, compared_csv, heading
from sheetgen.plan.figures import Figures
from sheetgen.whole_file import write_whole

_FRONT = (34.0, 10.0, 8.0, 10.0, 12.0, 12.0, 12.0, 44.0)
_BY_JOB = (34.0, 16.0, 10.0, 8.0, 10.0, 12.0, 12.0, 12.0, 52.0)
_JOB_COLUMNS = (*COLUMNS[:1], "job", *COLUMNS[1:7], "why")
_MACHINE = ("configuration", "tank", "bars", "spacing", "discharge", "nozzle_flow", "speed", "payload")
_MACHINE_WIDTHS = (34.0, 14.0, 18.0, 12.0, 20.0, 20.0, 22.0, 14.0)
_HEAD_ROW = 4
_STEM = "distributors_compared"


def write_compared(
    found: Sequence[Compared], system: str, language: str, paper: str, folder: Path, invented: bool
) -> list[Path]:
    """Write a comparison into a folder, as a workbook and as a table of comma-separated values, and say where.

    Args:
        found: the comparison
        system, language, paper: of the orders
        folder: made where it is missing; an earlier comparison is replaced
        invented: whether one of the jobs is a demonstration

    Raises:
        ReportInTheWay: another file lies there, or a comparison that somebody has changed since.
    """
    paths = [folder / f"{_STEM}.xlsx", folder / f"{_STEM}.csv"]
    refuse_others(paths)
    folder.mkdir(parents=True, exist_ok=True)
    figures = Figures(system, language)
    with report_workbook(paths[0], language, paper, figures.say["compare.tab.front"], system) as book:
        mark = f"{figures.say['book.invented_short']} · " if invented else ""
        book.footer = mark + figures.say["compare.tab.front"]
        _front(book, found, figures, invented)
        _by_job(book, found, figures, invented)
        _machines(book, found, figures, invented)
    write_whole(paths[1], compared_csv(found, system, language))
    return paths


def _page(
    book: ReportBook,
    key: str,
    widths: Sequence[float],
    columns: Sequence[str],
    figures: Figures,
    invented: bool,
) -> Page:
    """A landscape page with a title, a note and the headings of its table."""
    page, say = Page(book, figures.say[f"compare.tab.{key}"], widths, landscape=True), figures.say
    page.title(say[f"compare.tab.{key}"], say[f"compare.note.{key}"])
    page.across(
        2, say["book.invented"] if invented else say["answer.defer"], "banner" if invented else "note"
    )
    page.head(_HEAD_ROW, [heading(column, figures) for column in columns])
    page.sheet.freeze = (_HEAD_ROW + 1, 1)
    return page


def _fill(page: Page, row: int, values: Sequence[str | float | None], shapes: Sequence[str]) -> None:
    """A line of a table: texts to the left, numbers to the right, as high as its longest text needs."""
    for column, (value, shape) in enumerate(zip(values, shapes, strict=True)):
        page.put(row, column, value, "cell" if isinstance(value, str) else "cell_number", shape)
    texts = [
        (value, page.widths[column], "cell") for column, value in enumerate(values) if isinstance(value, str)
    ]
    page.fit(row, texts)


def _front(book: ReportBook, found: Sequence[Compared], figures: Figures, invented: bool) -> None:
    page, say = _page(book, "front", _FRONT, COLUMNS, figures, invented), figures.say
    jobs = ", ".join(job.job for job in found[0].jobs)
    page.across(3, say.say("compare.title", count=len(found), jobs=jobs), "sentence")
    row = _HEAD_ROW
    for row, each in enumerate(found, start=_HEAD_ROW + 1):
        values: list[str | float | None] = [
            each.configuration.name, f"{each.able} / {each.sections}", each.loads, _hours(each.minutes), each.sprayed,
            each.left, each.load_mass, cannot(each, figures),
        ]  # fmt: skip
        _fill(page, row, values, ["", "", "0", "0.0", "#,##0", "#,##0", "#,##0", ""])
    page.across(row + 2, say["compare.counted"], "sentence")
    few = len(found) <= 40  # more lines would be too small on one page
    page.finish(row + 2, None if few else (_HEAD_ROW, _HEAD_ROW), one_page=few)


def _by_job(book: ReportBook, found: Sequence[Compared], figures: Figures, invented: bool) -> None:
    page = _page(book, "by_job", _BY_JOB, _JOB_COLUMNS, figures, invented)
    row = _HEAD_ROW
    for each in found:
        for job in each.jobs:
            row += 1
            values: list[str | float | None] = [
                each.configuration.name, job.job, f"{job.able} / {job.sections}", job.loads, _hours(job.minutes),
                job.sprayed, job.left, job.load_mass, job.why or figures.say["plan.none"],
            ]  # fmt: skip
            _fill(page, row, values, ["", "", "", "0", "0.0", "#,##0", "#,##0", "#,##0", ""])
    page.finish(row, (_HEAD_ROW, _HEAD_ROW))


def _machines(book: ReportBook, found: Sequence[Compared], figures: Figures, invented: bool) -> None:
    page = _page(book, "machines", _MACHINE_WIDTHS, _MACHINE, figures, invented)
    row = _HEAD_ROW
    for row, each in enumerate(found, start=_HEAD_ROW + 1):
        machine = each.configuration.machine
        values: list[str | float | None] = [
            each.configuration.name,
            figures.full(each.capacity, "volume", 0),
            "; ".join(figures.full(width, "width") for width in machine.bar_widths),
            figures.full(machine.nozzle_spacing, "spacing"),
            _span(machine.discharge_min, machine.discharge_max, "flow", figures),
            _span(machine.nozzle_flow_min, machine.nozzle_flow_max, "flow", figures),
            _span(machine.speed_min, machine.speed_max, "speed", figures),
            figures.full(machine.payload, "mass"),
        ]
        _fill(page, row, values, [""] * len(values))
    page.finish(row, (_HEAD_ROW, _HEAD_ROW))


def _span(least: float, most: float, kind: str, figures: Figures) -> str:
    return f"{figures.bare(least, kind)} – {figures.full(most, kind)}"


def _hours(minutes: float | None) -> float | None:
    return None if minutes is None else minutes / 60
