"""The command ``sheetgen compare``: configurations over the jobs of several orders, or common sizes alone."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.output import printable
from sheetgen.templates import speak, spoken, spoken_texts

if TYPE_CHECKING:
    from sheetgen.order.model import Machine


def compare_command(
    named: Sequence[Path], yard: Path | None, sizes: bool, out: Path | None, language: str
) -> str:
    """Compare, and give what is printed.

    Args:
        named: orders, and folders with orders in them; none for the table of common sizes
        yard: a yard workbook whose distributors are compared too
        sizes: whether distributors of common sizes are compared too
        out: a folder that the workbook and the table of the comparison are written into
        language: of what is printed and written; empty for that of the first order
    """
    if not named:
        from sheetgen.compare.common_sizes_text import common_sizes_text

        return common_sizes_text(language or spoken()).rstrip("\n")
    from sheetgen.api import read_order
    from sheetgen.commands.several_orders import orders_in
    from sheetgen.compare.configurations import common_configurations, ordered_configurations
    from sheetgen.compare.over_jobs import compare, refuse_mixed_units
    from sheetgen.compare.text import compared_text
    from sheetgen.compare.workbook import write_compared

    orders = [read_order(path) for path in orders_in(named).orders]
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
    found = compare(orders, configurations, said)
    invented = any(order.job.invented for order in orders)
    if out is not None:
        for path in write_compared(found, system, said, orders[0].paper, out, invented):
            print(printable(str(path), 4096), file=sys.stderr)
    return compared_text(found, system, said, invented)
