"""Books in every unit of pay against an arithmetic of the test's own: every payable, amount and stake."""

from __future__ import annotations

import json
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from types import SimpleNamespace

import pytest

from sheetgen.audit.claim_sheet import Claimed, claimed_for
from sheetgen.audit.compute.book import Computation, as_dict, compute
from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.compute.loads import compute_loads
from sheetgen.audit.compute.pay import quantity_paid, ticket_mass
from sheetgen.audit.compute.uncertainty import uncertainty
from sheetgen.audit.entries.logs import Load
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.model import Entry, Finding, Recheck
from sheetgen.audit.report.contents import contents
from sheetgen.audit.report.payable import payable_facts
from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.audit.rules.check import check_all
from sheetgen.batch.book_line import line_of
from sheetgen.batch.summary_document import summary_of
from sheetgen.errors import UnusableBook
from sheetgen.order.model import Order
from sheetgen.order.tank import chart_of
from sheetgen.plan import plan
from tests.audit.orders import CERTIFIED, day, put_before_the_rules, small
from tests.simulated.days import factor, honest
from tests.simulated.jobs import JOBS, paid_by

UNITS = ("volume", "mass", "mass-by-ticket", "area")
# gal or L of water weigh so much at base temperature: US Army subcourse EN5459 (seen); 15 °C: IAPWS R6-95.
WATER, TON = {"us": 8.328, "si": 0.9991}, {"us": 2000.0, "si": 1000.0}


def paid(unit: str, units: str = "us", **more: object) -> Order:
    """An order of one distributor that pays by a unit, at a price with a fraction of a cent."""
    terms = {"pay__unit": unit, "pay__unit_price": 2.345, "pay__decimals": 2, **more}
    order = small(units, **terms)
    return order.model_copy(update={"machines": order.machines[:1]})


# The arithmetic of its own: decimals, the order's numbers, the typed entries.


def half_up(value: float, decimals: int) -> float:
    shown = Decimal(repr(round(value, 9)))
    return float(shown.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP))


def station(typed: object) -> float:
    text = str(typed)
    if "+" not in text:
        return float(text)
    whole, rest = text.split("+")
    return float(whole) * 10 ** len(rest.partition(".")[0]) + float(rest)


def certified(depth: float) -> float:
    """The volume at a depth, on straight lines between the points of the certificate, to tenths."""
    points = [(point["depth"], point["volume"]) for point in CERTIFIED["points"]]
    low = max(point for point in points if point[0] <= depth)
    high = min((point for point in points if point[0] >= depth), default=low)
    share = 0.0 if high == low else (depth - low[0]) / (high[0] - low[0])
    return half_up(low[1] + share * (high[1] - low[1]), 1)


def own_payable(order: Order, log: dict) -> float:
    """What is payable in the unit of pay, from the entries of an undiluted emulsion in inch-pound units."""
    rows: dict[tuple[str, int], dict] = {}
    for (table, row, column), value in log.items():
        rows.setdefault((table, row), {})[column] = value

    def factor(temperature: float) -> float:
        return half_up(1 - 0.00025 * (half_up(temperature, 0) - 60), 5)  # ASTM D4311 for emulsions (seen)

    measured = dict.fromkeys((section.id for section in order.sections), 0.0)
    volumes, areas, due = dict(measured), dict(measured), dict(measured)
    sprayed = wasted = 0.0
    rates = {section.id: section.rate / order.material.residue for section in order.sections}
    for (table, _), shot in rows.items():
        if table != "shots":
            continue
        hot = half_up(certified(shot["dip_before"]) - certified(shot["dip_after"]), 1)
        waste = float(shot.get("waste", 0.0))
        base = half_up(half_up(hot - waste, 1) * factor(shot["temperature"]), 1)
        wasted += half_up(waste * factor(shot["temperature"]), 1)
        length = abs(station(shot["to_station"]) - station(shot["from_station"]))
        area = half_up(length * shot["width"] / 9, 1)
        sprayed += base
        volumes[shot["section"]] += base
        areas[shot["section"]] += area
        due[shot["section"]] += area * rates[shot["section"]]
    ton = order.material.specific_gravity * WATER["us"] / TON["us"]
    first = next(row for (table, _), row in rows.items() if table == "days")
    start = half_up(certified(first["start_dip"]) * factor(first["start_temperature"]), 1)
    end = half_up(certified(first["end_dip"]) * factor(first["end_temperature"]), 1)
    tickets = sum(row["net_mass"] for (table, _), row in rows.items() if table == "loads") / TON["us"]
    used = tickets + (start - end - wasted) * ton
    total = 0.0
    for section in order.sections:
        ordered = abs(section.to_station - section.from_station) * section.width * len(section.lanes) / 9
        own, most = {
            "volume": (volumes[section.id], due[section.id]),
            "mass": (volumes[section.id] * ton, due[section.id] * ton),
            "mass-by-ticket": (used * volumes[section.id] / sprayed, due[section.id] * ton),
            "area": (areas[section.id], half_up(ordered, 1)),
        }[order.pay.unit]
        limited = min(own, most * (1 + order.pay.excess_limit))
        total += own if section.hand_spray and order.pay.hand_exempt else limited
    return half_up(total, 2 if order.pay.unit != "volume" else order.rounding.pay)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize(
    ("seed", "changes"),
    [
        (3, {}),
        (4, {"pay__excess_limit": 0.0, "pay__hand_exempt": False}),
        (5, {"pay__excess_limit": 0.0}),
        (6, {"rounding__pay": 1}),
        pytest.param(7, {"pay__excess_limit": 0.01}),
    ],
)
def test_every_payable_is_that_of_an_arithmetic_apart(unit, seed, changes):
    order = paid(unit, machines__tank=CERTIFIED, **changes)
    log = day(order, seed)
    overall = put_before_the_rules(log, order)[0].totals.overall
    own = own_payable(order, log)
    assert quantity_paid(overall, order) == pytest.approx(own, abs=1e-9)
    assert overall["amount"] == half_up(own * 2.345, 2)


@cache
def computed(unit: str) -> tuple[Order, Computation, list[Entry]]:
    limits = {"estimate": 3.0 if unit.startswith("mass") else 900.0, "overrun_limit": 0.15, "overrun_price": 2.0,
              "underrun_limit": 0.15, "underrun_share": 0.1}  # fmt: skip
    order = paid(unit, **{f"pay__{key}": value for key, value in limits.items()})
    entries = entries_of(day(order, 3), order, order.machines[0])
    return order, compute(entries, order, order.machines[0]), entries


def rechecked(unit: str, claim: float | None = None) -> Recheck:
    """A recheck of an honest day, without any file."""
    order, own, entries = computed(unit)
    machine, known = order.machines[0], uncertainty(own, order, order.machines[0])
    findings = check_all(own, entries, order, machine, claim=claim)
    rows = {f"{log}_rows": [as_dict(row) for row in getattr(own, f"{log}_rows")]
            for log in ("shot", "load", "day", "section", "paid")}  # fmt: skip
    return Recheck(
        "a.xlsx", "AAAA", "unsigned", order, machine, findings, entries, totals=own.totals, claim=claim,
        uncertainty=known, **rows,
    )  # fmt: skip


@pytest.mark.parametrize("unit", UNITS)
def test_the_three_figures_add_up_in_the_unit_of_pay_and_in_money(unit):
    recheck = rechecked(unit)
    own = quantity_paid(recheck.totals.overall, recheck.order)
    recheck.findings.append(
        Finding("rate-out-of-tolerance", "query", recheck.entries[0].sheet, stake=None, shots=(0,))
    )
    three = payable_facts(recheck)
    assert three.recomputed.quantity == own
    assert three.recomputed.money == recheck.totals.overall["amount"]
    assert 0 < three.in_question.quantity < own
    for part in ("quantity", "money"):
        total = sum(getattr(each, part) for each in (three.undisputed, three.in_question, three.not_payable))
        assert total == pytest.approx(getattr(three.recomputed, part), abs=0.01)
    stakes = Stakes.of(recheck)
    whole = sum(stakes.quantity_of(stakes.paid).values()) if unit != "volume" else sum(stakes.paid.values())
    assert whole == pytest.approx(own, abs=0.5 if unit in ("volume", "area") else 0.005)


def test_an_area_is_in_question_as_a_whole_where_its_rate_is():
    recheck = rechecked("area")
    cell = next(one for one in recheck.entries if (one.table, one.row, one.column) == ("shots", 2, "width"))
    recheck.findings.append(Finding("rate-out-of-tolerance", "query", cell.sheet, cell.cell))
    area = recheck.shot_rows[2]["area"]
    assert payable_facts(recheck).in_question.quantity == pytest.approx(area, abs=0.005)


def test_the_uncertainty_is_in_the_unit_of_pay_and_in_money():
    reach = {unit: rechecked(unit).uncertainty.totals.overall for unit in UNITS}
    ton = rechecked("mass").order.material.specific_gravity * WATER["us"] / TON["us"]
    assert reach["mass"]["paid_mass"] == pytest.approx(reach["volume"]["payable"] * ton)
    assert 0 < reach["mass-by-ticket"]["paid_mass"] < reach["mass"]["paid_mass"]  # two readings, not twenty
    order, rows = rechecked("area").order, rechecked("area").shot_rows
    station, width = (getattr(order.reading, key) / 12**0.5 for key in ("station", "width"))
    parts = [row["area"] * (2 * (station / row["length"]) ** 2 + (width * row["length"] / 9 / row["area"]) ** 2) ** 0.5
             for row in rows]  # fmt: skip
    assert reach["area"]["paid_area"] == pytest.approx(sum(part**2 for part in parts) ** 0.5, rel=1e-4)
    assert reach["area"]["amount"] == pytest.approx(reach["area"]["paid_area"] * 2.0)  # beyond the overrun


def test_a_report_a_claim_and_a_summary_speak_in_the_unit_of_pay():
    plain = rechecked("mass-by-ticket")
    own = quantity_paid(plain.totals.overall, plain.order)
    recheck = rechecked("mass-by-ticket", claim=own + 0.5)
    assert [one.name for one in recheck.findings if "claim" in one.name] == ["claim-above-recheck"]
    document = contents(recheck)
    assert (document.book.pay_unit, document.claim.recomputed) == ("ton", own)
    assert document.claim.difference.quantity == pytest.approx(0.5)
    assert document.claim.difference.money == pytest.approx(0.5 * 2.0)  # at the price beyond the overrun
    assert {"paid_mass", "beyond_mass", "amount", "ticket_mass"} <= document.totals.keys()
    assert "paid_area" not in document.totals
    assert sum(line.results["payable"].recomputed for line in document.paid_sections) == pytest.approx(
        own, abs=0.005
    )
    line = line_of(recheck)
    assert (line.unit, line.payable, line.amount) == ("ton", own, recheck.totals.overall["amount"])
    assert sum(shot.paid for shot in line.shots) == pytest.approx(own, abs=0.005)


def test_the_contract_quantity_is_that_of_all_books_of_a_job():
    one = line_of(rechecked("area"))
    other = one.model_copy(update={"file": "other.xlsx", "identity": "AAAA-BBBB-CCCC"})
    again = one.model_copy(update={"file": "again.xlsx"})  # the same book once more: paid once
    (job,) = summary_of([one, other, again], []).jobs
    assert (job.books, job.estimate) == (2, 900.0)
    assert job.payable == pytest.approx(2 * one.payable)
    assert job.beyond == pytest.approx(2 * one.payable - 900 * 1.15)
    assert job.amount == half_up(900 * 1.15 * 2.345 + job.beyond * 2.0, 2)
    (total,) = summary_of([one, other, again], []).totals
    assert total.amount == pytest.approx(one.amount + other.amount)


def test_of_several_distributors_no_book_has_the_contract_quantity_for_itself():
    limits = {"pay__estimate": 900.0, "pay__overrun_limit": 0.15, "pay__underrun_limit": 0.15}
    order = small("us", pay__unit_price=2.0, **limits)
    alone = order.model_copy(update={"machines": order.machines[:1]})
    pair = order.model_copy(
        update={"machines": (order.machines[0], order.machines[0].model_copy(update={"name": "Other"}))}
    )
    (one, two) = (put_before_the_rules(day(each, 3), each)[0].totals.overall for each in (alone, pair))
    assert "beyond_volume" in one
    assert not {"beyond_volume", "short_volume"} & two.keys()


def test_used_by_tickets_as_south_dakota_works_it_out():
    # SD 314 (method seen; numbers worked out by hand): 6,200 gal at 310 °F, 2,950 at 300 °F, a load of 22.46 tons,
    # specific gravity 1.030, factors 0.9154 and 0.9187 of ASTM D4311 column A: 24.342 + 22.46 - 11.624 = 35.178 tons.
    order = small(
        "us", material__specific_gravity=1.03, material__material_class="asphalt", material__residue=1.0
    )
    overall = {"start": 6200 * 0.9154, "end": 2950 * 0.9187, "returned": 0.0, "wasted": 0.0}
    load = SimpleNamespace(undiluted_mass=22.46)
    assert ticket_mass((load,), overall, order) == pytest.approx(35.178, abs=0.0005)
    assert ticket_mass((load,), overall | {"end": None}, order) is None


def test_a_ticket_of_a_mix_pays_the_emulsion_in_it_and_a_part_load_what_was_measured():
    order = paid("mass-by-ticket", material__dilution=0.5)
    of = order.material.specific_gravity * WATER["us"]

    def tons(**typed: object) -> float:
        load = Load(0, temperature=60.0, **typed)
        return compute_loads((load,), (), order, chart_of(order.machines[0], order), Factors.of(order))[
            0
        ].undiluted_mass

    assert tons(net_mass=4000.0) == pytest.approx(4000 * 0.5 / 2000)  # delivered diluted, as ordered
    assert tons(net_mass=4000.0, water=480.0) == pytest.approx(
        4000 / 2000
    )  # emulsion, water added on the site
    assert tons(kind="part", net_mass=40000.0, taken=300.0, water=0.0) == pytest.approx(300 * of / 2000)
    assert tons(kind="returned", net_mass=1000.0) == pytest.approx(-1000 * 0.5 / 2000)
    assert tons(kind="rejected", net_mass=1000.0) == 0


def test_a_claim_in_another_unit_than_is_paid_is_refused_and_says_what_to_write():
    tons = Claimed(9.0)
    tons.unit = "short_ton"
    assert claimed_for(tons, "a.xlsx", "", system="si", kind="large_mass") == pytest.approx(9 * 0.90718474)
    with pytest.raises(UnusableBook, match="paid in gal"):
        claimed_for(tons, "a.xlsx", "", system="us", kind="volume")


@pytest.mark.parametrize("unit", UNITS)
def test_the_plan_gives_the_ordered_work_in_the_unit_of_pay(unit):
    order = paid(unit)
    price = plan(order).price
    asked = 0.0
    for section in order.sections:
        area = half_up(
            abs(section.to_station - section.from_station) * section.width * len(section.lanes) / 9, 1
        )
        volume = area * section.rate / order.material.residue
        ton = order.material.specific_gravity * WATER["us"] / TON["us"]
        asked += {"volume": volume, "area": area}.get(unit, volume * ton)
    assert price.quantity == pytest.approx(half_up(asked, 0 if unit == "volume" else 2), abs=1e-9)
    assert price.amount == half_up(price.quantity * 2.345, 2)
    assert price.quantity < price.most < price.quantity * 1.1  # hand work is exempt


def test_an_order_without_the_fields_pays_as_before():
    order = small("us", pay__unit_price=None)
    overall = put_before_the_rules(day(order, 3), order)[0].totals.overall
    assert not {"amount", "paid_mass", "paid_area", "ticket_mass"} & overall.keys()
    assert plan(order).price is None
    without = json.loads(order.canonical())
    for key in ("unit", "decimals", "money_decimals", "estimate", "overrun_limit", "overrun_price", "underrun_limit",
                "underrun_share", "underrun_price"):  # fmt: skip
        del without["pay"][key]
    assert Order.model_validate(without) == order


@pytest.mark.parametrize(
    ("fields", "rule"),
    [
        ({"overrun_limit": 0.15}, "estimate-missing"), ({"underrun_limit": 0.15}, "estimate-missing"),
        ({"estimate": 5.0, "overrun_price": 1.0}, "overrun-limit-missing"),
        ({"estimate": 5.0, "underrun_share": 0.1}, "underrun-limit-missing"),
        ({"estimate": 5.0, "underrun_limit": 0.1, "underrun_share": 0.1, "underrun_price": 1.0}, "underrun-twice"),
    ],
)  # fmt: skip
def test_a_limit_of_nothing_is_refused(fields, rule):
    with pytest.raises(ValueError, match=r".") as caught:
        small("us", **{f"pay__{key}": value for key, value in fields.items()})
    assert [each["type"] for each in caught.value.errors()] == [rule]


@pytest.mark.parametrize(("cold", "asked"), [(0, False), (60, True)])
def test_tickets_that_bring_more_emulsion_than_was_metered_are_asked_about_with_the_difference(cold, asked):
    """Cold tickets of warm emulsion: more of it, at base temperature, than meter and dilution leave room for."""
    job = paid_by(JOBS["fog seal"], "mass-by-ticket")
    log = honest(job, 11)
    brought = {"written": 0.0, "loaded": 0.0}
    for row in {row for table, row, _ in log if table == "loads"}:
        volume, warm = log["loads", row, "volume"], log["loads", row, "temperature"]
        log["loads", row, "temperature"] = warm - cold
        for key, temperature in (("written", warm - cold), ("loaded", warm)):
            brought[key] += volume * factor(job, temperature)
    found = [each for each in put_before_the_rules(log, job.order)[1] if each.name == "tickets-above-meter"]
    assert [(each.severity, each.cell) for each in found] == [("query", "volume 1")] * asked
    for each in found:
        # half of what is more on the tickets was more in the mix, of which half is emulsion
        assert each.stake == pytest.approx(brought["written"] - brought["loaded"], rel=0.5)
        assert each.stake > (brought["written"] - brought["loaded"]) / 2
