"""Amounts of an order as a report prints them: with the order's unit, decimals and words."""

from __future__ import annotations

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

    def volume_as_it_is(self, value: float) -> str:
        """A volume with its unit and as many decimals as it has."""
        return f"{number_text(value, self.order.language)} {self.unit('volume')}"

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


_FARTHEST = 1e9  # a station that is written as one


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
