"""MIL-D-435F (distributor), MIL-K-687E (kettle), MIL-M-52182E (melter), MIL-D-52916A (burners)."""

from __future__ import annotations

import pytest

from sheetgen.trade import bar_discharge, heat_for, heating_time, limit, travel_speed, volume_for
from tests.published import Published, Q, cases

DISTRIBUTOR = "MIL-D-435F acceptance runs (rates seen)"
MELTER = "MIL-M-52182E (inputs seen)"
RUN = Q(100, "ft")
HEAT = Q(0.5, "Btu/lb/delta_degF")


def _speed(rate: float):
    return travel_speed(Q(350, "gal/min"), Q(rate, "gal/yd**2"), Q(24, "ft"))


def _melter_heat():
    return heat_for(Q(2640, "gal"), 1.02, Q(70, "degF"), Q(285, "degF"), HEAT)


def _on_run(rate: float, width: float):
    return volume_for(Q(rate, "gal/yd**2"), RUN, Q(width, "ft"))


CASES = [
    Published(DISTRIBUTOR, "computed", "100 ft of 24 ft at 0.4", 106.7, 1, lambda: _on_run(0.4, 24)),
    Published(DISTRIBUTOR, "computed", "100 ft of 24 ft at 0.8", 213.3, 1, lambda: _on_run(0.8, 24)),
    Published(DISTRIBUTOR, "computed", "100 ft of 24 ft at 1.5", 400.0, 1, lambda: _on_run(1.5, 24)),
    Published(DISTRIBUTOR, "computed", "100 ft of 4 ft at 0.1", 4.44, 2, lambda: _on_run(0.1, 4)),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 0.4, ft/min", 328.1, 1, lambda: _speed(0.4)),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 0.8, ft/min", 164.1, 1, lambda: _speed(0.8)),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 1.5, ft/min", 87.5, 1, lambda: _speed(1.5)),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 0.4, mph", 3.73, 2, lambda: _speed(0.4).to("mph")),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 0.8, mph", 1.86, 2, lambda: _speed(0.8).to("mph")),
    Published(DISTRIBUTOR, "computed", "350 gal/min at 1.5, mph", 0.99, 2, lambda: _speed(1.5).to("mph")),
    Published(DISTRIBUTOR, "computed", "flow of each of 72 nozzles of 350 gal/min", 4.9, 1,
              lambda: Q(350, "gal/min") / 72),
    Published(MELTER, "computed", "2,640 gal from 70 to 285 °F, MBtu", 2.41, 2, lambda: _melter_heat() / 1e6),
    Published(MELTER, "computed", "that heat in 106 min, MBtu/h", 1.36, 2,
              lambda: (_melter_heat() / Q(106, "min")).to("Btu/hour") / 1e6),
    Published("MIL-K-687E", "seen", "165 gal and 4 % for expansion", 171.6, 1,
              lambda: Q(165, "gal") * (1 + limit("kettle_expansion_room").low)),
    Published("MIL-D-52916A §3.9", "seen", "500,000 Btu/h in watts", 146535.55, 1,
              lambda: Q(500000, "Btu/hour").to("watt")),
]  # fmt: skip


@cases(CASES)
def test_the_specifications_give_what_we_compute(case: Published) -> None:
    case.check()


@pytest.mark.parametrize(("gallons", "passes"), [(349, False), (350, True)])
def test_less_than_350_gallons_in_60_seconds_fails(gallons, passes) -> None:
    # MIL-D-435F output test (seen)
    assert (
        limit("acceptance_output").allows((Q(gallons, "gal") / Q(60, "s")).to("gal/min").magnitude) is passes
    )


def test_two_burners_of_500000_btu_at_60_percent_heat_a_thousand_gallons_by_100_degrees_in_43_minutes() -> (
    None
):
    # Burner rating MIL-D-52916A (seen); heat computed: 424,728 Btu, 0.71 h, 141 °F an hour.
    heat = heat_for(Q(1000, "gal"), 1.02, Q(250, "degF"), Q(350, "degF"), HEAT)
    assert heat.to("Btu").magnitude == pytest.approx(424728)
    time = heating_time(heat, Q(1_000_000, "Btu/hour"), 0.6)
    assert time.to("hour").magnitude == pytest.approx(0.71, abs=5e-3)
    assert 100 / time.to("hour").magnitude == pytest.approx(141, abs=0.5)
    assert heat.magnitude / 1000 / 100 == pytest.approx(4.25, abs=5e-3)


def test_72_nozzles_of_4_86_gallons_give_350() -> None:
    assert bar_discharge(Q([350 / 72] * 72, "gal/min")).magnitude == pytest.approx(350)
