"""Tables as plain text: values separated by commas, semicolons or tabs (RFC 4180), as other programs write them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from itertools import islice

_MARKS = ",;\t"


def decoded(data: bytes) -> str | None:
    """Give the text of a file in UTF-8, UTF-16 or Windows-1252, a byte order mark or none; None for any other."""
    encoding = "utf-16" if data[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8-sig"
    for each in (encoding, "cp1252"):  # what older spreadsheet programs write
        try:
            text = data.decode(each)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    return None


def separated(data: bytes, most: int | None = None) -> tuple[str, list[tuple[int, dict[int, str]]]] | None:
    """Give the separator, and the rows that hold something: the line of each from 0, its values by column from 0.

    None where a file is no text, or its text no table. ``most`` is how many rows are read, all where it is None.
    """
    text = decoded(data)
    if text is None:
        return None
    named = re.match(r"sep=(.)\r?\n", text)  # what spreadsheet programs put first to name the separator
    mark = named[1] if named else max(_MARKS, key=text.partition("\n")[0].count)
    try:
        return mark, list(islice(_rows(text, mark, bool(named)), most))
    except csv.Error:
        return None


def _rows(text: str, mark: str, named: bool) -> Iterator[tuple[int, dict[int, str]]]:
    lines, first = csv.reader(io.StringIO(text, newline=""), delimiter=mark), 0
    for cells in lines:  # a value in quotes can hold line breaks
        row = {column: cell for column, cell in enumerate(cells) if cell.strip()}
        if row and not (named and first == 0):
            yield first, row
        first = lines.line_num
