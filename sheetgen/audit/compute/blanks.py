"""Columns of a log in which values may be missing, and arithmetic on the rows where none is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import fsum

from sheetgen.trade.rounding import round_half_away

Column = list[float | None]


def where_known(function: Callable[..., float], *columns: Sequence[float | None]) -> Column:
    """``function`` of the values of a row where every column has one; None in all other rows."""
    return [None if None in values else function(*values) for values in zip(*columns, strict=True)]


def not_negative(column: Iterable[float | None]) -> Column:
    """The column without its negative values, which no quantity of the trade can have."""
    return [None if value is None or value < 0 else value for value in column]


def rounded(column: Iterable[float | None], decimals: int) -> Column:
    """Every value rounded as the trade's paper does."""
    return [None if value is None else round_half_away(value, decimals) for value in column]


def total(column: Iterable[float | None]) -> float:
    """The sum of the values that are known."""
    return fsum(value for value in column if value is not None)
