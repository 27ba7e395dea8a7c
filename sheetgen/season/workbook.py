"""The season as a workbook: one page that says what stands out, the tables behind it, and their charts.

Only values are written, no formula. Charts are the program's own, readable in grey, each mean with its interval.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isnan
from pathlib import Path

from sheetgen.audit.report.own_files import refuse_others
from sheetgen.audit.report.pages import Column, Page, ReportBook, report_workbook
from sheetgen.output import printable
from sheetgen.plausibility import plausibility
from sheetgen.season import charts
from sheetgen.season.facts import PAIRS
from sheetgen.season.season import DIMENSIONS, Group, Season, groups_of, unexplained_of
from sheetgen.season.standouts import (
    DigitLine,
    Standout,
    bias_of,
    digit_chance,
    digit_lines,
    rate_lines,
    said,
    standouts_of,
    without_sticks,
)
from sheetgen.season.statistics import Mean
from sheetgen.season.words import Voice, percent

_PERCENT, _SIGNED, _WHOLE = "0.0 %", "+0.0 %;-0.0 %;0.0 %", "#,##0"
_METHOD = (
    "counted", "source", "fill", "day", "session", "book", "slip", "mean", "said", "cause", "rate", "digits", "units",
    "limits",
)  # fmt: skip
_FRONT = (5.0, 19.0, 19.0, 12.0, 19.0, 19.0, 12.0)
_TALL = 24  # rows of the sheet that a chart takes
_ONE_PAGE = 32  # rows of a table that needs no heads on a second page


def _column(key: str, width: float, style: str = "cell_number", shape: str = _WHOLE) -> Column:
    return Column(key, width, style, shape, "cell")


def write_season(season: Season, path: Path, language: str, paper: str = "letter") -> list[Standout]:
    """Write the season's workbook, and give what stands out.

    Raises:
        ReportInTheWay: another file lies there, or a season that somebody has changed since.
    """
    refuse_others([path])
    found, voice = standouts_of(season), Voice(season, language)
    with report_workbook(path, language, paper, voice.say["season.document_title"], season.system) as book:
        invented = int(season.books["invented"].sum())
        mark = f"{voice.say['book.invented_short']} · " if invented else ""
        book.footer = mark + voice.say["season.footer"]
        drawing = _Drawing(book, season, voice, found)
        front = drawing.new("season", _FRONT, landscape=False)
        places = {dimension: drawing.groups(dimension) for dimension in DIMENSIONS}
        for draw in (drawing.biases, drawing.rates, drawing.digits, drawing.books, drawing.calibrations):
            draw()
        drawing.method()
        drawing.front(front, places, invented)
    return found


class _Drawing:
    """The pages of one season."""

    def __init__(self, book: ReportBook, season: Season, voice: Voice, found: Sequence[Standout]) -> None:
        self.book, self.season, self.voice, self.say, self.found = book, season, voice, voice.say, found

    def new(self, key: str, widths: Sequence[float], landscape: bool = True) -> Page:
        return Page(self.book, self.say[f"season.sheet.{key}"], widths, landscape)

    def table(self, key: str, columns: Sequence[Column], note: str) -> Page:
        """A page with a title, a note and the heads of a table in its fourth row."""
        page = self.new(key, [column.width for column in columns])
        page.title(f"{self.say['season.title']}: {self.say[f'season.sheet.{key}']}", "")
        page.across(1, note, "sentence")
        page.height(2, 5)
        page.head(3, [self.voice.head(column.key) for column in columns])
        page.sheet.freeze = (4, 1)
        return page

    def fill(
        self, page: Page, columns: Sequence[Column], lines: Sequence[Sequence[object]], charts_below: int = 0
    ) -> int:
        """The lines of a table; the last row of it. No page ends inside of a chart below."""
        for row, line in enumerate(lines, start=4):
            page.line(row, columns, [_shown(value) for value in line])
        last = 3 + len(lines)
        if not lines:
            last = 4
            page.across(4, self.say["report.summary.nothing"], "cell")
        starts = [last + 2 + number * _TALL for number in range(charts_below)]
        page.finish(last + charts_below * _TALL, None if last < _ONE_PAGE else (3, 3), starts)
        return last

    # by distributor, operator, supplier, material

    def groups(self, dimension: str) -> charts.Place:
        pairs = self._pairs(dimension)
        columns = _group_columns(dimension, pairs)
        page = self.table(dimension, columns, self.say["season.note.group"])
        found = groups_of(self.season, dimension)
        biases = [self._biases_of(dimension, group, pairs) for group in found]
        known = pairs[-1:] if dimension == "supplier" else pairs[:2]
        drawn = [each[pair] for each in biases for pair in known if pair in each]
        lines = [self._group(group, bias, pairs) for group, bias in zip(found, biases, strict=True)]
        last = self.fill(page, columns, lines, 1 if drawn else 0)
        keys = [column.key for column in columns]
        edge = charts.edge_of(drawn, self.season.terms.material)
        place = charts.Place(page.name, 4, last, keys, known if drawn else (), edge)
        if drawn:
            page.sheet.charts.append(charts.bias_chart(self.say, dimension, place, (last + 2, 0)))
        return place

    def _pairs(self, dimension: str) -> tuple[str, ...]:
        """The pairs that a table shows: of suppliers the tickets, with and without sticks that stand out."""
        if dimension == "supplier":
            return "tickets-stick", "tickets-others"
        monitored = (self.season.comparisons["pair"] == "monitor-stick").any()
        return ("tickets-stick", "meter-stick", *(("monitor-stick",) if monitored else ()))

    def _biases_of(self, dimension: str, group: Group, pairs: Sequence[str]) -> dict[str, Mean]:
        biases = {pair: bias for pair, bias in group.biases.items() if pair in pairs}
        if dimension == "supplier":
            rows = without_sticks(self.season, self.found)
            others = bias_of(rows[(rows["supplier"] == group.name) & (rows["pair"] == "tickets-stick")])
            biases |= {"tickets-others": others} if others else {}
        return biases

    def _group(self, group: Group, biases: dict[str, Mean], pairs: Sequence[str]) -> list[object]:
        limit, deviation = self.season.terms.material, group.deviation
        line: list[object] = [
            self.voice.name(group.name), group.books, group.days, group.shots, group.volume, group.area,
            deviation.mean if deviation else None, deviation.reach if deviation else None, group.out,
        ]  # fmt: skip
        for pair in pairs:
            line += [biases[pair].mean, biases[pair].reach] if pair in biases else [None, None]
        line += [] if "tickets-others" in pairs else [group.unexplained, group.share]
        return [*line, group.error, group.query, limit, -limit]

    # the differences

    def biases(self) -> None:
        columns = [
            _column("by", 13, "cell"), _column("name", 22, "cell"), _column("pair", 24, "cell"), _column("count", 13),
            _column("mean", 11, shape=_SIGNED), _column("reach", 9, shape=_PERCENT),
            _column("interval_low", 9, shape=_SIGNED), _column("interval_high", 9, shape=_SIGNED),
            _column("spread", 11, shape=_PERCENT), _column("difference", 11, shape="+#,##0.0;-#,##0.0;0.0"),
            _column("verdict", 21, "cell_bold"),
        ]  # fmt: skip
        page = self.table("biases", columns, self.say["season.note.biases"])
        self.fill(page, columns, list(self._differences()))

    def _differences(self) -> Iterator[list[object]]:
        for dimension in DIMENSIONS:
            for name in self.season.names(dimension):
                for pair in PAIRS:
                    rows = self.season.compared(**{dimension: name}, pair=pair)
                    bias = bias_of(rows)
                    if bias is not None and (name or dimension != "supplier"):
                        result = self._result(bias, dimension, name, pair)
                        yield [
                            self.say[f"season.head.{dimension}"], self.voice.name(name),
                            self.say[f"season.pair.{pair}"],
                            bias.size, bias.mean, bias.reach, bias.low, bias.high, bias.spread,
                            float(rows["difference"].mean()), self.say[f"season.result.{result}"],
                        ]  # fmt: skip

    def _result(self, bias: Mean, dimension: str, name: str, pair: str) -> str:
        if bias.size < plausibility()["season_least"]:
            return "few"
        if not said(bias, self.season):
            return "small" if bias.excludes_zero() else "zero"
        named = any(
            (one.dimension, one.name) == (dimension, name) and pair in one.pairs for one in self.found
        )
        return "said" if named else "explained"

    # rates and end digits

    def rates(self) -> None:
        shape = _SIGNED
        columns = [
            _column("distributor", 22, "cell"), _column("date", 13, "cell_centre", "yyyy-mm-dd"),
            _column("volume", 13), _column("deviation", 16, shape=shape), _column("above", 12, shape=_PERCENT),
            _column("below", 12, shape=_PERCENT), _column("limit", 11, shape=_PERCENT),
            _column("result", 16, "cell_bold"),
        ]  # fmt: skip
        page = self.table("rates", columns, self.say["season.note.rates"])
        lines: list[list[object]] = []
        spans: list[tuple[str, int, int]] = []
        for line in rate_lines(self.season):
            first = 4 + len(lines)
            for place, (_, point) in enumerate(line.points.iterrows()):
                alarm = line.judged and line.drift.alarm == place
                result = (
                    ""
                    if place + 1 < len(line.points) and not alarm
                    else "alarm"
                    if alarm
                    else self._drift(line.judged, line.drift.alarm)
                )
                lines.append([
                    line.name, int(point["date"]), float(point["base"]), float(point["deviation"]),
                    line.drift.above[place], -line.drift.below[place], line.drift.limit,
                    self.say[f"season.result.{result}"] if result else "",
                ])  # fmt: skip
            spans.append((line.name, first, 3 + len(lines)))
        spans = [span for span in spans if span[2] > span[1]][: charts.MOST]
        last = self.fill(page, columns, lines, len(spans))
        for number, span in enumerate(spans):
            page.sheet.charts.append(
                charts.rate_chart(self.say, page.name, span, (last + 2 + number * _TALL, 0))
            )

    @staticmethod
    def _drift(judged: bool, alarm: int | None) -> str:
        return "few" if not judged else "no_alarm" if alarm is None else ""

    def digits(self) -> None:
        lines = digit_lines(self.season)
        columns = [
            _column("instrument", 13, "cell"), _column("by", 16, "cell"), _column("name", 22, "cell"),
            _column("step", 8, shape="General"), _column("readings", 9), _column("statistic", 10, shape="0.0"),
            _column("freedom", 10), _column("chance", 11, shape="0.0000"), _column("verdict", 16, "cell_bold"),
        ]  # fmt: skip
        below = digit_chance(lines)
        expected = int(plausibility()["season_expected"])
        page = self.table(
            "digits", columns, self.say.say("season.note.digits", below=f"{below:.2g}", expected=expected)
        )
        last = self.fill(page, columns, [self._digits(line, below) for line in lines], 0)
        sticks = [line for line in lines if line.instrument == "stick" and line.chance is not None]
        drawn = sorted(sticks, key=lambda line: line.chance or 0.0)[:2]
        self._draw_digits(page, last, drawn)

    def _digits(self, line: DigitLine, below: float) -> list[object]:
        result = "few" if line.chance is None else "said" if line.chance < below else "even"
        return [
            self.say[f"season.instrument.{line.instrument}"], self.say[f"season.head.{line.dimension}"],
            line.name, line.step, sum(line.counts), line.statistic,
            None if line.chance is None else len(line.counts) - 1, line.chance,
            self.say[f"season.result.{result}"],
        ]  # fmt: skip

    def _draw_digits(self, page: Page, last: int, lines: Sequence[DigitLine]) -> None:
        """Counts by mark, and a chart of each; the counts stand beside the chart that they are drawn from."""
        top = last + 2
        for number, line in enumerate(lines):
            head = top + number * (_TALL + 2)
            marks = [mark * line.step for mark in range(len(line.counts))]
            page.put(head, 0, self.say["season.chart.marks"], "head")
            page.put(head, 1, self.say["season.head.readings"], "head")
            for row, (mark, count) in enumerate(zip(marks, line.counts, strict=True), start=head + 1):
                page.put(row, 0, f"{mark:g}", "cell_centre")
                page.put(row, 1, count, "cell_number", _WHOLE)
            span = (head + 1, head + len(marks))
            page.sheet.charts.append(charts.digit_chart(self.say, page.name, line, span, (head, 2)))
        if lines:
            starts = [top + number * (_TALL + 2) for number in range(len(lines))]
            page.finish(top + len(lines) * (_TALL + 2), None if last < _ONE_PAGE else (3, 3), starts)

    # the lists

    def books(self) -> None:
        columns = [
            _column("file", 34, "cell"), _column("identity", 17, "cell_code"), _column("job", 13, "cell"),
            _column("distributor", 18, "cell"), _column("material", 12, "cell"),
            _column("first", 12, "cell_centre", "yyyy-mm-dd"), _column("last", 12, "cell_centre", "yyyy-mm-dd"),
            _column("number", 9, "cell_centre"), _column("conclusion", 13, "cell_bold"), _column("error", 8),
            _column("query", 9), _column("payable", 12),
        ]  # fmt: skip
        page = self.table("books", columns, self.say["season.note.books"])
        keys = ["first", "last", "number", "conclusion", "error", "query", "payable"]
        lines = [
            [
                *(printable(str(row[key]), 200) for key in ("file", "identity", "job", "distributor", "material")),
                *(self._conclusion(row[key]) if key == "conclusion" else row[key] for key in keys),
            ]
            for _, row in self.season.books.sort_values(["first", "file"], kind="stable").iterrows()
        ]  # fmt: skip
        last = self.fill(page, columns, lines)
        if lines:
            page.sheet.filtered = (3, 0, last, page.last)

    def _conclusion(self, severity: str) -> str:
        from sheetgen.audit.findings import severity_words

        return severity_words(severity, self.say)

    def calibrations(self) -> None:
        columns = [
            _column("distributor", 24, "cell"), _column("kind", 28, "cell"),
            _column("date", 14, "cell_centre", "yyyy-mm-dd"),
            _column("result", 12, shape=_SIGNED), _column("file", 44, "cell"),
        ]  # fmt: skip
        page = self.table("calibrations", columns, self.say["season.note.calibrations"])
        files = self.season.books["file"]
        rows = self.season.calibrations.sort_values(["distributor", "date", "kind"], kind="stable")
        self.fill(page, columns, [
            [
                row["distributor"], self.say[f"season.calibration.{row['kind']}"], row["date"], row["result"],
                files[row["book"]],
            ]
            for _, row in rows.iterrows()
        ])  # fmt: skip

    def method(self) -> None:
        page, bounds = self.new("method", [96.0], landscape=False), plausibility()
        page.title(f"{self.say['season.title']}: {page.name}")
        facts = {
            "slip": percent(bounds["season_slip"]), "least": int(bounds["season_least"]),
            "material": percent(self.season.terms.material), "rate": percent(bounds["season_rate"]),
            "points": int(bounds["season_points"]), "chance": percent(bounds["season_digit_chance"]),
        }  # fmt: skip
        for row, key in enumerate(_METHOD, start=1):
            page.across(row, self.say.say(f"season.method.{key}", **facts), "sentence")
            page.height(row, page.sheet.row_heights[row] + 4)
        page.finish(len(_METHOD))

    # the first page

    def front(self, page: Page, places: dict[str, charts.Place], invented: int) -> None:
        say, books = self.say, self.season.books
        page.title(say["season.title"])
        page.across(1, self._period(), "note")
        row = 2
        if invented:
            page.across(row, say.say("season.invented", count=invented, books=len(books)), "banner")
            row += 1
        row = self._standouts(page, row)
        row = self._figures(page, row)
        row = self._sentences(page, row, "untold", list(self.voice.untold()) if len(books) else [])
        drawn = [(key, places[key]) for key in ("supplier", "distributor") if places[key].pairs]
        starts = [row]
        if drawn:
            row = page.group(row, say["season.group.charts"])
        for key, place in drawn:
            page.sheet.charts.append(charts.bias_chart(say, key, place, (row, 0), wide=700, high=330))
            row += 18
        page.finish(row, starts=starts)

    def _period(self) -> str:
        terms = self.season.terms
        if not terms.bounded:
            return self.say["season.whole_period"]
        days = [day.isoformat() if day else self.say["season.no_bound"] for day in (terms.begins, terms.ends)]
        return self.say.say("season.period", begins=days[0], ends=days[1])

    def _standouts(self, page: Page, row: int) -> int:
        row = page.group(row, self.say["season.group.standouts"])
        if not len(self.season.books):
            page.across(row, self.say["season.empty"], "sentence")
            return row + 1
        if not self.found:
            page.across(
                row,
                self.say.say("season.nothing.said", material=percent(self.season.terms.material)),
                "sentence",
            )
            return row + 1
        for number, one in enumerate(self.found, start=1):
            text = self.voice.sentence(one)
            page.put(row, 0, number, "sign")
            page.put(row, 1, self.say[f"season.kind.{one.kind}"], "fact_bold")
            page.span(row, 2, page.last, text, "sentence")
            page.fit(row, [(text, sum(page.widths[2:]), "sentence")])
            page.height(row, page.sheet.row_heights[row] + 4)
            row += 1
        return row

    def _sentences(self, page: Page, row: int, group: str, lines: Sequence[str]) -> int:
        if not lines:
            return row
        row = page.group(row, self.say[f"season.group.{group}"])
        for line in lines:
            page.across(row, line, "sentence")
            row += 1
        return row

    def _figures(self, page: Page, row: int) -> int:
        """The main figures, two beside each other."""
        row = page.group(row, self.say["season.group.figures"])
        figures = list(figures_of(self.season))
        half = (len(figures) + 1) // 2
        for place, (key, value, unit) in enumerate(figures):
            line, first = row + place % half, 1 if place < half else 4
            label = self.say[f"season.figure.{key}"]
            page.span(line, first, first + 1, label, "sum_label")
            shown = f'#,##0 "{self.voice.unit(unit)}"' if unit else _WHOLE
            if key == "paid_mass":
                shown = shown.replace("#,##0", "#,##0.00")
            page.put(line, first + 2, value, "sum_number", shown)
            page.fit(line, [(label, page.widths[first] + page.widths[first + 1] - 2, "sum_label")])
        return row + half


def amounts_of(season: Season) -> dict[str, float]:
    """Give the money for what is payable by currency, of the books whose orders have a price."""
    priced = season.books[season.books["amount"].notna()]
    return {
        str(currency): float(group["amount"].astype(float).sum())
        for currency, group in priced.groupby("currency")
    }


def figures_of(season: Season) -> Iterator[tuple[str, float | int | None, str]]:
    """The main figures of a season: key, value and kind of unit, empty for a count."""
    books, shots = season.books, season.shots
    yield "issued", season.issued, ""
    yield "returned", len(books), ""
    yield "superseded", season.superseded, ""
    yield "outside", season.outside, ""
    yield "undetailed", int((~books["known"].astype(bool)).sum()), ""
    yield "error", int((books["conclusion"] == "error").sum()), ""
    yield "query", int((books["query"] > 0).sum()), ""
    yield "shots", len(shots), ""
    yield "sprayed", float(shots["base"].sum()), "volume"
    yield "payable", float(books["payable"].sum()), "volume"
    for kind, unit in (("mass", "large_mass"), ("area", "area")):
        if paid := float(books[f"paid_{kind}"].sum()):
            yield f"paid_{kind}", paid, unit
    for currency, amount in amounts_of(season).items():
        yield "amount", amount, f"currency {currency}"
    yield "area", float(shots["area"].sum()), "area"
    yield "loaded", float(season.days["loaded"].sum()), "volume"
    yield "unexplained", unexplained_of(season.days)[0], "volume"


def _group_columns(dimension: str, pairs: Sequence[str]) -> list[Column]:
    compared = [
        column
        for pair in pairs
        for column in (_column(pair, 12, shape=_SIGNED), _column("reach", 7.5, shape=_PERCENT))
    ]
    left = (
        []
        if dimension == "supplier"
        else [_column("unexplained", 11, shape="+#,##0;-#,##0;0"), _column("share", 8, shape=_SIGNED)]
    )
    return [
        _column(dimension, 22, "cell"), _column("books", 6.5), _column("days", 6), _column("shots", 6.5),
        _column("volume", 10), _column("area", 10), _column("deviation", 11, shape=_SIGNED),
        _column("reach", 7.5, shape=_PERCENT), _column("out", 9.5, shape=_PERCENT), *compared, *left,
        _column("error", 7.5), _column("query", 8.5), _column("high", 8, shape=_PERCENT),
        _column("low", 8, shape=_PERCENT),
    ]  # fmt: skip


def _shown(value: object) -> str | float | int | None:
    if value is None or isinstance(value, str):
        return value
    if isinstance(value, int | float):
        return None if isinstance(value, float) and isnan(value) else value
    return float(value)  # type: ignore[arg-type]
