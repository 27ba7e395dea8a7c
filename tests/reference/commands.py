"""The commands and their options, from the definitions that ``--help`` prints."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

import typer

from sheetgen.cli import app
from sheetgen.commands.help_texts import put_words
from sheetgen.templates import LANGUAGES
from tests.reference.markdown import page as joined
from tests.reference.markdown import table

STATUSES = (
    ("0", "nothing to act on; notes ask for nothing"),
    ("1", "findings"),
    ("2", "a command was typed wrongly, or an input could not be used: each is named, and the others are done"),
)  # fmt: skip
LANGUAGE = f"""\
Messages are in the language of the order or the book they are about. Where there is none yet, and for `--help`, the
language is that of `--lang`, else of the settings (`sheetgen settings --language es`), else of the system (`LC_ALL`,
`LC_MESSAGES` or `LANG`, as POSIX has them; on Windows use the settings), else English. Languages:
{", ".join(f"`{each}`" for each in LANGUAGES)}."""


def page() -> str:
    """Every command: its sentence, example, arguments and options."""
    parts = [
        "# Commands",
        "From the definitions behind the program's own `--help`; every command has it.",
        "Exit status of every command:",
        table(("status", "means"), STATUSES),
        LANGUAGE,
    ]
    for name, command in commands():
        words, _, example = command.help.partition("Example:")
        parts += [f"## `{name}`", words.strip(), f"```sh\n{example.strip()}\n```"]
        rows = [_row(each) for each in command.params]
        parts.append(table(("argument or option", "what it is", "default"), rows))
    return joined(*parts)


def commands() -> Iterator[tuple[str, Any]]:
    """Each command's whole name, and the command with its words."""
    yield from _below("sheetgen", put_words(typer.main.get_command(app)))


def _below(name: str, group: Any) -> Iterator[tuple[str, Any]]:
    for key, command in group.commands.items():
        if hasattr(command, "commands"):
            yield from _below(f"{name} {key}", command)
        else:
            yield f"{name} {key}", command


def _row(each: Any) -> tuple[str, str, str]:
    argument = each.param_type_name == "argument"
    many = " …" if each.nargs == -1 else ""
    choices = _choices(each)
    words = f"{each.help} One of: {', '.join(f'`{choice}`' for choice in choices)}." if choices else each.help
    default = "" if each.default in (None, False) else f"`{each.default}`"
    name = f"{(each.metavar or each.name).upper()}{many}" if argument else each.opts[0]
    return f"`{name}`", words, "required" if each.required else default


def _choices(each: Any) -> tuple[str, ...]:
    """The words that an option takes, where it takes a few alone."""
    kind = each.type_descriptor.annotation
    return tuple(map(str, get_args(kind))) if get_origin(kind) is Literal else ()
