"""What a command imports is a good part of its time: heavy libraries come in only where they are used."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order

SAMPLE = next((Path(__file__).parents[1] / "samples" / "returned").glob("*_clean.xlsx"))
DRAWING = {"pandas", "matplotlib", "scipy"}
HEAVY = DRAWING | {
    "anyio", "cryptography", "formualizer", "jinja2", "lxml", "numpy", "openpyxl", "pint", "segno", "sqlalchemy",
    "starlette", "uvicorn", "xlsxwriter",
}  # fmt: skip
# pint takes these where it finds them, whoever installed them: here they are as if not installed.
_TAKEN_BY_PINT = ("dask", "scipy", "uncertainties")
_CODE = f"""
import atexit, sys
sys.modules.update(dict.fromkeys({_TAKEN_BY_PINT!r}))
def say():
    loaded = [name for name, module in sys.modules.items() if module]
    own = {{name for name in loaded if name.startswith("sheetgen.")}}
    print("imported", *sorted({{name.split(".")[0] for name in loaded}} | own))
atexit.register(say)
sys.argv[0] = "sheetgen"
from sheetgen.cli import main
main()
"""


def imported(*arguments: str) -> set[str]:
    """The packages that a command has imported when it ends."""
    done = subprocess.run(
        [sys.executable, "-c", _CODE, *arguments], capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode in (0, 1), done.stderr
    head, *names = done.stdout.splitlines()[-1].split()
    assert head == "imported"
    assert "sheetgen" in names
    return set(names)


@pytest.mark.parametrize(
    "command",
    [
        [],
        ["recheck"],
        ["build"],
        ["plan"],
        ["demo"],
        ["order"],
        ["explain"],
        ["fill"],
        ["open"],
        ["desk"],
        ["settings"],
        ["key", "new"],
    ],
    ids=" ".join,
)
def test_help_imports_nothing_heavy(command):
    names = imported(*command, "--help")
    assert names & HEAVY == set()
    assert {name for name in names if name.startswith("sheetgen.desk")} == set()


def test_a_recheck_imports_no_tables_pictures_or_database(tmp_path):
    names = imported("recheck", str(SAMPLE), "--out", str(tmp_path))
    assert names & (DRAWING | {"numpy", "openpyxl", "pint", "sqlalchemy"}) == set()
    assert {"lxml", "xlsxwriter"} <= names  # what it does need is seen


def test_a_recheck_of_one_book_reads_nothing_that_only_says_plans_or_many_books(tmp_path):
    names = imported("recheck", str(SAMPLE), "--out", str(tmp_path))
    unused = {
        "plan.text",
        "plan.json_form",
        "plan.answer",
        "compare.common_sizes",
        "batch.summary_document",
        "quantities",
    }
    assert names & {f"sheetgen.{name}" for name in unused} == set()
    assert {"sheetgen.plan.job", "sheetgen.audit.report.document"} <= names


def test_a_build_imports_no_library_of_units(tmp_path):
    order = write_order(tmp_path / "order.xlsx", order=demo_order())
    names = imported("build", str(order), "--out", str(tmp_path))
    assert names & (DRAWING | {"pint", "sqlalchemy"}) == set()
    assert "formualizer" in names


def test_a_file_alone_imports_nothing_of_the_desk(tmp_path):
    names = imported(str(SAMPLE), "--out", str(tmp_path))
    assert names & {"anyio", "jinja2", "starlette", "uvicorn"} == set()
    assert {name for name in names if name.startswith("sheetgen.desk")} == set()


_FIRST_PAGE = """
import asyncio, sys
from pathlib import Path
from sheetgen.desk.app import application
from sheetgen.desk.serve import desk_of
from sheetgen.office.settings import Settings
answers = []
async def receive():
    return {"type": "http.request"}
async def send(message):
    answers.append(message)
address = {"path": "/", "raw_path": b"/", "query_string": b"", "root_path": "", "scheme": "http"}
scope = {"type": "http", "method": "GET", "http_version": "1.1", "headers": [], "server": ("desk", 80), **address}
desk = desk_of(Path(sys.argv[1]), Settings(), Path(sys.argv[1]) / "watched")
asyncio.run(application(desk)(scope, receive, send))
assert answers[0]["status"] == 200, answers
print(*sorted({name.split(".")[0] for name in sys.modules}))
"""


def test_the_first_page_of_the_desk_waits_for_no_library_that_only_work_needs(tmp_path):
    done = subprocess.run(
        [sys.executable, "-c", _FIRST_PAGE, str(tmp_path)],
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    names = set(done.stdout.split())
    work = {"cryptography", "formualizer", "numpy", "openpyxl", "pint", "segno", "sqlalchemy"}
    assert names & (DRAWING | work) == set()
    assert {"starlette", "jinja2"} <= names


def test_no_command_reads_a_workbook_with_the_library_that_only_tests_read_with(tmp_path):
    order = write_order(tmp_path / "order.xlsx", order=demo_order())
    names = imported("recheck", str(SAMPLE), "--order", str(order), "--out", str(tmp_path))
    assert "openpyxl" not in names
    assert "sheetgen.order.order_file" in names
