"""A season through the public functions: its workbook against a computation of its own, and what it says of whom."""

from __future__ import annotations

import datetime as dt
from statistics import fmean, stdev
from typing import NamedTuple

import openpyxl
import pytest
from lxml import etree
from scipy import stats

from sheetgen.audit.compute.factors import Factors
from sheetgen.audit.entries.logs import Logs
from sheetgen.audit.entries.read import entries_of
from sheetgen.figures import date_of
from sheetgen.order.model import Order
from sheetgen.order.tank import chart_of
from sheetgen.register.lists import KeptReturn
from sheetgen.register.packed_entries import pack
from sheetgen.register.register import open_register
from sheetgen.season import Terms, season_of, standouts_of, write_season
from sheetgen.season.charts import pictures_of
from sheetgen.season.season import gathered
from sheetgen.season.words import Voice, signed
from sheetgen.templates import texts
from tests.audit.orders import put_before_the_rules
from tests.season.office import (
    DISTRIBUTORS,
    OPERATORS,
    PLANTED_STICK,
    PLANTED_SUPPLIER,
    SUPPLIERS,
    Book,
    season_of_twelve,
)


class Played(NamedTuple):
    place: object
    rechecks: list
    season: object
    pages: dict[str, openpyxl.Workbook]


@pytest.fixture(scope="module")
def played(tmp_path_factory):
    folder = tmp_path_factory.mktemp("season")
    place, rechecks = season_of_twelve(folder)
    with open_register(place) as register:
        season = season_of(register)
    pages = {}
    for language in ("en", "es"):
        path = folder / f"{language}.xlsx"
        write_season(season, path, language)
        pages[language] = openpyxl.load_workbook(path)
    return Played(place, rechecks, season, pages)


# What the season should say, by plain arithmetic over the rechecks: no pandas, nothing of the season's own.


class Fill(NamedTuple):
    distributor: str
    supplier: str
    tickets: float
    rose: float


def fills_of(recheck):
    """Each load against the stick: the reading after it less the reading before it, in the order of the clock."""
    order, machine, logs = recheck.order, recheck.machine, Logs.of(recheck.entries)
    chart, factors = chart_of(machine, order), Factors.of(order)
    mixes = {row["row"]: row["mix"] for row in recheck.load_rows}
    events = []
    for day in logs.days:
        events.append(
            (day.date, 0.0, "level", chart.volume(day.start_dip) * factors.at(day.start_temperature))
        )
        events.append((day.date, 2.0, "level", chart.volume(day.end_dip) * factors.at(day.end_temperature)))
    for shot in logs.shots:
        factor = factors.at(shot.temperature)
        for moment, dip in ((shot.start, shot.dip_before), (shot.start + 1e-6, shot.dip_after)):
            events.append((shot.date, moment, "level", chart.volume(dip) * factor))
    events += [(load.date, load.time, "load", load) for load in logs.loads]
    level, pending = None, []
    for *_, kind, what in sorted(events, key=lambda event: event[:2]):
        if kind == "load":
            pending.append(what)
            continue
        if pending:
            suppliers = {load.supplier for load in pending}
            came = sum(mixes[load.row] for load in pending)
            yield Fill(machine.name, suppliers.pop() if len(suppliers) == 1 else "", came, what - level)
        level, pending = what, []


def interval(values):
    mean = fmean(values)
    return len(values), mean, stats.t.ppf(0.975, len(values) - 1) * stdev(values) / len(values) ** 0.5


def metered_of(rechecks, distributor):
    """The relative difference of each day of each book, by the sums of meter and stick."""
    for recheck in rechecks:
        if recheck.machine.name != distributor:
            continue
        rows = {row["row"]: row for row in recheck.shot_rows}
        sums: dict[float, list[float]] = {}
        for shot in Logs.of(recheck.entries).shots:
            both = sums.setdefault(shot.date, [0.0, 0.0])
            both[0] += shot.meter_after - shot.meter_before
            both[1] += rows[shot.row]["before"] - rows[shot.row]["after"]
        yield from (meter / stick - 1 for meter, stick in sums.values())


# Reading the workbook as a person does.


def lines_of(page):
    """The lines of a table by its headings."""
    rows = list(page.iter_rows(min_row=4, values_only=True))
    heads = rows[0]
    return [dict(zip(heads, row, strict=True)) for row in rows[1:] if row[0] is not None]


def line_of(book, language, dimension, name, pair):
    say = texts(language)
    head = {key: say[f"season.head.{key}"] for key in ("by", "name", "pair")}
    wanted = [say[f"season.head.{dimension}"], name, say[f"season.pair.{pair}"]]
    (found,) = [
        line for line in lines_of(book[say["season.sheet.biases"]])
        if [line[head[key]] for key in ("by", "name", "pair")] == wanted
    ]  # fmt: skip
    return tuple(found[say[f"season.head.{key}"]] for key in ("count", "mean", "reach"))


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("supplier", SUPPLIERS)
def test_tickets_against_stick_by_supplier(played, language, supplier):
    fills = [fill for each in played.rechecks for fill in fills_of(each) if fill.supplier == supplier]
    expected = interval([fill.tickets / fill.rose - 1 for fill in fills])
    assert expected[0] > 8
    assert line_of(played.pages[language], language, "supplier", supplier, "tickets-stick") == pytest.approx(
        expected
    )


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("distributor", DISTRIBUTORS)
def test_meter_and_tickets_against_stick_by_distributor(played, language, distributor):
    book = played.pages[language]
    metered = interval([*metered_of(played.rechecks, distributor)])
    assert line_of(book, language, "distributor", distributor, "meter-stick") == pytest.approx(metered)
    fills = [fill for each in played.rechecks for fill in fills_of(each) if fill.distributor == distributor]
    tickets = interval([fill.tickets / fill.rose - 1 for fill in fills])
    assert line_of(book, language, "distributor", distributor, "tickets-stick") == pytest.approx(tickets)


def test_books_shots_volumes_and_losses_by_distributor(played):
    say, page = texts("en", "us"), played.pages["en"]["Distributors"]
    lines = {line["Distributor"]: line for line in lines_of(page)}
    for distributor in DISTRIBUTORS:
        mine = [each for each in played.rechecks if each.machine.name == distributor]
        shots = [row for each in mine for row in each.shot_rows]
        days = [row for each in mine for row in each.day_rows]
        line = lines[distributor]
        assert (line["Books"], line["Shots"]) == (4, len(shots))
        assert line["Sprayed, gal"] == pytest.approx(sum(row["base"] for row in shots))
        assert line[f"Area, {'yd²'}"] == pytest.approx(sum(row["area"] for row in shots))
        lost = sum(row["unexplained"] for row in days)
        assert line["Unexplained, gal"] == pytest.approx(lost)
        assert line["Share of loads"] == pytest.approx(lost / sum(row["loaded"] for row in days))
        out = sum(row["verdict"] in ("high", "low") for row in shots)
        assert line[say["season.head.out"]] == pytest.approx(out / len(shots))
        counts = [finding.severity for each in mine for finding in each.findings]
        assert (line["Errors"], line["Queries"]) == (counts.count("error"), counts.count("query"))


def test_deviation_from_the_ordered_rate_by_operator(played):
    lines = {line["Operator"]: line for line in lines_of(played.pages["en"]["Operators"])}
    for place, operator in enumerate(OPERATORS):
        points = []
        for recheck in played.rechecks[3 * place : 3 * place + 3]:
            for date in {row["date"] for row in recheck.shot_rows}:
                rows = [row for row in recheck.shot_rows if row["date"] == date]
                points.append(
                    sum(row["base"] for row in rows) / sum(row["area"] * row["ordered_mix"] for row in rows)
                    - 1
                )
        count, mean, reach = interval(points)
        found = lines[operator]["Mean deviation from the ordered rate"]
        assert (found, lines[operator]["Days"]) == (pytest.approx(mean), count)
        assert line_reach(played, operator) == pytest.approx(reach)


def line_reach(played, operator):
    """The half interval beside the mean deviation: its heading stands there more than once."""
    page = played.pages["en"]["Operators"]
    heads = [cell.value for cell in page[4]]
    column = heads.index("Mean deviation from the ordered rate") + 1
    (row,) = [row for row in page.iter_rows(min_row=5, values_only=True) if row[0] == operator]
    return row[column]


def test_every_book_counts_once_with_its_last_return(played):
    lines = lines_of(played.pages["en"]["Books"])
    assert [line["Return"] for line in lines] == [2] + [1] * 11
    assert len({line["Book"] for line in lines}) == 12
    payable = [each.totals.overall["payable"] for each in played.rechecks]
    assert sum(line["Payable, gal"] for line in lines) == pytest.approx(sum(payable))
    front = [cell for row in played.pages["en"]["Season"].iter_rows(values_only=True) for cell in row]
    assert front[front.index("Earlier returns, replaced by later ones and not counted") + 2] == 1
    assert front[front.index("Books returned and counted") + 2] == 12


def test_the_planted_are_said_and_the_honest_are_not(played):
    found = {(each.kind, each.name) for each in standouts_of(played.season)}
    assert found == {("stick", PLANTED_STICK), ("tickets", PLANTED_SUPPLIER)}
    (tickets,) = [each for each in standouts_of(played.season) if each.kind == "tickets"]
    assert tickets.volume == pytest.approx(10, abs=1.5)  # gallons on every ticket


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_first_page_says_it_in_words(played, language):
    page = played.pages[language].worksheets[0]
    said = [str(cell) for row in page.iter_rows(values_only=True) for cell in row if isinstance(cell, str)]
    text = "\n".join(said)
    assert "gal in each of" in text if language == "en" else "gal en cada una de" in text
    sentences = [each for each in said if PLANTED_SUPPLIER in each or f"{PLANTED_STICK}," in each]
    assert len(sentences) == 2
    assert texts(language)["book.invented_short"] in page.oddFooter.left.text
    assert not any(name in text.split(texts(language)["season.group.untold"])[0] for name in SUPPLIERS[:2])


def test_there_are_charts_of_this_format_on_the_first_page_and_beside_the_tables(played):
    charts = {sheet.title: len(sheet._charts) for sheet in played.pages["en"].worksheets}
    assert charts["Season"] == 2
    assert all(charts[name] == 1 for name in ("Distributors", "Operators", "Suppliers", "Materials"))
    assert charts["Rates"] == 3


def test_a_season_without_anything_planted_says_nothing():
    season = gathered([kept(Book(number, planted=False)) for number in range(12)], Terms())
    assert standouts_of(season) == []
    assert len(season.comparisons) > 60
    assert season.shots["deviation"].abs().max() < 0.2  # of diluted jobs too


def test_pictures_show_the_same_means(played):
    found = standouts_of(played.season)
    pictures = pictures_of(played.season, found, Voice(played.season, "en"))
    supplier, distributor = (etree.fromstring(each.svg.encode()) for each in pictures)
    described = {each.find("{*}title").text: each.find("{*}desc").text for each in (supplier, distributor)}
    (tickets,) = [each for each in found if each.kind == "tickets"]
    told = described["Tickets against the stick, by supplier"].split("; ")
    assert f"{PLANTED_SUPPLIER}: Tickets against stick {signed(tickets.bias.mean)}" in told
    assert all(
        name in described["Tickets and meter against the stick, by distributor"] for name in DISTRIBUTORS
    )
    assert len(supplier.findall("{*}circle")) == len(SUPPLIERS) + 1  # and one in the legend
    assert len(distributor.findall("{*}rect")) == len(DISTRIBUTORS) + 1


def test_names_in_a_picture_are_no_markup():
    first = Book(0, planted=False)
    log = {place: "<script>" if place[2] == "supplier" else value for place, value in first.log().items()}
    season = gathered([kept(first, log=log), kept(Book(1))], Terms())
    pictures = pictures_of(season, [], Voice(season, "en"))
    assert all("<script" not in each.svg for each in pictures)
    assert "&lt;script&gt;" in pictures[0].svg


def found_of(change, numbers=range(12)):
    """What stands out where honest books are changed: kind and name."""
    books = [Book(number, planted=False) for number in numbers]
    season = gathered([change(book, book.log()) for book in books], Terms())
    found = standouts_of(season)
    for language in ("en", "es"):
        voice = Voice(season, language)
        assert all(each.name in voice.sentence(each) for each in found)
    return {(each.kind, each.name) for each in found}


def of_truck(name, change):
    """Change the entries of one distributor's books."""

    def changed(book, log):
        new = (
            {place: change(place, value, log) for place, value in log.items()}
            if book.distributor == name
            else log
        )
        return kept(book, log={place: value for place, value in new.items() if value is not None})

    return changed


def long_stick(place, value, log):
    """Three percent too much on the stick, and no meter to tell."""
    if place[2].startswith("meter"):
        return None
    return round(value * 1.03 * 8) / 8 if "dip" in place[2] else value


def fast_meter(place, value, log):
    first = log["shots", 0, "meter_before"]
    return round(first + 1.05 * (value - first)) if place[2].startswith("meter") else value


def half_inches(place, value, log):
    return round(value * 2) / 2 if "dip" in place[2] else value


def lost_by_evening(place, value, log):
    return value - 2.5 if place[2] == "end_dip" else value


@pytest.mark.parametrize(("change", "kind"), [
    (long_stick, "tickets-or-stick"), (fast_meter, "meter"), (half_inches, "digits"), (lost_by_evening, "unexplained"),
])  # fmt: skip
def test_what_is_planted_on_one_distributor_is_said_of_it_alone(change, kind):
    assert found_of(of_truck("Truck 1", change)) == {(kind, "Truck 1")}


def slower(order, part):
    data = order.model_dump(mode="json")
    for section in data["sections"]:
        section["rate"] *= part
    return Order.model_validate(data)


def test_a_distributor_that_sprays_too_much_all_season_is_said():
    def changed(book, log):
        order = slower(book.job.order, 0.94 if book.distributor == "Truck 2" else 1.0)
        return kept(book, log=log, canonical=order.canonical())

    assert found_of(changed) == {("rate", "Truck 2")}


def test_a_distributor_that_sprays_too_much_from_a_day_on_is_said():
    def changed(book, log):
        data = slower(book.job.order, 0.93 if book.number >= 9 else 1.0).model_dump(mode="json")
        data["machines"][0]["name"] = "Truck 9"
        order = Order.model_validate(data)
        return kept(book, log=log, canonical=order.canonical(), machine="Truck 9", serial="")

    assert found_of(changed) == {("shift", "Truck 9")}


def test_a_supplier_of_one_distributor_alone_is_not_told_from_its_stick():
    def changed(book, log):
        for place, value in list(log.items()):
            if place[2] == "supplier":
                log[place] = f"Supplier of {book.distributor}"
            elif place[2] in ("net_mass", "volume") and book.distributor == "Truck 1":
                log[place] = round(float(value) * 1.03)
        log = {place: value for place, value in log.items() if not place[2].startswith("meter")}
        return kept(book, log=log)

    assert found_of(changed) == {("tickets-or-stick", "Truck 1")}


def test_what_an_unusual_stick_explains_is_not_said_of_a_supplier(tmp_path):
    season = gathered([kept(Book(number)) for number in range(12)], Terms())
    write_season(season, tmp_path / "season.xlsx", "en")
    book = openpyxl.load_workbook(tmp_path / "season.xlsx")
    results = {
        line["Name"]: line["Result"] for line in lines_of(book["Differences"])
        if (line["By"], line["Compared"]) == ("Supplier", "Tickets against stick")
    }  # fmt: skip
    assert results[PLANTED_SUPPLIER] == "unusual"
    assert "unusual" not in {results[name] for name in SUPPLIERS if name != PLANTED_SUPPLIER}
    assert "by another item" in results.values()
    for line in lines_of(book["Suppliers"]):
        left = line["Tickets against stick, unusual sticks left out"]
        assert (abs(left) > 0.01) == (line["Supplier"] == PLANTED_SUPPLIER)


def kept(book, number=1, log=None, **facts):
    """A return as a register keeps it, with no file."""
    order = book.job.order
    machine, entries = order.machines[0], entries_of(log or book.log(), order, order.machines[0])
    given = {
        "identity": f"book {book.number}", "path": f"returns/{book.number}.xlsx", "number": number,
        "machine": machine.name, "serial": machine.serial, "contractor": "", "job": order.job.number, "language": "en",
        "units": order.units, "conclusion": "clean", "counts": {}, "overall": {"payable": 100.0},
        "canonical": order.canonical(), "entries": pack(entries),
    }  # fmt: skip
    return KeptReturn(**given | facts)


@pytest.mark.parametrize("language", ["en", "es"])
def test_an_empty_register_gives_a_workbook_that_says_so(tmp_path, language):
    with open_register(tmp_path / "register.db") as register:
        season = season_of(register)
    assert write_season(season, tmp_path / "season.xlsx", language) == []
    page = openpyxl.load_workbook(tmp_path / "season.xlsx").worksheets[0]
    said = [cell for row in page.iter_rows(values_only=True) for cell in row]
    assert texts(language)["season.empty"] in said


@pytest.mark.parametrize("language", ["en", "es"])
def test_one_book_gives_a_workbook_that_tells_no_bias(tmp_path, language):
    season = gathered([kept(Book(2))], Terms(), 1)
    assert write_season(season, tmp_path / "season.xlsx", language) == []
    page = openpyxl.load_workbook(tmp_path / "season.xlsx").worksheets[0]
    assert texts(language)["season.few"] in [cell for row in page.iter_rows(values_only=True) for cell in row]


def test_shots_that_count_in_the_book_of_a_revision_count_there_alone():
    log = Book(0).log()
    rows = sorted({row for table, row, _ in log if table == "shots"})
    first, rest = frozenset(rows[:2]), frozenset(rows[2:])
    whole, here, there = (
        gathered([kept(Book(0), elsewhere=each)], Terms(), 1) for each in (frozenset(), rest, first)
    )
    assert (len(here.shots), len(there.shots)) == (2, len(whole.shots) - 2)
    assert here.shots["area"].sum() + there.shots["area"].sum() == pytest.approx(whole.shots["area"].sum())
    due = put_before_the_rules(log, Book(0).job.order)[0].totals.overall["payable"]
    assert here.books["payable"].sum() + there.books["payable"].sum() == pytest.approx(due, abs=1.5)
    shared = {log["shots", row, "date"] for row in first}
    assert {each.toordinal() for each in there.days["date"]}.isdisjoint(
        {date_of(day).toordinal() for day in shared}
    )
    assert "tickets-meter" not in set(there.comparisons["pair"])
    assert len(there.readings) < len(whole.readings)


def test_a_period_takes_books_by_their_first_day():
    books = [kept(Book(number)) for number in range(6)]
    days = sorted(date_of(first) for first in gathered(books, Terms()).books["first"])
    inside = gathered(books, Terms(days[1], days[3]))
    assert (len(inside.books), inside.outside) == (3, 3)
    assert [date_of(first) for first in sorted(inside.books["first"])] == days[1:4]
    assert len(gathered(books, Terms(None, days[0] - dt.timedelta(1))).books) == 0
    assert len(gathered(books, Terms(days[5], None)).books) == 1


def test_a_book_without_its_order_counts_by_its_totals_and_is_named():
    season = gathered([kept(Book(0)), kept(Book(1), canonical=None)], Terms())
    assert (len(season.books), season.books["payable"].sum()) == (2, 200.0)
    assert {*season.shots["book"]} == {0}
    assert any(["returns", "1.xlsx"][1] in line for line in Voice(season, "en").untold())


def test_names_that_differ_in_case_and_signs_are_one():
    first, second = Book(0), Book(3)
    log = second.log()
    for place, value in list(log.items()):
        if place[2] == "supplier":
            log[place] = str(value).upper().replace(" ", "-")
    typed = {log[place] for place in log if place[2] == "supplier"}
    assert {name.upper().replace(" ", "-") for name in SUPPLIERS} >= typed
    names = [*filter(None, gathered([kept(first), kept(second, log=log)], Terms()).names("supplier"))]
    apart = {name.upper().replace("-", " ") for name in names}
    assert apart == {name.upper() for name in _suppliers(first)} | {name.replace("-", " ") for name in typed}
    assert len(apart) == len(names)


def _suppliers(book):
    return {value for place, value in book.log().items() if place[2] == "supplier"}


def test_volumes_of_the_other_unit_system_are_converted():
    from tests.simulated.days import honest
    from tests.simulated.jobs import JOBS

    job = JOBS["prime in liters"]
    order, machine = job.order, job.order.machines[0]
    liters = kept(Book(0), identity="si", units="si", canonical=order.canonical(), machine=machine.name,
                  serial="", entries=pack(entries_of(honest(job, 1), order, machine)))  # fmt: skip
    alone = gathered([liters], Terms())
    assert alone.system == "si"
    mixed = gathered([kept(Book(0)), kept(Book(1)), liters], Terms())
    assert mixed.system == "us"
    assert mixed.shots[mixed.shots["book"] == 2]["base"].sum() * 3.785411784 == pytest.approx(
        alone.shots["base"].sum()
    )
    assert mixed.books["payable"].tolist() == pytest.approx([100.0, 100.0, 100 / 3.785411784])


def test_a_slip_is_left_out_and_counted():
    book = Book(0, planted=False)
    log = book.log()
    log["loads", 0, "net_mass" if ("loads", 0, "net_mass") in log else "volume"] *= 2  # type: ignore[operator]
    season = gathered([kept(book, log=log)], Terms())
    assert season.comparisons["slip"].sum() >= 1
    assert season.compared()["relative"].abs().max() < 0.2
