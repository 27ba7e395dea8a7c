"""Why a file cannot be read as a returned field book, in words from ``texts/<language>/unusable.toml``."""

from __future__ import annotations

from typing import Any

from sheetgen import templates
from sheetgen.errors import UnusableBook
from sheetgen.output import printable


def unusable(path: str, why: str, expected: str = "sound", **facts: Any) -> UnusableBook:
    """The error for one reason, such as ``"truncated"``, ready to be raised.

    ``expected`` is a key below ``unusable.expected``; ``facts`` fill the placeholders of the wording. What
    comes from the file itself is shortened and stripped of control characters, because it goes to a
    terminal.
    """
    texts = templates.spoken_texts()
    shown = {key: printable(str(value)) for key, value in facts.items()}
    return UnusableBook(
        path,
        texts.say(f"unusable.{why}.found", **shown),
        texts.say(f"unusable.expected.{expected}", **shown),
        texts.say(f"unusable.{why}.remedy", **shown),
    )


def beyond(path: str, limit: str, number: object, why: str = "too-many", **facts: Any) -> UnusableBook:
    """The error for a file beyond one of the reader's limits, named below ``unusable.limit``."""
    shown = {key: printable(str(value)) for key, value in facts.items()}
    text = templates.spoken_texts().say(f"unusable.limit.{limit}", number=number, **shown)
    return unusable(path, why, "limits", limit=text, **facts)
