"""Published cases put through a whole log: entries in, quantities and findings out."""

import pytest

from sheetgen.audit.compute.days import remainder
from sheetgen.trade.rates import area_of, rate_over
from tests.audit.orders import changed, day, findings_of, put_before_the_rules, small

# A tank whose chart shows the very gallons of the FDOT form: 1,203 at one depth, 985 at another.
FDOT_TANK = {
    "shape": "calibrated", "height": None, "width": None, "length": None,
    "points": [
        {"depth": depth, "volume": volume} for depth, volume in ((0, 0), (16.5, 985), (20, 1203), (40, 2400))
    ],
}  # fmt: skip
FDOT = small(
    "us", machines__tank=FDOT_TANK, sections__from_station=11850, sections__to_station=14475,
    sections__basis="as-diluted", sections__rate=0.06, sections__tolerance=0.01,
    sections__tolerance_kind="absolute",
)  # fmt: skip


def shot(**entries):
    return {("shots", 0, column): value for column, value in entries.items()}


def fdot_shot(**entries):
    return shot(
        date=46176.0, section="S1", lane="EB", from_station="118+50", to_station="144+75", width=12.0,
        dip_before=20.0, dip_after=16.5, temperature=140.0, **entries,
    )  # fmt: skip


def test_a_shot_on_the_fdot_form():
    # FDOT form 675-030-20 (fields seen); begin 1,203, end 985, emulsion at 140 °F, factor 0.98000, 3,500 yd²:
    # net 218 hot, 213.64 at 60 °F, 0.0610 gal/yd² (computed). Sta 118+50 to 144+75 at 12 ft: 2,625 ft,
    # 3,500 yd².
    computation, _ = put_before_the_rules(fdot_shot(), FDOT)
    row = computation.shot_rows[0]
    assert (row.length, row.area, row.net, row.factor) == (2625.0, 3500.0, 218.0, 0.98)
    assert row.base == 213.6  # the form's 213.64, to the tenth that the order asks for
    assert row.mix_rate == 0.061


def test_the_same_shot_without_a_temperature_is_flagged_and_not_paid_hot():
    # The same with the factor forgotten would be 218 / 3,500 = 0.0623 (computed).
    log = fdot_shot()
    del log["shots", 0, "temperature"]
    computation, findings = put_before_the_rules(log, FDOT)
    assert computation.shot_rows[0].base is None
    assert computation.totals.overall["payable"] == 0
    assert ("temperature-missing", "temperature 1") in {(each.name, each.cell) for each in findings}


def rate_of(order, gallons, area=5600.0, rate=0.30):
    """A log of one section whose shots come to so many gallons at 60 °F over an area, and
    its payable total."""
    length = area * 9 / 12
    tank = {
        "shape": "calibrated", "height": None, "width": None, "length": None,
        "points": [{"depth": 0, "volume": 0}, {"depth": 100, "volume": 10000}],
    }  # fmt: skip
    order = changed(
        order, machines__tank=tank, sections__from_station=0, sections__to_station=length,
        sections__rate=rate, sections__basis="as-diluted", material__spray_min=40, rounding__rate=5,
    )  # fmt: skip
    entries = shot(
        date=46176.0, section="S1", lane="EB", from_station=0.0, to_station=length, width=12.0,
        dip_before=gallons / 100, dip_after=0.0, temperature=60.0,
    )  # fmt: skip
    return put_before_the_rules(entries, order)


@pytest.mark.parametrize(
    ("area", "used", "paid", "deducted"),
    [
        (5600.0, 1902.0, 1848.0, 54.0),  # 1,680 ordered, cap 1,848
        (5600.0, 1840.0, 1840.0, 0.0),
        (14080.0, 4600.0, 4600.0, 0.0),  # 4,224 ordered, within 10 % (limit 4,646.4)
    ],
)
def test_ufgs_pays_up_to_ten_percent_over_the_rate(area, used, paid, deducted):
    # UFGS 02785 §1.2: the quantity over 10 % above the specified rate is deducted, per application (seen).
    computation, findings = rate_of(small("us"), used, area)
    assert computation.totals.overall["payable"] == paid
    assert computation.totals.overall["deducted"] == pytest.approx(deducted)
    assert ("sprayed-beyond-pay-limit" in {each.name for each in findings}) == (deducted > 0)


@pytest.mark.parametrize(
    ("ordered", "tolerance", "measured", "verdict"),
    [
        # Florida DOT 300-8.4: within ±0.01 gal/yd² of the target (seen).
        (0.06, 0.01, 0.051, "in"),
        (0.06, 0.01, 0.049, "low"),
        (0.06, 0.01, 0.070, "in"),
        (0.06, 0.01, 0.071, "high"),
        # Michigan 505 chip seal: ±0.015 gal/yd² (seen).
        (0.36, 0.015, 0.374, "in"),
        (0.36, 0.015, 0.376, "high"),
    ],
)
def test_tolerances_in_gallons_a_square_yard(ordered, tolerance, measured, verdict):
    order = small("us", sections__tolerance_kind="absolute", sections__tolerance=tolerance)
    computation, _ = rate_of(order, round(measured * 10000, 6), 10000.0, ordered)
    assert computation.shot_rows[0].mix_rate == measured
    assert computation.shot_rows[0].verdict == verdict


@pytest.mark.parametrize(
    ("measured", "verdict"), [(0.225, "in"), (0.275, "in"), (0.2249, "low"), (0.2751, "high")]
)
def test_ten_percent_of_the_specified_rate(measured, verdict):
    # FAA P-602: not over 10 % from the specified rate (seen).
    computation, _ = rate_of(small("us"), measured * 10000, 10000.0, 0.25)
    assert computation.shot_rows[0].verdict == verdict


@pytest.mark.parametrize(
    ("measured", "verdict"), [(0.285, "in"), (0.315, "in"), (0.284, "low"), (0.316, "high")]
)
def test_five_percent_of_the_specified_rate(measured, verdict):
    # UFGS 02785 §1.5: the distributor holds the rate within ±5 % (seen).
    order = small("us", sections__tolerance_kind="percent", sections__tolerance=0.05)
    computation, _ = rate_of(order, measured * 10000, 10000.0, 0.30)
    assert computation.shot_rows[0].verdict == verdict


@pytest.mark.parametrize("reading", ["start_dip", "end_dip", "start_temperature", "end_temperature"])
def test_a_gauge_record_without_one_of_its_readings_is_flagged(reading):
    # 43 CFR 3174.12: opening and closing gauge and temperature belong on the ticket of a gauged tank (seen).
    order = small("us")
    log = {at: value for at, value in day(order).items() if at != ("days", 0, reading)}
    found = [(each.name, each.cell) for each in findings_of(log, order)]
    assert ("day-reading-missing", f"{reading} 1") in found


def test_shot_seven_begins_before_shot_six_ended():
    # Shot 7 begins at 144+50 while shot 6 ended at 144+75: 25 ft overlap (computed).
    log = {}
    for row, (start, end) in enumerate([("118+50", "144+75"), ("144+50", "160+00")]):
        log |= {
            ("shots", row, column): value
            for column, value in {
                "date": 46176.0, "section": "S1", "lane": "EB", "from_station": start, "to_station": end,
                "width": 12.0,
            }.items()
        }  # fmt: skip
    found = [each for each in findings_of(log, FDOT) if each.name == "shots-overlap-in-lane"]
    assert [(each.cell, each.row) for each in found] == [("from_station 2", 1)]
    assert "25 ft" in found[0].found
    assert "144+50 to 144+75" in found[0].found
    assert "33.3 yd²" in found[0].matters  # 25 × 12 / 9


def test_a_ticket_number_repeated_is_flagged_whatever_the_weights():
    log = {
        ("loads", row, column): value
        for row, mass in enumerate((45000.0, 44100.0))
        for column, value in {"date": 46176.0, "ticket": ("T-8841", "t 8841")[row], "net_mass": mass}.items()
    }
    found = [each for each in findings_of(log, FDOT) if each.name == "ticket-repeated"]
    assert [each.cell for each in found] == ["ticket 2"]


@pytest.mark.parametrize(
    ("least", "worked_out", "enough"),
    [
        (2, 1, False),  # Florida DOT 300-8.4: at least twice a day (seen)
        (2, 2, True),
        (3, 2, False),  # Ohio CMS 422.10: at least three a day (seen)
        (3, 3, True),
    ],
)
def test_how_often_a_day_the_rate_is_worked_out(least, worked_out, enough):
    order = small("us", limits__rate_checks=least)
    log = day(order)
    shots = sorted({row for table, row, _ in log if table == "shots"})
    log = {key: value for key, value in log.items() if key[0] != "shots" or key[1] in shots[:worked_out]}
    assert ("too-few-rate-checks" not in {each.name for each in findings_of(log, order)}) == enough


@pytest.mark.parametrize(
    ("mass", "gravity", "gallons"),
    [
        (45000.0, 1.02, 5297.5),  # 22.5 short tons: 8.328 lb/gal × SG, US Army subcourse EN5459 (seen)
        (2000.0, 1.02, 235.4),  # gallons a ton (computed)
    ],
)
def test_a_ticket_in_pounds_is_gallons_at_sixty_degrees(mass, gravity, gallons):
    log = {("loads", 0, "net_mass"): mass, ("loads", 0, "specific_gravity"): gravity}
    computation, _ = put_before_the_rules(log, FDOT)
    assert computation.load_rows[0].base == gallons


def test_a_load_by_volume_is_corrected_by_the_ordered_materials_column():
    # Iowa DOT IM T102C, group 0: 200 °F, 0.9520 (seen). 1,000 gal of paving asphalt, 952.0 gal at 60 °F.
    order = small(
        "us", material__material_class="asphalt", material__specific_gravity=1.03, material__residue=1.0
    )
    log = {("loads", 0, "volume"): 1000.0, ("loads", 0, "temperature"): 200.0}
    assert put_before_the_rules(log, order)[0].load_rows[0].base == 952.0


def test_fog_mix_of_one_part_to_four_pays_the_emulsion_only():
    # 500 gal of 1:4 mix hold 100 gal of emulsion and 400 of water: UFC 3-270-01 for the dilution (seen).
    order = small("us", material__dilution=0.2)
    computation, _ = rate_of(order, 500.0, 500.0 / 0.30, 0.30)
    overall = computation.totals.overall
    assert (overall["undiluted"], overall["water"], overall["payable"]) == (100.0, 400.0, 100.0)


def test_one_days_balance():
    # Start 420, delivered 5,297, shots 1,470 + 1,455 + 1,462, end 1,190, waste 30: unexplained 110 gal, 1.9
    # % of what was available (computed, after South Dakota SD 314: used = start + received - end).
    tank = {
        "shape": "calibrated", "height": None, "width": None, "length": None,
        "points": [{"depth": 0, "volume": 0}, {"depth": 100, "volume": 10000}],
    }  # fmt: skip
    order = small(
        "us", machines__tank=tank, limits__unexplained=0.015, reading__dip=0.01,
        # The case gives its volumes as they are: no stick is read twice, and no tank stands out of level.
        planning__dip_repeat=0.0, planning__level_within=0.0,
    )  # fmt: skip
    log = {("days", 0, key): value for key, value in {
        "date": 46176.0, "start_dip": 4.2, "start_temperature": 60.0, "end_dip": 11.9, "end_temperature": 60.0,
    }.items()}  # fmt: skip
    log |= {("loads", 0, "date"): 46176.0, ("loads", 0, "volume"): 5297.0, ("loads", 0, "temperature"): 60.0}
    log["loads", 0, "ticket"] = "1"
    for row, (net, waste) in enumerate([(1470, 30), (1455, 0), (1462, 0)]):
        log |= {("shots", row, "date"): 46176.0, ("shots", row, "temperature"): 60.0}
        log |= {("shots", row, "dip_before"): 50.0, ("shots", row, "dip_after"): 50.0 - (net + waste) / 100}
        log["shots", row, "waste"] = float(waste)
    computation, findings = put_before_the_rules(log, order)
    row = computation.day_rows[0]
    assert (row.start, row.loaded, row.sprayed, row.wasted, row.end) == (420.0, 5297.0, 4387.0, 30.0, 1190.0)
    assert row.unexplained == 110.0
    assert row.share == pytest.approx(0.0192, abs=5e-5)
    assert "unexplained-beyond-limit" in {each.name for each in findings}


@pytest.mark.parametrize(
    ("limits", "air", "surface", "expected"),
    [
        # TxDOT Item 316, Seal Coat Manual ch. 8 section 2 (seen): surface never below 60 °F, air above 50 °F and rising
        ((50, 60), 55, 62, set()),
        ((50, 60), 75, 59, {"surface-below-limit"}),
        # the same, falling: not below 60 °F; the order gives the limit of the day's worst reading
        ((60, 60), 58, 62, {"air-below-limit"}),
        # the same, polymer-modified asphalt cement (seen): surface at least 70 °F, air not below 80 °F when it falls
        ((70, 70), 72, 70, set()),
        ((80, 70), 78, 75, {"air-below-limit"}),
        # PPRA bond coat (seen): air and pavement at least 50 °F
        ((50, 50), 52, 51, set()),
        # a contract clause, agency not shown (second hand): chip seal on at least 70 °F, fog seal on at least 40 °F
        ((None, 70), 75, 69, {"surface-below-limit"}),
        ((None, 40), 50, 41, set()),
    ],
)
def test_weather_against_an_agencys_limits(limits, air, surface, expected):
    air_min, surface_min = limits
    order = small("us", limits__air_min=air_min, limits__surface_min=surface_min)
    log = day(order)
    for table, row, _column in [at for at in log if at[0] == "days" and at[2] == "date"]:
        log |= {(table, row, "air_temperature"): air, (table, row, "surface_temperature"): surface}
    weather = {"air-below-limit", "surface-below-limit", "weather-not-read"}
    assert {finding.name for finding in findings_of(log, order)} & weather == expected


def gauge_log():
    """A day, and the rows of its first shot by the bar and its first by hand."""
    log = day(ORDER)
    by_hand = {section.id for section in ORDER.sections if section.hand_spray}
    rows = sorted({row for table, row, _ in log if table == "shots"})
    is_hand = {row: log.get(("shots", row, "section")) in by_hand for row in rows}
    chosen = next(row for row in rows if not is_hand[row]), next(row for row in rows if is_hand[row])
    return log, chosen


ORDER = small("us")


@pytest.mark.parametrize(("which", "asked"), [(0, True), (1, False)])
def test_a_machine_gauge_stands_for_the_strap_at_spot_work_alone(which, asked):
    # TxDOT Seal Coat Manual ch. 8 section 12 (seen): strap before and after each load; at strip and spot work a
    # computerized distributor's gauges may give the quantity, with the strap as a check of calibration.
    log, rows = gauge_log()
    row = rows[which]
    log = {at: value for at, value in log.items() if at[:2] != ("shots", row) or not at[2].startswith("dip_")}
    log |= {("shots", row, "meter_before"): 5000.0, ("shots", row, "meter_after"): 5020.0}
    found = {each.row for each in findings_of(log, ORDER) if each.name == "reading-of-record-missing"}
    assert found == ({row} if asked else set())


@pytest.mark.parametrize(("inches", "covered", "more"), [(4, 23.667, 0.0141), (6, 23.5, 0.0213)])
def test_an_overlap_raises_the_rate_over_the_pavement(inches, covered, more):
    # Two passes of 12 ft; the gallons stand on less pavement than the bar is wide twice (computed; no source).
    width = 24 - inches / 12
    assert width == pytest.approx(covered, abs=5e-4)
    volume, length = 160.0, 600.0
    bar = rate_over(volume, area_of(length, 24.0, "us"))
    assert rate_over(volume, area_of(length, width, "us")) / bar - 1 == pytest.approx(more, abs=5e-5)


@pytest.mark.parametrize(
    ("available", "accounted", "unexplained"),
    [
        (43_632, 12_571, 0.712),  # New York State, Town of Cairo 2019M-150 (seen): 28.8 % accounted for
        (23_300, 23_300 - 2_510, 0.108),  # Town of Lyonsdale (seen): 10.8 %
        (24_000, 24_000 - 7_100, 0.296),  # Town of Poland 2013M-386 (seen): 29.6 % (computed)
    ],
)
def test_what_published_audits_of_tanks_could_not_account_for(available, accounted, unexplained):
    left, share = remainder(0.0, available, accounted, 0.0, 0.0, 0.0, 1)
    assert (left, round(share or 0.0, 3)) == (available - accounted, unexplained)
