"""TxDOT Seal Coat Manual: bar rates, areas, rock lands, shots, variable rates, first load after emulsion."""

from __future__ import annotations

import numpy as np
import pytest

from sheetgen.trade import (
    area_of,
    average_rate,
    bar_rate,
    limit,
    meter_error,
    nozzles_open,
    rock_land,
    round_down,
    spread_length,
    volume_for,
)
from tests.published import Published, Q, cases

SCM = "TxDOT Seal Coat Manual"
BAR = Q(0.42, "gal/yd**2")
WIDTH = Q(12, "ft")
LAND = Q(1312.5, "ft")

CASES = [
    Published(SCM + " ch. 8 §8", "seen", "residual 0.36 of a residue of 60 % at the bar", 0.60, 2,
              lambda: bar_rate(Q(0.36, "gal/yd**2"), 0.60)),
    Published(SCM + " ch. 8 §8", "seen", "asphalt cement at 0.36 is sprayed at 0.36", 0.36, 2,
              lambda: bar_rate(Q(0.36, "gal/yd**2"), 1)),
    Published(SCM + " ch. 8 §7", "inputs seen", "rock land of 14 yd³ at 1 yd³ per 125 yd² on 12 ft", 1312.5, 1,
              lambda: rock_land(Q(14, "yd**3"), Q(1 / 125, "yd**3/yd**2"), WIDTH)),
    Published(SCM + " ch. 8", "computed", "what 1,700 usable gal cover at 0.42 on 12 ft, ft", 3035.7, 1,
              lambda: spread_length(Q(1700, "gal"), BAR, WIDTH)),
    Published(SCM + " ch. 8", "computed", "usable of 1,800 gal with 100 kept", 1700, 0,
              lambda: Q(1800, "gal") - Q(100, "gal")),
    Published(SCM + " ch. 8", "computed", "whole rock lands of that load", 2, 0,
              lambda: round_down((spread_length(Q(1700, "gal"), BAR, WIDTH) / LAND).magnitude)),
    Published(SCM + " ch. 8", "computed", "gallons of the shot of 2 rock lands", 1470, 0,
              lambda: volume_for(BAR, 2 * LAND, WIDTH)),
    Published(SCM + " ch. 8", "computed", "gallons left on board after it", 330, 0,
              lambda: Q(1800, "gal") - volume_for(BAR, 2 * LAND, WIDTH)),
    Published(SCM + " ch. 3 §4", "computed", "24 ft by 1 mile, yd²", 14080, 0,
              lambda: area_of(Q(1, "mi"), Q(24, "ft"))),
    Published(SCM + " ch. 3 §4", "computed", "gallons on it at 0.08", 1126.4, 1,
              lambda: volume_for(Q(0.08, "gal/yd**2"), Q(1, "mi"), Q(24, "ft"))),
    Published(SCM + " ch. 4", "computed", "0.32 in 18 nozzles and 0.40 in 18: the rate to set", 0.36, 2,
              lambda: average_rate(Q(np.array([0.32, 0.40]), "gal/yd**2"), np.array([18, 18]))),
]  # fmt: skip


@cases(CASES)
def test_the_seal_coat_manual_prints_what_we_compute(case: Published) -> None:
    case.check()


@pytest.mark.parametrize(
    ("width", "counts"),
    # ch. 4 table 4-8 (seen): nozzles by group across the lane, at 4 in
    [
        (9, (1, 9, 6, 9, 2)),
        (10, (2, 9, 6, 9, 4)),
        (12, (5, 9, 8, 9, 5)),
        (12, (6, 9, 8, 9, 4)),
        (13, (7, 9, 8, 9, 6)),
    ],
)
def test_three_nozzles_a_foot_are_open_at_four_inches(width, counts) -> None:
    assert nozzles_open(Q(width, "ft"), Q(4, "in")) == sum(counts)


def test_the_11_ft_row_of_the_table_is_one_nozzle_short() -> None:
    # Table 4-8 prints 4-9-6-9-4 = 32 for 11 ft (seen); all other rows have 3 a foot, which would be 33.
    assert sum((4, 9, 6, 9, 4)) == 32
    assert nozzles_open(Q(11, "ft"), Q(4, "in")) == 33


@pytest.mark.parametrize(("fill", "allowed"), [(1000, True), (1001, False)])
def test_the_first_asphalt_after_emulsion_fills_a_tank_of_2000_gal_at_most_half(fill, allowed) -> None:
    assert limit("first_fill_after_emulsion").allows(fill / 2000) is allowed


@pytest.mark.parametrize(("true", "error", "accepted"), [(101.1, 0.0109, False), (100.9, 0.0089, True)])
def test_tex_922_k_rejects_a_meter_wrong_by_more_than_1_percent(true, error, accepted) -> None:
    # Tex-922-K part I (seen): 100 gal indicated
    found = meter_error(Q(100, "gal"), Q(true, "gal"))
    assert found == pytest.approx(-error, abs=5e-5)
    assert limit("meter_error").allows(found) is accepted
