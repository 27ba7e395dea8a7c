"""The command ``season``: the workbook of what many books of a register show together."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from sheetgen.errors import RegisterError, SheetgenError
from sheetgen.output import in_full, printable
from sheetgen.templates import texts


def season_command(
    register: str,
    out: Path,
    begins: str | None,
    ends: str | None,
    material: str | None,
    language: str,
    paper: str,
) -> str:
    """Write the season's workbook, and say where it is and how many items are unusual.

    Raises:
        SheetgenError: an option cannot be used, there is no such register, or another file lies at ``out``.
    """
    from sheetgen.register.register import is_there, read_register
    from sheetgen.season import Terms, season_of, write_season

    say = texts(language)
    terms = Terms(_day("--from", begins, language), _day("--to", ends, language))
    if terms.begins and terms.ends and terms.begins > terms.ends:
        raise SheetgenError(say.say("season.bad_period", begins=terms.begins, ends=terms.ends))
    if material is not None:
        terms = terms._replace(material=_share(material, language))
    if not register:
        raise RegisterError(say["season.no_register"])
    if not is_there(register):
        raise RegisterError(say.say("season.no_such_register", path=in_full(register)))
    with read_register(register) as opened:
        season = season_of(opened, terms)
    found = write_season(season, out, language, paper)
    return say.say("season.written", path=in_full(out), books=len(season.books), count=len(found))


def _day(option: str, text: str | None, language: str) -> dt.date | None:
    if text is None:
        return None
    try:
        return dt.date.fromisoformat(text)
    except ValueError as error:
        say = texts(language)
        raise SheetgenError(say.say("season.bad_date", option=option, found=printable(text))) from error


def _share(text: str, language: str) -> float:
    """A percentage between 0 and 100 as a part."""
    from sheetgen.audit.material import read_material

    try:
        share = read_material(text).share
    except SheetgenError:
        share = None
    if share is None or not 0 < share < 1:
        raise SheetgenError(texts(language).say("season.bad_material", found=printable(text)))
    return share
