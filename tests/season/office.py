"""A season of an invented office: four jobs for each of three distributors, and what is planted in their books.

Days are simulated by ``tests.simulated``, which shares no arithmetic with the product. One supplier's tickets give ten
gallons too much each; the stick of one distributor shows three percent too much; the others are honest.
"""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

import sheetgen
from sheetgen.audit.model import Recheck
from sheetgen.book.build import write_filled
from sheetgen.order.model import Order
from sheetgen.register.register import open_register
from tests.simulated.days import Log, honest
from tests.simulated.jobs import JOBS, Job

DISTRIBUTORS = ("Truck 1", "Truck 2", "Truck 3")
SUPPLIERS = ("Invented North", "Invented South", "Invented West")
OPERATORS = ("A. Invented", "B. Invented", "C. Invented", "D. Invented")
PLANTED_SUPPLIER, PLANTED_STICK = "Invented West", "Truck 3"
_KINDS = ("tack", "fog seal", "chip seal", "prime with cutback")
_GALLONS, _LONG = 10.0, 1.03
_DIPS = ("dip_before", "dip_after", "start_dip", "end_dip")
_WATER = 8.328  # pounds a gallon at 60 °F, from memory


class Book(NamedTuple):
    """One book of the season by its number, with or without what is planted."""

    number: int
    planted: bool = True

    @property
    def distributor(self) -> str:
        return DISTRIBUTORS[self.number % 3]

    @property
    def operator(self) -> str:
        return OPERATORS[self.number // 3]

    @property
    def job(self) -> Job:
        """Its kind of work, as an order for its distributor."""
        kind = JOBS[_KINDS[(self.number % 3 + self.number // 3) % 4]]
        data = kind.order.model_dump(mode="json")
        data["job"] |= {"number": f"S-{self.number + 1}", "date": "2026-05-01"}
        data["machines"][0] |= {"name": self.distributor, "serial": f"SN {self.distributor[-1]}"}
        data["size"] = {"shots": 18, "loads": 7, "days": 3}
        return kind._replace(order=Order.model_validate(data))

    def log(self) -> Log:
        """What its crew wrote; a job a week."""
        job = self.job
        log = honest(job, 100 + self.number)
        dense = job.order.material.specific_gravity * _WATER
        for (table, row, column), value in list(log.items()):
            if column == "date":
                log[table, row, column] = float(value) + 7 * self.number
            elif column == "operator":
                log[table, row, column] = self.operator
            elif column == "ticket":
                log[table, row, "supplier"] = SUPPLIERS[(self.number // 3 + row) % 3]
            elif column in _DIPS and self.planted and self.distributor == PLANTED_STICK:
                log[table, row, column] = round(float(value) * _LONG * 8) / 8
        if self.planted:
            for (table, row, column), value in list(log.items()):
                if column in ("net_mass", "volume") and log[table, row, "supplier"] == PLANTED_SUPPLIER:
                    more = _GALLONS * (dense if column == "net_mass" else 1.0)
                    log[table, row, column] = float(round(float(value) + more))
        return log


def returned(book: Book, folder: Path, log: Log | None = None, name: str = "") -> Path:
    """The field book of an order as it comes back, filled."""
    order, path = book.job.order, folder / f"book {book.number + 1}{name}.xlsx"
    folder.mkdir(exist_ok=True)
    return write_filled(order, order.machines[0], dict(log or book.log()), path)


def season_of_twelve(folder: Path) -> tuple[Path, list[Recheck]]:
    """The register of the season, and the recheck of each book's last return; one book came back twice."""
    place = folder / "register.db"
    rechecks = []
    with open_register(place) as register:
        for number in range(12):
            book = Book(number)
            register.record_issue(book.job.order, book.job.order.machines[0])
            if number == 0:
                half = {key: value for key, value in book.log().items() if key[0] != "shots" or key[1] < 2}
                first = returned(book, folder / "first", half, " first")
                register.record_return(sheetgen.recheck(first))
            rechecks.append(sheetgen.recheck(returned(book, folder)))
            register.record_return(rechecks[-1])
    return place, rechecks
