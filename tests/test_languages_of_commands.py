"""Commands speak the language of who reads them: help, what was typed wrongly, errors, results."""

from __future__ import annotations

import sys

import pytest
import typer

from sheetgen import cli, templates
from sheetgen.book.build import write_filled
from sheetgen.demo.day import honest_day
from sheetgen.demo.planted import planted
from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order
from sheetgen.templates import LANGUAGES, system_language, toml

GROUP = typer.main.get_command(cli.app)
# Words that the library of commands brings along, and our own where the language is English.
ENGLISH = (
    "Usage",
    "Options",
    "Arguments",
    "Commands",
    "default:",
    "required",
    "Show",
    "Error",
    "Try",
    "found",
    "the ",
    "<str>",
    "<path>",
    "<int",
    "list[",
)


@pytest.fixture
def said(monkeypatch, capsys, tmp_path):
    """What a command prints and its exit status, in a system of a language."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "note.txt").write_text("a note")

    def run(*arguments, system="C", settings=""):
        if settings:
            (tmp_path / "settings.toml").write_text(settings)
            monkeypatch.setenv("SHEETGEN_SETTINGS", str(tmp_path / "settings.toml"))
        monkeypatch.setenv("LC_ALL", system)
        monkeypatch.setattr(sys, "argv", ["sheetgen", *map(str, arguments)])
        with pytest.raises(SystemExit) as ended:
            cli.main()
        shown = capsys.readouterr()
        return ended.value.code, shown.out, shown.err

    return run


def _commands(group, name=""):
    yield name, group
    for key, each in getattr(group, "commands", {}).items():
        yield from _commands(each, f"{name}_{key}" if name else key)


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_command_and_option_has_its_words_and_no_word_is_left_over(language):
    words = toml(f"texts/{language}/help.toml")["help"]
    shared, seen = set(), {"any", "word", "wrong", "name", "kind"}
    arguments = set()
    for name, command in _commands(GROUP):
        own = words[name or "program"]
        seen.add(name or "program")
        keys = {parameter.name for parameter in command.params}
        shared |= {key for key in keys if key not in own}
        arguments |= {each.name for each in command.params if each.param_type_name == "argument"}
        assert set(own) - {"text", "line"} <= keys, name
        if name:
            assert len(own["line"]) <= 50, name
    assert set(words) == seen
    assert set(words["name"]) == arguments
    assert shared | {"help"} == set(words["any"])


@pytest.mark.parametrize("command", [name for name, _ in _commands(GROUP)])
def test_help_is_in_the_language_of_the_system(said, command):
    status, out, _ = said(*command.split("_"), "--help", system="es_MX.UTF-8")
    assert status == 0
    assert out.startswith("Uso: sheetgen")
    assert "Muestra esta ayuda y termina." in out
    assert [word for word in ENGLISH if word in out] == []


WRONG = [
    (["nosuch"], "no command nosuch", "No existe el comando nosuch"),
    (["recheks"], "Perhaps recheck", "Quizá recheck"),
    (["plan"], "ORDERS is missing", "Falta PEDIDOS"),
    (["explain", "a", "b"], "More was typed", "Se escribió más"),
    (["plan", "a.xlsx", "--jsom"], "Perhaps --json", "Quizá --json"),
    (["build", "a.xlsx", "--out"], "--out needs a value", "--out necesita un valor"),
    (
        ["order", "--units", "foo"],
        "--units: found foo; expected one of us, si",
        "--units: se encontró foo; se esperaba una de estas",
    ),
    (
        ["recheck", "a", "--jobs", "0"],
        "--jobs: found 0; expected a whole number",
        "--jobs: se encontró 0; se esperaba un número entero",
    ),
    (
        ["recheck", "a", "--jobs", "x"],
        "--jobs: found x; expected a whole number",
        "--jobs: se encontró x; se esperaba un número entero",
    ),
    (["build", "absent.xlsx"], "no file of that name", "un nombre que ningún archivo tiene"),
    (
        ["recheck", "absent.xlsx"],
        "found no file of that name",
        "se encontró un nombre que ningún archivo tiene; se esperaba",
    ),
    (
        ["recheck", "a", "--public-key", "x"],
        "public key: found 'x'; expected a public key",
        "clave pública: se encontró 'x'; se esperaba",
    ),
    (["key", "show", "a.key"], "no file of that name", "no se encontró ningún archivo"),
    (["explain", "nonsense"], "No finding has the name", "No hay ningún hallazgo llamado"),
    (
        ["plan", "a.xlsx"],
        "a.xlsx: found no file of that name; expected an order workbook in the .xlsx format. Check",
        "a.xlsx: se encontró un nombre que ningún archivo tiene; se esperaba un libro de pedido en formato .xlsx.",
    ),
    (["plan", "note.txt"], "it begins with a note", "empieza con a note"),
    (["plan", "."], "no order in this folder", "no hay ningún pedido en esta carpeta"),
    (
        ["plan", "a.xlsx", "b.xlsx", "--assign", "c.xlsx"],
        "to be given to distributors",
        "se asignan a camiones",
    ),
    (["yard", "my yard.txt"], "such as my yard.xlsx", "por ejemplo my yard.xlsx"),
    (["yard", "--on", "May"], "--on May: found no date", "--on May: no se encontró una fecha"),
    (
        ["build", "a.xlsx", "b.xlsx", "--from", "c.xlsx"],
        "--from: found several",
        "--from: se encontraron varios",
    ),
    (["demo", "--out", "note.txt"], "A file has that name", "Un archivo tiene ese nombre"),
    (["key", "new", "note.txt"], "found a file of that name", "se encontró un archivo con ese nombre"),
    (["key", "new", "none/a.key"], "found no such folder", "no se encontró su carpeta"),
    (["compare", "--yard", "a.xlsx"], "--yard: found no order", "--yard: no se encontró ningún pedido"),
    (["open", "absent"], "expected an order, a returned book", "se esperaba un pedido, un libro devuelto"),
    (["recheck", "a", "--claim", "-5"], "neither a quantity nor a file", "no es una cantidad ni un archivo"),
    (
        ["recheck", "a", "--decisions", "note.txt"],
        "expected a report that this program wrote",
        "se esperaba un informe que escribió este programa",
    ),
    (
        ["season", "a.db", "--from", "2026-05-04", "--to", "2026-05-01"],
        "--from and --to: found",
        "--from y --to: se",
    ),
    (["settings", "--paper", "a3"], "found a3 for paper", "se encontró a3 para paper"),
]


@pytest.mark.parametrize(("typed", "english", "spanish"), WRONG, ids=[" ".join(typed) for typed, *_ in WRONG])
def test_what_was_typed_wrongly_is_told_in_the_language_of_the_system(said, typed, english, spanish):
    for system, words in (("C", english), ("es_ES.UTF-8", spanish)):
        status, out, err = said(*typed, system=system)
        assert (status, out) == (2, "")
        assert words in err
        assert (sum(word in err for word in ENGLISH) == 0) or system == "C"


def test_settings_come_before_the_system_and_what_is_typed_before_both(said):
    spanish, english = 'language = "es"\n', 'language = "en"\n'
    assert "Falta" in said("plan", settings=spanish)[2]
    assert "is missing" in said("plan", system="es_MX", settings=english)[2]
    assert "No hay" in said("explain", "nonsense", "--lang", "es", settings=english)[2]
    assert (
        said("explain", "gap-in-lane", settings=spanish)[1]
        == said("explain", "gap-in-lane", "--lang", "es")[1]
    )


def test_an_orders_language_comes_before_the_settings(said, tmp_path):
    write_order(tmp_path / "order.xlsx", order=demo_order("si", "es"))
    english = 'language = "en"\n'
    (tmp_path / "books").write_text("a file where the folder would be")
    status, _, err = said("build", "order.xlsx", "--out", "books", settings=english)
    assert status == 2
    assert "el sistema no lo permite" in err


def test_the_terminal_of_a_recheck_is_in_the_books_language(said, tmp_path):
    order = demo_order("si", "es")
    log, _ = planted(
        honest_day(order, order.machines[0], seed=3), order, order.machines[0], ["ticket-repeated"]
    )
    (tmp_path / "in").mkdir()
    write_filled(order, order.machines[0], log, tmp_path / "in" / "a.xlsx")
    write_filled(order, order.machines[0], log, tmp_path / "in" / "b.xlsx")
    (tmp_path / "in" / "nota.txt").write_text("x")
    claims = tmp_path / "claim.csv"
    claims.write_text("libro;a pagar\na;100\nzz;12345.5\n")
    status, out, err = said("recheck", "in", "--claim", "claim.csv", "--out", "out")
    assert status == 1
    assert "se reclaman 12\u202f345.5 por zz" in out
    assert " y in" in out.replace("\\", "/")  # the pair of books
    assert "no se revisaron" in err
    assert [
        word for word in (*ENGLISH, "origin ", " and ", "report", "query", "payable") if word in out + err
    ] == []


@pytest.mark.parametrize(("language", "system"), [("es", "us"), ("en", "si")])
def test_the_demonstration_is_told_in_its_language_most_serious_first(said, language, system):
    status, out, err = said("demo", "--lang", language, "--units", system)
    assert (status, err) == (0, "")
    say = templates.texts(language)
    words = [say[f"report.severity.{severity}"] for severity in ("error", "query", "note")]
    ranks = [words.index(line.split()[0]) for line in out.splitlines() if line.endswith(")")]
    assert len(set(ranks)) > 1
    assert ranks == sorted(ranks)
    if language == "es":
        assert [word for word in ENGLISH if word in out] == []
        assert "gal" in out


@pytest.mark.parametrize(
    ("variables", "language"),
    [({"LANG": "es_MX.UTF-8"}, "es"), ({"LANG": "es"}, "es"), ({"LANG": "es_ES@euro"}, "es"), ({"LANG": "C"}, ""),
     ({"LANG": "es_MX", "LC_ALL": "en_US"}, "en"), ({"LANG": "en_US", "LC_MESSAGES": "es_MX"}, "es"),
     ({"LANG": "es_MX", "LC_ALL": ""}, "es"), ({"LANG": "../es"}, ""), ({}, "")],
)  # fmt: skip
def test_the_language_of_the_system_is_that_of_its_messages(monkeypatch, variables, language):
    # LC_ALL before LC_MESSAGES before LANG, empty ones as if not set: POSIX.1-2017, 8.2.
    for name in ("LC_ALL", "LC_MESSAGES", "LANG"):
        monkeypatch.delenv(name, raising=False)
    for name, value in variables.items():
        monkeypatch.setenv(name, value)
    assert system_language() == language


def test_a_language_without_texts_changes_nothing():
    templates.speak("es")
    templates.speak("xx")
    templates.speak("")
    assert templates.spoken() == "es"
