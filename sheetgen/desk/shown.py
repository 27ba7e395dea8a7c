"""Pages from their templates: texts in the reader's language, every value escaped."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response

from sheetgen.audit.findings import catalogue, name_now
from sheetgen.figures import number_text
from sheetgen.templates import LANGUAGES, spoken, texts, unit_label


class Pages:
    """Shows pages in the language that is spoken."""

    def __init__(self, folder: Path) -> None:
        self._templates = Environment(
            loader=FileSystemLoader(folder), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
            lstrip_blocks=True,
        )  # fmt: skip

    def show(self, request: Request, name: str, status: int, **facts: Any) -> Response:
        """A page with the facts it needs."""
        language = spoken()
        html = self._templates.get_template(f"{name}.html").render(
            say=texts(language).say, name_of=_own_name, language=language, languages=LANGUAGES,
            path=request.url.path, number=partial(_number, language),
            volume_unit=partial(unit_label, kind="volume", language=language),
            finding=partial(_finding_text, language=language), **facts,
        )  # fmt: skip
        return HTMLResponse(html, status)


def _number(language: str, value: float | None, decimals: int = 0) -> str:
    return number_text(value, language, decimals)


def _finding_text(name: str, part: str, language: str) -> str:
    kind = catalogue().get(name_now(name))
    return kind.text(part, language) if kind else name


def _own_name(language: str) -> str:
    return texts(language)["desk.language_name"]
