"""The commands and their options, from the definitions that ``--help`` prints."""

from __future__ import annotations

import inspect
import typing
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any, Literal

import typer

from sheetgen.cli import app
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

STATUSES = (
    ("0", "nothing to act on"),
    ("1", "findings"),
    ("2", "an input could not be used; each such file is named, and the others are still done"),
)


@dataclass(frozen=True)
class Parameter:
    """An argument or an option of a command."""

    name: str
    words: str
    choices: tuple[str, ...]
    default: str


def page() -> str:
    """Every command: its sentence, example, arguments and options."""
    parts = [
        "# Commands",
        "From the definitions behind the program's own `--help`; every command has it.",
        "Exit status of every command:",
        table(("status", "means"), STATUSES),
    ]
    for name, function in commands():
        words, _, example = inspect.cleandoc(function.__doc__ or "").partition("Example:")
        parts += [f"## `{name}`", words.strip(), f"```sh\n{example.strip()}\n```"]
        rows = [_row(each) for each in parameters(function)]
        parts.append(table(("argument or option", "what it is", "default"), rows))
    return joined(*parts)


def commands() -> Iterator[tuple[str, Callable[..., Any]]]:
    """Each command's whole name and the function behind it."""
    yield from _below("sheetgen", app)


def _below(name: str, group: typer.Typer) -> Iterator[tuple[str, Callable[..., Any]]]:
    for command in group.registered_commands:
        assert command.callback is not None
        yield f"{name} {command.name or command.callback.__name__}", command.callback
    for sub in group.registered_groups:
        assert sub.typer_instance is not None
        yield from _below(f"{name} {sub.name}", sub.typer_instance)


def parameters(function: Callable[..., Any]) -> Iterator[Parameter]:
    """The arguments and options of a command's function."""
    hints = typing.get_type_hints(function, include_extras=True)
    for name, parameter in inspect.signature(function).parameters.items():
        kind, info = typing.get_args(hints[name])[:2]
        choices = tuple(map(str, typing.get_args(kind))) if typing.get_origin(kind) is Literal else ()
        argument = type(info).__name__ == "ArgumentInfo"
        many = " …" if typing.get_origin(kind) is list else ""
        option = (info.param_decls or [f"--{name.replace('_', '-')}"])[0] if not argument else ""
        default = parameter.default
        shown = (
            "required" if default is inspect.Parameter.empty
            else "" if default is None or default is False
            else f"`{default}`"
        )  # fmt: skip
        yield Parameter(f"{name.upper()}{many}" if argument else option, info.help or "", choices, shown)


def _row(each: Parameter) -> tuple[str, str, str]:
    choices = ", ".join(f"`{choice}`" for choice in each.choices)
    return f"`{each.name}`", f"{each.words} One of: {choices}." if choices else each.words, each.default
