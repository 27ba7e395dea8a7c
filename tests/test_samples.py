"""What stands in samples/ is what the program makes now, byte for byte where a file is made by it alone."""

from __future__ import annotations

from pathlib import Path

import pytest

from sheetgen.demo.run import make_demo

SAMPLES = Path(__file__).parent.parent / "samples"
MADE = sorted(path.relative_to(SAMPLES) for end in ("xlsx", "json") for path in SAMPLES.rglob(f"*.{end}"))


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("made")
    make_demo(folder)
    return folder


def test_there_are_samples():
    assert len(MADE) >= 6


@pytest.mark.parametrize("name", MADE, ids=str)
def test_a_sample_is_up_to_date(name, made):
    assert (made / name).read_bytes() == (SAMPLES / name).read_bytes(), (
        "run .ci/samples and look at the pages"
    )


def test_the_pictures_of_the_readme_are_there():
    readme = (SAMPLES.parent / "README.md").read_text(encoding="utf-8")
    for picture in ("card", "shots", "results", "checks", "recheck", "findings"):
        assert f"samples/pages/{picture}.png" in readme
        assert (SAMPLES / "pages" / f"{picture}.png").stat().st_size > 10_000
