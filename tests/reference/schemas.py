"""The JSON of a recheck and of a batch, from their published schemas."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from sheetgen import templates
from sheetgen.columns import entry_columns, published, reported
from sheetgen.units import units
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
A schema of JSON Schema, draft 2020-12, is the contract; this page is made from it. The number in `version` rises when
a field changes its meaning or goes; a new field does not raise it. The schemas themselves ship with the program, as
`sheetgen/templates_src/*.schema.json`."""
NAMES = """\
## Names of results and columns

`totals` has the names under `overall`, the results of a line those of its log, and `entries` those of
entries. A kind of unit is a key of `unit_of`. "corrected" is a volume at 60 °F or 15 °C. The tables of
`--csv` have the names of results as headings, each with `book`, `recomputed` and `difference` and the unit in
brackets. They begin with the entries that name a row; those of findings and entries have the fields of
`FindingLine` and `EntryLine`. Rows count from 1 and dates are ISO 8601 in both. `sheetgen fill` takes the
names of entries as headings."""
FILES = ("recheck.schema.json", "summary.schema.json", "plan.schema.json")
TABLES = ("overall", "shots", "loads", "days", "sections", "changes", "monitor", "gauges")


def page() -> str:
    """Every field of both documents."""
    parts = ["# The JSON of a recheck, a run and a plan", OPENING]
    for name in FILES:
        schema = json.loads((templates.root() / name).read_text(encoding="utf-8"))
        parts += [f"## {schema.get('title', name)}", f"`{name}`", schema.get("description", "")]
        parts.append(table(("field", "type", "what it is"), list(_fields("", schema, schema))))
        for key, definition in schema.get("$defs", {}).items():
            rows = list(_fields("", definition, schema))
            if rows:
                parts += [
                    f"### `{key}`",
                    definition.get("description", ""),
                    table(("field", "type", "what it is"), rows),
                ]
    return joined(*parts, *_names())


def _names() -> Iterator[str]:
    """What results and columns are called, with the heading of the book and the kind of unit."""
    yield NAMES
    say = templates.texts("en")
    for log in TABLES:
        yield f"### `{log}`"
        rows = []
        for column in (*entry_columns(log).values(), *reported(log)):
            key = (column.name and f"name.{column.name}") or f"{log}.{column.key}"
            what = "entry" if column.input else "result"
            rows.append(
                (
                    f"`{published(log, column.key)}`",
                    what,
                    say[key],
                    column.unit if column.unit in units("us") else "",
                )
            )
        yield table(("name", "what it is", "in the book", "kind of unit"), rows)


def _fields(path: str, schema: dict[str, Any], whole: dict[str, Any]) -> Iterator[tuple[str, str, str]]:
    for key, field in schema.get("properties", {}).items():
        name = f"{path}{key}"
        needed = "" if key in schema.get("required", ()) else " (may be absent)"
        yield f"`{name}`", _type(field) + needed, str(field.get("description", ""))
        yield from _fields(f"{name}.", field, whole)
        items = field.get("items")
        if isinstance(items, dict):
            yield from _fields(f"{name}[].", items, whole)


def _type(field: dict[str, Any]) -> str:
    if "$ref" in field:
        return f"`{field['$ref'].rsplit('/', 1)[-1]}`"
    for several in ("anyOf", "oneOf"):
        if several in field:
            return " or ".join(_type(each) for each in field[several])
    if "enum" in field:
        return " or ".join(f"`{json.dumps(each)}`" for each in field["enum"])
    if "const" in field:
        return f"`{json.dumps(field['const'])}`"
    kind = field.get("type", "any")
    kind = " or ".join(kind) if isinstance(kind, list) else str(kind)
    items = field.get("items")
    return f"{kind} of {_type(items)}" if isinstance(items, dict) and items else kind
