"""What a plan says of one machine beside its work; conventions: :mod:`sheetgen.plan.model`."""

from __future__ import annotations

from typing import NamedTuple


class ToOrder(NamedTuple):
    """What to order, at 60 °F (15 °C) unless it says otherwise.

    Attributes:
        sprayed: [volume] on the road as sprayed, overlaps included
        allowance: [volume] for waste
        left: [volume] the reserve that stays in the tank at the end
        mix: [volume] as sprayed, all of these together
        undiluted: [volume] of the undiluted material in it
        water: [volume] to add
        undiluted_whole: [volume] of the undiluted material, rounded up to whole units
        water_whole: [volume] of water to add, rounded up to whole units
        mass: [mass] of the undiluted material
        tons: [large_mass] of the undiluted material
        tons_whole: [large_mass] of the undiluted material, rounded up
        hot: [volume] as sprayed at the planned temperature
        expansion: [volume] that it grows by from 60 °F (15 °C)
    """

    sprayed: float
    allowance: float
    left: float
    mix: float
    undiluted: float
    water: float
    undiluted_whole: float
    water_whole: float
    mass: float
    tons: float
    tons_whole: float
    hot: float
    expansion: float


class Heating(NamedTuple):
    """Warming one full load from its delivery to the planned temperature.

    Attributes:
        arrival: [temperature] at which the material is delivered
        planned: [temperature] at which it is to be sprayed
        room: growth as a fraction of the volume delivered; 0 where it is not heated
        cold: [volume] to fill at most as delivered
        base: [volume] of that at 60 °F (15 °C)
        mass: [mass] of the load
        gravity: specific gravity of the material as sprayed
        specific_heat: [specific_heat] taken
        specific_heat_low, specific_heat_high: [specific_heat] the ends of its span
        heat: [heat] net, with the specific heat taken
        heat_low, heat_high: [heat] net, with the ends of its span
        hours: [hours] of heating with the specific heat taken; None without a burner
        hours_low, hours_high: [hours] with the ends of its span; None without a burner
        hours_least: [hours] what the published rise of an emulsion asks for, however strong the burners are; else 0
        hours_planned: [hours] the greater of the two, which the timeline counts for a full load
        rise: [temperature_rate] of a full load; None without a burner
        step: [temperature] a round rise as an example
        step_heat: [heat] for the round rise
        step_hours: [hours] for the round rise; None without a burner
        minutes_per_hot: [time] per [volume] hot loaded; 0 where there is nothing to heat or no burner
        flue_top: [depth] of the flues that are used, above the tank's bottom; None without burners, as those below
        cover_over_flues: [depth] before a burner is lit
        burner_dip: [depth] the stick reading at or above which burners may be lit: the sum of the two
        burner_volume: [volume] in the tank at that reading
    """

    arrival: float
    planned: float
    room: float
    cold: float
    base: float
    mass: float
    gravity: float
    specific_heat: float
    specific_heat_low: float
    specific_heat_high: float
    heat: float
    heat_low: float
    heat_high: float
    hours: float | None
    hours_low: float | None
    hours_high: float | None
    hours_least: float
    hours_planned: float
    rise: float | None
    step: float
    step_heat: float
    step_hours: float | None
    minutes_per_hot: float
    flue_top: float | None
    cover_over_flues: float | None
    burner_dip: float | None
    burner_volume: float | None


class BarCard(NamedTuple):
    """Setting up the spray bar.

    Attributes:
        spacing: [spacing] from one nozzle to the next
        fan_angle: [angle] of the fan that a nozzle sprays
        nozzle_angle: [angle] of the nozzles' slots to the bar
        angle_low, angle_high: [angle] published ends for the slot
        heights: [depth] of the nozzles over the road, by coverage 1, 2, 3
        height_most: [depth] above which no coverage is offered
        coverage: fans on every point of the road by preference, at most as the height allows; 0 for none
        nozzles: open nozzles by bar width
    """

    spacing: float
    fan_angle: float
    nozzle_angle: float
    angle_low: float
    angle_high: float
    heights: tuple[float, float, float]
    height_most: float
    coverage: int
    nozzles: tuple[tuple[float, int], ...]

    @property
    def offered(self) -> tuple[float | None, ...]:
        """The heights, None for one above the greatest."""
        return tuple(height if round(height - self.height_most, 6) <= 0 else None for height in self.heights)

    @property
    def height(self) -> float | None:
        """[depth] of the nozzles for the coverage by preference; None where every coverage lifts them too high."""
        return self.heights[self.coverage - 1] if self.coverage else None


class MachineLimits(NamedTuple):
    """The ends within which a distributor works, as ordered.

    Attributes:
        speed_least: [speed] at which it drives, minimum
        speed_greatest: [speed] at which it drives, maximum
        nozzle_least: [flow] of one nozzle, minimum
        nozzle_greatest: [flow] of one nozzle, maximum
        pump_least: [flow] of the pump, minimum
        pump_greatest: [flow] of the pump, maximum
    """

    speed_least: float
    speed_greatest: float
    nozzle_least: float
    nozzle_greatest: float
    pump_least: float
    pump_greatest: float
