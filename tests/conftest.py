"""What a run of the tests covers: a sample of each family by default, everything with ``--exhaustive``.

A case is exhaustive when others of its family check the same thing on other data: the mark ``exhaustive`` says so, and
``tests/selection.py`` marks all of a list of cases but an even sample. A run without the option leaves such cases out
and draws a part of the generated examples; it ends by saying how many, and of which files. CI runs a
sixth of those cases, another with each commit (``--part``); a test named alone is run whole (``pytest FILE::TEST``).

``-m quick`` runs the files that ``tests/selection.py`` names.

Examples are drawn alike each time in CI, and others each time where a person runs the tests.
``HYPOTHESIS_PROFILE=long pytest tests/...`` draws ``TIMES`` as many for each test.
"""

from __future__ import annotations

import gc
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from hypothesis import HealthCheck, settings

from sheetgen import templates
from tests import kept_books
from tests.selection import SHARE_OF_EXAMPLES, LeftOut, in_part, is_quick, part_of

TIMES = 20
_QUIET = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
_CHOSEN = os.environ.get("HYPOTHESIS_PROFILE") or ("CI" if os.environ.get("CI") else "here")
_LEFT_OUT = pytest.StashKey[LeftOut]()
_BOOKS = pytest.StashKey[TemporaryDirectory[str]]()

os.environ["SHEETGEN_SETTINGS"] = os.devnull  # what a developer has set for an office is no part of a test
os.environ["LC_ALL"] = "C.UTF-8"  # nor is the language of a developer's system

# Without it, tests and the commands that they start would be compiled anew in every process.
if os.environ.pop("PYTHONDONTWRITEBYTECODE", None):
    sys.dont_write_bytecode = False
kept_books.keep_books()  # before any test's module takes the functions

settings.register_profile("here", deadline=None, suppress_health_check=_QUIET)
settings.register_profile(
    "CI", deadline=None, derandomize=True, print_blob=True, suppress_health_check=_QUIET
)
settings.register_profile("long", deadline=None, suppress_health_check=_QUIET)
settings.load_profile(_CHOSEN)


@pytest.fixture(autouse=True)
def _english_again() -> Iterator[None]:
    """A command that a test runs here leaves its reader's language to the process."""
    yield
    templates.speak("en")


@pytest.fixture
def made_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    """For tests of how a book is calculated or written: nothing comes from what another test made."""
    monkeypatch.delenv(kept_books.FOLDER, raising=False)


def pytest_addoption(parser: pytest.Parser) -> None:
    """One option for everything, one for a part of it."""
    text = "run every case and draw every example"
    parser.addoption("--exhaustive", action="store_true", help=text)
    text = "with all usual cases, the K-th of N parts of the exhaustive ones (K/N), as CI does by turns"
    parser.addoption("--part", metavar="K/N", type=part_of, help=text)


def pytest_configure(config: pytest.Config) -> None:
    """Nothing is left out yet, and no book made; one process of several uses the folder of the whole run."""
    config.stash[_LEFT_OUT] = LeftOut()
    kept_books.forget_books()
    if not hasattr(config, "workerinput"):
        config.stash[_BOOKS] = TemporaryDirectory(prefix="books-of-tests-", ignore_cleanup_errors=True)
        os.environ[kept_books.FOLDER] = config.stash[_BOOKS].name


def pytest_unconfigure(config: pytest.Config) -> None:
    """Leave no books behind."""
    books = config.stash.get(_BOOKS, None)
    if books is not None:
        os.environ.pop(kept_books.FOLDER, None)
        books.cleanup()


def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """No further processes for a few files: starting them would take longer than it saves."""
    files = [Path(each.split("::")[0]) for each in config.args]
    return 0 if all(path.is_file() for path in files) else None


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """A quick run does not even read the other files: that alone takes a while."""
    if config.getoption("markexpr") != "quick" or collection_path.suffix != ".py":
        return None
    return None if is_quick(collection_path.relative_to(config.rootpath).as_posix()) else True


def pytest_itemcollected(item: pytest.Item) -> None:
    """Mark what belongs to the quick part before pytest looks at ``-m``."""
    if is_quick(item.nodeid):
        item.add_marker("quick")


@pytest.hookimpl(trylast=True)  # what -k and -m leave out is not counted here
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out exhaustive cases, and draw as many examples as the run asks for."""
    everything = config.getoption("exhaustive") or any("::" in each for each in config.args)
    part = config.getoption("part")
    if not everything:
        out = [
            item for item in items if item.get_closest_marker("exhaustive") and not in_part(item.nodeid, part)
        ]
        left_out = set(out)
        items[:] = [item for item in items if item not in left_out]
        config.hook.pytest_deselected(items=out)
        config.stash[_LEFT_OUT].cases.update(item.nodeid.split("::")[0] for item in out)
    _draw(config, items, TIMES if _CHOSEN == "long" else 1 if everything else SHARE_OF_EXAMPLES)


def pytest_collection_finish() -> None:
    """Modules and cases stay to the end: nobody need look for cycles among their millions of parts again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(100_000)


def _draw(config: pytest.Config, items: list[pytest.Item], times: float) -> None:
    """Change the number of examples of each test, which stands with it: a profile alone would not."""
    for test in {item.obj for item in items if hasattr(getattr(item, "obj", None), "hypothesis")}:
        chosen = test._hypothesis_internal_use_settings  # hypothesis gives no other way to it
        examples = max(1, round(times * chosen.max_examples))
        test._hypothesis_internal_use_settings = settings(chosen, max_examples=examples)
        if examples < chosen.max_examples:
            config.stash[_LEFT_OUT].examples[test.__module__] += chosen.max_examples - examples


def pytest_sessionfinish(session: pytest.Session) -> None:
    """Hand what one process of several left out to the one that reports."""
    output = getattr(session.config, "workeroutput", None)
    if output is not None:
        output["left out"] = session.config.stash[_LEFT_OUT].as_dicts()


@pytest.hookimpl(optionalhook=True)
def pytest_testnodedown(node: Any) -> None:
    """Take what one process of several left out; each was given the same tests."""
    node.config.stash[_LEFT_OUT].take(*getattr(node, "workeroutput", {}).get("left out", ({}, {})))


def pytest_terminal_summary(terminalreporter: Any, config: pytest.Config) -> None:
    """Say what was left out, and how to run it."""
    for line in config.stash[_LEFT_OUT].lines():
        terminalreporter.write_line(line)
