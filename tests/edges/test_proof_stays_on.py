"""Nothing that is written into a book switches its proof off, and no secret of the office is shown."""

from __future__ import annotations

import base64
from functools import cache

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from sheetgen.audit.report.verdict import conclusion_facts
from sheetgen.audit.run import recheck_book
from sheetgen.book.layout import lay_out
from sheetgen.book.record import identity, signed_message
from sheetgen.demo.day import honest_day
from sheetgen.errors import KeyFileError
from sheetgen.signing import public_text, read_public_text, sign
from sheetgen.templates import texts
from sheetgen.xlsx.address import a1
from sheetgen.xlsx.write import write_book
from tests.audit.orders import small

ORDER = small()
MACHINE = ORDER.machines[0]
OFFICE = Ed25519PrivateKey.from_private_bytes(bytes([7] * 32))  # of no office: every run has the same


@cache
def log():
    return honest_day(ORDER, MACHINE, seed=2)


def book(signed=True):
    """An honest day's book."""
    signer = (lambda message: (public_text(OFFICE), sign(OFFICE, message))) if signed else None
    return lay_out(ORDER, MACHINE, log(), signer)


def with_line(made, **lines):
    """Lines of its record changed."""
    kept = made.sheet("record")
    for key, value in lines.items():
        row = next(row for (row, col), cell in kept.cells.items() if col == 0 and cell.value == key)
        kept.cells[row, 1] = kept.cells[row, 1]._replace(value=value)
    return made


def with_value_over_formula(made):
    """A number where the first shot's hot volume was computed."""
    place, shots = made.tables["shots"], made.sheet("shots")
    at = (place.first_row, place.columns["hot"])
    shots.cells[at] = shots.cells[at]._replace(formula=None, value=999.0)
    return made


def rechecked(made, path, key=None):
    result = recheck_book(write_book(made, path / "back.xlsx"), public_key=key and public_text(key))
    return result, {finding.name for finding in result.findings if finding.severity == "error"}


@pytest.mark.parametrize("signed", [True, False])
@pytest.mark.parametrize("identity_too", [True, False])
def test_a_changed_version_line_hides_no_changed_formula(tmp_path, signed, identity_too):
    lines = {"template": "v0.12345678"} | ({"identity": "0000-0000-0000"} if identity_too else {})
    made = with_line(with_value_over_formula(book(signed)), **lines)
    _result, errors = rechecked(made, tmp_path, OFFICE)
    assert "value-differs-from-recheck" in errors
    assert ("carried-order-altered" if signed else "book-not-signed") in errors
    if signed or not identity_too:  # else nothing tells it from a book of another version
        assert "formula-replaced-by-value" in errors


def test_values_of_a_book_of_another_version_are_compared(tmp_path):
    made = book(signed=False)
    version = "0.12345678"
    message = signed_message(ORDER.canonical(), MACHINE.name, version)
    lines = {
        "template": f"v{version}", "identity": identity(ORDER, MACHINE, version),
        "public-key": public_text(OFFICE), "signature": sign(OFFICE, message),
    }  # fmt: skip
    honest, errors = rechecked(with_line(made, **lines), tmp_path, OFFICE)
    assert (honest.origin, errors) == ("unknown-version", {"unknown-template-version"})
    assert honest.book_values
    _result, errors = rechecked(with_value_over_formula(made), tmp_path, OFFICE)
    assert "value-differs-from-recheck" in errors


def test_values_under_other_headings_are_not_compared(tmp_path):
    made = with_line(book(signed=False), template="v0.1", identity="0000-0000-0000")
    place, shots = made.tables["shots"], made.sheet("shots")
    for (row, column), cell in list(shots.cells.items()):
        if row < place.first_row and column == place.columns["hot"] and isinstance(cell.value, str):
            shots.cells[row, column] = cell._replace(value="Another heading")
    result, _errors = rechecked(with_value_over_formula(made), tmp_path)
    assert ("shots", 0, "hot") not in result.book_values
    assert ("shots", 0, "base") in result.book_values
    assert a1(place.first_row, place.columns["hot"]) not in {each.cell for each in result.findings}


def test_with_the_offices_key_a_book_without_signature_is_an_error(tmp_path):
    _result, errors = rechecked(book(signed=False), tmp_path, OFFICE)
    assert errors == {"book-not-signed"}


@pytest.mark.parametrize("signed", [True, False])
def test_a_book_without_objection_is_not_called_so_where_its_origin_was_not_checked(tmp_path, signed):
    made = book(signed)
    result, _errors = rechecked(made, tmp_path)
    assert "ORIGIN NOT CHECKED" in conclusion_facts(result).headline
    own = recheck_book(tmp_path / "back.xlsx", order=ORDER)
    assert "ORIGIN" not in conclusion_facts(own).headline
    result, errors = rechecked(made, tmp_path, OFFICE)
    assert ("ORIGIN" in conclusion_facts(result).headline, bool(errors)) == (False, not signed)


def test_a_private_key_given_for_the_public_one_is_not_shown():
    pem = OFFICE.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    ).decode()
    bare = "".join(pem.splitlines()[1:-1])
    for given in (pem, bare, f"  {bare}\n", base64.b64encode(bytes([7] * 32)).decode()):
        with pytest.raises(KeyFileError) as caught:
            read_public_text(given)
        assert bare[-40:] not in str(caught.value)
        assert given.strip()[-20:] not in str(caught.value)
    with pytest.raises(KeyFileError) as caught:
        read_public_text(pem)
    assert str(caught.value) == texts("en")["keys.private_given"]
