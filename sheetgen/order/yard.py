"""What an office keeps for all of its orders: its distributors, and the materials that it buys."""

from __future__ import annotations

from typing import NamedTuple

from sheetgen.order.model import Machine, Material


class YardMaterial(NamedTuple):
    """A material under the name by which orders pick it."""

    name: str
    material: Material


class Yard(NamedTuple):
    """The distributors and materials of an office.

    Attributes:
        units: "us" or "si"; orders that take from it are in the same
        language: of its workbook; an order may be in another
        machines: with certificates, calibrations and function tables
        materials: with their certificates
    """

    units: str
    language: str
    machines: tuple[Machine, ...] = ()
    materials: tuple[YardMaterial, ...] = ()
