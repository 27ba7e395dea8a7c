"""Words: yes or no, names from the order, plain texts; and words for nothing or for "as above"."""

from __future__ import annotations

import re
from collections.abc import Collection
from functools import cache

from sheetgen import templates
from sheetgen.reading.typed import Read, Reader, Typed, cleaned, shown


@cache
def meanings() -> dict[str, str]:
    """Words of both languages that mean "yes", "no", "blank" or "ditto", in lower case."""
    return {row["word"]: row["meaning"] for row in templates.table("entry_words")}


def meaning(value: object) -> str:
    """What such a word in a cell means; empty for any other value."""
    return meanings().get(cleaned(value).casefold().rstrip("."), "") if isinstance(value, str) else ""


def yes_no(typed: Typed, reader: Reader) -> Read:
    """Read yes or no in either language, a mark, or a logical value."""
    if isinstance(typed.value, bool):
        return Read(typed.value)
    word = cleaned(typed.value).casefold() if isinstance(typed.value, str) else shown(float(typed.value or 0))
    means = meanings().get(word.rstrip("."), "")
    if means not in ("yes", "no"):
        return reader.unreadable("not_yes_or_no")
    usual = {reader.say["words.yes"].casefold(), reader.say["words.no"].casefold()}
    if word in usual:
        return Read(means == "yes")
    return Read(means == "yes", reader.because(f"means_{means}"), "word-read-as-another")


def text(typed: Typed, reader: Reader) -> Read:
    """Any text; a number in the cell is the text of its digits."""
    value = typed.value
    if isinstance(value, str):
        return Read(cleaned(value))
    if isinstance(value, bool) or value is None:
        return reader.unreadable("not_a_text")
    return Read(shown(float(value)))


def chosen(typed: Typed, names: Collection[str], unknown: str, reader: Reader) -> Read:
    """One of the order's names, whatever its case, spaces, hyphens; ``unknown`` is the trouble of others."""
    read = text(typed, reader)
    if read.value is None or read.value in names:
        return read
    plain = {bare(name): name for name in names}
    name = plain.get(bare(str(read.value)))
    if name is None:
        return Read(read.value, reader.because("not_in_order", names=", ".join(sorted(names))), unknown)
    same = str(read.value).casefold() == name.casefold()
    return Read(name, reader.because("name_read", name=name), "" if same else "word-read-as-another")


def bare(name: str) -> str:
    """A name without what people write now so, now so: case, spaces, hyphens, points."""
    return re.sub(r"[\s.\-_/]", "", name).casefold()
