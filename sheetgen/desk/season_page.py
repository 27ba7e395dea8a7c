"""The season of the register on its page: main figures, what is unusual, pictures; and the workbook to download."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from markupsafe import Markup

from sheetgen.figures import number_text


def season_facts(register: str, language: str) -> dict[str, Any]:
    """What the page shows of the season; no figures where no book has come back."""
    from sheetgen.register.register import read_register
    from sheetgen.season import season_of, standouts_of
    from sheetgen.season.charts import pictures_of
    from sheetgen.season.words import Voice
    from sheetgen.season.workbook import figures_of

    with read_register(register) as kept:
        season = season_of(kept)
    if season.books.empty:
        return {"figures": [], "unusual": [], "pictures": []}
    found, voice = standouts_of(season), Voice(season, language)
    figures = [
        (
            voice.say[f"season.figure.{key}"],
            f"{number_text(value, language, 0)} {voice.unit(unit) if unit else ''}",
        )
        for key, value, unit in figures_of(season)
        if value
    ]
    pictures = [(each.title, Markup(each.svg)) for each in pictures_of(season, found, voice)]
    return {"figures": figures, "unusual": [voice.sentence(one) for one in found], "pictures": pictures}


def season_workbook(register: str, folder: Path, language: str, paper: str) -> bytes:
    """The season's workbook, made for this download."""
    from sheetgen.register.register import read_register
    from sheetgen.season import season_of, write_season

    with read_register(register) as kept:
        season = season_of(kept)
    path = folder / "season.xlsx"
    write_season(season, path, language, paper or "letter")
    return path.read_bytes()
