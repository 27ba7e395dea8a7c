"""Stations: ``118+50``, ``11850``, ``3+250``; always a distance from the start of the stationing."""

from __future__ import annotations

import re

from sheetgen.reading.numbers import number, number_in
from sheetgen.reading.typed import Read, Reader, Typed, cleaned, shown
from sheetgen.units import constants

_LOOKALIKE = str.maketrans({"O": "0", "o": "0", "I": "1", "l": "1"})
_PREFIX = re.compile(r"(?i)^(?:sta(?:tion)?|est(?:aci[oó]n)?|km|pk|p\.k|k)\.?\s*(?=[\dO])")
_PLUS = re.compile(r"(?P<full>[\dOoIl]+) ?(?P<mark>[+-]) ?(?P<rest>[\dOoIl]+(?:[.,]\d+)?)\Z")


def station(typed: Typed, reader: Reader) -> Read:
    """Read a station as a distance in the order's unit (``118+50`` is 11,850 ft, ``3+250`` is 3,250 m)."""
    if not isinstance(typed.value, str):
        return _as_hundreds(number(typed, "station", reader), reader)
    typed_text = cleaned(typed.value)
    text = _PREFIX.sub("", typed_text)
    match = _PLUS.match(text)
    read = (
        _with_plus(match, text, reader) if match else _as_hundreds(number_in(text, "station", reader), reader)
    )
    if text == typed_text or read.trouble or read.value is None:
        return read
    return Read(
        read.value, reader.because("station_word", value=shown(float(read.value))), "entry-typed-as-text"
    )


def _with_plus(match: re.Match[str], text: str, reader: Reader) -> Read:
    length = constants(reader.order.units)["station_length"]
    digits = len(str(int(length))) - 1
    full, rest = match["full"].translate(_LOOKALIKE), match["rest"].translate(_LOOKALIKE).replace(",", ".")
    whole = rest.split(".")[0]
    if len(whole) > digits:
        return reader.unreadable("station_digits", digits=digits)
    value = float(full) * length + float(rest)
    if len(whole) < digits and "." not in rest:
        return _short(float(full) * length, rest, digits, reader)
    if re.search(r"[A-Za-z]", text):
        return Read(value, reader.because("letter_for_digit", text=text), "letter-typed-for-digit")
    if match["mark"] == "-":
        return Read(value, reader.because("station_dash", value=shown(value)), "entry-typed-as-text")
    return Read(value)


def _short(start: float, rest: str, digits: int, reader: Reader) -> Read:
    """``118+5`` can be 118+05 or 118+50."""
    values = (start + float(rest), start + float(rest.ljust(digits, "0")))
    if values[0] == values[1]:
        return Read(values[0])
    low, high = reader.spans["station"]
    possible = [value for value in values if low <= value <= high]
    both = {"one": shown(values[0]), "other": shown(values[1])}
    if len(possible) == 1:
        how = reader.because("by_range", taken=shown(possible[0]), low=shown(low), high=shown(high), **both)
        return Read(possible[0], how, "station-read-by-range", values)
    return Read(None, reader.because("two_numbers", **both), "ambiguous-station", values)


def _as_hundreds(read: Read, reader: Reader) -> Read:
    """``118.5`` outside every section means station 118.50 where 11,850 lies in one."""
    if not isinstance(read.value, float):
        return read
    low, high = reader.spans["station"]
    value = round(read.value * constants(reader.order.units)["station_length"], 6)
    if low <= read.value <= high or not low <= value <= high:
        return read
    how = reader.because("station_in_full", typed=shown(read.value), value=shown(value))
    return Read(value, how, "station-read-by-range", (read.value, value))
