"""Stations: ``118+50``, ``11850``, ``3+250``; always a distance from the start of the stationing."""

from __future__ import annotations

import re

from sheetgen.reading.numbers import number, number_in
from sheetgen.reading.outcome import Expected, Known, Outcome, Value, short, shown
from sheetgen.units import constants

_LOOKALIKE = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1"})
_PREFIX = re.compile(r"(?i)^(?:sta(?:tion)?|est(?:aci[oó]n)?|km|pk|p\.k|k)\.?\s*(?=[\dO])")
_PLUS = re.compile(
    r"(?P<full>[\dOoIl]+) ?(?P<mark>[+-]) ?(?P<rest>[\dOoIl]+(?:[.,]\d+)?)(?P<feet>(?: ?(?:'|ft\.?|m))?)\Z"
)


def station(value: Value, expected: Expected, known: Known) -> Outcome:
    """Read a station as a distance in the order's unit (``118+50`` is 11,850 ft, ``3+250`` is 3,250 m).

    ``expected`` has the span of the ordered sections. A station given with a unit of length lies in or near them.
    """
    typed = short(value)
    if typed is None:
        return _as_hundreds(number(value, expected, known), expected, known)
    text = _PREFIX.sub("", typed)
    match = _PLUS.match(text)
    read = _with_plus(match, text, expected, known) if match else _without_plus(text, expected, known)
    if text == typed or read.finding or read.value is None:
        return read
    return Outcome(read.value, "station_word", {"value": shown(float(read.value))})


def _without_plus(text: str, expected: Expected, known: Known) -> Outcome:
    if text.startswith("+"):  # the full stations are missing
        return Outcome(None, "not_a_station")
    read = number_in(text, Expected("distance", expected.span), known)
    if read.reason == "remark_in_number" and not _near(read.value, expected, known):
        return Outcome(None, "not_a_station")
    if read.reason in ("own_unit", "converted", "feet_and_inches"):
        return read if _near(read.value, expected, known) else Outcome(None, "station_outside")
    return _as_hundreds(read, expected, known)


def _near(value: Value, expected: Expected, known: Known) -> bool:
    """Whether a distance lies in the ordered sections, or within a station of them."""
    if expected.span is None or not isinstance(value, float):
        return True
    reach = constants(known.system)["station_length"]
    return expected.span[0] - reach <= value <= expected.span[1] + reach


def _with_plus(match: re.Match[str], text: str, expected: Expected, known: Known) -> Outcome:
    length = constants(known.system)["station_length"]
    digits = len(str(int(length))) - 1
    full, rest = match["full"].translate(_LOOKALIKE), match["rest"].translate(_LOOKALIKE).replace(",", ".")
    whole = rest.split(".")[0]
    if len(whole) > digits:
        return Outcome(None, "station_digits", {"digits": digits})
    value = float(full) * length + float(rest)
    if len(whole) < digits and "." not in rest:
        return _short(float(full) * length, rest, digits, expected)
    if re.search(r"[A-Za-z]", match["full"] + match["rest"]):
        return Outcome(value, "letter_for_digit", {"text": text})
    if match["mark"] == "-":
        return Outcome(value, "station_dash", {"value": shown(value)})
    return Outcome(value, "own_unit", {"unit": match["feet"].strip()}) if match["feet"] else Outcome(value)


def _short(start: float, rest: str, digits: int, expected: Expected) -> Outcome:
    """``118+5`` can be 118+05 or 118+50."""
    values = (start + float(rest), start + float(rest.ljust(digits, "0")))
    if values[0] == values[1]:
        return Outcome(values[0])
    low, high = expected.span or values
    possible = [value for value in values if low <= value <= high]
    both = {"one": shown(values[0]), "other": shown(values[1])}
    if len(possible) == 1:
        facts = {"taken": shown(possible[0]), "low": shown(low), "high": shown(high), **both}
        return Outcome(possible[0], "station_by_range", facts, values)
    return Outcome(None, "two_stations", both, values)


def _as_hundreds(read: Outcome, expected: Expected, known: Known) -> Outcome:
    """``118.5`` outside every section means station 118.50 where 11,850 lies in one."""
    if not isinstance(read.value, float) or expected.span is None:
        return read
    low, high = expected.span
    value = round(read.value * constants(known.system)["station_length"], 6)
    if low <= read.value <= high or not low <= value <= high:
        return read
    facts = {"typed": shown(read.value), "value": shown(value)}
    return Outcome(value, "station_in_full", facts, (read.value, value))
