"""Findings in a terminal: one as a line, and what its name means (:func:`explain`)."""

from __future__ import annotations

import difflib
import textwrap

from sheetgen.audit.findings import catalogue, name_now
from sheetgen.audit.model import Finding
from sheetgen.errors import UnknownFindingError
from sheetgen.output import printable
from sheetgen.templates import texts

_NEAR = 5
_WIDE = 100  # letters of a line of names


def in_a_line(finding: Finding, language: str) -> str:
    """A finding as a line of the terminal: severity, place, title and name."""
    severity = texts(language)[f"report.severity.{finding.severity}"]
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
    say = texts(lang)
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
    say, names = texts(lang), list(catalogue())
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
