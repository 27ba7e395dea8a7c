"""How it was done: the arithmetic with its published sources, what it was done with, what was not checked."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.findings import severity_words
from sheetgen.audit.report.document import Document
from sheetgen.audit.report.figures import Figures
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.order.pay_terms import pay_terms
from sheetgen.units import constants

_WIDTHS = (22, 46, 30)
_SEVERITIES = ("error", "query", "note")


def draw_method(book: ReportBook, document: Document, figures: Figures) -> None:
    """Draw it."""
    page = book.page("method", _WIDTHS)
    say = page.say
    page.title(say["report.method.title"])
    page.across(
        1, say.say("report.method.short", program=document.program, version=document.version), "sentence"
    )
    row = page.group(2, say["report.method.steps"])
    page.head(row, [say[f"report.method.{key}"] for key in ("step", "how", "source")], "head_left")
    for step in templates.toml("report.toml")["steps"]:
        row += 1
        _line(page, row, told_step(step, figures))
    row = page.group(row + 1, say["report.method.with"])
    for title, value in _used(figures):
        page.put(row, 0, title, "cell")
        page.across(row, value, "cell", first=1)
        page.fit(row, [(title, _WIDTHS[0], "cell")])
        row += 1
    row = page.group(row, say["report.method.severities"])
    for severity in _SEVERITIES:
        page.put(row, 0, severity_words(severity, say), "cell_bold")
        page.across(row, say[f"report.severity_means.{severity}"], "cell", first=1)
        row += 1
    row = page.group(row, say["report.method.unchecked"])
    for number in range(1, 20):
        if f"report.unchecked.{number}" in say:
            page.across(row, f"–  {say[f'report.unchecked.{number}']}", "sentence")
            row += 1
    page.finish(row - 1)


def told_step(step: str, figures: Figures) -> tuple[str, str, str]:
    """Title, what is done, and its source, with the numbers of the order."""
    say, order, key = figures.say, figures.order, f"report.step.{step}"
    fixed = constants(order.units)
    words = {
        "base": figures.base,
        "divisor": f"{fixed['area_divisor']:g}",
        "water": f"{fixed['water_density']:g} {figures.unit('density')}",
        "order": order.pay.source or say["report.method.no_source"],
    }
    return say.say(f"{key}.title", **words), say.say(f"{key}.how", **words), say.say(f"{key}.source", **words)


def _line(page: Page, row: int, texts: tuple[str, str, str]) -> None:
    styles = ("cell_bold", "cell", "cell")
    for column, (text, style) in enumerate(zip(texts, styles, strict=True)):
        page.put(row, column, text, style)
    page.fit(row, list(zip(texts, _WIDTHS, styles, strict=True)))


def _used(figures: Figures) -> list[tuple[str, str]]:
    """What the order says that the recomputation used."""
    say, order = figures.say, figures.order
    material, rounding, reading = order.material, order.rounding, order.reading
    factor = rounding.factor_emulsion if material.material_class == "emulsion" else rounding.factor_asphalt
    column = say[f"words.correction.{Factors.of(order).kind}"]
    used = [
        ("grade", f"{material.grade} ({say[f'words.class.{material.material_class}']})"),
        ("specific_gravity", f"{material.specific_gravity:g}"),
        ("residue", f"{100 * material.residue:g} %"),
        ("dilution", f"{100 * material.dilution:g} %"),
        ("measured_by", say[f"words.measured.{order.pay.measured_by}"]),
        ("excess_limit", f"{100 * pay_terms(order).excess_limit:g} %"),
        ("unexplained_limit", f"{100 * order.limits.unexplained:g} %"),
    ]
    named = [(say[f"name.{key}"], value) for key, value in used]
    kept = {
        "chart": rounding.chart, "volume": rounding.volume, "area": rounding.area, "rate": rounding.rate,
        "pay": rounding.pay,
    }  # fmt: skip
    decimals = ", ".join(f"{say[f'name.round_{key}']}: {value}" for key, value in kept.items())
    steps = (("dip", "depth"), ("temperature", "temperature"), ("meter", "volume"),
             ("station", "distance"), ("width", "width"))  # fmt: skip
    resolutions = ", ".join(
        f"{say[f'report.reading.{key}']} {getattr(reading, key):g} {figures.unit(kind)}"
        for key, kind in steps
    )
    return [
        *named,
        (say["report.method.column"], say.say("report.method.column_is", column=column, decimals=factor)),
        (say["job.rounding"], decimals),
        (say["report.method.resolutions"], resolutions),
    ]
