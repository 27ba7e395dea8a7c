"""What stands in the parts of a book that are neither tables nor named cells: grids, the card, pictures' rows."""

from __future__ import annotations

from collections.abc import Iterator

from sheetgen import templates
from sheetgen.xlsx.model import Cell
from tests.book.formula_review import DECLARED, Reviewed

Part = tuple[int, int, str]  # row, column, kind
_EXAMPLES = {"money": "number", "mean_rate": "rate", "volume_at": "volume", "own_width": "speed"}


def part_kinds(review: Reviewed) -> dict[tuple[str, int, int], str]:
    """The kind of each such cell that holds a number or a formula, by sheet's tab, row and column."""
    drawn = {"rates": _rates, "card": _card, "tank": _tank, "temperature": _temperature,
             "words": _words, "checks": _checks, "shots": _lines, "loads": _lines, "days": _lines,
             "pages": _lines, "changes": _lines, "monitor": _lines, "gauges": _lines}  # fmt: skip
    return {
        (sheet.name, row, col): kind
        for sheet in review.book.sheets
        if sheet.key in drawn
        for row, col, kind in drawn[sheet.key](review, sheet.cells)
        if review.place(sheet.name, row, col) == sheet.key
    }


Cells = dict[tuple[int, int], Cell]


def _rates(review: Reviewed, cells: Cells) -> Iterator[Part]:
    say = templates.texts(review.order.language, review.order.units)
    widths = len(review.order.machines[0].bar_widths)
    twice = [(1 + col, "speed") for col in range(widths)] + [
        (2 + widths + col, "road_speed") for col in range(widths)
    ]
    once = list(enumerate([None] * widths, start=1))
    passes = max(1, sum(cell.style == "grid_head" and cell.formula is not None for cell in cells.values()))
    blocks = {
        "speeds": ("rate", twice),
        "obtained": ("speed", [(col, "rate") for col, _ in once]),
        "discharges": ("speed", [(col, "flow") for col in range(1, passes + 1)]),
        "per_width": ("width", [(1, "number"), (2, "flow"), (3, "area"), (4, "time")]),
    }
    titles = {say[f"rates.{key}"]: key for key in blocks}
    tops = {
        titles[cell.value]: row for (row, col), cell in cells.items() if col == 0 and cell.value in titles
    }
    assert set(tops) == set(blocks)
    for key, top in tops.items():
        axis, body = blocks[key]
        yield from ((top + 1, col, "width") for col, _kind in body if key != "per_width")
        row = top + 2
        while (row, 1) in cells and cells[row, 1].style == "grid":
            yield row, 0, axis
            yield from ((row, col, kind) for col, kind in body)
            row += 1


def _card(review: Reviewed, cells: Cells) -> Iterator[Part]:
    say = templates.texts(review.order.language, review.order.units)
    starts = {cell.value: row for (row, _col), cell in cells.items() if isinstance(cell.value, str)}
    dips = starts[f"{say['card.dip']}, {_label(review, 'depth')}"]
    warmth = starts[f"{say['card.temperature']}, {_label(review, 'temperature')}"]
    # A pass of the card, from left to right: what it is, bar, nozzles, width, height, discharge, speeds, time.
    line = ("text", "width", "number", "width", "depth", "flow", "speed", "road_speed", "pint s")
    for (row, col), cell in cells.items():
        if row < dips and cell.style in ("card_value", "card_label", "card_rule"):
            yield row, col, line[col] if cell.style == "card_value" else "text"
        elif cell.style == "card_value":
            yield row, col, "temperature" if row > warmth else "depth" if col == 2 else "volume"
        elif cell.style in ("card_label", "card_rule", "card_line", "card_road"):
            yield row, col, "text"
        elif cell.style == "result":
            yield row, col, "depth" if row > dips else "number"


def _label(review: Reviewed, kind: str) -> str:
    from sheetgen.units import units

    return units(review.order.units)[kind].label(review.order.language)


def _tank(_review: Reviewed, cells: Cells) -> Iterator[Part]:
    kinds = {"grid_head": "depth", "grid": "volume"}
    yield from ((row, col, kinds[cell.style]) for (row, col), cell in cells.items() if cell.style in kinds)


def _temperature(_review: Reviewed, cells: Cells) -> Iterator[Part]:
    kinds = {"grid_head": "temperature", "grid": "number", "result_text": "text"}
    yield from ((row, col, kinds[cell.style]) for (row, col), cell in cells.items() if cell.style in kinds)


def _words(review: Reviewed, cells: Cells) -> Iterator[Part]:
    """What a name holds now has the unit printed beside it; the examples have the one of their sentence."""
    keys = [example["key"] for example in templates.toml("sheets/words.toml")["example"]]
    examples = sorted(row for (row, col), cell in cells.items() if col == 4 and cell.formula is not None)
    yield from ((row, 4, _EXAMPLES[key]) for row, key in zip(examples, keys, strict=True))
    for (row, col), cell in cells.items():
        if col == 3 and cell.formula is not None:
            label = cells[row, 2].value
            if cell.formula.startswith("=ROWS("):
                yield row, col, "number"
            elif cells[row, 0].value in DECLARED["unit_not_printed"]["names"]:
                yield row, col, "anything"
            elif cell.style == "result_text":
                yield row, col, "text"
            elif label:
                yield row, col, f"printed {label}"


def _checks(_review: Reviewed, cells: Cells) -> Iterator[Part]:
    for (row, col), cell in cells.items():
        if cell.formula is not None:
            yield row, col, "number" if col == 0 and cell.style == "grid" else "text"


def _lines(_review: Reviewed, cells: Cells) -> Iterator[Part]:
    yield from ((row, col, "text") for (row, col), cell in cells.items() if cell.style == "line")
