"""Order workbooks that several tests start from, written once."""

import shutil

import pytest

from sheetgen.order.demo import demo_order
from sheetgen.order.write import write_order


@pytest.fixture(scope="session")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("written")
    return {lang: write_order(folder / f"{lang}.xlsx", order=demo_order("us", lang)) for lang in ("en", "es")}


@pytest.fixture
def demo_file(written, tmp_path):
    """A copy of the demonstration order's workbook in English."""
    return shutil.copy(written["en"], tmp_path / "order.xlsx")


@pytest.fixture
def demo_file_in(written, tmp_path):
    """A copy in the language asked for."""
    return lambda lang: shutil.copy(written[lang], tmp_path / "order.xlsx")
