"""The drop-downs, input messages and limits of the order workbook's cells."""

from __future__ import annotations

from sheetgen.order.draft import Draft
from sheetgen.order.fields import Field, offered, unit_label
from sheetgen.xlsx.formulas import address
from sheetgen.xlsx.model import Validation

_LONGEST_LIST = 255  # characters that Excel takes in a drop-down written out in the rule itself
_LONGEST_TITLE, _LONGEST_MESSAGE = 32, 250
_LONGEST_TEXT = 200
_CODE = 14  # characters of one book's code


def validation(draft: Draft, field: Field, row: int, col: int, last_row: int, last_col: int) -> Validation:
    """What a field's cells accept, and what they say while one types."""
    say = draft.say
    label = field.label(say)
    unit = unit_label(field, draft.system, say)
    note = field.note(say, draft.system)
    kind, operator, first, second, refusal, stop = _rule(draft, field, address(row, col))
    return Validation(
        row, col, last_row, last_col, kind, operator, first, second,
        prompt_title=label[:_LONGEST_TITLE],
        prompt=(f"[{unit}] {note}" if unit else note)[:_LONGEST_MESSAGE],
        error_title=say["order.refuse.title"],
        error=refusal,
        stop=stop,
    )  # fmt: skip


def _rule(draft: Draft, field: Field, cell: str) -> tuple[str, str, str, str, str, bool]:
    """Kind, operator, the two formulas, what to say, and whether to refuse."""
    say = draft.say
    if field.kind == "distributor":
        return "list", "between", "={machine_names}", "", say["order.refuse.distributor"], True
    if field.suggest:
        return (
            "list",
            "between",
            f"={{{field.suggest}}}",
            "",
            say[f"order.refuse.suggest.{field.suggest}"],
            False,
        )
    if field.kind in ("choice", "yes-no"):
        listed = ",".join(offered(field.choice or "yes_no", say, draft.system))
        if len(listed) > _LONGEST_LIST:
            raise ValueError(f"the drop-down {field.choice!r} is too long for a validation")
        return "list", "between", f'"{listed}"', "", say["order.refuse.choice"], True
    if field.kind == "date":
        return "date", ">=", "=DATE(2000,1,1)", "", say["order.refuse.date"], True
    if field.kind == "hour":
        formula = f'=IF(ISNUMBER({cell}),AND({cell}>=0,{cell}<24),ISNUMBER(FIND(":",{cell})))'
        return "custom", "between", formula, "", say["order.refuse.number"], True
    if field.kind == "station":
        formula = f'=IF(ISNUMBER({cell}),{cell}>=0,ISNUMBER(FIND("+",{cell})))'
        return "custom", "between", formula, "", say.own("order.refuse.station", draft.system), True
    if field.kind == "integer":
        text = say.say("order.refuse.integer", least=f"{field.least:g}", most=f"{field.most:g}")
        return "whole", "between", f"={field.least:g}", f"={field.most:g}", text, True
    if field.kind == "codes":
        return "length", "between", f"={_CODE}", f"={_LONGEST_TEXT}", say["order.refuse.codes"], True
    if field.kind in ("text", "words", "numbers"):
        most = field.most or _LONGEST_TEXT
        text = say.say("order.refuse.text", most=f"{most:g}")
        return "length", "between", "=0", f"={most:g}", text, True
    return _number_rule(draft, field)


def _number_rule(draft: Draft, field: Field) -> tuple[str, str, str, str, str, bool]:
    if field.kind == "percent":
        text = draft.say["order.refuse.percent"]
        return "decimal", "between", "=0", f"={field.most or 1000:g}", text, True
    text = draft.say["order.refuse.number"]
    if field.least is not None and field.most is not None:
        return "decimal", "between", f"={field.least:g}", f"={field.most:g}", text, True
    if field.above is not None:
        return "decimal", ">", f"={field.above:g}", "", text, True
    if field.least is not None:
        return "decimal", ">=", f"={field.least:g}", "", text, True
    low, high = field.plausible or (-1e6, 1e6)
    return "decimal", "between", f"={low:g}", f"={high:g}", draft.say["order.refuse.unusual"], False
