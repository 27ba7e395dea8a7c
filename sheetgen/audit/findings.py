"""The catalogue of findings, each declared once in ``templates_src/findings``; see :class:`sheetgen.declarations.Rule`.

The wording of a finding stands in ``texts/<language>/`` under ``findings.<name>``: ``title`` (what happened), ``why``
(why it matters), ``remedy`` (what to do). :func:`explain` tells them in a terminal.
"""

from __future__ import annotations

import difflib
import textwrap
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.audit.model import Finding, Severity
from sheetgen.errors import UnknownFindingError
from sheetgen.output import printable

SEVERITIES: tuple[Severity, ...] = ("error", "query", "note")

_NEAR = 5
_WIDE = 100  # letters of a line of names


def severity_words(severity: str, say: templates.Texts) -> str:
    """Give a severity, or "clean", as reports print it: its sign and its word."""
    return f"{say[f'report.sign.{severity}']} {say[f'report.severity.{severity}']}"


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of finding.

    Attributes:
        name, severity: as declared
        group: the heading it is listed under: the name of its file
        evidence: entries without which it cannot be seen, as "table.column"
        plant: an entry that shows it in an otherwise honest log, as data; empty where it takes more than one value
        once: which entries have one finding together, see :class:`sheetgen.declarations.Rule`
    """

    name: str
    severity: Severity
    group: str
    evidence: tuple[str, ...] = ()
    plant: Mapping[str, Any] = field(default_factory=dict, hash=False)
    once: str = ""

    def text(self, part: str, language: str) -> str:
        """The ``title``, ``why`` or ``remedy`` of this kind in a language."""
        return templates.texts(language)[f"findings.{self.name}.{part}"]


@cache
def catalogue() -> dict[str, Kind]:
    """Every kind of finding by name, in the order of the files and of the lines in them."""
    kinds: dict[str, Kind] = {}
    folder = templates.root() / "findings"
    for file in sorted(folder.iterdir(), key=lambda item: item.name):
        group = file.name.removesuffix(".toml")
        for name, facts in templates.toml(f"findings/{file.name}").items():
            if name in kinds:
                raise ValueError(f"finding {name!r} stands twice in the catalogue")
            if facts["severity"] not in SEVERITIES:
                raise ValueError(f"finding {name!r} has no severity of {SEVERITIES}")
            evidence = tuple(facts.get("evidence", ()))
            kinds[name] = Kind(
                name, facts["severity"], group, evidence, facts.get("plant", {}), facts.get("once", "")
            )
    return kinds


@cache
def _named_before() -> dict[str, str]:
    declared = [templates.toml(f"findings/{file.name}") for file in (templates.root() / "findings").iterdir()]
    return {facts["former"]: name for rules in declared for name, facts in rules.items() if "former" in facts}


def name_now(name: str) -> str:
    """Give the present name of a finding, of one that an earlier version called so; any other name as it is."""
    return _named_before().get(name, name)


@cache
def live_checks() -> dict[str, tuple[tuple[str, str], ...]]:
    """The live checks (log, key) that stand for a finding, by its name."""
    found: dict[str, list[tuple[str, str]]] = {}
    for log, group in templates.toml("sheets/checks.toml").items():
        for check in group["checks"]:
            for name in check["finds"]:
                found.setdefault(name, []).append((log, check["key"]))
    return {name: tuple(checks) for name, checks in found.items()}


@cache
def confirmable(name: str, log: str) -> bool:
    """Whether a row of a log that the crew confirmed leaves the book's open items in spite of a finding of a name."""
    checks = {check["key"]: check for check in templates.toml("sheets/checks.toml")[log]["checks"]}
    asked = [checks[key] for of, key in live_checks().get(name, ()) if of == log]
    return not asked or any(check.get("confirm", False) for check in asked)


def finding(name: str, **place: Any) -> Finding:
    """A finding of a kind in the catalogue, with its severity; ``KeyError`` for an unknown name."""
    return Finding(name=name, severity=catalogue()[name].severity, **place)


def words_of(
    name: str, say: templates.Texts, facts: Mapping[str, object], found: str = "found"
) -> dict[str, str]:
    """Give what was found, was expected and matters, for a finding of a name; ``found`` is the key of the first."""
    keys = {"found": f"said.{name}.{found}"} | {
        part: f"said.{name}.{part}" for part in ("expected", "matters")
    }
    return {part: say.say(key, **facts) for part, key in keys.items() if key in say}


def in_a_line(finding: Finding, language: str) -> str:
    """A finding as a line of the terminal: severity, place, title and name."""
    severity = templates.texts(language)[f"report.severity.{finding.severity}"]
    where = printable(finding.place)
    title = catalogue()[finding.name].text("title", language)
    return f"{severity:<9}{where:<13} {title} ({finding.name})"


def explain(name: str, lang: str = "en") -> str:
    """A finding's title, severity, why it matters and what to do, as a few lines of text.

    Args:
        name: of the finding, such as ``"stick-reading-rose-during-shot"``; blanks and underscores count as
            hyphens, and the names of earlier versions are known
        lang: "en" or "es"

    Raises:
        UnknownFindingError: there is no finding of that name; the message lists those near it.
    """
    say = templates.texts(lang)
    asked = "-".join(name.strip().lower().replace("_", " ").replace("-", " ").split())
    kind = catalogue().get(name_now(asked))
    if kind is None:
        raise UnknownFindingError(_unknown(name, lang))
    severity = f"{say[f'report.severity.{kind.severity}']}. {say[f'report.severity_means.{kind.severity}']}"
    return "\n".join(
        (
            kind.text("title", lang),
            f"  {kind.name}",
            "",
            f"{say['report.explain.severity']}: {severity}",
            f"{say['report.explain.why']}: {kind.text('why', lang)}",
            f"{say['report.explain.remedy']}: {kind.text('remedy', lang)}",
        )
    )


def _unknown(name: str, lang: str) -> str:
    """That there is none of that name, and which ones are near: in spelling, or with a word in common."""
    say, names = templates.texts(lang), list(catalogue())
    near = difflib.get_close_matches(name.lower(), names, n=_NEAR, cutoff=0.5)
    words = {word for word in name.lower().replace("_", "-").split("-") if len(word) > 2}
    near += [each for each in names if words & set(each.split("-")) and each not in near]
    listed = "near" if near else "all"
    shown = (
        ", ".join(near[: 2 * _NEAR])
        if near
        else f"\n{textwrap.fill(', '.join(sorted(names)), _WIDE, break_on_hyphens=False)}"
    )
    return (
        f"{say.say('report.explain.unknown', name=name)} {say.say(f'report.explain.{listed}', names=shown)}"
    )
