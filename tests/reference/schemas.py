"""The JSON of a recheck and of a batch, from their published schemas."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from sheetgen import templates
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

OPENING = """\
A schema of JSON Schema, draft 2020-12, is the contract; this page is made from it. The number in `version` rises when
a field changes its meaning or goes; a new field does not raise it. The schemas themselves ship with the program, as
`sheetgen/templates_src/*.schema.json`."""
FILES = ("recheck.schema.json", "summary.schema.json")


def page() -> str:
    """Every field of both documents."""
    parts = ["# The JSON of a recheck", OPENING]
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
    return joined(*parts)


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
