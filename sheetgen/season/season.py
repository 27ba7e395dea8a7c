"""A season as tables: books, shots, days, comparisons, readings and calibrations of every book that counts."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

import pandas as pd

from sheetgen.figures import date_of
from sheetgen.plausibility import plausibility
from sheetgen.reading.words import bare
from sheetgen.season.facts import BookFacts, facts_of
from sheetgen.season.statistics import Mean, mean_of
from sheetgen.units import converted, units

if TYPE_CHECKING:
    from sheetgen.register.lists import KeptReturn
    from sheetgen.register.register import Register

DIMENSIONS = ("distributor", "operator", "supplier", "material")
_FRAMES: dict[str, tuple[str, ...]] = {
    "books": ("distributor", "material", "file", "identity", "job", "number", "first", "last", "conclusion", "error",
              "query", "note", "payable", "paid_mass", "paid_area", "amount", "currency", "known", "invented"),
    "shots": ("book", *DIMENSIONS, "date", "base", "area", "due", "deviation", "out"),
    "days": ("book", "distributor", "operator", "material", "suppliers", "date", "loaded", "unexplained"),
    "comparisons": ("book", *DIMENSIONS, "pair", "date", "first", "second", "difference", "relative", "slip"),
    "readings": ("book", "distributor", "operator", "material", "instrument", "mark", "marks", "step"),
    "calibrations": ("book", "distributor", "kind", "date", "result"),
}  # fmt: skip


class Terms(NamedTuple):
    """What a season is looked at with.

    Attributes:
        begins, ends: a book counts where its first day of work lies between them; None for no bound
        material: differences up to this part are not said, however certain they are
    """

    begins: dt.date | None = None
    ends: dt.date | None = None
    material: float = plausibility()["season_material"]

    @property
    def bounded(self) -> bool:
        """Whether a book can lie outside."""
        return self.begins is not None or self.ends is not None


@dataclass(frozen=True)
class Season:
    """The books of a season; volumes and areas in the units of ``system``.

    Attributes:
        terms, system: what it is looked at with, "us" or "si"
        issued: books that the register says were issued, in and out of the period
        superseded: returns that a later one has taken the place of: they do not count
        outside: books outside the period, or without any date where there is one
        books, shots, days, comparisons, readings, calibrations: pandas tables, one row each; ``book`` in the others is
            the row of ``books``
    """

    terms: Terms
    system: str
    issued: int
    superseded: int
    outside: int
    books: pd.DataFrame
    shots: pd.DataFrame = field(repr=False)
    days: pd.DataFrame = field(repr=False)
    comparisons: pd.DataFrame = field(repr=False)
    readings: pd.DataFrame = field(repr=False)
    calibrations: pd.DataFrame = field(repr=False)

    def names(self, dimension: str) -> list[str]:
        """The distributors, operators, suppliers or materials of the season, by name; "" where it is not stated."""
        frames = (self.books, self.shots, self.days)
        stated = {name for frame in frames if dimension in frame for name in frame[dimension]}
        return sorted(stated | {*filter(None, self.comparisons[dimension])})

    def compared(self, **wanted: str) -> pd.DataFrame:
        """Comparisons that count, such as ``pair="tickets-stick", supplier="A"``; none that is a slip."""
        found = self.comparisons[~self.comparisons["slip"].astype(bool)]
        for column, value in wanted.items():
            found = found[found[column] == value]
        return found


def season_of(register: Register, terms: Terms | None = None) -> Season:
    """Gather the season of a register: the last return of each book, once.

    Raises:
        RegisterError: the register cannot be read.
    """
    issued, _ = register.listed()
    return gathered(register.kept_returns(), terms or Terms(), len(issued))


def gathered(kept: Iterable[KeptReturn], terms: Terms, issued: int = 0) -> Season:
    """The season of returns, each the last of its book."""
    found = [facts_of(each) for each in kept]
    inside = [book for book in found if _inside(book, terms)]
    system = _system(inside)
    rows = _Rows(inside, system)
    return Season(
        terms, system, issued, sum(_kept(book).number - 1 for book in inside), len(found) - len(inside),
        *(_frame(name, getattr(rows, name)()) for name in _FRAMES),
    )  # fmt: skip


def _kept(book: BookFacts) -> KeptReturn:
    assert book.kept is not None  # it is set for every book of a register
    return book.kept


def _inside(book: BookFacts, terms: Terms) -> bool:
    if not terms.bounded:
        return True
    if book.dates is None:
        return False
    day = date_of(book.dates[0])
    return (terms.begins is None or day >= terms.begins) and (terms.ends is None or day <= terms.ends)


def _system(books: Sequence[BookFacts]) -> str:
    """The unit system of most books."""
    counted = Counter(_kept(book).units for book in books)
    return max(sorted(counted, reverse=True), key=lambda each: counted[each], default="us")


def _frame(name: str, rows: list[dict[str, Any]]) -> pd.DataFrame:
    return pd.DataFrame(rows, columns=list(_FRAMES[name]))


class _Rows:
    """The rows of the tables, names in one spelling and volumes in one unit."""

    def __init__(self, books: Sequence[BookFacts], system: str) -> None:
        self._books = list(enumerate(books))
        own, sizes = units(system), {each: units(each) for each in {_kept(book).units for book in books}}
        self._volume, self._area, self._mass = (
            {each: converted(1.0, one[kind].name, own[kind].name) for each, one in sizes.items()}
            for kind in ("volume", "area", "large_mass")
        )
        self._distributor = _distributors(books)
        self._operator = _spelling(day.operator for book in books for day in book.days)
        self._supplier = _spelling(name for book in books for name in _suppliers(book))
        self._material = _spelling(book.material for book in books)

    def _common(self, place: int, book: BookFacts) -> dict[str, Any]:
        machine = self._distributor(_machine(_kept(book)))
        return {"book": place, "distributor": machine, "material": self._material(book.material)}

    def books(self) -> list[dict[str, Any]]:
        return [self._common(place, book) | self._book(book) for place, book in self._books]

    def _book(self, book: BookFacts) -> dict[str, Any]:
        kept = _kept(book)
        first, last = book.dates or (None, None)
        payable = kept.overall.get("payable")
        return {
            "file": kept.path.replace("\\", "/").rsplit("/", 1)[-1], "identity": kept.identity, "job": kept.job,
            "number": kept.number, "first": first, "last": last, "conclusion": kept.conclusion,
            **{severity: kept.counts.get(severity, 0) for severity in ("error", "query", "note")},
            "payable": None if payable is None else payable * self._volume[kept.units],
            "paid_mass": (kept.overall.get("paid_mass") or 0.0) * self._mass[kept.units],
            "paid_area": (kept.overall.get("paid_area") or 0.0) * self._area[kept.units],
            "amount": kept.overall.get("amount"), "currency": book.currency,
            "known": book.known, "invented": book.invented,
        }  # fmt: skip

    def shots(self) -> list[dict[str, Any]]:
        return [
            self._common(place, book) | {
                "operator": self._operator(shot.operator), "supplier": self._supplier(shot.supplier),
                "date": shot.date, "base": shot.base * volume,
                "area": shot.area * self._area[_kept(book).units],
                "due": None if shot.due is None else shot.due * volume, "deviation": shot.deviation, "out": shot.out,
            }
            for place, book in self._books
            for volume in [self._volume[_kept(book).units]]
            for shot in book.shots
        ]  # fmt: skip

    def days(self) -> list[dict[str, Any]]:
        return [
            self._common(place, book) | {
                "operator": self._operator(day.operator), "date": day.date,
                "suppliers": tuple(self._supplier(each) for each in day.suppliers), "loaded": day.loaded * volume,
                "unexplained": None if day.unexplained is None else day.unexplained * volume,
            }
            for place, book in self._books
            for volume in [self._volume[_kept(book).units]]
            for day in book.days
        ]  # fmt: skip

    def comparisons(self) -> list[dict[str, Any]]:
        beyond = plausibility()["season_slip"]
        return [
            self._common(place, book) | {
                "operator": self._operator(each.operator), "supplier": self._supplier(each.supplier),
                "pair": each.pair, "date": each.date, "first": each.first * volume, "second": each.second * volume,
                "difference": (each.first - each.second) * volume, "relative": relative,
                "slip": abs(relative) > beyond,
            }
            for place, book in self._books
            for volume in [self._volume[_kept(book).units]]
            for each in book.comparisons
            for relative in [each.first / each.second - 1 if each.second > 0 else float("inf")]
        ]  # fmt: skip

    def readings(self) -> list[dict[str, Any]]:
        return [
            self._common(place, book) | each._asdict() | {"operator": self._operator(each.operator)}
            for place, book in self._books
            for each in book.readings
        ]

    def calibrations(self) -> list[dict[str, Any]]:
        return [
            self._common(place, book) | each._asdict()
            for place, book in self._books
            for each in book.calibrations
        ]


def _suppliers(book: BookFacts) -> Iterable[str]:
    yield from (shot.supplier for shot in book.shots)
    yield from (name for day in book.days for name in day.suppliers)
    yield from (each.supplier for each in book.comparisons)


def _machine(kept: KeptReturn) -> tuple[str, str, str]:
    return kept.machine, kept.serial, kept.contractor


def _distributors(books: Sequence[BookFacts]) -> Callable[[tuple[str, str, str]], str]:
    """One name for each distributor: by its serial number, else by name and contractor; both where names agree."""
    machines = [_machine(_kept(book)) for book in books]
    usual = {
        _key(each): Counter(one[0] for one in machines if _key(one) == _key(each)).most_common(1)[0][0]
        for each in machines
    }
    shared = Counter(bare(name) for name in usual.values())

    def label(machine: tuple[str, str, str]) -> str:
        name = usual[_key(machine)]
        return f"{name} ({machine[1] or machine[2]})" if shared[bare(name)] > 1 else name

    return label


def _key(machine: tuple[str, str, str]) -> Hashable:
    name, serial, contractor = map(bare, machine)
    return ("serial", serial) if serial else ("name", name, contractor)


def _spelling(names: Iterable[str]) -> Callable[[str], str]:
    """Names that differ in case, spaces and points alone are one name, spelled as most often."""
    counted: dict[str, Counter[str]] = {}
    for name in names:
        counted.setdefault(bare(name), Counter())[name] += 1
    usual = {key: sorted(each, key=lambda name: (-each[name], name))[0] for key, each in counted.items()}
    return lambda name: usual.get(bare(name), name)


def points_of(shots: pd.DataFrame) -> pd.DataFrame:
    """Deviation of what was sprayed from what was ordered, one point for each day of a book, in the order of days."""
    judged = shots[shots["due"].notna() & shots["date"].notna()]
    if judged.empty:
        return pd.DataFrame({"book": [], "date": [], "deviation": []})
    sums = judged.groupby(["date", "book"], as_index=False)[["base", "due"]].sum()
    return sums.assign(deviation=sums["base"] / sums["due"] - 1)


class Group(NamedTuple):
    """One distributor, operator, supplier or material.

    Attributes:
        books, days, shots: how many; days are days of a book
        volume, area: sprayed, at base temperature, with its water
        deviation: from the ordered rate, over the days of books; None where no rate was judged
        out: shots out of tolerance as a part of those judged
        biases: by pair, relative differences of what was measured in two ways
        unexplained, share: of all days, and as a part of what was loaded; None where it is not known by this dimension
        error, query: findings of its books
    """

    name: str
    books: int
    days: int
    shots: int
    volume: float
    area: float
    deviation: Mean | None
    out: float | None
    biases: dict[str, Mean]
    unexplained: float | None
    share: float | None
    error: int
    query: int


def groups_of(season: Season, dimension: str) -> list[Group]:
    """The groups of a dimension, by name."""
    return [_group(season, dimension, name) for name in season.names(dimension)]


def _group(season: Season, dimension: str, name: str) -> Group:
    shots = season.shots[season.shots[dimension] == name]
    compared = season.compared(**{dimension: name})
    own = season.books[season.books[dimension] == name].index if dimension in season.books else ()
    books = season.books.loc[sorted({*own, *shots["book"], *compared["book"]})]
    judged = shots[shots["deviation"].notna()]
    points = points_of(shots)["deviation"].tolist()
    days = season.days[season.days[dimension] == name] if dimension in season.days else None
    unexplained, share = (None, None) if days is None else unexplained_of(days)
    return Group(
        name, len(books), len(shots[["book", "date"]].drop_duplicates()), len(shots), float(shots["base"].sum()),
        float(shots["area"].sum()), mean_of(points) if points else None,
        float(judged["out"].mean()) if len(judged) else None, biases_of(compared), unexplained, share,
        int(books["error"].sum()), int(books["query"].sum()),
    )  # fmt: skip


def biases_of(compared: pd.DataFrame) -> dict[str, Mean]:
    """The mean relative difference of each pair."""
    return {str(pair): mean_of(rows["relative"].tolist()) for pair, rows in compared.groupby("pair")}


def unexplained_of(days: pd.DataFrame) -> tuple[float | None, float | None]:
    """What stays unexplained over days, and as a part of what was loaded on them; None where no day is known."""
    known = days[days["unexplained"].notna()]
    if known.empty:
        return None, None
    total, loaded = float(known["unexplained"].sum()), float(known["loaded"].sum())
    return total, total / loaded if loaded else None
