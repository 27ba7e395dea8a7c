"""The measurements as a page of Markdown and as charts."""

from __future__ import annotations

import os
import platform
from collections.abc import Iterable, Mapping, Sequence
from importlib.metadata import version
from pathlib import Path

from tests.bench.measures import (
    BARE,
    BUILD,
    IMPORT_PANDAS,
    OPENPYXL,
    RECHECK,
    RECHECK_ONE,
    WRITE,
    Grown,
)
from tests.bench.rounds import Times, exponent

_LIBRARIES = ("formualizer", "lxml", "numpy", "openpyxl", "pandas", "pint", "python-calamine", "XlsxWriter")


def machine() -> str:
    """What it was measured on."""
    libraries = ", ".join(f"{name} {version(name)}" for name in _LIBRARIES)
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    return (
        f"{platform.machine()}, {os.cpu_count()} cores (load when begun: {load}); "
        f"{platform.system()}, Python {platform.python_version()}; {libraries}."
    )


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table in Markdown, the first column to the left and the others to the right."""
    lines = [list(head), ["---", *("---:" for _ in head[1:])], *map(list, rows)]
    return "\n".join("| " + " | ".join(line) + " |" for line in lines)


def compared(by_shots: Mapping[int, Mapping[str, Times]], base: str, subject: str) -> str:
    """Medians of each thing by the rows of the shot log, and the subject's part of the base in the same run."""
    rows = []
    for shots, times in by_shots.items():
        base_wall, base_cpu = times[base].typical
        for name, taken in times.items():
            wall, cpu = taken.typical
            rows.append(
                [
                    name,
                    str(shots),
                    f"{wall:.3f}",
                    f"{cpu:.3f}",
                    f"{wall / base_wall:.2f}",
                    f"{cpu / base_cpu:.2f}",
                ]
            )
    heads = ["", "shots", "clock, s", "processor, s", f"clock ÷ {base}", f"processor ÷ {base}"]
    assert all(subject in times for times in by_shots.values())
    return table(heads, rows)


def simple(times: Mapping[str, Times]) -> str:
    """Medians of single things."""
    return table(
        ["", "clock, s", "processor, s"],
        [[name, *(f"{part:.3f}" for part in taken.typical)] for name, taken in times.items()],
    )


def grown(things: Mapping[str, Grown], what: str) -> str:
    """Processor time and memory of processes of their own by size, with the fitted exponents."""
    rows = []
    for name, growth in things.items():
        for size, seconds, memory in zip(growth.sizes, growth.seconds, growth.memory, strict=True):
            rows.append([name, str(size), f"{seconds:.2f}", f"{memory:.0f}"])
        slopes = (exponent(growth.sizes, values) for values in (growth.seconds, growth.memory))
        rows.append([f"{name}: **exponent**", "", *(f"**{slope:.2f}**" for slope in slopes)])
    return table(["", what, "processor, s", "most memory, MB"], rows)


def in_process(by_shots: Mapping[int, Mapping[str, Times]], name: str) -> float:
    """The exponent of a thing's processor time, measured without the start of a process."""
    return exponent(list(by_shots), [times[name].typical[1] for times in by_shots.values()])


def _ratio(times: Mapping[str, Times], one: str, other: str) -> float:
    return times[one].typical[0] / times[other].typical[0]


def text(
    read: Mapping[int, Mapping[str, Times]],
    written: Mapping[int, Mapping[str, Times]],
    whole: Mapping[str, Times],
    desk: Mapping[str, Times],
    two: Mapping[str, Times],
    by_shots: Mapping[str, Grown],
    by_books: Grown,
    books_in_two: int,
) -> str:
    """The whole page."""
    one, both = (two[f"--jobs {jobs}"].typical[0] for jobs in (1, 2))
    parts = [
        "# Speed and growth\n\nMade by `python -m tests.bench --write FOLDER`. Medians; what is compared was "
        "measured in turn in one run, so that a busy machine disturbs both sides. Every file is an invented "
        "book, its log filled.",
        f"Machine: {machine()}",
        "## One returned book\n\nThe recheck reads, proves, reads entries, recomputes and checks; its report is a line "
        "of its own. openpyxl, python-calamine and pandas only read the same file.",
        compared(read, OPENPYXL, RECHECK),
        f"Exponent of the recheck's processor time, start of the process left out: {in_process(read, RECHECK):.2f}.",
        "## One book built\n\nAgainst the same cells, looks, widths, validations and formulas with their "
        "results, written with XlsxWriter alone from finished lists. A build also lays the book out, evaluates every "
        f"formula and writes charts, names, pages and protection. The like of the bare writing is the line “{WRITE}”.",
        compared(written, BARE, BUILD),
        f"Exponent of the build's processor time, start of the process left out: {in_process(written, BUILD):.2f}.",
        "## Whole processes\n\nFrom start to end, imports included; the recheck with its report.",
        simple(whole),
        f"One recheck takes **{_ratio(whole, RECHECK_ONE, IMPORT_PANDAS):.2f}** times as long as importing pandas.",
        "## The desk\n\nA desk of its own in each round: from its start until it says its address, and from then until "
        "a browser that enters there has the whole first page.",
        simple(desk),
        f"## Two processes\n\n{books_in_two} books in one process and in two, start and reports included: "
        f"{one:.1f} s and {both:.1f} s by the clock, **{one / both:.2f}** times as fast.",
        "## Growth\n\nEach measured in a process of its own, its start and imports included. An exponent of 1 means "
        "twice the size, twice the time.\n\n![Growth](growth.png)",
        grown(by_shots, "shots"),
        grown({"recheck of a folder": by_books}, "books"),
    ]
    return "\n\n".join(parts) + "\n"


def draw(by_shots: Mapping[str, Grown], by_books: Grown, path: Path) -> Path:
    """Charts of time and memory by shots and by books, both axes logarithmic."""
    import matplotlib

    matplotlib.use("Agg")
    from matplotlib import pyplot

    figure, axes = pyplot.subplots(2, 2, figsize=(9, 6.5), layout="constrained")
    things = (by_shots, {"recheck of a folder": by_books})
    for column, (label, named) in enumerate(zip(("shots", "books"), things, strict=True)):
        for row, (what, field) in enumerate(
            (("processor time, s", "seconds"), ("most memory, MB", "memory"))
        ):
            chart = axes[row, column]
            for (name, growth), sign in zip(named.items(), "os^", strict=False):
                chart.plot(growth.sizes, getattr(growth, field), f"{sign}-", label=name)
            chart.set(xscale="log", yscale="log", xlabel=label, ylabel=what)
            chart.grid(visible=True, which="both", linewidth=0.3)
            chart.legend(fontsize=7)
    figure.savefig(path, dpi=110, metadata={"Software": None})
    pyplot.close(figure)
    return path
