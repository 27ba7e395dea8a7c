"""Where the material went, with the arithmetic laid out: the whole book, by day, and what is payable by section."""

from __future__ import annotations

from collections.abc import Callable

from sheetgen.audit.compute.pay import paid_key
from sheetgen.audit.report.document import Document, Line, Result
from sheetgen.audit.report.figures import Figures, difference_format, reach_format
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.audit.report.side_by_side import Block, TypedLines, draw_blocks
from sheetgen.columns import reported
from sheetgen.figures import number_text
from sheetgen.order.pay_terms import paid_kind, pay_decimals, pay_terms, pay_unit
from sheetgen.units import constants
from sheetgen.xlsx.returned import Value, is_number

DAYS = Block("days", (), ("typed", "book", "own", "difference", "reach"))
CHANGES = Block("changes", (), ("typed", "book", "own", "difference"))
SECTIONS = Block("sections", (), ("book", "own", "difference", "reach"))
PAID = {kind: Block(f"pay_{kind}", (), ("book", "own", "difference")) for kind in ("mass", "area")}
_SUM = (("start", "+"), ("loaded", "+"), ("sprayed", "−"), ("wasted", "−"), ("returned", "−"), ("end", "−"))
# Columns of sign, words, recomputed, book, difference, uncertainty.
_PLACES = ((0, 0), (1, 4), (5, 6), (7, 8), (9, 9), (10, 10))


def draw_reconciliation(book: ReportBook, document: Document, figures: Figures, typed: TypedLines) -> None:
    """Draw it."""
    page = book.page("reconciliation", DAYS.widths, landscape=True)
    say = page.say
    page.title(say["report.reconciliation.title"], say.say("report.reconciliation.note", base=figures.base))
    row = _whole(page, 2, document, figures)
    row = page.group(row, say["report.reconciliation.days"])
    row, _ = draw_blocks(page, row, DAYS, document.days, typed, figures)
    limit = figures.order.limits
    words = {"limit": f"{100 * limit.unexplained:g} %", "coverage": f"{document.coverage:g}"}
    page.across(row, say.say("report.reconciliation.limit", **words), "note")
    begins: list[int] = []
    if document.changes:
        row = page.group(row + 1, say["report.reconciliation.changes"])
        row, begins = draw_blocks(page, row, CHANGES, document.changes, typed, figures)
    pay_begins = row + 1
    row = page.group(row + 1, say["report.pay.title"])
    page.across(row, _rule(figures), "note")
    row, _ = draw_blocks(page, row + 1, SECTIONS, document.sections, typed, figures)
    row = _payable(page, row, document, figures, typed)
    page.sheet.freeze = (1, 0)
    page.finish(row - 1, starts=[*begins, pay_begins])


def _whole(page: Page, row: int, document: Document, figures: Figures) -> int:
    """Start + loaded - sprayed - wasted - returned - end, one line each, its result below a line."""
    say = page.say
    row = page.group(row, say["report.reconciliation.whole"])
    heads = ("sign", "what", "own", "book", "difference", "reach")
    for key, (first, last) in zip(heads, _PLACES, strict=True):
        title = say.say(f"report.reconciliation.{key}", unit=figures.unit("volume"))
        page.span(row, first, last, title, "head")
    shapes = {column.key: figures.format(column.format) for column in reported("overall")}
    row += 1
    for key, sign in (*_SUM, ("unexplained", "="), ("share", "")):
        result = document.totals.get(key)
        if result is not None:
            _sum_line(page, row, sign, say[f"report.reconciliation.of.{key}"], result, shapes[key])
            row += 1
    return row


def _sum_line(page: Page, row: int, sign: str, words: str, result: Result, number_format: str) -> None:
    page.span(row, *_PLACES[0], sign, "sum_sign")
    strong = sign == "="
    page.span(row, *_PLACES[1], words, "total_label" if strong else "sum_label")
    page.span(row, *_PLACES[2], result.recomputed, "total_number" if strong else "sum_own", number_format)
    none = page.say["report.none"] if result.cell else None
    page.span(row, *_PLACES[3], none if result.book is None else result.book, "sum_number", number_format)
    if result.difference is not None and not result.same:
        shape = difference_format(number_format, result.difference)
        page.span(row, *_PLACES[4], result.difference, "sum_differs", shape)
    else:
        shown = None if not result.cell else "=" if result.same else "≠"
        page.span(row, *_PLACES[4], shown, "sum_same" if result.same else "sum_sign")
    shape = reach_format(number_format, result.uncertainty)
    page.span(row, *_PLACES[5], result.uncertainty, "sum_number", shape)


def _rule(figures: Figures) -> str:
    terms, say, source = pay_terms(figures.order), figures.say, figures.order.pay.source
    facts = {
        "limit": f"{100 * terms.excess_limit:g} %",
        "dilution": f"{100 * figures.order.material.dilution:g} %",
        "base": figures.base,
    }
    parts = [say.say(f"report.pay.{key}", **facts) for key in terms.sentences]
    return " ".join([*parts, *([say.say("report.pay.source", source=source)] if source else [])])


def _payable(page: Page, row: int, document: Document, figures: Figures, typed: TypedLines) -> int:
    """The sum of the sections, rounded once; the same in the unit of pay; and the money for it."""
    say, order = page.say, figures.order
    for line in document.sections:
        page.across(row, _arithmetic(line, figures), "note")
        row += 1
    total = document.totals["payable"].recomputed
    row = _sum_of(page, row, document.sections, total, order.rounding.pay, figures.pay)
    kind = paid_kind(order)
    if kind != "volume":
        row = page.group(row + 1, say.say(f"report.pay.title_{kind}", unit=pay_unit(order)))
        page.across(
            row, say.say(f"report.pay.rule_{order.pay.unit.replace('-', '_')}", **_density(figures)), "note"
        )
        row, _ = draw_blocks(page, row + 1, PAID[kind], document.paid_sections, typed, figures)
        total = document.totals[paid_key(order)].recomputed
        row = _sum_of(page, row, document.paid_sections, total, pay_decimals(order), figures.quantity)
    return _amount(page, row, document, total, figures)


def _density(figures: Figures) -> dict[str, str]:
    order, number = figures.order, constants(figures.order.units)
    return {
        "gravity": f"{order.material.specific_gravity:g}", "water": f"{number['water_density']:g}",
        "density_unit": figures.unit("density"), "per_ton": f"{number['mass_per_ton']:g}",
        "mass_unit": figures.unit("mass"), "unit": pay_unit(order),
        "limit": f"{100 * pay_terms(order).excess_limit:g} %",
    }  # fmt: skip


def _sum_of(
    page: Page, row: int, lines: list[Line], total: Value, decimals: int, shown: Callable[[float], str]
) -> int:
    """The sections' quantities added and rounded once."""
    if not is_number(total):
        return row
    language = page.say.language
    paid = [_number(line, "payable") for line in lines]
    words = {
        "parts": " + ".join(number_text(each, language, digits=6) for each in paid),
        "sum": number_text(sum(paid), language), "total": shown(total), "decimals": decimals,
    }  # fmt: skip
    page.across(row, page.say.say("report.pay.total", **words), "fact_bold")
    return row + 1


def _amount(page: Page, row: int, document: Document, total: Value, figures: Figures) -> int:
    """The money for the quantity, with what of it is beyond the contract's estimate at its own price."""
    order, terms, amount = figures.order, pay_terms(figures.order), document.totals.get("amount")
    if amount is None or not is_number(total):
        return row
    beyond, language = terms.beyond(total), order.language
    dear = terms.price_at(total)
    words = {
        "total": figures.quantity_as_it_is(total - beyond), "price": number_text(terms.unit_price, language),
        "beyond": figures.quantity_as_it_is(beyond), "dear": number_text(dear, language),
        "currency": order.pay.currency, "money": figures.money(terms.amount(total) or 0.0),
        "decimals": terms.money_decimals,
    }  # fmt: skip
    key = "money_beyond" if beyond else "money"
    page.across(row, page.say.say(f"report.pay.{key}", **words), "fact_bold")
    return row + 1


def _arithmetic(line: Line, figures: Figures) -> str:
    """One section's payable quantity, as a sum."""
    words = {
        key: figures.volume(_number(line, key), 1)
        for key in ("undiluted", "ordered", "cap", "hand", "payable")
    }
    limit = f"{pay_terms(figures.order).paid_per_ordered:g}"
    return figures.say.say("report.pay.section", section=line.label, limit=limit, **words)


def _number(line: Line, key: str) -> float:
    value = line.results[key].recomputed
    return float(value) if isinstance(value, int | float) else 0.0
