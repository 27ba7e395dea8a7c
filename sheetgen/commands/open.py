"""The command ``sheetgen FILE …``: what fits each file, in the order in which it fits together.

Orders first, so that their books are in the register; then returned books, compared with the claim sheet that came
with them.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterable
from contextlib import redirect_stderr
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from sheetgen import templates
from sheetgen.errors import SheetgenError
from sheetgen.office.kinds import Kind, files_in, kind_of, unknown_kind
from sheetgen.output import in_full, printable_lines
from sheetgen.whole_file import write_whole
from sheetgen.xlsx.unusable import unusable

if TYPE_CHECKING:
    from sheetgen.office.orders import OrderWork

CLEAN, FINDINGS, UNUSABLE = 0, 1, 2


def open_command(
    files: list[Path],
    key: Path | None,
    public_key: str | None,
    register: str | None,
    out: Path | None,
    show: bool,
) -> int:
    """Build orders and recheck returned books; the exit status.

    Args:
        out: the folder that "books" and "rechecked" are made in; None for that of the first file
        show: whether to open the results in the programs that the system opens such files with; what could not be
            done too, since a person who drops files on an icon sees nothing that is printed
    """
    if not show:
        return _done(files, key, public_key, register, out)[0]
    heard = io.StringIO()
    made: list[Path] = []
    with redirect_stderr(_Heard(sys.stderr, heard)):
        try:
            status, made = _done(files, key, public_key, register, out)
        except (SheetgenError, OSError) as error:
            status = UNUSABLE
            print(printable_lines(str(error)), file=sys.stderr)
    if status == UNUSABLE:
        name = f"{templates.spoken_texts()['office.not_done']}.txt"
        made.append(Path(tempfile.mkdtemp(prefix="sheetgen-"), name))
        write_whole(made[-1], heard.getvalue().encode())
    for path in made:
        if path.exists():
            show_file(path)
    return status


class _Heard(io.TextIOBase):
    """Passes on what is printed, where anything takes it, and keeps it."""

    def __init__(self, before: TextIO | None, kept: io.StringIO) -> None:
        self._before, self._kept = before, kept

    def write(self, text: str) -> int:
        if self._before is not None:
            self._before.write(text)
        return self._kept.write(text)


def _done(
    files: list[Path], key: Path | None, public_key: str | None, register: str | None, out: Path | None
) -> tuple[int, list[Path]]:
    """Do it: the exit status, and what was made."""
    by_kind: dict[Kind, list[Path]] = {}
    absent = [path for path in files if not path.exists()]
    for path in files_in(path for path in files if path not in absent):
        by_kind.setdefault(kind_of(path), []).append(path)
    folder = out or (files[0] if files[0].is_dir() else files[0].parent)
    done = [_order(path, folder / "books", key, register) for path in by_kind.get(Kind.ORDER, [])]
    done += [_yard(path, folder) for path in by_kind.get(Kind.YARD, [])]
    if Kind.BOOK in by_kind:
        done.append(_books(by_kind, folder / "rechecked", public_key, register))
    for path in absent:
        done.append((UNUSABLE, []))
        print(unusable(str(path), "missing", "any-file"), file=sys.stderr)
    for path in [*by_kind.get(Kind.OTHER, []), *_left_over(by_kind)]:
        done.append((UNUSABLE, []))
        print(unknown_kind(in_full(path)), file=sys.stderr)
    return max((status for status, _ in done), default=CLEAN), [path for _, made in done for path in made]


def show_file(path: Path) -> None:
    """Open a file in the program that the system opens such files with; nothing where there is none."""
    if sys.platform == "win32":
        os.startfile(path)
        return
    opener = "open" if sys.platform == "darwin" else "xdg-open"
    try:
        subprocess.run([opener, str(path)], check=False, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    except FileNotFoundError:
        print(templates.spoken_texts().say("office.no_opener", path=path), file=sys.stderr)


def _left_over(by_kind: dict[Kind, list[Path]]) -> Iterable[Path]:
    """Files of a kind that means nothing alone: reports, claim sheets where no book or another one came with them."""
    yield from by_kind.get(Kind.REPORT, [])
    claims = by_kind.get(Kind.CLAIM, [])
    yield from claims[1:] if Kind.BOOK in by_kind else claims


def _yard(path: Path, out: Path) -> tuple[int, list[Path]]:
    from sheetgen.office.orders import work_on_yard

    work = work_on_yard(path, out)
    if work.mistakes:
        return _say_mistakes(path, work)
    print(f"{in_full(path)}: {work.job[0]}")
    for warning in work.warnings:
        print(f"  ! {in_full(warning)}")
    return (FINDINGS if work.warnings else CLEAN), []


def _say_mistakes(path: Path, work: OrderWork) -> tuple[int, list[Path]]:
    """Every mistake of an order or a yard, and where the copy is in which they are marked."""
    say = templates.texts(work.language)
    facts = {"path": in_full(path), "count": len(work.mistakes)}
    print(say.say("office.yard_mistaken" if work.yard else "office.mistaken", **facts), file=sys.stderr)
    for mistake in work.mistakes:
        print(f"  {in_full(mistake.told(work.language))}", file=sys.stderr)
    if work.marked:
        print(say.say("office.marked.written", path=in_full(work.marked)), file=sys.stderr)
    return UNUSABLE, [work.marked] if work.marked else []


def _order(path: Path, out: Path, key: Path | None, register: str | None) -> tuple[int, list[Path]]:
    from sheetgen.office.orders import work_on_order
    from sheetgen.office.settings import read_settings
    from sheetgen.plan.text_answer import answer_lines

    office = read_settings()
    work = work_on_order(path, out, key, register, yard=office.yard, second_language=office.second_language)
    say = templates.texts(work.language)
    shown = in_full(path)
    if work.mistakes:
        return _say_mistakes(path, work)
    print(say.say("office.planned", path=shown))
    for line in answer_lines(work.answer[0], work.answer[1:]):
        print(f"  {in_full(line)}")
    for warning in work.warnings:
        print(f"  ! {in_full(warning)}")
    if work.page is not None:
        print(say.say("office.page_written", path=in_full(work.page)))
    for picture in work.pictures:
        print(say.say("office.pictured", path=in_full(picture.path)))
    pages = [] if work.page is None else [work.page]
    if work.error:
        print(printable_lines(work.error), file=sys.stderr)
        return UNUSABLE, pages
    for book in work.books:
        print(in_full(book))
    return CLEAN, [*pages, *work.books]


def _books(
    by_kind: dict[Kind, list[Path]], out: Path, public_key: str | None, register: str | None
) -> tuple[int, list[Path]]:
    from sheetgen.commands.recheck import recheck_command
    from sheetgen.office.settings import read_settings

    books = by_kind[Kind.BOOK]
    claims = by_kind.get(Kind.CLAIM, [])
    status = recheck_command(
        map(str, books), order=None, public_key=public_key, claim=str(claims[0]) if claims else None,
        register=register, out=str(out), copy=False, csv=False, as_json=False, jobs=min(2, len(books)),
        language=read_settings().language,
    )  # fmt: skip
    return status, [out / ("summary.xlsx" if len(books) > 1 else f"{books[0].stem}.recheck.xlsx")]
