"""Amounts of an order as a report prints them: with the order's unit, decimals and words, and their number formats.

Formats of differences, uncertainties and claims are never so coarse that they show nothing.
"""

from __future__ import annotations

import re
from functools import cache
from math import isfinite
from typing import Any

from sheetgen import templates
from sheetgen.book.number_formats import number_format
from sheetgen.figures import day_text, number_text, station_text
from sheetgen.order.model import Order
from sheetgen.order.pay_terms import pay_decimals, pay_terms, pay_unit, price_of_volume
from sheetgen.trade.rounding import round_half_away
from sheetgen.units import units
from sheetgen.xlsx.returned import Value

_FARTHEST = 1e9  # a station that is written as one
_DECIMALS = re.compile(r"0(?:\.(0+))?")
_MOST = 10  # decimals, beyond which there is only the dust of binary fractions
_MORE = 3  # decimals beyond the format's own that a difference is shown with where it has them


class Figures:
    """How one order's values are written in its language and units.

    Attributes:
        say: the texts of the order's language
    """

    def __init__(self, order: Order) -> None:
        self.order = order
        self.say = templates.texts(order.language, order.units)
        self._formats: dict[str, str] = {}
        self._units = units(order.units)

    @property
    def base(self) -> str:
        """The base temperature, printed."""
        return self.say[f"book.base_{self.order.units}"]

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity; empty for a bare number."""
        return self._units[kind].label(self.order.language) if kind in self._units else ""

    def volume(self, value: float, decimals: int | None = None) -> str:
        """A volume with its unit, to the order's decimals or to those given."""
        digits = self.order.rounding.volume if decimals is None else decimals
        rounded = round_half_away(value, digits) if isfinite(value) else value
        return f"{number_text(rounded, self.order.language, digits)} {self.unit('volume')}"

    def pay(self, value: float) -> str:
        """A payable quantity with its unit."""
        return self.volume(value, self.order.rounding.pay)

    def quantity(self, value: float) -> str:
        """A quantity paid, in the unit of pay."""
        return f"{number_text(value, self.order.language, pay_decimals(self.order))} {pay_unit(self.order)}"

    def quantity_as_it_is(self, value: float) -> str:
        """A quantity in the unit of pay, with as many decimals as it has."""
        return f"{number_text(value, self.order.language)} {pay_unit(self.order)}"

    def amount_between(self, less: float, more: float) -> float | None:
        """The money that the payment of one quantity is more than that of another; None without a price."""
        worth = pay_terms(self.order).difference(less, more)
        return worth if worth is not None and isfinite(worth) else None

    def amount_behind(self, amount: float | None) -> str:
        """``", 233.75 USD"`` for an amount of money; empty for none."""
        return "" if amount is None else f", {self.money(amount)}"

    def worth(self, volume: float) -> float | None:
        """What a volume is worth at the order's unit price; None where none follows from it."""
        price = price_of_volume(self.order)
        worth = None if price is None else volume * price
        return worth if worth is not None and isfinite(worth) else None

    def money(self, amount: float) -> str:
        """An amount of money with its currency."""
        pay = self.order.pay
        return f"{number_text(amount, self.order.language, pay.money_decimals)} {pay.currency}"

    def worth_behind(self, volume: float) -> str:
        """``", 233.75 USD"`` for a volume; empty where the order gives no unit price."""
        worth = self.worth(volume)
        return "" if worth is None else f", {self.money(worth)}"

    def format(self, kind: str) -> str:
        """The number format of a kind."""
        known = self._formats.get(kind)
        if known is None:
            known = self._formats[kind] = number_format(kind, self.order)
        return known

    def word(self, verdict: Value) -> str:
        """A verdict as the book prints it."""
        key = f"words.{verdict}"
        return self.say[key] if key in self.say else str(verdict)

    def entry(self, value: Value, reading: str) -> str:
        """An entry as text: numbers as the book shows them, texts as they are typed, nothing for blank."""
        if value is None:
            return ""
        if isinstance(value, str):
            return self.word(value) if reading == "kind" else value
        return str(_WRITTEN.get(reading, _plain)(value, self.order))


def _plain(value: float, _order: Order) -> str:
    return f"{value:.10g}"


def _station(value: float, order: Order) -> str:
    if not abs(value) < _FARTHEST:
        return f"{value:.10g}"
    return station_text(value, order.units)


def _date(value: float, _order: Order) -> str:
    try:
        return day_text(value)
    except (OverflowError, ValueError):  # a number that no calendar has
        return f"{value:.10g}"


def _time(value: float, _order: Order) -> str:
    if not 0 <= value <= 1:  # no time of a day
        return f"{value:.10g}"
    minutes = round(value * 1440)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


_WRITTEN: dict[str, Any] = {"station": _station, "date": _date, "time": _time}


def difference_format(number_format: str, difference: float) -> str:
    """For a difference of values of a format: with its sign, behind the mark of what differs."""
    shape = finest(number_format, difference)
    return f'"≠ "+{shape};"≠ "-{shape}'


def reach_format(number_format: str, reach: float | None) -> str:
    """For an uncertainty of a value of a format: to two digits, and no coarser than the value itself.

    Two digits are enough for an uncertainty (JCGM 100:2008, 7.2.6).
    """
    shape, decimals = _parts(number_format)
    scaled = _scaled(shape, abs(reach or 0.0))
    while scaled and decimals < _MOST and round(scaled, decimals) * 10**decimals < 10:
        decimals += 1
    return f'"± "{_with(shape, decimals)}'


def finest(number_format: str, value: float) -> str:
    """The format with as many decimals as the value has, within reason, and as many as show that it is not 0."""
    shape, decimals = _parts(number_format)
    scaled = _scaled(shape, value)
    most = min(decimals + _MORE, _MOST)
    while decimals < most and round(scaled, decimals) != round(scaled, _MOST):
        decimals += 1
    return _with(shape, _visible(shape, decimals, value))


def printed(number_format: str, value: float) -> str:
    """The value as a plain number, as the format prints it; with further decimals where it has them, see above.

    A percentage is written without its sign. What is too great for decimals to matter is written to ten digits.
    """
    shape = finest(number_format, value)
    scaled = _scaled(shape, value)
    if not isfinite(scaled) or abs(scaled) >= 10**_MOST:
        return f"{scaled:.{_MOST}g}"
    text = f"{scaled:.{_parts(shape)[1]}f}"
    plain = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if plain == "-0" else plain


def _visible(shape: str, decimals: int, value: float) -> int:
    while value and decimals < _MOST and not round(_scaled(shape, value), decimals):
        decimals += 1
    return decimals


def _scaled(shape: str, value: float) -> float:
    """The value as it is printed: a percentage a hundredfold."""
    return value * 100 if shape.endswith("%") else value


@cache  # there are as many formats as kinds of number
def _parts(number_format: str) -> tuple[str, int]:
    """The first section without its sign, and its decimals; General and text as a bare number."""
    first = number_format.split(";")[0].lstrip("+")
    found = _DECIMALS.search(first)
    return (first, len(found[1] or "")) if found else ("0", 0)


@cache
def _with(shape: str, decimals: int) -> str:
    return _DECIMALS.sub("0" + ("." + "0" * decimals if decimals else ""), shape, count=1)
