"""What lies around the cells, and looks that hide what is in them: each change in a real book is named at its place."""

from __future__ import annotations

import re
import zipfile

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.drawing.image import Image
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.colors import COLOR_INDEX, Color
from openpyxl.workbook.protection import WorkbookProtection

from sheetgen.audit.proof.around import page_text
from sheetgen.audit.run import recheck_book
from sheetgen.book.build import write_filled
from sheetgen.xlsx.colors import BLACK, WHITE, color, contrast, theme_colors
from sheetgen.xlsx.pictures import code_image
from tests.audit.orders import day, small

ORDER = small("us")
TOTAL, ENTRY = "F18", "L7"  # a result of the sheet of totals, an entry of the shot log
OF_OPENPYXL = {"results-not-in-file"}  # it saves no results of formulas


@pytest.fixture(scope="module")
def honest(tmp_path_factory):
    path = tmp_path_factory.mktemp("around") / "honest.xlsx"
    write_filled(ORDER, ORDER.machines[0], day(ORDER), path)
    return path


@pytest.fixture
def found(honest, tmp_path):
    """Change the book with openpyxl; give the findings that this makes."""

    def after(change):
        book = openpyxl.load_workbook(honest)
        change(book)
        book.save(tmp_path / "changed.xlsx")
        every = recheck_book(tmp_path / "changed.xlsx").findings
        return [(one.name, one.place) for one in every if one.name not in OF_OPENPYXL]

    return after


def with_part(honest, path, part, pattern, text):
    """The book with one piece of one part written otherwise."""
    with zipfile.ZipFile(honest) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name == part:
                changed, count = re.subn(pattern, text, data.decode(), flags=re.S)
                assert count, f"{part} has no {pattern}"
                data = changed.encode()
            new.writestr(name, data)
    return path


def part_of(honest, sheet):
    named = re.findall(r'<sheet name="([^"]+)"', zipfile.ZipFile(honest).read("xl/workbook.xml").decode())
    return f"xl/worksheets/sheet{named.index(sheet) + 1}.xml"


def names(path):
    return [(one.name, one.place) for one in recheck_book(path).findings]


def test_an_honest_book_has_none_of_these(honest, found):
    assert names(honest) == []
    assert found(lambda book: None) == []


# Comments and links


def test_a_comment_on_a_result_is_asked_about_and_one_on_an_entry_is_noted(found):
    def comment(book):
        book["Totals"][TOTAL].comment = Comment("Approved: pay 1,400 gal", "someone")
        book["Shots"][ENTRY].comment = Comment("stick was wet", "crew")
        book["Shots"]["L8"].comment = Comment("again", "crew")

    assert sorted(found(comment)) == [
        ("comment-on-entry", f"Shots!{ENTRY}"), ("comment-on-locked-cell", f"Totals!{TOTAL}"),
    ]  # fmt: skip


def test_comments_of_a_sheet_are_one_finding_with_their_words(honest, tmp_path):
    book = openpyxl.load_workbook(honest)
    for row in range(6, 9):
        book["Shots"][f"L{row}"].comment = Comment(f"wet {row}", "crew")
    book.save(tmp_path / "a.xlsx")
    [one] = [each for each in recheck_book(tmp_path / "a.xlsx").findings if "comment" in each.name]
    assert (one.severity, one.found) == ("note", "L6: wet 6; L7: wet 7; L8: wet 8")


def test_a_link_out_of_the_book_is_named(found):
    def link(book):
        book["Totals"][TOTAL].hyperlink = "https://example.com/other-totals"

    assert found(link) == [("link-added", f"Totals!{TOTAL}")]


def test_an_issued_link_that_leads_elsewhere_is_named(found):
    def lead(book):
        linked = next(cell for row in book["Names"] for cell in row if cell.hyperlink)
        linked.hyperlink.location = "Totals!A1"

    assert [name for name, _ in found(lead)] == ["link-added"]


def test_an_address_typed_as_a_remark_may_be_a_link(found):
    def typed(book):
        cell = next(each for each in book["Shots"][7] if not each.protection.locked and each.value is None)
        cell.value, cell.hyperlink = "office@example.com", "mailto:office@example.com"

    assert "link-added" not in {name for name, _ in found(typed)}


# Drawings


def test_a_picture_put_over_results_is_named_at_its_place(found, tmp_path):
    (tmp_path / "x.png").write_bytes(code_image("pay"))
    assert found(lambda book: book["Totals"].add_image(Image(str(tmp_path / "x.png")), "C9")) == [
        ("drawing-changed", "Totals!C9")
    ]


def test_another_picture_in_the_place_of_a_code_is_named(found, tmp_path):
    (tmp_path / "x.png").write_bytes(code_image("pay"))

    def swap(book):
        old = book["Shots"]._images[0]
        new = Image(str(tmp_path / "x.png"))
        new.anchor = old.anchor
        book["Shots"]._images[0] = new

    assert {name for name, _ in found(swap)} == {"drawing-changed"}


def test_a_picture_taken_away_is_missed_and_all_of_them_are_a_note(found):
    assert [name for name, _ in found(lambda book: book["Shots"]._images.clear())] == ["drawing-changed"]

    def all_of_them(book):
        for sheet in book:
            sheet._images.clear()

    assert found(all_of_them) == [("locking-dropped-by-program", "")]


def test_a_chart_of_other_cells_is_named(honest, tmp_path):
    part = next(
        name
        for name in zipfile.ZipFile(honest).namelist()
        if "/charts/chart" in name and b"Charts!$O$5" in zipfile.ZipFile(honest).read(name)
    )
    for number, other in enumerate(("$P$5:$P", "$A$5:$A")):  # a line drawn twice in place of two, other cells
        path = with_part(honest, tmp_path / f"a{number}.xlsx", part, r"Charts!\$O\$5:\$O", f"Charts!{other}")
        assert {name for name, _ in names(path)} == {"drawing-changed"}
    path = with_part(honest, tmp_path / "c.xlsx", part, r"<a:t>[^<]*</a:t>", "<a:t>Approved</a:t>")
    assert {name for name, _ in names(path)} == {"drawing-changed"}


def test_a_chart_that_lost_a_line_is_named(honest, tmp_path):
    parts = [name for name in zipfile.ZipFile(honest).namelist() if "/charts/chart" in name]
    for number, part in enumerate(parts):
        path = with_part(
            honest, tmp_path / f"{number}.xlsx", part, r"(?s)<c:ser>(?:(?!</c:ser>).)*</c:ser>", ""
        )
        assert {name for name, _ in names(path)} == {"drawing-changed"}, part


def test_lines_that_several_charts_of_a_sheet_lost_are_a_note(honest, tmp_path):
    lost, path = r"(?s)<c:ser>(?:(?!</c:ser>).)*</c:ser>(?=.*<c:ser>)", honest  # all but the last
    for number in (1, 2):
        path = with_part(path, tmp_path / f"{number}.xlsx", f"xl/charts/chart{number}.xml", lost, "")
    [one] = recheck_book(path).findings
    assert (one.name, one.severity) == ("locking-dropped-by-program", "note")
    assert "lines of charts" in one.found


def test_a_text_box_is_named_with_its_text(honest, tmp_path):
    part = "xl/drawings/drawing1.xml"
    box = (
        "<xdr:twoCellAnchor><xdr:from><xdr:col>1</xdr:col><xdr:colOff>0</xdr:colOff><xdr:row>4</xdr:row>"
        "<xdr:rowOff>0</xdr:rowOff></xdr:from><xdr:sp><xdr:txBody><a:p><a:r><a:t>Pay 1,400</a:t></a:r></a:p>"
        "</xdr:txBody></xdr:sp><xdr:clientData/></xdr:twoCellAnchor></xdr:wsDr>"
    )
    path = with_part(honest, tmp_path / "a.xlsx", part, "</xdr:wsDr>", box)
    [one] = recheck_book(path).findings
    assert (one.name, one.cell) == ("drawing-changed", "B5")
    assert "Pay 1,400" in one.found


def test_a_damaged_drawing_is_no_reason_to_refuse_the_book(honest, tmp_path):
    path = with_part(honest, tmp_path / "a.xlsx", "xl/drawings/drawing1.xml", "<xdr:wsDr", "<xdr:wsDr <")
    assert [name for name, _ in names(path)] == ["drawing-changed"]


# What pages print


def test_a_header_or_another_footer_is_named(found):
    def header(book):
        book["Totals"].oddHeader.center.text = "Approved"
        book["Job"].oddFooter.left.text = "DEMO-0002"

    assert sorted(found(header)) == [("page-text-changed", "Job"), ("page-text-changed", "Totals")]


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        ("&L&8 JOB-1\n Unit A&C&8&A&R&8book 1\npage &P of &N", "JOB-1 Unit A | &A | book 1 page &P of &N"),
        ('&L&"Arial,Bold"&8 JOB-1&R&K0000FFbook&B 1', "JOB-1 | book 1"),
        ("in the middle", "in the middle"),
        ("&8&C", ""),
    ],
)
def test_the_words_of_a_footer_are_told_from_their_look(raw, words):
    assert page_text(raw) == words


def test_a_print_area_that_leaves_out_totals_is_a_note(found):
    assert found(lambda book: setattr(book["Totals"], "print_area", "A1:B4")) == [
        ("print-area-cut", "Totals!A5")
    ]


# Looks that hide


@pytest.mark.parametrize(
    "look",
    [
        {"font": Font(color="FFFFFFFF")},
        {"font": Font(color=Color(theme=0))},  # the theme's white
        {"font": Font(color=Color(indexed=9))},
        {"font": Font(color=Color(theme=1, tint=0.97))},  # black, nearly all of it made white
        {"fill": PatternFill("solid", fgColor="FF101010")},
        {"font": Font(sz=1)},
    ],
)
def test_a_result_that_cannot_be_seen_is_named(found, look):
    def hide(book):
        for part, style in look.items():
            setattr(book["Totals"][TOTAL], part, style)

    assert found(hide) == [("look-hides-content", f"Totals!{TOTAL}")]


def test_cells_that_cannot_be_seen_are_one_finding_for_a_sheet(honest, tmp_path):
    book = openpyxl.load_workbook(honest)
    for row in range(6, 9):
        for column in "LM":
            book["Shots"][f"{column}{row}"].font = Font(color="FFFFFFFF")
    book.save(tmp_path / "a.xlsx")
    [one] = [each for each in recheck_book(tmp_path / "a.xlsx").findings if each.severity != "note"]
    assert (one.name, one.cell) == ("look-hides-content", "L6")
    assert one.found.startswith("L6:M8: ")


def test_a_look_that_can_be_read_and_a_blank_cell_are_no_finding(found):
    def color_in(book):
        book["Shots"][ENTRY].font = Font(color="FFC00000")
        book["Shots"][ENTRY].fill = PatternFill("solid", fgColor="FFFFFF00")
        book["Shots"]["L20"].font = Font(color="FFFFFFFF")

    assert found(color_in) == []


@pytest.mark.parametrize(
    ("number_format", "names"),
    [
        *((number_format, ["entry-shown-as-another"]) for number_format in ('"18.5"', ";;;", '"1"0', "0.0,")),
        *(
            (number_format, [])
            for number_format in ("0.00", "0%", "# ?/?", "yyyy-mm-dd", "#,##0.00 [$€-C0A]")
        ),
    ],
)
def test_an_entry_that_is_shown_as_another_number_is_named(found, number_format, names):
    def dress(book):
        book["Shots"][ENTRY].number_format = number_format

    assert [name for name, _ in found(dress)] == names


def test_a_row_or_column_too_small_to_read_counts_as_hidden(found):
    def shrink(book):
        book["Shots"].row_dimensions[9].height = 0.6
        book["Totals"].column_dimensions["C"].width = 0.1

    assert sorted(found(shrink)) == [("columns-hidden", "Totals!C1"), ("rows-hidden", "Shots!A9")]


def test_rows_low_by_the_sheets_own_height_count_as_hidden(honest, tmp_path):
    part, low = part_of(honest, "Totals"), '<sheetFormatPr defaultRowHeight="0.5" customHeight="1"'
    path = with_part(honest, tmp_path / "a.xlsx", part, r'<sheetFormatPr defaultRowHeight="[^"]*"', low)
    assert ("rows-hidden", "Totals!A5") in names(path)


def test_rules_whose_looks_were_emptied_are_missed(honest, tmp_path):
    path = with_part(honest, tmp_path / "a.xlsx", "xl/styles.xml", r"<dxf>.*?</dxf>", "<dxf/>")
    found = names(path)
    assert {name for name, _ in found} == {"mark-removed"}
    assert len({place.partition("!")[0] for _, place in found}) == len(found)  # one for a sheet


# Passwords


def test_passwords_and_a_locked_structure_are_one_finding(found):
    def lock(book):
        book["Totals"].protection.password = book["Job"].protection.password = "abcd"
        book.security = WorkbookProtection(workbookPassword="abcd", lockStructure=True)

    assert found(lock) == [("password-added", "")]
    assert found(lambda book: setattr(book["Totals"].protection, "password", "abcd")) == [
        ("password-added", "Totals")
    ]


# Colours


def test_numbered_colours_are_those_of_the_standard():
    # ECMA-376 part 1, 18.8.27, as openpyxl has them
    from lxml import etree

    for number, expected in enumerate(COLOR_INDEX[:64]):
        item = etree.Element("color", indexed=str(number))
        assert color(item, theme_colors(None), BLACK) == expected[-6:].upper(), number


@pytest.mark.parametrize(
    ("text", "ground", "ratio"),
    [
        (BLACK, WHITE, 21.0),  # WCAG 2.2, definition of contrast ratio: from 1 to 21 (seen)
        (WHITE, WHITE, 1.0),
        ("767676", WHITE, 4.54),  # the lightest grey that passes 4.5 on white (from memory)
    ],
)
def test_contrast_is_that_of_the_standard(text, ground, ratio):
    assert contrast(text, ground) == pytest.approx(ratio, abs=0.005)
    assert contrast(ground, text) == contrast(text, ground)
