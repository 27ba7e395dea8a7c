"""Pictures of the desk's pages, of the invented job: ``python -m tests.desk.pictures FOLDER``; needs chromium."""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path
from typing import Any

from tests.desk.served import CHROMIUM, PHONE, chromium, done, drop, page_at, served
from tests.office.conftest import write_files

_RENAME = """([from, to]) => {
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (texts.nextNode()) texts.currentNode.data = texts.currentNode.data.replaceAll(from, to);
}"""


def draw(out: Path, work: Path) -> list[Path]:
    """Draw the first page, an order, its mistakes, a table of books, a book, and that on a phone in Spanish."""
    files = write_files(work)
    (work / "cut-off.xlsx").write_bytes((work / "clean.xlsx").read_bytes()[:5000])
    handed = (
        ("order", ["order.xlsx"]),
        ("mistakes", ["mistaken.xlsx"]),
        ("books", ["clean.xlsx", "spoilt.xlsx", "cut-off.xlsx"]),
    )
    made: list[Path] = []

    def take(page: Any, name: str, whole: bool = True) -> None:
        made.append(out / f"desk-{name}.png")
        page.evaluate(_RENAME, [str(work), "/office"])  # no picture shows where it was made
        page.screenshot(path=made[-1], full_page=whole)

    with chromium() as browser, served(work / "desk") as address, page_at(browser, address) as page:
        first = page.url
        take(page, "first")
        for name, names in handed:
            page.goto(first)
            drop(page, *[files / each for each in names])
            done(page)
            take(page, name)
        page.locator("table.books tbody a").nth(3).click()
        take(page, "findings", whole=False)
        page.set_viewport_size(PHONE)
        page.get_by_role("button", name="Español").click()
        page.wait_for_selector("html[lang='es'] body")
        take(page, "phone", whole=False)
    return made


if __name__ == "__main__":
    if CHROMIUM is None:
        sys.exit("found no chromium; expected Debian's browser. Install it: apt-get install chromium")
    with tempfile.TemporaryDirectory() as held:
        for picture in draw(Path(sys.argv[1]), Path(held)):
            print(picture)
