"""The map of battery against array as characters, over made-up chances whose lines of equal chance are known exactly."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tui.widgets.map_chart import DASHED, DOTTED, FULL, Field, Line, Mark, Way, boundary, draw_map

X, Y = (0.0, 500.0, 1000.0), (0.0, 300.0, 600.0)
PLANE = [[1 - x / 2000 - y / 1200 for x in X] for y in Y]
"""Bilinear between the points, so a line of equal chance is straight: at 0.5 from (1000 W, 0 Ah) to (0 W, 600 Ah)."""


def dots(lines: list[str], left: int) -> set[tuple[int, int]]:
    """Every braille dot right of the axis, as column and row of dots."""
    bits = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
    return {
        (2 * (column - left) + i, 4 * row + j)
        for row, line in enumerate(lines)
        for column, character in enumerate(line)
        if column >= left and 0x2800 < ord(character) <= 0x28FF
        for i in (0, 1)
        for j in range(4)
        if (ord(character) - 0x2800) & bits[i][j]
    }


def test_a_line_lies_where_its_chance_is_known_to_be():
    """12 rows of 50 Ah and 100 columns of 10 W: a dot is 12.5 Ah and 5 W; x / 1000 + y / 600 = 1 on the line."""
    lines = draw_map(Field(X, Y, PLANE, [Line(0.5, "")]), 104, 13).lines()
    drawn = dots(lines[:12], 4)
    assert {i for i, _ in drawn} >= set(range(2, 199)), "unbroken from the upper to the right edge"
    for i, j in drawn:
        watts, ah = (i + 0.5) * 5, (48 - j - 0.5) * 12.5
        assert abs(watts / 1000 + ah / 600 - 1) <= 12.5 / 600 + 5 / 1000
        assert watts / 1000 + ah / 600 >= 1 - 1e-9, "the line is the edge of what keeps the chance"


def test_the_edge_of_a_field_of_dots():
    values = [[0.9, 0.9, 0.1], [0.9, 0.1, 0.1], [0.1, 0.1, 0.1]]
    assert boundary(values, 0.5) == [(2, 0), (1, 1), (0, 2)]
    assert boundary(values, 0.05) == [] and boundary(values, 0.95) == []
    assert boundary([[None, None], [0.1, 0.1]], 0.5) == [], "beyond the map nothing is known, so no line is drawn there"


def test_each_line_carries_its_words_on_itself_and_its_own_stroke():
    lines = [Line(0.25, "seldom", FULL), Line(0.5, "often", DASHED), Line(0.75, "always", DOTTED)]
    canvas = draw_map(Field(X, Y, PLANE, lines), 104, 21)
    text = canvas.lines()
    for line, (a, b) in zip(lines, ((0.25, 1), (0.5, 1), (0.75, 1)), strict=True):
        row = next(index for index, shown in enumerate(text) if line.words in shown)
        middle = text[row].index(line.words) + len(line.words) / 2
        watts, ah = (middle - 4) * 10, (20 - row - 0.5) * 30
        assert 1 - watts / 2000 - ah / 1200 == pytest.approx(a, abs=0.07 * b), "the words stand on their line"
    count = [
        len(dots(draw_map(Field(X, Y, PLANE, [Line(0.5, "", stroke)]), 104, 21).lines()[:20], 4))
        for stroke in (FULL, DASHED, DOTTED)
    ]
    assert count[0] > count[1] > count[2] > 0, "full, dashed and dotted tell apart without colour"


def test_marks_ways_and_title_stand_at_their_values_in_signs_and_words():
    field = Field(
        X,
        Y,
        PLANE,
        [Line(0.5, "1 day in 2")],
        [Mark(300, 300, "◆", "this design")],
        [Way(300, 300, 300, 420, "+120 Ah"), Way(300, 300, 500, 300, "+200 W")],
        title="120 Ah more or 200 W more would do",
    )
    text = draw_map(field, 104, 22).lines()
    assert text[0].startswith("120 Ah more or 200 W more would do")
    assert "◆ this design" in text[0]
    rows = text[1:21]
    row = next(index for index, line in enumerate(rows) if "◆" in line)
    assert abs((20 - row) * 30 - 300) <= 30 and abs((rows[row].index("◆") - 4) * 10 - 300) <= 10
    assert "▶ +200 W" in rows[row] and abs((rows[row].index("▶") - 4) * 10 - 500) <= 10
    up = next(index for index, line in enumerate(rows) if "▲ +120 Ah" in line)
    assert abs((20 - up) * 30 - 420) <= 30
    assert text[21].rstrip().endswith("1000 W") and "Ah" in text[21]


def test_a_long_title_takes_two_lines_and_loses_no_word():
    title = "At 460 W, 170 Ah more or 120 W more keeps December under 1 empty day in 10"
    text = draw_map(Field(X, Y, PLANE, [], [Mark(1, 1, "◆", "here")], title=title), 60, 14).lines()
    assert " ".join(f"{text[0]} {text[1]}".split()).startswith(title)


def test_values_of_another_shape_are_refused():
    with pytest.raises(ValueError, match="one row of values"):
        draw_map(Field(X, Y, PLANE[:2]), 60, 12)


@given(width=st.integers(0, 130), height=st.integers(0, 40), level=st.floats(0, 1))
def test_a_map_has_exactly_the_size_asked_for(width: int, height: int, level: float) -> None:
    field = Field(
        X, Y, PLANE, [Line(level, "1 day in 10")], [Mark(900, 900, "◆", "x")], [Way(1, 1, 1, 900, "up")], title="t"
    )
    lines = draw_map(field, width, height).lines()
    assert len(lines) == height and {len(line) for line in lines} <= {width}


def test_the_title_breaks_at_its_second_thought_and_the_axis_has_more_than_one_number():
    title = "460 W and 300 Ah keep December under 1 empty day in 10; 240 Ah would do"
    lines = draw_map(Field(X, Y, PLANE, [Line(0.5, "")], title=title), 62, 20).lines()
    assert lines[0].rstrip().endswith("in 10;") and lines[1].startswith("240 Ah would do")
    for top in (610.0, 640.0, 660.0, 690.0):
        for rows in range(8, 30):
            drawn = draw_map(Field(X, (0.0, 300.0, top), PLANE, [Line(0.5, "")]), 78, rows).lines()
            assert sum("▔" in line for line in drawn) > 1, (top, rows)
