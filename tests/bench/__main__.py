"""``python -m tests.bench``: measure all of it and print the page; ``--write FOLDER`` keeps page and charts."""

from __future__ import annotations

import argparse
import tempfile
from pathlib import Path

import pyperf

from tests.bench import measures, page
from tests.bench.books import returned_book
from tests.bench.first_page import first_page
from tests.bench.rounds import Times


def main(arguments: list[str] | None = None) -> str:
    """Measure, print and, where asked, write; gives the page."""
    asked = _parser().parse_args(arguments)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        books = {shots: returned_book(folder, shots) for shots in asked.shots}
        small = books[min(books)]
        one = books.get(60, small)
        read = {shots: measures.reading(book, folder, asked.rounds) for shots, book in books.items()}
        written = {shots: measures.writing(shots, folder, max(1, asked.rounds // 2)) for shots in books}
        whole = measures.processes(one, folder, asked.rounds)
        desk = first_page(folder, asked.rounds)
        two = measures.over_processes(one, folder, asked.two, max(1, asked.rounds // 3))
        by_shots = measures.growth_with_shots(books, folder)
        by_books = measures.growth_with_books(small, folder, asked.books)
        made = page.text(read, written, whole, desk, two, by_shots, by_books, asked.two)
        print(made)
        if asked.write is not None:
            asked.write.mkdir(parents=True, exist_ok=True)
            (asked.write / "speed.md").write_text(made, encoding="utf-8")
            page.draw(by_shots, by_books, asked.write / "growth.png")
        if asked.figures is not None:
            keep({**_named(read), **_named(written), **whole, **desk, **two}, asked.figures)
    return made


def _named(by_shots: dict[int, dict[str, Times]]) -> dict[str, Times]:
    return {
        f"{name} ({shots} shots)": taken for shots, times in by_shots.items() for name, taken in times.items()
    }


def keep(times: dict[str, Times], path: Path) -> None:
    """Every round's processor seconds in pyperf's form: its ``compare_to`` sets two versions side by side."""
    path.unlink(missing_ok=True)
    runs = [
        pyperf.Benchmark(
            [pyperf.Run(taken.cpu, metadata={"name": name, "unit": "second"}, collect_metadata=False)]
        )
        for name, taken in times.items()
    ]
    pyperf.BenchmarkSuite(runs).dump(str(path))


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    parser.add_argument(
        "--shots", type=int, nargs="+", default=[10, 60, 200, 500], help="rows of the shot logs"
    )
    parser.add_argument(
        "--books", type=int, nargs="+", default=[10, 30, 100], help="books of the batches that grow"
    )
    parser.add_argument("--two", type=int, default=60, help="books of the batch in one and in two processes")
    parser.add_argument("--rounds", type=int, default=6, help="how often each thing is measured")
    parser.add_argument("--write", type=Path, help="a folder for the page and its charts")
    parser.add_argument("--figures", type=Path, help="a file for every figure, in pyperf's form")
    return parser


if __name__ == "__main__":
    main()
