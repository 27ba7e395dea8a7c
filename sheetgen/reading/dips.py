"""Dips of the tank stick: decimals, fractions, or inches and sixteenths as the order says."""

from __future__ import annotations

import re

from sheetgen.reading.numbers import number, number_in
from sheetgen.reading.typed import Read, Reader, Typed, cleaned, shown

_MIXED = re.compile(r"(?P<whole>\d+)(?: |-| - | & )(?P<top>\d+)/(?P<under>\d+)\Z")
_SLASH = re.compile(r"(?P<top>\d+) ?/ ?(?P<under>\d+)\Z")
_FEET = re.compile(r"(?P<feet>\d+) ?(?:'|ft|feet|pies?) ?(?P<rest>.*)\Z", re.IGNORECASE)
_INCHES = re.compile(r" ?(?:\"|''|in\.?|ins|inch(?:es)?|pulg\.?|pulgadas?)\Z", re.IGNORECASE)
_DATE_FORMAT = re.compile(r"(?i)(?<![a-z\"\[])[dmy]{1,4}(?![a-z\]])")
_SIXTEENTHS = 16


def dip(typed: Typed, reader: Reader) -> Read:
    """Read a dip as a depth in the order's unit.

    ``16 1/2`` and ``16-1/2`` are sixteen and a half. ``16/8`` is sixteen and eight sixteenths where the
    order's crew writes sixteenths, and never two. A notation that could be either is read as the order says
    and questioned, or not read at all where the order does not say.
    """
    if isinstance(typed.value, str):
        text = cleaned(typed.value)
        read = dip_in(text, reader) if reader.order.units == "us" else number_in(text, "depth", reader)
        return _off_the_marks(read, reader) if read.trouble == "entry-typed-as-text" else read
    read = number(typed, "depth", reader)
    if not isinstance(read.value, float):
        return read
    if read.value > reader.spans["depth"][1] and _DATE_FORMAT.search(typed.number_format):
        return Read(None, reader.because("fraction_to_date"), "fraction-turned-into-date")
    return _off_the_marks(read, reader)


def dip_in(text: str, reader: Reader) -> Read:
    """:func:`dip` of a text already cleaned, in inches."""
    feet = _FEET.match(text)
    if feet:
        return _feet(feet, reader)
    inches = _INCHES.sub("", text)
    mixed = _MIXED.match(inches)
    if mixed:
        return _mixed(mixed, reader)
    slash = _SLASH.match(inches)
    if slash:
        return _slash(int(slash["top"]), int(slash["under"]), reader)
    return number_in(text, "depth", reader)


def _feet(match: re.Match[str], reader: Reader) -> Read:
    rest = match["rest"].strip(" -")
    inches = dip_in(rest, reader) if rest else Read(0.0)
    if not isinstance(inches.value, float) or inches.value >= 12:
        return reader.unreadable("not_a_dip")
    value = 12 * int(match["feet"]) + inches.value
    how = reader.because("feet_and_inches", value=shown(value))
    return Read(value, how, inches.trouble or "entry-typed-as-text")


def _mixed(match: re.Match[str], reader: Reader) -> Read:
    whole, top, under = int(match["whole"]), int(match["top"]), int(match["under"])
    if under == 0 or top >= under:
        return reader.unreadable("not_a_dip")
    value = whole + top / under
    return Read(value, reader.because("fraction", value=shown(value)), "entry-typed-as-text")


def _slash(top: int, under: int, reader: Reader) -> Read:
    """``a/b`` without a whole number before it."""
    sixteenths = float(top) + under / _SIXTEENTHS if under < _SIXTEENTHS else None
    fraction = top / under if 0 < top < under and under in (2, 4, 8, 16, 32) else None
    if reader.order.reading.dip_notation == "sixteenths":
        if sixteenths is None:
            return reader.unreadable("not_a_dip")
        if fraction is None or fraction < reader.shallowest:
            return Read(sixteenths, reader.because("sixteenths", value=shown(sixteenths)))
        return _either(sixteenths, (sixteenths, fraction), reader)
    if fraction is not None and sixteenths is None:
        return Read(fraction, reader.because("fraction", value=shown(fraction)), "entry-typed-as-text")
    if fraction is not None and sixteenths is not None:
        said = reader.order.reading.dip_notation == "fraction"
        return _either(fraction if said else None, (fraction, sixteenths), reader)
    if sixteenths is not None and under > 0:
        return _either(None, (top / under, sixteenths), reader)
    return reader.unreadable("not_a_dip")


def _either(value: float | None, choices: tuple[float, float], reader: Reader) -> Read:
    both = {"one": shown(choices[0]), "other": shown(choices[1])}
    if value is None:
        return Read(None, reader.because("two_numbers", **both), "ambiguous-dip", choices)
    return Read(value, reader.because("taken", taken=shown(value), **both), "dip-could-be-either", choices)


def _off_the_marks(read: Read, reader: Reader) -> Read:
    """16.8 typed where the crew writes sixteenths: no mark of the stick, but 16/8 with a point is."""
    assert isinstance(read.value, float)
    if reader.order.units == "si" or reader.order.reading.dip_notation != "sixteenths":
        return read
    marks = read.value * _SIXTEENTHS
    # Two decimals of a sixteenth are within 0.005 in of it.
    if abs(marks - round(marks)) <= 0.005 * _SIXTEENTHS + 1e-9:
        return read
    whole, part = f"{read.value:.2f}".rstrip("0").split(".")
    if int(part) >= _SIXTEENTHS:
        return read
    return _either(read.value, (read.value, int(whole) + int(part) / _SIXTEENTHS), reader)
