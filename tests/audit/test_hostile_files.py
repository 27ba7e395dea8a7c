"""Files that are no field book, or were made to do harm: a clear error, quickly, and the file untouched."""

from __future__ import annotations

import hashlib
import os
import struct
import subprocess
import sys
import time
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from sheetgen import templates
from sheetgen.errors import UnusableBook
from sheetgen.xlsx import package
from sheetgen.xlsx.package import MAX_FILE
from sheetgen.xlsx.read import read_book
from tests.audit.small_book import small_book, write

SECONDS = 5.0
MEGABYTES = 500
OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
SHEET = "xl/worksheets/sheet1.xml"
HEAD = b'<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
TAIL = b"</sheetData></worksheet>"


def plain(tmp_path: Path) -> Path:
    return write(small_book(), tmp_path / "sound.xlsx")


def repacked(
    tmp_path: Path, change: Callable[[str, bytes], bytes | None], name: str = "hostile.xlsx"
) -> Path:
    """A sound book with parts changed or left out."""
    path = tmp_path / name
    with zipfile.ZipFile(plain(tmp_path)) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            data = change(part, old.read(part))
            if data is not None:
                new.writestr(part, data)
    return path


def with_part(tmp_path: Path, part: str, data: bytes) -> Path:
    return repacked(tmp_path, lambda name, old: data if name == part else old)


def refused(path: Path) -> UnusableBook:
    """The error for a file, which must come quickly and leave the file as it was."""
    before = path.read_bytes() if path.is_file() else b""
    listed = sorted(path.parent.rglob("*"))
    start = time.process_time()
    with pytest.raises(UnusableBook) as caught:
        read_book(path)
    assert time.process_time() - start < SECONDS
    assert (path.read_bytes() if path.is_file() else b"") == before
    assert sorted(path.parent.rglob("*")) == listed, "something was written"
    error = caught.value
    assert error.found
    assert error.expected
    assert error.remedy
    assert str(path) in str(error)
    assert "{" not in error.found + error.expected + error.remedy
    return error


WHOLE_FILES = [
    ("empty file", b"", "empty"),
    ("text", b"date,shot,gallons\n1,2,3\n", "other than a workbook"),
    ("pdf", b"%PDF-1.7\n", "other than a workbook"),
    ("html", b"<html><table></table></html>", "other than a workbook"),
    ("encrypted", OLE + b"\x00" * 504 + "EncryptedPackage".encode("utf-16-le") + b"\x00" * 64, "password"),
    ("xls", OLE + b"\x00" * 504 + "Workbook".encode("utf-16-le") + b"\x00" * 64, ".xls"),
    ("xls stream", b"\x09\x08\x10\x00\x00\x06\x05\x00" + b"\x00" * 64, ".xls"),
    ("doc", OLE + b"\x00" * 504 + "WordDocument".encode("utf-16-le") + b"\x00" * 64, "old office"),
    ("only a zip mark", b"PK\x03\x04", "cut off or damaged"),
    ("zip end without entries", b"PK\x05\x06" + b"\x00" * 18, "holds no workbook"),
    ("zeroes", b"\x00" * 4096, "other than a workbook"),
]


@pytest.mark.parametrize(
    ("data", "words"), [case[1:] for case in WHOLE_FILES], ids=[case[0] for case in WHOLE_FILES]
)
def test_a_file_that_is_no_workbook(tmp_path, data, words):
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    assert words in refused(path).found


@pytest.mark.parametrize("part", [0.1, 0.5, 0.9, 0.999])
def test_a_truncated_workbook(tmp_path, part):
    data = plain(tmp_path).read_bytes()
    path = tmp_path / "cut.xlsx"
    path.write_bytes(data[: int(len(data) * part)])
    assert "cut off or damaged" in refused(path).found


def test_a_workbook_damaged_inside(tmp_path):
    data = bytearray(plain(tmp_path).read_bytes())
    with zipfile.ZipFile(plain(tmp_path)) as archive:
        offset = archive.getinfo(SHEET).header_offset
    data[offset + 60 : offset + 200] = bytes(140)
    path = tmp_path / "damaged.xlsx"
    path.write_bytes(bytes(data))
    assert "damaged" in refused(path).found


def test_no_file_a_folder_and_a_pipe(tmp_path):
    assert "no file" in refused(tmp_path / "absent.xlsx").found
    (tmp_path / "folder.xlsx").mkdir()
    assert "folder" in refused(tmp_path / "folder.xlsx").found
    os.mkfifo(tmp_path / "pipe.xlsx")
    assert "device" in refused(tmp_path / "pipe.xlsx").found


def zip_of(path: Path, parts: dict[str, bytes]) -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in parts.items():
            archive.writestr(name, data)
    return path


def test_other_packages(tmp_path):
    package = "http://schemas.openxmlformats.org/package/2006"
    types = f'<Types xmlns="{package}/content-types">'
    types += '<Override PartName="/{}" ContentType="application/{}"/></Types>'
    rels = f'<Relationships xmlns="{package}/relationships">'
    rels += '<Relationship Id="r" Type="http://x/officeDocument" Target="{}"/></Relationships>'
    cases = {
        "a.ods": (
            {"mimetype": b"application/vnd.oasis.opendocument.spreadsheet", "content.xml": b"<a/>"},
            "OpenDocument",
        ),
        "a.zip": ({"readme.txt": b"hello"}, "holds no workbook"),
        "a.docx": (
            {
                "[Content_Types].xml": types.format(
                    "word/document.xml",
                    "vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml",
                ).encode(),
                "_rels/.rels": rels.format("word/document.xml").encode(),
                "word/document.xml": b"<a/>",
            },
            "other than a workbook",
        ),
        "a.xlsb": (
            {
                "[Content_Types].xml": types.format(
                    "xl/workbook.bin", "vnd.ms-excel.sheet.binary.macroEnabled.main"
                ).encode(),
                "_rels/.rels": rels.format("xl/workbook.bin").encode(),
                "xl/workbook.bin": b"\x00",
            },
            "binary .xlsb",
        ),
    }
    for name, (parts, words) in cases.items():
        assert words in refused(zip_of(tmp_path / name, parts)).found


@pytest.mark.parametrize(
    "part",
    [
        "[Content_Types].xml",
        "_rels/.rels",
        "xl/workbook.xml",
        "xl/_rels/workbook.xml.rels",
        SHEET,
        "xl/sharedStrings.xml",
    ],
)
def test_a_missing_part(tmp_path, part):
    refused(repacked(tmp_path, lambda name, data: None if name == part else data))


BOMBS = {
    "billion laughs": b'<!DOCTYPE a [<!ENTITY b "ha"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><a>&c;</a>',
    "file entity": b'<!DOCTYPE a [<!ENTITY b SYSTEM "file:///etc/passwd">]><a>&b;</a>',
    "network entity": b'<!DOCTYPE a SYSTEM "http://127.0.0.1:9/a.dtd"><a/>',
    "parameter entity": b'<!DOCTYPE a [<!ENTITY % b SYSTEM "http://127.0.0.1:9/b"> %b;]><a/>',
    "deep nesting": b"<a>" * 100_000,
    "open tags": b"<worksheet>",
    "utf-7 declaration": b'<?xml version="1.0" encoding="UTF-7"?>+ADw-a/+AD4-',
    "ebcdic": '<?xml version="1.0" encoding="IBM037"?><a/>'.encode("cp037"),
    "utf-16 with a declaration": '<!DOCTYPE a [<!ENTITY b "ha">]><a>&b;</a>'.encode("utf-16"),
    "no xml": b"\x00\x01\x02",
    "nothing": b"",
    "a name of 10 MB": b"<" + b"a" * 10_000_000 + b"/>",
}


@pytest.mark.parametrize(
    "part", [SHEET, "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml", "_rels/.rels"]
)
@pytest.mark.parametrize("bomb", BOMBS)
def test_dangerous_markup(tmp_path, part, bomb):
    refused(with_part(tmp_path, part, BOMBS[bomb]))


def test_an_entity_is_refused_and_said_so(tmp_path):
    assert "document type declaration" in refused(with_part(tmp_path, SHEET, BOMBS["billion laughs"])).found


def test_a_zip_bomb_is_not_unpacked(tmp_path):
    error = refused(with_part(tmp_path, SHEET, HEAD + b" " * 30_000_000 + TAIL))
    assert "size that no workbook has" in error.found


def test_many_parts_that_unpack_to_much(tmp_path):
    path = tmp_path / "many.xlsx"
    with zipfile.ZipFile(plain(tmp_path)) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, old.read(part))
        for number in range(150):
            new.writestr(f"xl/media/{number}.bin", os.urandom(8_000) * 125)
    assert "128 MB" in refused(path).found


def test_too_many_entries(tmp_path):
    path = tmp_path / "many.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        for number in range(2_001):
            archive.writestr(str(number), b"")
    assert "2,000 parts" in refused(path).found


def test_a_file_too_large_is_not_read(tmp_path):
    path = tmp_path / "large.xlsx"
    with path.open("wb") as file:
        file.write(b"PK\x03\x04")
        file.truncate(MAX_FILE + 1)
    assert "MB" in refused(path).found


@pytest.mark.parametrize(
    "name", ["../../evil.txt", "/etc/evil", "xl\\evil", "C:evil", "a/../../evil", "bell\x07"]
)
def test_a_part_with_a_name_that_leads_out(tmp_path, name):
    path = plain(tmp_path)
    with zipfile.ZipFile(path, "a") as archive:
        info = zipfile.ZipInfo("placeholder")
        info.filename = name
        archive.writestr(info, b"evil")
    error = refused(path)
    assert "name" in error.found
    assert error.found.isprintable()


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("name", [SHEET, SHEET.upper()])
def test_two_parts_of_one_name(tmp_path, name):
    path = plain(tmp_path)
    with zipfile.ZipFile(path, "a") as archive:
        archive.writestr(name, HEAD + TAIL)
    assert "two parts" in refused(path).found


def test_an_encrypted_entry(tmp_path):
    path = plain(tmp_path)
    data = bytearray(path.read_bytes())
    entry = data.index(b"PK\x01\x02")
    data[entry + 8] |= 1
    path.write_bytes(bytes(data))
    assert "password" in refused(path).found


def test_an_entry_that_lies_about_its_size(tmp_path):
    path = plain(tmp_path)
    data = bytearray(path.read_bytes())
    place = data.index(b"PK\x01\x02")
    while place >= 0:
        data[place + 24 : place + 28] = struct.pack("<I", 100)
        place = data.find(b"PK\x01\x02", place + 4)
    path.write_bytes(bytes(data))
    refused(path)


CELLS = [
    ("row 0", b'<row r="0"><c r="A0"><v>1</v></c></row>'),
    ("row beyond the sheet", b'<row r="1048577"><c r="A1048577"><v>1</v></c></row>'),
    ("column beyond the sheet", b'<row r="1"><c r="XFE1"><v>1</v></c></row>'),
    ("endless row", b'<row r="' + b"9" * 5000 + b'"><c r="A1"><v>1</v></c></row>'),
    ("cell of another row", b'<row r="1"><c r="A2"><v>1</v></c></row>'),
    ("no address", b'<row r="1"><c r="!!"><v>1</v></c></row>'),
    ("twice", b'<row r="1"><c r="A1"><v>1</v></c><c r="A1"><v>2</v></c></row>'),
    ("twice in two rows", b'<row r="1"><c r="A1"><v>1</v></c></row><row r="1"><c r="A1"><v>2</v></c></row>'),
    ("text that is not there", b'<row r="1"><c r="A1" t="s"><v>99999</v></c></row>'),
    ("negative text", b'<row r="1"><c r="A1" t="s"><v>-1</v></c></row>'),
    ("unknown entity", b'<row r="1"><c r="A1"><v>&evil;</v></c></row>'),
    ("cell out of a row", b'<c r="A1"><v>1</v></c></row>'),
    ("too many cells", b"<row>" + b"<c/>" * 1_300_000 + b"</row>"),
    ("endless shared formula",
     b'<row r="1"><c r="A1"><f t="shared" ref="A1:A9999" si="0">' + b"A1+" * 2_500 + b"A1</f></c></row>"
     + b"".join(b'<row r="%d"><c r="A%d"><f t="shared" si="0"/></c></row>' % (n, n) for n in range(2, 20_000))),
]  # fmt: skip


@pytest.mark.parametrize("rows", [case[1] for case in CELLS], ids=[case[0] for case in CELLS])
def test_impossible_cells(tmp_path, rows):
    refused(with_part(tmp_path, SHEET, HEAD + rows + TAIL))


HARMLESS = [
    ("absurd dimension", b"", b'<dimension ref="A1:XFD1048576"/>'),
    ("absurd merge", b"", b'<mergeCells><mergeCell ref="A1:XFD1048576"/></mergeCells>'),
    ("absurd columns", b"", b"<cols>" + b'<col min="1" max="999999999" hidden="1"/>' * 20_000 + b"</cols>"),
    ("unknown style", b'<row r="1"><c r="A1" s="99999"><v>1</v></c></row>', b""),
    ("unknown type", b'<row r="1"><c r="A1" t="quark"><v>1</v></c></row>', b""),
    ("shared formula without a definition", b'<row r="1"><c r="A1"><f t="shared" si="7"/></c></row>', b""),
    ("last cell", b'<row r="1048576"><c r="XFD1048576"><v>1</v></c></row>', b""),
    ("bad validation", b"", b'<dataValidations><dataValidation sqref="A1:ZZZ9 nonsense"/></dataValidations>'),
]


@pytest.mark.parametrize(
    ("rows", "extra"), [case[1:] for case in HARMLESS], ids=[case[0] for case in HARMLESS]
)
def test_odd_things_that_do_no_harm_are_read(tmp_path, rows, extra):
    data = HEAD + rows + TAIL.replace(b"</worksheet>", extra + b"</worksheet>")
    start = time.process_time()
    read_book(with_part(tmp_path, SHEET, data))
    assert time.process_time() - start < SECONDS


MEASURE = """
import re, resource, sys
from sheetgen.audit.proof.compare import compare
from sheetgen.xlsx.read import read_book
from tests.audit.small_book import small_book
findings = compare(read_book(sys.argv[1]), small_book())
used = resource.getrusage(resource.RUSAGE_SELF)
peak = used.ru_maxrss
if sys.platform == "linux":  # there ru_maxrss begins at what the process that started this one had
    with open("/proc/self/status") as status:
        peak = int(next(line for line in status if line.startswith("VmHWM")).split()[1])
ranges = [re.match(r"([0-9]+) cells ", each.found) for each in findings]
print(sum(int(each[1]) for each in ranges if each), used.ru_utime, peak // 1024)
"""

LARGE = {
    # As many marks in as few bytes as the reader takes.
    "numbers": (24_000, b'<c r="%s%d"><v>1</v></c>'),
    "formulas": (17_000, b'<c r="%s%d"><f>A1+B1</f><v>1</v></c>'),
}


@pytest.mark.parametrize(
    ("content", "extra"), [("numbers", b""), ("formulas", b"<!-- to the parser -->")], ids=["plain", "parsed"]
)
def test_the_largest_sheets_allowed_are_compared_in_little_time_and_memory(tmp_path, content, extra):
    """The peak is that of a process of its own, interpreter and libraries included."""
    count, cell = LARGE[content]
    rows = b"".join(
        b'<row r="%d">%s</row>' % (row, b"".join(cell % (bytes([letter]), row) for letter in b"ABCDEFGH"))
        for row in range(1, count)
    )
    path = with_part(tmp_path, SHEET, HEAD + rows + TAIL + extra)
    done = subprocess.run(
        [sys.executable, "-c", MEASURE, str(path)], capture_output=True, text=True, check=True
    )
    cells, seconds, megabytes = done.stdout.split()
    assert int(cells) > 100_000  # told in few findings
    assert float(seconds) < SECONDS
    assert int(megabytes) < MEGABYTES


def test_every_reason_has_its_words_in_both_languages():
    english, spanish = (templates.texts(language) for language in templates.LANGUAGES)
    keys = {key for key in english.keys() if key.startswith("unusable.")}  # noqa: SIM118
    assert len(keys) > 60
    assert keys == {key for key in spanish.keys() if key.startswith("unusable.")}  # noqa: SIM118


def test_no_module_of_the_recheck_words_such_an_error_itself():
    folder = Path(package.__file__).parent
    wording = {file.name for file in folder.rglob("*.py") if "UnusableBook(" in file.read_text("utf-8")}
    assert wording == {"unusable.py"}


def test_the_hash_is_that_of_the_file(tmp_path):
    path = plain(tmp_path)
    assert read_book(path).sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
