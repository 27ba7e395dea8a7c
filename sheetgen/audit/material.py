"""The threshold of materiality: below it a finding's amount matters little to what is paid."""

from __future__ import annotations

import re
from typing import NamedTuple

from sheetgen import templates
from sheetgen.errors import SheetgenError
from sheetgen.order.model import Order
from sheetgen.order.pay_terms import price_of_volume
from sheetgen.output import printable

_GREATEST = 1e12
_THOUSANDS = re.compile(r",(?=\d{3}(\D|$))")  # three digits behind a comma are thousands, else it is decimal


class Material(NamedTuple):
    """A threshold: a share of what is payable, or an amount of money.

    Attributes:
        share: above 0 to 1, None where it is an amount
        amount: money, or a volume where an order has no unit price; None where it is a share
    """

    share: float | None = None
    amount: float | None = None

    def of(self, payable: float) -> float:
        """The threshold for a payable amount, in its unit."""
        return payable * self.share if self.share is not None else self.amount or 0.0

    def volume(self, payable: float, order: Order) -> float:
        """The threshold for a payable volume, in the order's unit of volume."""
        price = price_of_volume(order)
        return self.of(payable * price) / price if price else self.of(payable)


def read_material(text: str) -> Material:
    """Read a threshold: ``500`` (money), ``1,500.50``, ``2 %``.

    Raises:
        SheetgenError: it is none.
    """
    bare = _THOUSANDS.sub("", text.replace(" ", "")).replace(",", ".")
    try:
        value = float(bare.removesuffix("%"))
    except ValueError:
        value = -1.0
    if bare.endswith("%") and 0 < value <= 100:
        return Material(share=value / 100)
    if not bare.endswith("%") and 0 < value <= _GREATEST:
        return Material(amount=value)
    raise SheetgenError(templates.spoken_texts().say("command.recheck.no_material", text=printable(text, 60)))
