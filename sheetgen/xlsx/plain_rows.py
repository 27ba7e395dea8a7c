"""Rows of a worksheet straight from the text of its part, where it is written as programs usually write it.

Nine tenths of a book is rows, and making an element of every cell and value takes most of the reading time.
Programs write rows in one plain form, which a pattern can take apart. Whatever is not in exactly that form,
or might not be well-formed XML, is left to the parser: :class:`NotPlainError` says so, and nothing of the
attempt counts. A test holds the two ways against each other on mutated files.
"""

from __future__ import annotations

import re
from functools import lru_cache

from sheetgen.xlsx import markup
from sheetgen.xlsx.cells import CellMaker
from sheetgen.xlsx.returned import Value

_OPEN, _CLOSE = b"<sheetData>", b"</sheetData>"
_CONTROL = bytes(range(9)) + bytes(range(11, 32))  # what XML forbids, and the return that it rewrites
_CELL = re.compile(
    r'<c r="([A-Z]{1,3})([0-9]{1,7})"(?: s="([0-9]{1,6})")?(?: cm="1")?(?: t="([A-Za-z]{1,9})")?(?: cm="1")?'
    r"(?: ?/>|>(?:<f( [^<>]*)?(?:/>|>([^<]*)</f>))?"
    r'(?:(<v)(?: ?/>|>([^<]*)</v>)|<is><t(?: xml:space="preserve")?>([^<]*)</t></is>)?</c>)'
)
_GROUPS = 10  # of the pattern, and the text between two matches
_ROW = re.compile(r'</row>|<row r="([0-9]{1,7})"( [^<>]*?)?(/?)>')
_ATTRIBUTE = re.compile(r' ([A-Za-z0-9]+(?::[A-Za-z0-9]+)?)="([^"<&\n\t]*)"')
_ATTRIBUTES = re.compile(rf"(?:{_ATTRIBUTE.pattern})* ?\Z")
_ENTITIES = (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&apos;", "'"))  # and &amp; last


class NotPlainError(ValueError):
    """The rows are not in the plain form."""


def cut_rows(data: bytes) -> tuple[bytes, str] | None:
    """The part without its rows, and the rows' text; None where they cannot be cut out with certainty.

    A comment, a processing instruction or a CDATA section could hide the marks that are looked for.
    """
    start, end = data.find(_OPEN) + len(_OPEN), data.find(_CLOSE)
    if not len(_OPEN) <= start <= end or data.count(_OPEN) != 1 or data.count(_CLOSE) != 1:
        return None
    if b"<!" in data or data.rfind(b"<?") > 0 or not markup.is_utf8(data):
        return None
    rows = data[start:end]
    if len(rows.translate(None, _CONTROL)) != len(rows) or b"]]>" in rows:
        return None
    try:
        return data[:start] + data[end:], rows.decode("utf-8")
    except UnicodeDecodeError:
        return None


def read_plain_rows(text: str, maker: CellMaker) -> None:
    """Adds the cells of the rows' text; :class:`NotPlainError` at the first thing that is not plain.

    The reader's innermost loop: what nearly every cell has is done in place, the rest in :class:`CellMaker`.
    """
    pieces = _CELL.split(text)
    rows = _RowMarks(maker)
    cells, looks, columns = maker.sheet.cells, maker.looks, maker.columns
    columns_of = zip(*(pieces[start::_GROUPS] for start in range(_GROUPS)), strict=False)
    for gap, letters, digits, style, kind, facts, formula_text, has_value, value_text, inline in columns_of:
        if gap:
            rows.step(gap)
        if digits != rows.digits:
            raise NotPlainError
        place = rows.index, columns[letters] if letters in columns else maker.column_index(letters, letters)
        formula: str | None = None
        if facts is not None:
            formula = maker.formula(_text(formula_text or ""), _attributes(facts), *place)
        elif formula_text:
            formula = maker.counted("=" + (_text(formula_text) if "&" in formula_text else formula_text))
        look = looks[style] if style in looks else looks[None]
        if value_text and (kind is None or kind == "n"):
            cells[place] = maker.number_cell(
                _text(value_text) if "&" in value_text else value_text, formula, look
            )
        else:
            value = _value(kind or "n", has_value, value_text, inline, maker)
            cells[place] = maker.cell(value, formula, kind or "n", look)
    rows.end(pieces[-1])
    if len(cells) != (len(pieces) - 1) // _GROUPS:  # a cell written twice
        raise NotPlainError
    maker.finish()


def _value(kind: str, has_value: str | None, text: str | None, inline: str | None, maker: CellMaker) -> Value:
    if has_value:
        return maker.value(kind, _text(text) if text else None)
    return None if inline is None else markup.unescape(_text(inline))


class _RowMarks:
    """Where the reader is: ``digits`` is the open row's number as written, empty outside of a row."""

    def __init__(self, maker: CellMaker) -> None:
        self._maker = maker
        self._hidden: list[int] = []
        self.digits = ""
        self.index = -1

    def step(self, gap: str) -> None:
        """Takes in the row marks between two cells."""
        place = 0
        while place < len(gap):
            match = _ROW.match(gap, place)
            if match is None:
                raise NotPlainError
            place = match.end()
            closing = match[0] == "</row>"
            if closing != bool(self.digits):
                raise NotPlainError
            if closing:
                self.digits = ""
            else:
                self._begin(match[1], _attributes(match[2]), match[3] == "/")

    def _begin(self, digits: str, attributes: dict[str, str], empty: bool) -> None:
        if "r" in attributes:
            raise NotPlainError
        self.index = self._maker.row_index(digits)
        if self._maker.row_settings(self.index, attributes):
            self._hidden.append(self.index)
        self.digits = "" if empty else digits

    def end(self, gap: str) -> None:
        """Takes in what follows the last cell."""
        self.step(gap)
        if self.digits:
            raise NotPlainError
        self._maker.sheet.hidden_rows |= frozenset(self._hidden)


@lru_cache(maxsize=1024)
def _attributes(text: str | None) -> dict[str, str]:
    """The attributes written in a text, to be read only: many rows and formulas have the same."""
    if not text:
        return {}
    if not _ATTRIBUTES.match(text) or "xmlns" in text:
        raise NotPlainError
    pairs = _ATTRIBUTE.findall(text)
    found = dict(pairs)
    if len(found) != len(pairs):
        raise NotPlainError
    return found


def _text(text: str) -> str:
    """The text with the five entities of XML resolved."""
    if "&" not in text:
        return text
    for entity, sign in _ENTITIES:
        text = text.replace(entity, sign)
    if text.count("&") != text.count("&amp;"):
        raise NotPlainError
    return text.replace("&amp;", "&")
