"""The plots as characters: what a person without colours sees. Goldens were looked at as pictures before they were kept."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from textual.app import App, ComposeResult

from tui.display import progress
from tui.widgets.canvas import EIGHTHS, Canvas, Scale, number, words
from tui.widgets.day_chart import DayChart, draw_day
from tui.widgets.roof_plan import Area, RoofPlan, draw_roof
from tui.widgets.year_chart import MONTHS, Year, YearChart, draw_year

LOAD_W = [20] * 6 + [25, 60, 40, 30, 30, 35, 60, 40, 30, 30, 30, 60, 150, 212, 180, 90, 45, 22]
SUN_W = [0] * 8 + [20, 90, 160, 210, 230, 225, 180, 120, 40] + [0] * 7
TYPICAL = [2.4, 3.2, 4.5, 5.6, 6.7, 7.5, 7.6, 6.7, 5.3, 3.7, 2.6, 2.1]
YEAR = Year(
    TYPICAL,
    [0.45 * value for value in TYPICAL],
    [1.35 * value for value in TYPICAL],
    use=[4.0] * 3 + [3.1] * 6 + [4.0] * 3,
    unit="kWh/m²",
    chosen=12,
    title="December gives a third of July",
)
MODULES = [Area(0.05 + 1.08 * (i % 2), 0.05 + 0.95 * (i // 2), 1.05, 0.54, str(i + 1)) for i in range(4)]
OBSTACLES = [Area(2.3, 0.4, 0.5, 0.5, "hatch"), Area(1.2, 0.62, 0.36, 0.36, "fan")]

DRAWINGS: dict[str, Callable[[int, int], Canvas]] = {
    "day": lambda width, height: draw_day(LOAD_W, SUN_W, width, height, "Most is used after sunset"),
    "year": lambda width, height: draw_year(YEAR, width, height),
    "roof": lambda width, height: draw_roof(3.0, 1.6, MODULES, OBSTACLES, width, height, "4 modules fit"),
}
SIZES = [(36, 8), (54, 10), (79, 12), (80, 24), (120, 20)]


def text(canvas: Canvas) -> str:
    return "\n".join(line.rstrip() for line in canvas.lines())


# -- all plots ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", DRAWINGS)
@given(width=st.integers(0, 130), height=st.integers(0, 30))
def test_a_plot_has_exactly_the_size_asked_for(name: str, width: int, height: int) -> None:
    lines = DRAWINGS[name](width, height).lines()
    assert len(lines) == height and {len(line) for line in lines} <= {width}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", DRAWINGS)
def test_every_stated_size_shows_title_and_plot(name: str, size: tuple[int, int]) -> None:
    canvas = DRAWINGS[name](*size)
    assert canvas.lines()[0].startswith(("Most is used", "December gives", "4 modules fit"))
    assert any("load" in {role for _, role in canvas.runs(y)} for y in range(2, size[1]))


# -- scale --------------------------------------------------------------------------------------------------------


@given(largest=st.floats(1e-3, 1e6), rows=st.integers(1, 30))
def test_ticks_are_1_2_5_steps_on_row_edges_and_the_largest_value_fits(largest: float, rows: int) -> None:
    scale = Scale.fitting(largest, rows)
    assert scale.eighths(largest) <= 8 * rows
    assert scale.eighths(largest) >= 8 * rows / 3.2, "more than two thirds of the height wasted"
    step = scale.per_row * scale.rows_per_tick
    assert f"{step:.6e}"[0] in "125" and float(f"{step:.6e}".split("e")[0]) in (1, 2, 5)
    for above, label in scale.ticks(rows):
        value = float(label[:-1]) * 1000 if label.endswith("k") else float(label)
        assert scale.eighths(value) == 8 * (above + 1)
    assert 1 <= len(scale.ticks(rows)) <= 6


def test_values_that_are_no_height() -> None:
    scale = Scale.fitting(0.0, 4)
    assert [scale.eighths(value) for value in (0.0, -1.0, float("nan"), float("inf"))] == [0, 0, 0, 0]
    assert number(12_500) == "12.5k" and number(0.5) == "0.5" and number(200.0) == "200"


def test_titles_lose_whole_words() -> None:
    assert words("one two three", 13) == "one two three"
    assert words("one two three", 12) == "one two…" and words("one two three", 8) == "one two…"
    assert words("one two three", 7) == "one…" and words("one", 2) == "…" and words("one", 0) == ""


# -- day ----------------------------------------------------------------------------------------------------------

DAY_36 = """\
Most is used after sunset
██ load  ⠤⠒ sun
                   ⣠⠴⠒⢦      ▂
200▔              ⡼⠁  ⠈⢳⡀    █▅▅
                 ⡼⠁     ⠹⡄  ████
100▔         ▂  ⡼⠁  ▂    ⢳⡀▂████▆
    ▃▃▃▃▃▃▃▃▄█⣀⡼⠁▅▆▆█▆▅▅▅▅⠳⡄█████▇▄▄
  W 0       6       12      18  24 h"""


def test_day_at_36_x_8() -> None:
    assert text(DRAWINGS["day"](36, 8)) == DAY_36


@pytest.mark.parametrize("size", SIZES)
def test_every_hour_of_the_day_is_drawn(size: tuple[int, int]) -> None:
    """One hour at a time alone under load: its bar stands between the marks of the axis where that hour belongs."""
    width, height = size
    columns = []
    for hour in range(24):
        load = [0.0] * 24
        load[hour] = 100.0
        line = draw_day(load, [], width, height).lines()[-2]
        columns.append({x for x, character in enumerate(line) if character == "█"})
    axis = draw_day([1.0] * 24, [], width, height).lines()[-1]
    assert all(columns) and not any(one & other for one, other in pairwise(columns))
    assert set.union(*columns) == set(range(min(columns[0]), width))
    for mark, hour in (("0", 0), ("6", 6), ("12", 12), ("18", 18)):
        assert min(columns[hour]) == axis.index(f" {mark} ") + 1


def test_heights_are_in_eighths_of_a_row() -> None:
    rows = 10  # of 12 lines one is the legend and one the axis
    canvas = draw_day([100 * (hour + 1) / 24 for hour in range(24)], [], 79, 12)
    column = {hour: 4 + hour * 75 // 24 for hour in range(24)}
    for hour in range(24):
        drawn = sum(EIGHTHS.index(canvas.at(column[hour], y)[0]) for y in range(1, 11))
        assert drawn == round(8 * rows * (hour + 1) / 24)


def test_the_sun_runs_over_the_blocks_without_hiding_which_is_which() -> None:
    canvas = draw_day([100.0] * 24, [50.0] * 24, 40, 8)
    line = next(y for y in range(8) if "over" in {role for _, role in canvas.runs(y)})
    assert all("⠀" < character <= "⣿" for character in canvas.lines()[line][4:])
    assert canvas.lines()[line - 1][4:] == "█" * 36 and canvas.lines()[line + 1][4:] == "█" * 36


def test_a_night_has_no_line() -> None:
    assert not any(
        "⠀" < character <= "⣿" for line in draw_day(LOAD_W, [0.0] * 24, 80, 12).lines()[1:] for character in line
    )


def test_a_day_of_23_hours_is_refused() -> None:
    with pytest.raises(ValueError, match="23"):
        draw_day([1.0] * 23, [], 80, 12)


# -- year ---------------------------------------------------------------------------------------------------------


def test_the_month_looked_at_keeps_its_number_where_room_is_short() -> None:
    for width in (34, 40, 60, 80):
        text = "".join(DRAWINGS["year"](width, 12).lines())
        assert "Dec: typical 2.1" in text or "Dec: 2.1 kWh/m²" in text, width


YEAR_79 = """\
December gives a third of July     █ typical, kWh/m²  ⡇ bad to good day  ⠒⠒ use
                                           ⡀
10▔                                  ⡇     ⡇
                               ⡇ 7.5 ⡇ 7.6 ⡇     ⡇
                         ⡄ 6.7 ⡇ ▄▄▄▄⡇ ▅▅▅▅⡇ 6.7 ⡇     ⡀
                     5.6 ⡇ ▆▆▆▆⡇ ████⡇ ████⡇ ▆▆▆▆⡇ 5.3 ⡇
               4.5 ⡇ ▅▅▅▅⡇ ████⡇ ████⡇ ████⡇ ████⡇ ▂▂▂▂⡇
 5▔      3.2 ⡀ ▄▄▄▄⡇ ████⡇ ████⡇ ████⡇ ████⡇ ████⡇ ████⡇ 3.7 ⡇
   ⠉⠉⠉⠉⡀ ⠉⠉⠉⠉⡇ ⠉⠉⠉⠉⡇ ⣀⣀⣀⣀⡇ ⣀⣀⣀⣀⡇ ⣀⣀⣀⣀⠃ ⣀⣀⣀⣀⠃ ⣀⣀⣀⣀⡇ ⣀⣀⣀⣀⡇ ⠉⠉⠉⠉⡇ ⠉⠉⠉⠉⡄ ⠉⠉⠉⠉
   ▃▃▃▃⡇ ████⡇ ████⡇ ████⠃ ████  ████  ████  ████  ████⠃ ████⡇ ▅▅▅▅⡇ ▁▁▁▁⡆
   ████⡇ ████⠃ ████  ████  ████  ████  ████  ████  ████  ████⠁ ████⠇ ████⡇
   2.4   ████  ████  ████  ████  ████  ████  ████  ████  ████  2.6   2.1
   Jan!  Feb!  Mar   Apr   May   Jun   Jul   Aug   Sep   Oct!  Nov!  Dec!
                        Dec: typical 2.1, 0.9 to 2.8, use 4.0 kWh/m² ▲"""


def test_year_at_79_x_14() -> None:
    assert text(DRAWINGS["year"](79, 14)) == YEAR_79


@pytest.mark.parametrize("size", SIZES)
def test_month_names_are_present_and_stand_under_their_bars(size: tuple[int, int]) -> None:
    canvas = draw_year(YEAR, *size)
    names = canvas.lines()[-2]
    if size[0] >= 54:
        positions = [names.index(name) for name in MONTHS]
        assert positions == sorted(positions)
    else:
        assert [character for character in names if character.isalpha()] == [name[0] for name in MONTHS]


def test_the_month_is_marked_with_an_arrow_and_its_figures_in_words() -> None:
    for month in range(1, 13):
        year = Year(TYPICAL, YEAR.low, YEAR.high, unit="kWh/m²", chosen=month)
        lines = draw_year(year, 79, 12).lines()
        assert lines[-1].index("▲") == lines[-2].index(MONTHS[month - 1])
        low, high = 0.45 * TYPICAL[month - 1], 1.35 * TYPICAL[month - 1]
        numbers = f"typical {TYPICAL[month - 1]:.1f}, {low:.1f} to {'10' if high > 9.95 else f'{high:.1f}'} kWh/m²"
        assert f"{MONTHS[month - 1]}: {numbers}" in lines[-1]
    assert "Dec: typical 2.1 kWh/m² ▲" in draw_year(YEAR, 36, 8).lines()[-1]


def test_the_unit_stands_in_the_legend_or_on_the_axis_where_the_legend_has_no_room() -> None:
    assert "█ typical, kWh/m²" in text(draw_year(Year(TYPICAL, unit="kWh/m²"), 79, 12))
    narrow = text(draw_year(Year(TYPICAL, unit="kWh/m²", typical_word="what the sun gives in a typical year"), 40, 12))
    assert "10 kWh/m²▔" in narrow and "year, kWh" not in narrow


def test_income_that_ends_in_the_row_of_the_use_is_still_seen() -> None:
    """One row of bars: 6 of 10 fill it to five eighths, the use of 8 lies in the same row."""
    lines = draw_year(Year([6.0] * 12, use=[8.0] * 12, high=[10.0] * 12, low=[6.0] * 12), 60, 4).lines()
    assert any("▅⠒" in line or "▅⠉" in line or "▅⠤" in line for line in lines), lines


def test_what_comes_besides_is_the_foot_of_the_bars_and_is_named_in_the_month_looked_at() -> None:
    """6 of 10 fill six rows of ten, 3 of them from elsewhere."""
    besides = (("driving", [2.0] * 12), ("shore power", [1.0] * 12))
    lines = draw_year(Year([6.0] * 12, high=[10.0] * 12, low=[6.0] * 12, besides=besides, chosen=1), 79, 13).lines()
    column = [line[lines[-2].index("Jan")] for line in lines[1:-2]]
    assert (column.count("█"), column.count("▒")) == (3, 3), column
    assert "▒ other" in lines[0] and "Jan: typical 3.0, driving 2.0, shore power 1.0" in lines[-1]


def test_months_that_give_less_than_is_used_carry_a_sign() -> None:
    names = draw_year(YEAR, 79, 12).lines()[-2]
    assert names.split() == [
        name + ("!" if use > typical else "") for name, use, typical in zip(MONTHS, YEAR.use, TYPICAL, strict=True)
    ]


@pytest.mark.parametrize("width", [30, 45, 58, 60, 64])
def test_the_sign_of_a_short_month_never_touches_the_next_name(width: int) -> None:
    lines = draw_year(YEAR, width, 16).lines()
    short = sum(use > typical for use, typical in zip(YEAR.use, TYPICAL, strict=True))
    assert sum(line.count("!") for line in lines) == short
    assert not any(re.search("![A-Z]", line) for line in lines)


def test_values_stand_above_the_bars_where_there_is_room() -> None:
    wide = text(draw_year(Year(TYPICAL), 79, 16))
    assert all(f"{value:.1f}" in wide for value in TYPICAL)
    assert "7.6" not in text(draw_year(Year(TYPICAL), 40, 16))


def test_the_use_is_drawn_within_an_eighth_of_a_row_of_its_value() -> None:
    """Dots of the strokes lie at 1/8, 3/8, 5/8 and 7/8 of a row, so none is further from its value than that."""
    rows, levels = 9, "⣀⠤⠒⠉"  # 12 lines less legend, names and arrow
    for tenth in range(1, 100):
        use = tenth / 10
        canvas = draw_year(Year([10.0] * 12, use=[use] * 12, chosen=1), 79, 12)
        scale = Scale.fitting(10.0 * rows / (rows - 1), rows)
        [(y, level)] = [(y, levels.index(canvas.at(3, y)[0])) for y in range(1, 10) if canvas.at(3, y)[0] in levels]
        assert abs((9 - y) + (2 * level + 1) / 8 - use / scale.per_row) <= 1 / 8 + 1e-9


def test_the_band_reaches_from_the_bad_day_to_the_good_day() -> None:
    rows = 9
    canvas = draw_year(Year(TYPICAL, YEAR.low, YEAR.high, chosen=1), 79, 12)
    scale = Scale.fitting(max(YEAR.high), rows)
    left = canvas.lines()[-2].index("Jan")
    for index in range(12):
        bits = [ord(canvas.at(left + index * 6 + 4, y)[0]) - 0x2800 for y in range(1, 10)]
        dots = sum(bit.bit_count() for bit in bits if bit > 0)
        assert abs(dots / 4 * scale.per_row - (YEAR.high[index] - YEAR.low[index])) <= scale.per_row / 4


def test_a_year_without_values_keeps_its_title() -> None:
    assert text(draw_year(Year((), title="No climate data here"), 60, 10)).startswith("No climate data here")
    with pytest.raises(ValueError, match="11"):
        draw_year(Year([1.0] * 11), 80, 12)


# -- roof ---------------------------------------------------------------------------------------------------------

ROOF_79 = """\
4 modules fit
      ┏━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━━┓
      ┃ ┌─────────┐ ┌──────────┐         ┃
      ┃ │    3    │ │    4     │         ┃
      ┃ └─────────┘ └──────────┘         ┃
      ┃              ░░░░                ┃
front ┃              fan░        ░░░░░░  ┃ 1.6 m
      ┃              ░░░░        hatch░  ┃
      ┃ ┌─────────┐ ┌──────────┐ ░░░░░░  ┃
      ┃ │    1    │ │    2     │         ┃
      ┃ └─────────┘ └──────────┘         ┃
      ┗━━━━━━━━━ left side, 3 m ━━━━━━━━━┛"""


def test_roof_at_79_x_12() -> None:
    assert text(DRAWINGS["roof"](79, 12)) == ROOF_79


def test_labels_without_room_are_explained_beside_the_roof() -> None:
    drawn = text(DRAWINGS["roof"](36, 8))
    assert "f fan" in drawn and "h hatch" in drawn


def test_seen_from_above_with_the_front_at_the_left_the_left_edge_is_at_the_bottom() -> None:
    lines = draw_roof(3.0, 1.6, [Area(0.0, 0.0, 1.0, 0.5, "x")], [], 79, 14).lines()
    row = next(y for y, line in enumerate(lines) if "x" in line)
    assert row > 7 and lines[row].index("x") < 20


def test_a_roof_is_to_scale() -> None:
    """A square roof is twice as many characters wide as high, the shape of a terminal's character."""
    lines = draw_roof(2.0, 2.0, [], [], 100, 22).lines()
    assert lines[0].count("━") == 2 * sum("┃" in line for line in lines)


def test_a_roof_without_extent_is_refused() -> None:
    with pytest.raises(ValueError, match="length"):
        draw_roof(0.0, 1.0, [], [], 80, 20)


# -- as widgets ---------------------------------------------------------------------------------------------------


class Plots(App[None]):
    CSS = "Chart { height: 10; }"

    def compose(self) -> ComposeResult:
        yield DayChart()
        yield YearChart()
        yield RoofPlan()


async def test_widgets_show_what_is_drawn_with_a_background_everywhere() -> None:
    app = Plots()
    async with app.run_test(size=(80, 30)) as pilot:
        app.query_one(DayChart).show(LOAD_W, SUN_W, "Most is used after sunset")
        app.query_one(YearChart).show(YEAR)
        app.query_one(RoofPlan).show(3.0, 1.6, MODULES, OBSTACLES, "4 modules fit")
        await pilot.pause()
        for kind, name in ((DayChart, "day"), (YearChart, "year"), (RoofPlan, "roof")):
            widget = app.query_one(kind)
            assert [widget.render_line(y).text for y in range(10)] == DRAWINGS[name](78, 10).lines()
            assert all(
                segment.style is not None and segment.style.bgcolor is not None
                for y in range(10)
                for segment in widget.render_line(y)
            )
        await pilot.resize_terminal(120, 30)
        await pilot.pause()
        assert app.query_one(DayChart).render_line(9).text == DRAWINGS["day"](118, 10).lines()[9]


FIGURES = st.floats(-1e12, 1e12) | st.sampled_from([float("nan"), float("inf"), -float("inf"), 5e-324])


@given(st.lists(FIGURES, min_size=24, max_size=24))
def test_no_figure_breaks_a_plot(values: list[float]) -> None:
    assert len(draw_day(values, values[::-1], 60, 10).lines()) == 10
    year = Year(values[:12], values[12:], values[6:18], use=values[3:15], chosen=1)
    assert len(draw_year(year, 60, 10).lines()) == 10


def test_how_far_a_simulation_is_stands_as_a_bar_and_in_per_cent() -> None:
    assert progress(0.3) == "███░░░░░░░ 30 %"
    assert progress(0.0).startswith("░" * 10) and progress(1.0).startswith("█" * 10)
    assert progress(-1.0)[:10] == "░" * 10 and progress(2.0)[:10] == "█" * 10
