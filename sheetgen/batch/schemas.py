"""The JSON Schemas of reports, summaries and plans (draft 2020-12), written into ``templates_src``.

``python -m sheetgen.batch.schemas`` writes them again after a change to the documents.
"""

from __future__ import annotations

import json
import re
from functools import cache, reduce
from operator import or_
from pathlib import Path
from types import UnionType
from typing import Annotated, Any, Literal, NamedTuple, Union, get_args, get_origin, get_type_hints

from pydantic import BaseModel, Field, create_model

from sheetgen.audit.report.document import Document, Part
from sheetgen.batch.summary_document import SummaryDocument
from sheetgen.plan.json_form import FORMAT, FORMAT_VERSION, published
from sheetgen.plan.model import Plan


class PlanExtras(NamedTuple):
    """What the JSON of a plan has beside the plan.

    Attributes:
        unit_of: printed unit of each kind of quantity; descriptions have the kind in brackets
        format: says which schema applies
        version: rises when a field changes its meaning, its name, or goes
    """

    unit_of: dict[str, str]
    format: Literal[FORMAT]  # type: ignore[valid-type]
    version: Literal[FORMAT_VERSION]  # type: ignore[valid-type]


FILES: dict[str, type] = {
    "recheck.schema.json": Document,
    "summary.schema.json": SummaryDocument,
    "plan.schema.json": Plan,
}


def schema(document: type) -> dict[str, Any]:
    """The schema of what is written for a document."""
    draft = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return draft | model(document).model_json_schema(mode="serialization")


@cache
def model(part: type) -> type[BaseModel]:
    """The model of a part of a document as it is written: an object with its fields, described by its own words."""
    fields = _fields(part) | (_fields(PlanExtras) if part is Plan else {})
    summary = (part.__doc__ or "").partition("\n\n    Attributes:")[0]
    return create_model(part.__name__, __base__=Part, __doc__=summary, **fields)


def _fields(part: type) -> dict[str, Any]:
    """The fields of a named tuple or a model as they are written: published name, type, default and description."""
    described = reduce(or_, (_described(each.__doc__ or "") for each in reversed(part.__mro__)))
    hints = get_type_hints(part, include_extras=True)
    fields = {}
    for name, default in _defaults(part).items():
        kind = _written(hints[name])
        if name in described:
            kind = Annotated[kind, Field(description=described[name])]
        fields[published(part.__name__, name)] = (kind, default)
    return fields


def _defaults(part: type) -> dict[str, Any]:
    """The names of the fields, each with its default; an ellipsis for none."""
    if issubclass(part, BaseModel):
        return {name: ... if each.is_required() else each.default for name, each in part.model_fields.items()}
    known: Any = part
    return dict.fromkeys(known._fields, ...) | dict(known._field_defaults)


_ATTRIBUTE = re.compile(r"^        (\w+(?:, \w+)*): (.*(?:\n            .*)*)", re.MULTILINE)


def _described(words: str) -> dict[str, str]:
    """What the attributes of a class are, from its own words; a line can be about several of them."""
    _, _, attributes = words.partition("Attributes:\n")
    return {
        name: " ".join(told.split())
        for names, told in _ATTRIBUTE.findall(attributes)
        for name in names.split(", ")
    }


def _written(hint: Any) -> Any:
    """A type of a field with its named tuples and models as objects."""
    if isinstance(hint, type) and issubclass(hint, tuple | BaseModel):
        return model(hint)
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return Annotated[_written(inner[0]), *inner[1:]]
    if origin in (UnionType, Union):
        return reduce(or_, map(_written, inner))
    if origin is tuple:
        return list[_written(inner[0])] if inner[-1] is ... else tuple[tuple(map(_written, inner))]  # type: ignore[misc]
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
