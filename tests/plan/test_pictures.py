"""Pictures of a plan: the same bytes again, a text in their stead, nothing in colour, what they say is the plan's."""

from __future__ import annotations

import builtins
import hashlib

import numpy as np
import pytest

from sheetgen.errors import SheetgenError
from sheetgen.order.demo import demo_order
from sheetgen.plan import plan
from sheetgen.plan.figures import Figures
from sheetgen.plan.pictures import alternative, draw_pictures
from tests.plan.orders import order_of

pytest.importorskip("matplotlib")


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    folder = tmp_path_factory.mktemp("pictures")
    return draw_pictures(plan(demo_order()), folder / "first"), draw_pictures(
        plan(demo_order()), folder / "second"
    )


def test_each_machine_gets_two_pictures_as_png_and_as_svg(drawn):
    assert [path.name for path in drawn[0]] == [
        "DEMO-0001_Distributor-A_strip.png",
        "DEMO-0001_Distributor-A_strip.svg",
        "DEMO-0001_Distributor-A_window.png",
        "DEMO-0001_Distributor-A_window.svg",
    ]
    assert sorted(path.name for path in drawn[0][0].parent.iterdir()) == sorted(
        path.name for path in drawn[0]
    )


def test_the_same_plan_gives_the_same_bytes(drawn):
    first, second = ([hashlib.sha256(path.read_bytes()).hexdigest() for path in paths] for paths in drawn)
    assert first == second


def test_pictures_have_shades_of_grey_only(drawn):
    from matplotlib import image

    for path in drawn[0]:
        if path.suffix == ".png":
            pixels = image.imread(path)[:, :, :3]
            assert float(np.max(np.ptp(pixels, axis=2))) < 0.05, path.name


def test_the_text_in_a_pictures_stead_is_in_the_file_and_says_what_it_shows(drawn):
    made = plan(demo_order())
    figures = Figures("us", "en")
    strip = alternative("strip", made, made.machines[0], figures)
    assert "Shot 3: section S1, lane WB, 134+00 to 138+00, load 2" in strip
    window = alternative("window", made, made.machines[0], figures)
    assert "Section S3: 0.0612 gal/yd² at 882 ft/min, 10.0 ft wide" in window
    svg = next(path for path in drawn[0] if path.name.endswith("strip.svg")).read_text(encoding="utf-8")
    assert strip in svg


def test_a_plan_in_which_nothing_works_is_drawn_too(tmp_path):
    order = order_of(machine={"tank": {"shape": "calibrated", "points": [{"depth": 0, "volume": 0},
                                                                        {"depth": 1, "volume": 1}]},
                              "burners": False})  # fmt: skip
    assert len(draw_pictures(plan(order), tmp_path, "es")) == 4


def test_without_matplotlib_the_error_says_how_to_get_it(tmp_path, monkeypatch):
    usual = builtins.__import__

    def without(name, *rest):
        if name.split(".")[0] == "matplotlib":
            raise ImportError(name)
        return usual(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    with pytest.raises(SheetgenError, match=r'pipx install --force "\.\[pictures\]"'):
        draw_pictures(plan(demo_order()), tmp_path)


def test_planned_points_lie_inside_their_window():
    from sheetgen.plan.picture_window import windows_of

    for units in ("us", "si"):
        made = plan(demo_order(units))
        for window in windows_of(made, made.machines[0]):
            for _name, rate, speed in window.points:
                discharge = speed * rate / window.constant
                assert window.least * (1 - 1e-9) <= discharge <= window.greatest * (1 + 1e-9)
                assert window.slow <= speed <= window.fast
                assert discharge == pytest.approx(window.discharge)
