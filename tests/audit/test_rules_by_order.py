"""Rules that need an order of their own, or a log that no single changed entry makes."""

import re

import pytest

from sheetgen.audit.rules.case import Voice
from sheetgen.audit.rules.check import check_all
from sheetgen.book.layout import lay_out
from sheetgen.order.tank import chart_of
from sheetgen.plausibility import plausibility
from tests.audit.orders import (
    ASPHALT,
    CUTBACK,
    SMALL,
    changed,
    day,
    findings_of,
    names_of,
    put_before_the_rules,
    small,
)


def places(log, order, name):
    return [(each.cell, each.severity) for each in findings_of(log, order) if each.name == name]


def first_bar_shot(log, section="S1"):
    return next(
        row for table, row, column in sorted(log)
        if table == "shots" and column == "nozzles" and log["shots", row, "section"] == section
    )  # fmt: skip


def test_a_residual_rate_sprayed_as_mix_is_known_by_the_ratio_of_the_residue():
    ordered = small("us")  # residual rates, residue 60 %
    sprayed = changed(ordered, sections__basis="as-diluted")  # the same numbers put straight through the bar
    findings = [
        each
        for each in findings_of(day(sprayed), ordered)
        if each.name == "residual-rate-sprayed-as-bar-rate"
    ]
    assert len(findings) > 5
    ratios = [float(each.found.split("; ")[1].split()[0]) for each in findings]
    assert ratios == pytest.approx([0.60] * len(ratios), abs=0.06)
    assert "60.0 %" in findings[0].matters


def test_an_undiluted_rate_sprayed_as_diluted_mix_is_known_too():
    ordered = small("us", material__dilution=0.5, sections__basis="undiluted", sections__rate=0.08)
    sprayed = changed(ordered, sections__basis="as-diluted")
    assert "undiluted-rate-sprayed-as-bar-rate" in names_of(day(sprayed), ordered)


def test_a_rate_that_is_only_low_is_not_called_residual():
    ordered = small("us")
    sprayed = changed(ordered, sections__rate=0.04)  # 0.067 of mix where 0.083 was due
    assert "rate-out-of-tolerance" in names_of(day(sprayed), ordered)
    assert "residual-rate-sprayed-as-bar-rate" not in names_of(day(sprayed), ordered)


@pytest.mark.parametrize(
    ("gravity", "column"), [(0.966, True), (0.967, False), (0.9665, False), (0.80, False), (0.9, True)]
)
def test_a_tickets_gravity_beyond_the_border_of_the_columns(gravity, column):
    # ASTM D4311 table footnotes: column A from 0.967 at 60/60 °F, taken to three decimals (seen).
    order = small("us", **ASPHALT)
    log = day(order)
    log["loads", 1, "specific_gravity"] = gravity
    found = places(log, order, "gravity-of-other-column")
    assert found == ([("specific_gravity 2", "query")] if column else [])


def test_a_tickets_volume_that_is_corrected_already():
    order = small("us", **ASPHALT)
    log = day(order)
    log["loads", 1, "volume"] = round(
        log["loads", 1, "net_mass"] / 8.328 / log["loads", 1, "specific_gravity"], 1
    )
    assert places(log, order, "load-volume-already-corrected") == [("volume 2", "note")]
    assert places(log, order, "load-weight-and-volume-differ") == []


def test_a_flow_that_the_nozzles_do_not_spray_well():
    order = small("us")
    log = day(order)
    narrow = small("us", machines__nozzle_flow_max=1.6)  # 24 nozzles then spray 38 gal/min, not 60
    assert "nozzle-flow-outside-range" in names_of(log, narrow)
    assert "nozzle-flow-outside-range" not in names_of(log, order)


@pytest.mark.parametrize(
    ("changes", "name"),
    [
        ({"machines__discharge_max": 30, "machines__discharge": 25}, "discharge-outside-pump-range"),
        ({"machines__speed_max": 200}, "speed-outside-truck-range"),
    ],
)
def test_a_pace_beyond_the_machine_alone(changes, name):
    findings = {
        each.name for each in findings_of(day(small("us")), small("us", **changes)) if each.severity != "note"
    }
    assert findings == {name}


def test_a_shot_wider_than_the_ordered_lane():
    order = small("us")
    log = day(order)
    row = first_bar_shot(log, "S3")  # ten feet wide; the bar goes to twelve
    log["shots", row, "width"], log["shots", row, "nozzles"] = 12.0, 24.0
    assert places(log, order, "shot-wider-than-section") == [(f"width {row + 1}", "query")]


def test_hand_work_may_be_wider_than_the_bar():
    order = small("us")  # section S4 is 22 ft wide and sprayed by hand
    assert "width-wider-than-bar" not in names_of(day(order), order)


def test_asphalt_at_its_flash_point_is_questioned_and_cutback_is_not():
    # M 82-75: MC-70 has a flash point of 100 °F at least, and is sprayed at 125 to 175 °F: no such check
    # for cutback.
    hot = small("us", **{**ASPHALT, "material__flash_point": 300})
    assert "above-flash-point" in names_of(day(hot), hot)
    cutback = small("us", **CUTBACK)
    assert "above-flash-point" not in names_of(day(cutback), cutback)


def test_a_surface_colder_than_the_limit():
    # Ohio 422 chip seal: pavement 60 °F or more (seen).
    order = small("us", limits__surface_min=60)
    log = day(order)
    log["days", 0, "surface_temperature"] = 59.0
    assert places(log, order, "surface-below-limit") == [("surface_temperature 1", "query")]


def test_a_surface_hotter_than_the_limit():
    # Ohio 422 chip seal: pavement 142 °F is too hot, at most 140 °F (seen).
    order = small("us", limits__surface_max=140)
    log = day(order)
    log["days", 0, "surface_temperature"] = 142.0
    assert places(log, order, "surface-above-limit") == [("surface_temperature 1", "query")]
    log["days", 0, "surface_temperature"] = 140.0
    assert places(log, order, "surface-above-limit") == []


def test_a_temperature_that_the_order_limits_and_nobody_read():
    order = small("us", limits__air_min=40, limits__surface_max=140)
    log = day(order)
    assert places(log, order, "weather-not-read") == []
    log["days", 0, "air_temperature"] = None
    log["days", 0, "surface_temperature"] = None
    assert len(places(log, order, "weather-not-read")) == 2
    free = small("us", limits__air_min=None)
    log = day(free)
    log["days", 0, "air_temperature"] = None
    assert places(log, free, "weather-not-read") == []


def test_day_and_month_swapped_by_a_program():
    order = changed(small("us"), job__date="2026-06-02")
    log = day(order)  # 2026-06-03
    row = first_bar_shot(log) + 1
    log["shots", row, "date"] = 46087.0  # 2026-03-06
    found = findings_of(log, order)
    assert ("day-and-month-swapped", f"date {row + 1}") in {(each.name, each.cell) for each in found}
    assert {"date-before-order", "shot-out-of-sequence", "day-not-logged"} & {
        each.name for each in found
    } == set()


def test_a_day_logged_twice():
    order = small("us")
    log = day(order)
    log |= {("days", 1, column): value for (table, row, column), value in log.items() if table == "days"}
    assert places(log, order, "day-logged-twice") == [("date 2", "error")]


@pytest.mark.parametrize(("metered", "flagged"), [(100.0, True), (100.2, False)])
def test_a_meter_more_than_one_percent_off_is_questioned(metered, flagged):
    # Tex-922-K: a meter that shows 100 gal where 101.1 went through (1.09 %) is rejected, 100.9 (0.89 %)
    # accepted.
    # A narrow tank, as a test tank is: a hundredth of an inch is a twentieth of a gallon, far below 1 %.
    points = [{"depth": 0, "volume": 0}, {"depth": 100, "volume": 500}]
    tank = {"shape": "calibrated", "height": None, "width": None, "length": None, "points": points}
    # A test tank stands level, and its stick is read without a wet line.
    still = {"planning__dip_repeat": 0, "planning__level_within": 0, "rounding__chart": 3}
    order = small("us", machines__tank=tank, reading__dip=0.01, reading__meter=0.01, **still)
    log = day(order)
    row = first_bar_shot(log)
    computed_hot = 101.1
    chart = chart_of(order.machines[0], order)
    log["shots", row, "dip_before"] = chart.depth_for(400.0)
    log["shots", row, "dip_after"] = chart.depth_for(400.0 - computed_hot)
    log["shots", row, "meter_before"], log["shots", row, "meter_after"] = 500.0, 500.0 + metered
    assert bool(places(log, order, "stick-and-meter-differ")) == flagged


def test_control_totals_of_a_paper_page():
    order = small("us", size={**SMALL, "shots": 16})  # the whole day on one page: as many as fit on it
    log = day(order)
    shots = sorted({row for table, row, _ in log if table == "shots"})
    computation, _ = put_before_the_rules(log, order)
    hot = round(sum(row.hot for row in computation.shot_rows), 1)
    right = {
        ("pages", 0, "shots"): float(len(shots)),
        ("pages", 0, "volume"): hot,
        ("pages", 0, "last_station"): "160+60",
    }
    assert not {"page-count-differs", "page-volume-differs", "page-last-station-differs"} & names_of(
        log | right, order
    )
    for column, value, name in (
        ("shots", len(shots) + 1.0, "page-count-differs"),
        ("volume", hot + 20, "page-volume-differs"),
        ("last_station", "160+00", "page-last-station-differs"),
    ):
        assert places(log | right | {("pages", 0, column): value}, order, name) == [(f"{column} 1", "query")]


def test_a_paper_page_has_as_many_rows_as_the_book_prints_on_it():
    # 20 rows stand on two even pages of ten: the book says so itself, in the cell that its own check counts with.
    order = small("us")
    book = lay_out(order, order.machines[0])
    sheet, *at = book.fields["shots_per_page"]
    per_page = book.sheet(sheet).cells[tuple(at)].value
    log = day(order)
    used = sorted({row for table, row, _ in log if table == "shots"})
    assert per_page < len(used)  # so that the day is on two pages
    pages = [sum(row // per_page == page for row in used) for page in range(2)]
    right = {("pages", page, "shots"): float(count) for page, count in enumerate(pages)}
    assert "page-count-differs" not in names_of(log | right, order)
    wrong = right | {("pages", 1, "shots"): pages[1] + 1.0}
    assert places(log | wrong, order, "page-count-differs") == [("shots 2", "query")]


def test_two_passes_side_by_side_are_no_overlap():
    order = small("us", sections__width=24)  # a bar of twelve feet, twice over each lane
    assert "shots-overlap-in-lane" not in names_of(day(order), order)


SHORT_BAR = {"machines__bar_widths": (8,), "machines__nozzle_spacing": 6, "machines__nozzle_flow_max": 5}


def _two_passes(first, second, order):
    """A thousand feet of a 12 ft lane in two passes of a bar of 8 ft, with the nozzles of their widths."""
    log = {}
    for row, width in enumerate((first, second)):
        log["shots", row, "section"], log["shots", row, "lane"] = "S1", order.sections[0].lanes[0]
        log["shots", row, "from_station"], log["shots", row, "to_station"] = "118+50", "128+50"
        log["shots", row, "width"], log["shots", row, "nozzles"] = width, 2 * width
    return log


def test_two_planned_passes_of_a_short_bar_are_no_overlap():
    order = small("us", **SHORT_BAR)
    assert "shots-overlap-in-lane" not in names_of(_two_passes(6.5, 6.0, order), order)
    assert "shots-overlap-in-lane" not in names_of(_two_passes(6.0, 6.5, order), order)
    assert "shots-overlap-in-lane" not in names_of(_two_passes(6.0, 6.0, order), order)


def test_a_strip_sprayed_twice_is_asked_about_with_its_own_area():
    # 6.5 + 6.5 ft on 12 ft: 1 ft by 1,000 ft lies twice, 1,000/9 = 111.1 yd².
    order = small("us", **SHORT_BAR)
    log = _two_passes(6.5, 6.5, order)
    (found,) = [each for each in findings_of(log, order) if each.name == "shots-overlap-in-lane"]
    assert "1,000 ft × 1 ft = 111.1 yd²" in found.matters


def test_another_distributor_may_have_sprayed_what_looks_like_a_gap():
    order = small("us", size=SMALL)
    log = day(order)
    row = first_bar_shot(log) + 1
    log["shots", row, "from_station"] = "122+00" if log["shots", row, "lane"] == "EB" else "128+00"
    twice = order.model_dump(mode="json")
    twice["machines"].append({**twice["machines"][0], "name": "Distributor B"})
    both = type(order).model_validate(twice)
    assert "gap-in-lane" not in names_of(log, both)


def test_deduction_is_told_with_its_money():
    order = small("us", pay__excess_limit=0.0, pay__unit_price=4.0)
    found = [each for each in findings_of(day(order, 4), order) if each.name == "sprayed-beyond-pay-limit"]
    assert found
    assert all("USD" in each.matters for each in found)


def test_a_shot_within_one_minute_may_be_typed_once_as_a_time_and_once_as_a_text():
    order = small("us")
    log = day(order)
    log["shots", 2, "start"] = 10.066666666666668 / 24  # 10:04, as a program may write it
    log["shots", 2, "end"] = "10:04"
    assert "end-before-start" not in names_of(log, order)
    log["shots", 2, "end"] = "10:03"
    assert "end-before-start" in names_of(log, order)


def test_a_mass_with_its_thousands_set_apart_is_no_mass_of_a_few_pounds():
    for language, text in (("en", "4,060"), ("es", "4.060")):
        order = small("us", language)
        log = day(order)
        log["loads", 0, "net_mass"] = text
        computation, findings = put_before_the_rules(log, order)
        assert computation.logs.loads[0].net_mass == 4060
        assert "number-read-by-range" in {each.name for each in findings if each.severity == "note"}


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ({"net_mass": 4000.0}, "ticket-repeated"),  # a weight is that of the whole ticket
        ({"volume": 400.0}, "ticket-repeated"),  # the volume of a fill beside the weight of all
        ({"volume": 400.0, "also": 400.0}, "ticket-repeated"),  # one row typed twice
        ({"volume": 400.0, "also": 380.0}, "ticket-in-parts"),
    ],
)
def test_a_ticket_taken_in_parts_is_not_counted_again(typed, name):
    order = small("us")
    log = day(order, 5)
    loads = sorted({row for table, row, _ in log if table == "loads"})[:2]
    for row in loads:
        for column in ("ticket", "date", "time", "grade", "temperature"):
            log["loads", row, column] = log["loads", loads[0], column]
    if "also" in typed:
        log |= {("loads", loads[0], "net_mass"): None, ("loads", loads[0], "volume"): typed["also"]}
    log |= {
        ("loads", loads[1], "net_mass"): typed.get("net_mass"),
        ("loads", loads[1], "volume"): typed.get("volume"),
    }
    found = names_of(log, order) & {"ticket-repeated", "ticket-in-parts"}
    assert found == {name}


@pytest.mark.parametrize(("step", "asked"), [(1, True), (5, False), (15, False)])
def test_the_pace_is_asked_about_only_as_finely_as_times_are_written(step, asked):
    # A shot that took 2 minutes by a clock to the minute took anything up to 17 by one to the quarter hour.
    order = small("us")
    log = day(order, 5)
    for place, value in log.items():
        if place[0] == "shots" and place[2] in ("start", "end"):
            log[place] = round(value * 1440 / step) * step / 1440
    row = first_bar_shot(log)
    log["shots", row, "end"] = log["shots", row, "start"] + (0 if step > 1 else 12) / 1440
    paced = {"discharge-outside-pump-range", "speed-outside-truck-range", "speed-and-rate-disagree",
             "nozzle-flow-outside-range"}  # fmt: skip
    assert bool(names_of(log, order) & paced) is asked


@pytest.mark.parametrize("temperature", [150.0, None])
def test_a_load_by_volume_needs_its_temperature_and_one_by_mass_does_not(temperature):
    order = small("us")
    log = day(order)
    load = min(row for table, row, column in log if table == "loads" and column == "net_mass")
    log["loads", load, "temperature"] = temperature

    def missing():
        return [each.row for each in findings_of(log, order) if each.name == "temperature-missing"]

    by_mass = missing()
    log["loads", load, "net_mass"], log["loads", load, "volume"] = None, 300.0
    by_volume = missing()
    assert by_mass == []
    assert by_volume == ([] if temperature else [load])


A_SHOT = (10 * 60.0, 10 * 60 + 6.0)  # minutes of the day at which it starts and ends


@pytest.mark.parametrize(
    ("minute", "within"),
    [(599, False), (600, False), (600.4, False), (601, True), (603, True), (605, True), (605.6, False), (606, False)],
)  # fmt: skip
@pytest.mark.parametrize("days_later", [0, 1])
def test_a_load_taken_within_a_shot_is_asked_about_and_one_that_touches_its_ends_is_not(
    minute, within, days_later
):
    order = small("us")
    log = day(order, 5)
    shot = next(row for table, row, _ in sorted(log) if table == "shots" and log["shots", row, "load"] == 1)
    start, end = A_SHOT
    log |= {("shots", shot, "start"): start / 1440, ("shots", shot, "end"): end / 1440}
    log |= {("loads", 1, "time"): minute / 1440, ("loads", 1, "date"): log["loads", 1, "date"] + days_later}
    asked = [("time 2", "query")] if within and not days_later else []
    assert places(log, order, "load-taken-during-shot") == asked


def test_a_load_taken_after_midnight_within_a_shot_that_began_before_it():
    order = small("us")
    log = day(order, 5)
    log |= {("shots", 0, "start"): 1437 / 1440, ("shots", 0, "end"): 4 / 1440}
    log |= {("loads", 1, "time"): 2 / 1440, ("loads", 1, "date"): log["shots", 0, "date"] + 1}
    (asked,) = [each for each in findings_of(log, order) if each.name == "load-taken-during-shot"]
    assert asked.found == "00:02, while shot 1 ran from 23:57 to 00:04"


def test_a_load_that_came_within_the_shot_that_drew_on_it_came_too_late_and_is_said_once():
    order = small("us")
    log = day(order, 5)
    shot = next(row for table, row, _ in sorted(log) if table == "shots" and log["shots", row, "load"] == 2)
    start = log["shots", shot, "start"]
    log |= {("shots", shot, "end"): start + 6 / 1440, ("loads", 1, "time"): start + 3 / 1440}
    assert [cell for cell, _ in places(log, order, "load-used-before-it-came")][:1] == [f"load {shot + 1}"]
    assert places(log, order, "load-taken-during-shot") == []


@pytest.mark.parametrize(("colder", "asked"), [(0, False), (8, False), (30, True), (60, True)])
def test_shots_written_colder_than_the_tank_can_have_been(colder, asked):
    order = small("us")
    log = day(order)
    shots = [key for key in log if key[::2] == ("shots", "temperature")]
    log |= {key: log[key] - colder for key in shots}
    found = [each for each in findings_of(log, order) if each.name == "temperature-unlike-others"]
    assert bool(found) == asked
    assert len(found) <= 1  # one cause is one finding


def test_how_cold_a_tank_can_be_is_told_by_the_ticket_and_what_was_on_board():
    order = small("us")
    log = day(order)
    shots = [key for key in log if key[::2] == ("shots", "temperature")]
    log |= dict.fromkeys(shots, 90.0)
    log = {key: value for key, value in log.items() if key[2] not in ("start_temperature", "end_temperature")}
    log["loads", 0, "temperature"] = 180.0
    computation, found = put_before_the_rules(log, order)
    (asked,) = [each for each in found if each.name == "temperature-unlike-others"]
    first, load = computation.logs.shots[0], computation.load_rows[0]
    shot = next(each for each in computation.logs.shots if each.row == asked.row)
    assert (first.load, shot.load) == (1, 1)
    # The load's share of the tank at its temperature, the rest no warmer than the base temperature, then cooled.
    bounds = plausibility()
    share = min(1.0, load.mix / computation.chart.volume(first.dip_before))
    hours = ((shot.date + shot.start) - (log["loads", 0, "date"] + log["loads", 0, "time"])) * 24
    slack = max(bounds["thermometer_steps"] * order.reading.temperature, bounds["temperature_spread_us"])
    lowest = 60 + share * 120 - slack - bounds["cooling_us"] * hours
    assert abs(float(re.search(r"[\d.]+", asked.expected)[0]) - lowest) <= 1
    assert 60 < lowest < 180


def test_stick_readings_between_the_marks_are_asked_about_once():
    order = small("us")  # a stick with a mark every sixteenth of an inch
    log = day(order)
    for row in range(3):
        log["shots", row, "dip_after"] = round(log["shots", row, "dip_after"] // 1 + 0.36, 2)
    assert places(log, order, "reading-between-marks") == [("dip_after 1", "query")]


def test_marks_written_to_fewer_decimals_are_marks():
    order = small("us")
    log = day(order)
    rounded = {key: round(value, 2) for key, value in log.items() if key[2] in ("dip_before", "dip_after")}
    assert places(log | rounded, order, "reading-between-marks") == []


@pytest.mark.parametrize(
    ("change", "name"), [(60, "meter-jumped-between-shots"), (-9, "meter-fell-between-shots"), (2, None)]
)
def test_a_meter_that_does_not_go_on_where_it_stood(change, name):
    order = small("us")
    log = day(order)
    for row in range(2, 12):
        for key in ("meter_before", "meter_after"):
            log["shots", row, key] += change
    found = {each.name: each.cell for each in findings_of(log, order) if each.name.startswith("meter-")}
    assert found == ({name: "meter_before 3"} if name else {})


@pytest.mark.parametrize(
    ("saved", "asked"), [("2026-05-01T10:00:00+00:00", True), ("", False), ("no date", False)]
)
def test_dates_after_the_day_the_file_was_saved(saved, asked):
    order = small("us")
    log = day(order)
    computation, _ = put_before_the_rules(log, order)
    found = check_all(computation, [], order, order.machines[0], saved=saved)
    assert [each.name for each in found].count("date-after-saving") == int(asked)


@pytest.mark.parametrize(("payload", "found"), [(1000, True), (60000, False), (None, False)])
def test_a_load_that_weighs_more_than_the_truck_may_carry(payload, found):
    order = changed(small("us"), machines__payload=payload)
    assert bool(places(day(small("us")), order, "load-above-payload")) == found


@pytest.mark.parametrize(
    ("units", "distance", "written"),
    [
        ("us", 11805.5, "118+05.50"),
        ("us", 11899.996, "119+00"),
        ("us", 11850, "118+50"),
        ("si", 11805.5, "11+805.50"),
    ],
)
def test_a_station_with_a_fraction_is_written_as_a_station(units, distance, written):
    assert Voice(put_before_the_rules({}, small(units))[0].logs, small(units)).station(distance) == written
