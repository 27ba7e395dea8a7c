"""The settings of an office: what it would otherwise type at every command.

They stand in one TOML file in the folder where the system keeps settings; the variable ``SHEETGEN_SETTINGS`` names
another file. Every command takes what it is not told from there. Only file names and words are in it, no secret.
"""

from __future__ import annotations

import errno
import os
import re
from pathlib import Path
from typing import Any, NamedTuple

import tomli

from sheetgen import templates
from sheetgen.errors import KeyFileError, SettingsError
from sheetgen.output import in_full, printable
from sheetgen.templates import LANGUAGES
from sheetgen.whole_file import write_whole

VARIABLE = "SHEETGEN_SETTINGS"
PAPERS = ("letter", "a4")
_PUBLIC_KEY = re.compile(r"[0-9a-f]{64}")
_PLACES = ("key", "out", "yard")  # paths; a register may also be the address of a database


class Settings(NamedTuple):
    """What an office has set; empty where it has not.

    Attributes:
        key: the signing key's file
        public_key: that belongs to it, 64 hexadecimal digits
        register: a file, or the address of a database
        language: as its folder of texts is named
        second_language: of the books' forms on paper, such as for a crew that speaks another one
        paper: "letter" or "a4"
        yard: the yard workbook that new orders take distributors and materials from
        out: the folder into which books, reports and the desk's files go
    """

    key: str = ""
    public_key: str = ""
    register: str = ""
    language: str = ""
    second_language: str = ""
    paper: str = ""
    yard: str = ""
    out: str = ""

    def folder(self, name: str) -> str:
        """A folder inside the office's own; the bare name where none is set."""
        return str(Path(self.out) / name) if self.out else name


def settings_file() -> Path:
    """The file that holds the settings, whether it is there or not."""
    named = os.environ.get(VARIABLE)
    if named:
        return Path(named)
    from typer import get_app_dir

    return Path(get_app_dir("sheetgen")) / "settings.toml"


def read_settings() -> Settings:
    """The settings as they stand; none where there is no file.

    Raises:
        SettingsError: the file cannot be read, or holds what is no setting; each line is named with what to do.
    """
    file = settings_file()
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError as error:
        if os.environ.get(VARIABLE):  # a key must not be forgotten because a name is mistyped
            raise _wrong("missing", file, variable=VARIABLE) from error
        return Settings()
    except (OSError, UnicodeDecodeError) as error:
        raise _wrong("unreadable", file, reason=error) from error
    try:
        found = tomli.loads(text)
    except tomli.TOMLDecodeError as error:
        raise _wrong("no_toml", file, reason=error) from error
    return _checked({key: _text(key, value, file) for key, value in found.items()}, file)


def change_settings(changes: dict[str, str]) -> Settings:
    """Set some of them and leave the others; an empty text takes one away.

    Raises:
        SettingsError: a value is none that can be used.
        KeyFileError: the key cannot be used.
    """
    file = settings_file()
    new = dict(changes)
    if "key" in new:
        new["public_key"] = _public_key_of(Path(new["key"])) if new["key"] else ""
    for name in _PLACES:
        if new.get(name):
            new[name] = str(Path(new[name]).absolute())
    if new.get("register") and "://" not in new["register"]:
        new["register"] = str(Path(new["register"]).absolute())
    changed = _checked(read_settings()._asdict() | new, file)
    if file.exists() and not file.is_file():  # a device of the system must not be replaced by a file
        raise _wrong("unreadable", file, reason=os.strerror(errno.EINVAL))
    lines = [f"{name} = {_toml(value)}" for name, value in changed._asdict().items() if value]
    file.parent.mkdir(parents=True, exist_ok=True)
    write_whole(file, "".join(f"{line}\n" for line in lines).encode())
    return changed


def settings_text(settings: Settings, language: str) -> str:
    """The settings for a person to read: the file, and each with its value."""
    say = templates.texts(language)
    lines = [say.say("settings.head", path=in_full(settings_file()))]
    for name, value in settings._asdict().items():
        shown = in_full(value) if value else say["settings.not_set"]
        lines.append(say.say("settings.line", name=say[f"settings.name.{name}"], value=shown))
    return "\n".join(lines)


def defaults(settings: Settings, spoken: str = "") -> dict[str, dict[str, Any]]:
    """What commands take where they are not told, by the names of their options.

    Args:
        spoken: the reader's language, for what is new and for pages; a report is in that of the book or the settings
    """
    issue = {"key": settings.key, "register": settings.register, "out": settings.folder("books")}
    returns = {
        "public_key": settings.public_key,
        "register": settings.register,
        "out": settings.folder("rechecked"),
    }
    words = {"lang": spoken or settings.language, "paper": settings.paper}
    found = {
        "order": words | {"yard": settings.yard},
        "yard": words,
        "demo": {"lang": words["lang"]},
        "explain": {"lang": words["lang"]},
        "compare": {"lang": settings.language},
        "build": issue | {"yard": settings.yard, "second_lang": settings.second_language},
        "recheck": returns | {"lang": settings.language},
        "open": issue | returns | {"out": settings.out},
        "desk": {"folder": settings.out},
        "season": words
        | {
            "register": settings.register,
            "out": str(Path(settings.out, "season.xlsx")) if settings.out else "",
        },
    }
    return {
        command: {name: value for name, value in options.items() if value}
        for command, options in found.items()
    }


def refuse_other_key(settings: Settings, key: Path | None) -> None:
    """Let books be built with the key of the office alone, where it has set one.

    Raises:
        KeyFileError: another key is given, none, or that of the office is gone.
    """
    if not settings.key or (key is not None and str(key) == settings.key):
        return
    own = Path(settings.key)
    if key is None or not own.is_file() or not key.is_file() or own.read_bytes() != key.read_bytes():
        say = templates.spoken_texts()
        given = say["settings.no_key"] if key is None else in_full(key)
        raise KeyFileError(say.say("settings.other_key", given=given, own=in_full(settings.key)))


def _public_key_of(key: Path) -> str:
    from sheetgen.signing import load_key, public_text

    return public_text(load_key(key))


def _checked(values: dict[str, str], file: Path) -> Settings:
    for name in values:
        if name not in Settings._fields:
            raise _wrong("unknown", file, name=printable(name), known=", ".join(Settings._fields))
    allowed = {"language": LANGUAGES, "second_language": LANGUAGES, "paper": PAPERS}
    for name, words in allowed.items():
        if values.get(name) and values[name] not in words:
            raise _wrong(
                "word",
                file,
                name=name.replace("_", "-"),
                found=printable(values[name]),
                known=", ".join(words),
            )
    if values.get("public_key") and not _PUBLIC_KEY.fullmatch(values["public_key"]):
        raise _wrong("public_key", file, found=printable(values["public_key"], 24))
    return Settings(**values)


def _text(name: str, value: object, file: Path) -> str:
    if not isinstance(value, str):
        raise _wrong("no_text", file, name=printable(name), found=printable(repr(value)))
    return value


def _toml(text: str) -> str:
    """A text between quotes (TOML 1.0, basic strings)."""
    signs = {'"': '\\"', "\\": "\\\\"}
    shown = (signs.get(sign, sign if sign.isprintable() else f"\\U{ord(sign):08x}") for sign in text)
    return f'"{"".join(shown)}"'


def _wrong(why: str, file: Path, **facts: object) -> SettingsError:
    return SettingsError(templates.spoken_texts().say(f"settings.wrong.{why}", file=file, **facts))
