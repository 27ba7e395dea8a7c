"""What one file may take of the machine: processor time and memory, so that no file holds up a run.

A returned book can be made to be slow in ways that no reader foresees. Time is that of the processor, so that a busy
machine or a slow network is not held against a file. Windows has neither limit; the limits of the readers hold there.
"""

from __future__ import annotations

import contextlib
import signal
import threading
from collections.abc import Iterator
from types import FrameType

SECONDS = 60.0  # of processor time for one file; an ordinary one takes about one
MEGABYTES = 1024  # of memory of a process of a batch; an ordinary one needs about 150


class TimeUp(BaseException):
    """A file took too long; no part of a recheck may take this for an error of its own."""


@contextlib.contextmanager
def time_limited(seconds: float) -> Iterator[None]:
    """Raise :class:`TimeUp` in the block after so much processor time; only a process's main thread can be told."""
    if not _can_be_told():
        yield
        return
    before = signal.signal(signal.SIGPROF, _time_up)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@contextlib.contextmanager
def ended_after(seconds: float) -> Iterator[None]:
    """End this process in the block after so much processor time, whatever it is doing then."""
    if not hasattr(signal, "setitimer"):
        yield
        return
    signal.signal(signal.SIGPROF, signal.SIG_DFL)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def limit_memory(megabytes: int) -> None:
    """Let this process have so much memory and no more: beyond, Python raises :class:`MemoryError`."""
    try:
        import resource
    except ImportError:
        return
    _soft, hard = resource.getrlimit(resource.RLIMIT_DATA)
    wanted = megabytes * 2**20
    if hard == resource.RLIM_INFINITY or wanted <= hard:
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_DATA, (wanted, hard))


def _can_be_told() -> bool:
    return hasattr(signal, "setitimer") and threading.current_thread() is threading.main_thread()


def _time_up(_number: int, _frame: FrameType | None) -> None:
    raise TimeUp
