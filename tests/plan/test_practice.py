"""Guidance of a plan: the emulsion that replaces a cutback, and how long to wait, against published figures."""

from __future__ import annotations

import csv
import re

import pytest
from pydantic import ValidationError

from sheetgen import templates
from sheetgen.plan import plan, plan_text
from sheetgen.plan.figures import Figures
from sheetgen.plan.practice import cover_minutes
from sheetgen.trade.limits import limit
from tests.plan.orders import order_of


def emulsion(residue=0.65, dilution=1.0, **more):
    material = {
        "grade": "CRS-2", "material_class": "emulsion", "specific_gravity": 1.0, "residue": residue,
        "dilution": dilution, "spray_min": 40, "spray_max": 185, "spray_planned": 60,
    }  # fmt: skip
    return order_of(material=material, **more)


def replaced(rate_before, cutback, residue=0.65, dilution=1.0, **section):
    planning = {"replaced_rate": rate_before, "replaced_residue": cutback}
    return plan(emulsion(residue, dilution, section=section, planning=planning))


# Cutback residue / emulsion residue, AASHTO M 81 and M 82 minima (table computed for the project from their values).
FACTORS = [
    (0.50, 0.57, 0.877), (0.50, 0.60, 0.833), (0.55, 0.57, 0.965), (0.55, 0.65, 0.846), (0.65, 0.65, 1.000),
    (0.67, 0.57, 1.175), (0.75, 0.60, 1.250), (0.80, 0.63, 1.270), (0.80, 0.65, 1.231), (0.80, 0.67, 1.194),
]  # fmt: skip


@pytest.mark.parametrize(("cutback", "residue", "factor"), FACTORS)
def test_the_factor_of_every_pair_of_grades(cutback, residue, factor):
    assert round(replaced(0.2, cutback, residue).replaced.undiluted / 0.2, 3) == factor


def test_minnesota_s_eighty_five_percent_cutback():
    # Minnesota Seal Coat Handbook ch. 4 (seen): cutback about 85 % asphalt, emulsion two-thirds: ×1.27 (computed).
    assert round(replaced(1.0, 0.85, 0.67).replaced.undiluted, 2) == 1.27


def test_a_medium_curing_cutback_of_0_30_is_0_369_of_the_emulsion():
    found = replaced(0.30, 0.80).replaced
    assert round(found.undiluted, 3) == 0.369
    assert found.residual == pytest.approx(0.24)
    assert found.bar == found.undiluted


def test_what_leaves_the_bar_holds_the_water_too():
    assert replaced(0.10, 0.50, 0.60, 0.5).replaced.bar == pytest.approx(0.10 * 0.50 / 0.60 / 0.5)


def test_gallons_that_were_kept_are_said_to_differ_and_the_right_rate_is_not():
    # The common failure in the field (Minnesota, seen): the gallons of the cutback kept for the emulsion.
    kept = replaced(0.30, 0.80, rate=0.30, basis="undiluted")
    (notice,) = [each for each in kept.notices if each.key == "replaced-differs"]
    text = Figures("us", "en").notice(notice)
    assert "0.3692" in text
    assert "-18.75 %" in text or "−18.75 %" in text  # 0.30 / 0.36923 − 1
    right = replaced(0.30, 0.80, rate=0.37, basis="undiluted")
    assert [each.key for each in right.notices if each.key.startswith("replaced")] == ["replaced"]


def test_an_order_without_a_cutback_says_nothing_of_one():
    made = plan(emulsion())
    assert made.replaced is None
    assert not [each for each in made.notices if each.key.startswith("replaced")]


@pytest.mark.parametrize("given", ["replaced_rate", "replaced_residue"])
def test_half_of_a_cutback_is_refused(given):
    with pytest.raises(ValidationError, match="a rate and a residue"):
        emulsion(planning={given: 0.5})


# ---------------------------------------------------------------- waiting

CLASSES = ("emulsion", "cutback", "asphalt")


def waits(work, kind):
    material = {"material_class": kind, "residue": 0.6 if kind != "asphalt" else 1.0, "specific_gravity": 1.0}
    return plan(order_of(section={"work": work}, material=material)).waits


@pytest.mark.parametrize("kind", CLASSES)
@pytest.mark.parametrize("work", ["tack", "prime", "fog", "chip-seal"])
def test_every_work_has_guidance_with_a_source(work, kind):
    found = waits(work, kind)
    assert found
    for wait in found:
        assert wait.sections == ("S1",)
        assert wait.source
        assert wait.seen in ("seen", "memory")


def test_minutes_in_the_words_are_those_of_the_table_of_limits():
    # UFGS 02785 p. 17 (seen): cutback within 1 to 1½ minutes, any binder never after 3; in seconds in the table.
    assert limit("cutback_uncovered").high == 90
    assert limit("binder_uncovered").high == 180
    assert (cover_minutes("cutback"), cover_minutes("emulsion"), cover_minutes("asphalt")) == (1.5, 3, 3)
    for language in ("en", "es"):
        say = templates.texts(language, "us")
        assert re.findall(r"\d+", say["plan.wait.cover_cutback"]) == ["1", "1", "1", "2"]
        assert re.findall(r"\d+", say["plan.wait.cover_emulsion"]) == ["3", "4", "3"]
        assert re.findall(r"\d+", say["plan.wait.cover_asphalt"]) == ["3"]


@pytest.mark.parametrize(
    ("key", "number", "source"),
    [  # as read in each document
        ("prime_surfacing", "2", "Indian River County"),
        ("prime_cure", "48", "NAVEDTRA 14081"),
        ("chip_full", "28", "NCHRP Synthesis 342"),
    ],
)
def test_hours_are_those_of_the_documents(key, number, source):
    row = next(row for row in templates.table("waiting") if row["key"] == key)
    assert source in row["source"]
    assert row["provenance"] == "seen"
    for language in ("en", "es"):
        assert re.findall(r"\d+", templates.texts(language, "us")[f"plan.wait.{key}"]) == [number]


def test_what_is_from_memory_is_shown_as_not_checked():
    text = plan_text(plan(emulsion(section={"work": "fog"})), "en")
    assert "often about 2" in re.sub(r"\s+", " ", text)
    assert [wait.seen for wait in waits("fog", "emulsion")] == ["memory"]


def test_a_wait_names_only_the_sections_of_its_work():
    order = emulsion(section={"work": "prime"})
    sections = [order.sections[0], order.sections[0].model_copy(update={"id": "S2", "work": "fog"})]
    found = plan(order.model_copy(update={"sections": tuple(sections)})).waits
    assert {(wait.key, wait.sections) for wait in found} == {
        ("prime_surfacing", ("S1",)), ("prime_cure", ("S1",)), ("fog_cured", ("S2",)),
    }  # fmt: skip


def test_the_table_has_no_row_that_no_order_reaches():
    with (templates.root() / "tables" / "waiting.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    reached = {
        wait.key
        for work in ("tack", "prime", "fog", "chip-seal")
        for kind in CLASSES
        for wait in waits(work, kind)
    }
    assert reached == {row["key"] for row in rows}
