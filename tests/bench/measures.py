"""What is measured: reading, writing, whole processes, growth."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import openpyxl
import pandas as pd
import python_calamine

from sheetgen.audit.report import write_report
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.xlsx.results import results
from sheetgen.xlsx.write import write_book
from tests.bench.bare import bare_writer
from tests.bench.books import copies, order_of
from tests.bench.rounds import Times, cost, in_turn, run_program

RECHECK, OPENPYXL = "recheck, everything but the report", "openpyxl.load_workbook"
BUILD, BARE = "build, everything", "XlsxWriter alone, same cells"
WRITE = "of that: writing"
RECHECK_ONE, IMPORT_PANDAS = "sheetgen recheck, one book", "python -c 'import pandas'"

_IMPORTED = "import sys; from pathlib import Path; path = Path(sys.argv[1]);"
_RECHECK = f"{_IMPORTED} from sheetgen.audit.run import recheck_book; recheck_book(path)"
_OPENPYXL = f"{_IMPORTED} import openpyxl; openpyxl.load_workbook(path)"
_BUILD = (
    f"{_IMPORTED} from tests.bench.books import order_of; from sheetgen.book.build import build_books;"
    "build_books(order_of(int(sys.argv[2])), path)"
)
_BATCH = "import sys; from sheetgen.cli import main; sys.argv[0] = 'sheetgen'; main()"


@dataclass(frozen=True, slots=True)
class Grown:
    """Processor seconds and the most memory, by size."""

    sizes: tuple[int, ...]
    seconds: tuple[float, ...]
    memory: tuple[float, ...]  # MB


def reading(book: Path, folder: Path, rounds: int) -> dict[str, Times]:
    """A recheck against what only reads the same file."""
    checked = recheck_book(book)
    return in_turn(
        {
            RECHECK: lambda: recheck_book(book),
            OPENPYXL: lambda: openpyxl.load_workbook(book),
            "python-calamine, all values": lambda: _all_values(book),
            "pandas.read_excel, all sheets": lambda: pd.read_excel(book, sheet_name=None, engine="openpyxl"),
            "the report, written": lambda: write_report(checked, folder),
        },
        rounds,
    )


def _all_values(book: Path) -> list[object]:
    workbook = python_calamine.CalamineWorkbook.from_path(str(book))
    return [workbook.get_sheet_by_name(name).to_python() for name in workbook.sheet_names]


def writing(shots: int, folder: Path, rounds: int) -> dict[str, Times]:
    """A build against the same cells written with XlsxWriter alone; and the parts of a build."""
    order = order_of(shots)
    machine = order.machines[0]
    book = lay_out(order, machine)
    values = results(book)
    path = folder / "built.xlsx"
    return in_turn(
        {
            BUILD: lambda: write_book(lay_out(order, machine), path),
            BARE: bare_writer(book, values, folder / "bare.xlsx"),
            "of that: laying out": lambda: lay_out(order, machine),
            "of that: results of the formulas": lambda: results(book),
            WRITE: lambda: write_book(book, path, values),
        },
        rounds,
    )


def processes(book: Path, folder: Path, rounds: int) -> dict[str, Times]:
    """Whole processes, from start to end."""
    program = ("-m", "sheetgen.cli")
    commands = ("", "demo", "order", "build", "plan", "recheck", "explain", "key")
    cases = {
        f"sheetgen {command} --help".replace("  ", " "): (*program, *command.split(), "--help")
        for command in commands
    }
    cases |= {
        RECHECK_ONE: (*program, "recheck", str(book), "--out", str(folder / "one")),
        IMPORT_PANDAS: ("-c", "import pandas"),
        "python -c pass": ("-c", "pass"),
    }
    return in_turn({name: _program(arguments, folder) for name, arguments in cases.items()}, rounds)


def _program(arguments: Sequence[str], folder: Path) -> Callable[[], None]:
    def run() -> None:
        shutil.rmtree(folder / "one", ignore_errors=True)  # a run that finds its report there does nothing
        run_program(*arguments)

    return run


def over_processes(book: Path, folder: Path, count: int, rounds: int) -> dict[str, Times]:
    """One process against two, on copies of a book."""
    returned = copies(book, folder / "two", count)

    def batch(jobs: int) -> Callable[[], None]:
        numbers = iter(range(10**6))

        def run() -> None:
            out = folder / f"out-{jobs}-{next(numbers)}"
            run_program(
                "-m", "sheetgen.cli", "recheck", str(returned), "--out", str(out), "--jobs", str(jobs)
            )

        return run

    return in_turn({f"--jobs {jobs}": batch(jobs) for jobs in (1, 2)}, rounds)


def growth_with_shots(books: dict[int, Path], folder: Path) -> dict[str, Grown]:
    """Processes of their own that recheck, read with openpyxl, and build, by the rows of the shot log."""
    grown = {}
    for name, code in ((RECHECK, _RECHECK), (OPENPYXL, _OPENPYXL), (BUILD, _BUILD)):
        costs = [
            cost(code, str(folder if code == _BUILD else book), str(shots)) for shots, book in books.items()
        ]
        grown[name] = Grown(tuple(books), *zip(*costs, strict=True))
    return grown


def growth_with_books(book: Path, folder: Path, counts: Sequence[int]) -> Grown:
    """One process on ever more copies of a book, reports and what books say against each other included."""
    costs = [
        cost(
            _BATCH,
            "recheck",
            str(copies(book, folder / f"grow-{count}", count)),
            "--out",
            str(folder / f"grown-{count}"),
        )
        for count in counts
    ]
    return Grown(tuple(counts), *zip(*costs, strict=True))
