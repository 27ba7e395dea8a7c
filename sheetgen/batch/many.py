"""Rechecking many returned books in one run."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.batch.file_limits import SECONDS, TimeUp, time_limited
from sheetgen.batch.finished_reports import sole_use
from sheetgen.batch.named_files import report_names, returned_files
from sheetgen.batch.one_file import default_recheck, default_report, program, recheck_file, slow_file
from sheetgen.batch.places import place
from sheetgen.batch.task import RecheckOne, Result, Task, WriteReport

if TYPE_CHECKING:
    from sheetgen.batch.named_files import PassedOver
    from sheetgen.batch.places import Place
    from sheetgen.order.model import Order
    from sheetgen.register.register import Register

    Way = Callable[[Iterable[tuple[Place, str]], Task], Generator[Result, None, None]]


def recheck_many(
    paths_or_folders: Iterable[str | Place],
    *,
    order: Order | None = None,
    register: Register | str | Path | None = None,
    out_dir: str | Place | None = None,
    jobs: int = 1,
    scheduler: str | None = None,
    progress: Callable[[int, int], None] | None = None,
    recheck_one: RecheckOne | None = None,
    write_report: WriteReport | None = None,
    fresh: bool = False,
    passed_over: PassedOver | None = None,
    seconds: float = SECONDS,
    apart: bool = False,
) -> Iterator[Result]:
    """Recheck returned books, one after the other or over several processes.

    Results come in the order of the files, whatever order they are done in, and only as many are held as are under
    way. A file that cannot be used gives a result that says why; the others go on. A run that was stopped leaves
    whole reports; the next run with the same output folder takes over each report whose file, order, questions and
    program version are still the same, and makes the rest.

    Args:
        paths_or_folders: files, and folders to look for workbooks in; paths, or URLs that fsspec knows
        order: the office's own copy of the order; without it the order that each book carries is taken
        register: an open register, or its file or database address; each result is recorded in it as it comes
        out_dir: the folder for the reports, a path or a URL, made where it is missing; None for no reports
        jobs: number of processes; 1 for this one
        scheduler: address of a Dask scheduler whose workers do the rechecks, in place of processes of this machine;
            URLs are then read and written by the workers, paths by this machine. See :mod:`sheetgen.batch.cluster`
        progress: called with the number of results so far and of all files, at the beginning and after each result
        recheck_one: called as ``recheck_one(path, order=order)`` for each file; a function of a module, or a
            ``functools.partial`` of one, so that it can go to other processes; None for the recheck of this program
        write_report: called as ``write_report(recheck, out_dir, name=name)``; it gives the report's files, each of
            them written whole or not at all; None for the report of this program
        fresh: make reports again that an earlier run has made
        passed_over: called with each file in the folders that is not rechecked, and why; see
            :func:`~sheetgen.batch.named_files.returned_files`

        seconds: processor time that one file may take, on systems that can measure it; in processes of this machine
            a file that needs far too much memory is given up too
        apart: recheck every file in another process, also where there is one file or one process

    Raises:
        SheetgenError: another run is writing into the output folder; a storage or a cluster cannot be used.
        RegisterError: the register cannot be used; the reports made so far stay.

    Example: ``for result in recheck_many(["returned"], out_dir="rechecked", jobs=2): print(result.conclusion)``
    """
    if jobs < 1:
        raise ValueError(f"jobs: found {jobs}; expected 1 or more")
    files = returned_files(paths_or_folders, passed_over)
    task = _task(order, out_dir, recheck_one or default_recheck, write_report or default_report, fresh)
    task = replace(task, seconds=seconds)
    return _results(
        files, task, _way(files, jobs, scheduler, apart), register, progress or (lambda _done, _all: None)
    )


def _results(
    files: list[Place],
    task: Task,
    way: Way,
    register: Register | str | Path | None,
    progress: Callable[[int, int], None],
) -> Iterator[Result]:
    named = report_names(files)
    with ExitStack() as stack:
        if task.out_dir is not None:
            stack.enter_context(sole_use(task.out_dir))
        kept = _opened(register, stack)
        results = way(named, task)
        progress(0, len(files))
        with closing(results):
            for done, result in enumerate(results, start=1):
                if kept is not None and result.summary is not None:
                    result = replace(result, outcome=kept.record_return(result.summary))
                progress(done, len(files))
                yield result


def _way(files: list[Place], jobs: int, scheduler: str | None, apart: bool) -> Way:
    """By whom the files are rechecked."""
    if scheduler is not None:
        from sheetgen.batch.cluster import over_cluster

        return partial(over_cluster, scheduler=scheduler)
    if not apart and (jobs == 1 or len(files) < 2):
        return _in_one_process
    from sheetgen.batch.workers import over_processes

    return partial(over_processes, jobs=max(1, min(jobs, len(files))))


def _in_one_process(named: Iterable[tuple[Place, str]], task: Task) -> Generator[Result, None, None]:
    """Recheck the files in this process, one after the other."""
    for path, name in named:
        try:
            with time_limited(task.seconds):
                result = recheck_file(path, name, task)
        except TimeUp:
            result = slow_file(path, task)
        yield result


def _opened(register: Register | str | Path | None, stack: ExitStack) -> Register | None:
    if isinstance(register, str | Path):
        from sheetgen.register.register import open_register

        return stack.enter_context(open_register(register))
    return register


def _task(
    order: Order | None,
    out_dir: str | Place | None,
    recheck_one: RecheckOne,
    write_report: WriteReport,
    fresh: bool,
) -> Task:
    asked = "\n".join(
        ["" if order is None else order.canonical(), _called(recheck_one), _called(write_report)]
    )
    return Task(
        recheck_one,
        write_report,
        order,
        None if out_dir is None else place(out_dir),
        program(),
        hashlib.sha256(asked.encode()).hexdigest(),
        fresh,
    )


def _called(function: RecheckOne | WriteReport) -> str:
    """A function and what it is called with beside the file, so that another question gets another answer."""
    if isinstance(function, partial):
        with_what = sorted(function.keywords.items())
        return f"{_called(function.func)} {function.args!r} {with_what!r}"
    return f"{function.__module__}.{function.__qualname__}"
