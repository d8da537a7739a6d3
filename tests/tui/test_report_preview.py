"""How the report reads on the screen: no line is wider than its room, and no word of the document is lost."""

from __future__ import annotations

import re

import pytest
from rich.cells import cell_len

from model.record.report.document import Column, Section, Table, text
from model.record.report.markdown import markdown
from tests.model.record.reports import demo_document, hostile_document
from tui.screens.report_preview import preview, wrapped

SIGNS = re.compile(r"[^\w°²±]+")


def letters(words: str) -> str:
    return "".join(words.split())


@pytest.mark.parametrize("width", [24, 46, 78, 120])
def test_no_line_is_wider_than_its_room(width):
    for document in (demo_document(), hostile_document()):
        for section in document.sections:
            lines = [line for line, _ in preview(section, width)]
            assert max(cell_len(line) for line in lines) <= width
            assert letters(section.title) in letters("".join(lines))


@pytest.mark.parametrize("anchor", ["answers", "sun", "battery", "papers", "keep-in-mind"])
@pytest.mark.parametrize("width", [46, 110])
def test_no_word_of_the_file_is_lost(anchor, width):
    """The words of the Markdown that is written, wherever they stand on the screen; long ones may be broken over lines."""
    section = demo_document().section(anchor)
    shown = [line for line, _ in preview(section, width)]
    told = {word for line in shown for word in SIGNS.sub(" ", line).split()}
    others = {one.anchor for one in demo_document().sections} - {anchor}
    lines = markdown(demo_document().without(others)).splitlines()[4:]  # below title and subtitle
    words = {word for line in lines for word in SIGNS.sub(" ", line).split()}
    assert len(words) > 80
    assert {word for word in words - told if len(word) <= 12} == set()


def test_figures_stand_to_the_right_and_totals_are_marked():
    rows = tuple((text(name), text(value)) for name, value in (("one", "7"), ("twenty", "1200"), ("Total", "1207")))
    table = Table("Sums", (Column("What"), Column("Wh", number=True)), rows, total=True)
    lines = list(preview(Section("S", "s", (table,)), 40))
    assert [line for line, _ in lines[2:7]] == ["Sums", "What      Wh", "one        7", "twenty  1200", "Total   1207"]
    assert lines[6][1] == "bold" and lines[3][1] == "underline"


def test_a_table_without_room_is_told_row_by_row():
    heads = ("Cable", "From", "To", "Conductor", "Make")
    rows = (tuple(text(word) for word in ("L1-1", "fuse panel", "dimmer", "0.75 mm2", "")),)
    lines = [line for line, _ in preview(Section("S", "s", (Table("C", tuple(map(Column, heads)), rows),)), 30)]
    assert lines[3:8] == [
        "Cable · From · To · Conductor",
        "· Make",
        "L1-1",
        "  From: fuse panel · To:",
        "  dimmer · Conductor: 0.75 mm2",
    ]


def test_wrapping_counts_wide_letters_twice_and_breaks_what_has_no_space():
    assert wrapped("湿地 の 鳥", 5) == ["湿地", "の 鳥"]
    assert wrapped("湿地の鳥", 5) == ["湿地", "の鳥"]
    assert wrapped("", 5) == [""]
    assert "".join(wrapped("x" * 23, 10)) == "x" * 23
