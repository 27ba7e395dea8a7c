"""Asking what may never answer: another machine, over a library that can wait for it without end."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")


def in_time(ask: Callable[[], T], seconds: float) -> T:
    """The answer, or what was raised in place of it.

    It is asked in a thread, which is left behind where no answer comes, and does not keep the program from ending.

    Raises:
        TimeoutError: there was no answer within that time.
    """
    answer: list[T] = []
    failed: list[BaseException] = []

    def run() -> None:
        try:
            answer.append(ask())
        except BaseException as error:  # it goes to whoever asked
            failed.append(error)

    thread = threading.Thread(target=run, daemon=True)
    thread.start()
    thread.join(seconds)
    if failed:
        raise failed[0]
    if not answer:
        raise TimeoutError(f"no answer within {seconds:g} seconds")
    return answer[0]
