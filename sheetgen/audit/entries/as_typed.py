"""What a book's own formulas make of entries that only a person can read: ``350 F``, ``12 ft``, a date as text.

A spreadsheet's formula takes a number as a number and a text as a text. Where the recheck reads more than that, the
book's result is blank or leaves the row out, and neither side is at fault. :func:`views` gives the entries as the
formulas take them; what is computed from those, with the recheck's own arithmetic, is what an untouched book shows.
Any other value in such a row is still a value that nobody's entry explains.

Spreadsheet programs differ in two things, and each combination of them is one view: what ``VALUE`` makes of a text
that is no plain number (ECMA-376 part 1, 18.17.7.342, leaves it to the user's locale), and whether a criterion
matches a date typed as text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from sheetgen import templates
from sheetgen.audit.model import Entry
from sheetgen.columns import ASIDE, Column, entry_columns
from sheetgen.ditto_marks import ditto_marks
from sheetgen.figures import LAST_DAY
from sheetgen.order.model import Order
from sheetgen.reading.dates import EARLIEST_SERIAL, FROM_1904
from sheetgen.reading.numbers import PARTS
from sheetgen.reading.outcome import LONGEST
from sheetgen.units import constants
from sheetgen.xlsx.returned import Value, is_number

_PLAIN = re.compile(r"\s*[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d{1,3})?\s*")
_GROUPED = re.compile(r"\s*[+-]?\d{1,3}(?:,\d{3})+(?:\.\d*)?\s*")
_DIGITS = re.compile(r"\d+(?:\.\d*)?|\.\d+")
_INCHES = re.compile(r"(\d+(?:\.\d+)?) (\d+)/(\d+)")
_SPOKEN = re.compile(r"\d{1,2}:\d{2}[AP]?|\d{3,4}:?|\d{1,2}:|\d{1,4}[AP]")
# How the formulas rewrite a time and a quantity, one after the other (macros "said", "pounds" and "gallons").
_TIME_SIGNS = (
    (" ", ""),
    (".M", "M"),
    ("M.", "M"),
    ("S.", "S"),
    ("H.", "H"),
    ("AM", "A"),
    ("PM", "P"),
    ("HRS", "H"),
    ("HS", "H"),
)
_SIGNS = {
    ("us", "mass"): (("LBS", "LB"), ("LB.", "LB"), ("LB", "")),
    ("si", "mass"): (("KGS", "KG"), ("KG.", "KG"), ("KG", "")),
    ("us", "volume"): (("GALS", "GAL"), ("GAL.", "GAL"), ("GAL", "")),
    ("si", "volume"): (("LTS", "L"), ("LT", "L"), ("L.", "L"), ("L", "")),
}
_THOUSAND = 3  # digits
_FRACTION = re.compile(r"\s*(\d+) (\d+)/(\d+)\s*")
_SIXTEENTHS = 16
_REST_OF_STATION, _REST_OF_DIP = 10, 5  # characters that the book's formulas take after "+" and "/"


def _plain(text: str) -> float | None:
    """A plain number, as every program's ``VALUE`` takes it."""
    return float(text) if len(text) <= LONGEST and _PLAIN.fullmatch(text) else None


def _with_commas(text: str) -> float | None:
    """The same where a comma sets thousands apart and a fraction is understood."""
    if len(text) > LONGEST:
        return None
    if fraction := _FRACTION.fullmatch(text):
        whole, top, under = (int(part) for part in fraction.groups())
        return whole + top / under if under else None
    return _plain(text.replace(",", "") if _GROUPED.fullmatch(text) else text)


def _with_decimal_comma(text: str) -> float | None:
    """The same where a comma is the decimal sign."""
    return _with_commas(text.translate(str.maketrans(",.", ".,")))


@dataclass(frozen=True, slots=True)
class _View:
    """One way in which programs take texts."""

    number_of: Callable[[str], float | None]
    text_dates_match: bool


_VIEWS = tuple(
    _View(number_of, match)
    for match in (False, True)
    for number_of in (_plain, _with_commas, _with_decimal_comma)
)


def views(entries: Iterable[Entry], order: Order) -> list[list[Entry]]:
    """The entries as the book's formulas take them, one list for each way that changes anything.

    An entry that formulas cannot use is unreadable in it: no value, and a trouble. Empty where every entry is a
    number where the recheck read that number, or a word where it read that word: then the book has no excuse.
    """
    known = list(entries)
    found: list[list[Entry]] = []
    for view in _VIEWS:
        taken = _all_taken(known, view, order)
        differs = any(_unlike(one, other) for one, other in zip(known, taken, strict=True))
        if differs and taken not in found:
            found.append(taken)
    return found


def _all_taken(entries: list[Entry], view: _View, order: Order) -> list[Entry]:
    """Every entry as formulas take it; a mark, and some blanks of the shot log, as the row above that is not void."""
    above: dict[tuple[str, str], Value] = {}
    passed = _passed(entries, view, order)
    taken = []
    for entry in entries:
        column = entry_columns(entry.table).get(entry.column)
        one = _taken(entry, view, order)
        if entry.table in ("shots", "loads") and column is not None and column.computed:
            if source := _from_above(entry, column):
                one = replace(entry, value=above.get((entry.table, source)), trouble=entry.trouble)
            if (entry.table, entry.row) not in passed or column.key == "kind":
                above[entry.table, entry.column] = one.value
        taken.append(one)
    return taken


def _passed(entries: list[Entry], view: _View, order: Order) -> set[tuple[str, int]]:
    """Rows that are above no other row: void, or with a remark alone."""
    filled = [entry for entry in entries if entry.raw is not None]
    kinds = [each for each in filled if each.column == "kind" and each.table in ("shots", "loads")]
    void = {(each.table, each.row) for each in kinds if _kind(each, view, order) == "void"}
    said = {(each.table, each.row) for each in filled if each.column not in ASIDE}
    return void | {(each.table, each.row) for each in filled} - said


def _from_above(entry: Entry, column: Column) -> str:
    """The column of the row above that formulas look at: for a mark, or a blank that the recheck took so too."""
    if entry.raw is None or entry.raw == "":
        return "" if entry.value is None else column.key if column.carried else column.follows
    mark = column.ditto and isinstance(entry.raw, str) and entry.raw.casefold() in ditto_marks()
    return column.key if mark else ""


def not_as_read(entries: Iterable[Entry], taken: Iterable[Entry]) -> Iterator[tuple[Entry, Entry]]:
    """The entries that the formulas take otherwise than the recheck reads them, each with how they are taken."""
    return ((one, other) for one, other in zip(entries, taken, strict=True) if _unlike(one, other))


def _unlike(one: Entry, other: Entry) -> bool:
    return (one.value, one.value is None and bool(one.trouble)) != (
        other.value,
        other.value is None and bool(other.trouble),
    )


def _taken(entry: Entry, view: _View, order: Order) -> Entry:
    column = entry_columns(entry.table).get(entry.column)
    if column is None or not column.computed:
        return entry
    if entry.raw is None or entry.raw == "":  # blank, whatever it was merged into
        return replace(entry, value=None, trouble="")
    reading = "quantity" if column.sign else "degrees" if column.unit == "temperature" else column.reading
    value = _READINGS.get(reading, _as_read)(entry, view, order)
    unusable = value is None and entry.column not in ("kind", "volume_at", "returned")
    return replace(entry, value=value, trouble="unreadable-entry" if unusable else "")


def _number(entry: Entry, _: _View, __: Order) -> Value:
    """A number is one; a text is none, whatever a person reads in it."""
    return float(entry.raw) if is_number(entry.raw) else None


def _date(entry: Entry, view: _View, _: Order) -> Value:
    """Days are matched by their number, which is the same in both logs where days are counted from 1904."""
    if is_number(entry.raw):
        day = entry.value if entry.value == entry.raw + FROM_1904 else entry.raw
        return day if 0 <= day <= LAST_DAY else None
    return entry.value if view.text_dates_match and entry.table != "days" else None


def _station(entry: Entry, view: _View, order: Order) -> Value:
    if not isinstance(entry.raw, str):
        return _number(entry, view, order)
    full, plus, rest = entry.raw.partition("+")
    parts = view.number_of(full), view.number_of(rest[:_REST_OF_STATION])
    if not plus or parts[0] is None or parts[1] is None:
        return None
    return parts[0] * constants(order.units)["station_length"] + parts[1]


def _dip(entry: Entry, view: _View, order: Order) -> Value:
    sixteenths = order.units == "us" and order.reading.dip_notation == "sixteenths"
    if not isinstance(entry.raw, str) or order.units != "us":
        return _number(entry, view, order)
    if not sixteenths:
        return _in_inches(" ".join(entry.raw.removesuffix('"').removesuffix("”").split()))
    inches, slash, under = entry.raw.partition("/")
    if not slash:
        return view.number_of(entry.raw)
    parts = view.number_of(inches), view.number_of(under[:_REST_OF_DIP])
    return None if parts[0] is None or parts[1] is None else parts[0] + parts[1] / _SIXTEENTHS


def _in_inches(text: str) -> float | None:
    if match := _INCHES.fullmatch(text):
        whole, top, under = float(match[1]), int(match[2]), int(match[3])
        return whole + top / under if under in PARTS and top < under else None
    return _digits(text)


def _digits(text: str) -> float | None:
    """A number without sign or grouping, its point a decimal one in every program."""
    return float(text) if len(text) <= LONGEST and _DIGITS.fullmatch(text) else None


def _degrees(entry: Entry, view: _View, order: Order) -> Value:
    if not isinstance(entry.raw, str):
        return _number(entry, view, order)
    sign = "F" if order.units == "us" else "C"
    return _digits(entry.raw.upper().replace(sign, "").replace("°", "").strip())


def _quantity(entry: Entry, view: _View, order: Order) -> Value:
    """A number, or digits with the sign of the unit; three of them behind a mark can be thousands."""
    if not isinstance(entry.raw, str):
        return _number(entry, view, order)
    column = entry_columns(entry.table)[entry.column]
    text = _rewritten(entry.raw, ((" ", ""), *_SIGNS[order.units, column.unit], (",", ".")))
    if "." not in text or len(text) - text.index(".") - 1 != _THOUSAND:
        return _digits(text)
    return _digits(text.replace(".", "")) if "," in entry.raw and column.possible[0] else None


def _time(entry: Entry, view: _View, order: Order) -> Value:
    """A time, or what the reader makes of digits without a colon and of a text that is a time; no time of a date."""
    if not isinstance(entry.raw, str):
        value = _number(entry, view, order)
        return None if isinstance(value, float) and value >= EARLIEST_SERIAL else entry.value
    said = _rewritten(entry.raw, (*_TIME_SIGNS, ("H", "" if ":" in entry.raw else ":")))
    return entry.value if _SPOKEN.fullmatch(said) else None


def _rewritten(text: str, changes: Iterable[tuple[str, str]]) -> str:
    """A text in capitals with one piece after the other replaced."""
    text = text.upper()
    for old, new in changes:
        text = text.replace(old, new)
    return text


def _section(entry: Entry, _: _View, order: Order) -> Value:
    """A name is looked up whatever its case, with every space that it was typed with."""
    if not isinstance(entry.raw, str):
        return None
    typed = entry.raw.casefold()
    return next((each.id for each in order.sections if each.id.casefold() == typed), entry.raw)


def _kind(entry: Entry, _: _View, order: Order) -> Value:
    """Only the words of the list are known; anything else that was typed is the first of them, as a blank is."""
    say, choices = (
        templates.texts(order.language, order.units),
        entry_columns(entry.table)[entry.column].choices,
    )
    typed = entry.raw.casefold() if isinstance(entry.raw, str) else ""
    return next((key for key in choices if say[f"words.{key}"].casefold() == typed), choices[0])


def _as_read(entry: Entry, _: _View, __: Order) -> Value:
    """A word that formulas compare as it stands."""
    return entry.value


_READINGS: dict[str, Callable[[Entry, _View, Order], Value]] = {
    "number": _number,
    "count": _number,
    "time": _time,
    "degrees": _degrees,
    "quantity": _quantity,
    "date": _date,
    "station": _station,
    "dip": _dip,
    "section": _section,
    "kind": _kind,
}
