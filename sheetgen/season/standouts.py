"""What stands out over a season, and what it is put down to: evidence against evidence, the simplest cause first.

A difference is said where at least so many comparisons give it, its 95 % interval excludes zero, and its mean is larger
than the stated materiality. Two measurements that agree against a third name the third: a stick that differs from meter
and tickets alike is the stick of its distributor; what its books say is then taken out. Of what is left a supplier is
named only where its tickets differ on every distributor, and a distributor where they do with every supplier.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import NamedTuple, cast

import pandas as pd

from sheetgen.audit.rules.chance import evenly
from sheetgen.figures import date_of
from sheetgen.plausibility import plausibility
from sheetgen.season.season import Season, points_of, unexplained_of
from sheetgen.season.statistics import Drift, Mean, drift_of, mean_of

_STICK = ("tickets-stick", "meter-stick", "monitor-stick")
_PAIRS_OF = {
    "stick": _STICK, "tickets": _STICK[:1], "tickets-or-stick": _STICK[:1], "material": _STICK[:1],
    "meter": _STICK[1:2], "meter-or-stick": _STICK[1:2], "operator": _STICK[1:2], "monitor": _STICK[2:],
}  # fmt: skip


class Standout(NamedTuple):
    """One thing that stands out.

    Attributes:
        kind: "stick", "meter", "monitor", "tickets", "tickets-or-stick", "meter-or-stick", "operator", "material",
            "rate", "shift", "digits", "unexplained": key of its words
        dimension, name: of what, such as "supplier" and its name
        bias: the difference with its interval; None where ``facts`` have several, and for a shift or end digits
        volume: mean difference of one comparison, or the total that is unexplained, in the season's unit
        facts: what else its words need
    """

    kind: str
    dimension: str
    name: str
    bias: Mean | None = None
    volume: float = 0.0
    facts: dict[str, object] = {}  # noqa: RUF012 (never changed)

    @property
    def pairs(self) -> tuple[str, ...]:
        """The comparisons that it is said by; none for rates, losses and end digits."""
        return _PAIRS_OF.get(self.kind, ())


@dataclass
class _Named:
    """What is put down to a cause already: its comparisons count against nobody else."""

    distributors: set[str] = field(default_factory=set)
    suppliers: set[str] = field(default_factory=set)

    def others(self, rows: pd.DataFrame) -> pd.DataFrame:
        """Rows that no named cause is in."""
        rows = rows[~rows["distributor"].isin(self.distributors)]
        if "supplier" in rows:
            return rows[~rows["supplier"].isin(self.suppliers)]
        return rows[[self.suppliers.isdisjoint(each) for each in rows["suppliers"]]] if len(rows) else rows


def standouts_of(season: Season) -> list[Standout]:
    """All that stands out over a season, what weighs most first within each kind; of one book nothing does."""
    if len(season.books) < 2:
        return []
    return [*_biases(season), *_rates(season), *_digits(season)]


def said(bias: Mean | None, season: Season) -> bool:
    """Whether a difference is said: enough comparisons, an interval without zero, more than the materiality."""
    if bias is None or bias.size < plausibility()["season_least"]:
        return False
    return bias.excludes_zero() and abs(bias.mean) > season.terms.material


def without_sticks(season: Season, found: Iterable[Standout]) -> pd.DataFrame:
    """Comparisons that count, without those of distributors whose stick stands out: what suppliers are judged by."""
    named = {each.name for each in found if each.kind == "stick"}
    rows = season.compared()
    return rows[~rows["distributor"].isin(named)]


def bias_of(rows: pd.DataFrame) -> Mean | None:
    """The mean relative difference of comparisons, None of none."""
    return mean_of(rows["relative"].tolist()) if len(rows) else None


def _biases(season: Season) -> Iterator[Standout]:
    named = _Named()
    yield from _sticks(season, named)
    yield from _tickets(season, named)
    yield from _between(season, named)
    yield from _unexplained(season, named)


def _sticks(season: Season, named: _Named) -> Iterator[Standout]:
    """Distributors whose stick differs the same way from two other measurements."""
    for name in season.names("distributor"):
        found = {pair: bias_of(season.compared(distributor=name, pair=pair)) for pair in _STICK}
        against = {pair: bias for pair, bias in found.items() if bias is not None and said(bias, season)}
        if len(against) < 2 or len({bias.mean > 0 for bias in against.values()}) > 1:
            continue
        named.distributors.add(name)
        yield Standout("stick", "distributor", name, facts={"pairs": against})


def _tickets(season: Season, named: _Named) -> Iterator[Standout]:
    """Suppliers and distributors whose tickets differ from the stick, the clearest first; what it explains goes out."""
    while True:
        rows = named.others(season.compared(pair="tickets-stick"))
        found = [*_ticket_causes(season, rows, "distributor"), *_ticket_causes(season, rows, "supplier")]
        if not found:
            return
        clearest = max(
            found, key=_clearness
        )  # of two that are equally clear the distributor, which accuses nobody
        (named.suppliers if clearest.kind == "tickets" else named.distributors).add(clearest.name)
        yield clearest


def _ticket_causes(season: Season, rows: pd.DataFrame, dimension: str) -> Iterator[Standout]:
    """Those of one dimension that differ with everyone they worked with, and not because of one of them."""
    kind, other = ("tickets", "distributor") if dimension == "supplier" else ("tickets-or-stick", "supplier")
    for name in filter(None, season.names(dimension)):
        mine = rows[rows[dimension] == name]
        bias = bias_of(mine)
        if (
            bias is not None
            and said(bias, season)
            and _own(mine, rows, dimension, other, bias, season.terms.material)
        ):
            facts: dict[str, object] = {
                "total": float(mine["difference"].sum()),
                "distributors": mine["distributor"].nunique(),
            }
            yield Standout(kind, dimension, name, bias, float(mine["difference"].mean()), facts)


def _own(
    mine: pd.DataFrame, rows: pd.DataFrame, dimension: str, other: str, bias: Mean, material: float
) -> bool:
    """Whether a difference stays without any one partner; of a sole partner, whether it is not the partner's."""
    partners = mine[other].unique()
    if len(partners) > 1:
        return all(_like(mine[mine[other] != each], bias, material) for each in partners)
    rest = rows[(rows[other] == partners[0]) & (rows[dimension] != mine[dimension].iloc[0])]
    return not _like(rest, bias, material)


def _like(rows: pd.DataFrame, bias: Mean, material: float) -> bool:
    """Whether comparisons differ the same way by more than the materiality."""
    mean = float(rows["relative"].mean()) if len(rows) else 0.0
    return abs(mean) > material and (mean > 0) == (bias.mean > 0)


def _clearness(each: Standout) -> float:
    """The difference in standard errors."""
    return abs(each.bias.mean) / (each.bias.error or 1e-12) if each.bias else 0.0


def _between(season: Season, named: _Named) -> Iterator[Standout]:
    """What is left by distributor, then by operator and by material once those distributors are out too."""
    found = [each for name in season.names("distributor") for each in _distributor(season, named, name)]
    named.distributors |= {each.name for each in found if each.kind != "monitor"}
    yield from found
    for dimension, pair, kind in (
        ("operator", "meter-stick", "operator"),
        ("material", "tickets-stick", "material"),
    ):
        for name in filter(None, season.names(dimension)):
            rows = named.others(season.compared(**{dimension: name}, pair=pair))
            bias = bias_of(rows)
            if bias is not None and said(bias, season):
                yield Standout(kind, dimension, name, bias, float(rows["difference"].mean()))


def _distributor(season: Season, named: _Named, name: str) -> Iterator[Standout]:
    """Two measurements of one distributor that differ: which of them, where a third says so."""
    rows = {
        pair: named.others(season.compared(distributor=name, pair=pair))
        for pair in (*_STICK, "monitor-meter")
    }
    biases = {pair: bias_of(each) for pair, each in rows.items()}
    tells = {pair: said(bias, season) for pair, bias in biases.items()}
    enough = {
        pair: bias is not None and bias.size >= plausibility()["season_least"]
        for pair, bias in biases.items()
    }

    def standout(kind: str, pair: str) -> Standout:
        return Standout(kind, "distributor", name, biases[pair], float(rows[pair]["difference"].mean()))

    if tells["meter-stick"]:
        agreed = enough["tickets-stick"] or (enough["monitor-stick"] and not tells["monitor-stick"])
        yield standout("meter" if agreed and not tells["tickets-stick"] else "meter-or-stick", "meter-stick")
    if tells["monitor-stick"] and not tells["meter-stick"]:
        yield standout("monitor", "monitor-stick")


def _unexplained(season: Season, named: _Named) -> Iterator[Standout]:
    """Material that no entry explains, on the days that no cause named before is in."""
    days = named.others(season.days)
    for name, rows in days[days["unexplained"].notna()].groupby("distributor"):
        daily, (total, share) = mean_of(rows["unexplained"].tolist()), unexplained_of(rows)
        enough = daily.size >= plausibility()["season_least"] and daily.excludes_zero()
        if enough and share is not None and abs(share) > season.terms.material:
            facts: dict[str, object] = {"daily": daily, "share": share}
            yield Standout("unexplained", "distributor", str(name), volume=total or 0.0, facts=facts)


class RateLine(NamedTuple):
    """The rates of one distributor over the season: its points in the order of days, their mean and their drift."""

    name: str
    points: pd.DataFrame
    mean: Mean
    drift: Drift
    judged: bool


def rate_lines(season: Season) -> list[RateLine]:
    """The rates of each distributor; a drift is judged from so many days on."""
    lines = []
    for name in season.names("distributor"):
        points = points_of(season.shots[season.shots["distributor"] == name])
        values = points["deviation"].tolist()
        if values:
            judged = len(values) >= plausibility()["season_points"]
            lines.append(RateLine(name, points, mean_of(values), drift_of(values), judged))
    return lines


def _rates(season: Season) -> Iterator[Standout]:
    """Distributors that sprayed off the ordered rate all season, or from a day on."""
    least = plausibility()["season_rate"]
    for line in rate_lines(season):
        mean, drift = line.mean, line.drift
        if mean.size >= plausibility()["season_least"] and mean.excludes_zero() and abs(mean.mean) > least:
            yield Standout("rate", "distributor", line.name, mean)
        elif line.judged and drift.alarm is not None and abs(drift.level) > least:
            since = date_of(float(line.points["date"].iloc[drift.began])).isoformat()
            yield Standout("shift", "distributor", line.name, facts={"level": drift.level, "since": since})


class DigitLine(NamedTuple):
    """The marks on which the readings of one group end.

    Attributes:
        counts: readings by mark
        statistic, chance: chi-square against even counts, and the chance of one as great; None where a class expects
            too few readings for it
    """

    instrument: str
    dimension: str
    name: str
    step: float
    counts: tuple[int, ...]
    statistic: float | None
    chance: float | None


def digit_lines(season: Season) -> list[DigitLine]:
    """The end digits of stick and meter by distributor and operator; readings of other steps apart."""
    lines = []
    for dimension in ("distributor", "operator"):
        kinds = ["instrument", dimension, "step", "marks"]
        for key, rows in season.readings.groupby(kinds):
            instrument, name, step, marks = cast("tuple[str, str, float, int]", key)
            if name:
                lines.append(_digit_line(instrument, dimension, name, step, marks, rows["mark"]))
    return lines


def _digit_line(
    instrument: str, dimension: str, name: str, step: float, marks: int, found: Iterable[int]
) -> DigitLine:
    counted = pd.Series(list(found)).value_counts()
    counts = tuple(int(counted.get(mark, 0)) for mark in range(marks))
    if sum(counts) < plausibility()["season_expected"] * marks:
        return DigitLine(instrument, dimension, name, step, counts, None, None)
    return DigitLine(instrument, dimension, name, step, counts, *evenly(counts))


def digit_chance(lines: Iterable[DigitLine]) -> float:
    """The chance below which end digits are said: shared out among all groups that are tested (Bonferroni)."""
    tested = sum(line.chance is not None for line in lines)
    return plausibility()["season_digit_chance"] / max(1, tested)


def _digits(season: Season) -> Iterator[Standout]:
    lines = digit_lines(season)
    below = digit_chance(lines)
    for line in lines:
        if line.chance is not None and line.chance < below:
            often = max(range(len(line.counts)), key=lambda mark: line.counts[mark])
            facts: dict[str, object] = {
                "instrument": line.instrument, "count": sum(line.counts), "times": line.counts[often],
                "mark": often * line.step, "expected": sum(line.counts) / len(line.counts),
                "statistic": line.statistic, "freedom": len(line.counts) - 1, "chance": line.chance,
            }  # fmt: skip
            yield Standout("digits", line.dimension, line.name, facts=facts)
