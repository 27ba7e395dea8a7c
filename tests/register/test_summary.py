"""From a recheck to what the register keeps of it; honest and copied books of an invented job."""

import hashlib
import json
import pickle

import pytest
from pydantic import ValidationError

from sheetgen import __version__
from sheetgen.audit.compute.book import as_dict, compute
from sheetgen.audit.entries.read import entries_of
from sheetgen.audit.findings import finding
from sheetgen.audit.model import Recheck
from sheetgen.demo.day import honest_day
from sheetgen.order.demo import demo_order
from sheetgen.order.model import Order
from sheetgen.register.register import across, open_register
from sheetgen.register.summary import summarize
from sheetgen.units import constants
from tests.audit.orders import changed
from tests.register.books import DATABASES, register_place


def rechecked(order, log, name="book", **facts):
    """What a recheck of a filled book gives, without its file."""
    machine = order.machines[0]
    entries = entries_of(log, order, machine)
    computed = compute(entries, order, machine)
    given = {
        "path": f"{name}.xlsx", "identity": name, "origin": "issued", "order": order, "machine": machine,
        "findings": [], "entries": entries, "shot_rows": [as_dict(row) for row in computed.shot_rows],
        "load_rows": [as_dict(row) for row in computed.load_rows], "totals": computed.totals,
        "sha256": hashlib.sha256(name.encode()).hexdigest(),
    }  # fmt: skip
    return Recheck(**given | facts)


ORDERS = {"us": demo_order("us", "en"), "si": demo_order("si", "es")}


@pytest.fixture(params=ORDERS)
def order(request):
    return ORDERS[request.param]


@pytest.fixture
def log(order):
    return honest_day(order, order.machines[0], seed=4)


def test_every_shot_over_a_lane_is_a_stretch_with_its_undiluted_volume(order, log):
    result = rechecked(order, log)
    kept = summarize(result)
    by_row = {each.row: each for each in kept.stretches}
    spacing = order.machines[0].nozzle_spacing / constants(order.units)["nozzle_spacing_per_width"]
    sections = {section.id: section for section in order.sections}
    on_lanes = [row for row in result.shot_rows if not row["by_hand"]]
    assert len(on_lanes) > 5
    assert by_row.keys() == {row["row"] for row in on_lanes}
    for row in on_lanes:
        each, section = by_row[row["row"]], sections[row["section"]]
        assert (each.low, each.high) == tuple(sorted((row["from"], row["to"])))
        assert each.undiluted == pytest.approx(row["base"] * order.material.dilution, rel=1e-12)
        assert (each.road, each.room) == (section.road, pytest.approx(section.width + spacing))
        typed = {key: log.get(("shots", row["row"], key)) for key in ("lane", "date", "start", "width")}
        assert (each.lane, each.date, each.start) == (typed["lane"], typed["date"], typed["start"])
        assert each.width == (typed["width"] or section.width)
        assert (each.section, each.work) == (section.id, section.work)
        assert (each.sheet, each.cell) == ("shots", f"from_station {row['row'] + 1}")


def test_hand_work_is_no_stretch_but_the_distributor_was_there(order, log):
    result = rechecked(order, log)
    by_hand = {row["row"] for row in result.shot_rows if row["by_hand"]}
    kept = summarize(result)
    assert by_hand
    assert by_hand.isdisjoint(each.row for each in kept.stretches)
    assert by_hand <= {each.row for each in kept.spells}


def test_every_ticket_is_kept_with_its_quantities(order, log):
    kept = summarize(rechecked(order, log))
    typed = {
        row: value for (table, row, column), value in log.items() if (table, column) == ("loads", "ticket")
    }
    assert {each.row: each.number for each in kept.tickets} == {
        row: str(value) for row, value in typed.items()
    }
    assert all(each.base and each.cell == f"ticket {each.row + 1}" for each in kept.tickets)
    for each in kept.tickets:
        wanted = {
            key: log.get(("loads", each.row, key)) for key in ("supplier", "date", "net_mass", "volume")
        }
        assert (each.supplier, each.date, each.mass, each.volume) == (
            wanted["supplier"] or "", wanted["date"], wanted["net_mass"], wanted["volume"]
        )  # fmt: skip


def test_a_load_without_a_ticket_is_no_ticket_and_one_without_a_mass_has_its_volume(order, log):
    rows = sorted(row for table, row, column in log if (table, column) == ("loads", "ticket"))
    log = log | {("loads", rows[0], "ticket"): "", ("loads", rows[1], "volume"): 500.0}
    log |= {
        ("loads", rows[1], "net_mass"): "",
        ("loads", rows[1], "temperature"): log["shots", 0, "temperature"],
    }
    kept = summarize(rechecked(order, log)).tickets
    assert [each.row for each in kept] == rows[1:]
    assert (kept[0].mass, kept[0].volume) == (None, 500.0)
    assert 0 < kept[0].base < 500.0


def test_every_shot_with_times_is_a_spell(order, log):
    result = rechecked(order, log)
    kept, by_row = summarize(result), {row["row"]: row for row in result.shot_rows}
    for each in kept.spells:
        date, start, end = (log["shots", each.row, column] for column in ("date", "start", "end"))
        assert (each.began, each.ended) == (date + start, date + end)
        section = next(one for one in order.sections if one.id == log["shots", each.row, "section"])
        assert each.road == section.road
        assert each.station == by_row[each.row]["from"]
        assert (each.sheet, each.cell) == ("shots", f"start {each.row + 1}")
    assert len(kept.spells) == sum(1 for key in log if key[0] == "shots" and key[2] == "start")


def test_a_shot_past_midnight_ends_on_the_next_day(order, log):
    log = log | {("shots", 0, "start"): 23.75 / 24, ("shots", 0, "end"): 0.25 / 24}
    (spell,) = [each for each in summarize(rechecked(order, log)).spells if each.row == 0]
    assert spell.ended - spell.began == pytest.approx(0.5 / 24)
    log[("shots", 0, "start")] = 14 / 24  # no shot takes that long: its end is mistyped
    assert 0 not in [each.row for each in summarize(rechecked(order, log)).spells]


def test_a_shot_that_cannot_be_placed_or_timed_is_left_out(order, log):
    log = dict(log)
    for row, column in enumerate(("date", "lane", "from_station", "section")):
        log["shots", row, column] = ""
    kept = summarize(rechecked(order, log))
    assert {1, 2, 3}.isdisjoint(each.row for each in kept.stretches)
    assert 0 not in {each.row for each in kept.spells}


def test_counts_totals_and_identity_are_those_of_the_recheck(order, log):
    found = [finding("gap-in-lane"), finding("gap-in-lane"), finding("ticket-repeated")]
    result = rechecked(order, log, findings=found)
    kept = summarize(result)
    assert kept.counts == {"query": 2, "error": 1}
    assert kept.conclusion == "error"
    assert kept.overall["payable"] == result.totals.overall["payable"] > 0
    assert kept.sections == result.totals.by_section
    job = order.job
    assert (kept.job, kept.place, kept.contractor) == (job.number, job.place, job.contractor)
    assert (kept.machine, kept.serial) == (order.machines[0].name, order.machines[0].serial)
    assert (kept.units, kept.language, kept.price, kept.currency) == (
        order.units, order.language, order.pay.unit_price, order.pay.currency,
    )  # fmt: skip
    assert kept.station_reading == order.reading.station
    assert kept.order == hashlib.sha256(order.canonical().encode()).hexdigest()


def test_a_summary_is_small_whatever_the_recheck_holds(order, log):
    """What goes from process to process, for each of thousands of books."""
    assert len(pickle.dumps(summarize(rechecked(order, log)))) < 30_000


def test_a_hostile_text_is_kept_in_a_form_that_every_database_takes(order, log):
    log = log | {("loads", 0, "ticket"): "T\0-1\ud800" + "x" * 5000}
    kept = summarize(rechecked(order, log))
    ticket = kept.tickets[0].number
    assert "\0" not in ticket
    assert len(ticket.encode()) <= 800
    with open_register() as register:
        assert register.record_return(kept).kind == "new"


NAMES = (
    "job__number",
    "job__contractor",
    "sections__road",
    "pay__currency",
    "machines__name",
    "machines__serial",
)


def with_names(order, sign):
    """The order with a sign in every name that the register keeps, past what the model of an order refuses."""
    machine = order.machines[0].model_copy(update={"name": f"D{sign}", "serial": f"S{sign}"})
    sections = tuple(each.model_copy(update={"road": f"R{sign}"}) for each in order.sections)
    job = order.job.model_copy(update={"number": f"J{sign}-1", "contractor": f"C{sign}"})
    pay = order.pay.model_copy(update={"currency": f"$ {sign}"})
    return order.model_copy(update={"job": job, "sections": sections, "machines": (machine,), "pay": pay})


@pytest.mark.parametrize("sign", ["\0", "\ud800"], ids=["zero", "half a pair"])
@pytest.mark.parametrize("path", NAMES)
def test_no_order_has_a_sign_that_no_database_takes(order, path, sign):
    """PostgreSQL takes no zero byte in a text (its documentation, 8.3), and UTF-8 has no half of a pair."""
    with pytest.raises(ValidationError):
        changed(order, **{path: f"A{sign}"})


@pytest.mark.parametrize("kind", DATABASES)
def test_a_sign_that_no_database_takes_does_not_stop_the_register(order, log, kind, tmp_path):
    """What the model of an order refuses does no harm either where it comes past it."""
    kept = summarize(rechecked(with_names(order, "\0"), log))
    with open_register(register_place(kind, tmp_path)) as register:
        assert register.record_return(kept).kind == "new"
        assert register.history(kept.identity).returns[0].number == 1


@pytest.mark.parametrize("kind", DATABASES)
@pytest.mark.parametrize("sign", ["'; --", '"\\%_$1', "№ Ñ 車", "\U0001f69a", "ه\u200cا"])
def test_signs_that_an_order_may_have_are_kept_as_they_are(order, log, kind, sign, tmp_path):
    named = Order.model_validate(with_names(order, sign).model_dump(mode="json"))
    kept = summarize(rechecked(named, log))
    assert (kept.job, kept.contractor, kept.currency) == (f"J{sign}-1", f"C{sign}", f"$ {sign}")
    assert (kept.machine, kept.serial) == (f"D{sign}", f"S{sign}")
    with open_register(register_place(kind, tmp_path)) as register:
        assert register.record_return(kept).kind == "new"
        assert register.record_return(kept).kind == "same-again"


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ({"identity": "A" * 100}, {"identity": "A" * 64}),
        ({"path": "p" * 5000}, {"path": "p" * 4096}),
        ({"template": "t" * 300}, {"template": "t" * 200}),
        ({"public_key": "k" * 300}, {"public_key": "k" * 200}),
        ({"template": "v1", "public_key": "ab", "origin": "signed"},
         {"template": "v1", "public_key": "ab", "origin": "signed", "program": __version__}),
    ],
    ids=["identity", "path", "template", "public key", "as they are"],
)  # fmt: skip
def test_what_a_book_says_of_itself_is_kept_as_far_as_a_register_has_room(order, log, given, kept):
    summary = summarize(rechecked(order, log, **given))
    assert {name: getattr(summary, name) for name in kept} == kept
    with open_register() as register:
        assert register.record_return(summary).kind == "new"


def test_a_file_that_lies_elsewhere_now_is_kept_by_that_place(order, log):
    result = rechecked(order, log)
    assert (summarize(result).path, summarize(result, "there.xlsx").path) == ("book.xlsx", "there.xlsx")
    assert summarize(result, "there.xlsx").sha256 == result.sha256


def test_two_honest_books_of_one_job_have_nothing_against_each_other(order):
    """Two distributors of one order, on different sections of it, on different days."""
    books = []
    for number, sections in enumerate((["S1"], ["S2", "S3", "S4"])):
        name = f"D-{number + 7}"
        own = changed(order, machines__name=name, machines__serial=name)
        log = honest_day(own, own.machines[0], seed=number, sections=sections)
        for key, value in log.items():
            if key[2] == "ticket":
                log[key] = f"{name}-{value}"
        books.append(summarize(rechecked(own, log, name)))
    assert all(len(book.stretches) > 2 for book in books)
    assert across(books) == []


def test_a_log_copied_into_a_second_book_is_one_finding_of_each_kind_with_its_rows(order, log):
    one, copy = (summarize(rechecked(order, log, name)) for name in ("a", "b"))
    found = {each.finding.name: each.finding for each in across([one, copy])}
    by_hand = [section.id for section in order.sections if section.hand_spray]
    assert len(across([one, copy])) == len(found) + len(one.tickets) - 1 + len(by_hand) - 1
    assert set(found) == {"ticket-in-two-books", "stretch-in-two-books", "distributor-in-two-places",
                          "section-beyond-order-in-books"}  # fmt: skip
    stretches = found["stretch-in-two-books"]
    assert stretches.shots == tuple(sorted(each.row for each in one.stretches))
    assert stretches.stake == pytest.approx(sum(each.undiluted for each in one.stretches))
    last = max(one.stretches, key=lambda each: each.row).cell
    assert stretches.found.endswith(f"{last})")
    assert f" {len(one.stretches) - 1} m" in stretches.found  # "more", "más"
    assert found["distributor-in-two-places"].shots == tuple(sorted(each.row for each in one.spells))
    # What the stretches say already is not said again by their sections: hand spray alone has no stretches.
    assert by_hand[-1] in found["section-beyond-order-in-books"].found


def test_a_correction_says_the_cell_and_both_dips(order, log):
    was = log["shots", 2, "dip_before"]
    corrected = log | {("shots", 2, "dip_before"): was + 0.5}
    first = rechecked(order, log, "A")
    second = rechecked(order, corrected, "A", sha256="f" * 64)
    with open_register() as register:
        register.record_return(first)
        outcome = register.record_return(second)
    (change,) = outcome.changes
    assert (change.cell, change.before, change.after) == ("dip_before 3", f"{was:.15g}", f"{was + 0.5:.15g}")
    assert "sprayed" in {each.name for each in outcome.figures}


def test_totals_are_kept_as_plain_json(order, log):
    with open_register() as register:
        register.record_return(rechecked(order, log, "A"))
        (kept,) = register.history("A").returns
    assert json.loads(json.dumps(kept.overall)) == summarize(rechecked(order, log)).overall
