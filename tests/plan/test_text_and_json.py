"""The plan as text in both languages, and as JSON: complete, and the same numbers."""

from __future__ import annotations

import codecs
import json
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

import sheetgen.plan
from sheetgen import templates
from sheetgen.batch.schemas import model
from sheetgen.order.demo import demo_order
from sheetgen.output import nearest
from sheetgen.plan import Plan, plan, plan_json, plan_text
from sheetgen.plan.figures import Figures
from sheetgen.plan.json_form import published
from sheetgen.templates import texts
from tests.plan.orders import order_of, planned_orders

VARIANTS = [(units, lang) for units in ("us", "si") for lang in ("en", "es")]


@pytest.mark.parametrize(("units", "lang"), VARIANTS, ids="-".join)
def test_every_part_of_a_plan_is_said_in_both_languages(units, lang):
    made = plan(demo_order(units, lang))
    text = plan_text(made, lang)
    say = texts(lang, units)
    for part in ("sections", "published", "compared", "settings", "shots", "loads", "day", "to_order", "heating",
                 "judging", "bar", "inputs", "cautions"):  # fmt: skip
        assert say[f"plan.part.{part}"] in text, part
    assert say["book.invented"] in text
    assert " ".join(say["cautions.defer"].split()) in " ".join(text.split())
    for key in made.cautions:
        assert " ".join(say.own(f"caution.{key}", units).split()) in " ".join(text.split())


@pytest.mark.parametrize("lang", ["en", "es"])
def test_no_line_is_cut_or_wider_than_a_page(lang):
    for units in ("us", "si"):
        lines = plan_text(plan(demo_order(units, lang)), lang).splitlines()
        assert max(map(len, lines)) <= 118
        assert all(line.endswith(("+", "|")) for line in lines if line.startswith(("+", "|")))


def test_text_has_nothing_that_a_plain_terminal_cannot_show():
    text = plan_text(plan(demo_order()), "en") + plan_text(plan(demo_order("si", "es")), "es")
    assert "\x1b" not in text
    # A terminal of the smaller kind, and a pipe on it, have every sign but the blank that parts thousands.
    text.replace("\u202f", " ").encode("cp1252")
    codecs.register_error("nearest", nearest)
    for encoding in ("cp437", "cp1252"):
        shown = text.encode(encoding, "nearest").decode(encoding)
        assert shown.count("?") == text.count("?")
        assert re.search(r" \d\d \d\d\d ", shown)


@pytest.mark.parametrize("lang", ["en", "es"])
def test_every_notice_that_can_be_given_has_a_text(lang):
    folder = Path(sheetgen.plan.__file__).parent
    source = "".join(file.read_text(encoding="utf-8") for file in folder.glob("*.py"))
    keys = set(re.findall(r'Notice\(\s*"([a-z-]+)"', source)) | {
        "overlap",
        "overlap-wide",
        "overlap-short",
        "overlap-doubled",
        "bar-lower",
        "bar-high",
        "no-burner",
        "cover-lag",
        "stone-limits",
        "stone-not-matched",
    }
    keys |= {"above", "below", "looks-like-bar-rate", "looks-like-residual"}
    keys |= {f"judge-{verdict}" for verdict in ("longer-shot", "meter", "pads")}
    say = texts(lang)
    assert len(keys) > 18
    assert [key for key in sorted(keys) if f"plan.notice.{key}" not in say] == []
    every = say.keys()
    unused = {key for key in every if key.startswith("plan.notice.")} - {f"plan.notice.{key}" for key in keys}
    assert unused == set()


def _same(data, made) -> bool:
    """Whether JSON data says what a record of the plan says, field by field."""
    if hasattr(made, "_fields"):
        return all(
            _same(data[published(type(made).__name__, name)], getattr(made, name)) for name in made._fields
        )
    if isinstance(made, (list, tuple)):
        return len(data) == len(made) and all(map(_same, data, made))
    if isinstance(made, dict):
        return data.keys() == made.keys() and all(_same(data[key], made[key]) for key in made)
    return bool(data == made)


def test_json_carries_every_number_of_the_plan():
    made = plan(demo_order())
    data = json.loads(json.dumps(plan_json(made)))
    assert _same(data, made)
    assert data["unit_of"]["rate"] == "gal/yd²"


@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(order=planned_orders())
def test_any_plan_can_be_said_and_written_as_json(order):
    made = plan(order)
    for lang in ("en", "es"):
        assert made.job in plan_text(made, lang)
    model(Plan).model_validate_json(json.dumps(plan_json(made), allow_nan=False), strict=True)


@pytest.mark.parametrize(
    ("system", "station", "written"),
    [
        ("us", 11850, "118+50"),
        ("us", 5, "0+05"),
        ("us", 11850.5, "118+50.50"),  # as in a recheck
        ("si", 3250, "3+250"),
        ("si", 20, "0+020"),
    ],
)
def test_stations_are_written_as_stations(system, station, written):
    assert Figures(system, "en").station(station) == written


def test_a_clock_says_the_day_from_the_second_on():
    figures = Figures("us", "en")
    assert figures.clock(7 * 60 + 5) == "07:05"
    assert figures.clock(1440 + 8 * 60) == "Day 2, 08:00"


def test_machines_stand_side_by_side():
    first = order_of()
    machines = [first.machines[0], first.machines[0].model_copy(update={"name": "Second", "reserve": 100.0})]
    made = plan(first.model_copy(update={"machines": tuple(machines)}))
    text = plan_text(made, "en")
    headings = [line for line in text.splitlines() if "Second" in line and "|M " in line]
    assert headings
    assert made.machine("Second").usable == 900
    assert made.machine("M").usable == 1000


def test_every_table_of_planning_has_a_source_column():
    assert all(row["source"] for row in templates.table("planning"))
