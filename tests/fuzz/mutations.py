"""Ways to spoil a returned book: the bytes of the zip, the XML of its parts, the content of its cells.

Each takes a random number generator, so that a case is known by its number alone.
"""

from __future__ import annotations

import io
import re
import struct
import zipfile
import zlib
from collections.abc import Callable
from functools import lru_cache
from random import Random

Parts = dict[str, bytes]

NASTY_TEXTS = (
    *(b"", b" ", b"0", b"-1", b"1e999", b"nan", b"99999999999999999999", b"1_0", b"#REF!", b"=1+1", b"TRUE"),
    *(b"&#0;", b"&lt;", b"&evil;", b"]]>", b"<!--", b"<![CDATA[x]]>", b"<!DOCTYPE a>"),
    *(b"\x00", b"\xff\xfe", b"\xed\xa0\x80", b"_x0000_", b"_xD800_", "\u202e١٢٣".encode(), "é́".encode()),
    *(b"A1:XFD1048576", b"XFE1", b"A0", b"A1048577", b"$A$1", b"A1:A1:A1", b"[1]Sheet!A1", b"{1,2}"),
    *(b"'", b'"', b"'''", b'"""', b"(" * 10, b")" * 10, b"#" * 300, b"-" * 300, b"(" * 3000, b"9" * 3000),
    *(b"../../x", b"http://127.0.0.1/"),
)
NASTY_ATTRIBUTES = (
    b's="4294967295"',
    b't="quark"',
    b'r="A1"',
    b'hidden="1"',
    b'xmlns="evil"',
    b'min="1" max="999999"',
)


def unpacked(data: bytes) -> Parts:
    """The parts of a book, in their order."""
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: Parts) -> bytes:
    """A book of these parts; what many cases share is compressed once."""
    members, directory, at = [], [], 0
    for name, data in parts.items():
        facts, body = _member(data)
        path = name.encode("utf-8", "surrogatepass")
        head = (
            struct.pack("<5H", 20, 0x800, zipfile.ZIP_DEFLATED, 0, 33) + facts
        )  # 33: the first of January 1980
        members.append(b"PK\3\4" + head + struct.pack("<2H", len(path), 0) + path + body)
        directory.append(b"PK\1\2\x14\0" + head + struct.pack("<5H2L", len(path), 0, 0, 0, 0, 0, at) + path)
        at += len(members[-1])
    size = sum(map(len, directory))
    end = b"PK\5\6" + struct.pack("<4H2LH", 0, 0, len(parts), len(parts), size, at, 0)
    return b"".join((*members, *directory, end))


@lru_cache(maxsize=256)
def _member(data: bytes) -> tuple[bytes, bytes]:
    """Checksum and sizes of a part as they stand in a zip, and the part compressed."""
    deflate = zlib.compressobj(1, zlib.DEFLATED, -zlib.MAX_WBITS)
    body = deflate.compress(data) + deflate.flush()
    return struct.pack("<3L", zlib.crc32(data), len(body), len(data)), body


def spoiled(data: bytes, parts: Parts, number: int) -> bytes:
    """The spoiled book of that number, made from a sound one."""
    random = Random(number)
    level = number % 3
    if level == 0:
        return random.choice(ZIP_LEVEL)(random, data)
    changed = dict(parts)
    for _ in range(random.choice((1, 1, 1, 2, 4))):
        random.choice(XML_LEVEL if level == 1 else CELL_LEVEL)(random, changed)
    return packed(changed)


# The zip's bytes.


def _flip(random: Random, data: bytes) -> bytes:
    spoiled = bytearray(data)
    for _ in range(random.choice((1, 2, 8, 64))):
        spoiled[random.randrange(len(spoiled))] = random.randrange(256)
    return bytes(spoiled)


def _flip_directory(random: Random, data: bytes) -> bytes:
    """Flips where it hurts: in the central directory at the end."""
    spoiled = bytearray(data)
    start = max(0, data.find(b"PK\x01\x02"))
    for _ in range(random.choice((1, 2, 4, 16))):
        spoiled[random.randrange(start, len(spoiled))] = random.choice(
            (0, 1, 127, 128, 255, random.randrange(256))
        )
    return bytes(spoiled)


def _cut(random: Random, data: bytes) -> bytes:
    return data[: random.randrange(len(data))]


def _cut_out(random: Random, data: bytes) -> bytes:
    start = random.randrange(len(data))
    return data[:start] + data[start + random.choice((1, 10, 1000)) :]


def _repeat(random: Random, data: bytes) -> bytes:
    start = random.randrange(len(data))
    return data[:start] + data[start : start + random.choice((1, 50, 5000))] * 2 + data[start:]


def _prefix(random: Random, data: bytes) -> bytes:
    return random.choice((b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"\x00" * 64, b"#!/bin/sh\n")) + data


# The parts and their XML.


def _part(random: Random, parts: Parts) -> str:
    return random.choice(list(parts)) if parts else ""


def _drop_part(random: Random, parts: Parts) -> None:
    parts.pop(_part(random, parts), None)


def _swap_parts(random: Random, parts: Parts) -> None:
    if parts:
        one, other = _part(random, parts), _part(random, parts)
        parts[one], parts[other] = parts[other], parts[one]


def _rename_part(random: Random, parts: Parts) -> None:
    if parts:
        name = random.choice(
            ("../../evil", "/evil", "xl/a\\b", "XL/WORKBOOK.XML", "x" * 300, "xl/vbaProject.bin")
        )
        parts[name] = parts.pop(_part(random, parts))


def _flip_xml(random: Random, parts: Parts) -> None:
    name = _part(random, parts)
    if parts.get(name):
        spoiled = bytearray(parts[name])
        for _ in range(random.choice((1, 3, 20))):
            spoiled[random.randrange(len(spoiled))] = random.choice(b"<>/\"'&;=! \x00\xff0aA")
        parts[name] = bytes(spoiled)


def _splice_xml(random: Random, parts: Parts) -> None:
    name = _part(random, parts)
    if name in parts:
        data = parts[name]
        start = random.randrange(len(data) + 1)
        end = random.randrange(start, min(len(data), start + 400) + 1)
        parts[name] = (
            data[:start] + random.choice((b"", data[start:end] * 3, random.choice(NASTY_TEXTS))) + data[end:]
        )


def _nest_xml(random: Random, parts: Parts) -> None:
    name = _part(random, parts)
    if name in parts:
        depth = random.choice((10, 300, 5000))
        data = parts[name]
        start = data.find(b">", data.find(b"?>") + 2) + 1
        parts[name] = data[:start] + b"<a>" * depth + b"</a>" * depth + data[start:]


def _drop_element(random: Random, parts: Parts) -> None:
    name = _part(random, parts)
    tags = list(re.finditer(rb"<[^<>]*>", parts.get(name, b"")))
    if tags:
        match = random.choice(tags)
        parts[name] = parts[name][: match.start()] + parts[name][match.end() :]


def _entity(random: Random, parts: Parts) -> None:
    name = _part(random, parts)
    if name in parts:
        declaration = b'<!DOCTYPE a [<!ENTITY b "%s">]>' % (b"ha" * random.choice((1, 1000)))
        head, mark, rest = parts[name].partition(b"?>")
        parts[name] = head + mark + declaration + rest if mark else declaration + parts[name]


# The content of cells.

_SHEET = re.compile(r"xl/worksheets/[^/]*\.xml")
_PLACES = (
    re.compile(rb"<v>([^<]*)</v>"),
    re.compile(rb"<f[^<>]*>([^<]*)</f>"),
    re.compile(rb' r="([^"]*)"'),
    re.compile(rb' s="([^"]*)"'),
    re.compile(rb' t="([^"]*)"'),
    re.compile(rb' (?:sqref|ref|min|max|si|spans|ht|type|operator)="([^"]*)"'),
    re.compile(rb"<formula[12]>([^<]*)</formula[12]>"),
)


def _sheet(random: Random, parts: Parts) -> str:
    sheets = [name for name in parts if _SHEET.fullmatch(name)]
    return random.choice(sheets) if sheets else ""


def _nasty_value(random: Random, parts: Parts) -> None:
    name = random.choice((_sheet(random, parts), "xl/workbook.xml", "xl/styles.xml", "xl/sharedStrings.xml"))
    found = list(random.choice(_PLACES).finditer(parts.get(name, b"")))
    for match in sorted(
        random.sample(found, min(len(found), random.choice((1, 1, 5)))), key=lambda m: -m.start(1)
    ):
        data = parts[name]
        parts[name] = data[: match.start(1)] + random.choice(NASTY_TEXTS) + data[match.end(1) :]


def _nasty_attribute(random: Random, parts: Parts) -> None:
    name = _sheet(random, parts)
    found = list(re.finditer(rb"<(?:c|row|f|col|worksheet|sheetData|dataValidation)\b", parts.get(name, b"")))
    if found:
        end = random.choice(found).end()
        parts[name] = parts[name][:end] + b" " + random.choice(NASTY_ATTRIBUTES) + parts[name][end:]


def _shared(random: Random, parts: Parts) -> None:
    """Formulas that share others which are far away, missing, or themselves."""
    name = _sheet(random, parts)
    if name:
        kinds = (
            b't="shared" si="0"',
            b't="shared" ref="A1:Z99" si="0"',
            b't="array" ref="A1:XFD1048576"',
            b't="dataTable"',
        )
        parts[name] = re.sub(rb"<f>", lambda _match: b"<f " + random.choice(kinds) + b">", parts[name])


def _repeat_cells(random: Random, parts: Parts) -> None:
    name = _sheet(random, parts)
    rows = list(re.finditer(rb"<row .*?</row>", parts.get(name, b""), re.DOTALL))
    if rows:
        one, other = random.choice(rows), random.choice(rows)
        parts[name] = (
            parts[name][: one.start()] + other[0] * random.choice((1, 2, 50)) + parts[name][one.end() :]
        )


def _swap_cells(random: Random, parts: Parts) -> None:
    name = _sheet(random, parts)
    cells = list(re.finditer(rb"(?<=>)<(?:v|f)>[^<]*</(?:v|f)>", parts.get(name, b"")))
    if len(cells) > 1:
        one, other = sorted(random.sample(cells, 2), key=lambda match: match.start())
        data = parts[name]
        parts[name] = (
            data[: one.start()] + other[0] + data[one.end() : other.start()] + one[0] + data[other.end() :]
        )


ZIP_LEVEL: tuple[Callable[[Random, bytes], bytes], ...] = (
    _flip,
    _flip_directory,
    _cut,
    _cut_out,
    _repeat,
    _prefix,
)
XML_LEVEL: tuple[Callable[[Random, Parts], None], ...] = (
    *(_drop_part, _swap_parts, _rename_part, _flip_xml, _splice_xml, _splice_xml),
    *(_nest_xml, _drop_element, _drop_element, _entity),
)
CELL_LEVEL: tuple[Callable[[Random, Parts], None], ...] = (
    *(_nasty_value, _nasty_value, _nasty_value, _nasty_attribute, _shared, _repeat_cells, _swap_cells),
)
