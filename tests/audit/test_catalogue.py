"""The catalogue of findings refuses a kind that stands twice or has no severity."""

import pytest

from sheetgen import templates
from sheetgen.audit import findings


@pytest.fixture
def folder(tmp_path, monkeypatch):
    (tmp_path / "findings").mkdir()
    monkeypatch.setattr(templates, "root", lambda: tmp_path)
    _forget()
    yield tmp_path / "findings"
    _forget()


def _forget():
    """A file of templates is read once in a process: the next one of its name is another test's."""
    templates.toml.cache_clear()
    findings.catalogue.cache_clear()


def test_kinds_are_in_the_order_of_files_and_lines(folder):
    (folder / "days.toml").write_text('[late]\nseverity = "note"\n[early]\nseverity = "query"\n', "utf-8")
    (folder / "book.toml").write_text('[torn]\nseverity = "error"\n', "utf-8")
    kinds = findings.catalogue()
    assert [(kind.name, kind.severity, kind.group) for kind in kinds.values()] == [
        ("torn", "error", "book"), ("late", "note", "days"), ("early", "query", "days"),
    ]  # fmt: skip
    assert findings.finding("early", row=3).severity == "query"
    with pytest.raises(KeyError):
        findings.finding("never")


def test_a_kind_that_stands_in_two_groups_is_refused(folder):
    for group in ("book", "days"):
        (folder / f"{group}.toml").write_text('[torn]\nseverity = "error"\n', "utf-8")
    with pytest.raises(ValueError, match="'torn' stands twice"):
        findings.catalogue()


def test_a_kind_of_no_known_severity_is_refused(folder):
    (folder / "book.toml").write_text('[torn]\nseverity = "grave"\n', "utf-8")
    with pytest.raises(ValueError, match="'torn' has no severity"):
        findings.catalogue()
