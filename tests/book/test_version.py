"""The version of the templates covers everything that a book is laid out with, in every language."""

from __future__ import annotations

import json
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest

from sheetgen import templates
from sheetgen.book import version

ROOT = Path(__file__).parents[2]
# What a module of these names has no part in what stands in a cell.
APART = {"sheetgen", "sheetgen.api", "sheetgen.errors", "sheetgen.order", "sheetgen.output", "sheetgen.version",
         "sheetgen.xlsx"}  # fmt: skip
_LAY_OUT = """
import json, sys
opened = set()
sys.addaudithook(lambda event, given: opened.add(str(given[0])) if event == "open" else None)
from sheetgen import templates
keys, get = set(), templates.Texts.__getitem__
templates.Texts.__getitem__ = lambda self, key: (keys.add(key), get(self, key))[1]
from sheetgen.book.layout import lay_out
from sheetgen.order.model import Order
for text in json.load(sys.stdin):
    order = Order.from_canonical(text)
    lay_out(order, order.machines[0])
modules = [name for name in sys.modules if name.split(".")[0] == "sheetgen"]
print(json.dumps([sorted(modules), sorted(opened), sorted(keys)]))
"""


@pytest.fixture(scope="module")
def laid_out():
    """Modules imported, files opened and texts taken while books of many kinds of order are laid out."""
    from sheetgen.order.demo import demo_order
    from sheetgen.order.model import Changed
    from tests.audit.orders import VARIANTS, changed

    orders = [demo_order(units, lang) for units in ("us", "si") for lang in templates.LANGUAGES]
    orders.append(changed(orders[0], material__residue=0.05))  # the plan says what is hardly meant
    revised = {"changed": (Changed(sheet="sections", of="S1", field="rate", was="0.05", now="0.06"),)}
    orders.append(orders[0].model_copy(update=revised))
    texts = [order.canonical() for order in (*orders, *VARIANTS.values())]
    done = subprocess.run(
        [sys.executable, "-c", _LAY_OUT], input=json.dumps(texts), capture_output=True, text=True, check=True, cwd=ROOT
    )  # fmt: skip
    return json.loads(done.stdout.splitlines()[-1])


def counted():
    return {name for name, _file in version._counted()}


def test_all_code_that_lays_out_a_book_is_counted(laid_out):
    modules = set(laid_out[0]) - APART
    files = {each.removeprefix("sheetgen.").replace(".", "/") for each in modules}
    missing = {each for each in files if not {f"{each}.py", f"{each}/__init__.py"} & counted()}
    assert missing == set()
    assert "book/layout" in files


def test_all_data_that_it_takes_is_counted(laid_out):
    root = f"{templates.root()}/"
    taken = {each.removeprefix(root) for each in laid_out[1] if each.startswith(root)}
    assert {each for each in taken if not each.startswith("texts/")} - counted() == set()
    assert "sheets/shots.toml" in taken


@pytest.mark.parametrize("language", [each.name for each in (templates.root() / "texts").iterdir()])
def test_all_texts_that_it_takes_are_counted_in_every_language(laid_out, language):
    homes = {}
    for file in (templates.root() / "texts" / language).iterdir():
        keys = templates._flatten(templates.tomli.loads(file.read_text(encoding="utf-8")))
        homes |= {key: f"texts/{language}/{file.name}" for key, _text in keys}
    homes |= {key: homes[other] for key, other in templates.same_texts().items()}
    assert {homes[key] for key in laid_out[2] if key in homes} - counted() == set()
    assert len(set(laid_out[2]) & homes.keys()) > 500


def a_copy(folder: Path) -> Path:
    """The package with its templates inside, as a wheel holds it, in a zip archive."""
    archive = folder / "sheetgen.zip"
    with zipfile.ZipFile(archive, "w") as made:
        for top, inside in ((ROOT / "sheetgen", "sheetgen"), (templates.root(), "sheetgen/templates_src")):
            for file in top.rglob("*"):
                if file.is_file() and "__pycache__" not in file.parts:
                    made.write(file, f"{inside}/{file.relative_to(top).as_posix()}")
    return archive


def test_the_version_is_the_same_in_a_zip_archive(tmp_path):
    code = "from sheetgen.book.version import TEMPLATE_VERSION as V, __file__ as f; print(f); print(V)"
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(a_copy(tmp_path))!r}); {code}"],
        capture_output=True, text=True, check=True, cwd=tmp_path,
    )  # fmt: skip
    place, found = done.stdout.split()
    assert place.startswith(str(tmp_path))
    assert found == version.TEMPLATE_VERSION


@pytest.mark.parametrize(
    "name",
    ["book/card_sheet.py", "trade/rates.py", "sheets/shots.toml", "texts/en/book.toml", "texts/es/plan.toml"],
)
def test_a_change_to_any_of_it_is_another_version(name, monkeypatch):
    files = [(each, file.read_bytes()) for each, file in version._counted()]
    assert name in {each for each, _data in files}

    class Held:
        def __init__(self, data):
            self.data = data

        def read_bytes(self):
            return self.data

    def held(changed):
        return [(each, Held(data + b" " * (each == changed))) for each, data in files]

    monkeypatch.setattr(version, "_counted", lambda: held(""))
    assert version.template_version() == version.TEMPLATE_VERSION
    monkeypatch.setattr(version, "_counted", lambda: held(name))
    assert version.template_version() != version.TEMPLATE_VERSION


def test_line_ends_of_another_system_are_no_change(monkeypatch):
    class Crlf:
        def __init__(self, file):
            self.file = file

        def read_bytes(self):
            return self.file.read_bytes().replace(b"\n", b"\r\n")

    files = [(name, Crlf(file)) for name, file in version._counted()]
    monkeypatch.setattr(version, "_counted", lambda: files)
    assert version.template_version() == version.TEMPLATE_VERSION


def test_it_costs_a_start_little():
    version.template_version()
    begun = time.process_time()
    version.template_version()
    assert time.process_time() - begun < 0.05  # 5 ms as measured; a recheck of one book takes some 390
