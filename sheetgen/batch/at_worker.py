"""What runs on a worker of a cluster: the recheck of one file, as a batch on one machine does it."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen import templates
from sheetgen.batch.one_file import program, recheck_file, recheck_sent
from sheetgen.batch.result import Result
from sheetgen.batch.task import Task
from sheetgen.errors import SheetgenError

if TYPE_CHECKING:
    from sheetgen.batch.places import Place

_one_at_a_time = (
    threading.Lock()
)  # threads of one process gain nothing here, and nothing has to be safe for them


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
        say = templates.spoken_texts()
        raise SheetgenError(say.say("batch.other_program", theirs=program(), ours=task.program))
