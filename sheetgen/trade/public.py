"""The arithmetic as a caller from outside has it: the functions of this package with quantities in any unit.

Results are in inch-pound units, or in metric ones where a function takes ``base`` and the base is 15 °C.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import nan
from typing import Any, Literal, Self, TypeAlias

import numpy as np

from sheetgen.quantities import quantity_in
from sheetgen.trade import (
    bar,
    basis,
    correction,
    density,
    evenness,
    gauging,
    heating,
    loads,
    passes,
    pay,
    rates,
    seal,
    tank,
)
from sheetgen.trade import tolerance as judging
from sheetgen.trade.chart import Chart as PlainChart
from sheetgen.trade.kinds import AboveZero, Depth, PartOrRate, Rate, Temperature, Volume
from sheetgen.trade.refused import refused, shown
from sheetgen.trade.rounding import round_half_away
from sheetgen.trade.with_units import BASE_60_F, Base, base_system, is_quantity, with_units
from sheetgen.units import SYSTEMS, units

_FLAT = quantity_in(0.0, "in")
_CONVERTED = 1 + 1e-12  # a full tank in inches is still full in millimetres

PayQuantity: TypeAlias = pay.PayQuantity
Uniformity: TypeAlias = evenness.Uniformity
McLeodDesign: TypeAlias = seal.McLeodDesign

area_of = with_units(rates.area_of)
rate_over = with_units(rates.rate_over)
application_rate = with_units(rates.application_rate)
volume_for = with_units(rates.volume_for)
spread_length = with_units(rates.spread_length)
travel_speed = with_units(rates.travel_speed)
discharge_for = with_units(rates.discharge_for)
bar_rate = with_units(basis.bar_rate)
residual_rate = with_units(basis.residual_rate)
dilution_of = with_units(basis.dilution_of)
emulsion_in = with_units(basis.emulsion_in)
same_residual = with_units(basis.same_residual)
volume_of = with_units(density.volume_of, based=True)
mass_of = with_units(density.mass_of, based=True)
pad_rate = with_units(density.pad_rate, based=True)
bar_height = with_units(bar.bar_height)
nozzles_open = with_units(bar.nozzles_open)
nozzle_flow = with_units(bar.nozzle_flow)
caught_flow = with_units(bar.caught_flow)
bar_discharge = with_units(bar.bar_discharge)
average_rate = with_units(bar.average_rate)
uniformity = with_units(evenness.uniformity)
rock_land = with_units(loads.rock_land)
loads_needed = with_units(loads.loads_needed)
pass_overlap = with_units(passes.pass_overlap)
passes_needed = with_units(passes.passes_needed)
heat_for = with_units(heating.heat_for, based=True)
heating_time = with_units(heating.heating_time)
specific_heat_of_mix = with_units(heating.specific_heat_of_mix)
expansion_room = with_units(heating.expansion_room, based=True)
fill_before_heating = with_units(heating.fill_before_heating, based=True)
correction_kind = with_units(correction.correction_kind)
at_base = with_units(correction.at_base)
depth_at_middle = with_units(gauging.depth_at_middle)
meter_error = with_units(gauging.meter_error)
unexplained = with_units(gauging.unexplained)
deviation = with_units(judging.deviation)
pay_quantity = with_units(pay.pay_quantity)
mcleod_design = with_units(seal.mcleod_design)


def volume_factor(
    temperature: Any,
    kind: str,
    base: Base = BASE_60_F,
    decimals: int | None = None,
    outside: Literal["error", "nan"] | None = None,
) -> Any:
    """Give the factor from volume at a temperature to volume at the base temperature: a number or an array.

    The temperature is taken to the whole degree of the base's scale first, the factor rounded after, as a
    person with the printed chart would do. At the base it is exactly 1.

    Args:
        temperature: any unit of temperature
        kind: ``"asphalt-a"``, ``"asphalt-b"`` or ``"emulsion"``; :func:`correction_kind` says which
        base: ``"60 degF"`` or ``"15 degC"``, each with its own chart
        decimals: places the factor is rounded to; by default 4, for emulsion 5
        outside: what becomes of a temperature outside the chart: ``"error"``, or ``"nan"`` in its place. By
            default a single temperature is an error and an element of an array becomes NaN. Nothing is
            extrapolated.

    Raises:
        QuantityError: not a temperature, not finite, outside the chart, an unknown kind or base

    Source: as for :func:`sheetgen.trade.correction.volume_factor`.
    """
    chart = correction.correction_chart(kind, base_system(base))
    to_nan = (
        outside or ("nan" if np.ndim(getattr(temperature, "magnitude", temperature)) else "error")
    ) == "nan"

    def factor(temperature: Temperature, system: str) -> float:
        if to_nan and not chart.covers(round_half_away(temperature)):
            return nan
        return correction.volume_factor(temperature, kind, system, decimals)

    return with_units(factor, based=True)(temperature, base)


def correction_chart(kind: str, base: Base = BASE_60_F) -> correction.CorrectionChart:
    """Look up the chart of a kind of material on a base: its ends and coefficients.

    Raises:
        QuantityError: an unknown kind or base
    """
    return correction.correction_chart(kind, base_system(base))


def within_tolerance(measured: Any, ordered: Any, tolerance: Any) -> Any:
    """Tell whether a rate is ``"in"`` tolerance, ``"low"`` or ``"high"``; an array of these words for arrays.

    A deviation just at the tolerance is in: both are rounded to six decimals first.

    Args:
        measured: rate on the same basis and at the same temperature as the ordered one
        ordered: above zero
        tolerance: a plain fraction of the order, or a rate

    Raises:
        QuantityError: wrong dimension, negative, not finite, or no ordered rate

    Source: as for :func:`sheetgen.trade.tolerance.allowed_deviation`.
    """
    absolute = is_quantity(tolerance) and bool(tolerance.dimensionality)

    def judgement(measured: Rate, ordered: AboveZero[Rate], tolerance: PartOrRate) -> str:
        allowed = judging.allowed_deviation(tolerance, ordered, absolute)
        return judging.judged(judging.deviation(measured, ordered), allowed)

    return with_units(judgement)(measured, ordered, tolerance)


def total_payable(quantities: Iterable[PayQuantity], decimals: int = 0) -> Any:
    """Give the payable total of several applications, in gal, rounded once, on the sum.

    Args:
        quantities: from :func:`pay_quantity`
        decimals: places the total is rounded to

    Raises:
        QuantityError: no application at all

    Source: as for :func:`sheetgen.trade.pay.total_payable`.
    """
    volumes: list[Any] = [quantity.payable for quantity in quantities]
    if not volumes:
        raise refused("quantities", "none", "at least one application")
    numbers = [float(np.sum(volume.to("gal").magnitude)) for volume in volumes]
    return quantity_in(pay.total_payable(numbers, decimals), "gal")


class Chart:
    """A tank's chart with units.

    Attributes:
        depths: an array from 0 to the full height
        volumes: an array, at those depths, as printed
        decimals: places that a volume read between the lines is rounded to
    """

    def __init__(self, plain: PlainChart, system: str) -> None:
        self._plain, self._system = plain, system
        self.depths = quantity_in(np.array(plain.depths), units(system)["depth"].name)
        self.volumes = quantity_in(np.array(plain.volumes), units(system)["volume"].name)
        self.decimals = plain.decimals

    def interpolate(self, depth: Any) -> Any:
        """Read the volume at a depth, or at an array of depths: linear between the lines and rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or beyond the chart's last line

        Source: common practice: a dip between two lines of the chart is interpolated (no source).
        """

        def read(depth: Depth) -> Volume:
            last = self._plain.height
            volume = self._plain.volume(last if last < depth <= last * _CONVERTED else depth)
            if volume is None:
                ends = f"0 to {shown(last, 'depth', self._system)}, the chart's end"
                raise refused("depth", shown(depth, "depth", self._system), ends)
            return volume

        return with_units(read, system=self._system)(depth)

    def depth_for(self, volume: Any) -> Any:
        """Read the depth at which the chart shows a volume, or an array of volumes; not rounded.

        Where several lines show the same rounded volume it is the depth of one of them.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or outside the chart
        """

        def read(volume: Volume) -> Depth:
            least, most = self._plain.volumes[0], self._plain.capacity
            if not least <= volume <= most * _CONVERTED:
                ends = f"{least:g} to {shown(most, 'volume', self._system)}, the ends of the chart"
                raise refused("volume", shown(volume, "volume", self._system), ends)
            return self._plain.depth_for(volume)

        return with_units(read, system=self._system)(volume)


class Tank:
    """A level tank, by its inside dimensions or by its calibration certificate.

    ``Tank(diameter=..., length=...)`` is a horizontal cylinder, ``Tank(height=..., width=..., length=...)``
    a shell of elliptical section, each with flat heads or with half ellipsoids of ``head_depth``;
    ``Tank(depths=..., volumes=...)`` goes by a certificate. :meth:`circular`, :meth:`elliptical` and
    :meth:`calibrated` make the same. Results are in inches and gallons, or in millimetres and litres where
    ``system`` is ``"si"``.

    Raises:
        QuantityError: a wrong dimension, negative, not finite, or zero; depths and volumes of a certificate that do
            not both rise from depth 0

    Source: as for :class:`sheetgen.trade.tank.Tank`.
    """

    def __init__(
        self,
        *,
        diameter: Any = None,
        height: Any = None,
        width: Any = None,
        length: Any = None,
        head_depth: Any = _FLAT,
        depths: Any = None,
        volumes: Any = None,
        system: str = "us",
    ) -> None:
        if system not in SYSTEMS:
            raise refused("system", f"{system!r}", " or ".join(map(repr, SYSTEMS)))
        by_certificate = depths is not None or volumes is not None
        by_axes = height is not None or width is not None
        if by_certificate + by_axes + (diameter is not None) > 1:
            raise refused("tank", "more than one of them", "a diameter, two axes, or a certificate")
        if by_certificate:
            plain = with_units(tank.calibrated, system=system)(depths, volumes)
        elif by_axes:
            plain = with_units(tank.elliptical, system=system)(height, width, length, head_depth)
        else:
            plain = with_units(tank.circular, system=system)(diameter, length, head_depth)
        if np.ndim(plain.height):
            raise refused("dimensions", "arrays", "the dimensions of one tank")
        self.system, self._plain = system, plain

    @classmethod
    def circular(cls, diameter: Any, length: Any, head_depth: Any = _FLAT, system: str = "us") -> Self:
        """Make a horizontal cylinder: see :func:`sheetgen.trade.tank.circular`."""
        return cls(diameter=diameter, length=length, head_depth=head_depth, system=system)

    @classmethod
    def elliptical(
        cls, height: Any, width: Any, length: Any, head_depth: Any = _FLAT, system: str = "us"
    ) -> Self:
        """Make a horizontal shell of elliptical section: see :func:`sheetgen.trade.tank.elliptical`."""
        return cls(height=height, width=width, length=length, head_depth=head_depth, system=system)

    @classmethod
    def calibrated(cls, depths: Any, volumes: Any, system: str = "us") -> Self:
        """Make a tank by its calibration certificate: see :func:`sheetgen.trade.tank.calibrated`."""
        return cls(depths=depths, volumes=volumes, system=system)

    @property
    def height(self) -> Any:
        """The greatest depth: the vertical axis, or the certificate's last depth."""
        return quantity_in(self._plain.height, units(self.system)["depth"].name)

    @property
    def capacity(self) -> Any:
        """The volume at the greatest depth."""
        return quantity_in(self._plain.capacity, units(self.system)["volume"].name)

    def volume_at(self, depth: Any) -> Any:
        """Give the volume at a depth, or at an array of depths; exact, not rounded.

        Raises:
            QuantityError: wrong dimension, negative, not finite, or above the tank's height
        """
        return with_units(self._plain.volume_at, system=self.system)(depth)

    def depth_for(self, volume: Any) -> Any:
        """Give the depth at which a volume stands, or an array of volumes: the inverse of :meth:`volume_at`.

        Raises:
            QuantityError: wrong dimension, negative, not finite, above the capacity, or below the volume at
                depth 0 of the certificate
        """
        return with_units(self._plain.depth_for, system=self.system)(volume)

    def chart(self, step: Any, decimals: int = 1) -> Chart:
        """Make the tank's chart: a line every step from 0 and one at the full height, volumes rounded.

        A certificate is its own chart and is taken as it is, whatever the step; ``decimals`` then holds for
        what is read between its lines.

        Args:
            step: of depth, above zero
            decimals: places of the volumes, in the unit of the tank's results

        Raises:
            QuantityError: wrong dimension, not finite, or not above zero

        Source: Maryland SHA 503: the volume at each 1/4 in of depth (seen).
        """
        return Chart(with_units(self._plain.chart, system=self.system)(step, decimals), self.system)
