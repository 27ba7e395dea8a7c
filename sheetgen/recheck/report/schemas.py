"""The JSON Schemas of the report's files (draft 2020-12), written into ``templates_src``.

``python -m sheetgen.recheck.report.schemas`` writes them again after a change to the documents.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import BaseModel

from sheetgen.recheck.report.document import Document
from sheetgen.recheck.report.summary_document import SummaryDocument

FILES: dict[str, type[BaseModel]] = {
    "recheck.schema.json": Document,
    "summary.schema.json": SummaryDocument,
}


def schema(model: type[BaseModel]) -> dict[str, Any]:
    """The schema of what is written for a document."""
    draft = {"$schema": "https://json-schema.org/draft/2020-12/schema"}
    return draft | model.model_json_schema(mode="serialization")


def write_schemas(folder: Path) -> list[Path]:
    """Write every schema into a folder, and say where."""
    written = []
    for name, model in FILES.items():
        path = folder / name
        path.write_text(
            json.dumps(schema(model), indent=2, ensure_ascii=False) + "\n", encoding="utf-8", newline="\n"
        )
        written.append(path)
    return written


if __name__ == "__main__":
    for made in write_schemas(Path(__file__).parents[3] / "templates_src"):
        print(made)
