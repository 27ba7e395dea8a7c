"""Files that are no order workbook: a clear error that says what to do, never a traceback, the file untouched."""

import io
import zipfile

import openpyxl
import pytest

from sheetgen.errors import OrderError
from sheetgen.order.read import read_order

COMPOUND_FILE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # [MS-CFB] 2.2


def replaced(path, part, change) -> bytes:
    """The workbook's bytes with one part changed."""
    out = io.BytesIO()
    with zipfile.ZipFile(path) as source, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as target:
        for info in source.infolist():
            data = source.read(info)
            target.writestr(info.filename, change(data) if info.filename == part else data)
    return out.getvalue()


def bomb() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("[Content_Types].xml", "<Types/>" + " " * 300_000_000)
    return out.getvalue()


def entity(data: bytes) -> bytes:
    return b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY e "boom">]>' + data.partition(b"?>")[2]


FILES = {
    "empty": lambda path: b"",
    "a text": lambda path: b"Section;Rate\nS1;0.05\n",
    "an old .xls": lambda path: COMPOUND_FILE + b"\x00" * 600 + "Workbook".encode("utf-16-le"),
    "encrypted": lambda path: COMPOUND_FILE + b"\x00" * 600 + "EncryptedPackage".encode("utf-16-le"),
    "cut off": lambda path: path.read_bytes()[:9_000],
    "a zip bomb": lambda path: bomb(),
    "an entity attack": lambda path: replaced(path, "xl/worksheets/sheet2.xml", entity),
    "a damaged sheet": lambda path: replaced(path, "xl/worksheets/sheet2.xml", lambda data: data[:4_000]),
    "a sheet that is none": lambda path: replaced(path, "xl/worksheets/sheet2.xml", lambda data: b"<hello/>"),
    "styles that are none": lambda path: replaced(path, "xl/styles.xml", lambda data: b"<hello/>"),
    "a cell that is none": lambda path: replaced(
        path, "xl/worksheets/sheet7.xml", lambda data: data.replace(b'r="C8"', b'r="#"')
    ),
    "a number that is none": lambda path: replaced(
        path, "xl/worksheets/sheet7.xml", lambda data: data.replace(b"<v>0.05</v>", b"<v>five</v>")
    ),
}


@pytest.mark.parametrize("kind", list(FILES))
def test_a_file_that_is_no_sound_workbook(kind, demo_file):
    data = FILES[kind](demo_file)
    demo_file.write_bytes(data)
    with pytest.raises(OrderError) as caught:
        read_order(demo_file)
    assert caught.value.path == str(demo_file)
    for mistake in caught.value.mistakes:
        assert mistake.found
        assert mistake.expected
        assert mistake.remedy
    assert demo_file.read_bytes() == data


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(OrderError) as caught:
        read_order(tmp_path / "no.xlsx")
    assert "no file of that name" in str(caught.value)


def test_a_folder(tmp_path):
    with pytest.raises(OrderError):
        read_order(tmp_path)


def saved(tmp_path, change) -> OrderError:
    workbook = openpyxl.Workbook()
    change(workbook)
    path = tmp_path / "other.xlsx"
    workbook.save(path)
    with pytest.raises(OrderError) as caught:
        read_order(path)
    return caught.value


def test_a_workbook_of_another_kind(tmp_path):
    error = saved(tmp_path, lambda workbook: workbook.active.append(["Section", "Rate"]))
    assert error.mistakes[0].found == "a workbook other than an order"


def test_a_field_book_given_as_an_order(tmp_path):
    error = saved(tmp_path, lambda workbook: workbook.active.append(["field book record 1"]))
    assert error.mistakes[0].found == "a field book"


@pytest.mark.parametrize(
    "marker", ["order workbook 99|job|us|en", "order workbook 2|job|us|fr", "order workbook 2"]
)
def test_an_order_of_another_version(marker, tmp_path):
    error = saved(tmp_path, lambda workbook: workbook.active.append([marker]))
    assert error.mistakes[0].expected == "an order of this program's version"


def test_a_deleted_sheet_is_named(demo_file):
    workbook = openpyxl.load_workbook(demo_file)
    del workbook["Material"]
    del workbook["Sections"]
    workbook.save(demo_file)
    with pytest.raises(OrderError) as caught:
        read_order(demo_file)
    assert [mistake.sheet for mistake in caught.value.mistakes] == ["Material", "Sections"]


def test_a_sheet_copied_within_the_workbook(demo_file):
    workbook = openpyxl.load_workbook(demo_file)
    workbook.copy_worksheet(workbook["Sections"])
    workbook.save(demo_file)
    with pytest.raises(OrderError) as caught:
        read_order(demo_file)
    assert [mistake.expected for mistake in caught.value.mistakes] == ["each sheet of an order once"]


def test_a_sheet_of_an_order_in_other_units(demo_file):
    workbook = openpyxl.load_workbook(demo_file)
    workbook["Sections"]["A1"] = "order workbook 2|sections|si|en"
    workbook.save(demo_file)
    with pytest.raises(OrderError) as caught:
        read_order(demo_file)
    assert caught.value.mistakes[0].expected == "sheets of one order"


def test_the_file_is_not_changed_by_reading_it(demo_file):
    before = demo_file.read_bytes()
    read_order(demo_file)
    assert demo_file.read_bytes() == before
