"""Florida DOT: course Asphalt Paving Level 1 app. 1, form 675-030-20, 300-8.4; South Dakota SD 314; estimating tons."""

from __future__ import annotations

import pytest

from sheetgen.trade import (
    application_rate,
    area_of,
    at_base,
    loads_needed,
    mass_of,
    unexplained,
    volume_factor,
    volume_for,
)
from tests.published import Published, Q, cases

COURSE = "FDOT Asphalt Paving Level 1, app. 1"
FORM = "FDOT form 675-030-20 (fields), numbers computed"
SD = "South Dakota SD 314 (method), numbers computed"
TACK_GUIDE = "a tack coat guide after the California guidelines of 2009 §5"
HOT = Q(1203, "gal") - Q(985, "gal")
LENGTH = Q(14475 - 11850, "ft")
LANE = Q(12, "ft")


def _tons(volume: float, temperature: float):
    factor = volume_factor(Q(temperature, "degF"), "asphalt-a")
    return mass_of(at_base(Q(volume, "gal"), factor), 1.030).to("short_ton")


CASES = [
    Published(COURSE, "inputs seen", "Sta 118+50 to 144+75, 12 ft, yd²", 3500, 0, lambda: area_of(LENGTH, LANE)),
    Published(COURSE, "computed", "that area at 0.06 gal/yd²", 210, 0,
              lambda: volume_for(Q(0.06, "gal/yd**2"), LENGTH, LANE)),
    Published(FORM, "computed", "218 hot gal of emulsion at 140 °F, at 60 °F", 213.64, 2,
              lambda: at_base(HOT, volume_factor(Q(140, "degF"), "emulsion"))),
    Published(FORM, "computed", "rate of the shot at 60 °F", 0.0610, 4,
              lambda: application_rate(at_base(HOT, volume_factor(Q(140, "degF"), "emulsion")), LENGTH, LANE)),
    Published(FORM, "computed", "rate with the factor forgotten", 0.0623, 4,
              lambda: application_rate(HOT, LENGTH, LANE)),
    Published(TACK_GUIDE, "seen", "61,952 gal at 240 gal a ton", 258.1, 1,
              lambda: Q(61952, "gal") / Q(240, "gal")),
    Published(TACK_GUIDE, "seen", "tons to order", 259, 0, lambda: loads_needed(Q(61952, "gal"), Q(240, "gal"))),
    Published(TACK_GUIDE, "computed", "110 lane-miles of 12 ft, yd²", 774400, 0,
              lambda: area_of(Q(110, "mi"), LANE)),
    Published(TACK_GUIDE, "computed", "the same at 0.08 gal/yd²", 61952, 0,
              lambda: volume_for(Q(0.08, "gal/yd**2"), Q(110, "mi"), LANE)),
    Published(SD, "computed", "6,200 gal at 310 °F, SG 1.030, tons", 24.342, 3, lambda: _tons(6200, 310)),
    Published(SD, "computed", "2,950 gal at 300 °F, tons", 11.624, 3, lambda: _tons(2950, 300)),
    Published(SD, "computed", "used with 22.46 tons received", 35.178, 3,
              lambda: _tons(6200, 310) + Q(22.46, "short_ton") - _tons(2950, 300)),
]  # fmt: skip


@cases(CASES)
def test_the_forms_give_what_we_compute(case: Published) -> None:
    case.check()


def test_the_daily_balance_finds_what_is_missing() -> None:
    # Computed example: start 420, loaded 5,297, shots 1,470 + 1,455 + 1,462, waste 30, end 1,190.
    missing = unexplained(*(Q(gal, "gal") for gal in (420, 5297, 1470 + 1455 + 1462, 30, 0, 1190)))
    assert missing.magnitude == pytest.approx(110)
    assert missing.magnitude / 5717 == pytest.approx(0.019, abs=5e-4)  # of what was available
    assert missing.magnitude / 4387 == pytest.approx(0.025, abs=5e-4)  # of what was sprayed


def test_what_is_returned_or_wasted_is_accounted_for_as_what_is_sprayed_is() -> None:
    # Computed: of 1,000 at the start and 4,000 loaded, 3,000 sprayed, 50 wasted, 700 returned and 1,200 at the end
    # leave 50; each gallon more of one of the four is a gallon less that is unexplained.
    log = {"start": 1000, "loaded": 4000, "sprayed": 3000, "wasted": 50, "returned": 700, "end": 1200}
    assert unexplained(**{name: Q(gallons, "gal") for name, gallons in log.items()}).magnitude == 50
    for name in ("sprayed", "wasted", "returned", "end"):
        more = unexplained(**{key: Q(gallons + (key == name), "gal") for key, gallons in log.items()})
        assert more.magnitude == 49
