"""What became of files of a watched folder, put where the people who put them there find it: a folder for each file."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import NamedTuple

from sheetgen.desk.deliveries import ClaimFacts, Deliveries, Delivery
from sheetgen.errors import Mistake
from sheetgen.templates import Texts, texts
from sheetgen.whole_file import together, write_whole


class Result(NamedTuple):
    """What became of one file: files, named from the delivery's folder, and texts by the name that they get."""

    files: list[str]
    texts: dict[str, str]


def put_results(deliveries: Deliveries, delivery: Delivery, place: Path, language: str) -> None:
    """Copy the results of a delivery into a folder of its own for each file, named as the file.

    The name is kept before anything is written: after a stop the same folder is filled, not another one.

    Raises:
        OSError: something cannot be written there.
    """
    for name, result in results_of(delivery, texts(language)).items():
        if name not in delivery.results:
            delivery.results[name] = _free_name(place, Path(name).stem)
            deliveries.keep(delivery)
        with together(place / delivery.results[name], lambda _places: None) as stage:
            for file in result.files:
                shutil.copyfile(deliveries.path(delivery, *file.split("/")), stage / Path(file).name)
            for called, text in result.texts.items():
                write_whole(stage / called, f"{text}\n".encode("utf-8-sig"))
    delivery.put_out = True
    deliveries.keep(delivery)


def results_of(delivery: Delivery, say: Texts) -> dict[str, Result]:
    """What is put out for each file that was received."""
    why = f"{say['desk.watch.why']}.txt"
    found = {
        name: Result([], {why: delivery.trouble or say["desk.other.nothing"]}) for name in delivery.received
    }
    for order in delivery.orders:
        files = [order.marked, order.page, *order.books, *(picture.file for picture in order.pictures)]
        said = {f"{say['desk.order.plan']}.txt": order.plan, why: order.error}
        said |= {why: "\n".join(_mistakes(order.mistakes, say))} if order.mistakes else {}
        found[order.file] = _result(files, said)
    for book in delivery.books:
        found[book.file] = _result([book.report, book.copy_with_notes], {why: book.error})
    for claim in delivery.claims:
        found[claim.file] = Result([], {f"{say['desk.claims.heading']}.txt": _compared(claim, say)})
    for report in delivery.reports:
        del found[report.file]
    return found


def _result(files: list[str], said: dict[str, str]) -> Result:
    return Result([file for file in files if file], {name: text for name, text in said.items() if text})


def _compared(claim: ClaimFacts, say: Texts) -> str:
    compared = say.say("desk.claims.compared", books=", ".join(claim.compared) or "-")
    absent = say.say("desk.claims.absent", books=", ".join(claim.absent)) if claim.absent else ""
    return "\n".join(filter(None, (compared, absent)))


def _mistakes(mistakes: list[Mistake], say: Texts) -> list[str]:
    return [
        f"{each.sheet} {each.cell}: "
        + say.say("desk.unusable", found=each.found, expected=each.expected, remedy=each.remedy)
        for each in mistakes
    ]


def _free_name(place: Path, stem: str) -> str:
    name, number = stem, 1
    while (place / name).exists():
        number += 1
        name = f"{stem} ({number})"
    return name
