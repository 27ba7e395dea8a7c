"""Findings that share a cause are one finding with its rows."""

from __future__ import annotations

import re
import zipfile

import pytest

from sheetgen.audit.report.volume_at_stake import Stakes
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from tests.audit.orders import day, findings_of, put_before_the_rules, small
from tests.audit.test_around_cells import part_of, with_part

ORDER = small("us")
LOG = day(ORDER)
UNREAD = {"unreadable-entry", "remark-in-number-cell"}
SHOTS = sorted({row for table, row, _ in LOG if table == "shots"})


def typed(column, values):
    """What is found where entries of shots hold something else, by row."""
    log = LOG | {("shots", row, column): value for row, value in values.items()}
    return [each for each in findings_of(log, ORDER) if each.name in UNREAD]


def test_entries_written_alike_are_one_finding_with_their_shots():
    [one] = typed("temperature", dict.fromkeys(SHOTS, "see paper"))
    assert one.shots == tuple(SHOTS)
    assert one.found.startswith(f"see paper (and {len(SHOTS) - 1} more: temperature {SHOTS[1] + 1}")


def test_digits_do_not_make_another_way_of_writing_and_words_do():
    values = {row: f"page {row}" for row in SHOTS}
    assert len(typed("temperature", values)) == 1
    assert len(typed("temperature", values | {SHOTS[1]: "broken"})) == 2


def test_a_row_that_the_crew_confirmed_stands_alone():
    confirmed = {("shots", SHOTS[0], "confirmed"): "yes", ("shots", SHOTS[0], "remarks"): "watch stopped"}
    log = LOG | confirmed | {("shots", row, "end"): "see paper" for row in SHOTS}
    found = [each for each in findings_of(log, ORDER) if each.name == "unreadable-entry-beside-quantities"]
    assert sorted(each.row for each in found) == SHOTS[:2]


def blank(column, rows, order=ORDER):
    """What is called missing where a column of the shot log is blank in some rows."""
    log = {place: value for place, value in LOG.items()
           if not (place[0] == "shots" and place[1] in rows and place[2] == column)}  # fmt: skip
    found = findings_of(log, order)
    return [each for each in found if each.name in ("entry-missing", "temperature-missing")]


@pytest.mark.parametrize("column", ["temperature", "to_station", "from_station"])
def test_blanks_down_a_column_are_one_finding_with_their_shots(column):
    rows = SHOTS[1:]
    [one] = blank(column, rows)
    assert (one.row, one.shots) == (rows[0], tuple(rows))
    assert one.found == (
        f"blank (and {len(rows) - 1} more: " + ", ".join(f"{column} {row + 1}" for row in rows[1:13]) + ")"
    )
    assert one.stake > 0
    [single] = blank(column, rows[:1])
    assert (single.found, single.shots) == ("blank", ())


def test_blanks_of_two_columns_are_two_findings():
    log = {place: value for place, value in LOG.items()
           if place[0] != "shots" or place[2] not in ("width", "temperature")}  # fmt: skip
    found = [each.name for each in findings_of(log, ORDER) if each.name.endswith("-missing")]
    assert sorted(found) == ["entry-missing", "temperature-missing"]


def test_what_hangs_on_missing_temperatures_is_the_volume_of_their_shots():
    rows = SHOTS[:3]
    [one] = blank("temperature", rows)
    hot = sum(row.net for row in put_before_the_rules(LOG, ORDER)[0].shot_rows if row.row in rows)
    assert one.stake == pytest.approx(hot * ORDER.material.dilution)


@pytest.fixture(scope="module")
def honest(tmp_path_factory):
    path = tmp_path_factory.mktemp("cause") / "honest.xlsx"
    write_filled(ORDER, ORDER.machines[0], LOG, path)
    return path


def test_values_pasted_over_a_column_are_one_finding_of_each_kind(honest, tmp_path):
    shots = zipfile.ZipFile(honest).read(part_of(honest, "Shots")).decode()
    area = next(
        match[1]
        for match in re.finditer(r'<c r="([A-Z]+)6"[^>]*><f>([^<]*)</f>', shots)
        if "ROUND" in match[2]
    )
    cell = rf'<c r="({area}[0-9]+)"( s="[0-9]+")[^>]*><f>[^<]*</f>(?:<v>[^<]*</v>)?</c>'
    path = with_part(honest, tmp_path / "a.xlsx", part_of(honest, "Shots"), cell, r'<c r="\1"\2><v>5</v></c>')
    recheck = recheck_book(path)
    over = [each for each in recheck.findings if each.name == "formula-replaced-by-value"]
    assert len(over) == 1
    differing = [
        each
        for each in recheck.findings
        if each.name == "value-differs-from-recheck" and each.sheet == "Shots"
    ]
    assert len(differing) == 1
    assert differing[0].shots == tuple(SHOTS)
    assert Stakes.of(recheck).at_stake(differing[0]) == pytest.approx(sum(Stakes.of(recheck).paid.values()))
