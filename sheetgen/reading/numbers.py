"""Numbers as people type them: decimal comma, thousands set apart, a unit, a remark, an O for a 0."""

from __future__ import annotations

import re
from functools import cache

from sheetgen import templates
from sheetgen.amounts import Amount, unit_size
from sheetgen.reading.typed import Read, Reader, Typed, cleaned, shown, unit_of

_NUMBER = r"[+-]?[OoIl]?\d[\dOoIl.,' ]*|[+-]?[.,]\d+"
_WHOLE = re.compile(rf"(?P<number>{_NUMBER})(?P<rest>.*)\Z")
_ANY = re.compile(r"\d+(?:[.,' ]\d+)*")
_LOOKALIKE = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1"})
# What a station, a depth and a count are measured in; columns of numbers declare it.
_UNITS = {"station": "distance", "depth": "depth", "count": ""}


def number(typed: Typed, kind: str, reader: Reader) -> Read:
    """Read a number of a column ("table.column"), or a "station", "depth" or "count", in the order's unit.

    A number in the cell is taken as it is. A text is read where it can mean one number only; where it can
    mean two, the one that is possible for the quantity is taken and questioned, and none where both are.
    """
    if isinstance(typed.value, bool):
        return reader.unreadable("not_a_number")
    if isinstance(typed.value, int | float):
        return Read(float(typed.value))
    return number_in(cleaned(str(typed.value)), kind, reader)


def number_in(text: str, kind: str, reader: Reader) -> Read:
    """:func:`number`, of a text already cleaned."""
    match = _WHOLE.match(text.upper() if kind == "count" and text.isalpha() else text)
    if not match:
        return _with_remark(text, reader)
    body, rest = match["number"].rstrip(" .,'"), match["rest"].strip()
    body, rest = _lookalikes(body, rest, _unit(kind, reader))
    values = values_of(body.translate(_LOOKALIKE), reader.order.language)
    if not values:
        return _with_remark(text, reader)
    if rest:
        return _with_unit(values, rest, text, kind, reader)
    read = _settled(values, kind, reader)
    if re.search(r"[A-Za-z]", body) and read.trouble == "entry-typed-as-text":
        return Read(read.value, reader.because("letter_for_digit", text=text), "letter-typed-for-digit")
    return read


def _unit(kind: str, reader: Reader) -> str:
    """The kind of quantity that a number of a column is of; empty for a bare number."""
    return reader.units[kind] if kind in reader.units else _UNITS[kind]


def _lookalikes(body: str, rest: str, unit: str) -> tuple[str, str]:
    """A letter at the number's end with letters after it belongs to a word, such as ``l`` of ``lb``."""
    while body and body[-1].isalpha() and rest and rest[0].isalpha():
        body, rest = body[:-1], body[-1] + rest
    litres = unit == "volume" or " " in body
    if body.endswith("l") and not rest and litres:  # "500 l" is a volume in litres, not 5001
        body, rest = body[:-1], "l"
    return body.strip(), rest


def values_of(body: str, language: str) -> tuple[float, ...]:
    """The numbers that a string of digits and separators can mean: none, one, or two.

    ``12,5`` is one number, ``1,234`` can be two. A point with three digits after it is a decimal point in
    English; in Spanish it can set thousands apart as well.
    """
    sign, body = (-1.0, body[1:]) if body[:1] == "-" else (1.0, body.lstrip("+"))
    marks = "".join(sorted({mark for mark in body if not mark.isdigit()}))
    return tuple(sign * value for value in _magnitudes(body, marks, language))


def _magnitudes(body: str, marks: str, language: str) -> tuple[float, ...]:
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
    if thousands is None or body.startswith("0") or (marks == "." and language == "en"):
        return (decimal_value,)
    return (float(thousands), decimal_value)


def _grouped(text: str, mark: str) -> str | None:
    """The digits of a whole number set apart in threes by one mark; None where they are not."""
    if len(mark) != 1 or not re.fullmatch(rf"\d{{1,3}}(?:{re.escape(mark)}\d{{3}})+", text):
        return text if text.isdigit() and text else None
    return text.replace(mark, "")


def _settled(values: tuple[float, ...], kind: str, reader: Reader) -> Read:
    """The one value that is possible for the quantity."""
    if len(values) == 1:
        return Read(values[0], reader.because("text_number"), "entry-typed-as-text")
    low, high = reader.spans[kind]
    possible = [value for value in values if low <= value <= high]
    both = {"one": shown(values[0]), "other": shown(values[1])}
    if len(possible) == 1:
        span = {"low": shown(float(f"{low:.5g}")), "high": shown(float(f"{high:.5g}"))}
        how = reader.because("by_range", taken=shown(possible[0]), **span, **both)
        return Read(possible[0], how, "number-read-by-range", values)
    return Read(None, reader.because("two_numbers", **both), "ambiguous-number", values)


def _with_unit(values: tuple[float, ...], rest: str, text: str, kind: str, reader: Reader) -> Read:
    word = rest.strip(" .").casefold()
    dimension = _unit(kind, reader)
    unit = unit_words(reader.order.units).get(word)
    if unit is None:
        return _with_remark(text, reader)
    read = _settled(values, kind, reader)
    if not dimension or read.value is None:
        return read if dimension else reader.unreadable("unit_not_expected", unit=rest)
    own = unit_of(dimension, reader.order.units)
    if unit_size(unit) == unit_size(own):
        how = read.how if read.choices else reader.because("own_unit", unit=rest)
        return Read(read.value, how, read.trouble, read.choices)
    if unit_size(unit).dimension != unit_size(own).dimension:
        return reader.unreadable("unit_of_other_kind", unit=rest)
    value = round(float(Amount(read.value, unit).to(own).magnitude), 9)
    how = reader.because("converted", text=text, value=shown(value))
    return Read(value, how, "entry-in-another-unit", read.choices)


def _with_remark(text: str, reader: Reader) -> Read:
    """One number among words: taken and questioned. None or several: unreadable."""
    found = _ANY.findall(text)
    values = values_of(found[0], reader.order.language) if len(found) == 1 else ()
    if len(values) != 1 or re.search(r"[/+:=*]", text):
        return reader.unreadable("not_a_number")
    how = reader.because("remark_in_number", value=shown(values[0]))
    return Read(values[0], how, "remark-in-number-cell")


@cache
def unit_words(system: str) -> dict[str, str]:
    """Words for units, in lower case, with pint's name of the unit each means in a system."""
    return {
        row["word"]: row["unit"] for row in templates.table("unit_words") if row["system"] in (system, "any")
    }


def count(typed: Typed, reader: Reader) -> Read:
    """Read a whole number, such as a number of nozzles or of a load; ``No. 3`` and ``#3`` mean 3."""
    if isinstance(typed.value, str):
        stripped = re.sub(r"(?i)^(?:no\.?|nr\.?|n[.°º]*|núm\.?|#|l)\s*(?=\d)", "", cleaned(typed.value))
        read = number_in(stripped, "count", reader)
    else:
        read = number(typed, "count", reader)
    if isinstance(read.value, float) and not read.value.is_integer():
        return reader.unreadable("not_whole")
    return read
