"""The command ``sheetgen desk``: the page in the browser, where the libraries that serve it are installed."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from sheetgen.errors import SheetgenError
from sheetgen.office.settings import read_settings
from sheetgen.output import printable
from sheetgen.templates import texts

_NEEDED = ("starlette", "uvicorn", "jinja2")


def desk_command(folder: Path | None, browser: bool) -> None:
    """Serve the desk, and say where it is.

    Raises:
        SheetgenError: a library is missing, or another program writes into the folder.
    """
    settings = read_settings()
    say = texts(settings.language or "en")
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise SheetgenError(say.say("desk.no_extra", missing=", ".join(missing)))
    from sheetgen.desk.serve import serve

    place = (folder or Path.home() / "sheetgen").absolute()

    def shown(address: str) -> None:
        print(say.say("desk.address", address=address, folder=printable(str(place), 4096)), flush=True)

    print(say["desk.ended" if serve(place, settings, browser, shown) else "desk.runs"])
