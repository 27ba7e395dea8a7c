"""Configurations over several jobs: every figure beside one worked out by hand, and what is written of it."""

from __future__ import annotations

import csv
import subprocess
import sys

import openpyxl
import pytest

from sheetgen.commands.compare import compare_command
from sheetgen.compare.configurations import common_configurations, ordered_configurations
from sheetgen.compare.over_jobs import compare, refuse_mixed_units
from sheetgen.compare.text import compared_text
from sheetgen.compare.workbook import write_compared
from sheetgen.errors import OrderError, ReportInTheWay, SheetgenError
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order
from sheetgen.plan import plan
from sheetgen.yard.write import write_yard
from tests.plan.orders import flat_tank, order_of
from tests.yard.yards import yard


def _jobs():
    """Two jobs, each with its own distributor: 1,000 and 500 gal, 100 and 50 of them reserve."""
    large = order_of(machine={"name": "Large", "tank": flat_tank(1000), "reserve": 100})
    small = order_of(
        {"to_station": 3000}, {"name": "Small", "tank": flat_tank(500), "reserve": 50, "nozzle_flow_max": 4},
        job={"number": "U", "name": "Test", "date": "2026-01-01", "invented": True},
    )  # fmt: skip
    return [large, small]


def test_every_configuration_is_planned_on_every_job():
    # 12 ft at 0.3 gal/yd²: 0.4 gal/ft, so 400 gal on 1,000 ft and 1,200 gal on 3,000 ft. Large sprays 900 gal a load:
    # 1 and 2 loads; Small 450: 1 load, and 3, each cut at a station of 100 ft (1,100 ft at 440 gal). Factor 1.
    orders = _jobs()
    found = {each.configuration.name: each for each in compare(orders, ordered_configurations(orders), "en")}
    assert set(found) == {"Large", "Small"}
    assert [job.loads for job in found["Large"].jobs] == [1, 2]
    assert [job.loads for job in found["Small"].jobs] == [1, 3]
    assert (found["Large"].loads, found["Small"].loads) == (3, 4)
    assert found["Large"].sprayed == found["Small"].sprayed == pytest.approx(1600)
    assert (found["Large"].left, found["Small"].left) == (pytest.approx(200), pytest.approx(100))
    # A full load at 1.02: 1,000 gal of 8.328 lb a gallon of water at 60 °F (ASTM D4311 prints 8.328).
    assert found["Large"].load_mass == pytest.approx(1000 * 1.02 * 8.328, rel=1e-3)
    assert found["Large"].capacity == 1000


def test_hours_are_those_of_the_plans_together():
    orders = _jobs()
    (large, _small) = ordered_configurations(orders)
    (found,) = compare(orders, [large], "en")
    alone = [
        plan(order.model_copy(update={"machines": (large.machine,)})).machines[0].day.minutes
        for order in orders
    ]
    assert found.minutes == pytest.approx(sum(alone))


def test_a_section_given_to_one_distributor_is_compared_with_all():
    order = order_of({"distributor": "M"})
    other = order.machines[0].model_copy(update={"name": "Other", "reserve": 10.0})
    order = order.model_copy(update={"machines": (*order.machines, other)})
    found = compare([order], ordered_configurations([order]), "en")
    assert [each.able for each in found] == [1, 1]


def test_the_one_that_can_spray_most_is_first_and_what_others_cannot_is_named_with_its_reason():
    orders = _jobs()
    weak = order_of(machine={"name": "Weak", "tank": flat_tank(45), "nozzle_flow_max": 0.02})
    found = compare(orders, ordered_configurations([weak, *orders]), "en")
    assert found[-1].configuration.name == "Weak"
    assert found[-1].able == 0
    assert (found[-1].sprayed, found[-1].left, found[-1].minutes) == (0, 0, 0)
    assert "Section S1" in found[-1].jobs[0].why
    assert "T: S1; U: S1" in " ".join(compared_text(found, "us", "en", invented=True).split())


def test_a_distributor_that_orders_describe_alike_counts_once_and_else_is_told_by_its_job():
    orders = _jobs()
    same = [orders[0], orders[0].model_copy(update={"job": orders[1].job})]
    assert [each.name for each in ordered_configurations(same)] == ["Large"]
    changed = orders[0].machines[0].model_copy(update={"reserve": 120.0})
    other = orders[1].model_copy(update={"machines": (changed,)})
    assert [each.name for each in ordered_configurations([orders[0], other])] == ["Large (T)", "Large (U)"]


def test_distributors_of_the_yard_are_compared_whether_an_order_names_them_or_not(tmp_path):
    kept = yard()
    (tmp_path / "orders").mkdir()
    order = demo_order().model_copy(update={"machines": kept.machines[:1]})
    write_order(tmp_path / "orders" / "one.xlsx", order=order)
    path = write_yard(tmp_path / "yard.xlsx", yard=kept)
    said = compare_command([tmp_path / "orders"], path, sizes=False, out=None, language="en")
    assert f"Distributors compared: {len(kept.machines)}." in said
    metric = write_yard(tmp_path / "metric.xlsx", yard=yard("si"))
    with pytest.raises(OrderError):
        compare_command([tmp_path / "orders"], metric, sizes=False, out=None, language="en")
    changed = kept.machines[0].model_copy(update={"reserve": kept.machines[0].reserve + 1})
    other = order.model_copy(update={"machines": (changed,)})
    names = [each.name for each in ordered_configurations([other], kept.machines, "yard")]
    assert f"{changed.name} (yard)" in names
    assert f"{changed.name} ({order.job.number})" in names


def test_common_sizes_are_all_combinations_in_the_units_of_the_comparison():
    us, si = (list(common_configurations(system, "en")) for system in ("us", "si"))
    assert len(us) == len(si) == 4 * 3 * 2 * 2
    assert us[0].name == "400 gal, 8.0 ft, 6 in, 32 gal/min"
    assert si[0].machine.bar_widths == (pytest.approx(8 * 0.3048),)  # 1 ft is 0.3048 m exactly
    assert si[0].machine.discharge == pytest.approx(
        32 * 3.785411784
    )  # 1 gal is 3.785411784 L exactly (NIST SP 811)
    # Alike in both systems: the same job, the same loads.
    metric = demo_order("si")
    found = compare([metric], si[:2], "en")
    assert all(each.loads > 0 for each in found)


def test_orders_of_two_systems_are_not_compared():
    with pytest.raises(SheetgenError, match="metric units"):
        refuse_mixed_units([demo_order("us"), demo_order("si")])


@pytest.mark.parametrize("lang", ["en", "es"])
def test_a_comparison_is_written_as_a_page_and_as_a_table(lang, tmp_path):
    orders = _jobs()
    found = compare(orders, ordered_configurations(orders), lang)
    workbook, table = write_compared(found, "us", lang, "letter", tmp_path, invented=True)
    book = openpyxl.load_workbook(workbook)
    assert book.worksheets[0].sheet_properties.pageSetUpPr.fitToPage
    first = {row[0]: row for row in book.worksheets[0].iter_rows(values_only=True)}
    assert first["Large"][1:3] == ("2 / 2", 3)
    assert first["Large"][5] == pytest.approx(200)
    assert len(book.worksheets) == 3
    rows = list(csv.DictReader(table.read_text(encoding="utf-8-sig").splitlines()))
    assert [(row["distributor"], row["job"]) for row in rows].count(("Small", "U")) == 1
    assert sum(float(row["sprayed_corrected"]) for row in rows) == pytest.approx(3200)
    before = [path.read_bytes() for path in (workbook, table)]
    write_compared(found, "us", lang, "letter", tmp_path, invented=True)
    assert [path.read_bytes() for path in (workbook, table)] == before
    table.write_text("my own table")
    with pytest.raises(ReportInTheWay):
        write_compared(found, "us", lang, "letter", tmp_path, invented=True)
    assert table.read_text() == "my own table"


def test_names_do_not_act_in_a_table(tmp_path):
    order = order_of(machine={"name": "=1+1"})
    found = compare([order], ordered_configurations([order]), "en")
    _workbook, table = write_compared(found, "us", "en", "letter", tmp_path, invented=True)
    assert "\n'=1+1," in table.read_text(encoding="utf-8-sig").replace("\r\n", "\n")


def test_the_command_takes_orders_and_folders_and_says_where_it_wrote(tmp_path):
    (tmp_path / "orders").mkdir()
    write_order(tmp_path / "orders" / "one.xlsx", order=demo_order())
    done = subprocess.run(
        [sys.executable, "-m", "sheetgen.cli", "compare", "orders", "--out", "compared"],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert "Distributor A" in done.stdout
    assert done.stderr.splitlines() == [
        "compared/distributors_compared.xlsx",
        "compared/distributors_compared.csv",
    ]
    (tmp_path / "empty").mkdir()
    with pytest.raises(OrderError, match="folder"):
        compare_command([tmp_path / "empty"], None, sizes=False, out=None, language="en")


def test_without_an_order_the_common_sizes_are_shown():
    assert "Small distributors" in compare_command([], None, sizes=False, out=None, language="en")
