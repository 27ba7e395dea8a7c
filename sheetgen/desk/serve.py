"""Serving the desk: on the loopback address and a free port, until a button, an idle hour or Ctrl-C ends it."""

from __future__ import annotations

import asyncio
import logging
import logging.handlers
import math
import signal
import socket
import time
import webbrowser
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import uvicorn

from sheetgen.batch.finished_reports import sole_use
from sheetgen.desk.app import Desk, application
from sheetgen.desk.deliveries import Deliveries
from sheetgen.desk.door import Door
from sheetgen.desk.running import address, running_address, said_to_run
from sheetgen.desk.watch import Watch
from sheetgen.desk.work import Work
from sheetgen.office.decisions import decisions_beside
from sheetgen.office.settings import Settings
from sheetgen.templates import speak, spoken

IDLE = 3600.0  # seconds without use after which it ends
_ENDING = (signal.SIGINT, signal.SIGTERM)
_LOOK = 5.0  # seconds between two looks whether it is idle
_LOG_BYTES, _LOGS = 1_000_000, 3


def serve(
    folder: Path, settings: Settings, browser: bool, say: Callable[[str], None], idle: float = IDLE,
    watch: Path | None = None,
) -> bool:  # fmt: skip
    """Serve the desk of a folder until it is ended; open the running one where there is one already.

    Args:
        say: called with the address, before the browser is opened
        idle: seconds without use after which it ends; one that watches a folder does not
        watch: a folder whose files are taken as they come

    Returns:
        whether it was served here; False where it runs already

    Raises:
        SheetgenError: another program writes into the folder.
    """
    running = running_address(folder)
    if running is not None:
        _show(running, browser, say)
        return False
    folder.mkdir(parents=True, exist_ok=True)
    with sole_use(folder), _logged(folder), _listening() as listener:
        desk = desk_of(folder, settings, watch)
        _serve(desk, listener, math.inf if watch else idle, lambda place: _show(place, browser, say))
    return True


def _serve(desk: Desk, listener: socket.socket, idle: float, show: Callable[[str], None]) -> None:
    port = int(listener.getsockname()[1])
    door = Door(application(desk), f"127.0.0.1:{port}")
    server = _Server(
        uvicorn.Config(
            door, log_config=None, access_log=False, server_header=False, timeout_graceful_shutdown=5
        )
    )

    def end() -> None:
        server.should_exit = True

    desk.end = end
    with server.until_all_is_tidied(), said_to_run(desk.folder, port, door.secret):
        show(address(port, door.token()))  # the socket listens already: a browser that comes early waits
        asyncio.run(_until_idle(server, listener, door, desk.work, idle))


class _Server(uvicorn.Server):
    """Ends in order when the system asks for it, and leaves it at that: the usual one is then killed by the signal."""

    @contextmanager
    def capture_signals(self) -> Iterator[None]:
        """Leave the signals as they are: they are held for longer than the server runs."""
        yield

    @contextmanager
    def until_all_is_tidied(self) -> Iterator[None]:
        """Let signals end the server while the block lasts, and not cut short what is tidied up after it."""
        before = {number: signal.signal(number, self.handle_exit) for number in _ENDING}
        try:
            yield
        finally:
            for number, handler in before.items():
                signal.signal(number, handler)


async def _until_idle(
    server: uvicorn.Server, listener: socket.socket, door: Door, work: Work, idle: float
) -> None:
    async def watch() -> None:
        while True:
            await asyncio.sleep(min(_LOOK, idle / 4))
            if time.monotonic() - door.used > idle and not work.busy:
                server.should_exit = True

    watching = asyncio.create_task(watch())
    await server.serve(sockets=[listener])
    watching.cancel()


def desk_of(folder: Path, settings: Settings, watch: Path | None = None) -> Desk:
    """The desk of a folder, not yet at work; from now on this process speaks the office's language."""
    speak(settings.language)
    register = settings.register or str(folder / "register.db")
    deliveries = Deliveries(folder)
    decisions = decisions_beside(register, folder)
    work = Work(deliveries, settings, register, decisions)
    watched = None if watch is None else Watch(watch, deliveries, work, spoken())
    return Desk(folder, settings, register, decisions, deliveries, work, watched)


@contextmanager
def _listening() -> Iterator[socket.socket]:
    """A free port of the loopback address."""
    with socket.create_server(("127.0.0.1", 0), backlog=128) as listener:
        yield listener


@contextmanager
def _logged(folder: Path) -> Iterator[None]:
    """What goes wrong stands in a file of the folder, with its place in the program."""
    kept = logging.handlers.RotatingFileHandler(
        folder / "desk.log", maxBytes=_LOG_BYTES, backupCount=_LOGS, encoding="utf-8"
    )
    kept.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s"))
    logging.getLogger("sheetgen.desk").setLevel(logging.INFO)
    root = logging.getLogger()
    root.addHandler(kept)
    try:
        yield
    finally:
        root.removeHandler(kept)
        kept.close()


def _show(place: str, browser: bool, say: Callable[[str], None]) -> None:
    say(place)
    if browser:
        webbrowser.open(place)
