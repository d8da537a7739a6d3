"""The report as Markdown and as PDF: whole, and with every text shown as it was typed."""

from __future__ import annotations

import io
import re
from functools import cache
from itertools import pairwise

import pypdf
import pytest

from model.record.report.content import document
from model.record.report.markdown import escaped, markdown
from model.record.report.pdf import pdf, quoted, typst_markup
from tests.model.record.reports import (
    FORBIDDEN,
    HOSTILE,
    demo_document,
    demo_plan,
    hostile_document,
    odd_plans,
    without_most_working,
)


def shown(line: str) -> str:
    """A line of Markdown without its escapes (CommonMark 0.31, 2.4)."""
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", line)


def test_markdown_tables_have_as_many_cells_in_every_line():
    lines = markdown(demo_document()).splitlines()
    assert sum(line.startswith(("| -", "| :")) for line in lines) > 10
    width = 0
    for line in lines:
        bars = len(re.findall(r"(?<!\\)\|", line))
        if line.startswith("|"):
            assert bars >= 3 and bars == (width or bars), line
            width = bars
        else:
            assert bars == 0, line
            width = 0


def test_markdown_headings_go_down_one_at_a_time():
    levels = [len(line.split(" ")[0]) for line in markdown(demo_document()).splitlines() if line.startswith("#")]
    assert levels[0] == 1 and levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_markdown_holds_the_figures_and_promises_nothing():
    text = markdown(demo_document())
    for load in demo_plan().demand.loads:
        assert load.name in text
    assert not FORBIDDEN.findall(text)


def test_markdown_shows_hostile_names_as_typed():
    text = markdown(hostile_document())
    assert "<script>" not in text.replace("\\<", "")
    assert sum(HOSTILE in shown(line) for line in text.splitlines()) > 5


@pytest.mark.parametrize(
    ("typed", "written"),
    [("1. first", r"1\. first"), ("- one", r"\- one"), ("36.1 kg", "36.1 kg"), ("-5 °C", "-5 °C"), ("---", r"\---")],
)
def test_what_begins_a_list_or_a_rule_is_escaped_and_nothing_else(typed, written):
    assert escaped(typed) == written


@cache
def pages() -> tuple[bytes, pypdf.PdfReader]:
    content = pdf(without_most_working(demo_document()))
    return content, pypdf.PdfReader(io.BytesIO(content))


@cache
def texts() -> tuple[str, ...]:
    """The text of each page."""
    return tuple(page.extract_text() for page in pages()[1].pages)


def flat(text: str) -> str:
    return "".join(text.split())


def test_the_pdf_has_numbered_pages_with_text():
    content, reader = pages()
    assert content.startswith(b"%PDF-")
    count = len(reader.pages)
    assert count > 3
    for number, text in enumerate(texts(), 1):
        assert f"{number}/{count}" in flat(text), number


@pytest.mark.parametrize(("paper", "size_mm"), [("A4", (210.0, 297.0)), ("Letter", (215.9, 279.4))])
def test_the_pages_have_the_size_of_their_paper(paper, size_mm):
    """ISO 216; ANSI/ASME Y14.1: 8.5 x 11 in. A PDF counts in 1/72 in (ISO 32000-1, 8.3.2.3)."""
    made = demo_document().without(demo_document().all_but(["Loads"]))
    page = pypdf.PdfReader(io.BytesIO(pdf(made, paper))).pages[0]
    assert [float(page.mediabox.width), float(page.mediabox.height)] == pytest.approx(
        [mm / 25.4 * 72 for mm in size_mm], abs=0.01
    )


def test_sections_are_taken_by_their_titles():
    whole = demo_document()
    made = whole.without(whole.all_but(["battery", " LABELS ", "cable schedule"]))
    assert [one.title for one in made.sections] == ["Battery: chemistries side by side", "Papers of the job"]
    assert [one.title for one in made.sections[1].sections] == ["Cable schedule", "Labels"]
    all_papers = whole.without(whole.all_but(["papers of the job"])).sections
    assert all_papers == (whole.section("papers"),)
    with pytest.raises(ValueError, match=r"“labls”; there are: The answers, Loads, .*Labels"):
        whole.all_but(["loads", "labls"])


def test_the_pdf_says_what_the_document_says():
    told = flat("".join(texts()))
    assert flat("Use a day in December") in told
    for load in demo_plan().demand.loads:
        assert flat(load.name) in told
    assert not FORBIDDEN.findall(" ".join(texts()))


def test_the_pdf_repeats_the_heads_of_a_table_that_goes_on():
    assert sum("Howitwasmade" in flat(text) for text in texts()) > 1


def test_the_pdf_embeds_its_fonts():
    """Every font that a page names comes with its file (ISO 32000-1, 9.9)."""
    fonts = [font.get_object() for page in pages()[1].pages for font in page["/Resources"].get("/Font", {}).values()]
    assert fonts
    for font in fonts:
        below = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & below["/FontDescriptor"].get_object().keys()


def test_the_pdf_shows_hostile_names_as_typed():
    reader = pypdf.PdfReader(io.BytesIO(pdf(without_most_working(hostile_document()))))
    told = flat("".join(page.extract_text() for page in reader.pages))
    assert told.count(flat(HOSTILE)) > 3


def test_a_typst_string_ends_where_the_name_ends():
    assert quoted('a"b\\c\n#d') == '"a\\"b\\\\c #d"'
    assert "#eval" not in typst_markup(demo_document()).split("#show: report.with")[1]


def test_the_same_plan_makes_the_same_pdf():
    """No clock goes into it: two exports can be compared."""
    assert pdf(without_most_working(demo_document())) == pages()[0]


@pytest.mark.parametrize("name", odd_plans())
def test_a_design_at_the_edge_is_paper_too(name):
    made = without_most_working(document(odd_plans()[name]))
    assert pdf(made).startswith(b"%PDF-")
    markdown(made).encode()
