"""The catalogue of findings: their names and severities are data in ``templates_src/findings``.

The wording of a finding stands in ``texts/<language>/`` under ``findings.<name>``: ``title`` (what happened), ``why``
(why it matters), ``remedy`` (what to do).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from sheetgen import templates
from sheetgen.audit.model import Finding, Severity

SEVERITIES: tuple[Severity, ...] = ("error", "query", "note")


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of finding: its name, its severity, and the group it is listed under."""

    name: str
    severity: Severity
    group: str

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
            kinds[name] = Kind(name, facts["severity"], group)
    return kinds


def finding(name: str, **place: Any) -> Finding:
    """A finding of a kind in the catalogue, with its severity; ``KeyError`` for an unknown name."""
    return Finding(name=name, severity=catalogue()[name].severity, **place)
