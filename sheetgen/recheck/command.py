"""The command ``sheetgen recheck``: every named book, one after the other, and what they say against each other."""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from dataclasses import asdict
from pathlib import Path
from typing import Any

from sheetgen.errors import UnusableBook
from sheetgen.order.read import read_order
from sheetgen.recheck.claim_sheet import book_key, read_claim
from sheetgen.recheck.findings import catalogue
from sheetgen.recheck.model import Finding, Recheck
from sheetgen.recheck.report import BookLine, line_of, write_report, write_summary
from sheetgen.recheck.run import recheck_book
from sheetgen.register import AcrossFinding, open_register, summarize
from sheetgen.signing import read_public_text

CLEAN, FINDINGS, UNUSABLE = 0, 1, 2
_MOST = 25  # findings of one book that are printed; the report has them all


def recheck_command(
    books: Iterable[Path],
    order: Path | None,
    public_key: str | None,
    claim: str | None,
    register: str | None,
    out: Path,
    as_json: bool,
) -> int:
    """Recheck books and folders of them, write the reports, print a line or more for each; the exit status."""
    own = None if order is None else read_order(order)
    key = None if public_key is None else read_public_text(public_key)
    claimed = None if claim is None else read_claim(claim)
    lines: list[BookLine] = []
    unusable: list[UnusableBook] = []
    names: set[str] = set()
    seen: set[str] = set()  # books that a line of a claim sheet can be about
    with ExitStack() as stack:
        kept = stack.enter_context(open_register(register))
        returns = []
        for path in found_books(books):
            try:
                result = recheck_book(path, own, claimed, key, kept.layout)
            except UnusableBook as error:
                unusable.append(error)
                print(error, file=sys.stderr)
                continue
            reports = write_report(result, out, name=_unused_name(path, names))
            lines.append(line_of(result, reports[0].name))
            seen |= {book_key(result.identity), book_key(result.path)}
            returns.append(kept.record_return(summarize(result)).return_id)
            print(_json_line(reports) if as_json else _text(result, reports[0]))
        across = kept.across(returns) if len(returns) > 1 or register is not None else []
    for found in across:
        print(json.dumps(asdict(found), ensure_ascii=False) if as_json else _across_line(found))
    if len(lines) + len(unusable) > 1:
        look = own or next(iter(lines), None)
        language, paper = (look.language, look.paper) if look is not None else ("en", "letter")
        write_summary(lines, unusable, out, language, paper, across)
    unsupported = (
        {book: claimed[book] for book in claimed if book not in seen} if isinstance(claimed, dict) else {}
    )
    for book, quantity in sorted(unsupported.items()):
        print(f"{claim}: {quantity:.10g} is claimed for {book}, and no book of that name came back")
    if unusable:
        return UNUSABLE
    return FINDINGS if across or unsupported or any(line.verdict != "clean" for line in lines) else CLEAN


def found_books(named: Iterable[Path]) -> Iterator[Path]:
    """The files named, and the workbooks in the folders named, each once, in order of their names."""
    seen: set[Path] = set()
    for path in named:
        inside = sorted(path.rglob("*.xlsx")) if path.is_dir() else [path]
        for book in inside:
            if book.resolve() not in seen and not book.name.startswith(("~$", ".")):
                seen.add(book.resolve())
                yield book


def _unused_name(path: Path, names: set[str]) -> str:
    """The file's own name for its report, with a number behind it where a file of that name had one already."""
    name, number = path.stem, 1
    while name.casefold() in names:
        number += 1
        name = f"{path.stem} ({number})"
    names.add(name.casefold())
    return name


def _text(result: Recheck, report: Path) -> str:
    counts = Counter(finding.severity for finding in result.findings)
    payable = result.totals.overall.get("payable")
    head = f"{result.path}: {result.verdict}"
    if counts:
        head += " (" + ", ".join(f"{counts[severity]} {severity}" for severity in counts) + ")"
    paid = "cannot be told" if payable is None else f"{payable:,.10g}"
    return "\n".join(
        [head, f"  origin {result.origin}; payable as recomputed {paid}; report {report}"]
        + [f"  {_line(finding)}" for finding in result.findings[:_MOST]]
        + (
            [f"  and {len(result.findings) - _MOST} more: see the report"]
            if len(result.findings) > _MOST
            else []
        )
    )


def _line(finding: Finding) -> str:
    where = f"{finding.sheet}!{finding.cell}" if finding.cell else finding.sheet
    return f"{finding.severity:<6}{where:<14}{catalogue()[finding.name].text('title', 'en')} ({finding.name})"


def _across_line(found: AcrossFinding) -> str:
    other = f" and {found.other_path}" if found.other_path else ""
    return f"{found.path}{other}\n  {_line(found.finding)}"


def _json_line(reports: list[Path]) -> str:
    data: dict[str, Any] = json.loads(reports[1].read_text(encoding="utf-8"))
    return json.dumps(data, ensure_ascii=False, sort_keys=True)
