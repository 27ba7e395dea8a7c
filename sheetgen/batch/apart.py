"""Work on what strangers wrote, in a process of its own with the limits of a file: it can take nothing else along."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from typing import ParamSpec, TypeVar

from sheetgen import templates
from sheetgen.batch.file_limits import MEGABYTES, SECONDS, ended_after, limit_memory
from sheetgen.batch.workers import context, end_with_parent
from sheetgen.errors import SheetgenError

T = TypeVar("T")
P = ParamSpec("P")


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
                    1, context(), initializer=_begin, initargs=(self.megabytes, templates.spoken())
                )
            try:
                return self._executor.submit(_limited, self.seconds, function, args, kwargs).result()
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


def _begin(megabytes: int, language: str) -> None:
    templates.speak(language)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # each thread would take a part of the memory allowed
    limit_memory(megabytes)
    end_with_parent()


def _limited(
    seconds: float, function: Callable[..., T], args: tuple[object, ...], kwargs: dict[str, object]
) -> T:
    with ended_after(seconds):
        return function(*args, **kwargs)
