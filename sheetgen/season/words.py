"""What stands out over a season, and what cannot be told, as sentences with figures."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen import templates
from sheetgen.figures import number_text
from sheetgen.plausibility import plausibility
from sheetgen.season.season import Season, biases_of
from sheetgen.season.standouts import Standout
from sheetgen.season.statistics import Mean
from sheetgen.units import units

_NAMES = 6  # that a sentence lists


class Voice:
    """Figures and sentences of a season in one language."""

    def __init__(self, season: Season, language: str) -> None:
        self.season, self.say = season, templates.texts(language, season.system)

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity; ``currency EUR`` is the currency itself."""
        if kind.startswith("currency "):
            return kind.removeprefix("currency ").replace('"', "")
        return units(self.season.system)[kind].label(self.say.language)

    def volume(self, value: float) -> str:
        """A signed volume: to a tenth where it is below a hundred."""
        text = number_text(value, self.say.language, 1 if abs(value) < 100 else 0)
        return f"{'+' if value > 0 else ''}{text} {self.unit('volume')}"

    def name(self, text: str) -> str:
        """A name, or that none is stated."""
        return text or self.say["season.not_stated"]

    def head(self, key: str) -> str:
        """A heading with its units."""
        return self.say.say(f"season.head.{key}", volume=self.unit("volume"), area=self.unit("area"))

    def sentence(self, one: Standout) -> str:
        """What stands out, by how much, and what to do."""
        facts: dict[str, object] = {"name": self.name(one.name), "volume": self.volume(one.volume)}
        if one.bias is not None:
            bias = one.bias
            facts |= {key: signed(getattr(bias, key)) for key in ("mean", "low", "high")} | {
                "count": bias.size
            }
        return self.say.say(f"season.said.{one.kind}", **facts | self._more(one))

    def _more(self, one: Standout) -> dict[str, object]:
        """The facts of one kind, in words."""
        facts = dict(one.facts)
        match one.kind:
            case "stick":
                pairs: dict[str, Mean] = facts["pairs"]  # type: ignore[assignment]
                measures = [
                    f"{self.say[f'season.one.{pair}']} {signed(bias.mean)}" for pair, bias in pairs.items()
                ]
                facts["measures"] = ", ".join(measures)
            case "tickets" | "tickets-or-stick":
                facts["total"] = self.volume(float(facts["total"]))  # type: ignore[arg-type]
            case "unexplained":
                daily: Mean = facts["daily"]  # type: ignore[assignment]
                facts |= {key: self.volume(getattr(daily, key)) for key in ("mean", "low", "high")}
                facts |= {"count": daily.size, "share": signed(float(facts["share"]))}  # type: ignore[arg-type]
            case "shift":
                facts["level"] = signed(float(facts["level"]))  # type: ignore[arg-type]
            case "digits":
                facts |= {
                    "instrument": self.say[f"season.instrument.{facts['instrument']}"], "mark": f"{facts['mark']:g}",
                    "expected": f"{facts['expected']:.0f}", "statistic": f"{facts['statistic']:.1f}",
                    "chance": f"{facts['chance']:.1g}",
                }  # fmt: skip
        return facts

    def untold(self) -> Iterator[str]:
        """What the register or the season is too small to tell."""
        season, books = self.season, self.season.books
        if len(books) == 1:
            yield self.say["season.few"]
        lacking = books.loc[~books["known"].astype(bool), "file"].tolist()
        if lacking:
            yield self.say.say("season.untold.undetailed", count=len(lacking), files=_listed(lacking))
        slips = int(season.comparisons["slip"].sum())
        if slips:
            yield self.say.say(
                "season.untold.slips", count=slips, slip=percent(plausibility()["season_slip"])
            )
        unchecked = sorted({*books["distributor"]} - {*season.calibrations["distributor"]})
        if unchecked:
            yield self.say.say("season.untold.calibration", names=_listed(unchecked))
        few = [name for name in filter(None, season.names("supplier")) if self._too_few(name)]
        if few:
            least = int(plausibility()["season_least"])
            yield self.say.say("season.untold.few", least=least, names=_listed(few))

    def _too_few(self, supplier: str) -> bool:
        found = biases_of(self.season.compared(supplier=supplier, pair="tickets-stick")).get("tickets-stick")
        return found is None or found.size < plausibility()["season_least"]


def signed(part: float) -> str:
    """A part with its sign, as a percentage."""
    return f"{100 * part:+.1f} %"


def percent(part: float) -> str:
    """A part as a percentage."""
    return f"{100 * part:g} %"


def _listed(names: list[str]) -> str:
    return ", ".join(names[:_NAMES]) + (f", … ({len(names)})" if len(names) > _NAMES else "")
