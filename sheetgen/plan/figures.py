"""Numbers of a plan as a person reads them: with their unit, as many decimals as the kind has, stations as stations."""

from __future__ import annotations

from collections.abc import Iterable

from sheetgen.figures import number_text, station_text
from sheetgen.plan.model import Notice, Setting
from sheetgen.templates import Texts, source, texts
from sheetgen.units import units

_DAY = 1440


class Figures:
    """Writes numbers in a unit system and a language."""

    def __init__(self, system: str, language: str) -> None:
        self.say: Texts = texts(language, system)
        self._units, self._system, self.language = units(system), system, language

    def unit(self, kind: str) -> str:
        """The printed unit of a kind of quantity; empty for a plain number."""
        return self._units[kind].label(self.language) if kind in self._units else ""

    def bare(self, value: float | None, kind: str, decimals: int | None = None) -> str:
        """The number alone, for a column whose heading has the unit; a dash for none."""
        if value is None:
            return "–"
        places = self._units[kind].decimals if decimals is None and kind in self._units else decimals or 0
        return number_text(value, self.language, places)

    def full(self, value: float | None, kind: str, decimals: int | None = None) -> str:
        """The number and its unit."""
        if value is None:
            return "–"
        if kind == "percent":
            return f"{number_text(100 * value, self.language, digits=4)} %"
        if not kind:
            return number_text(value, self.language, digits=6)
        unit = self.unit(kind)
        return f"{self.bare(value, kind, decimals)}{'' if unit == '°' else ' '}{unit}"

    def station(self, value: float) -> str:
        """A station, such as 118+50 or 3+250."""
        return station_text(value, self._system)

    def clock(self, minutes: float) -> str:
        """Time of day, with the day where it is not the first."""
        day, rest = divmod(round(minutes), _DAY)
        time = f"{rest // 60:02d}:{rest % 60:02d}"
        return f"{self.say['plan.head.day']} {day + 1}, {time}" if day else time

    def value(self, value: float | str, kind: str) -> str:
        """A value of a notice: a quantity, or a word of the texts."""
        if isinstance(value, float):
            return self.full(value, kind)
        word = {"limit": f"plan.limit.{value}", "basis": f"words.basis.{value}"}.get(kind, "")
        return self.say[word] if word and word in self.say else str(value)

    def notice(self, notice: Notice) -> str:
        """A notice as a sentence, with its section and its source."""
        return self.notices([notice])[0]

    def notices(self, notices: Iterable[Notice]) -> list[str]:
        """Notices as sentences, one for all sections of which the same is to be said."""
        sections: dict[str, list[str]] = {}
        for notice in notices:
            sections.setdefault(self._sentence(notice), []).append(notice.section)
        return [self._of_sections(sentence, ids) for sentence, ids in sections.items()]

    def _sentence(self, notice: Notice) -> str:
        values = {name: self.value(value, kind) for name, value, kind in notice.values}
        sentence = self.say.say(f"plan.notice.{notice.key}", **values)
        worded = source({"source": notice.source}, self.language)
        return f"{sentence} [{worded}]" if worded else sentence

    def _of_sections(self, sentence: str, ids: list[str]) -> str:
        if not ids[0]:
            return sentence
        key = "plan.of_section" if len(ids) == 1 else "plan.of_sections"
        return self.say.say(key, section=", ".join(ids), text=sentence)


def nozzles_of(setting: Setting) -> str:
    """The nozzles open in each pass, such as "13 + 12"; once where they are alike."""
    return " + ".join(_once(str(each.nozzles) for each in setting.sprayed))


def speeds_of(setting: Setting, figures: Figures) -> str:
    """The planned speed of each pass; once where they are alike."""
    return " + ".join(_once(figures.bare(each.speed, "speed") for each in setting.sprayed))


def _once(values: Iterable[str]) -> list[str]:
    """Values of every pass, or the only one."""
    found = list(values)
    return found[:1] if len(set(found)) == 1 else found
