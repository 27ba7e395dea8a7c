"""Columns of a log in which values may be missing, and arithmetic on the rows where none is."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import fsum
from typing import Any

import numpy as np

from sheetgen.recheck.rounding import half_away

Column = list[float | None]


def where_known(function: Callable[..., Any], *columns: Sequence[float | None]) -> Column:
    """``function`` of arrays of the rows in which every column has a value; None in all other rows."""
    rows = [index for index, values in enumerate(zip(*columns, strict=True)) if None not in values]
    result: Column = [None] * len(columns[0])
    if rows:
        arrays = [np.array([column[row] for row in rows], dtype=np.float64) for column in columns]
        for row, value in zip(rows, np.asarray(function(*arrays), dtype=np.float64).tolist(), strict=True):
            result[row] = value
    return result


def not_negative(column: Iterable[float | None]) -> Column:
    """The column without its negative values, which no quantity of the trade can have."""
    return [None if value is None or value < 0 else value for value in column]


def rounded(column: Iterable[float | None], decimals: int) -> Column:
    """Every value rounded as the trade's paper does."""
    return [None if value is None else half_away(value, decimals) for value in column]


def total(column: Iterable[float | None]) -> float:
    """The sum of the values that are known."""
    return fsum(value for value in column if value is not None)
