"""What a cell says when it refuses an entry: the limit, and the form in which the entry is taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from sheetgen.book.correction import chart_span
from sheetgen.order.tank import chart_of
from sheetgen.trade.bar import nozzles_open
from sheetgen.trade.rounding import round_half_away
from sheetgen.xlsx.page import even_rows

if TYPE_CHECKING:
    from sheetgen.book.canvas import Canvas

LONGEST = 255  # characters of a message (ECMA-376 part 1, 18.3.1.32)


def refusal(canvas: Canvas, heading: str, column: Mapping[str, Any], prompt: str) -> str:
    """Give the message of a column of entries, from its ``validation``; a mere warning repeats the prompt behind it."""
    rule = column["validation"]
    if rule["kind"] in ("list", "words"):
        text = list_refusal(canvas, heading, rule.get("source", ""), rule.get("words", ()))
        return text if rule.get("refuse", True) else f"{text} {prompt}"[:LONGEST]
    unit = column.get("unit", "")
    facts = {"heading": heading, "unit": f" {canvas.unit(unit)}" if unit not in ("", "station") else ""}
    form = "signed_least" if column.get("read", {}).get("sign") else _form(canvas, rule)
    key = canvas.say.own_key(f"refusal.{form}", canvas.order.units)
    return canvas.say.say(key, **facts, **_limits(canvas, rule))


def list_refusal(canvas: Canvas, heading: str, source: str, words: Sequence[str] = ()) -> str:
    """Give the message of a drop-down: what it offers, where that is not too long."""
    choices = ", ".join(canvas.say[word] for word in words) or _choices(canvas, source)
    text = canvas.say.say("refusal.list", heading=heading, choices=choices)
    return text if len(text) <= LONGEST else canvas.say.say("refusal.long_list", heading=heading)


def _form(canvas: Canvas, rule: Mapping[str, Any]) -> str:
    """The key of the message."""
    kind: str = rule["kind"]
    match kind:
        case "dip":
            return f"dip_{canvas.order.reading.dip_notation if canvas.order.units == 'us' else 'decimal'}"
        case "custom":
            return "station"
        case "date" | "time":
            return kind
        case _:
            return kind if "maximum" in rule else f"{kind}_least"


def _limits(canvas: Canvas, rule: Mapping[str, Any]) -> dict[str, str]:
    """The limits of a number as they are read, and a number between them."""
    if rule["kind"] == "dip":
        high = _limit(canvas, "{tank_height}")
        return {"low": "0", "high": _shown(high), "inches": _shown(high // 2)}
    if "minimum" not in rule:
        return {}
    low = _limit(canvas, rule["minimum"])
    if "maximum" not in rule:
        return {"low": _shown(low), "one": "12", "other": "12.5"}
    high = _limit(canvas, rule["maximum"])
    step, decimals = (0.5, 0) if high - low > 2 else (0.05, 1)
    middle = round_half_away((low + high) / 2, decimals)
    return {"low": _shown(low), "high": _shown(high), "one": _shown(middle), "other": _shown(middle + step)}


def _limit(canvas: Canvas, formula: str) -> float:
    """What the formula of a limit comes to. A test lets an engine calculate each of them."""
    name, order = formula.removeprefix("="), canvas.order
    match name:
        case "{chart_coldest}" | "{chart_hottest}":
            return chart_span(order)[name == "{chart_hottest}"]
        case "{tank_height}":
            return chart_of(canvas.machine, order).height
        case "{nozzles_most}":
            machine = canvas.machine
            return nozzles_open(max(machine.bar_widths), machine.nozzle_spacing, order.units)
        case "{shots_per_page}":
            return even_rows(order.size.shots, canvas.rows_per_page("shots"))
        case "MAX([loads.no])":
            return order.size.loads
        case "MAX([shots.no])":
            return order.size.shots
    return float(name)


def _shown(value: float) -> str:
    return f"{value:.10g}"


def _choices(canvas: Canvas, source: str) -> str:
    """What a range offers: the order's sections, or what is drawn in it."""
    if source == "{section_ids}":
        return ", ".join(section.id for section in canvas.order.sections)
    if source.startswith("["):
        table, _, key = source.strip("[]").partition(".")
        place = canvas.tables[table]
        tab, column, rows = place.sheet, place.columns[key], range(place.first_row, place.last_row + 1)
    else:
        area = canvas.areas[source.strip("{}")]
        tab, column, rows = area.sheet, area.first_col, range(area.first_row, area.last_row + 1)
    cells = next(sheet.cells for sheet in canvas.sheets if sheet.name == tab)
    values = [cells[row, column].value for row in rows]
    return ", ".join(
        _shown(each) if isinstance(each, float) else str(each) for each in values if each is not None
    )
