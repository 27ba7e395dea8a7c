"""Readings of the measuring stick: decimals, fractions, or inches and sixteenths as the order says."""

from __future__ import annotations

import re

from sheetgen.reading.numbers import PARTS, mixed, number, number_in
from sheetgen.reading.outcome import Expected, Known, Outcome, Value, short, shown

_MIXED = re.compile(r"(?P<whole>\d+)(?: |-| - | & )(?P<top>\d+) ?/ ?(?P<under>\d+)\Z")
_SLASH = re.compile(r"(?P<top>\d+) ?/ ?(?P<under>\d+)\Z")
_INCHES = re.compile(r" ?(?:\"|''|in\.?|ins|inch(?:es)?|pulg\.?|pulgadas?)\Z", re.IGNORECASE)
_DATE_FORMAT = re.compile(r"(?i)(?<![a-z\"\[])[dmy]{1,4}(?![a-z\]])")
_SIXTEENTHS = 16


def dip(value: Value, number_format: str, expected: Expected, known: Known) -> Outcome:
    """Read a depth in the order's unit.

    ``16 1/2`` and ``16-1/2`` are sixteen and a half. ``16/8`` is sixteen and eight sixteenths where the
    order's crew writes sixteenths, and never two. A notation that could be either is read as the order says
    and questioned, or not read at all where the order does not say.
    """
    text = short(value)
    if text is not None:
        read = _in_inches(text, expected, known) if known.system == "us" else number_in(text, expected, known)
        return _off_the_marks(read, known) if read.reason in ("text_number", "own_unit") else read
    read = number(value, expected, known)
    if not isinstance(read.value, float):
        return read
    if expected.span and read.value > expected.span[1] and _DATE_FORMAT.search(number_format):
        return Outcome(None, "fraction_to_date")
    return _off_the_marks(read, known)


def _in_inches(text: str, expected: Expected, known: Known) -> Outcome:
    inches = _INCHES.sub("", text)
    if match := _MIXED.match(inches):
        value = mixed(match)
        if value is None:
            return Outcome(None, "not_a_dip")
        return Outcome(value, "fraction", {"value": shown(value)})
    if match := _SLASH.match(inches):
        return _slash(int(match["top"]), int(match["under"]), known)
    return number_in(text, expected, known)


def _slash(top: int, under: int, known: Known) -> Outcome:
    """``a/b`` without a whole number before it."""
    sixteenths = float(top) + under / _SIXTEENTHS if under < _SIXTEENTHS else None
    fraction = top / under if 0 < top < under and under in PARTS else None
    if known.notation == "sixteenths":
        if sixteenths is None:
            return Outcome(None, "not_a_dip")
        if fraction is None or fraction < known.shallowest:
            return Outcome(sixteenths, "sixteenths", {"value": shown(sixteenths)})
        return _either(sixteenths, (sixteenths, fraction))
    if fraction is not None and sixteenths is None:
        return Outcome(fraction, "fraction", {"value": shown(fraction)})
    if fraction is not None and sixteenths is not None:
        return _either(fraction if known.notation == "fraction" else None, (fraction, sixteenths))
    if sixteenths is not None and under > 0:
        return _either(None, (top / under, sixteenths))
    return Outcome(None, "not_a_dip")


def _either(value: float | None, choices: tuple[float, float]) -> Outcome:
    both = {"one": shown(choices[0]), "other": shown(choices[1])}
    if value is None:
        return Outcome(None, "two_depths", both, choices)
    return Outcome(value, "taken", {"taken": shown(value), **both}, choices)


def _off_the_marks(read: Outcome, known: Known) -> Outcome:
    """16.8 typed where the crew writes sixteenths: no mark of the stick, but 16/8 with a point is."""
    if known.system == "si" or known.notation != "sixteenths" or not isinstance(read.value, float):
        return read
    marks = read.value * _SIXTEENTHS
    # Two decimals of a sixteenth are within 0.005 in of it.
    if abs(marks - round(marks)) <= 0.005 * _SIXTEENTHS + 1e-9:
        return read
    whole, part = f"{read.value:.2f}".rstrip("0").split(".")
    if int(part) >= _SIXTEENTHS:
        return read
    return _either(read.value, (read.value, int(whole) + int(part) / _SIXTEENTHS))
