"""What lies around the cells of a returned book against what was issued: comments, links, drawings, page texts."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from html import unescape
from typing import Any, NamedTuple

from sheetgen.audit.findings import finding
from sheetgen.audit.model import Finding
from sheetgen.audit.proof.adjust import settled
from sheetgen.audit.proof.pairing import Pair, Pairing
from sheetgen.templates import Texts
from sheetgen.xlsx.address import a1, area, areas, cell_list
from sheetgen.xlsx.returned import Drawn, ReturnedBook

_MOST = 12  # comments or links told of one sheet
_PART = 200  # characters of each
_NEAR = 1  # lines and columns by which programs round a place
_SECTION = re.compile(r"&([LCR])")  # of a header (18.3.1.46)
_LOOK = re.compile(r'&(?:"[^"]*"|K[0-9A-Fa-f+\-]{5,6}|\d+|[BIUESXYOH])')
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")  # a sign as programs write it that XML might lose (22.4.2.4)
_NO_TEXT = "None"  # what openpyxl writes for a text that is empty
_REFERENCE = re.compile(r"[$']|\s")
_PRINT_AREA = ("_xlnm.print_area", "print_area")


def around_findings(returned: ReturnedBook, pairing: Pairing, say: Texts) -> tuple[list[str], list[Finding]]:
    """What a program dropped in the whole book, and the findings on the rest, sheet by sheet."""
    dropped: list[str] = []
    found: list[Finding] = []
    if any(pair.issued.cells_alone for pair in pairing.pairs):
        return dropped, found
    for pair in pairing.pairs:
        found += [*_comments(pair, say), *_links(pair, say)]
        if pair.place.still:
            found += _print_area(pair, returned, say)
    headed = [pair for pair in pairing.pairs if pair.issued.page.get("footer")]
    if headed and not any(pair.returned.page_texts for pair in headed):
        dropped.append("page-texts")
    else:
        found += [one for pair in pairing.pairs for one in _page_texts(pair, say)]
    lost = {kind for kind in ("picture", "chart") if _all_lost(kind, pairing)}
    dropped += [f"{kind}s" for kind in sorted(lost)]
    if settled(pairing.places):
        if any(map(_fewer_in_several, pairing.pairs)):
            dropped.append("chart-lines")
        usual = _usual_pictures(pairing)
        found += [one for pair in pairing.pairs for one in _drawings(pair, lost, usual, say)]
    return dropped, found


# Comments and links.


def _comments(pair: Pair, say: Texts) -> Iterator[Finding]:
    """Comments that were not issued: a crew may write one at an entry; on the locked part it changes what is read."""
    said: dict[str, list[tuple[tuple[int, int], str]]] = {
        "comment-on-locked-cell": [],
        "comment-on-entry": [],
    }
    for place, text in sorted(pair.returned.comments.items()):
        then = pair.then(*place)
        if then is not None and pair.issued.comments.get(then, "").split() == text.split():
            continue
        said["comment-on-entry" if _entry(pair, then) else "comment-on-locked-cell"].append((place, text))
    for name, comments in said.items():
        if comments:
            yield _told(name, pair, comments, say["proof.no-comment"])


def _links(pair: Pair, say: Texts) -> Iterator[Finding]:
    issued = {at: target.removeprefix("internal:") for at, target in pair.issued.links.items()}
    added: list[tuple[tuple[int, int], str]] = []
    for ref, target in pair.returned.links[:5_000]:
        for place in areas(ref, _MOST):
            then = pair.then(*place[:2])
            known = issued.get(then, "") if then is not None else ""
            if _bare(target) != _bare(known) and not _typed(pair, place[:2], then, target):
                added.append((place[:2], target))
    if added:
        yield _told("link-added", pair, sorted(added), say["proof.no-such-link"])


def _typed(pair: Pair, place: tuple[int, int], then: tuple[int, int] | None, target: str) -> bool:
    """Whether a link is what a program makes of an address that was typed as an entry."""
    cell = pair.returned.cells.get(place)
    text = str(cell.value).strip().casefold() if cell is not None else ""
    bare = re.sub(r"^(?:mailto:|https?://)", "", target.strip().casefold()).rstrip("/")
    return _entry(pair, then) and bool(bare) and bare in text


def _entry(pair: Pair, then: tuple[int, int] | None) -> bool:
    """Whether a returned cell is one for entries, or lies outside of all that was issued."""
    cell = pair.issued.cells.get(then) if then is not None else None
    return cell is None or not cell.locked


def _bare(target: str) -> str:
    """A place in the workbook, or an address, in the one way that programs' ways to write it come to."""
    place = _REFERENCE.sub("", unescape(target)).casefold().lstrip("#")  # chains of programs escape twice
    first, colon, last = place.rpartition("!")[2].partition(":")
    return place.removesuffix(f":{last}") if colon and first == last else place


def _told(name: str, pair: Pair, added: list[tuple[tuple[int, int], str]], expected: str) -> Finding:
    """One finding for a sheet, each cell with its text."""
    parts = [f"{a1(*place)}: {' '.join(text.split())[:_PART]}" for place, text in added[:_MOST]]
    more = f"; … ({len(added)})" if len(added) > _MOST else ""
    cell = a1(*added[0][0])
    return finding(
        name, sheet=pair.returned.name, cell=cell, found="; ".join(parts) + more, expected=expected
    )


# What is printed on each page.


def _page_texts(pair: Pair, say: Texts) -> Iterator[Finding]:
    issued = {"oddFooter": pair.issued.page["footer"]} if pair.issued.page.get("footer") else {}
    now, then = (
        {where: text for where, raw in each.items() if (text := page_text(raw))}
        for each in (pair.returned.page_texts, issued)
    )
    if now != then:
        found, expected = (" / ".join(each.values()) or say["proof.none"] for each in (now, then))
        yield finding("page-text-changed", sheet=pair.returned.name, found=found, expected=expected)


def page_text(raw: str) -> str:
    """The words of a header or footer, left, middle and right, without what only says how they look."""
    parts = _SECTION.split(f"&C{_ESCAPED.sub(lambda sign: chr(int(sign[1], 16)), raw)}")
    sections: dict[str, str] = {}
    for side, text in zip(parts[1::2], parts[2::2], strict=True):
        sections[side] = sections.get(side, "") + _LOOK.sub("", text)
    words = {side: " ".join(text.split()) for side, text in sections.items()}
    return " | ".join(words[side] for side in "LCR" if words.get(side))


def _print_area(pair: Pair, returned: ReturnedBook, say: Texts) -> Iterator[Finding]:
    """What was issued to be printed and is outside of the print area now."""
    names = {f"{pair.returned.name}!{name}".casefold() for name in _PRINT_AREA}
    reference = next((text for name, text in returned.names.items() if name.casefold() in names), "")
    printed = [area(part.rpartition("!")[2]) for part in reference.split(",")]
    whole = pair.issued.page.get("area")
    if not reference or None in printed or printed == [whole]:
        return
    left_out = [
        (row, column)
        for (row, column), cell in pair.issued.cells.items()
        if (cell.formula is not None or cell.value not in (None, "") or not cell.locked)
        and (whole is None or _inside((row, column), whole))
        and not any(each and _inside((row, column), each) for each in printed)
    ]
    if left_out:
        text = say.say("proof.not-printed", cells=cell_list(left_out))
        cell = a1(*min(left_out))
        expected = say["proof.printed"]
        yield finding("print-area-cut", sheet=pair.returned.name, cell=cell, found=text, expected=expected)


def _inside(place: tuple[int, int], area: tuple[int, int, int, int]) -> bool:
    return area[0] <= place[0] <= area[2] and area[1] <= place[1] <= area[3]


# Pictures, charts, shapes.


class _Issued(NamedTuple):
    kind: str
    at: tuple[int, int]
    code: str  # of a picture: what it says
    series: frozenset[str]  # of a chart: the cells that it draws
    words: str


def _all_lost(kind: str, pairing: Pairing) -> bool:
    """Whether a program dropped all of a kind: there were some, and there is none of it and no other in their place."""
    issued = any(each.kind == kind for pair in pairing.pairs for each in _issued(pair))
    return issued and not any(each.kind == kind for pair in pairing.pairs for each in pair.returned.drawn)


def _issued(pair: Pair) -> Iterator[_Issued]:
    for picture in pair.issued.pictures:
        yield _Issued("picture", picture["at"], picture["code"], frozenset(), "")
    for chart in pair.issued.charts:
        texts = list(_texts(chart))
        series = frozenset(_bare(text[1:]) for text in texts if text.startswith("="))
        yield _Issued("chart", chart["at"], "", series, "\n".join(texts))


def _texts(described: Any) -> Iterator[str]:
    """Every text in the description of a chart."""
    if isinstance(described, str):
        yield described
    elif isinstance(described, dict):
        for each in described.values():
            yield from _texts(each)
    elif isinstance(described, list | tuple):
        for each in described:
            yield from _texts(each)


def _usual_pictures(pairing: Pairing) -> Mapping[str, str]:
    """The fingerprint that most pictures of a code have, by the code: a program writes them all alike."""
    found: dict[str, Counter[str]] = {}
    for pair in pairing.pairs:
        for issued in _issued(pair):
            alike = (each.content for each in pair.returned.drawn if _alike(each, issued))
            found.setdefault(issued.code, Counter()).update(alike)
    return {code: count.most_common(1)[0][0] for code, count in found.items() if code and count}


def _drawings(pair: Pair, lost: set[str], usual: Mapping[str, str], say: Texts) -> Iterator[Finding]:
    """Each drawing that is at no place of an issued one, and each issued one that is gone or shows something else.

    Where lines were shifted or sheets renamed, those findings say enough: drawings are not compared then.
    """
    left, fewer = list(pair.returned.drawn), _fewer_in_several(pair)
    for issued in _issued(pair):
        if issued.kind in lost:
            continue
        as_usual = usual.get(issued.code)
        same = [each for each in left if _alike(each, issued, fewer) and as_usual in (None, each.content)]
        if same:
            left.remove(same[0])
            continue
        text = say.say("proof.no-drawing", what=say[f"proof.drawn-{issued.kind}"])
        expected = say.say("proof.drawing", what=say[f"proof.drawn-{issued.kind}"], cell=a1(*issued.at))
        cell = a1(*issued.at)
        yield finding("drawing-changed", sheet=pair.returned.name, cell=cell, found=text, expected=expected)
    for each in left[:_MOST]:
        what = say[f"proof.drawn-{each.kind}"]
        if each.kind == "shape" and each.content:
            what += say.say("proof.text-in", text=each.content[:_PART])
        cell = a1(each.row, each.column)
        text = say.say("proof.drawing", what=what, cell=cell)
        none = say["proof.none"]
        yield finding("drawing-changed", sheet=pair.returned.name, cell=cell, found=text, expected=none)


def _fewer_in_several(pair: Pair) -> bool:
    """Whether several of a sheet's charts lost a line: a program did that, which cannot write lines of some kind."""
    charts = [each for each in _issued(pair) if each.kind == "chart"]
    lost = [
        any(_alike(drawn, chart, fewer=True) and not _alike(drawn, chart) for drawn in pair.returned.drawn)
        for chart in charts
    ]
    return sum(lost) > 1


def _alike(drawn: Drawn, issued: _Issued, fewer: bool = False) -> bool:
    """Whether a drawing is an issued one; ``fewer``: a chart may draw a part of its cells, and no others."""
    near = abs(drawn.row - issued.at[0]) <= _NEAR and abs(drawn.column - issued.at[1]) <= _NEAR
    if not near or drawn.kind != issued.kind or issued.kind != "chart":
        return near and drawn.kind == issued.kind
    # Programs leave out names of lines and titles: all cells are drawn that were issued, and no others.
    lines = drawn.content.split("\n")
    series = {_bare(line) for line in lines if "!" in line}
    words = [line for line in lines if "!" not in line and line != _NO_TEXT]
    same = series == issued.series or (fewer and bool(series) and series < issued.series)
    return same and all(_within(line, issued.words) for line in words)


def _within(word: str, words: str) -> bool:
    return "".join(word.split()) in "".join(words.split())
