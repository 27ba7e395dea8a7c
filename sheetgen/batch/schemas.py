"""The JSON Schemas of the report's files (draft 2020-12), written into ``templates_src``.

``python -m sheetgen.batch.schemas`` writes them again after a change to the documents.
"""

from __future__ import annotations

import json
from functools import cache, reduce
from operator import or_
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel, create_model

from sheetgen.audit.report.document import Document, Part
from sheetgen.batch.summary_document import SummaryDocument

FILES: dict[str, type] = {
    "recheck.schema.json": Document,
    "summary.schema.json": SummaryDocument,
}


def schema(document: type) -> dict[str, Any]:
    """The schema of what is written for a document."""
    draft = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return draft | model(document).model_json_schema(mode="serialization")


@cache
def model(part: type) -> type[BaseModel]:
    """The model of a part of a document as it is written: a named tuple becomes an object with its fields."""
    if issubclass(part, BaseModel):
        return part
    hints = get_type_hints(part, include_extras=True)
    defaults: dict[str, Any] = part._field_defaults  # type: ignore[attr-defined]
    fields: dict[str, Any] = {name: (_written(hint), defaults.get(name, ...)) for name, hint in hints.items()}
    return create_model(part.__name__, __base__=Part, __doc__=part.__doc__, **fields)


def _written(hint: Any) -> Any:
    """A type of a field with its named tuples as objects."""
    if isinstance(hint, type) and issubclass(hint, tuple):
        return model(hint)
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return Annotated[_written(inner[0]), *inner[1:]]
    if origin in (UnionType, Union):
        return reduce(or_, map(_written, inner))
    if origin in (list, dict):
        return origin[tuple(map(_written, inner))]
    return hint


def write_schemas(folder: Path) -> list[Path]:
    """Write every schema into a folder, and say where."""
    written = []
    for name, document in FILES.items():
        path = folder / name
        path.write_text(
            json.dumps(schema(document), indent=2, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n"
        )
        written.append(path)
    return written


if __name__ == "__main__":
    for made in write_schemas(Path(__file__).parents[2] / "templates_src"):
        print(made)
