"""A desk served in a process of its own, and a real browser that is let in: Debian's chromium, driven by playwright."""

from __future__ import annotations

import base64
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
CHROMIUM = shutil.which("chromium")
SCREEN = {"width": 1366, "height": 768}
PHONE = {"width": 375, "height": 720}
PATIENCE = 600_000  # milliseconds before a wait gives up; no result depends on it
_ADDRESS = re.compile(r"http://127\.0\.0\.1:\d+/enter\?token=\S+")

# A file that is dropped, as a browser gives it to a page.
_DROP = """([files]) => {
    const transfer = new DataTransfer();
    for (const [name, data] of files)
        transfer.items.add(new File([Uint8Array.from(atob(data), (sign) => sign.charCodeAt(0))], name));
    const drop = document.getElementById("drop");
    for (const kind of ["dragover", "drop"])
        drop.dispatchEvent(new DragEvent(kind, { dataTransfer: transfer, bubbles: true, cancelable: true }));
}"""


@contextmanager
def served(folder: Path, ends_itself: bool = False, watch: Path | None = None) -> Iterator[str]:
    """The address, good once, of a desk in a process of its own.

    It is ended as the system ends programs, or waited for where its user has ended it.
    """
    home = folder.parent / "home"
    home.mkdir(exist_ok=True)
    command = [sys.executable, "-m", "sheetgen", "desk", "--no-browser", "--folder", str(folder)]
    command += ["--watch", str(watch)] if watch else []
    own = {"HOME": str(home), "XDG_CONFIG_HOME": str(home), "SHEETGEN_SETTINGS": os.devnull}
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, text=True, cwd=ROOT, env={**os.environ, **own}
    )
    assert process.stdout is not None
    try:
        line = process.stdout.readline()
        found = _ADDRESS.search(line)
        assert found is not None, line + process.stdout.read()
        yield found[0]
    finally:
        if not ends_itself:
            process.terminate()
        try:
            assert process.wait(60) == 0
        finally:
            process.kill()
            process.stdout.close()


@contextmanager
def chromium() -> Iterator[Any]:
    """The browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        browser = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-dev-shm-usage"]
        )
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def page_at(browser: Any, address: str, screen: dict[str, int] = SCREEN) -> Iterator[Any]:
    """A page of a person who is let in; an error of its scripts, or what its policy forbids, is raised at the end."""
    context = browser.new_context(viewport=screen, accept_downloads=True)
    context.set_default_timeout(PATIENCE)
    page = context.new_page()
    troubles: list[str] = []
    page.on("pageerror", lambda error: troubles.append(str(error)))
    page.on(
        "console", lambda said: troubles.append(said.text) if "Content Security Policy" in said.text else None
    )
    page.goto(address)
    yield page
    context.close()
    assert troubles == []


def drop(page: Any, *files: Path) -> None:
    """Drop files on the first page."""
    page.evaluate(_DROP, [[[file.name, base64.b64encode(file.read_bytes()).decode()] for file in files]])


def done(page: Any) -> None:
    """Wait until what was handed in is done."""
    page.wait_for_url("**/deliveries/**")
    page.wait_for_selector("#working", state="detached")
    page.wait_for_load_state()  # the page was loaded again: with all of its rows
