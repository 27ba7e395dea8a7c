"""Files over the machines of a Dask cluster: the same work on each file, results in the order of the files.

A plain path belongs to the machine that runs the batch: a book there goes to a worker as bytes, and a report for
there comes back as bytes and is written here. A URL is read or written by the workers themselves. A worker that dies
loses nothing: its books go to others, and a book whose report was finished is taken over from the note of that.

Safety: whoever reaches a Dask scheduler can run any code on it and on its workers, and what workers send back is
unpickled here. Keep it on a private network, or use TLS (``tls://``, certificates in Dask's own configuration).

Each worker needs this version of the program, for example
``dask worker tcp://10.0.0.5:8786 --nworkers auto --nthreads 1``.
"""

from __future__ import annotations

import contextlib
import threading
import time
from collections import deque
from collections.abc import Callable, Generator, Iterable
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sheetgen import templates
from sheetgen.batch.finished_reports import forget_done, read_done
from sheetgen.batch.one_file import (
    delivered,
    lost_file,
    noted,
    program,
    read_book_bytes,
    reason,
    recheck_file,
    recheck_sent,
    told,
)
from sheetgen.batch.places import batch_error, in_time
from sheetgen.batch.task import Result, Task
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from distributed import Client, Future

    from sheetgen.batch.places import Place

PATIENCE = 30.0  # seconds for the scheduler to answer
FIRST_WORKER = 30.0  # seconds for it to have a worker
FORSAKEN = 120.0  # seconds without any worker after which a run ends
# Files for each thread of the cluster that are handed out before their turn to be given back has come.
_AHEAD = 3
_LOOK = 5.0  # seconds between looks at who is there
# Threads of one process gain nothing here, and nothing has to be safe for them.
_one_at_a_time = threading.Lock()


def over_cluster(
    named: Iterable[tuple[Place, str]], task: Task, scheduler: str
) -> Generator[Result, None, None]:
    """Recheck the files on the workers of a Dask scheduler.

    Args:
        scheduler: its address, such as ``tcp://10.0.0.5:8786``

    Raises:
        SheetgenError: the scheduler or its workers cannot be used, or are gone; what was finished stays.
    """
    cluster = _Cluster(scheduler, task)
    under_way: deque[_UnderWay] = deque()
    remaining = iter(named)
    try:
        while True:
            for path, name in islice(remaining, max(cluster.threads() * _AHEAD - len(under_way), 0)):
                under_way.append(_handed_out(path, name, task, cluster))
            if not under_way:
                return
            yield under_way.popleft().result(cluster, task, under_way)
    finally:
        cluster.end([each.future for each in under_way if each.future is not None])


class _UnderWay:
    """One file: at the cluster, or with its result already."""

    def __init__(
        self, path: Place, name: str, data: bytes | None = None, known: Result | None = None
    ) -> None:
        self.path, self.name, self.data, self.known = path, name, data, known
        self.future: Future[Any] | None = None

    def submit(self, cluster: _Cluster) -> None:
        self.future = cluster.submit(self.path, self.name, self.data)

    def result(self, cluster: _Cluster, task: Task, others: Iterable[_UnderWay]) -> Result:
        if self.known is not None:
            return self.known
        sent = cluster.wait(self.future)
        if sent is None:  # workers died at it, or beside it: once more, alone, and then it is to blame
            cluster.settle([each.future for each in others if each.future is not None])
            self.submit(cluster)
            sent = cluster.wait(self.future)
        if sent is None:
            return lost_file(self.path)
        result, contents = sent
        return (
            result if not contents else told(self.path, lambda: _received(result, contents, self.name, task))
        )


def _handed_out(path: Place, name: str, task: Task, cluster: _Cluster) -> _UnderWay:
    """What can be known here is: whether an earlier run made the report, and that a file cannot be read."""
    out_here = task.out_dir is not None and isinstance(task.out_dir, Path)
    if not out_here and not isinstance(path, Path):
        each = _UnderWay(path, name)
        each.submit(cluster)
        return each
    data: bytes | None = None

    def read() -> Result | None:
        nonlocal data
        data, sha256 = read_book_bytes(path)
        return read_done(path, sha256, name, task) if out_here and not task.fresh else None

    known = told(path, read)
    each = _UnderWay(path, name, data, known)
    if known is None:
        each.submit(cluster)
    return each


def _received(result: Result, contents: tuple[bytes, ...], name: str, task: Task) -> Result:
    """Write a report that came from a worker."""
    try:
        forget_done(name, task)
        delivered(list(zip(result.reports, contents, strict=True)))
    except OSError as error:
        raise reason(result.path, "not_written", reason=error.strerror or error) from error
    return noted(result, name, task)


class _Cluster:
    """The scheduler and its workers, as one batch sees them."""

    def __init__(self, scheduler: str, task: Task) -> None:
        try:
            import distributed  # noqa: F401 (whether it is there)
            from distributed.protocol.pickle import dumps
        except ImportError as error:
            raise batch_error("no_cluster_extra", scheduler=scheduler, reason=error) from error
        self._scheduler = scheduler
        self._threads, self._looked, self._alive = 0, 0.0, time.monotonic()
        self._parting = 10.0  # seconds to leave the cluster in order
        try:
            # Its own time limit is of no help where something takes the call that is no scheduler.
            self._client: Client = in_time(
                lambda: _client(scheduler, timeout=PATIENCE, set_as_default=False, name="sheetgen"),
                PATIENCE + 2,
            )
        except Exception as error:  # of the address, of TLS, of the network
            why = "no_scheduler"
            raise batch_error(
                why, scheduler=scheduler, seconds=int(PATIENCE), reason=_one_line(error)
            ) from error
        try:
            self._client.wait_for_workers(1, timeout=FIRST_WORKER)
        except TimeoutError as error:
            self.end([])
            raise batch_error("no_workers", scheduler=scheduler, seconds=int(FIRST_WORKER)) from error
        # As a task of its own it goes to each worker once, and is there again when the worker that had it is gone.
        self._packed = dumps(task)
        self._task: Future[Any] = self._client.submit(unpacked, self._packed, pure=False)

    def threads(self) -> int:
        """How many files the cluster works on at once; 1 at least."""
        if time.monotonic() - self._looked > _LOOK:
            self._look()
        return max(self._threads, 1)

    def submit(self, path: Place, name: str, data: bytes | None) -> Future[Any]:
        made: Future[Any] = self._asked(
            lambda: self._client.submit(recheck_at_worker, self._task, path, name, data, pure=False)
        )
        return made

    def settle(self, futures: list[Future[Any]]) -> None:
        """Wait until the cluster has done with these, one way or the other, and knows the task again."""
        while not all(future.done() for future in futures):
            time.sleep(0.05)
            self.threads()
        if self._task.status == "error":  # a worker died while it was taking the task
            self._task = self._asked(lambda: self._client.submit(unpacked, self._packed, pure=False))

    def wait(self, future: Future[Any] | None) -> tuple[Result, tuple[bytes, ...]] | None:
        """What a worker made of a file; None where workers died at it."""
        from distributed import KilledWorker, TimeoutError

        assert future is not None
        while True:
            try:
                return self._asked(lambda: future.result(timeout=_LOOK))  # type: ignore[no-any-return]
            except TimeoutError:
                self._look()
            except KilledWorker:
                return None

    def end(self, futures: list[Future[Any]]) -> None:
        """Leave the cluster; what has not begun there is called off."""
        with contextlib.suppress(Exception):
            if futures:
                in_time(lambda: self._client.cancel(futures), self._parting)
        with contextlib.suppress(Exception):
            in_time(lambda: self._client.close(timeout=self._parting), self._parting)

    def _look(self) -> None:
        """Who is there; ends the run where nobody has been for long."""
        self._looked = time.monotonic()
        try:
            self._threads = sum(self._asked(lambda: in_time(self._client.nthreads, PATIENCE)).values())
        except TimeoutError as error:
            raise self._lost(error) from error
        if self._threads:
            self._alive = self._looked
        elif self._looked - self._alive > FORSAKEN:
            raise batch_error("no_workers", scheduler=self._scheduler, seconds=int(FORSAKEN))

    def _asked(self, ask: Callable[[], Any]) -> Any:
        """The answer of the cluster, or why there is none: nothing that a book could be blamed for."""
        from distributed import KilledWorker, TimeoutError

        try:
            return ask()
        except (TimeoutError, KilledWorker, SheetgenError):
            raise
        except ImportError as error:
            raise batch_error("no_program", scheduler=self._scheduler, reason=_one_line(error)) from error
        except Exception as error:
            raise self._lost(error) from error

    def _lost(self, error: Exception) -> SheetgenError:
        self._parting = 1.0
        return batch_error("cluster_lost", scheduler=self._scheduler, reason=_one_line(error))


def _client(scheduler: str, **options: Any) -> Client:
    """A client that is closed where that is said, and not when it is collected.

    At the end of the program the library would wait then, without end, for a thread that is gone.
    """
    from distributed import Client

    class Closed(Client):
        def __del__(self) -> None:
            pass

    made: Client = Closed(scheduler, **options)  # type: ignore[no-untyped-call]
    return made


def _one_line(error: BaseException) -> str:
    return " ".join(f"{type(error).__name__}: {error}".split())[:300]


def unpacked(packed: bytes) -> Task:
    """The task of a batch.

    Raises:
        SheetgenError: the batch was started by another version of the program.
    """
    from distributed.protocol.pickle import loads

    task: Task = loads(packed)
    templates.speak(task.language)
    _check_program(task)
    return task


def recheck_at_worker(
    task: Task, path: Place, name: str, data: bytes | None
) -> tuple[Result, tuple[bytes, ...]]:
    """Recheck one file; with it the files of its report, where they are to be written elsewhere.

    Args:
        path: of the file; a URL is read here
        data: the bytes of a file that is not read here
    """
    _check_program(task)
    with _one_at_a_time:
        if isinstance(task.out_dir, Path):
            assert data is not None  # whoever writes the report reads the book too
            return recheck_sent(path, name, task, data)
        return recheck_file(path, name, task, data), ()


def _check_program(task: Task) -> None:
    if task.program != program():
        raise batch_error("other_program", theirs=program(), ours=task.program)
