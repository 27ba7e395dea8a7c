"""Merged ranges without number, sheets that share a part, declarations in parts of other names."""

from __future__ import annotations

import io
import time
import zipfile

import pytest

from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.errors import OrderError, UnusableBook
from sheetgen.order.demo import demo_order
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order


def rewritten(path, changes, renamed=None) -> None:
    """The file with parts changed, and all parts that name a renamed one changed too."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for info in source.infolist():
            data, name = source.read(info), info.filename
            for old, new in (renamed or {}).items():
                name, data = name.replace(old, new), data.replace(old.encode(), new.encode())
            target.writestr(name, changes.get(info.filename, lambda same: same)(data))
    path.write_bytes(out.getvalue())


@pytest.fixture
def book(tmp_path):
    order = demo_order()
    return write_filled(order, order.machines[0], {}, tmp_path / "book.xlsx")


def shots_part(book) -> str:
    with zipfile.ZipFile(book) as archive:
        parts = [name for name in archive.namelist() if name.startswith("xl/worksheets/sheet")]
        return max(parts, key=lambda name: archive.getinfo(name).file_size)


def merged(refs):
    def change(data: bytes) -> bytes:
        cells = "".join(f'<mergeCell ref="{ref}"/>' for ref in refs).encode()
        marks = b"<mergeCells>" + cells + b"</mergeCells>"
        start = data.find(b"<mergeCells")
        if start < 0:
            return data.replace(b"</sheetData>", b"</sheetData>" + marks)
        return data[:start] + marks + data[data.find(b"</mergeCells>") + len(b"</mergeCells>") :]

    return change


@pytest.mark.parametrize(
    "refs",
    [["A1:XFD1048576"] * 2_000, [f"B6:S{row}" for row in range(7, 2_007)],
     [f"A{n}:XFD1048576" for n in range(1, 2_001)]],
    ids=["the whole sheet", "growing", "shrinking"],
)  # fmt: skip
def test_two_thousand_merged_ranges_cost_little(book, refs):
    rewritten(book, {shots_part(book): merged(refs)})
    began = time.process_time()
    recheck_book(book)
    assert time.process_time() - began < 10, "they took more than 30 s when each was walked through"


def test_a_hundred_thousand_merged_ranges_are_refused(book):
    rewritten(book, {shots_part(book): merged(["B6:S53"] * 100_000)})
    with pytest.raises(UnusableBook, match="5,000 merged ranges"):
        recheck_book(book)


def test_sheets_that_share_one_part_are_refused(book):
    rels = "xl/_rels/workbook.xml.rels"
    rewritten(book, {rels: lambda data: data.replace(b"worksheets/sheet2.xml", b"worksheets/sheet1.xml")})
    with pytest.raises(UnusableBook, match="share one part"):
        recheck_book(book)


def test_a_declaration_in_a_part_of_another_name_is_refused(tmp_path):
    path = write_order(tmp_path / "order.xlsx", order=demo_order())
    entity = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY a "boom">]>'
    change = {"xl/sharedStrings.xml": lambda data: entity + data.partition(b"?>")[2]}
    rewritten(path, change, {"sharedStrings.xml": "sharedStrings.dat"})
    with pytest.raises(OrderError):
        read_order(path)
