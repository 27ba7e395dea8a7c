"""What the input cells of a book accept, and what their prompts say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from sheetgen.book.refusals import LONGEST, refusal
from sheetgen.xlsx.formulas import address, expanded, literal
from sheetgen.xlsx.model import Place, Validation

if TYPE_CHECKING:
    from sheetgen.book.canvas import Canvas


_FIRST_DAY, _LAST_DAY = 36526, 73050  # 2000-01-01 to 2099-12-31
_DIGITS = literal("0123456789")
_INCH_MARKS = '"”'  # programs put the second in the place of the first as it is typed
# Of the sign of a unit, its plural and its abbreviation.
_LAST_LETTERS = {
    ("us", "mass"): "BS.",
    ("us", "volume"): "LS.",
    ("si", "mass"): "GS.",
    ("si", "volume"): "LTS.",
}


def _in_both(canvas: Canvas, key: str) -> str:
    """A prompt in the languages of the forms, as far as a prompt holds them."""
    both = canvas.forms.own(key, canvas.order.units)
    return both if len(both) <= LONGEST else canvas.say.own(key, canvas.order.units)


def validation(canvas: Canvas, key: str, column: Mapping[str, Any], place: Place) -> Validation:
    """What a column of entries accepts, and what its prompt says; the column's ``validation`` says which."""
    rule = column["validation"]
    col = place.columns[column["key"]]
    name = f"{key}.{column['key']}"
    prompt = canvas.say.own(f"prompt.{name}", canvas.order.units)
    common: dict[str, Any] = {
        "first_row": place.first_row,
        "first_col": col,
        "last_row": place.last_row,
        "last_col": col,
        "prompt_title": canvas.say[name][:32],
        "prompt": _in_both(canvas, f"prompt.{name}"),
        "error_title": canvas.say["book.check_entry"],
        "error": refusal(canvas, canvas.say[name], column, prompt),
        "stop": rule.get("refuse", True),
    }
    match rule["kind"]:
        case "list":
            return Validation(**common, kind="list", formula1="=" + rule["source"])
        case "words":
            words = ",".join(canvas.say[word] for word in rule["words"])
            return Validation(**common, kind="list", formula1=literal(words))
        case "time":
            return Validation(**common, kind="custom", formula1=_clock(address(place.first_row, col)))
        case "date" | "decimal" | "whole" if column["read"].get("ditto"):
            formula = _or_above(rule, address(place.first_row, col), column.get("unit", ""))
            return Validation(**common, kind="custom", formula1=formula)
        case "decimal" if column["read"].get("sign"):
            cell = address(place.first_row, col)
            text = _with_sign(cell, canvas.order.units, column["unit"])
            formula = f"=IF(ISNUMBER({cell}),{_between(rule, cell)},{text})"
            return Validation(**common, kind="custom", formula1=formula)
        case "date":
            return Validation(**common, kind="date", formula1=f"={_FIRST_DAY}", formula2=f"={_LAST_DAY}")
        case "decimal" if column.get("unit") == "temperature":
            cell = address(place.first_row, col)
            formula = f"=IF(ISNUMBER({cell}),{_between(rule, cell)},{_with_degrees(cell)})"
            return Validation(**common, kind="custom", formula1=formula)
        case "dip":
            if canvas.shown("dip") == "@":
                depth = expanded(f"<<sixteenths {address(place.first_row, col)}>>", canvas.macros)
                within = (
                    f"=IFERROR(ABS(2*{depth}/{{tank_height}}-1)<=1,FALSE)"  # the depth named once: 255 signs
                )
                return Validation(**common, kind="custom", formula1=within)
            if canvas.order.units == "us":
                return Validation(**common, kind="custom", formula1=_inches(address(place.first_row, col)))
            return Validation(**common, kind="decimal", formula1="=0", formula2="={tank_height}")
        case "custom":
            formula = rule["formula"].replace(f"[{column['key']}]", address(place.first_row, col))
            return Validation(**common, kind="custom", formula1=formula)
        case kind:
            operator = "between" if "maximum" in rule else ">="
            return Validation(
                **common,
                kind=kind,
                operator=operator,
                formula1=rule["minimum"],
                formula2=rule.get("maximum", ""),
            )


def _clock(cell: str) -> str:
    """A time of day, hours and minutes without their colon, or with a point where that is no quarter of an hour.

    Or a text that begins with a digit, and holds the sign of hours or ends in a half of the day.
    """
    shown = f"IF({cell}<=24,ROUND({cell}*100,0),{cell})"
    pointed = f"AND({cell}<24,MOD(ROUND({cell}*100,0),25)>0)"
    number = f"IF({cell}<1,{cell}>=0,AND({cell}<=2400,MOD({shown},100)<60,OR(INT({cell})={cell},{pointed})))"
    ending = f"ISNUMBER(FIND(RIGHT({cell},1),{literal('apmAPMhHsS.')}))"
    hours = f"ISNUMBER(FIND({literal('h')},{cell}))"  # 255 signs at most: no room for capitals
    return f"=IF(ISNUMBER({cell}),{number},AND(ISNUMBER(-LEFT({cell},1)),OR({hours},{ending})))"


def _inches(cell: str) -> str:
    """A number on the stick, or a text of digits with the mark of inches behind it."""
    mark = f"ISNUMBER(FIND(RIGHT({cell},1),{literal(_INCH_MARKS)}))"
    text = f"AND({mark},ISNUMBER(FIND(LEFT({cell},1),{_DIGITS})))"
    return f"=IF(ISNUMBER({cell}),AND({cell}>=0,{cell}<={{tank_height}}),{text})"


def _or_above(rule: Mapping[str, Any], cell: str, unit: str) -> str:
    """What a column takes, or a mark for "as above"."""
    mark = f"SUMPRODUCT(--({{ditto_marks}}={cell}&{literal('')}))>0"
    text = f"OR({mark},{_with_degrees(cell)})" if unit == "temperature" else mark
    return f"=IF(ISNUMBER({cell}),{_between(rule, cell)},{text})"


def _between(rule: Mapping[str, Any], cell: str) -> str:
    """Whether a number is between the limits of a rule."""
    if rule["kind"] == "date":
        return f"AND({cell}>={_FIRST_DAY},{cell}<={_LAST_DAY})"
    tests = [f"{cell}>={rule['minimum'].removeprefix('=')}"]
    if "maximum" in rule:
        tests.append(f"{cell}<={rule['maximum'].removeprefix('=')}")
    if rule["kind"] == "whole":
        tests.append(f"INT({cell})={cell}")
    return f"AND({','.join(tests)})"


def _with_sign(cell: str, system: str, unit: str) -> str:
    """A text that begins with a digit and ends in the last letter of a unit's sign, a plural s or a point."""
    ending = f"ISNUMBER(FIND(UPPER(RIGHT({cell},1)),{literal(_LAST_LETTERS[system, unit])}))"
    return f"AND({ending},ISNUMBER(FIND(LEFT({cell},1),{_DIGITS})))"


def _with_degrees(cell: str) -> str:
    """A text that begins with a digit and ends in the sign of a temperature."""
    ending = f"ISNUMBER(FIND(UPPER(RIGHT({cell},1)),{literal('FC°')}))"
    return f"AND({ending},ISNUMBER(FIND(LEFT({cell},1),{_DIGITS})))"
