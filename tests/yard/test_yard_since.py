"""What has changed in the yard since an order took from it is said when its books are built."""

from __future__ import annotations

import pytest
from typer.testing import CliRunner

from sheetgen.cli import app
from sheetgen.office.orders import work_on_order
from sheetgen.office.yard_since import changed_since, said_since
from sheetgen.order.read import read_order
from sheetgen.order.write import write_order
from sheetgen.yard.write import write_yard
from tests.yard.yards import CERTIFIED, MATERIAL, typed_order, yard


@pytest.fixture(scope="module")
def order(tmp_path_factory):
    return typed_order(tmp_path_factory.mktemp("order") / "order.xlsx")


def kept(folder, machines=lambda each: each, materials=lambda each: each):
    """The yard as it is now."""
    folder.mkdir(exist_ok=True)
    now = yard()._replace(
        machines=tuple(filter(None, map(machines, yard().machines))),
        materials=tuple(filter(None, map(materials, yard().materials))),
    )
    return str(write_yard(folder / "yard.xlsx", yard=now))


def certified(**values):
    return lambda each: each.model_copy(update=values) if each.name == CERTIFIED else each


def found(order, now):
    return [
        (each.sheet, each.of, each.field, each.was, each.now)
        for each in changed_since(order, read_order(order), now)
    ]


def without(name):
    return lambda each: None if each.name == name else each


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        ({}, []),
        ({"machines": certified(discharge=65.0)}, [("machines", CERTIFIED, "discharge", "60 gal/min", "65 gal/min")]),
        ({"machines": certified(functions=())},
         [("machines", CERTIFIED, "functions", "Spray from the bar: 1 open, 2 closed", "")]),
        ({"machines": without(CERTIFIED)}, [("machines", CERTIFIED, "", CERTIFIED, "")]),
        ({"materials": without(MATERIAL)}, [("material", MATERIAL, "", MATERIAL, "")]),
        ({"materials": lambda each: each._replace(material=each.material.model_copy(update={"residue": 0.61}))},
         [("material", "", "material.residue", "60 %", "61 %")]),
    ],
)  # fmt: skip
def test_what_the_yard_has_otherwise_is_listed(order, tmp_path, change, expected):
    assert found(order, kept(tmp_path, **change)) == expected


def test_a_line_of_the_certificate_is_a_change_and_what_was_typed_over_is_none(tmp_path):
    typed = typed_order(tmp_path / "order.xlsx", machines__reserve=55)
    assert found(typed, kept(tmp_path)) == []
    tank = yard().machines[1].tank
    points = tank.points
    longer = (*points, points[-1].model_copy(update={"depth": 44, "volume": 666}))
    (changed,) = found(
        typed, kept(tmp_path / "now", certified(tank=tank.model_copy(update={"points": longer})))
    )
    assert changed[2] == "tank.points"
    assert changed[4].endswith("44/666")


def test_an_order_that_took_nothing_is_not_compared(order, tmp_path):
    plain = write_order(tmp_path / "plain.xlsx", order=read_order(order))
    assert found(plain, kept(tmp_path, certified(discharge=65.0))) == []
    metric = str(write_yard(tmp_path / "metric.xlsx", yard=yard("si")))
    assert found(order, metric) == []


def test_build_and_the_office_say_it_and_build_all_the_same(order, tmp_path):
    now = kept(tmp_path, certified(discharge=65.0))
    said = said_since(order, read_order(order), now)
    assert said[0].startswith(f"{now}: the yard has changed")
    assert "60 gal/min → 65 gal/min" in said[1]
    given = ["build", str(order), "--out", str(tmp_path / "books"), "--yard", now]
    done = CliRunner().invoke(app, given)
    assert done.exit_code == 0
    assert said[1] in done.stderr
    assert len(list((tmp_path / "books").iterdir())) == 1
    work = work_on_order(order, tmp_path / "desk", pictures=False, yard=now)
    assert work.warnings[:2] == tuple(said)
    assert work.books


def test_a_yard_that_is_gone_is_said_and_stops_no_book(order, tmp_path):
    (said,) = said_since(order, read_order(order), str(tmp_path / "gone.xlsx"))
    assert "gone.xlsx" in said
