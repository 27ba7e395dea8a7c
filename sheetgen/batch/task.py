"""What is to be done with every file of a run, as it goes to each process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from sheetgen.batch.file_limits import MEGABYTES, SECONDS
from sheetgen.templates import spoken

if TYPE_CHECKING:
    from sheetgen.audit.model import Recheck
    from sheetgen.batch.places import Place
    from sheetgen.order.model import Order

RecheckOne = Callable[..., "Recheck"]
WriteReport = Callable[..., "list[Path]"]


@dataclass(frozen=True, slots=True)
class Task:
    """What is to be done with every file of a batch; it goes to each process once.

    Attributes:
        out_dir: where reports go; None for none
        program: the program's version
        asked: digest of everything that the result depends on beside the file and the program
        fresh: make reports again that are there already
        seconds: processor time that one file may take
        megabytes: memory that a process of a batch may take
        language: of the person who reads why a file could not be used
    """

    recheck_one: RecheckOne
    write_report: WriteReport
    order: Order | None
    out_dir: Place | None
    program: str
    asked: str
    fresh: bool = False
    seconds: float = SECONDS
    megabytes: int = MEGABYTES
    language: str = field(default_factory=spoken)
