"""The command ``sheetgen desk``: the page in the browser, where the libraries that serve it are installed."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from sheetgen.errors import SheetgenError
from sheetgen.office.settings import read_settings
from sheetgen.output import in_full
from sheetgen.templates import Texts, spoken, spoken_texts

_NEEDED = ("starlette", "uvicorn", "jinja2")


def desk_command(folder: Path | None, browser: bool, watch: Path | None = None) -> None:
    """Serve the desk, and say where it is.

    Raises:
        SheetgenError: a library is missing, another program writes into the folder, or the other cannot be watched.
    """
    settings = read_settings()
    say = spoken_texts()
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise SheetgenError(say.say("desk.no_extra", missing=", ".join(missing)))
    from sheetgen.desk.serve import serve

    place = (folder or Path.home() / "sheetgen").absolute()
    watched = None if watch is None else _watched(watch, place, say)

    def shown(address: str) -> None:
        print(say.say("desk.address", address=address, folder=in_full(place)), flush=True)
        if watched:
            print(say.say("desk.watch.begun", folder=in_full(watched)), flush=True)

    ended = serve(place, settings, browser, shown, watch=watched)
    print(say["desk.ended" if ended else "desk.watch.runs" if watched else "desk.runs"])


def icon_command(wanted: bool) -> str:
    """Make the icon on the desktop that takes dropped files, or take it away; what is said of it.

    Raises:
        SheetgenError: it cannot be made.
    """
    from sheetgen.office.icon import make_icon, remove_icon, this_place

    language = spoken()
    place, say = this_place(), spoken_texts()
    if wanted:
        made = say.say("icon.made", path=in_full(make_icon(place, language)))
        hint = f"icon.hint_{place.system}"
        return f"{made}\n{say[hint]}" if hint in say else made
    removed = [say.say("icon.removed", path=in_full(path)) for path in remove_icon(place)]
    return "\n".join(removed or [say["icon.none"]])


def _watched(watch: Path, place: Path, say: Texts) -> Path:
    """The folder to watch; neither in the desk's own nor around it, where the desk would take what it writes."""
    folder, own = watch.absolute(), place.resolve()
    there = folder.resolve()
    if there == own or there in own.parents or own in there.parents:
        shown = in_full(folder)
        raise SheetgenError(say.say("desk.watch.own_folder", folder=shown, own=in_full(own)))
    if folder.exists() and not folder.is_dir():
        raise SheetgenError(say.say("desk.watch.no_folder", folder=in_full(folder)))
    return folder
