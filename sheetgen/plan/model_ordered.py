"""What a plan takes from the order and lays beside it; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import Literal, NamedTuple

Guide = Literal["none", "within", "below", "above", "looks-like-bar-rate", "looks-like-residual"]


class Given(NamedTuple):
    """One input of the plan.

    Attributes:
        key: its name in the order's planning part and in ``tables/planning.csv``
        value: in the unit of ``kind``; None where the order gives none and there is no default
        kind: kind of quantity, empty for a plain number
        source: where a default comes from; empty for what the order gives
        ordered: the order gives it
    """

    key: str
    value: float | None
    kind: str
    source: str
    ordered: bool


class PublishedRate(NamedTuple):
    """A published rate for the work and surface of a section.

    Attributes:
        agency: who prints it
        source: where
        seen: how far it was checked against the document
        basis: what it is a rate of
        low, high: [rate] the published span, None for an end that is not given
        guide: the one that the order is compared with
    """

    agency: str
    source: str
    seen: str
    basis: str
    low: float | None
    high: float | None
    guide: bool


class Guidance(NamedTuple):
    """The order's rate beside published ones.

    Attributes:
        rate: [rate] the ordered rate at 60 °F (15 °C), on the ordered basis
        low, high: [rate] of the guide on that basis, None for none
        other_low, other_high: [rate] of the guide on the basis it could be confused with
        agency: that prints the guide, empty for none
        source: of the guide, empty for none
        verdict: the ordered rate against the guide: none, within, below, above, looks-like-bar-rate or
            looks-like-residual
        published: everything published for the work and surface
    """

    rate: float
    low: float | None
    high: float | None
    other_low: float | None
    other_high: float | None
    agency: str
    source: str
    verdict: Guide
    published: tuple[PublishedRate, ...]


class Ordered(NamedTuple):
    """One section as ordered.

    Attributes:
        id: of the section, as ordered
        road: its name, as ordered
        work: tack, prime, fog or chip-seal
        surface: as ordered
        basis: what the ordered rate is a rate of
        lanes: names of its lanes
        from_station: [distance] where it begins
        to_station: [distance] where it ends
        length: [distance] of one lane
        width: [width] of one lane, as it is paid
        covered_width: [width] to be sprayed in one lane, a prime coat's extra width included
        area: [area] of all lanes, as it is paid
        mix_base: [rate] at the bar, at 60 °F (15 °C)
        mix_hot: [rate] at the bar, at the planned application temperature
        undiluted: [rate] of the undiluted material, at 60 °F (15 °C)
        residual: [rate] of what stays on the road, at 60 °F (15 °C)
        allowed: relative tolerance
        quantity: [volume] as sprayed, at 60 °F (15 °C) for the area
        hand: whether it is hand spray
        guidance: published rates beside the ordered one
    """

    id: str
    road: str
    work: str
    surface: str
    basis: str
    lanes: tuple[str, ...]
    from_station: float
    to_station: float
    length: float
    width: float
    covered_width: float
    area: float
    mix_base: float
    mix_hot: float
    undiluted: float
    residual: float
    allowed: float
    quantity: float
    hand: bool
    guidance: Guidance


class Seal(NamedTuple):
    """A chip seal design by McLeod's method beside the order.

    Attributes:
        least_dimension: [stone] average least dimension of the aggregate
        voids: fraction of the loose aggregate
        aggregate: [aggregate_spread]
        binder: [rate] undiluted, at 60 °F (15 °C)
        ordered: id and undiluted [rate] of every chip seal section
    """

    least_dimension: float
    voids: float
    aggregate: float
    binder: float
    ordered: tuple[tuple[str, float], ...]


class Price(NamedTuple):
    """What the ordered work comes to in the unit of pay, and in money.

    Attributes:
        paid_by: volume, mass, mass-by-ticket or area
        unit: of pay, as printed
        currency: of all money
        unit_price: money for one unit of pay, None where the order gives none
        quantity: of all sections as ordered, in the unit of pay
        most: the same with the excess that is still paid; exempt hand work as ordered
        amount: money for the quantity, None without a price
        most_amount: money for the most
        estimate: the contract's quantity, in the unit of pay, None for none
        decimals: of a quantity paid
        money_decimals: of an amount
    """

    paid_by: str
    unit: str
    currency: str
    unit_price: float | None
    quantity: float
    most: float
    amount: float | None
    most_amount: float | None
    estimate: float | None
    decimals: int
    money_decimals: int


class Replaced(NamedTuple):
    """The rate of the order's material that leaves as much residue as a cutback that it replaces.

    Attributes:
        rate: [rate] of the cutback, at 60 °F (15 °C)
        residue: of the cutback, a fraction
        residual: [rate] that both leave
        undiluted: [rate] of the order's material, at 60 °F (15 °C)
        bar: [rate] of it as sprayed, at 60 °F (15 °C)
        ordered: id and undiluted [rate] of every section
    """

    rate: float
    residue: float
    residual: float
    undiluted: float
    bar: float
    ordered: tuple[tuple[str, float], ...]


class Wait(NamedTuple):
    """What is published of a time to wait: break, cover, next layer or traffic.

    Attributes:
        sections: ids of the sections it holds for
        key: name of the wait, as its text is named
        seen: how far it was checked against the document
        source: who says so
    """

    sections: tuple[str, ...]
    key: str
    seen: str
    source: str


class Notice(NamedTuple):
    """Something a person should know.

    Attributes:
        key: name of the notice, as its text is named
        section: id of the section it is about, empty for none
        values: for the text: numbers with their kind of quantity, or words
        source: where a limit comes from
    """

    key: str
    section: str = ""
    values: tuple[tuple[str, float | str, str], ...] = ()
    source: str = ""
