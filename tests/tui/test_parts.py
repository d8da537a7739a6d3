"""Lines that break at the dots between their parts."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tests.tui.conftest import WIDE, opened, press, screen_text
from tui.widgets.parts import BETWEEN, broken


def test_a_figure_is_not_parted_from_its_unit() -> None:
    assert broken("average 51.7 W · peak 277 W · surge 559 W", 38) == ["average 51.7 W · peak 277 W", "surge 559 W"]
    assert broken("average 51.7 W · peak 277 W · surge 559 W", 80) == ["average 51.7 W · peak 277 W · surge 559 W"]


def test_a_part_longer_than_a_line_breaks_between_its_words() -> None:
    assert broken("one · a rather long part · two", 10) == ["one", "a rather", "long part", "two"]


@given(st.lists(st.text("abcdefg ", min_size=1, max_size=30), max_size=8), st.integers(1, 40))
def test_no_word_is_lost_and_no_line_is_too_long(parts: list[str], width: int) -> None:
    lines = broken(BETWEEN.join(parts), width)
    assert all(len(line) <= width for line in lines if line.strip())
    assert "".join("".join(lines).replace("·", "").split()) == "".join("".join(parts).split())


async def test_the_day_in_figures_breaks_between_figures() -> None:
    async with opened(size=WIDE) as pilot:
        text = screen_text(pilot.app)
        assert "average 51.7 W · peak 277 W\n" in text and " surge 559 W\n" in text
        await press(pilot, "P")
        assert "space takes the next choice · Esc back" in screen_text(pilot.app)
