"""The mistakes of a table of entries: all of them are found before anything is written."""

from __future__ import annotations

from sheetgen.errors import EntriesError, Mistake
from sheetgen.output import printable
from sheetgen.templates import Texts

_LONGEST = 80  # signs of what was found that are shown


class Mistakes:
    """The mistakes found so far, in the order of the lines."""

    def __init__(self, path: str, say: Texts) -> None:
        self.path, self.say = path, say
        self.found: list[Mistake] = []
        self._told: set[tuple[str, str, str]] = set()

    def add(self, why: str, where: str, expected: str = "", remedy: str = "", **facts: object) -> None:
        """Note a mistake; ``why`` is a key below ``fill.mistake``, whose wording can be replaced in part."""
        shown = {key: printable(str(value), _LONGEST) for key, value in facts.items()}
        key = f"fill.mistake.{why}"
        self.found.append(
            Mistake(
                where,
                "",
                self.say.say(f"{key}.found", **shown),
                expected.rstrip(".") or self.say.say(f"{key}.expected", **shown),
                remedy or self.say.say(f"{key}.remedy", **shown),
            )
        )

    def add_once(self, why: str, of: str, where: str, **facts: str) -> None:
        """Note a mistake that all lines of a table share, such as one in its heading, at the first of them."""
        at = (why, of, str(facts))
        if at not in self._told:
            self._told.add(at)
            self.add(why, where, **facts)

    def stop(self) -> None:
        """Raise :class:`EntriesError` where there are any."""
        if self.found:
            raise EntriesError(self.path, self.found, self.say.language)
