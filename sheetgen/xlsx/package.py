"""The package of a returned file: a zip of named parts (ECMA-376 part 2), read in memory.

Nothing is ever unpacked to disk and the file is never written. The limits are far above any field book and
far below what would hurt the machine.
"""

from __future__ import annotations

import hashlib
import io
import posixpath
import stat
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path

from lxml import etree

from sheetgen.xlsx import markup
from sheetgen.xlsx.unusable import beyond, unusable

MEGABYTE = 2**20
MAX_FILE = 32 * MEGABYTE
MAX_PART = 32 * MEGABYTE
MAX_UNPACKED = 128 * MEGABYTE
MAX_ENTRIES = 2_000
MAX_RATIO = 200  # of a part over 1 MB; sheets of formulas reach about 30
MAX_MARKUP = 3_000_000  # marks of all parts read
MAX_FORMULAS = 50_000_000  # characters of formulas, shared ones written out: the largest book has 24 million
MAX_REFERENCES = 800_000  # in shared formulas written out: the largest book has 400,000 in all

COMPOUND_FILE = (
    b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"  # [MS-CFB] 2.2: encrypted workbooks and the old binary formats
)
DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    OSError,
    ValueError,
    OverflowError,
    NotImplementedError,
    RuntimeError,
)


@dataclass(frozen=True, slots=True)
class Relationship:
    """One relationship: ``kind`` is the last word of its type, ``target`` a part or, outside, an address."""

    id: str
    kind: str
    target: str
    outside: bool


class Package:
    """The parts of one file.

    Attributes:
        path: the file, as the person named it
        sha256: of the whole file
        parts: the parts' names as the file has them
    """

    def __init__(self, path: str, data: bytes, archive: zipfile.ZipFile) -> None:
        self.path = path
        self.sha256 = hashlib.sha256(data).hexdigest()
        self._archive = archive
        self._parts = {info.filename.lower(): info for info in archive.infolist()}
        self.parts = tuple(info.filename for info in archive.infolist())
        self._markup_left = MAX_MARKUP
        self._formulas_left = MAX_FORMULAS
        self._references_left = MAX_REFERENCES
        self._bytes_left = 2 * MAX_UNPACKED  # a part that many lead to is unpacked for each of them

    def has(self, part: str) -> bool:
        """Whether there is a part of that name; case does not matter (ECMA-376 part 2, 6.2.2.3)."""
        return part.lower() in self._parts

    def read(self, part: str) -> bytes:
        """The bytes of a part; :class:`UnusableBook` where it is missing or damaged."""
        info = self._parts.get(part.lower())
        if info is None:
            raise unusable(self.path, "part-missing", part=part)
        self._bytes_left -= info.file_size
        if self._bytes_left < 0:
            raise beyond(self.path, "parts", 2 * MAX_UNPACKED // MEGABYTE)
        try:
            return self._archive.read(info)
        except DAMAGE as error:
            raise unusable(self.path, "part-damaged", part=part) from error

    def fingerprint(self, part: str) -> str:
        """What the file's own list says of a part's bytes, so that two parts can be compared without being unpacked."""
        info = self._parts.get(part.lower())
        return "" if info is None else f"{info.CRC:08x}-{info.file_size}"

    def read_as_it_is(self, part: str) -> bytes:
        """The bytes of a part that nothing is read from, as far as they can be had where it is damaged."""
        data = io.BytesIO()
        try:
            with self._archive.open(self._parts[part.lower()]) as file:
                while block := file.read(65_536):
                    data.write(block)
        except DAMAGE:  # such as a wrong checksum: what came before it is all there is
            pass
        return data.getvalue()

    def xml(self, part: str) -> etree._Element:
        """The root element of a part, parsed with everything dangerous off."""
        data = self.read(part)
        self.weigh(part, data)
        return self.parsed(part, data)

    def weigh(self, part: str, data: bytes) -> None:
        """Takes a part into the account of what is read; :class:`UnusableBook` where that grows absurd."""
        weight = markup.weight(data)
        self._markup_left -= weight
        if weight > markup.MAX_WEIGHT:
            raise beyond(self.path, "markup", f"{markup.MAX_WEIGHT:,}", part=part)
        if self._markup_left < 0:
            raise beyond(self.path, "markup", f"{MAX_MARKUP:,}", part=part)

    def weigh_formula(self, characters: int, references: int = 0) -> None:
        """Takes a formula into account; :class:`UnusableBook` where there are absurdly many or long ones."""
        self._formulas_left -= characters
        self._references_left -= references
        if self._formulas_left < 0 or self._references_left < 0:
            raise beyond(self.path, "formulas", f"{MAX_FORMULAS:,}")

    def parsed(self, part: str, data: bytes) -> etree._Element:
        """The root element of data that was read from a part and weighed."""
        try:
            return markup.parse(data)
        except markup.DeclarationError as error:
            raise unusable(self.path, "declaration", part=part) from error
        except markup.MalformedError as error:
            raise unusable(self.path, "part-damaged", part=part) from error

    def relationships(self, part: str) -> list[Relationship]:
        """What a part points to; the package as a whole where ``part`` is empty."""
        folder, name = posixpath.split(part)
        source = posixpath.join(folder, "_rels", f"{name}.rels")
        if not self.has(source):
            return []
        found = []
        for item in self.xml(source):
            kind = item.get("Type", "").rsplit("/", 1)[-1]
            target, outside = item.get("Target", ""), item.get("TargetMode") == "External"
            if not outside:
                target = posixpath.normpath(posixpath.join("/", folder, target)).lstrip("/")
            found.append(Relationship(item.get("Id", ""), kind, target, outside))
        return found

    def content_types(self) -> dict[str, str]:
        """The declared content type of each part, by its name in small letters."""
        defaults, types = {}, {}
        for item in self.xml("[Content_Types].xml"):
            what = item.get("ContentType", "").lower()
            if "Extension" in item.attrib:
                defaults[item.get("Extension", "").lower()] = what
            else:
                types[item.get("PartName", "").lstrip("/").lower()] = what
        for name in self._parts:
            types.setdefault(name, defaults.get(name.rsplit(".", 1)[-1], ""))
        return types


def open_package(path: str | Path) -> Package:
    """The package of an .xlsx file; :class:`UnusableBook` for everything that is not one."""
    name = str(path)
    data = file_bytes(name)
    if not data.startswith(b"PK"):
        raise _not_a_zip(name, data)
    if data.count(b"PK\x01\x02") > MAX_ENTRIES:  # before zipfile makes an object of each
        raise beyond(name, "entries", f"{MAX_ENTRIES:,}")
    try:
        archive = zipfile.ZipFile(io.BytesIO(data))
    except DAMAGE as error:
        raise unusable(name, "truncated") from error
    _check_entries(name, archive.infolist())
    package = Package(name, data, archive)
    _check_product(package)
    return package


def file_bytes(name: str, expected: str = "workbook", missing: str = "missing") -> bytes:
    """Read a whole file that a stranger may have given; ``expected`` and ``missing`` are keys below ``unusable``."""
    try:
        facts = Path(name).stat()
        if not stat.S_ISREG(facts.st_mode):  # a pipe or a device could be waited for forever
            raise unusable(name, "not-a-file", expected)
        if facts.st_size > MAX_FILE:
            size = f"{facts.st_size / MEGABYTE:,.0f} MB"
            raise beyond(name, "file", MAX_FILE // MEGABYTE, "too-large", size=size)
        data = Path(name).read_bytes()
    except FileNotFoundError as error:
        raise unusable(name, missing, expected) from error
    except (OSError, ValueError) as error:  # ValueError: a zero byte in the name
        reason = getattr(error, "strerror", None) or error
        raise unusable(name, "unreadable", expected, reason=reason) from error
    if not data:
        raise unusable(name, "empty", expected)
    return data


def _not_a_zip(name: str, data: bytes) -> Exception:
    if data.startswith(COMPOUND_FILE):
        if "EncryptedPackage".encode("utf-16-le") in data:  # [MS-OFFCRYPTO] 2.3.4.4
            return unusable(name, "password", "workbook")
        streams = ("Workbook", "Book")  # [MS-XLS] 2.1.2
        old = any(stream.encode("utf-16-le") in data for stream in streams)
        return unusable(name, "xls" if old else "compound", "workbook")
    if data[:2] == b"\x09\x08":  # [MS-XLS] 2.4.21: a bare BIFF stream begins with its BOF record
        return unusable(name, "xls", "workbook")
    return unusable(name, "not-a-workbook", "workbook", start=data[:12].decode("ascii", "replace"))


def _check_entries(name: str, entries: list[zipfile.ZipInfo]) -> None:
    seen: set[str] = set()
    total = 0
    for entry in entries:
        part = entry.filename
        if (
            part.startswith("/")
            or "\\" in part
            or ":" in part
            or ".." in part.split("/")
            or not part.isprintable()
        ):
            raise unusable(name, "part-name", part=part)
        if part.lower() in seen:
            raise unusable(name, "part-twice", part=part)
        seen.add(part.lower())
        if entry.flag_bits & 0x1:
            raise unusable(name, "zip-password", part=part)
        if entry.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise unusable(name, "zip-method", part=part)
        packed = entry.file_size > MEGABYTE and entry.file_size > MAX_RATIO * max(entry.compress_size, 1)
        if packed or entry.file_size > MAX_PART:
            raise unusable(name, "packed", part=part)
        total += entry.file_size
    if total > MAX_UNPACKED:
        raise beyond(name, "parts", MAX_UNPACKED // MEGABYTE)


def _check_product(package: Package) -> None:
    if package.has("mimetype") and b"opendocument" in package.read("mimetype")[:200]:
        raise unusable(package.path, "ods", "workbook")
    if not package.has("[Content_Types].xml"):
        raise unusable(package.path, "zip", "workbook")
    main = [item for item in package.relationships("") if item.kind == "officeDocument"]
    if not main:
        raise unusable(package.path, "part-missing", part="_rels/.rels")
    kind = package.content_types().get(main[0].target.lower(), "")
    if "sheet.binary" in kind:
        raise unusable(package.path, "xlsb", "workbook")
    known = ("spreadsheetml", "ms-excel")
    if kind and not any(word in kind for word in known) and kind not in ("application/xml", "text/xml"):
        raise unusable(package.path, "other-document", "workbook")
