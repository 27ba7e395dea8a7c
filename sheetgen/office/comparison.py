"""Distributors compared over the jobs of several orders, whoever hands them in."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from sheetgen.templates import speak, spoken, spoken_texts

if TYPE_CHECKING:
    from sheetgen.compare.over_jobs import Compared
    from sheetgen.order.model import Machine


class Comparison(NamedTuple):
    """A comparison, and how it is written.

    Attributes:
        found: every distributor over all jobs
        system, language, paper: of what is written
        invented: whether one of the jobs is a demonstration
    """

    found: list[Compared]
    system: str
    language: str
    paper: str
    invented: bool

    def write(self, folder: Path) -> list[Path]:
        """Write the workbook and the table into a folder, and say where."""
        from sheetgen.compare.workbook import write_compared

        return write_compared(self.found, self.system, self.language, self.paper, folder, self.invented)


def comparison_of(paths: Sequence[Path], yard: Path | None, sizes: bool, language: str) -> Comparison:
    """Compare the distributors of orders, and of a yard, over the jobs of these orders.

    Args:
        paths: the orders
        yard: a yard workbook whose distributors are compared too
        sizes: whether distributors of common sizes are compared too
        language: empty for that of the first order

    Raises:
        SheetgenError: an order or the yard cannot be read, or they are in different units.
    """
    from sheetgen.compare.configurations import common_configurations, ordered_configurations
    from sheetgen.compare.over_jobs import compare, refuse_mixed_units
    from sheetgen.order.read import read_order

    orders = [read_order(path) for path in paths]
    speak(language or orders[0].language)
    refuse_mixed_units(orders)
    said, system = spoken(), orders[0].units
    machines: Sequence[Machine] = ()
    if yard is not None:
        from sheetgen.yard.read import check_units, read_yard

        kept = read_yard(yard)
        check_units(kept, system, yard)
        machines = kept.machines
    configurations = ordered_configurations(orders, machines, spoken_texts()["compare.yard"])
    if sizes:
        configurations += common_configurations(system, said)
    invented = any(order.job.invented for order in orders)
    return Comparison(compare(orders, configurations, said), system, said, orders[0].paper, invented)


def write_comparison(
    paths: Sequence[Path], yard: Path | None, sizes: bool, language: str, folder: Path
) -> Path:
    """Compare as :func:`comparison_of`, and write the workbook into a folder."""
    return comparison_of(paths, yard, sizes, language).write(folder)[0]
