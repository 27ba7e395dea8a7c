"""Every key of the texts is used, and every key that is used has a text."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

import sheetgen
from sheetgen.templates import LANGUAGES, root, same_texts, texts

CODE = Path(sheetgen.__file__).parent
NAME = r"[A-Za-z][\w-]*"
DOTTED = re.compile(rf"{NAME}(?:\.{NAME})+")
ELSEWHERE = ("help.",)  # held by tests/test_languages_of_commands.py, command by command


class Uses(NamedTuple):
    """How code and data name keys: whole, in part (with a sign for what is put in), and words of data."""

    whole: frozenset[str]
    parts: tuple[re.Pattern[str], ...]
    endings: tuple[str, ...]
    words: frozenset[str]


def strings_of(file: Path) -> Iterator[tuple[str, ...]]:
    """The strings of a module, in pieces where something is put into them."""
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield (node.value,)
        elif isinstance(node, ast.JoinedStr):
            yield tuple(each.value if isinstance(each, ast.Constant) else "\0" for each in node.values)  # type: ignore[misc]


def said_on_pages() -> Iterator[tuple[str, ...]]:
    """What the pages of the desk say: a text, or one whose key ends with a value."""
    for file in CODE.rglob("*.html"):
        page = file.read_text(encoding="utf-8")
        yield from ((each,) for each in re.findall(r"""["']([\w.]+)["']""", page))
        yield from ((each, "\0") for each in re.findall(r"""["']([\w.]+)["'] ~""", page))


@cache
def uses() -> Uses:
    strings = [*said_on_pages(), *(each for file in CODE.rglob("*.py") for each in strings_of(file))]
    data = " ".join(
        file.read_text(encoding="utf-8")
        for file in Path(str(root())).rglob("*")
        if file.suffix in (".toml", ".csv") and "texts" not in file.parts and file.name != "same_texts.toml"
    )
    whole = {
        name for pieces in strings if len(pieces) == 1 for name in [pieces[0], *DOTTED.findall(pieces[0])]
    }
    put_in = {"".join(pieces) for pieces in strings if len(pieces) > 1 and "." in "".join(pieces)}
    put_in = {each for each in put_in if re.fullmatch(r"[\w.\-\[\] \0]+", each)}
    begun = [each for each in put_in if not each.startswith("\0")]
    return Uses(
        frozenset(whole | set(DOTTED.findall(data))),
        tuple(re.compile(re.escape(each).replace("\0", ".+").replace("\\\0", ".+")) for each in begun),
        tuple(each[1:] for each in put_in if re.fullmatch(rf"\0(?:\.{NAME})+", each)),
        frozenset(re.findall(NAME, data)) | whole,
    )


def is_used(key: str) -> bool:
    """Whether code or data name a key, its first part or its ending; a column's is its table's and its own."""
    own = re.sub(r"_(us|si)$", "", key)
    found = uses()
    if own in found.whole or key in found.whole or any(part.fullmatch(own) for part in found.parts):
        return True
    if any(own.endswith(ending) and is_used(own.removesuffix(ending)) for ending in found.endings):
        return True
    begun, _, last = own.rpartition(".")
    return begun in found.whole | found.words and last in found.words


def test_no_text_is_unused() -> None:
    assert not is_used("desk.home.never_said")
    keys = [key for key in texts("en").keys() if not key.startswith(ELSEWHERE)]  # noqa: SIM118
    said_elsewhere = {other for key, other in same_texts().items() if is_used(key)}
    assert [key for key in sorted(keys) if not is_used(key) and key not in said_elsewhere] == []


def test_a_text_that_is_another_is_that_one_in_every_language() -> None:
    for language in LANGUAGES:
        said = texts(language)
        assert all(said[key] == said[other] for key, other in same_texts().items())
    assert same_texts()["name.reserve"] == "order.field.machines.reserve.label"


def test_no_text_that_is_named_is_absent() -> None:
    """A whole key in a call of ``say``, or behind a name of texts in brackets."""
    asked: dict[str, str] = {}
    for file in CODE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if (key := key_asked_for(node)) is not None:
                asked[key] = file.name
    known = texts("en")
    both = {key for key in asked if key in known or {f"{key}_us", f"{key}_si"} <= known.keys()}
    assert len(asked) > 500
    assert asked.keys() - both == set()


def key_asked_for(node: ast.AST) -> str | None:
    """The key of ``….say("key")``, ``….own("key", …)``, ``say["key"]`` or ``texts(…)["key"]``."""
    if (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ("say", "own")
    ):
        given: ast.AST | None = node.args[0] if node.args else None
    elif isinstance(node, ast.Subscript) and ast.unparse(node.value).endswith(("say", "texts()")):
        given = node.slice
    else:
        return None
    return given.value if isinstance(given, ast.Constant) and isinstance(given.value, str) else None
