"""The measuring itself works; nothing is said of how fast anything is, for that the machine must be quiet."""

import json
import os
from pathlib import Path

import pyperf
import pytest

from tests.bench.__main__ import keep
from tests.bench.bare import bare_writer
from tests.bench.books import order_of, returned_book
from tests.bench.first_page import SERVED, STARTED, first_page
from tests.bench.many_books import measure, page
from tests.bench.measures import BARE, BUILD, OPENPYXL, RECHECK, Grown, reading, writing
from tests.bench.page import compared, draw, grown
from tests.bench.rounds import Times, cost, exponent, in_turn


@pytest.fixture(scope="module")
def measured(tmp_path_factory):
    """One round on a book of a few shots."""
    folder = tmp_path_factory.mktemp("bench")
    book = returned_book(folder, 4)
    return {4: reading(book, folder, 1)}, {4: writing(4, folder, 1)}


def test_one_round_of_reading_and_writing_gives_a_table(measured):
    read, written = measured
    for times, base, subject in ((read, OPENPYXL, RECHECK), (written, BARE, BUILD)):
        lines = compared(times, base, subject).splitlines()
        assert len(lines) == 2 + len(times[4])
        own = next(line.split("|") for line in lines if line.startswith(f"| {base}"))
        assert [part.strip() for part in own[5:7]] == ["1.00", "1.00"]


def test_the_bare_writing_holds_every_cell_of_the_built_book(tmp_path):
    import openpyxl

    from sheetgen.book.layout import lay_out
    from sheetgen.xlsx.results import results
    from sheetgen.xlsx.write import write_book

    order = order_of(4)
    book = lay_out(order, order.machines[0])
    values = results(book)
    bare_writer(book, values, tmp_path / "bare.xlsx")()
    write_book(book, tmp_path / "built.xlsx", values)
    bare, built = (openpyxl.load_workbook(tmp_path / f"{name}.xlsx") for name in ("bare", "built"))
    for one, other in zip(bare, built, strict=True):
        assert one.title == other.title
        cells = [{cell.coordinate: cell.value for row in sheet for cell in row} for sheet in (one, other)]
        links = {address for address, value in cells[1].items() if cells[0][address] != value}
        assert not links
        assert len(one.data_validations.dataValidation) == len(other.data_validations.dataValidation)


def test_every_case_has_its_turn_first():
    order = []
    cases = {name: lambda name=name: order.append(name) for name in "abc"}
    times = in_turn(cases, 3)
    assert "".join(order) == "abc" + "abc" + "bca" + "cab"
    assert [len(taken.cpu) for taken in times.values()] == [3, 3, 3]


def test_the_processor_time_of_a_child_process_counts():
    work = "x = sum(i * i for i in range(3_000_000))"
    seconds, memory = cost(work)
    assert 0.02 < seconds < 60
    assert 3 < memory < 500
    times = in_turn({"child": lambda: cost(work), "nothing": lambda: os.getpid()}, 1)
    assert times["child"].cpu[0] > 10 * times["nothing"].cpu[0]


def test_memory_that_a_process_takes_is_seen():
    few, many = (cost(f"x = bytearray({size} * 2**20)")[1] for size in (1, 120))
    assert 110 < many - few < 130


@pytest.mark.parametrize("power", [0.0, 1.0, 2.0])
def test_the_exponent_of_a_power_is_found(power):
    sizes = [10, 60, 200, 500]
    assert exponent(sizes, [3 * size**power for size in sizes]) == pytest.approx(power, abs=1e-12)


def test_growth_is_a_table_and_a_picture(tmp_path):
    growth = Grown((10, 100), (0.5, 5.0), (60.0, 60.0))
    assert "| **1.00** | **0.00** |" in grown({"recheck": growth}, "shots")
    picture = draw({"recheck": growth}, growth, tmp_path / "growth.png").read_bytes()
    assert picture.startswith(b"\x89PNG")


def test_figures_are_kept_in_the_form_of_pyperf(tmp_path):
    keep({"recheck": Times([1.0, 2.0], [0.5, 0.75])}, tmp_path / "figures.json")
    assert json.loads((tmp_path / "figures.json").read_text())["benchmarks"]
    (kept,) = pyperf.BenchmarkSuite.load(str(tmp_path / "figures.json"))
    assert kept.get_values() == (0.5, 0.75)


def test_many_books_are_counted_each_with_its_verdict(tmp_path):
    said = measure(3, 1, tmp_path, reports=False)
    assert said.startswith("3 books (")
    verdicts = said.splitlines()[-1].removeprefix("verdicts: ")
    assert sum(int(each.split()[-1]) for each in verdicts.split(", ")) == 3
    assert "peak memory" in page(said, "a machine")


@pytest.mark.skipif(
    not Path("/proc/self/stat").exists(), reason="asks Linux for the processor time of a process"
)
def test_the_first_page_of_a_desk_is_measured_once_in_each_round(tmp_path):
    times = first_page(tmp_path, 1)
    assert [*times] == [STARTED, SERVED]
    for taken in times.values():
        assert [len(taken.wall), len(taken.cpu)] == [1, 1]
    assert times[STARTED].cpu[0] > 0
    assert [*tmp_path.iterdir()] == []
