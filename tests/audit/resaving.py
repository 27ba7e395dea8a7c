"""A book opened and saved again, untouched, by programs that know nothing of this project."""

from __future__ import annotations

from pathlib import Path

import formualizer
import ironcalc
import openpyxl

from tests.engines import gnumeric, office, offices

PROGRAMS = ("openpyxl", "ironcalc", "formualizer", "LibreOffice")
ALONE = (*PROGRAMS, "Gnumeric")  # not after another: it loses checks or marks in files of some


def resaved(path: Path, program: str, out: Path) -> Path:
    """The file as one of :data:`ALONE` saves it, in a folder of its own."""
    out.mkdir(parents=True, exist_ok=True)
    target = out / f"{path.stem}-{program}.xlsx"
    if program == "openpyxl":
        openpyxl.load_workbook(path).save(target)
    elif program == "ironcalc":
        target.unlink(missing_ok=True)
        model = ironcalc.load_from_xlsx(str(path), "en", "UTC", "en")
        model.evaluate()
        model.save_to_xlsx(str(target))
    elif program == "formualizer":
        formualizer.recalculate_file(str(path), str(target))
    elif program == "Gnumeric":
        gnumeric(path, out / "gnumeric").replace(target)
    else:
        office(path, out / "office").replace(target)
    return target


def resaved_together(paths: list[Path], out: Path) -> list[Path]:
    """The files as LibreOffice saves them, all in one call of it."""
    return offices(paths, out) if paths else []
