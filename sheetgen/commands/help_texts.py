"""The words of ``--help``, and what is said of a command that was typed wrongly, in the reader's language.

The library of commands brings English words along and few ways to other ones, so that its commands are given their
texts before they run, and its errors are told by what they are about.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from difflib import get_close_matches
from functools import partial
from typing import Any

from sheetgen.output import printable
from sheetgen.templates import spoken, toml

_SECTIONS = ("arguments", "options", "commands")
_BEHIND = re.compile(r"\[(default: )?(.*?)(?:; )?(required)?\]$")  # a description
_KIND = re.compile(r"<([^<>]+)>$|\b([A-Z]+(?: RANGE)?)$")  # of a value, as the library's versions write it
_NOT_ONE_OF = re.compile(r"'(.*)' is not one of (.*)\.")
_EXTRA = re.compile(r"extra argument\S* \((.*)\)")


def put_words(command: Any) -> Any:
    """Give a group of commands and all below it their texts, and give it back."""
    _put(command, "", _words())
    return command


def _words() -> dict[str, dict[str, str]]:
    words: dict[str, dict[str, str]] = toml(f"texts/{spoken()}/help.toml")["help"]
    return words


def _put(command: Any, name: str, words: dict[str, dict[str, str]]) -> None:
    own, word = words[name or "program"], words["word"]
    command.help, command.short_help = own["text"], own.get("line")
    command.options_metavar = word["options_mark"]
    command.context_class = _worded_context(command.context_class, words)
    for parameter in command.params:
        key = str(parameter.name)
        parameter.help = own.get(key) or words["any"][key]
        if parameter.param_type_name == "argument":
            parameter.metavar = words["name"][key]
    below = getattr(command, "commands", {})
    if below:
        command.subcommand_metavar = word["command_mark"]
    for key, each in below.items():
        _put(each, f"{name}_{key}" if name else key, words)


def _worded_context(context: Any, words: dict[str, dict[str, str]]) -> Any:
    """The kind of context a command runs in, whose pages have the words of a language around the texts."""
    word, pages = words["word"], context.formatter_class

    class Pages(pages):  # type: ignore[misc, valid-type]
        def write_usage(self, prog: str, args: str = "", prefix: str | None = None) -> None:
            super().write_usage(prog, args, word["usage"] if prefix is None else prefix)

        def section(self, name: str) -> Any:
            key = name.lower()
            return super().section(word[key] if key in _SECTIONS else name)

        def write_dl(self, rows: Sequence[tuple[str, str]], *more: Any, **options: Any) -> None:
            told = [
                (_KIND.sub(partial(_kind, words["kind"]), first), _behind(first, second, words))
                for first, second in rows
            ]
            super().write_dl(told, *more, **options)

    return type("Worded", (context,), {"formatter_class": Pages})


def _kind(kinds: dict[str, str], found: re.Match[str]) -> str:
    """The kind of a value in the reader's words; a choice of words as it is."""
    word = kinds.get((found[1] or found[2]).lower())
    return f"<{word}>" if word else found[0]


def _behind(name: str, text: str, words: dict[str, dict[str, str]]) -> str:
    """A description with what the library puts behind it: a default, and whether it must be given."""
    if name == "--help":
        return words["any"]["help"]
    word, found = words["word"], _BEHIND.search(text)
    if found is None or not (found[1] or found[3]):
        return text
    parts = [f"{word['default']}{found[2]}"] if found[1] else []
    parts += [word["required"]] if found[3] else []
    return f"{text[: found.start()]}[{'; '.join(parts)}]"


def told(error: Any, given: Sequence[str], names: Iterable[str]) -> str:
    """Say what is wrong with a command as it was typed.

    Args:
        error: what the library of commands raised
        given: what was typed behind the program's name
        names: of all commands
    """
    wrong, kind = _words()["wrong"], type(error).__name__
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else " ".join(["sheetgen", *given[:1]])
    name, found = _parameter(error), printable(str(error.message))
    if kind == "NoArgsIsHelpError":
        return str(error.message)
    if kind == "NoSuchOption" and context is not None:
        options = [each for parameter in context.command.params for each in parameter.opts]
        return wrong["no_option"].format(name=name, near=_near(name, options), command=command)
    if kind == "BadOptionUsage":
        return wrong["no_value"].format(name=name, command=command)
    if kind == "MissingParameter":
        return wrong["missing"].format(name=name, command=command)
    choice, extra = _NOT_ONE_OF.search(found), _EXTRA.search(found)
    if choice:
        known = choice[2].replace("'", "")
        return wrong["choice"].format(name=name, found=choice[1], known=known, command=command)
    if extra:
        return wrong["extra"].format(found=extra[1], command=command)
    if kind == "BadParameter":
        key = "number" if "integer" in found or "greater than" in found or "range" in found else "value"
        return wrong[key].format(name=name, found=_value(found, name, given), command=command)
    typed = re.search("'([^']*)'", found)
    if "command" in found and typed:
        return wrong["no_command"].format(name=typed[1], near=_near(typed[1], names))
    return wrong["other"].format(found=found, command=command)


def _value(found: str, name: str, given: Sequence[str]) -> str:
    """What was typed: behind the option, or as the library's sentence has it between quotes; else the sentence."""
    if name in given[:-1]:
        return printable(given[given.index(name) + 1])
    typed = re.search("'(.*)'", found)
    return typed[1] if typed else found.rstrip(".")


def _parameter(error: Any) -> str:
    """The option or argument that an error is about, as it is typed."""
    if getattr(error, "option_name", None):
        return printable(str(error.option_name))
    parameter = getattr(error, "param", None)
    if parameter is None:
        return ""
    return str(parameter.opts[0] if parameter.opts[0].startswith("-") else parameter.metavar.upper())


def _near(name: str, names: Iterable[str]) -> str:
    near = get_close_matches(name, list(names), 3, 0.6)
    return _words()["wrong"]["near"].format(names=", ".join(near)) if near else ""
