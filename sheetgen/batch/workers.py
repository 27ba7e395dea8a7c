"""Files over several processes, results in the order of the files, and no more of either in memory than needed.

A process that dies (killed by the system for its memory, or by a crash below Python) takes the whole pool with it.
The files that were under way are then done one by one, each in a process of its own, so that only the file that is
to blame is lost.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
import time
from collections import deque
from collections.abc import Callable, Generator, Iterable
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from itertools import islice
from multiprocessing.connection import wait
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from sheetgen import templates
from sheetgen.batch.file_limits import MEGABYTES, SECONDS, ended_after, limit_memory
from sheetgen.batch.one_file import lost_file, recheck_file, slow_file
from sheetgen.batch.task import Result, Task
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from sheetgen.batch.places import Place

_AHEAD = 3  # files for each process that are handed out before their turn to be given back has come

T = TypeVar("T")
P = ParamSpec("P")

_task: Task | None = None  # of this process, which works for one batch


def over_processes(
    named: Iterable[tuple[Place, str]], task: Task, jobs: int
) -> Generator[Result, None, None]:
    """Recheck the files in several processes; when the iterator is closed, what is under way is finished first."""
    pool = _Pool(task, jobs)
    waiting: deque[tuple[tuple[Place, str], Future[Result]]] = deque()
    remaining = iter(named)
    try:
        while True:
            for each in islice(remaining, jobs * _AHEAD - len(waiting)):
                waiting.append((each, pool.submit(each)))
            if not waiting:
                return
            each, future = waiting.popleft()
            yield _result(each, future, task)
    finally:
        pool.end()


def _result(each: tuple[Place, str], future: Future[Result], task: Task) -> Result:
    try:
        return future.result()
    except BrokenProcessPool:
        pool = _Pool(task, 1)
        begun = time.monotonic()
        try:
            return pool.submit(each).result()
        except BrokenProcessPool:  # processor time passes no quicker than time
            slow = time.monotonic() - begun >= task.seconds
            return slow_file(each[0], task) if slow else lost_file(each[0])
        finally:
            pool.end()


class _Pool:
    """Processes for one batch, made anew where one of them died."""

    def __init__(self, task: Task, jobs: int) -> None:
        self._task, self._jobs = task, jobs
        self._executor = self._made()

    def submit(self, each: tuple[Place, str]) -> Future[Result]:
        try:
            return self._executor.submit(_work, *each)
        except BrokenProcessPool:
            self._executor.shutdown()
            self._executor = self._made()
            return self._executor.submit(_work, *each)

    def end(self) -> None:
        self._executor.shutdown(wait=True, cancel_futures=True)

    def _made(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(
            self._jobs, mp_context=context(), initializer=_begin, initargs=(self._task,)
        )


def context() -> Any:
    """How processes begin: not by forking this one, which may have threads, such as that of a progress bar."""
    if "forkserver" in multiprocessing.get_all_start_methods():
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload(["sheetgen.batch.preload"])  # read once, not once for each process
        return context
    return multiprocessing.get_context("spawn")


def _begin(task: Task) -> None:
    """In a new process: keep the task too."""
    global _task
    _task = task
    templates.speak(task.language)
    _begin_limited(task.megabytes)


def _begin_limited(megabytes: int) -> None:
    """In a new process: keep the limits of a file."""
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # each thread would take a part of the memory allowed
    limit_memory(megabytes)
    end_with_parent()


def end_with_parent() -> None:
    """Leave Ctrl-C to the process that began this one, and end when that one ends."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_end_with, args=(parent.sentinel,), daemon=True).start()


def _end_with(sentinel: int, end: Callable[[int], Any] = os._exit) -> None:
    wait([sentinel])
    end(1)


def _work(path: Place, name: str) -> Result:
    assert _task is not None  # set when the process began
    with ended_after(_task.seconds):
        return recheck_file(path, name, _task)


class Apart:
    """One process, begun when it is first needed and again where it died; calls wait for each other.

    Attributes:
        seconds: processor time of one call
        megabytes: memory of the process
    """

    def __init__(self, seconds: float = SECONDS, megabytes: int = MEGABYTES) -> None:
        self.seconds, self.megabytes = seconds, megabytes
        self._executor: ProcessPoolExecutor | None = None
        self._lock = threading.Lock()

    def run(self, function: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
        """The function's result; what it raises is raised here too.

        Raises:
            SheetgenError: the process died or was ended at its limits.
        """
        with self._lock:
            if self._executor is None:
                self._executor = ProcessPoolExecutor(
                    1, context(), initializer=_begin_limited, initargs=(self.megabytes,)
                )
            try:
                return self._executor.submit(
                    _limited, self.seconds, templates.spoken(), function, args, kwargs
                ).result()
            except (BrokenProcessPool, MemoryError) as error:
                self._end()
                raise SheetgenError(templates.spoken_texts()["batch.given_up"]) from error

    def end(self) -> None:
        """End the process."""
        with self._lock:
            self._end()

    def _end(self) -> None:
        if self._executor is not None:
            self._executor.shutdown(wait=False, cancel_futures=True)
        self._executor = None


def _limited(
    seconds: float,
    language: str,
    function: Callable[..., T],
    args: tuple[object, ...],
    kwargs: dict[str, object],
) -> T:
    templates.speak(language)
    with ended_after(seconds):
        return function(*args, **kwargs)
