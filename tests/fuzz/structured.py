"""Inputs that are spoilt where a program looks: one mutation of a part that is whole otherwise, known by its number.

book     a returned book whose zip, XML or cells are spoilt
entries  a returned book with entries that nobody would type
carried  a returned book that carries a changed order
order    an order workbook whose zip, XML or cells are spoilt
claim    a claim sheet, as CSV or as a workbook
"""

from __future__ import annotations

import base64
import copy
import json
import math
import re
import zlib
from random import Random
from typing import Any
from xml.sax.saxutils import escape

from tests.fuzz.mutations import Parts, packed, spoiled, unpacked

KINDS = ("book", "entries", "carried", "order", "claim")
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
