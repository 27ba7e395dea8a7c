"""Live checks: what is missing or odd in the logs, in words, by row, with links; formulas only."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from sheetgen import templates
from sheetgen.book.canvas import Canvas
from sheetgen.columns import Column, entry_columns
from sheetgen.xlsx.address import column_letters
from sheetgen.xlsx.blocks import across, draw_table
from sheetgen.xlsx.formulas import address, expanded, literal, quoted
from sheetgen.xlsx.model import Place, Sheet
from sheetgen.xlsx.page import page

LIST_ROWS = 40
# A row with more to look at than this is hardly begun: its first thing and their number say enough.
MOST_WORDS = 4
_LIST_HEAD = 4
_WORKINGS_COL = 5
# Of reading an entry, each a helper where its way has it.
_STEPS = ("said", "fields", "digits", "number", "as")
_STEP = re.compile(f"_(?:{'|'.join(_STEPS)})$")
_WAYS = {"temperature": "degrees", "mass": "weight", "volume": "amount"}  # of reading a number, by its unit
_TEXTS = ("first", "all", "unclear")


def draw_checks(canvas: Canvas) -> Sheet:
    """Draw the sheet: the one line, the list, and beside it the workings row by row.

    Registers a table for each log, such as "shot_checks", whose words the log shows.
    """
    sheet = canvas.sheet("checks")
    sheet.column_widths |= {0: 6, 1: 14, 2: 88, 3: 9, 4: 3}
    canvas.put(sheet, 0, 0, canvas.say["sheet.checks.title"], "title")
    col = _WORKINGS_COL
    groups = _groups(canvas)
    for group in groups:
        col = _draw_workings(canvas, sheet, group, col) + 1
    _draw_clock(canvas, sheet)
    _draw_line(canvas, sheet, groups)
    _draw_list(canvas, sheet, groups)
    sheet.row_heights |= {0: 26, 2: 26, _LIST_HEAD: 22}
    sheet.freeze = (_LIST_HEAD + 1, 0)
    page(
        canvas,
        sheet,
        "portrait",
        area=(0, 0, _LIST_HEAD + LIST_ROWS, 3),
        repeat_rows=(_LIST_HEAD, _LIST_HEAD),
    )
    return sheet


def _draw_clock(canvas: Canvas, sheet: Sheet) -> None:
    """Minutes to which the shots' times were written: one, or five or fifteen where nearly all are whole ones."""
    canvas.put(sheet, 0, _WORKINGS_COL, canvas.say["name.clock"], "grid_title")
    of = "COUNTIFS([shot_checks.used],{},[shot_checks.{}_as],{})"
    times = "(" + "+".join(of.format(literal(">0"), key, literal(">=0")) for key in ("start", "end")) + ")"
    minutes = "1"
    for key, step in (("fives", 5), ("quarters", 15)):
        minutes = f"IF(SUM([shot_checks.{key}])>={{clock_share}}*{times},{step},{minutes})"
    formula = f"=IF({times}<{{clock_times}},1,{minutes})"
    canvas.calc(sheet, 1, _WORKINGS_COL, formula, "result", "0", "shot_checks")
    canvas.name("clock", sheet, 1, _WORKINGS_COL)


def _groups(canvas: Canvas) -> list[dict[str, Any]]:
    """The checks of each log that the distributor has, without those of what it has not."""
    parts = ("helpers", "checks")
    return [
        group | {part: _fitted(canvas, group[part]) for part in parts}
        for group in _fitted(canvas, templates.toml("sheets/checks.toml").values())
    ]


def _fitted(canvas: Canvas, declared: Iterable[dict[str, Any]]) -> list[dict[str, Any]]:
    return [each for each in declared if _there(canvas, each.get("needs", ""))]


def _there(canvas: Canvas, needs: str) -> bool:
    """Whether what a check needs is there: a part of the distributor, sections of others, or any it sprays alone."""
    if needs == "alone":
        return any(canvas.order.sprays_alone(canvas.machine, each) for each in canvas.order.sections)
    if needs == "sections_of_others":
        return needs in canvas.areas
    return not needs or bool(getattr(canvas.machine, needs))


def _draw_workings(canvas: Canvas, sheet: Sheet, group: dict[str, Any], col: int) -> int:
    """The rows of one log: helpers, a 1 or 0 for each check, their count, a running count, and the words."""
    log = canvas.tables[group["log"]]
    rows = log.last_row - log.first_row + 1
    helpers = [
        *_as_above(canvas, group),
        *_as_read(canvas, group),
        *_unclear(canvas, group),
        *group["helpers"],
    ]
    checks = group["checks"]
    flags = [f"is_{check['key']}" for check in checks]
    keys = [*(helper["key"] for helper in helpers), *flags, "count", "rows_before", "first", "all"]
    words = [address(_LIST_HEAD - 1, col + keys.index(flag), absolute=True) for flag in flags]
    formulas = {helper["key"]: helper["formula"] for helper in helpers}
    formulas |= {f"is_{check['key']}": _flag(check) for check in checks}
    formulas |= {
        "count": f"=SUM([{flags[0]}:{flags[-1]}])",
        "rows_before": f"=COUNTIF([count..],{literal('>0')})",
        "first": _first(words, flags, group),
        "all": _all(words, flags, group),
    }
    columns = [
        {
            "key": key,
            "formula": formulas[key],
            "format": "general",
            "heading": _heading(group["log"], key, key in flags),
            "style": "result_text" if key in _TEXTS else "result",
        }
        for key in keys
    ]
    canvas.put(sheet, _LIST_HEAD - 2, col, canvas.say[f"checks.workings_{group['log']}"], "grid_title")
    spec = {"table": group["table"], "column": columns, "listed": True}
    place = draw_table(canvas, sheet, spec, range(rows), _LIST_HEAD - 1, col, head=15)
    return place.columns["all"] + 1


def _as_above(canvas: Canvas, group: dict[str, Any]) -> list[dict[str, str]]:
    """What each entry is taken for, in columns where marks, or blanks too, mean the row above."""
    columns = entry_columns(group["log"])
    return [_helper(canvas, group, key, "as", _macro(columns[key])) for key in group.get("as_above", ())]


def _helper(canvas: Canvas, group: dict[str, Any], entry: str, step: str, macro: str) -> dict[str, str]:
    formula = expanded(f"=<<{macro} {entry}>>", canvas.macros).replace("$log", group["log"])
    return {"key": f"{entry}_{step}", "formula": formula}


def _as_read(canvas: Canvas, group: dict[str, Any]) -> Iterator[dict[str, str]]:
    """The steps in which each entry is read that can be typed in several ways; the last unless it is there."""
    above = group.get("as_above", ())
    for key, column in entry_columns(group["log"]).items():
        for step in _STEPS if (way := _way(column)) else ():
            macro = f"{way}{step}"
            if canvas.macros.get(macro) and not (step == "as" and key in above):
                yield _helper(canvas, group, key, step, macro)


def _way(column: Column) -> str:
    """In which ways beside a plain number an entry can be typed: the beginning of its macros' names."""
    if column.reading in ("time", "dip"):
        return column.reading
    if column.sign:
        return "load" if column.unit == "volume" and column.possible[0] else _WAYS[column.unit]
    return _WAYS["temperature"] if column.unit == "temperature" else ""


def _unclear(canvas: Canvas, group: dict[str, Any]) -> list[dict[str, str]]:
    """The headings of the entries in a row that are there and cannot be read, in one text; in logs that ask for it."""
    if not group.get("unclear"):
        return []
    log, found = group["log"], []
    for column in entry_columns(log).values():
        if entry := _typed_and_read(column, column.key in group.get("as_above", ())):
            heading = literal(f" · {canvas.say[f'{log}.{column.key}']}")
            found.append(f'IF(AND({entry[0]}<>"",NOT(ISNUMBER({entry[1]}))),{heading},"")')
    return [{"key": "unclear", "formula": f'=IF([used]=0,"",{"&".join(found)})'}]


def _typed_and_read(column: Column, as_above: bool) -> tuple[str, str] | None:
    """An entry that is to be a number and what the formulas read it as; nothing for words."""
    typed = f"[@{column.table}.{column.key}]"
    if column.reading == "station":
        return typed, f"[@{column.table}.{column.key.removesuffix('_station')}]"
    if _way(column):
        return typed, f"[{column.key}_as]"
    if column.reading not in ("number", "count", "date"):
        return None
    taken = f"[{column.key}_as]" if as_above else typed
    return taken, taken


def _macro(column: Column) -> str:
    if column.reading == "kind":
        return "kind"
    if column.follows == column.key:
        return "withwidth"
    return "above" if column.carried else "dittodegrees" if column.unit == "temperature" else "ditto"


def _heading(log: str, key: str, flag: bool) -> str:
    """The key of a column's heading: a check's words, the entry that it is taken for, or the helper's own."""
    if flag:
        return f"check.{log}.{key.removeprefix('is_')}"
    entry = _STEP.sub("", key)
    return f"{log}.{entry}" if entry != key else f"checks.{key}"


def _flag(check: dict[str, Any]) -> str:
    """1 where a check is asked of a row and finds something that nobody there has confirmed."""
    asked = f"[{check.get('of', 'used')}]=0"
    passed = f"OR({asked},[confirmed]=1)" if check.get("confirm") else asked
    return f"=IF({passed},0,IF({check['formula']},1,0))"


def _first(words: list[str], flags: list[str], group: dict[str, Any]) -> str:
    first = f"INDEX({words[0]}:{words[-1]},1,MATCH(1,[{flags[0]}:{flags[-1]}],0))"
    if group.get("unclear"):
        first += f'&IF(AND([is_unclear]=1,SUM([{flags[0]}:is_unclear])=1),[unclear],"")'
    return f'=IF([count]=0,"",{first})'


def _all(words: list[str], flags: list[str], group: dict[str, Any]) -> str:
    what = {"is_unclear": "&[unclear]"} if group.get("unclear") else {}
    pairs = zip(words, flags, strict=True)
    parts = "&".join(f'IF([{flag}]=1,{word}{what.get(flag, "")}&". ","")' for word, flag in pairs)
    many = f"[first]&{literal('. ')}&([count]-1)&{literal(' ')}&{{'checks.more'}}"
    return f'=IF([count]=0,"",IF([count]>{MOST_WORDS},{many},TRIM({parts})))'


def _counts(groups: list[dict[str, Any]]) -> list[str]:
    return [f"COUNTIF([{group['table']}.count],{literal('>0')})" for group in groups]


def _draw_line(canvas: Canvas, sheet: Sheet, groups: list[dict[str, Any]]) -> None:
    across(canvas, sheet, 1, 3, canvas.say["checks.note"], "note")
    things = "+".join(f"SUM([{group['table']}.count])" for group in groups)
    used = "SUM([shot_checks.used])"
    line = (
        f"=IF({used}=0,{{'checks.empty'}},IF({things}=0,{{'checks.ready'}},"
        f"IF({things}=1,{{'checks.thing'}},{{'checks.things'}}&\" \"&({things}))))"
    )
    canvas.calc(sheet, 2, 0, line, "line", "General", "shot_checks")
    canvas.merge(sheet, 2, 0, 2, 3)
    canvas.name("checks_line", sheet, 2, 0)


def _draw_list(canvas: Canvas, sheet: Sheet, groups: list[dict[str, Any]]) -> None:
    for col, key in enumerate(("number", "where", "what", "go")):
        canvas.put(sheet, _LIST_HEAD, col, canvas.say[f"checks.{key}"], "header_result")
    places = [(canvas.tables[group["table"]], canvas.tables[group["log"]], group) for group in groups]
    counts = _counts(groups)
    for index in range(LIST_ROWS):
        row = _LIST_HEAD + 1 + index
        canvas.calc(
            sheet, row, 0, f'=IF({index + 1}<={"+".join(counts)},{index + 1},"")', "grid", "0", "shot_checks"
        )
        number = f"${address(row, 0)}"
        where, what, go = '""', '""', '""'
        for place, log, group in reversed(places):
            before = "+".join(counts[: groups.index(group)]) or "0"
            upto = "+".join(counts[: groups.index(group) + 1])
            found = f"MATCH({number}-({before}),{_range(place, 'rows_before')},0)"
            title = canvas.say[f"checks.row_{group['log']}"]
            where = f"IF({number}<={upto},{literal(title + ' ')}&{found},{where})"
            what = f"IF({number}<={upto},INDEX({_range(place, 'all')},{found}),{what})"
            target = literal(f"#{quoted(log.sheet)}!B")
            link = f"HYPERLINK({target}&({found}+{log.first_row}),{literal(canvas.say['checks.go'])})"
            go = f"IF({number}<={upto},{link},{go})"
        for col, formula in ((1, where), (2, what), (3, go)):
            style = "result_text" if col != 3 else "grid"
            canvas.calc(sheet, row, col, f'=IF({number}="","",{formula})', style, "General", "shot_checks")


def _range(place: Place, key: str) -> str:
    letters = column_letters(place.columns[key])
    return f"${letters}${place.first_row + 1}:${letters}${place.last_row + 1}"
