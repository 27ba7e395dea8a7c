"""A season of an invented office, played through the commands: orders, changes, books, returns, corrections.

``SEASON_JOBS=30 pytest tests/season/test_whole_season.py`` plays 30 jobs with four distributors. Days are
simulated by ``tests.simulated``, payables computed by ``tests.simulated.payables``; neither shares anything with the
product. What happens to a job besides being filled and returned stands in ``FATES``.
"""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

import openpyxl
from typer.testing import CliRunner

from sheetgen.cli import app
from sheetgen.order.model import Order
from sheetgen.order.write import write_order
from tests.simulated.days import Log, honest
from tests.simulated.habits import HABITS
from tests.simulated.jobs import JOBS, Job
from tests.simulated.payables import payable, rows_of

DISTRIBUTORS = ("Truck 1", "Truck 2", "Truck 3")  # and a metric one, whose books are Spanish
FATES = ("plain", "corrected", "revised", "twice", "renamed", "moved on")
_TIMES, _HABITS = ("start", "end", "time"), ("neat", "fractions")


class Season:
    """The folders of one office, and what it does."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.register = folder, folder / "register.db"
        self.key, self.books = folder / "office.key", folder / "books"
        said = self.run("key", "new", self.key)
        self.public = max(said.split(), key=len)

    def run(self, *given: object, status: int = 0) -> str:
        """One command and what it says, which must end as expected."""
        done = CliRunner().invoke(app, [str(each) for each in given])
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            said, ended = f"{done.stdout}{done.exception}", 2
        else:
            said, ended = done.stdout, done.exit_code
        if ended != status:
            raise AssertionError(f"{' '.join(map(str, given))}\nended with {ended}: {said}")
        return said

    def build(self, order: Order, *given: object, status: int = 0) -> str:
        """The office's order as a workbook, and its book."""
        path = self.folder / f"{order.job.number} revision {order.job.revision or 0}.xlsx"
        write_order(path, order=order)
        return self.run(
            "build",
            path,
            "--out",
            self.books,
            "--key",
            self.key,
            "--register",
            self.register,
            *given,
            status=status,
        )


class Played(NamedTuple):
    """One job of the season.

    Attributes:
        number: of the job, from 0
        fate: what happens besides
        job: with the order as it was first issued
        log: what was done in all
    """

    number: int
    fate: str
    job: Job
    log: Log

    @property
    def name(self) -> str:
        """The job's number in the office."""
        return self.job.order.job.number

    @property
    def payable(self) -> float:
        """As computed apart from the product."""
        return payable(self.job, self.log)


def job(number: int) -> Played:
    """The job of a number: its kind, its distributor, its days."""
    kind = JOBS[list(JOBS)[number % len(JOBS)]]
    data = kind.order.model_dump(mode="json")
    truck = DISTRIBUTORS[number % 3] if kind.order.units == "us" else "Truck 4"
    data["job"] |= {"number": f"Y-{number + 1:02}", "date": "2026-05-01", "revision": 0}
    data["machines"][0] |= {"name": truck, "serial": f"SN {truck[-1]}"}
    made = kind._replace(order=Order.model_validate(data))
    log = {
        place: float(value) + 9 * number if place[2] == "date" else value
        for place, value in honest(made, 300 + number).items()
    }
    return Played(number, FATES[number % len(FATES)], made, log)


def half(log: Log) -> Log:
    """The first shots, and what belongs to their days."""
    shots = rows_of(log, "shots")
    kept = shots[: max(1, len(shots) // 2)]
    last = (kept[-1]["date"], kept[-1]["end"])
    after = {row["row"] for row in rows_of(log, "loads") if (row["date"], row["time"]) > last}
    rows = {"shots": len(kept)}
    days = {row["row"] for row in rows_of(log, "days") if row["date"] > last[0]}
    return {
        place: value
        for place, value in log.items()
        if not (place[0] == "shots" and place[1] >= rows["shots"])
        and not (place[0] == "loads" and place[1] in after)
        and not (place[0] == "days" and (place[1] in days or place[2].startswith("end")))
    }


def typed(played: Played, log: Log) -> Log:
    """A log as it is typed, by the habit of who types it."""
    habit = "neat" if played.job.order.language == "es" else _HABITS[played.number % len(_HABITS)]
    return HABITS[habit](log, played.job, Random(f"season {played.number}"))


def tables(log: Log, folder: Path) -> list[Path]:
    """A log as one table for each sheet, as another program writes it."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for name in ("shots", "loads", "days"):
        rows = rows_of(log, name)
        columns = list(dict.fromkeys(column for row in rows for column in row if column != "row"))
        paths.append(folder / f"{name}.csv")
        with paths[-1].open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(["no", *columns])
            for row in rows:
                writer.writerow(
                    [row["row"] + 1, *(_shown(column, row.get(column, "")) for column in columns)]
                )
    return paths


def _shown(column: str, value: Any) -> str:
    if column == "date" and isinstance(value, float):
        return (openpyxl.utils.datetime.from_excel(value)).date().isoformat()
    if column in _TIMES and isinstance(value, float):
        return f"{int(value * 1440 + 0.5) // 60}:{int(value * 1440 + 0.5) % 60:02}"
    return f"{value:.10g}" if isinstance(value, float) else str(value)


def play(season: Season, count: int) -> dict[str, Played]:
    """All jobs of a season; gives them by their number in the office."""
    jobs = [job(number) for number in range(count)]
    for each in jobs:
        season.build(each.job.order)
    first, last = season.folder / "returned early", season.folder / "returned"
    for each in jobs:
        (book,) = season.books.glob(f"{each.name}_*.xlsx")
        early = each.fate in ("corrected", "revised", "moved on")
        if early:
            _fill(
                season,
                each,
                book,
                wrong(each) if each.fate == "corrected" else half(each.log),
                first / book.name,
            )
        if each.fate == "revised":
            book = revise(season, each, first / book.name)
        name = f"{each.name} from the crew.xlsx" if each.fate == "renamed" else book.name
        _fill(season, each, book, each.log, last / name, *(["--replace"] if each.fate == "revised" else []))
        if each.fate == "twice":
            (last / f"{each.name} again.xlsx").write_bytes((last / name).read_bytes())
    for number, folder in enumerate((first, last)):
        season.run(
            "recheck", folder, "--register", season.register, "--public-key", season.public, "--json",
            "--out", season.folder / f"rechecked {number}", status=1,
        )  # fmt: skip
    season.run("season", season.register, "--out", season.folder / "season.xlsx")
    return {each.name: each for each in jobs}


def wrong(played: Played) -> Log:
    """The same log with one slip: the stick after the first shot read two inches, or fifty millimeters, too low."""
    log = dict(played.log)
    log["shots", 0, "dip_after"] -= 2 if played.job.order.units == "us" else 50
    return log


def revise(season: Season, played: Played, returned: Path) -> Path:
    """The order changed while half of the book is filled; the new book, with the entries of the first."""
    data = played.job.order.model_dump(mode="json")
    data["pay"]["unit_price"] = 4.25
    refused = season.build(Order.model_validate(data), status=2)
    (replaced,) = set(re.findall(r"\b[0-9A-Z]{4}(?:-[0-9A-Z]{4})+\b", refused)) or {refused}
    data["job"] |= {"revision": 1, "replaces": [replaced]}
    season.build(Order.model_validate(data), "--from", returned)
    (book,) = [path for path in season.books.glob(f"{played.name}_*.xlsx") if path.name != returned.name]
    return book


def _fill(season: Season, played: Played, book: Path, log: Log, out: Path, *given: object) -> None:
    out.parent.mkdir(exist_ok=True)
    season.run(
        "fill", book, *tables(typed(played, log), season.folder / "typed" / out.stem), "--out", out, *given
    )


def documents(season: Season, number: int) -> dict[str, dict[str, Any]]:
    """What a recheck said, by the name of the file."""
    (summary,) = (season.folder / f"rechecked {number}").glob("summary.json")
    return {each["file"]: each for each in json.loads(summary.read_text(encoding="utf-8"))["books"]}
