"""The commands: thin over the public functions. Heavy imports happen in the command that needs them."""

from __future__ import annotations

import errno
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, NoReturn

import typer

from sheetgen.commands.help_texts import put_words, told
from sheetgen.errors import SheetgenError
from sheetgen.output import in_full, prepare, printable, printable_lines
from sheetgen.templates import Language, speak, spoken, spoken_texts, system_language, texts

if TYPE_CHECKING:
    from sheetgen.office.settings import Settings

# Exit status: nothing to act on, findings, an input that could not be used.
CLEAN, FINDINGS, UNUSABLE = 0, 1, 2
_OBJECTS = (
    100_000  # made before the collector looks for cycles: reading modules makes many, and hardly a cycle
)

_USAGE: type[Exception] = typer.BadParameter.__mro__[1]  # what is raised of a command that was typed wrongly
_SHOW_PLACE = "SHEETGEN_TRACEBACK"
_REMEDIES = {
    errno.ENOENT: "no_folder", errno.ENOSPC: "no_room", errno.EDQUOT: "no_room",
    errno.EACCES: "no_permission", errno.EPERM: "no_permission", errno.EROFS: "no_permission",
    errno.ENAMETOOLONG: "long_name", errno.EISDIR: "folder", errno.EEXIST: "file", errno.ENOTDIR: "file",
}  # fmt: skip

# Texts of all commands and options stand in texts/*/help.toml: see sheetgen.commands.help_texts.
app = typer.Typer(
    name="sheetgen", no_args_is_help=True, add_completion=False, rich_markup_mode=None,
    pretty_exceptions_enable=False,
)  # fmt: skip
key_app = typer.Typer(no_args_is_help=True, rich_markup_mode=None)
app.add_typer(key_app, name="key")


def _version(wanted: bool) -> None:
    if wanted:
        import sheetgen

        print(f"sheetgen {sheetgen.__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[bool, typer.Option("--version", callback=_version, is_eager=True)] = False,
) -> None:
    """Options of the program itself; the text that people read is the application's own."""
    del version


def main() -> None:
    """Run the command line; an error that a person can mend is one message and status 2."""
    gc.set_threshold(_OBJECTS)
    prepare()
    try:
        given = _command(sys.argv[1:])
        settings = _settings(given)
        defaults = _defaults(given, settings)
        status = put_words(typer.main.get_command(app)).main(
            given, prog_name="sheetgen", standalone_mode=False, default_map=defaults
        )
        sys.exit(status if isinstance(status, int) else CLEAN)
    except _USAGE as error:
        _stop(told(error, given, filter(None, _names())))
    except SheetgenError as error:
        _stop(str(error))
    except (KeyboardInterrupt, typer.Abort):
        _stop(_said("stopped"))
    except OSError as error:
        _stop(_system_error(error))
    except Exception as error:
        _stop(_defect(error))
    finally:
        gc.freeze()  # all of it goes with the process: looking for cycles in it would take a tenth of a second


def _command(given: list[str]) -> list[str]:
    """Files alone, as they come from an icon that they are dropped on, are for the command that opens them."""
    if not given or given[0].startswith("-") or given[0] in _names():
        return given
    first = Path(given[0])
    return ["open", *given] if first.suffix or first.exists() or len(first.parts) > 1 else given


def _names() -> set[str | None]:
    own = [each.name or getattr(each.callback, "__name__", None) for each in app.registered_commands]
    return {*own, *(each.name for each in app.registered_groups)}


def _settings(given: list[str]) -> Settings:
    """What the office has set; from here on messages are in its language, or that of what was typed or the system.

    Where settings cannot be read, help is still given.
    """
    from sheetgen.office.settings import Settings, read_settings

    speak(system_language())
    try:
        settings = read_settings()
    except SheetgenError:
        if "--help" not in given:
            raise
        settings = Settings()
    speak(settings.language)
    if "--lang" in given[:-1]:
        speak(given[given.index("--lang") + 1])
    return settings


def _defaults(given: list[str], settings: Settings) -> dict[str, Any]:
    """What the office has set, for the command that is called, and the language that is spoken."""
    if not given or given[0].startswith("-"):
        return {}
    from sheetgen.office.settings import defaults

    return defaults(settings, spoken())


def _said(key: str, language: str = "", **facts: object) -> str:
    """A sentence of the commands, in the reader's language where none is given."""
    return texts(language or spoken()).say(f"command.{key}", **facts)


def _stop(message: str) -> NoReturn:
    print(printable_lines(message), file=sys.stderr)
    sys.exit(UNUSABLE)


def _system_error(error: OSError) -> str:
    """What the system refused, and what to do; what had been written before stays whole."""
    say = spoken_texts()
    why = error.strerror or str(error)
    remedy = say.say(f"files.remedy.{_REMEDIES.get(error.errno or 0, 'other')}")
    return say.say("files.system", path=error.filename or say["files.output"], reason=why, remedy=remedy)


def _say_if_open(key: Path) -> None:
    """A key that others may read is used, and that is said: who has it signs as the office."""
    from sheetgen.signing import open_to_others

    if open_to_others(key):
        print(in_full(spoken_texts().say("keys.open_to_others", path=key)), file=sys.stderr)


def _defect(error: Exception) -> str:
    """What nobody foresaw; where in the program, for those who mend it, only when it is asked for."""
    import os
    import traceback

    if os.environ.get(_SHOW_PLACE):
        traceback.print_exception(error)
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    return spoken_texts().say("files.defect", reason=printable(what), variable=_SHOW_PLACE)


@app.command()
def demo(
    out: Annotated[Path, typer.Option(metavar="FOLDER")] = Path("demo"),
    units: Annotated[Literal["us", "si"], typer.Option()] = "us",
    lang: Annotated[Language, typer.Option()] = "en",
) -> None:
    """Run the whole flow on an invented job, with planted errors."""
    from sheetgen.demo.run import run_demo

    print(run_demo(out, units, lang))


@app.command()
def order(
    path: Annotated[Path, typer.Argument()] = Path("order.xlsx"),
    units: Annotated[Literal["us", "si"] | None, typer.Option()] = None,
    lang: Annotated[Language, typer.Option()] = "en",
    paper: Annotated[Literal["letter", "a4"], typer.Option()] = "letter",
    yard: Annotated[str, typer.Option()] = "",
) -> None:
    """Write a blank order workbook, with drop-downs and notes in it."""
    if yard:
        from sheetgen.commands.yard import order_from_yard

        order_from_yard(path, Path(yard), units, lang, paper)
    else:
        from sheetgen.order.write import write_order

        write_order(path, units=units or "us", lang=lang, paper=paper, replace=False)
    print(in_full(_said("order_written", lang, path=path)))


@app.command()
def yard(
    path: Annotated[Path, typer.Argument()] = Path("yard.xlsx"),
    units: Annotated[Literal["us", "si"], typer.Option()] = "us",
    lang: Annotated[Language, typer.Option()] = "en",
    paper: Annotated[Literal["letter", "a4"], typer.Option()] = "letter",
    on: Annotated[str | None, typer.Option()] = None,
) -> None:
    """Write a blank yard workbook of distributors and materials, or check one that is there."""
    import datetime as dt

    from sheetgen.commands.yard import yard_command

    try:
        day = dt.date.fromisoformat(on) if on else dt.date.today()
    except ValueError as error:
        raise SheetgenError(_said("yard_day", found=printable(on or ""))) from error
    status, said = yard_command(path, units, lang, paper, day)
    print(said)
    raise typer.Exit(status)


@app.command()
def build(
    orders: Annotated[list[Path], typer.Argument()],
    out: Annotated[Path, typer.Option(metavar="FOLDER")] = Path("books"),
    key: Annotated[Path | None, typer.Option()] = None,
    register: Annotated[str | None, typer.Option()] = None,
    lang: Annotated[Language | None, typer.Option()] = None,
    second_lang: Annotated[Language | None, typer.Option()] = None,
    returned: Annotated[list[Path] | None, typer.Option("--from")] = None,
    yard: Annotated[str, typer.Option()] = "",
) -> None:
    """Write one field book for each distributor named in an order."""
    from sheetgen.commands.build import build_command
    from sheetgen.office.settings import read_settings, refuse_other_key

    refuse_other_key(read_settings(), key)
    languages = lang or "", second_lang or ""
    status = build_command(orders, out, key, register, languages, returned or [], yard)
    if key is not None:
        _say_if_open(key)
    raise typer.Exit(status)


@app.command()
def plan(
    orders: Annotated[list[Path], typer.Argument()],
    everything: Annotated[bool, typer.Option("--all")] = False,
    json: Annotated[bool, typer.Option("--json")] = False,
    pictures: Annotated[Path | None, typer.Option(metavar="FOLDER")] = None,
    out: Annotated[Path | None, typer.Option(metavar="FOLDER")] = None,
    assign: Annotated[Path | None, typer.Option()] = None,
) -> None:
    """Say whether the distributors can do the job, and how: the answer in ten lines, or all of it."""
    from sheetgen.commands.plan import plan_command

    raise typer.Exit(plan_command(orders, everything, json, pictures, out, assign))


@app.command()
def compare(
    orders: Annotated[list[Path] | None, typer.Argument()] = None,
    yard: Annotated[Path | None, typer.Option()] = None,
    sizes: Annotated[bool, typer.Option("--sizes")] = False,
    out: Annotated[Path | None, typer.Option(metavar="FOLDER")] = None,
    lang: Annotated[Language | None, typer.Option()] = None,
) -> None:
    """Compare distributors over the jobs of several orders: what each can spray, loads, hours, rest, weight."""
    from sheetgen.commands.compare import compare_command

    print(compare_command(orders or [], yard, sizes, out, lang or ""))


@app.command()
def fill(
    book: Annotated[Path, typer.Argument()],
    entries: Annotated[list[Path], typer.Argument()],
    out: Annotated[Path | None, typer.Option()] = None,
    replace: Annotated[bool, typer.Option("--replace")] = False,
) -> None:
    """Type entries of another program, such as a monitor or a phone, into a copy of a field book."""
    from sheetgen.filling.run import fill_book

    filled = fill_book(book, entries, out, replace)
    tabs = ", ".join(f"{tab} {count}" for tab, count in filled.typed.items()) or "0"
    said = _said("filled", filled.language, path=filled.path, tabs=tabs, there=filled.there)
    print(in_full(said))


@app.command()
def recheck(
    books: Annotated[list[str], typer.Argument()],
    order: Annotated[Path | None, typer.Option()] = None,
    public_key: Annotated[str | None, typer.Option()] = None,
    claim: Annotated[str | None, typer.Option()] = None,
    register: Annotated[str | None, typer.Option()] = None,
    out: Annotated[str, typer.Option(metavar="FOLDER")] = "rechecked",
    decisions: Annotated[Path | None, typer.Option()] = None,
    material: Annotated[str | None, typer.Option()] = None,
    sample: Annotated[int | None, typer.Option()] = None,
    copy: Annotated[bool, typer.Option("--copy")] = False,
    csv: Annotated[bool, typer.Option("--csv")] = False,
    json: Annotated[bool, typer.Option("--json")] = False,
    jobs: Annotated[int, typer.Option(min=1)] = 1,
    scheduler: Annotated[str | None, typer.Option()] = None,
    lang: Annotated[Language | None, typer.Option()] = None,
) -> None:
    """Recheck returned books: what changed, what is odd, what is payable."""
    from sheetgen.commands.recheck import recheck_command

    status = recheck_command(
        books,
        order=order,
        public_key=public_key,
        claim=claim,
        register=register,
        out=out,
        copy=copy,
        csv=csv,
        as_json=json,
        jobs=jobs,
        scheduler=scheduler,
        decisions=decisions,
        material=material,
        sample=sample,
        language=lang or "",
    )
    raise typer.Exit(status)


@app.command()
def season(
    register: Annotated[str, typer.Argument()] = "",
    out: Annotated[Path, typer.Option()] = Path("season.xlsx"),
    begins: Annotated[str | None, typer.Option("--from")] = None,
    ends: Annotated[str | None, typer.Option("--to")] = None,
    material: Annotated[str | None, typer.Option()] = None,
    lang: Annotated[Language, typer.Option()] = "en",
    paper: Annotated[Literal["letter", "a4"], typer.Option()] = "letter",
) -> None:
    """Write what many returned books show together: bias, loss, rates and calibrations over a season."""
    from sheetgen.commands.season import season_command

    print(season_command(register, out, begins, ends, material, lang, paper))


@app.command("open")
def open_files(
    files: Annotated[list[Path] | None, typer.Argument()] = None,
    key: Annotated[Path | None, typer.Option()] = None,
    public_key: Annotated[str | None, typer.Option()] = None,
    register: Annotated[str | None, typer.Option()] = None,
    out: Annotated[Path | None, typer.Option()] = None,
    show: Annotated[bool, typer.Option("--show")] = False,
) -> None:
    """Do what fits each file: check, plan and build an order, recheck returned books. The word open can be left out."""
    if not files:  # an icon that was opened without a file on it
        from sheetgen.commands.desk import desk_command

        desk_command(out, browser=True)
        return
    from sheetgen.commands.open import open_command
    from sheetgen.office.settings import read_settings, refuse_other_key

    if key is not None:
        refuse_other_key(read_settings(), key)
    raise typer.Exit(open_command(files, key, public_key, register, out, show))


@app.command()
def desk(
    folder: Annotated[Path | None, typer.Option(metavar="FOLDER")] = None,
    browser: Annotated[bool, typer.Option("--browser/--no-browser")] = True,
    watch: Annotated[Path | None, typer.Option(metavar="FOLDER")] = None,
    icon: Annotated[bool | None, typer.Option("--icon/--no-icon")] = None,
) -> None:
    """Open a page in the browser to hand orders and returned books in, served from this computer only."""
    from sheetgen.commands.desk import desk_command, icon_command

    if icon is not None:
        print(icon_command(icon))
        return
    desk_command(folder, browser, watch)


@app.command("settings")
def settings_shown(
    key: Annotated[str | None, typer.Option()] = None,
    register: Annotated[str | None, typer.Option()] = None,
    language: Annotated[str | None, typer.Option()] = None,
    second_language: Annotated[str | None, typer.Option()] = None,
    paper: Annotated[str | None, typer.Option()] = None,
    yard: Annotated[str | None, typer.Option()] = None,
    out: Annotated[str | None, typer.Option()] = None,
    public_key: Annotated[str | None, typer.Option()] = None,
) -> None:
    """Show what the office has set once for every command, and set it. An empty text takes a setting away."""
    from sheetgen.office.settings import change_settings, read_settings, settings_text

    changes = {"key": key, "register": register, "language": language, "paper": paper, "out": out}
    changes |= {"yard": yard, "public_key": public_key, "second_language": second_language}
    given = {name: value for name, value in changes.items() if value is not None}
    settings = change_settings(given) if given else read_settings()
    print(settings_text(settings, settings.language or spoken()))


@app.command()
def explain(finding: Annotated[str, typer.Argument()],
            lang: Annotated[Language, typer.Option()] = "en") -> None:  # fmt: skip
    """Say what a finding means, why it matters and what to do."""
    from sheetgen.audit.findings import explain as words

    print(words(finding, lang))


@key_app.command("new")
def key_new(
    path: Annotated[Path, typer.Argument()],
    passphrase: Annotated[bool, typer.Option("--passphrase")] = False,
) -> None:
    """Make a new signing key; an existing file is never replaced."""
    from sheetgen.signing import ask_passphrase, load_key, new_key, public_text

    locked = ask_passphrase(path) if passphrase else None
    new_key(path, locked)
    print(_said("key_written", path=path))
    print(public_text(load_key(path, locked)))


@key_app.command("show")
def key_show(path: Annotated[Path, typer.Argument()]) -> None:
    """Print the public key of a signing key."""
    from sheetgen.signing import load_key, public_text

    print(public_text(load_key(path)))
    _say_if_open(path)


if __name__ == "__main__":
    main()
