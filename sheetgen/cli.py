"""The commands: thin over the public functions. Heavy imports happen in the command that needs them."""

from __future__ import annotations

import errno
import gc
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, Literal, NoReturn

import typer

from sheetgen.errors import SheetgenError
from sheetgen.output import as_json, prepare, printable, printable_lines
from sheetgen.templates import Language

if TYPE_CHECKING:
    from sheetgen.order.model import Order

# Exit status: nothing to act on, findings, an input that could not be used.
CLEAN, FINDINGS, UNUSABLE = 0, 1, 2
_OBJECTS = (
    100_000  # made before the collector looks for cycles: reading modules makes many, and hardly a cycle
)

_SHOW_PLACE = "SHEETGEN_TRACEBACK"
_REMEDIES = {
    errno.ENOENT: "no_folder", errno.ENOTDIR: "no_folder", errno.ENOSPC: "no_room", errno.EDQUOT: "no_room",
    errno.EACCES: "no_permission", errno.EPERM: "no_permission", errno.EROFS: "no_permission",
    errno.ENAMETOOLONG: "long_name", errno.EISDIR: "folder",
}  # fmt: skip

app = typer.Typer(
    name="sheetgen",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    help="Field books for sprayed asphalt: locked, formula-driven workbooks for the crew, and an independent "
    "recheck of the books that come back.\n\nFiles alone do what fits them: an order is checked, planned and "
    "built, returned books are rechecked.\n\nExample: sheetgen my-order.xlsx",
)
key_app = typer.Typer(
    no_args_is_help=True,
    rich_markup_mode=None,
    help="The office's signing key.\n\nExample: sheetgen key new office.key",
)
app.add_typer(key_app, name="key")


def _version(wanted: bool) -> None:
    if wanted:
        import sheetgen

        print(f"sheetgen {sheetgen.__version__}")
        raise typer.Exit


@app.callback()
def options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """Options of the program itself; the text that people read is the application's own."""
    del version


def main() -> None:
    """Run the command line; an error that a person can mend is one message and status 2."""
    gc.set_threshold(_OBJECTS)
    prepare()
    try:
        given = _command(sys.argv[1:])
        app(given, default_map=_defaults(given))
    except SheetgenError as error:
        _stop(str(error))
    except KeyboardInterrupt:
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


def _defaults(given: list[str]) -> dict[str, Any]:
    """What the office has set, for the command that is called."""
    if not given or given[0].startswith("-"):
        return {}
    from sheetgen.office.settings import defaults, read_settings

    return defaults(read_settings())


def _said(key: str, language: str = "en", **facts: object) -> str:
    """A sentence of the commands."""
    from sheetgen.templates import texts

    return texts(language).say(f"command.{key}", **facts)


def _stop(message: str) -> NoReturn:
    print(printable_lines(message), file=sys.stderr)
    sys.exit(UNUSABLE)


def _system_error(error: OSError) -> str:
    """What the system refused, and what to do; what had been written before stays whole."""
    from sheetgen.templates import texts

    say = texts("en")
    why = error.strerror or str(error)
    remedy = say.say(f"files.remedy.{_REMEDIES.get(error.errno or 0, 'other')}")
    return say.say("files.system", path=error.filename or say["files.output"], reason=why, remedy=remedy)


def _say_if_open(key: Path) -> None:
    """A key that others may read is used, and that is said: who has it signs as the office."""
    from sheetgen.signing import open_to_others
    from sheetgen.templates import texts

    if open_to_others(key):
        print(printable(texts("en").say("keys.open_to_others", path=key), 4096), file=sys.stderr)


def _defect(error: Exception) -> str:
    """What nobody foresaw; where in the program, for those who mend it, only when it is asked for."""
    import os
    import traceback

    from sheetgen.templates import texts

    if os.environ.get(_SHOW_PLACE):
        traceback.print_exception(error)
    what = f"{type(error).__name__}: {error}" if str(error) else type(error).__name__
    return texts("en").say("files.defect", reason=printable(what), variable=_SHOW_PLACE)


@app.command()
def demo(
    out: Annotated[Path, typer.Option(help="The folder to write into.")] = Path("demo"),
    units: Annotated[Literal["us", "si"], typer.Option(help="Inch-pound or metric.")] = "us",
    lang: Annotated[Language, typer.Option(help="The language.")] = "en",
) -> None:
    """Run the whole flow on an invented job, with planted errors.

    Example: sheetgen demo --out demo
    """
    from sheetgen.demo.run import run_demo

    print(run_demo(out, units, lang))


@app.command()
def order(
    path: Annotated[Path, typer.Argument(help="The order workbook to write.")] = Path("order.xlsx"),
    units: Annotated[Literal["us", "si"], typer.Option(help="Inch-pound or metric.")] = "us",
    lang: Annotated[Language, typer.Option(help="The language.")] = "en",
    paper: Annotated[Literal["letter", "a4"], typer.Option(help="The paper of the books.")] = "letter",
) -> None:
    """Write a blank order workbook, with drop-downs and notes in it.

    Example: sheetgen order my-order.xlsx --units us --lang en
    """
    from sheetgen.order.write import write_order

    write_order(path, units=units, lang=lang, paper=paper, replace=False)
    print(printable(_said("order_written", lang, path=path), 4096))


def _say_warnings(order: Order) -> None:
    """What the plan warns of, in the order's language."""
    from sheetgen.plan.workable import warnings_of, workable_plan
    from sheetgen.templates import texts

    lines = warnings_of(workable_plan(order), order.language)
    if lines:
        print(texts(order.language).say("plan.warnings", count=len(lines)), file=sys.stderr)
        for line in lines:
            print(f"  {printable(line, 4096)}", file=sys.stderr)


_BookLanguage = Annotated[
    Language | None,
    typer.Option(help="The language of the books, where the crew reads another than the order's."),
]
_ReportLanguage = Annotated[
    Language | None,
    typer.Option(help="The language of the report; that of --order or of the book otherwise."),
]


@app.command()
def build(
    order: Annotated[Path, typer.Argument(help="The filled order workbook.")],
    out: Annotated[Path, typer.Option(help="The folder to write into.")] = Path("books"),
    key: Annotated[Path | None, typer.Option(help="The office's signing key.")] = None,
    register: Annotated[
        str | None, typer.Option(help="Remember the books here (a file or database address).")
    ] = None,
    lang: _BookLanguage = None,
) -> None:
    """Write one field book for each distributor named in an order.

    Example: sheetgen build my-order.xlsx --out books --key office.key
    """
    import sheetgen
    from sheetgen.office.orders import issue
    from sheetgen.office.settings import read_settings, refuse_other_key

    refuse_other_key(read_settings(), key)
    read = sheetgen.read_order(order)
    issued = issue(read.in_language(lang or ""), out, key, register)
    if key is not None:
        _say_if_open(key)
    for book in issued.books:
        print(printable(str(book), 4096))
    for line in issued.told:
        print(printable(line, 4096), file=sys.stderr)
    _say_warnings(read)


@app.command()
def plan(
    order: Annotated[Path, typer.Argument(help="The filled order workbook.")],
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    pictures: Annotated[Path | None, typer.Option(help="Also draw charts into this folder (PNG and SVG).")] = None,
) -> None:  # fmt: skip
    """Say whether the machine can do the job, and how: loads, speeds, limits, heating.

    Example: sheetgen plan my-order.xlsx
    """
    import sheetgen
    from sheetgen.plan import plan as make_plan
    from sheetgen.plan import plan_json, plan_text

    read = sheetgen.read_order(order)
    made = make_plan(read)
    if pictures is not None:
        from sheetgen.plan.pictures import draw_pictures

        for picture in draw_pictures(made, pictures):
            print(printable(str(picture), 4096), file=sys.stderr)
    print(as_json(plan_json(made), indent=2) if json else plan_text(made, read.language))


@app.command()
def fill(
    book: Annotated[Path, typer.Argument(help="The field book; it is only read.")],
    entries: Annotated[list[Path], typer.Argument(help="Tables of entries: .csv or .xlsx.")],
    out: Annotated[
        Path | None, typer.Option(help="The new file; else beside the book, named …_filled.xlsx.")
    ] = None,
    replace: Annotated[bool, typer.Option("--replace", help="Type over entries that differ.")] = False,
) -> None:
    """Type entries of another program, such as a monitor or a phone, into a copy of a field book.

    A table has column keys or the book's headings in its first row. A log is known by the table's name, its tab, a
    column "log" or the headings. Rows go below the last used one, or where a column "no" says. Single cells are
    lines of "field" and "value". Mistakes are named by line, and then nothing is written.

    Example: sheetgen fill books/JOB_Distributor.xlsx shots.csv loads.csv --out filled.xlsx
    """
    from sheetgen.filling.run import fill_book

    filled = fill_book(book, entries, out, replace)
    tabs = ", ".join(f"{tab} {count}" for tab, count in filled.typed.items()) or "0"
    said = _said("filled", filled.language, path=filled.path, tabs=tabs, there=filled.there)
    print(printable(said, 4096))


_Decisions = Annotated[
    Path | None,
    typer.Option(
        help="An earlier report, or a folder of them, whose decisions on findings are taken over. Those in the "
        "output folder always are."
    ),
]
_Material = Annotated[
    str | None,
    typer.Option(help="List findings apart on which less hangs: an amount of money (500), or a share (2%)."),
]
_Sample = Annotated[
    int | None,
    typer.Option(
        help="Draw a sample by value of the shots to compare with the papers, into the summary. The number is the "
        "seed: the same draws the same. What may be wrong is --material, or 5 % where it is not given."
    ),
]
_Scheduler = Annotated[
    str | None,
    typer.Option(
        help="Have the workers of this Dask scheduler do it, such as tcp://10.0.0.5:8786. Paths are read and "
        "written here, URLs by the workers. A person who reaches a scheduler can run code on it: keep it on a "
        "private network, or use tls://. Given up where no scheduler answers for 30 seconds."
    ),
]


@app.command()
def recheck(
    books: Annotated[
        list[str],
        typer.Argument(help="Returned books, or folders of them: paths, or URLs that fsspec knows."),
    ],
    order: Annotated[
        Path | None, typer.Option(help="The office's own order, instead of the carried one.")
    ] = None,
    public_key: Annotated[str | None, typer.Option(help="The office's public key, to prove origin.")] = None,
    claim: Annotated[
        str | None, typer.Option(help="A claimed payable quantity, or a claim sheet (book, payable).")
    ] = None,
    register: Annotated[
        str | None, typer.Option(help="Remember returns here (a file or database address).")
    ] = None,
    out: Annotated[str, typer.Option(help="The folder to write into: a path, or a URL.")] = "rechecked",
    decisions: _Decisions = None,
    material: _Material = None,
    sample: _Sample = None,
    copy: Annotated[
        bool, typer.Option("--copy", help="Also write a copy of each book with a note at every finding.")
    ] = False,
    csv: Annotated[bool, typer.Option("--csv", help="Also write the report's tables as CSV files.")] = False,
    json: Annotated[bool, typer.Option("--json", help="Print JSON lines instead of text.")] = False,
    jobs: Annotated[int, typer.Option(min=1, help="How many processes.")] = 1,
    scheduler: _Scheduler = None,
    lang: _ReportLanguage = None,
) -> None:
    """Recheck returned books: what changed, what is odd, what is payable.

    A run that was stopped is continued by the same command: what is finished is not done again.

    Example: sheetgen recheck returned --out rechecked
    """
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
    register: Annotated[str, typer.Argument(help="The register: a file, or the address of a database.")] = "",
    out: Annotated[Path, typer.Option(help="The workbook to write.")] = Path("season.xlsx"),
    begins: Annotated[
        str | None, typer.Option("--from", help="Count books whose first day of work is this day or later.")
    ] = None,
    ends: Annotated[
        str | None, typer.Option("--to", help="Count books whose first day of work is this day or earlier.")
    ] = None,
    material: Annotated[
        str | None, typer.Option(help="Name differences larger than this share; 1% where it is not given.")
    ] = None,
    lang: Annotated[Language, typer.Option(help="The language.")] = "en",
    paper: Annotated[Literal["letter", "a4"], typer.Option(help="The paper of the workbook.")] = "letter",
) -> None:
    """Write what many returned books show together: bias, loss, rates and calibrations over a season.

    Example: sheetgen season register.db --from 2026-04-01 --to 2026-10-31
    """
    from sheetgen.commands.season import season_command

    print(season_command(register, out, begins, ends, material, lang, paper))


@app.command("open")
def open_files(
    files: Annotated[
        list[Path] | None,
        typer.Argument(help="Orders, returned books, folders, a claim sheet. The desk opens without any."),
    ] = None,
    key: Annotated[Path | None, typer.Option(help="The office's signing key.")] = None,
    public_key: Annotated[str | None, typer.Option(help="The office's public key, to prove origin.")] = None,
    register: Annotated[
        str | None, typer.Option(help="Remember books and returns here (a file or database address).")
    ] = None,
    out: Annotated[
        Path | None, typer.Option(help="The folder for books and reports; that of the first file otherwise.")
    ] = None,
    show: Annotated[bool, typer.Option("--show", help="Open the results when they are done.")] = False,
) -> None:
    """Do what fits each file: check, plan and build an order, recheck returned books. The word open can be left out.

    Example: sheetgen open my-order.xlsx returned
    """
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
    folder: Annotated[
        Path | None, typer.Option(help="Where files are kept; the folder of the settings otherwise.")
    ] = None,
    browser: Annotated[
        bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")
    ] = True,
    watch: Annotated[
        Path | None,
        typer.Option(help="Take what is put into this folder too; results go into a folder inside it."),
    ] = None,
    icon: Annotated[
        bool | None,
        typer.Option(
            "--icon/--no-icon",
            help="Make an icon on the desktop that takes dropped files, or take it away. Tried on Linux alone.",
        ),
    ] = None,
) -> None:
    """Open a page in the browser to hand orders and returned books in, served from this computer only.

    A watched folder takes workbooks that are whole and not open in a program. Claim sheets are handed in on the page.

    Example: sheetgen desk
    """
    from sheetgen.commands.desk import desk_command, icon_command

    if icon is not None:
        print(icon_command(icon))
        return
    desk_command(folder, browser, watch)


@app.command("settings")
def settings_shown(
    key: Annotated[str | None, typer.Option(help="The office's signing key.")] = None,
    register: Annotated[str | None, typer.Option(help="A file, or the address of a database.")] = None,
    language: Annotated[str | None, typer.Option(help="The language.")] = None,
    paper: Annotated[str | None, typer.Option(help="The paper of the books: letter or a4.")] = None,
    out: Annotated[str | None, typer.Option(help="The folder for books and reports.")] = None,
    public_key: Annotated[
        str | None, typer.Option(help="The public key, where the signing key is kept by another person.")
    ] = None,
) -> None:
    """Show what the office has set once for every command, and set it. An empty text takes a setting away.

    Example: sheetgen settings --key office.key --register register.db
    """
    from sheetgen.commands.settings import settings_command

    changes = {"key": key, "register": register, "language": language, "paper": paper, "out": out}
    print(settings_command({**changes, "public_key": public_key}))


@app.command()
def explain(finding: Annotated[str, typer.Argument(help="The finding's name.")],
            lang: Annotated[Language, typer.Option(help="The language.")] = "en") -> None:  # fmt: skip
    """Say what a finding means, why it matters and what to do.

    Example: sheetgen explain dip-rose-during-shot
    """
    from sheetgen.audit.explain import explain as words

    print(words(finding, lang))


@key_app.command("new")
def key_new(
    path: Annotated[Path, typer.Argument(help="The key file to write.")],
    passphrase: Annotated[
        bool,
        typer.Option("--passphrase", help="Lock it with a passphrase: typed, or in SHEETGEN_PASSPHRASE."),
    ] = False,
) -> None:
    """Make a new signing key; an existing file is never replaced.

    Example: sheetgen key new office.key
    """
    from sheetgen.signing import ask_passphrase, load_key, new_key, public_text

    locked = ask_passphrase(path) if passphrase else None
    new_key(path, locked)
    print(_said("key_written", path=path))
    print(public_text(load_key(path, locked)))


@key_app.command("show")
def key_show(path: Annotated[Path, typer.Argument(help="The key file.")]) -> None:
    """Print the public key of a signing key.

    Example: sheetgen key show office.key
    """
    from sheetgen.signing import load_key, public_text

    print(public_text(load_key(path)))
    _say_if_open(path)


if __name__ == "__main__":
    main()
