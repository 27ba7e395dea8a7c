"""Inputs that are spoilt where a program looks: one mutation of a part that is whole otherwise, known by its number.

book     a returned book whose zip, XML or cells are spoilt
entries  a returned book with entries that nobody would type
carried  a returned book that carries a changed order
order    an order workbook whose zip, XML or cells are spoilt
claim    a claim sheet, as CSV or as a workbook
yard     a yard workbook whose zip, XML or cells are spoilt
settings the settings file of an office
upload   what a browser sends to the desk: names, bodies and addresses
"""

from __future__ import annotations

import base64
import copy
import json
import math
import re
import zlib
from collections.abc import Iterator
from random import Random
from typing import Any
from urllib.parse import quote
from xml.sax.saxutils import escape

from tests.fuzz.mutations import Parts, packed, spoiled, unpacked

# Of a hundred cases: what takes long comes less often, as it has fewer ways to be read.
SHARES = {
    "book": 5, "entries": 5, "carried": 5, "order": 5, "claim": 30, "yard": 8, "settings": 32, "upload": 10,
}  # fmt: skip
KINDS = tuple(SHARES)
NUMBERS: tuple[Any, ...] = (
    *(
        0,
        -0.0,
        -1,
        1e-9,
        5e-324,
        1e9,
        1e15,
        1.8e308,
        1e300,
        -1e300,
        2**53 + 1,
        10**400,
        0.1 + 0.2,
        math.inf,
        math.nan,
    ),
    *(True, None, "", "1", [], {}, [1] * 600, "\u202e", "\x1b[31m", "x" * 5000),
)
ENTRIES = (
    *(
        "",
        " ",
        "0",
        "-1",
        "1e999",
        "nan",
        "1'1'1'1'",
        "9" * 400,
        "9" * 400 + "'",
        "1 1/0",
        "1/2/3",
        "½",
        "٣",
        "１２",
    ),
    *(
        "1,234.5.6",
        "118++50",
        "118+5000000",
        "=1+1",
        "+",
        "'",
        '"',
        "12:61",
        "99:99",
        "2026-02-30",
        "0000-00-00",
    ),
    *(
        "350 F",
        "176 °C",
        "gal",
        "x;=cmd",
        "\u202e12",
        "a\nb",
        "\u200b7",
        "1\xa0000",
        "−5",
        "EB;WB",
        "#REF!",
        "TRUE",
    ),
    *("1" + " " * 3000 + "x", "9" * 3000 + "'", "1" * 3000 + " gal", "(" * 300, "\U0001f600" * 300),
)


def spoilt_order(random: Random, order: dict[str, Any]) -> str:
    """The JSON of an order with one to three of its values replaced, lost, doubled or put elsewhere."""
    made = copy.deepcopy(order)
    for _ in range(random.choice((1, 1, 1, 2, 3))):
        places = list(_places(made))
        holder, key = random.choice(places)
        act = random.randrange(6)
        if act <= 2:
            holder[key] = copy.deepcopy(random.choice(NUMBERS))
        elif act == 3:
            other, at = random.choice(places)
            holder[key] = copy.deepcopy(other[at])
        elif act == 4 and isinstance(holder, dict):
            holder[f"{key}?"] = holder.pop(key)
        elif isinstance(holder, list):
            holder += [copy.deepcopy(holder[key])] * random.choice((1, 50, 3000))
        else:
            del holder[key]
    text = json.dumps(made)
    return text if random.random() < 0.95 else text[: random.randrange(len(text))]


def _places(part: Any) -> Any:
    keys = part.keys() if isinstance(part, dict) else range(len(part)) if isinstance(part, list) else ()
    for key in list(keys):
        yield part, key
        yield from _places(part[key])


def carrying(parts: Parts, text: str) -> bytes:
    """A book whose record carries this text for its order."""
    data = base64.b64encode(zlib.compress(text.encode("utf-8", "surrogatepass"))).decode()
    lines = iter([data[at : at + 32_000] for at in range(0, len(data), 32_000)])
    strings = parts["xl/sharedStrings.xml"].decode()
    strings = re.sub(r"<t>B[A-Za-z0-9+/=]{8,96}</t>", lambda _line: f"<t>B{next(lines, '')}</t>", strings)
    return packed(parts | {"xl/sharedStrings.xml": strings.encode()})


def with_odd_entries(random: Random, parts: Parts, sheets: list[str]) -> bytes:
    """A book with up to eight of its blank cells typed into."""
    changed = dict(parts)
    for _ in range(random.choice((1, 1, 2, 8))):
        name = random.choice(sheets)
        blanks = list(re.finditer(rb'<c r="([A-Z]+[0-9]+)"( s="[0-9]+")/>', changed[name]))
        if not blanks:
            continue
        blank = random.choice(blanks)
        changed[name] = changed[name][: blank.start()] + _cell(random, blank) + changed[name][blank.end() :]
    return packed(changed)


def _cell(random: Random, blank: re.Match[bytes]) -> bytes:
    at = blank[1].decode(), blank[2].decode()
    if random.random() < 0.4:
        number = random.choice(
            (0, -1, 1e-300, 1e308, -1e308, 1e15, 46143.5, 0.5, 1, 2, 14, 118.5, 11850, 350)
        )
        return b'<c r="%s"%s><v>%s</v></c>' % (at[0].encode(), at[1].encode(), repr(number).encode())
    text = escape(random.choice(ENTRIES)).encode()
    inline = b'<c r="%s"%s t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>'
    return inline % (at[0].encode(), at[1].encode(), text)


def claim_sheet(random: Random, sound: bytes) -> tuple[str, bytes]:
    """The ending and the bytes of a claim sheet."""
    if random.random() < 0.4:
        return ".xlsx", spoiled(sound, unpacked(sound), random.randrange(10**9))
    separator = random.choice((",", ";", "\t", "|"))
    cells = ("book", "payable", "libro", "a pagar", *ENTRIES, "a", "b.xlsx", "12.5", "1,5", "1.234,5")
    rows = [separator.join(("book", "payable"))] if random.random() < 0.8 else []
    for _ in range(random.choice((0, 1, 3, 40))):
        rows.append(separator.join(random.choice(cells) for _ in range(random.choice((1, 2, 2, 2, 3, 60)))))
    text = random.choice(("\n", "\r\n", "\r")).join(rows)
    encoding = random.choice(("utf-8", "utf-8-sig", "cp1252", "utf-16", "utf-7"))
    data = text.encode(encoding, "replace")
    if random.random() < 0.2 and data:
        at = random.randrange(len(data))
        data = data[:at] + random.randbytes(random.choice((1, 40))) + data[at:]
    return ".csv", data


NAMES = (
    *(
        "a.xlsx",
        "a.recheck.xlsx",
        "summary.xlsx",
        "",
        ".",
        "..",
        "../a.xlsx",
        "..\\..\\a.xlsx",
        "/etc/passwd",
        "C:\\a.xlsx",
    ),
    *(
        "con.xlsx",
        "nul",
        "aux.csv",
        "a:b.xlsx",
        "a\x00b.xlsx",
        "a\nb.xlsx",
        "\x1b[31m.xlsx",
        "\u202excod.xlsx",
        "~$a.xlsx",
    ),
    *(
        "x" * 300 + ".xlsx",
        "\U0001f600" * 100 + ".xlsx",
        "e\u0301.xlsx",
        "\u00e9.xlsx",
        "a. . .",
        "-rf",
        "=1+1.xlsx",
    ),
    *("a.html", "a.js", "a.py", "delivery.json", "received", "%2e%2e%2fa.xlsx", "a.xlsx/", "\udcff.xlsx"),
)
ADDRESSES = (
    *(
        "/",
        "/register",
        "/season.xlsx",
        "/deliveries/{id}",
        "/deliveries/{id}/progress",
        "/deliveries/{id}/books/1",
    ),
    *(
        "/deliveries/{id}/books/99999999999999999999",
        "/deliveries/{id}/made/{name}",
        "/deliveries/{name}/progress",
    ),
    *(
        "/deliveries/{id}/made/../delivery.json",
        "/deliveries/{id}/made/received/{name}",
        "/assets/{name}",
        "/{name}",
    ),
)


def spoilt_settings(random: Random, sound: dict[str, str]) -> bytes:
    """The settings file of an office: lines lost, doubled, misspelt, of another kind, or cut within a sign."""
    lines = [f"{name} = {json.dumps(value)}" for name, value in sound.items()]
    for _ in range(random.choice((1, 1, 2, 4))):
        at = random.randrange(len(lines)) if lines else 0
        name = random.choice((*sound, "keys", "Key", "", "a.b", "[office]", '"key"'))
        value = random.choice(
            (*(json.dumps(text) for text in ENTRIES), "1", "[]", "{}", "true", "1979-05-27", "nan")
        )
        match random.randrange(6):
            case 0 if lines:
                del lines[at]
            case 4 | 5:
                random.shuffle(lines)
            case 1:
                lines.insert(at, f"{name} = {value}")
            case 2:
                lines[at : at + 1] = [f"{random.choice(tuple(sound))} = {value}"]
            case _:
                lines.insert(at, random.choice(ENTRIES))
    data = (
        random.choice(("\n", "\r\n"))
        .join(lines)
        .encode(random.choice(("utf-8", "utf-8", "utf-16", "cp1252")), "replace")
    )
    return data if random.random() < 0.8 else data[: random.randrange(len(data) + 1)]


def uploads(random: Random, files: tuple[bytes, ...]) -> Iterator[tuple[str, str, bytes]]:
    """Requests to a desk as method, address and body; ``{id}`` stands for a delivery that is open."""
    for _ in range(random.choice((1, 2, 6))):
        name = quote(random.choice(NAMES).encode("utf-8", "surrogatepass"))
        body = random.choice((*files, b"", b"\0" * 40, random.randbytes(200)))
        if random.random() < 0.7:
            yield "POST", f"/deliveries/{{id}}/files?name={name}", spoiled_bytes(random, body)
        else:
            address = random.choice(ADDRESSES).replace("{name}", name)
            yield random.choice(("GET", "GET", "POST")), address, body


def spoiled_bytes(random: Random, data: bytes) -> bytes:
    """The same with some of its bytes changed, or cut."""
    if not data or random.random() < 0.3:
        return data
    at = random.randrange(len(data))
    return data[:at] if random.random() < 0.3 else data[:at] + random.randbytes(8) + data[at + 8 :]
