"""The command ``sheetgen compare``: configurations over the jobs of several orders, or common sizes alone."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from sheetgen.errors import SheetgenError
from sheetgen.output import in_full
from sheetgen.templates import spoken, spoken_texts


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

    Raises:
        SheetgenError: an option asks for a comparison on orders, and none is named; or what is named cannot be used.
    """
    if not named:
        for option, given in (("--yard", yard), ("--out", out)):
            if given:
                raise SheetgenError(spoken_texts().say("command.compare.nothing_on", option=option))
        from sheetgen.compare.common_sizes_text import common_sizes_text

        return common_sizes_text(language or spoken()).rstrip("\n")
    from sheetgen.commands.several_orders import orders_in
    from sheetgen.compare.text import compared_text
    from sheetgen.office.comparison import comparison_of

    made = comparison_of(orders_in(named).orders, yard, sizes, language)
    if out is not None:
        for path in made.write(out):
            print(in_full(path), file=sys.stderr)
    return compared_text(made.found, made.system, made.language, made.invented)
