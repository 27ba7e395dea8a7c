"""A language is a folder of texts: every command, book and report works in one that is only that."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest

ROOT = Path(__file__).parents[1]
MARK = "(xx)"
TITLE = re.compile(r'^((?:title|title_\w+|headline|label|name) = ")([^"{}=\\\\]+)(")', re.MULTILINE)


@pytest.fixture(scope="module")
def checkout(tmp_path_factory):
    """A copy of the package beside a copy of its templates with a third language: English, its titles marked."""
    folder = tmp_path_factory.mktemp("third")
    for name in ("sheetgen", "templates_src"):
        shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    texts = folder / "templates_src" / "texts"
    shutil.copytree(texts / "en", texts / "xx")
    for file in (texts / "xx").iterdir():
        text = file.read_text(encoding="utf-8")
        file.write_text(TITLE.sub(rf"\g<1>\g<2> {MARK}\g<3>", text), encoding="utf-8")
    return folder


def _run(checkout: Path, *arguments: object, status: tuple[int, ...] = (0, 1)) -> str:
    done = subprocess.run(
        [sys.executable, "-P", "-c", "from sheetgen.cli import main; main()", *map(str, arguments)],
        capture_output=True, text=True, check=False, timeout=300, cwd=checkout,
        env={**os.environ, "PYTHONPATH": str(checkout)},
    )  # fmt: skip
    assert done.returncode in status, done.stderr
    return done.stdout


def _marked(path: Path) -> dict[str, int]:
    """How many cells of each sheet bear the mark."""
    workbook = openpyxl.load_workbook(path)
    return {
        sheet.title: sum(
            isinstance(cell.value, str) and MARK in cell.value for row in sheet.iter_rows() for cell in row
        )
        for sheet in workbook
    }


@pytest.fixture(scope="module")
def demo(checkout):
    """The whole flow in the third language."""
    said = _run(checkout, "demo", "--out", "demo", "--units", "si", "--lang", "xx")
    assert MARK in said
    return checkout / "demo"


def test_every_sheet_of_the_order_workbook_speaks_it(demo):
    marked = _marked(demo / "order.xlsx")
    assert all(count for sheet, count in marked.items()), marked


def test_the_book_speaks_it(demo):
    (book,) = (demo / "books").glob("*.xlsx")
    marked = _marked(book)
    unmarked = {sheet for sheet, count in marked.items() if not count}
    assert len(unmarked) <= 1, unmarked  # the record has no title


def test_the_recheck_and_its_report_speak_it(checkout, demo):
    (returned,) = (demo / "returned").glob("*_with-errors.xlsx")
    said = _run(checkout, "recheck", returned, "--out", "again")
    assert MARK in said, "titles of findings"
    marked = _marked(next((checkout / "again").glob("*.recheck.xlsx")))
    assert all(marked.values()), marked
    report = json.loads(next((checkout / "again").glob("*.recheck.json")).read_text(encoding="utf-8"))
    assert all(MARK in finding["title"] for finding in report["findings"])
    names = {finding["name"] for finding in report["findings"]}
    assert not any("changed" in name for name in names), "no cell counts as changed because of its language"


def test_the_honest_book_is_as_clean_as_in_any_language(checkout, demo):
    (returned,) = (demo / "returned").glob("*_clean.xlsx")
    _run(checkout, "recheck", returned, "--out", "clean", status=(0,))


def test_a_blank_order_build_and_plan_work_in_it(checkout, demo):
    assert "blank.xlsx" in _run(checkout, "order", "blank.xlsx", "--lang", "xx")
    _run(checkout, "build", demo / "order.xlsx", "--out", "built")
    assert list((checkout / "built").glob("*.xlsx"))
    assert _run(checkout, "plan", demo / "order.xlsx")
    assert MARK in _run(checkout, "explain", "stick-reading-rose-during-shot", "--lang", "xx")


def test_a_mistake_in_such_an_order_is_told_in_it(checkout, demo):
    workbook = openpyxl.load_workbook(demo / "order.xlsx")
    sheet = workbook.worksheets[1]
    row = next(row for row in range(1, 60) if sheet.cell(row, 1).value == "job.date")
    sheet.cell(row, 3).value = "soon"
    workbook.save(checkout / "wrong.xlsx")
    _run(checkout, "build", "wrong.xlsx", "--out", "none", status=(2,))
