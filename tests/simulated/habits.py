"""Eight ways in which honest people type a paper log into cells. Common practice, no source; words are invented.

A habit takes the sharp values of a simulated log and gives what stands in the cells. Numbers stay numbers unless the
habit writes them as a text; a station is written with its plus sign as the card shows it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from fractions import Fraction
from random import Random

from tests.simulated.days import Log, Value
from tests.simulated.jobs import Job

Habit = Callable[[Log, Job, Random], Log]
_EPOCH = dt.date(1899, 12, 30)
_STATIONS = ("from_station", "to_station")
_TIMES = (("shots", "start"), ("shots", "end"), ("loads", "time"))
_ABOVE = ("date", "section", "lane", "width", "nozzles", "load", "temperature")


def station(value: float, us: bool) -> str:
    """A station with its plus sign."""
    full, rest = divmod(value, 100 if us else 1000)
    return f"{int(full)}+{int(rest):0{2 if us else 3}d}"


def neat(log: Log, job: Job, chance: Random) -> Log:
    """As the card says: numbers as numbers, stations with a plus sign."""
    us = job.order.units == "us"
    return {
        place: station(float(value), us) if place[2] in _STATIONS else value for place, value in log.items()
    }


def short(log: Log, job: Job, chance: Random) -> Log:
    """Writes no more than needed: 8:49a, blanks where nothing counts, small letters, stations as plain numbers."""
    blank = {column for column in ("nozzles", "load", "start", "operator") if chance.random() < 0.4}
    blank |= {"end"} if "start" in blank else set()
    typed = {place: value for place, value in log.items() if place[2] not in blank}
    for place, value in typed.items():
        if place[:1] + place[2:] in _TIMES:
            typed[place] = _half_day(float(value), "a", "p")
        elif place[2] in ("section", "lane", "grade"):
            typed[place] = str(value).lower()
    return typed


def tired(log: Log, job: Job, chance: Random) -> Log:
    """Units, pounds signs, commas and blanks typed into the cells, now so, now so; an O for a 0."""
    us = job.order.units == "us"
    typed = neat(log, job, chance)
    for place, value in log.items():
        if place[2] in _UNITS and isinstance(value, float) and chance.random() < 0.4:
            typed[place] = chance.choice(_UNITS[place[2]][0 if us else 1])(value)
        elif place[2] in _STATIONS and chance.random() < 0.2:
            typed[place] = typed[place].replace("+", " + ") if isinstance(typed[place], str) else value
        elif isinstance(typed[place], str) and chance.random() < 0.2:
            typed[place] = f" {typed[place]} "
    return typed


def fractions(log: Log, job: Job, chance: Random) -> Log:
    """The stick in fractions of an inch, in one of the ways people write them; widths in feet and inches."""
    typed = neat(log, job, chance)
    if job.order.units != "us":
        return typed
    write = chance.choice(("{whole} {part}", "{whole}-{part}", '{whole} {part}"', "{whole} {part} in"))
    for place, value in log.items():
        if place[2] in ("dip_before", "dip_after", "start_dip", "end_dip"):
            whole, part = divmod(Fraction(float(value)), 1)
            sign = '"' if write.endswith('"') else ""
            typed[place] = write.format(whole=whole, part=part) if part else f"{whole}{sign}"
        elif place[2] == "width":
            typed[place] = f"{float(value):g}'"
    return typed


def five(log: Log, job: Job, chance: Random) -> Log:
    """Every time to five minutes."""
    return _clock_of(5, neat(log, job, chance))


def quarter(log: Log, job: Job, chance: Random) -> Log:
    """Every time to the quarter of an hour."""
    return _clock_of(15, neat(log, job, chance))


def ditto(log: Log, job: Job, chance: Random) -> Log:
    """A mark wherever the row above says the same; one sort of mark a book."""
    mark = chance.choice(DITTOS)
    typed = neat(log, job, chance)
    for (table, row, column), value in log.items():
        if table == "shots" and column in _ABOVE and log.get((table, row - 1, column)) == value:
            typed[table, row, column] = mark
    return typed


def spanish(log: Log, job: Job, chance: Random) -> Log:
    """Decimal commas, 7.45 h and a. m., 3/6/2026 or 3 de junio, sí and no, units and marks of its own."""
    typed, us = neat(log, job, chance), job.order.units == "us"
    clock = chance.choice((_dotted, _spanish_half_day, _hours))
    date = chance.choice((_named_date, _named_date, _spanish_date))
    for place, value in log.items():
        if place[:1] + place[2:] in _TIMES:
            typed[place] = clock(float(value))
        elif place[2] == "date":
            typed[place] = date(float(value))
        elif isinstance(value, float) and not value.is_integer() and not place[2].startswith("meter"):
            typed[place] = f"{value:g}".replace(".", ",")
        elif place[2] in ("temperature", "start_temperature", "end_temperature") and chance.random() < 0.3:
            typed[place] = f"{value:g} {'°F' if us else '°C'}"
        elif place[2] in ("section", "lane") and log.get((place[0], place[1] - 1, place[2])) == value:
            typed[place] = chance.choice(("íd.", "ídem", "igual", value))
    return typed


HABITS: dict[str, Habit] = {
    "neat": neat, "short": short, "tired": tired, "fractions": fractions, "five-minute clock": five,
    "quarter-hour clock": quarter, "ditto": ditto, "Spanish": spanish,
}  # fmt: skip
DITTOS = (
    '"', "''", "ditto", "Do.", "do", "same", "id.", "idem", "íd.", "ídem", "〃", "″", "-\"-", "--\"--", "”", ",,",
    "as above", "igual", "lo mismo", "↓", "|", "same as above", "»", "''  ''", "“ ”", "SAME",
    '" "',
)  # fmt: skip


def _grouped(unit: str) -> Callable[[float], Value]:
    return lambda value: f"{value:,.0f}{unit}"


def _with(unit: str) -> Callable[[float], Value]:
    return lambda value: f"{value:g}{unit}"


def _letter(value: float) -> Value:
    return f"{value:g}".replace("0", "O")


_UNITS: dict[str, tuple[tuple[Callable[[float], Value], ...], tuple[Callable[[float], Value], ...]]] = {
    "net_mass": ((_grouped("#"), _grouped(" lbs"), _grouped(" #"), _grouped("")), (_grouped(" kg"), _with("kg"))),
    "volume": ((_with(" gal"), _with("gal."), _with(" gals")), (_with(" L"), _with(" lts"))),
    "meter_before": ((_grouped(" gal"), _grouped(""), _with("gal")), (_with(" L"), _with(" l"))),
    "meter_after": ((_grouped(" gal"), _grouped(""), _with(" gal")), (_with(" L"), _with("L"))),
    "temperature": ((_with("F"), _with("°"), _with(" deg F"), _with(" degrees")), (_with("°C"), _with(" C"))),
    "start_temperature": ((_with("F"), _with("°")), (_with("°C"), _with(" °C"))),
    "end_temperature": ((_with("F"), _with("° F")), (_with("°C"), _with("ºC"))),
    "air_temperature": ((_with("F"), _with("°")), (_with("°C"), _with("ºC"))),
    "dip_before": ((_with('"'), _with(" in"), _with(" in.")), (_with(" mm"), _with("mm"))),
    "dip_after": ((_with('"'), _with("in"), _with(" inches")), (_with(" mm"), _with("mm"))),
    "width": ((_with("'"), _with(" ft"), _with("ft.")), (_with(" m"), _with("m"))),
    "nozzles": ((_with(""), _with(" noz")), (_with(""),)),
    "water": ((_with(" gal"), _with(" gal water")), (_with(" L"), _with(" L agua"))),
}  # fmt: skip


def _half_day(part: float, morning: str, evening: str) -> str:
    minutes = round(part * 1440)
    return f"{(minutes // 60 + 11) % 12 + 1}:{minutes % 60:02d}{morning if minutes < 720 else evening}"


def _spanish_half_day(part: float) -> str:
    return _half_day(part, " a. m.", " p. m.")


def _dotted(part: float) -> str:
    minutes = round(part * 1440)
    return f"{minutes // 60}.{minutes % 60:02d} h"


def _hours(part: float) -> str:
    minutes = round(part * 1440)
    return f"{minutes // 60:02d}h{minutes % 60:02d}"


def _spanish_date(day: float) -> str:
    date = _EPOCH + dt.timedelta(day)
    return f"{date.day}/{date.month}/{date.year}"


def _named_date(day: float) -> str:
    date = _EPOCH + dt.timedelta(day)
    months = ("enero", "feb.", "marzo", "abril", "mayo", "junio", "julio")
    return f"{date.day} de {months[date.month - 1]} de {date.year}"


def _clock_of(step: int, log: Log) -> Log:
    for place, value in log.items():
        if place[:1] + place[2:] in _TIMES:
            log[place] = round(float(value) * 1440 / step) * step / 1440
    return log
