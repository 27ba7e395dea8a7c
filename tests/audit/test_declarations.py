"""What is declared in the templates: checked against its models, and everything derived from it holds."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
import tomli

from sheetgen import templates
from sheetgen.audit.compute.days import DayRow
from sheetgen.audit.compute.loads import LoadRow
from sheetgen.audit.compute.pay import SectionRow
from sheetgen.audit.compute.shots import ShotRow
from sheetgen.audit.entries import possible
from sheetgen.audit.entries.logs import Day, Load, Shot
from sheetgen.audit.findings import catalogue, live_checks
from sheetgen.book.number_formats import number_format
from sheetgen.columns import columns, compared, entry_columns, reported, tables
from sheetgen.declarations import MEASURES, OrderField, Part, Table, check_declarations, check_part, line_of
from sheetgen.demo.planted import planted
from sheetgen.demo.planted_errors import PLANTS
from sheetgen.errors import TemplateError
from sheetgen.order.demo import demo_order
from sheetgen.templates import LANGUAGES, texts
from tests.audit.orders import day, findings_of, small

ALL = [(table, key) for table in tables() for key in columns(table)]
ELSEWHERE = tomli.loads((Path(__file__).parent / "planted_elsewhere.toml").read_text("utf-8"))
TESTS = Path(__file__).parent.parent


def test_every_declaration_fits_its_model():
    check_declarations()


@pytest.mark.parametrize(
    ("old", "new", "found", "remedy"),
    [
        ('key = "length"\nformat = "distance"\nwidth = 8\nunit', 'key = "length"\nformat = "distance"\nwidth = 8\nunti',
         "'unti'", "'unit'"),
        ("ditto = true, carried = true, label = true, needed = true, computed = true }\n\n[[column]]\nkey = \"width\"",
         "dito = true, carried = true, label = true, needed = true, computed = true }\n\n[[column]]\nkey = \"width\"",
         "'dito'", "'ditto'"),
        ("refuse = false", "refussed = false", "'refussed'", "'refuse'"),
        ("rows_per_page = 16", "rows_a_page = 16", "'rows_a_page'", "'rows_per_page'"),
        ('report = { width = 10, after = "base" }', 'report = { widht = 10, after = "base" }', "'widht'", "'width'"),
    ],
)  # fmt: skip
def test_a_misspelt_key_is_named_with_its_file_its_line_and_the_nearest_key(
    tmp_path, monkeypatch, old, new, found, remedy
):
    check_declarations()  # what else it reads is read from the true folder
    text = (templates.root() / "sheets" / "shots.toml").read_text("utf-8")
    assert old in text
    wrong = text.replace(old, new, 1)
    word = re.findall(r"\w+", found)[0]
    line = next(number for number, each in enumerate(wrong.split("\n"), 1) if re.search(rf"\b{word}\b", each))
    (tmp_path / "sheets").mkdir()
    (tmp_path / "sheets" / "shots.toml").write_text(wrong, "utf-8")
    monkeypatch.setattr(templates, "root", lambda: tmp_path)
    with pytest.raises(TemplateError) as error:
        check_part("sheets/shots.toml", tomli.loads(wrong), Table)
    assert (error.value.file, error.value.line) == ("sheets/shots.toml", line)
    assert found in error.value.found
    assert error.value.remedy == f"Write {remedy}."
    assert f"templates_src/sheets/shots.toml, line {line}" in str(error.value)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"recomputed": True, "not_recomputed": "because"}, "not both"),
        ({"unit": "volumes"}, "'volumes' is no kind of quantity"),
        ({"input": True}, "an entry"),
        ({"read": {"as": "number"}}, "an entry"),
        ({"input": True, "read": {"as": "number", "possible": [0, "2 tanks"]}}, "'2 tanks'"),
        ({"input": True, "read": {"as": "text", "possible": [0, 1]}}, "nothing else has"),
        ({"input": True, "read": {"as": "numbr"}}, "Input should be"),
    ],
)
def test_a_declaration_that_contradicts_itself_is_refused(change, said):
    column = {"key": "one", "format": "text", **change}
    with pytest.raises(TemplateError, match=re.escape(said)):
        check_part("sheets/shots.toml", {"table": "shots", "column": [column]}, Table)


def test_a_field_of_the_order_is_checked_too():
    field = {"path": "job.name", "kind": "text", "requird": True}
    with pytest.raises(TemplateError) as error:
        check_part("order.toml", field, OrderField, ("job", "group", 0, "fields", 1))
    assert error.value.remedy == "Write 'required'."
    lines = (templates.root() / "order.toml").read_text("utf-8").split("\n")
    assert 'path = "job.name"' in lines[error.value.line - 1]


@pytest.mark.parametrize(
    ("path", "line"),
    [(("a",), 1), (("b", "c"), 3), (("list", 1, "key"), 7), (("list", 1, "of", 1, "x"), 10), (("gone",), 1)],
)
def test_the_line_of_a_path(path, line):
    text = 'a = 1\n[b]\nc = 2\n[[list]]\nkey = "one"\n[[list]]\nkey = "two"\nof = [\n  { x = 1 },\n  { x = 2 },\n]\n'
    assert line_of(text, path) == line


def test_every_key_is_described_or_explains_itself():
    for model in Part.__subclasses__():
        assert model.__doc__, model.__name__


@pytest.mark.parametrize(("table", "key"), ALL)
def test_every_column_has_a_format_and_a_heading(table, key):
    column = columns(table)[key]
    assert isinstance(number_format(column.format, demo_order("us", "en")), str)
    heads = {f"{table}.{key}", f"name.{column.name}", f"calibration.{column.name}", f"charts.{key}"}
    heads |= {f"calibration.{column.name.removesuffix(end)}" for end in ("_across", "_along")}
    heads |= {f"plan.{key}", f"name.{key}", f"rates.{key}", f"card.{key}"}
    if not table.startswith("plan"):
        for language in LANGUAGES:
            assert any(head in texts(language) for head in heads), heads


@pytest.mark.parametrize(
    ("table", "rows", "entries"),
    [
        ("shots", ShotRow, Shot),
        ("loads", LoadRow, Load),
        ("days", DayRow, Day),
        ("sections", SectionRow, None),
    ],
)
def test_the_rows_of_the_recheck_have_the_declared_columns(table, rows, entries):
    fields = {name.rstrip("_") for name in rows._fields}
    assert {column.key for column in compared(table)} <= fields
    assert {column.key for column in reported(table)} <= fields
    if entries:
        read = set(entries._fields) - {"row", "unreadable"}
        assert read | {"remarks"} == set(entry_columns(table))


def test_measures_of_possible_values_are_those_that_the_recheck_knows():
    order = demo_order("us", "en")
    assert possible.MEASURES == MEASURES
    for table in tables().values():
        for column in table.values():
            for bound in column.possible:
                assert isinstance(bound, int | float) or bound.split()[-1] in MEASURES
    assert order  # every bound is worked out in test_typed_in_every_column


def test_an_undeclared_result_is_refused(monkeypatch):
    bare = {"x": {"y": columns("shots")["area"]._replace(recomputed=False, not_recomputed="")}}
    monkeypatch.setattr("sheetgen.declarations.tables", lambda: bare)
    check_declarations.cache_clear()
    with pytest.raises(TemplateError, match="recomputed = true, or say why not"):
        check_declarations()
    check_declarations.cache_clear()


def test_every_finding_has_a_plant_or_a_test_that_plants_it():
    assert set(PLANTS) | set(ELSEWHERE) == set(catalogue())
    assert set(PLANTS) & set(ELSEWHERE) == set()


@pytest.mark.parametrize("name", ELSEWHERE)
def test_a_finding_without_a_plant_is_named_by_its_test(name):
    assert f'"{name}"' in (TESTS / ELSEWHERE[name]).read_text("utf-8")


def test_a_live_check_names_findings_that_there_are():
    assert set(live_checks()) <= set(catalogue())


EVIDENCE = [(name, column) for name, kind in catalogue().items() for column in kind.evidence]


@pytest.mark.parametrize(("name", "column"), EVIDENCE)
def test_a_finding_is_not_seen_without_its_evidence(name, column):
    order = small("us")
    table, key = column.split(".")
    assert key in entry_columns(table)
    if name in PLANTS:
        log, _ = planted(day(order, 5), order, order.machines[0], [name])
        without = {place: value for place, value in log.items() if (place[0], place[2]) != (table, key)}
        assert name in {each.name for each in findings_of(log, order)}
        assert name not in {each.name for each in findings_of(without, order)}
