"""Numbers as people type them: decimal comma, thousands set apart, a fraction, a unit, a remark, an O for a 0."""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from functools import cache

from sheetgen import templates
from sheetgen.reading.outcome import Expected, Known, Outcome, Value, cleaned, plain_number, short, shown
from sheetgen.units import SYSTEMS, Unit, converted, unit_size, units

_NUMBER = r"[+-]?[OoIl]?\d[\dOoIl.,' ]*|[+-]?[.,]\d+"
_WHOLE = re.compile(rf"(?P<number>{_NUMBER})(?P<rest>.*)\Z")
_ANY = re.compile(r"\d+(?:[.,' ]\d+)*")
_POWER = re.compile(r"[+-]?\d+(?:\.\d+)?[eE][+-]?\d{1,2}\Z")
_MIXED = re.compile(r"(?P<whole>\d+)(?: |-| - | & )(?P<top>\d+) ?/ ?(?P<under>\d+) ?(?P<unit>\D*)\Z")
_FEET = re.compile(r"(?P<feet>\d+) ?(?:'|ft\.?|feet|pies?) ?-? ?(?P<inches>\d.*)\Z", re.IGNORECASE)
_INCH_SIGN = re.compile(r" ?(?:\"|''|in\.?|ins|inch(?:es)?|pulg\.?|pulgadas?)\Z", re.IGNORECASE)
_LIKE = 3.0  # times as large or as small: of one size, where the readings in question are a thousand apart
PARTS = (2, 4, 8, 16, 32, 64)  # of an inch, as measuring sticks and tapes are divided
_LOOKALIKE = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1"})
_LOAD_WORD = re.compile(r"(?i)^(?:no\.?|nr\.?|n[.°º]*|núm\.?|#|l)\s*(?=\d)")


def number(value: Value, expected: Expected, known: Known) -> Outcome:
    """Read a number in the order's unit of a kind of quantity.

    A number in the cell is taken as it is. A text is read where it can mean one number only. Where it can mean two,
    the one that is possible for the quantity is taken, and none where both or neither are.
    """
    if plain_number(value):
        return Outcome(float(value or 0))
    text = short(value)
    return Outcome(None, "not_a_number") if text is None else number_in(text, expected, known)


def number_in(text: str, expected: Expected, known: Known) -> Outcome:
    """Read :func:`number` from a text already cleaned."""
    read = _in_parts(text, expected, known)
    if read is not None:
        return read
    match = _WHOLE.match(text)
    if not match:
        return _with_remark(text, known)
    body, rest = match["number"].rstrip(" .,'"), match["rest"].strip()
    if match["number"].endswith("'") and not rest and _is_length(expected, known):
        rest = "'"
    body, rest = _lookalikes(body, rest, expected)
    values = values_of(body.translate(_LOOKALIKE), known.grouping_points)
    if not values:
        return _with_remark(text, known)
    if rest:
        return _with_unit(values, rest, text, expected, known)
    read = _settled(values, expected)
    if re.search(r"[A-Za-z]", body) and read.reason == "text_number":
        return Outcome(read.value, "letter_for_digit", {"text": text})
    return read


def _in_parts(text: str, expected: Expected, known: Known) -> Outcome | None:
    """Read a power of ten, a mixed fraction, or feet and inches; None for any other text."""
    if _POWER.match(text):
        return Outcome(float(text), "text_number")
    if match := _MIXED.match(text):
        value = mixed(match)
        if value is None:
            return Outcome(None, "not_a_number")
        return (
            _with_unit((value,), match["unit"].strip(), text, expected, known)
            if match["unit"]
            else (Outcome(value, "fraction", {"value": shown(value)}))
        )
    if (match := _FEET.match(text)) and _is_length(expected, known):
        return _feet_and_inches(match, units(known.system)[expected.kind].name)
    return None


def mixed(match: re.Match[str]) -> float | None:
    """Give the number of a whole number and a fraction of the parts that sticks have; None where it is none."""
    whole, top, under = int(match["whole"]), int(match["top"]), int(match["under"])
    return whole + top / under if under in PARTS and top < under else None


def _is_length(expected: Expected, known: Known) -> bool:
    return bool(expected.kind) and unit_size(units(known.system)[expected.kind].name).dimension == "[length]"


def _feet_and_inches(match: re.Match[str], unit: str) -> Outcome:
    """Read ``8'-4"``, ``1 ft 4 1/2 in`` in a unit of length; ``match`` is of feet and what follows them."""
    inches = _inches(_INCH_SIGN.sub("", match["inches"]))
    if inches is None or inches >= 12:
        return Outcome(None, "not_a_number")
    value = round(converted(12.0 * int(match["feet"]) + inches, "inch", unit), 9)
    return Outcome(value, "feet_and_inches", {"value": shown(value)})


def _inches(text: str) -> float | None:
    """Give the inches of a text such as ``4``, ``4.5``, ``4 1/2`` or ``1/2``; None where it has none."""
    if match := _MIXED.match(text):
        return None if match["unit"] else mixed(match)
    if match := re.fullmatch(r"(\d+)/(\d+)", text):
        top, under = int(match[1]), int(match[2])
        return top / under if under in PARTS and top < under else None
    return float(text) if re.fullmatch(r"\d+(?:\.\d+)?", text) else None


def _lookalikes(body: str, rest: str, expected: Expected) -> tuple[str, str]:
    """A letter at the number's end with letters after it belongs to a word, such as ``l`` of ``lb`` or ``l/min``."""
    while body and body[-1].isalpha() and rest and (rest[0].isalpha() or rest[0] == "/"):
        body, rest = body[:-1], body[-1] + rest
    if body.endswith("l") and not rest and (expected.kind == "volume" or " " in body):
        body, rest = body[:-1], "l"  # "500 l" is a volume in liters, not 5001
    return body.strip(), rest


def values_of(body: str, grouping_points: bool = True) -> tuple[float, ...]:
    """Give the numbers that a string of digits and separators can mean: none, one, or two, the smaller first.

    ``12,5`` is one number, ``1,234`` can be two; ``1.234`` can where points may set thousands apart.
    """
    sign, body = (-1.0, body[1:]) if body[:1] == "-" else (1.0, body.lstrip("+"))
    marks = "".join(sorted({mark for mark in body if not mark.isdigit()}))
    return tuple(sign * value for value in _magnitudes(body, marks, grouping_points))


def _magnitudes(body: str, marks: str, grouping_points: bool) -> tuple[float, ...]:
    if not marks:
        return (float(body),) if body else ()
    if len(marks) > 1:
        decimal = max(marks, key=body.rfind)
        whole, _, part = body.rpartition(decimal)
        if decimal not in ".," or decimal in whole or not part.isdigit():
            return ()
        grouped = _grouped(whole, marks.replace(decimal, ""))
        return () if grouped is None else (float(f"{grouped}.{part}"),)
    thousands = _grouped(body, marks)
    if marks in "' " or body.count(marks) > 1:
        return () if thousands is None else (float(thousands),)
    decimal_value = float(body.replace(",", "."))
    if thousands is None or body.startswith("0") or (marks == "." and not grouping_points):
        return (decimal_value,)
    return (decimal_value, float(thousands))


def _grouped(text: str, mark: str) -> str | None:
    """Give the digits of a whole number set apart in threes by one mark; None where they are not."""
    if len(mark) != 1 or not re.fullmatch(rf"\d{{1,3}}(?:{re.escape(mark)}\d{{3}})+", text):
        return text if text.isdigit() and text else None
    return text.replace(mark, "")


def _settled(values: tuple[float, ...], expected: Expected) -> Outcome:
    """Take the one value that is possible for the quantity and its instrument."""
    if len(values) == 1:
        return Outcome(values[0], "text_number")
    both = {"one": shown(values[0]), "other": shown(values[1])}
    low, high = expected.span or (values[0], values[1])
    possible = [value for value in values if low <= value <= high]
    if len(possible) == 1:
        span = {"low": shown(float(f"{low:.5g}")), "high": shown(float(f"{high:.5g}"))}
        return Outcome(possible[0], "by_range", {"taken": shown(possible[0]), **span, **both}, values)
    readable = [value for value in possible if _can_be_read(value, expected.step)]
    if len(readable) == 1:
        facts = {"taken": shown(readable[0]), "step": shown(expected.step), **both}
        return Outcome(readable[0], "by_step", facts)
    return Outcome(None, "two_numbers", both, values)


def by_neighbours(read: Outcome, around: Sequence[float]) -> Outcome:
    """Settle a number that can be two by entries of its own kind: all of them must be of the size of one only."""
    fitting = [
        choice for choice in read.choices
        if around and all(near and 1 / _LIKE <= choice / near <= _LIKE for near in around)
    ]  # fmt: skip
    if len(fitting) != 1:
        return read
    facts = {"one": shown(read.choices[0]), "other": shown(read.choices[1]), "taken": shown(fitting[0])}
    return Outcome(fitting[0], "by_column", facts, read.choices)


def _can_be_read(value: float, step: float) -> bool:
    """Say whether an instrument that shows tenths, or half or whole units, can show a value."""
    return step < 0.01 or abs(value * 100 - round(value * 100)) < 1e-6


def _with_unit(values: tuple[float, ...], rest: str, text: str, expected: Expected, known: Known) -> Outcome:
    own = units(known.system)[expected.kind] if expected.kind else None
    word = _unit_word(rest)
    own_word = own is not None and word in map(_unit_word, _labels(own))
    unit = own.name if own is not None and own_word else unit_words(known.system).get(word)
    if unit is None:
        return _with_remark(text, known)
    read = _settled(values, expected)
    if own is None:
        return Outcome(None, "unit_not_expected", {"unit": rest})
    if read.value is None:
        return read
    one, other = unit_size(unit), unit_size(own.name)
    if one.dimension != other.dimension:
        return Outcome(None, "unit_of_other_kind", {"unit": rest})
    if (one.size, one.zero) == (other.size, other.zero):
        return read if read.choices else Outcome(read.value, "own_unit", {"unit": rest})
    value = round(converted(float(read.value), unit, own.name), 9)
    return Outcome(value, "converted", {"text": text, "value": shown(value)}, read.choices)


def _with_remark(text: str, known: Known) -> Outcome:
    """Take one number among words. None or several: unreadable."""
    found = _ANY.findall(text)
    values = values_of(found[0], known.grouping_points) if len(found) == 1 else ()
    if len(values) != 1 or re.search(r"[/+:=*]", text):
        return Outcome(None, "not_a_number")
    return Outcome(values[0], "remark_in_number", {"value": shown(values[0])})


@cache
def unit_words(system: str) -> dict[str, str]:
    """Give the words and printed labels of units, with pint's name of the unit that each means in a system."""
    words = {
        _unit_word(label): unit.name
        for each in (*SYSTEMS, system)  # the system's own labels last: they count where both have one
        for unit in units(each).values()
        for label in _labels(unit)
    }
    for language in templates.LANGUAGES:
        typed = templates.typed_words(language)["units"]
        for each in ("any", system):
            for unit_name, spelt in typed.get(each, {}).items():
                words |= {_unit_word(word): unit_name for word in spelt}
    rows = templates.table("unit_words")
    return words | {_unit_word(row["word"]): row["unit"] for row in rows if row["system"] in (system, "any")}


def _labels(unit: Unit) -> list[str]:
    """What a unit is called in print, in every language."""
    return [unit.label(language) for language in templates.LANGUAGES]


def _unit_word(text: str) -> str:
    """A unit without what people write now so, now so: case, points, spaces around a stroke."""
    return re.sub(r" ?([/°]) ?", r"\1", cleaned(text).strip(" .").casefold())


def count(value: Value, expected: Expected, known: Known) -> Outcome:
    """Read a whole number, such as a number of nozzles or of a load; ``No. 3`` and ``#3`` mean 3."""
    text = short(value)
    read = (
        number(value, expected, known)
        if text is None
        else (number_in(_LOAD_WORD.sub("", text), expected, known))
    )
    if isinstance(read.value, float) and not read.value.is_integer():
        return Outcome(None, "not_whole")
    return read


def percent(value: Value, shows_percent: bool, expected: Expected, known: Known) -> Outcome:
    """Read a part of one, typed as a percentage or as a part; ``shows_percent``: the cell shows numbers so.

    With a % sign it is what it says. A plain number above 1 is a percentage. At 1 or below, the reading that is
    believed for the cell is taken.
    """
    bare = Expected(span=(0.0, 100.0))
    if isinstance(value, str) and "%" in value:
        read = number(value.replace("%", " "), bare, known)
        return read._replace(value=_hundredth(read.value)) if isinstance(read.value, float) else read
    read = number(value, bare, known)
    if not isinstance(read.value, float) or (shows_percent and not isinstance(value, str)):
        return read
    if read.value > 1 or read.value <= 0:
        return read._replace(value=_hundredth(read.value))
    low, high = expected.span or (0.0, 1.0)
    parts = [part for part in (read.value, _hundredth(read.value)) if low <= part <= high]
    if len(parts) != 1:
        both = {"one": f"{read.value:g}%", "other": f"{float(Decimal(repr(read.value)).scaleb(2)):g}%"}
        return Outcome(None, "two_percents", both)
    return read._replace(value=parts[0])


def _hundredth(value: float) -> float:
    return float(Decimal(repr(value)).scaleb(-2))
