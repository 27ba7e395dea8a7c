"""The XML of a part: the encodings of XML 1.0 (fourth edition, 4.3.3) that workbooks use, and nothing that declares."""

import pytest

from sheetgen.xlsx import markup
from sheetgen.xlsx.markup import DeclarationError, MalformedError, parse

ROW = "<row a='1'>é</row>"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "iso-8859-1", "windows-1252"])
def test_a_part_is_read_in_the_encoding_that_it_declares(encoding):
    declared = f'<?xml version="1.0" encoding="{encoding.removesuffix("-sig")}"?>{ROW}'
    root = parse(declared.encode(encoding))
    assert (root.tag, root.text, root.get("a")) == ("row", "é", "1")


@pytest.mark.parametrize("data", [
    b"\xff\xfe<", b"row", b"", b'<?xml version="1.0" encoding="utf-7"?><row/>', b"<row>", b"<row/><row/>",
    b"<row a='1' a='2'/>", b'<?xml version="1.0" encoding="utf-8"?><row>\xff</row>',
])  # fmt: skip
def test_what_is_not_well_formed_is_not_read(data):
    with pytest.raises(MalformedError):
        parse(data)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
@pytest.mark.parametrize("declaration", ["<!DOCTYPE row>", '<!DOCTYPE row [<!ENTITY e "x">]>'])
def test_a_declaration_is_refused_in_any_encoding(encoding, declaration):
    with pytest.raises(DeclarationError):
        parse(f"{declaration}<row/>".encode(encoding))


def test_comments_and_instructions_are_left_out():
    root = parse(b"<row><!-- one --><?two three?><c/></row>")
    assert [child.tag for child in root] == ["c"]


@pytest.mark.parametrize(("data", "said"), [
    (b"<row/>", True), (b'<?xml version="1.0" encoding="UTF-8"?><row/>', True), (b'<?xml version="1.0"?><row/>', True),
    (b'<?xml version="1.0" encoding="iso-8859-1"?><row/>', False), ("<row/>".encode("utf-16"), False),
    (b"\xef\xbb\xbf<row/>", False),
])  # fmt: skip
def test_only_what_is_surely_utf_8_is_said_to_be(data, said):
    assert markup.is_utf8(data) is said


def test_the_weight_is_one_for_each_tag_and_attribute():
    assert markup.weight(b"<row a='1' b='2'><c/></row>") == 5
