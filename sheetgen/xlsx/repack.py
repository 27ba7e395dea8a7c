"""A file with some of its parts replaced: every other part stays as it came."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping

from lxml import etree

from sheetgen.xlsx.markup import space
from sheetgen.xlsx.package import Package

_DATED = (1980, 1, 1, 0, 0, 0)  # the earliest that a zip holds: the same bytes every time


def main_part(package: Package) -> str:
    """Give the name of the workbook's own part."""
    return next(link.target for link in package.relationships("") if link.kind == "officeDocument")


def worksheet_parts(package: Package) -> dict[str, str]:
    """Give the part of each worksheet by its name, in the order of the tabs."""
    main = main_part(package)
    targets = {link.id: link for link in package.relationships(main)}
    root = package.xml(main)
    found = {}
    for entry in root.iterfind(f"{space(root)}sheets/{space(root)}sheet"):
        link = targets[next(str(value) for key, value in entry.attrib.items() if str(key).endswith("}id"))]
        if link.kind == "worksheet":
            found[entry.get("name", "")] = link.target
    return found


def part_bytes(root: etree._Element) -> bytes:
    """Give a part as it is written."""
    return etree.tostring(root, xml_declaration=True, encoding="UTF-8", standalone=True)


def repacked(package: Package, new: Mapping[str, bytes]) -> bytes:
    """Give a file of the parts of another one, some replaced, and new ones; the same bytes every time."""
    file = io.BytesIO()
    names = [*package.parts, *(name for name in new if not package.has(name))]
    by_small_name = {name.lower(): data for name, data in new.items()}
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name in names:
            if not name.endswith("/"):
                data = by_small_name.get(name.lower())
                archive.writestr(
                    zipfile.ZipInfo(name, _DATED),
                    package.read_as_it_is(name) if data is None else data,
                    zipfile.ZIP_DEFLATED,
                )
    return file.getvalue()
