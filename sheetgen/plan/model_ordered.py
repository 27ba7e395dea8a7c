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
        agency, source, seen: who prints it, where, and whether the page was read
        basis: what it is a rate of
        low, high: [rate], None for none
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
        rate: [rate] the ordered rate at base temperature, on the ordered basis
        low, high: [rate] of the guide on that basis, None for none
        other_low, other_high: [rate] of the guide on the basis it could be confused with
        agency, source: of the guide, empty for none
        verdict: see :data:`Guide`
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
        id, road, work, surface, basis, lanes: as in the order
        from_station, to_station, length, width: [distance] and [width] as ordered, of one lane
        covered_width: [width] to be sprayed in one lane, a prime coat's extra width included
        area: [area] of all lanes, as it is paid
        mix_base, mix_hot: [rate] of mix at the bar
        undiluted, residual: [rate] at base temperature
        allowed: relative tolerance
        quantity: [volume] of mix at base temperature for the area
        hand: sprayed by hand
        guidance: published rates beside it
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
        least_dimension: [stone]
        voids: fraction of the loose aggregate
        aggregate: [aggregate_spread]
        binder: [rate] undiluted, at base temperature
        ordered: id and undiluted [rate] of every chip seal section
    """

    least_dimension: float
    voids: float
    aggregate: float
    binder: float
    ordered: tuple[tuple[str, float], ...]


class Notice(NamedTuple):
    """Something a person should know.

    Attributes:
        key: of its text
        section: id of the section it is about, empty for none
        values: for the text: numbers with their kind of quantity, or words
        source: where a limit comes from
    """

    key: str
    section: str = ""
    values: tuple[tuple[str, float | str, str], ...] = ()
    source: str = ""
