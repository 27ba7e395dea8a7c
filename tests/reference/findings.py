"""Every finding, in the words that ``sheetgen explain`` prints."""

from __future__ import annotations

from sheetgen import templates
from sheetgen.audit.findings import catalogue
from tests.reference.examples import SHOWN_BY, example
from tests.reference.markdown import page as joined

SEVERITIES = ("error", "query", "note")
HEADS = {
    "en": ("Findings", "The words of `sheetgen explain`. Severities:"),
    "es": ("Hallazgos", "Las palabras de `sheetgen explain --lang es`. Gravedades:"),
}
EXAMPLE = {"en": "Example (invented)", "es": "Ejemplo (inventado)"}


def page(lang: str) -> str:
    """The severities, then every finding under the heading of its severity."""
    say = templates.texts(lang)  # type: ignore[arg-type]
    title, opening = HEADS[lang]
    names = {key: say[f"report.severity.{key}"] for key in SEVERITIES}
    means = "\n".join(f"- **{names[key]}**: {say[f'report.severity_means.{key}']}" for key in SEVERITIES)
    parts = [f"# {title}", opening, means]
    for severity in SEVERITIES:
        kinds = [kind for kind in catalogue().values() if kind.severity == severity]
        parts.append(f"## {names[severity]} ({len(kinds)})")
        for kind in sorted(kinds, key=lambda each: each.name):
            parts += [
                f"### `{kind.name}`",
                f"**{kind.text('title', lang)}**",
                f"{say['report.explain.why']}: {kind.text('why', lang)}",
                f"{say['report.explain.remedy']}: {kind.text('remedy', lang)}",
                *([shown(kind.name, lang)] if kind.name in SHOWN_BY else []),
            ]
    return joined(*parts)


def shown(name: str, lang: str) -> str:
    """What a finding said of one error: where, what was found, what was expected, what hangs on it."""
    say, found = templates.texts(lang), example(name, lang)  # type: ignore[arg-type]
    said = {"found": found.found, "expected": found.expected, "why": found.matters}
    facts = "; ".join(f"{say[f'report.findings.{key}']}: {part}" for key, part in said.items() if part)
    column, row = found.cell.split()
    return f"{EXAMPLE[lang]}: `{found.sheet}`, `{column}`, {row}. {facts.removesuffix('.')}."
