"""What a process of its own does to a register."""

from __future__ import annotations

import multiprocessing
import os
import signal
import time
from pathlib import Path

import sqlalchemy as sa

from sheetgen.order.demo import demo_order
from sheetgen.register.register import open_register
from tests.register.books import entries, spell, stretch, summary, ticket

TICKETS, STRETCHES, SPELLS = 7, 11, 5


class Run:
    """A process that records, and what it has said so far, line by line."""

    def __init__(self, task, place: str, said: Path, name: str = "", number: int = 0) -> None:
        self._said = said
        said.touch()
        # Forked from this one, so that dozens of them start quickly; each opens the register itself.
        context = multiprocessing.get_context("fork")
        self.process = context.Process(target=_work, args=(task, place, said, name, number))
        self.process.start()

    @property
    def said(self) -> list[str]:
        """The lines that it finished."""
        return [line[:-1] for line in self._said.read_text().splitlines(keepends=True) if line.endswith("\n")]

    def finished(self) -> list[str]:
        """What it said in all, when it came to its end by itself."""
        self.process.join(120)
        assert self.process.exitcode == 0
        return self.said

    def has_begun(self) -> None:
        """Wait for its first word."""
        until = time.monotonic() + 60
        while not self.said:
            assert time.monotonic() < until
            time.sleep(0.005)

    def kill(self) -> None:
        """Kill it at once."""
        self.process.kill()
        self.process.join(60)


def _work(task, place, said, name, number):
    with said.open("a", buffering=1) as file:
        task(place, name, number, lambda line: file.write(f"{line}\n"))


def a_return(name: str, book: str):
    """A return with a known number of rows in every table."""
    return summary(
        name, identity=book, entries=entries(G12=name),
        tickets=tuple(ticket(f"{name}-{row}", row) for row in range(TICKETS)),
        stretches=tuple(stretch(row * 100, row * 100 + 100, row, road=name) for row in range(STRETCHES)),
        spells=tuple(spell(f"9:{row:02}", f"9:{row + 1:02}", row) for row in range(SPELLS)),
    )  # fmt: skip


def record(place, name, count, say):
    """Record returns of one book, and say the number of each as soon as it is kept."""
    with open_register(place) as register:
        for index in range(count):
            say(register.record_return(a_return(f"{name}{index}", "A")).number)


def same(place, name, count, say):
    """Record one file over and over, another one with varying results, and issue one book."""
    order = demo_order()
    with open_register(place) as register:
        for index in range(count):
            register.record_issue(order, order.machines[0])
            say(register.record_return(a_return("same", "B")).kind)
            varying = {"conclusion": f"{name}{index}", "tickets": (ticket("1"), ticket("2", 1))}
            register.record_return(summary("varying", identity="C", **varying))


def die(place, _name, statements, say):
    """Be killed within a transaction, after some of its statements."""
    with open_register(place) as register:
        register.record_return(a_return("before", "A"))
        count = 0

        def after(*_):
            nonlocal count
            count += 1
            if count == statements:
                os.kill(os.getpid(), signal.SIGKILL)

        sa.event.listen(register._database.engine, "after_cursor_execute", after)
        register.record_return(a_return("killed", "A"))
        say("kept")
