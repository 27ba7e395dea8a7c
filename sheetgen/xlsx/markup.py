"""Parsing the XML of a part that a stranger may have written.

No entities, no document type declarations (ECMA-376 part 2, 6.1.4 forbids them in a package), no network, the
parser's own limits on depth and length in force, and a count of marks before parsing, so that memory stays
bounded.
"""

from __future__ import annotations

import re

from lxml import etree

MAX_WEIGHT = 1_200_000  # tags and attributes of one part: a book with 500 shots has about 150,000

_ENCODING = re.compile(rb"""^<\?xml[^>]{0,100}?encoding\s*=\s*["']([A-Za-z0-9._-]{1,40})["']""")
_PLAIN = (b"utf-8", b"utf8", b"us-ascii", b"ascii", b"iso-8859-1", b"windows-1252")
_UTF16 = (b"\xff\xfe", b"\xfe\xff")


class MalformedError(ValueError):
    """Not well-formed XML, or in an encoding that no workbook uses."""


class DeclarationError(ValueError):
    """A document type declaration: the way to entity attacks."""


def weight(data: bytes) -> int:
    """How many tags and attributes there can be at most, counted without parsing."""
    return data.count(b"<") + data.count(b"=")


def parse(data: bytes) -> etree._Element:
    """The root element of data weighed before; one of the errors above where it must not be read."""
    data = _plain(data)
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:
        raise DeclarationError
    parser = etree.XMLParser(
        resolve_entities=False,
        load_dtd=False,
        dtd_validation=False,
        no_network=True,
        huge_tree=False,
        remove_comments=True,
        remove_pis=True,
        recover=False,
    )
    try:
        root = etree.fromstring(data, parser)
    except (etree.XMLSyntaxError, ValueError, AssertionError) as error:
        raise MalformedError(str(error)) from error
    if root.getroottree().docinfo.internalDTD is not None:
        raise DeclarationError
    return root


def _plain(data: bytes) -> bytes:
    """The data in an encoding whose "<" is the byte "<", so that counting and searching cannot be fooled."""
    if data[:2] in _UTF16:
        try:
            text = data.decode("utf-16")
        except UnicodeDecodeError as error:
            raise MalformedError(str(error)) from error
        return re.sub(r"^<\?xml[^>]{0,200}\?>", "", text).encode("utf-8", "replace")
    if not data.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        raise MalformedError(repr(data[:12]))
    declared = _ENCODING.match(data.removeprefix(b"\xef\xbb\xbf"))
    if declared and declared[1].lower() not in _PLAIN:
        raise MalformedError(declared[1].decode("ascii"))
    return data


def attributes(element: etree._Element) -> dict[str, str]:
    """The attributes of an element by name."""
    return {str(name): str(value) for name, value in element.attrib.items()}


def is_utf8(data: bytes) -> bool:
    """Whether the data is UTF-8, by its declaration or for want of one."""
    if data[:2] in _UTF16 or not data.startswith(b"<"):
        return False
    declared = _ENCODING.match(data)
    return declared[1].lower() in (b"utf-8", b"utf8") if declared else b"encoding" not in data[:200]


def space(root: etree._Element) -> str:
    """The namespace of an element in the ``{…}`` form of lxml: transitional and strict files differ in it."""
    tag = root.tag
    return tag[: tag.index("}") + 1] if isinstance(tag, str) and "}" in tag else ""


_ESCAPE = re.compile(r"_x([0-9A-Fa-f]{4})_")


def unescape(text: str) -> str:
    """A text with its ``_xHHHH_`` escapes resolved (ECMA-376 part 1, 22.9.2.19)."""
    return _ESCAPE.sub(_escaped, text) if "_x" in text else text


def _escaped(match: re.Match[str]) -> str:
    code = int(match[1], 16)
    return match[0] if 0xD800 <= code <= 0xDFFF else chr(code)  # half a surrogate pair could not be printed
