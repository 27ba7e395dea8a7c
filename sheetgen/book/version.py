"""The version of what a book says and computes: a digest of the code that lays it out and of the data it takes.

Nobody raises it by hand. It changes with every change to that code or data, in any language, be it only a comment:
a book that names another version is compared with what the register kept of it, never with a layout that may differ.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from importlib import resources
from importlib.resources.abc import Traversable

from sheetgen import templates

# Below the package: folders whole, and single modules. tests/book/test_version.py holds that this is all of it.
CODE = (
    "book", "plan", "trade", "order/bounds.py", "order/burners.py", "order/fields.py", "order/heating.py",
    "order/model.py", "order/pay_terms.py", "order/published.py", "order/tank.py", "order/warned.py",
    "order/wheel_paths.py",
    "xlsx/address.py", "xlsx/blocks.py", "xlsx/drawing.py",
    "xlsx/formulas.py", "xlsx/looks.py", "xlsx/model.py", "xlsx/page.py", "xlsx/text_fit.py", "figures.py",
    "columns.py", "ditto_marks.py", "load_kinds.py", "plausibility.py", "shot_kinds.py", "templates.py", "units.py",
)  # fmt: skip
DATA = (
    "sheets",
    "tables",
    "order.toml",
    "order_bounds.toml",
    "same_texts.toml",
    "styles.toml",
)  # below templates_src
TEXTS = (
    "book",
    "order",
    "pay",
    "plan",
    "sources",
    "typed_words",
)  # how the files' names begin, in the folder of every language


def _files(
    folder: Traversable, name: str, starts: tuple[str, ...] = ("",)
) -> Iterator[tuple[str, Traversable]]:
    """The files of one name below a folder, each with its path, in the same order everywhere."""
    place = folder / name
    if place.is_file():
        yield name, place
        return
    for file in sorted(place.iterdir(), key=lambda item: item.name):
        if file.name.startswith(starts) and not file.name.startswith("__pycache__"):
            yield from _files(folder, f"{name}/{file.name}")


def _counted() -> Iterator[tuple[str, Traversable]]:
    """Every file that the version covers."""
    for name in CODE:
        yield from _files(resources.files("sheetgen"), name)
    for name in DATA:
        yield from _files(templates.root(), name)
    for language in sorted(each.name for each in (templates.root() / "texts").iterdir()):
        yield from _files(templates.root(), f"texts/{language}", TEXTS)


def template_version() -> str:
    """Work out the version; twelve hexadecimal digits."""
    digest = hashlib.sha256()
    for name, file in _counted():
        data = file.read_bytes().replace(b"\r\n", b"\n")
        digest.update(f"{name} {len(data)}\n".encode())
        digest.update(data)
    return digest.hexdigest()[:12]


# A returned book names the version it was made with; only a book of the same version can be laid out again.
TEMPLATE_VERSION = template_version()
