"""The command ``sheetgen yard``: a blank yard workbook where there is none, else a check of the one that is there."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from sheetgen import templates
from sheetgen.output import in_full
from sheetgen.yard.read import check_units, read_yard, yard_warnings
from sheetgen.yard.write import write_yard

CLEAN, FINDINGS = 0, 1


def yard_command(path: Path, units: str, lang: str, paper: str | None, day: dt.date) -> tuple[int, str]:
    """Write a blank yard workbook, or check one; gives the exit status and what is said.

    Args:
        units, lang, paper: of a blank one
        day: on which certificates and calibrations must hold

    Raises:
        YardError: with every mistake in the workbook, each with its cell
    """
    if not path.exists():
        write_yard(path, units, lang, paper)
        return CLEAN, templates.texts(lang).say("command.yard_written", path=in_full(path))
    yard = read_yard(path)
    say = templates.texts(yard.language, yard.units)
    facts = {"machines": len(yard.machines), "materials": len(yard.materials)}
    lines = [say.say("command.yard_checked", path=in_full(path), **facts)]
    warnings = yard_warnings(yard, day)
    if warnings:
        lines.append(say.say("command.yard_warnings", date=day.isoformat(), count=len(warnings)))
        lines += [f"  {in_full(each.told(say))}" for each in warnings]
    return (FINDINGS if warnings else CLEAN), "\n".join(lines)


def order_from_yard(path: Path, yard_path: Path, units: str | None, lang: str, paper: str | None) -> None:
    """Write a blank order that takes distributors and materials from a yard, in the yard's unit system.

    Raises:
        YardError: the yard has mistakes, or is in another unit system than asked for
    """
    from sheetgen.order.write import write_order

    yard = read_yard(yard_path)
    if units is not None:
        check_units(yard, units, yard_path)
    write_order(path, units=yard.units, lang=lang, paper=paper, replace=False, yard=yard)
