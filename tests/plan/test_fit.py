"""How a distributor sprays a lane: the cases that small crews meet, each worked out by hand.

Speeds by S = k·Q/(W·R) with k = 9 ft²/yd² (DOT study guide HMA-8-1, seen). That two passes end at the edges of a lane,
and that a nozzle carries the strip between it and the next, is geometry.
"""

from __future__ import annotations

import pytest

from sheetgen.plan import plan, plan_text
from sheetgen.plan.fit import lane_limit
from sheetgen.templates import LANGUAGES, texts
from tests.plan.orders import flat_tank, order_of

# A small distributor: 8 ft bar, 6 in between nozzles, 10 to 60 gal/min, 1 to 5 gal/min a nozzle, 100 to 900 ft/min.
SMALL = {
    "bar_widths": [8], "nozzle_spacing": 6, "discharge": 40, "discharge_min": 10, "discharge_max": 60,
    "nozzle_flow_min": 1, "nozzle_flow_max": 5, "speed_min": 100, "speed_max": 900, "tank": flat_tank(600),
}  # fmt: skip


def _planned(width, machine=None, planning=None, **section):
    order = order_of(
        {"width": width, "rate": 0.15} | section, SMALL | (machine or {}), planning=planning or {}
    )
    made = plan(order)
    (planned,) = made.machines[0].sections
    return planned, [notice.key for notice in made.machines[0].notices]


def _passes(planned):
    return [(each.nozzles, each.width) for each in planned.sprayed]


def test_an_8_ft_bar_on_a_12_ft_lane_opens_12_and_13_nozzles():
    planned, notices = _planned(12)
    assert _passes(planned) == [(13, 6.5), (12, 6.0)]
    assert planned.setting.overlap == pytest.approx(6)  # 12.5 ft of nozzles on 12 ft of lane
    assert [each.speed for each in planned.sprayed] == pytest.approx(
        [9 * 40 / (6.5 * 0.15), 9 * 40 / (6 * 0.15)]
    )
    assert "overlap-wide" in notices  # more than the 4 in of NCHRP Synthesis 342 p. 44


def test_shots_side_by_side_come_to_the_passes_and_half_a_nozzle():
    planned, _ = _planned(12)
    (machine,) = order_of({}, SMALL).machines
    assert lane_limit(planned, machine, "us") == pytest.approx(6.5 + 6 + 0.25)


def test_an_8_ft_bar_on_a_10_5_ft_lane():
    # 21 nozzles are 10.5 ft; with 2 in of overlap 22 are needed, whose joint is 6 in.
    planned, _ = _planned(10.5)
    assert _passes(planned) == [(11, 5.5), (11, 5.5)]
    assert planned.setting.overlap == pytest.approx(6)


def test_a_12_ft_bar_on_a_24_ft_road_takes_two_passes_whatever_the_overlap():
    planned, notices = _planned(24, {"bar_widths": [12]}, rate=0.06)
    assert _passes(planned) == [(24, 12), (24, 12)]
    assert planned.setting.overlap == pytest.approx(0)
    assert "overlap-short" in notices
    planned, notices = _planned(24, {"bar_widths": [12]}, {"overlap": 0}, rate=0.06)
    assert _passes(planned) == [(24, 12), (24, 12)]
    assert "overlap-short" not in notices


def test_a_4_ft_shoulder_takes_one_pass_where_the_pump_can_be_turned_down():
    planned, _ = _planned(4)
    assert _passes(planned) == [(8, 4.0)]
    assert planned.verdict == "as-calibrated"  # 40 gal/min through 8 nozzles are 5 each; 600 ft/min
    planned, notices = _planned(4, {"discharge_min": 41, "discharge": 45})
    assert planned.verdict == "none"  # 41 gal/min through 8 nozzles are more than 5 each
    assert "none-works" in notices


def test_nozzles_12_in_apart_meet_at_the_joint_rather_than_double_a_foot():
    planned, notices = _planned(12, {"nozzle_spacing": 12})
    assert _passes(planned) == [(6, 6.0), (6, 6.0)]
    assert planned.setting.overlap == pytest.approx(0)
    assert "overlap-short" in notices


def test_4_in_spacing_gives_the_overlap_asked_for_to_one_nozzle():
    planned, notices = _planned(12, {"nozzle_spacing": 4, "nozzle_flow_max": 3})
    assert [nozzles for nozzles, _ in _passes(planned)] == [19, 18]
    assert planned.setting.overlap == pytest.approx(4)
    assert "overlap" in notices


def test_the_sections_of_an_extended_bar_are_chosen_by_the_lane():
    machine = {"bar_widths": [8, 10, 12]}
    assert [_planned(width, machine, rate=0.08)[0].setting.bar_width for width in (7.5, 8, 9, 12)] == [
        8,
        8,
        10,
        12,
    ]


def test_a_pump_too_small_for_the_whole_bar_sprays_the_lane_in_more_passes():
    # At 100 ft/min and 0.5 gal/yd² one 6 in nozzle gives 100·0.5·0.5/9 = 2.78 gal/min: 40 gal/min feed 14 of 16.
    planned, _ = _planned(8, {"discharge_max": 40}, rate=0.5, planning={"overlap": 0})
    assert _passes(planned) == [(8, 4.0), (8, 4.0)]


def test_a_joint_is_doubled_only_where_nothing_else_works_and_it_is_said():
    # 30 gal/min at least through nozzles of 2.2 at most: 14 open at least, 14 ft of nozzles on a lane of 12 ft.
    planned, notices = _planned(12, {"discharge_min": 30, "nozzle_flow_max": 2.2, "discharge": 30})
    assert _passes(planned) == [(14, 7.0), (14, 7.0)]
    assert planned.setting.overlap == pytest.approx(24)
    assert "overlap-doubled" in notices


def test_a_pass_may_open_as_few_nozzles_as_the_pump_feeds():
    planned, _ = _planned(12, {"discharge_min": 60, "discharge": 60, "discharge_max": 80})  # 12 of 5 gal/min
    assert _passes(planned) == [(13, 6.5), (12, 6.0)]
    assert not planned.setting.doubled


def test_no_more_nozzles_are_open_than_the_pump_feeds():
    planned, _ = _planned(
        12, {"nozzle_flow_min": 4, "discharge_max": 51}
    )  # 12 of 4 gal/min; 13 would take 52
    assert _passes(planned) == [(12, 6.0), (12, 6.0)]


def test_a_bar_of_one_nozzle_sprays_a_strip_as_wide_as_nozzles_stand_apart():
    planned, _ = _planned(0.5, {"bar_widths": [0.5], "discharge": 3, "discharge_min": 1})
    assert _passes(planned) == [(1, 0.5)]
    planned, _ = _planned(1, {"bar_widths": [0.5], "discharge": 3, "discharge_min": 1})
    assert _passes(planned) == [(1, 0.5), (1, 0.5)]


def test_at_most_half_of_a_pass_lies_twice():
    # No fewer than 12 nozzles may be open: two passes of 6 ft on 9 ft have a joint of 3 ft.
    strong = {"discharge_min": 60, "discharge": 60, "discharge_max": 80}
    planned, _ = _planned(9, strong)
    assert _passes(planned) == [(12, 6.0), (12, 6.0)]
    assert planned.setting.doubled
    planned, _ = _planned(8.9, strong)
    assert planned.verdict == "none"


def test_a_lane_beyond_six_passes_is_not_planned():
    assert _planned(26, {"bar_widths": [4]}, rate=0.3)[0].verdict == "none"


def test_a_section_shorter_than_a_station_step_needs_a_tank_only_for_its_own_length():
    machine = {"tank": flat_tank(12)}  # 12 ft at 0.15 take 0.2 gal a foot
    planned, _ = _planned(12, machine, {"overlap": 0}, to_station=50)
    assert planned.verdict == "as-calibrated"


METRIC = {"dip": 2, "temperature": 1, "meter": 5, "station": 0.5, "width": 0.05}


def test_bars_typed_in_round_metric_figures_keep_their_nozzles():
    # Bars of 8 and 12 ft with 4 in between nozzles, in metric figures: 2.44 and 3.66 m, 102 mm.
    machine = {
        "bar_widths": [2.44, 3.66], "nozzle_spacing": 102, "discharge": 200, "burners": False, "speed_max": 400,
        "tank": flat_tank(2000, 1500),
    }  # fmt: skip
    (planned,) = (
        plan(
            order_of(
                {"width": 3.66, "rate": 0.6}, machine, material={"spray_max": 300}, units="si", reading=METRIC
            )
        )
        .machines[0]
        .sections
    )
    assert _passes(planned) == [(36, pytest.approx(3.66))]


def test_stone_trucks_end_a_shot_on_a_station_and_it_is_said():
    # 6 m³ at 80 m²/m³ on 1.8 m: 266.67 m a truck; stations every 20 m; a full tank reaches more.
    order = order_of(
        {"width": 1.8, "rate": 1.5, "to_station": 2000, "work": "chip-seal"},
        {"bar_widths": [1.8], "nozzle_spacing": 100, "discharge": 100, "burners": False, "speed_max": 400,
         "tank": flat_tank(1000, 1500)},
        {"spray_max": 300}, units="si", reading=METRIC,
        planning={"aggregate_truck": 6, "aggregate_cover": 80},
    )  # fmt: skip
    machine = plan(order).machines[0]
    assert machine.shots[0].to_station == 260
    assert all(shot.to_station % 20 == pytest.approx(0) for shot in machine.shots)
    assert "stone-limits" in [notice.key for notice in machine.notices]
    assert {shot.ends_by for shot in machine.shots} == {"aggregate", "section"}


def test_trucks_that_reach_as_far_as_the_tank_limit_nothing_and_nothing_is_said():
    # 6 m³ at 80 m²/m³ on 1.8 m: 266.67 m a truck; a tank of 400 m reaches one truck and half of the next: the trucks
    # limit. One of 270 m reaches 260 m by its stations, and so does its one truck: the tank limits.
    def shots(volume):
        order = order_of(
            {"width": 1.8, "rate": 1.5, "to_station": 2000, "work": "chip-seal"},
            {"bar_widths": [1.8], "nozzle_spacing": 100, "discharge": 100, "burners": False, "speed_max": 400,
             "tank": flat_tank(volume, 1500)},
            {"spray_max": 300}, units="si", reading=METRIC,
            planning={"aggregate_truck": 6, "aggregate_cover": 80},
        )  # fmt: skip
        machine = plan(order).machines[0]
        return machine.shots, [notice.key for notice in machine.notices]

    by_trucks, told = shots(400 * 1.8 * 1.5)
    assert (by_trucks[0].to_station, by_trucks[0].ends_by) == (260, "aggregate")
    assert "stone-limits" in told
    by_tank, told = shots(270 * 1.8 * 1.5)
    assert (by_tank[0].to_station, by_tank[0].ends_by) == (260, "tank")
    assert "stone-limits" not in told


def test_trucks_too_large_for_the_tank_are_not_matched_and_it_is_said():
    machine = plan(order_of(
        {"rate": 0.4, "to_station": 2000, "work": "chip-seal"}, {"tank": flat_tank(400)},
        planning={"aggregate_truck": 14, "aggregate_cover": 125},
    )).machines[0]  # fmt: skip
    assert machine.shots[0].to_station == 700  # 750 ft reached, stations every 100 ft; a truck covers 1,312.5
    assert "stone-not-matched" in [notice.key for notice in machine.notices]


@pytest.mark.parametrize(
    ("spacing", "fan", "offered", "coverage"),
    [  # geometry of flat fans, computed: one fan covers its own spacing at 60° and slots of 30°
        (4, 60, (4, 8, 12), 3),
        (6, 60, (6, 12, None), 2),
        (12, 60, (12, None, None), 1),
        (
            12,
            40,
            (None, None, None),
            0,
        ),  # 18.7 in and more: narrow fans on wide spacing reach no coverage low enough
    ],
)
def test_no_coverage_that_lifts_the_bar_beyond_a_sensible_height_is_offered(spacing, fan, offered, coverage):
    # 14 in at most: common practice, no source; an office changes it on Planning.
    planning = {"fan_angle": fan, "nozzle_angle": 30}
    made = plan(order_of({"width": 12}, {"nozzle_spacing": spacing}, planning=planning))
    bar = made.machines[0].bar
    assert bar.offered == tuple(
        height if height is None else pytest.approx(height, abs=0.01) for height in offered
    )
    assert bar.coverage == coverage
    assert (bar.height is None) == (coverage == 0)


def test_a_height_that_the_office_allows_is_offered():
    planning = {"fan_angle": 60, "nozzle_angle": 30, "bar_height": 24}
    bar = plan(order_of({"width": 12}, {"nozzle_spacing": 12}, planning=planning)).machines[0].bar
    assert (bar.offered[1], bar.offered[2]) == (pytest.approx(24), None)


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_shortest_shot_that_can_be_checked_is_said_to_be_so_at_best(language):
    made = plan(order_of({"width": 12}))
    said = plan_text(made, language)
    assert texts(language)["plan.part.judging"] in said
    assert {"en": "at best", "es": "en el mejor caso"}[language] in texts(language)["plan.part.judging"]
