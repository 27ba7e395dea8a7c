"""What the input cells of a book accept, and what their prompts say."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from sheetgen.book.refusals import refusal
from sheetgen.xlsx.formulas import address, expanded, literal
from sheetgen.xlsx.model import Place, Validation

if TYPE_CHECKING:
    from sheetgen.book.canvas import Canvas


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
        "prompt": prompt,
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
        case "date":
            return Validation(**common, kind="date", formula1="=36526", formula2="=73050")
        case "time":
            return Validation(**common, kind="decimal", formula1="=0", formula2="=0.999999")
        case "dip":
            if canvas.shown("dip") == "@":
                depth = expanded(f"<<dip {address(place.first_row, col)}>>", canvas.macros)
                within = (
                    f"=IFERROR(ABS(2*{depth}/{{tank_height}}-1)<=1,FALSE)"  # the depth named once: 255 signs
                )
                return Validation(**common, kind="custom", formula1=within)
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
