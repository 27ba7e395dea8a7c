"""The first page: what an auditor can put before a contractor, an agency and a court."""

from __future__ import annotations

from sheetgen.audit.compute.pay import paid_key
from sheetgen.audit.findings import severity_words
from sheetgen.audit.report.comparison import stored
from sheetgen.audit.report.document import Claim, Document, Money, Result
from sheetgen.audit.report.figures import Figures, difference_format, finest, reach_format
from sheetgen.audit.report.pages import Page, ReportBook
from sheetgen.audit.report.payable import payable_sentences
from sheetgen.audit.report.returned_file import place
from sheetgen.columns import reported
from sheetgen.order.pay_terms import paid_kind, pay_unit

_WIDTHS = (27, 13, 12, 13, 15, 17)
_GRAVEST = 5
_QUANTITIES = ("undiluted", "water", "wasted", "deducted", "unexplained", "area")


def draw_verdict(book: ReportBook, document: Document, figures: Figures) -> None:
    """Draw it: one page, whatever was found."""
    page = book.page("verdict", _WIDTHS)
    row = _head(page, document, figures)
    row = _payable(page, row, document, figures)
    row = _file(page, row, document)
    row = _origin(page, row, document)
    row = _quantities(page, row, document, figures)
    row = _found(page, row, document)
    row = _close(page, row, document)
    page.finish(row, one_page=True)


def _head(page: Page, document: Document, figures: Figures) -> int:
    say, book = page.say, document.book
    page.title(say["report.title"])
    page.across(1, " · ".join(filter(None, (book.job, book.job_name, book.place))), "subtitle")
    page.height(1, 20)
    row = 2
    if book.invented:
        page.across(row, say["book.invented"], "banner")
        page.height(row, 20)
        row += 1
    page.height(row, 5)
    page.across(row + 1, document.conclusion.headline, f"verdict_{document.conclusion.severity}")
    page.height(row + 1, 32)
    page.height(row + 2, 4)
    row += 3
    in_table = payable_sentences(document.payable, figures)
    for sentence in document.conclusion.sentences:
        if sentence in in_table:
            continue
        page.across(row, sentence, "sentence")
        row += 1
    return row


def _payable(page: Page, row: int, document: Document, figures: Figures) -> int:
    """What is payable in three figures, as quantity and as money, and why some of it is in question."""
    say, payable = page.say, document.payable
    if payable is None:
        return row
    kind = paid_kind(figures.order)
    head = "report.money.head" if kind == "volume" else f"report.money.head_{kind}"
    question = "report.money.question" if payable.reasons else "report.summary.books.question"
    row = page.group(row, say.say(head, material=document.book.material, base=figures.base), 5)
    lines = [
        ("total", say["report.money.recomputed"], payable.recomputed),
        ("sum", say["report.money.undisputed"], payable.undisputed),
        ("sum", say[question], payable.in_question),
        *(
            [("sum", say["report.money.not_payable"], payable.not_payable)]
            if payable.not_payable.quantity
            else []
        ),
        *(
            ("reason", say.say("report.money.reason", title=each.title, count=each.findings), each.amount)
            for each in payable.reasons
        ),
    ]
    page.span(row, 0, 3, say["report.money.what"], "head")
    page.put(row, 4, say.say(f"report.money.{kind}", unit=pay_unit(figures.order)), "head")
    page.put(row, 5, say["report.quantity.worth"], "head")
    for look, text, amount in lines:
        row += 1
        label, number = ("total_label", "total_number") if look == "total" else ("sum_label", "sum_number")
        page.across(row, text, label, last=3)
        page.put(row, 4, amount.quantity, number, figures.format("paid"))
        page.put(row, 5, None, number)
        _money(page, row, amount, document, figures)
    return row + 1


def _file(page: Page, row: int, document: Document) -> int:
    say, book, file = page.say, document.book, document.file
    row = page.group(row, say["report.file.head"], 5)
    compared = "office" if document.origin.order_given else "carried"
    facts = (
        ("name", file.name, "fact_bold"),
        ("sha256", file.sha256 or say["report.file.unknown"], "code"),
        ("program", file.program or say["report.file.unknown"], "fact"),
        ("identity", _identity(page, document), "fact_bold"),
        ("distributor", f"{book.distributor} · {book.material}", "fact"),
        ("compared", say[f"report.file.{compared}"], "fact"),
    )
    for key, value, style in facts:
        page.put(row, 0, say[f"report.file.{key}"], "label")
        page.across(row, value, style, first=1)
        row += 1
    return row


def _identity(page: Page, document: Document) -> str:
    book = document.book
    if not book.identity:
        return page.say["report.file.unknown"]
    return page.say.say("report.file.identity_of", identity=book.identity, template=book.template)


def _origin(page: Page, row: int, document: Document) -> int:
    say, origin = page.say, document.origin
    row = page.group(row, f"{say['report.origin.head']}: {origin.headline}", 5)
    for key, texts in (("proven", origin.proven), ("not_proven", origin.not_proven)):
        for number, text in enumerate(texts):
            page.put(row, 0, say[f"report.origin.{key}"] if not number else "", "fact_bold")
            page.across(row, f"–  {text}", "fact", first=1)
            row += 1
    return row


def _quantities(page: Page, row: int, document: Document, figures: Figures) -> int:
    say, totals, worth = page.say, document.totals, document.worth
    row = page.group(row, say.say("report.quantity.head", unit=figures.unit("volume"), base=figures.base), 5)
    titles = ("what", "own", "reach", "book", "difference", "worth")
    page.head(row, [say.say(f"report.quantity.{key}", coverage=f"{document.coverage:g}") for key in titles])
    shapes = {column.key: figures.format(column.format) for column in reported("overall")}
    has_results, paid = stored(document.findings), paid_key(figures.order)
    row += 1
    for key in (
        paid,
        "claim",
        *_contract(figures),
        *(("payable",) if paid != "payable" else ()),
        *_QUANTITIES,
    ):
        if key == "claim" and document.claim is not None:
            _claim(page, row, document.claim, shapes[paid])
            row += 1
        elif key in totals:
            title = say.say(f"report.quantity.{_title(key, paid)}", unit=_unit(key, figures))
            _quantity(page, row, title, key == paid, totals[key], shapes[key], has_results)
            row += 1
        claimed = document.claim.difference if document.claim else None
        worths = {paid: worth.get("book"), "claim": claimed, "deducted": worth.get("deducted")}
        money = worths.get(key)
        if money is not None:
            _money(page, row - 1, money, document, figures)
    return row


def _contract(figures: Figures) -> tuple[str, ...]:
    """The totals that only some contracts have: beyond or short of the estimate, and money."""
    kind = paid_kind(figures.order)
    return (f"beyond_{kind}", f"short_{kind}", "amount", "amount_if_ended", "ticket_mass")


def _title(key: str, paid: str) -> str:
    """The key of a quantity's words: where another unit is paid, the undiluted volume is only what follows from it."""
    if key == "payable" and paid != key:
        return "material"
    return key.rpartition("_")[0] if key.startswith(("beyond_", "short_")) else key


def _unit(key: str, figures: Figures) -> str:
    if key in ("amount", "amount_if_ended"):
        return figures.order.pay.currency
    return figures.unit("large_mass") if key == "ticket_mass" else pay_unit(figures.order)


def _quantity(
    page: Page, row: int, title: str, strong: bool, result: Result, number_format: str, has_results: bool
) -> None:
    page.put(row, 0, title, "total_label" if strong else "sum_label")
    page.put(row, 1, result.recomputed, "total_number" if strong else "sum_own", number_format)
    page.put(row, 2, result.uncertainty, "sum_number", reach_format(number_format, result.uncertainty))
    missing = "report.none" if has_results else "report.not_in_file"
    none = page.say[missing] if result.cell or not has_results else None
    page.put(row, 3, none if result.book is None else result.book, "sum_number", number_format)
    _difference(page, row, result.difference, not result.same, bool(result.cell), number_format)
    page.put(row, 5, None, "sum_number")
    page.fit(row, [(title, page.widths[0], "sum_label")])


def _claim(page: Page, row: int, claim: Claim, number_format: str) -> None:
    page.put(row, 0, page.say["report.quantity.claim"], "total_label")
    for column in (1, 2):
        page.put(row, column, None, "sum_number")
    page.put(row, 3, claim.claimed, "total_number", finest(number_format, claim.claimed))
    quantity = claim.difference.quantity if claim.difference else None
    _difference(page, row, quantity, bool(quantity), claim.difference is not None, number_format)
    page.put(row, 5, None, "sum_number")


def _difference(
    page: Page, row: int, volume: float | None, differs: bool, known: bool, number_format: str
) -> None:
    if differs and volume is not None:
        page.put(row, 4, volume, "sum_differs", difference_format(number_format, volume))
    else:
        page.put(row, 4, "≠" if differs else "=" if known else None, "sum_sign" if differs else "sum_same")


def _money(page: Page, row: int, worth: Money, document: Document, figures: Figures) -> None:
    """What the difference (or the deduction) of a row is worth."""
    if worth.money:
        currency = document.book.currency.replace('"', "")
        page.put(row, 5, worth.money, "sum_number", f'{figures.format("money")} "{currency}"')


def _found(page: Page, row: int, document: Document) -> int:
    say, findings = page.say, document.findings
    counts = document.conclusion.counts
    tally = " · ".join(
        f"{severity_words(key, say)}: {getattr(counts, key)}" for key in ("error", "query", "note")
    )
    row = page.group(row, f"{say['report.found.head']}   {tally}", 5)
    for one in findings[:_GRAVEST]:
        where = f"{one.sheet} {one.cell}".strip() or say["report.findings.whole"]
        page.put(row, 0, f"{say[f'report.sign.{one.severity}']}  {where}", "fact_bold")
        text = f"{one.title}: {one.found}" if one.found else one.title
        page.across(row, text, "fact", first=1)
        row += 1
    rest = len(findings) - _GRAVEST
    words = "report.found.none" if not findings else "report.found.rest" if rest > 0 else "report.found.all"
    page.across(row, say.say(words, count=max(rest, 0)), "note")
    link = f"internal:{place(say['report.sheet.findings'], 'A1')}"
    page.link(row, 0, link, say.say(words, count=max(rest, 0)), "note")
    return row + 1


def _close(page: Page, row: int, document: Document) -> int:
    say = page.say
    row = page.group(row, say["report.method.head"], 5)
    text = say.say("report.method.short", program=document.program, version=document.version)
    page.across(row, text, "note")
    row += 1
    page.height(row, 30)
    date = document.date or "____________"
    page.across(row, say.say("report.signature", date=date), "plain")
    return row
