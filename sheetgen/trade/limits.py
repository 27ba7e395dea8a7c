"""Published limits of spraying, from ``tables/limits.csv``: what is within one, and who says so."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import inf

from sheetgen import templates

_DECIMALS = 9  # of a value before it is compared: 15 % out of an arithmetic is 15 %


@dataclass(frozen=True, slots=True)
class Limit:
    """A published limit; both ends are themselves allowed.

    Attributes:
        key: its name in the table
        low, high: the ends in ``unit``, None for none
        unit: pint's name; empty for a plain number
        source: the document, and whether it was seen
    """

    key: str
    low: float | None
    high: float | None
    unit: str
    source: str

    def allows(self, value: float) -> bool:
        """Tell whether a number in the limit's unit is within it."""
        low, high = (-inf if self.low is None else self.low), (inf if self.high is None else self.high)
        return low <= round(value, _DECIMALS) <= high


@cache
def limit(key: str) -> Limit:
    """Look up a limit by its key.

    Raises:
        KeyError: the table has none of that name
    """
    for row in templates.table("limits"):
        if row["key"] == key:
            low, high = (float(row[end]) if row[end] else None for end in ("low", "high"))
            return Limit(key, low, high, row["unit"], row["source"])
    raise KeyError(f"no limit {key!r} in the table of limits")
