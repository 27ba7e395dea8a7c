"""What a finding says of an error: whole sentences with the figures in them, at every error that can be planted."""

import re
from pathlib import Path

import pytest

from sheetgen.demo.planted import planted
from sheetgen.demo.planted_errors import PLANTS
from tests.audit.orders import day, findings_of, small
from tests.reference.examples import SHOWN_BY
from tests.reference.findings import shown

ROOT = Path(__file__).parents[2]
BOOKS = {"English": small("us"), "Spanish": small("si", "es")}
PAGES = {
    lang: Path("samples/reference", name) for lang, name in (("en", "findings.md"), ("es", "findings-es.md"))
}
UNSAID = re.compile(r"None|nan\b|\binf\b|[{}]|XX|\bTrue\b|\bFalse\b|\d{7,}\.|\.\d{7,}")
"""What stands where a figure or a word should: nothing, no number, a place left open, digits that nobody reads."""


@pytest.mark.parametrize("language", BOOKS)
@pytest.mark.parametrize("name", PLANTS)
def test_a_finding_leaves_no_figure_out(name, language):
    order = BOOKS[language]
    log, (error,) = planted(day(order, 3), order, order.machines[0], [name])
    findings = findings_of(log, order)
    assert (name, f"{error.column} {error.row + 1}") in {(each.name, each.cell) for each in findings}
    assert {each.name for each in findings} <= {name} | error.also
    for each in findings:
        for part in (each.found, each.expected, each.matters):
            assert not UNSAID.search(part or "")
        assert each.found
        assert each.found != each.expected
        assert each.sheet
        assert each.cell


@pytest.mark.parametrize("lang", PAGES)
@pytest.mark.parametrize("name", SHOWN_BY)
def test_a_finding_says_what_its_example_on_the_page_of_reference_shows(name, lang):
    page = (ROOT / PAGES[lang]).read_text(encoding="utf-8").split("\n")
    assert shown(name, lang) in page, "run python -m tests.reference, and read what changed"
