"""When a returned file says it was last saved (ECMA-376 part 2, core properties: dcterms:modified, a W3CDTF time)."""

from __future__ import annotations

import zipfile

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.register.summary import summarize
from sheetgen.xlsx.read import read_book
from sheetgen.xlsx.write import write_book
from tests.audit.orders import day, small
from tests.audit.small_book import small_book, write

CORE = "docProps/core.xml"


def with_core(path, change):
    """The file with another part of core properties; ``change`` makes it from the old one."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    parts[CORE] = change(parts[CORE])
    with zipfile.ZipFile(path, "w") as new:
        for name, data in parts.items():
            new.writestr(name, data)
    return path


def saved_at(path, text):
    def change(core):
        before, rest = core.split(b"</dcterms:modified>")
        return before[: before.rindex(b">") + 1] + text.encode() + b"</dcterms:modified>" + rest

    return with_core(path, change)


@pytest.mark.parametrize(
    ("text", "saved"),
    [
        ("2026-05-06T08:10:00Z", "2026-05-06T08:10:00Z"),
        (" 2026-05-06T08:10:00Z\n", "2026-05-06T08:10:00Z"),
        ("2026-05-06T10:10:00+02:00", "2026-05-06T08:10:00Z"),
        ("2026-05-06T08:10:00.25Z", "2026-05-06T08:10:00Z"),
        ("2026-05-06T08:10:00", "2026-05-06T08:10:00Z"),
        ("2026-05-06", "2026-05-06T00:00:00Z"),
        ("2020-01-01T00:00:00Z", ""),  # as issued: nothing has saved it since
        ("yesterday", ""),
        ("", ""),
        ("9999-12-31T23:59:59-14:00", ""),
        ("2026-05-06T08:10:00Z" + "0" * 5000, ""),
    ],
)
def test_the_time_of_saving_is_read_in_utc(tmp_path, text, saved):
    assert read_book(saved_at(write(small_book(), tmp_path / "a.xlsx"), text)).saved == saved


@pytest.mark.parametrize(
    "core", [b"", b"no markup", b'<!DOCTYPE a [<!ENTITY x "y">]><a>&x;</a>', b"<a/>"], ids=range(4)
)
def test_properties_that_cannot_be_read_are_no_reason_to_refuse_a_book(tmp_path, core):
    assert read_book(with_core(write(small_book(), tmp_path / "a.xlsx"), lambda _: core)).saved == ""


def test_an_issued_book_says_nothing_and_a_saved_one_is_kept_with_its_time(tmp_path):
    order = small()
    path = write_book(lay_out(order, order.machines[0], day(order)), tmp_path / "a.xlsx")
    assert read_book(path).saved == ""
    saved_at(path, "2026-05-06T08:10:00Z")
    assert summarize(recheck_book(path)).saved == "2026-05-06T08:10:00Z"


@pytest.mark.parametrize(
    ("saved", "day_read", "names"),
    [
        ("2024-06-13T18:00:00Z", 45455.0, set()),  # the twelfth of June: December was still to come
        (
            "2024-12-13T18:00:00Z",
            45632.0,
            {"date-read-by-context"},
        ),  # either: read as the book's language has it
    ],
)
def test_a_date_that_could_be_two_days_is_none_after_the_file_was_saved(tmp_path, saved, day_read, names):
    order = small(job__date="2024-05-04")
    log = {place: "12/6/2024" if place[2] == "date" else value for place, value in day(order).items()}
    path = saved_at(write_book(lay_out(order, order.machines[0], log), tmp_path / "a.xlsx"), saved)
    recheck = recheck_book(path)
    assert {entry.value for entry in recheck.entries if entry.column == "date"} == {day_read}
    asked = {"date-read-by-context", "ambiguous-date", "date-after-saving", "date-before-order"}
    assert {each.name for each in recheck.findings} & asked == names
