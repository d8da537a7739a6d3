"""How many modules fit: geometry that must hold for any roof, and layouts counted by hand."""

from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Obstacle, Roof
from model.supply.roof import Placed, distance_m, fit, shaded, shadow_m

TOUCH_M = 1.5e-4  # lengths are rounded to tenths of a millimetre, twice where two add up


def centimetres(low: int, high: int) -> st.SearchStrategy[float]:
    return st.integers(low, high).map(lambda value: value / 100)


obstacles = st.builds(
    Obstacle,
    name=st.just("fan"),
    x_m=centimetres(0, 400),
    y_m=centimetres(0, 200),
    length_m=centimetres(0, 80),
    width_m=centimetres(0, 80),
    height_m=centimetres(0, 40),
)
roofs = st.builds(
    Roof,
    length_m=centimetres(50, 400),
    width_m=centimetres(50, 200),
    margin_m=centimetres(0, 20),
    gap_m=centimetres(0, 10),
    obstacles=st.lists(obstacles, max_size=4).map(tuple),
)
sides = st.tuples(centimetres(45, 180), centimetres(45, 120))


def overlap_m(one: tuple[float, float, float, float], other: tuple[float, float, float, float]) -> float:
    """How deep two rectangles (near x, near y, far x, far y) lie in each other; negative where they are apart."""
    return min(min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1]))


def rectangle(module: Placed) -> tuple[float, float, float, float]:
    return module.x_m, module.y_m, module.x_m + module.length_m, module.y_m + module.width_m


@settings(max_examples=60, deadline=None)
@given(roofs, sides)
def test_modules_lie_inside_apart_from_each_other_and_from_obstacles(roof: Roof, module: tuple[float, float]) -> None:
    found = fit(roof, *module)
    for one in found.modules:
        near_x, near_y, far_x, far_y = rectangle(one)
        assert near_x >= roof.margin_m - TOUCH_M and near_y >= roof.margin_m - TOUCH_M
        assert far_x <= roof.length_m - roof.margin_m + TOUCH_M
        assert far_y <= roof.width_m - roof.margin_m + TOUCH_M
        assert sorted((one.length_m, one.width_m)) == sorted(module)
        for thing in roof.obstacles:
            edges = (thing.x_m, thing.y_m, thing.x_m + thing.length_m, thing.y_m + thing.width_m)
            assert overlap_m(rectangle(one), edges) <= -roof.gap_m + TOUCH_M
    for one, other in combinations(found.modules, 2):
        assert overlap_m(rectangle(one), rectangle(other)) <= -roof.gap_m + TOUCH_M


@settings(max_examples=60, deadline=None)
@given(roofs, sides, obstacles)
def test_one_more_obstacle_never_makes_room(roof: Roof, module: tuple[float, float], thing: Obstacle) -> None:
    before = fit(roof, *module)
    after = fit(replace(roof, obstacles=(*roof.obstacles, thing)), *module)
    assert before.proven and after.proven
    assert len(after.modules) <= len(before.modules)


@settings(max_examples=40, deadline=None)
@given(roofs, sides, centimetres(0, 50), centimetres(0, 50))
def test_a_larger_roof_never_holds_less(roof: Roof, module: tuple[float, float], longer: float, wider: float) -> None:
    larger = replace(roof, length_m=roof.length_m + longer, width_m=roof.width_m + wider)
    assert len(fit(larger, *module).modules) >= len(fit(roof, *module).modules)


@settings(max_examples=40, deadline=None)
@given(roofs, sides)
def test_the_way_a_module_is_described_and_the_way_the_roof_lies_do_not_matter(
    roof: Roof, module: tuple[float, float]
) -> None:
    count = len(fit(roof, *module).modules)
    assert len(fit(roof, module[1], module[0]).modules) == count
    turned = replace(
        roof,
        length_m=roof.width_m,
        width_m=roof.length_m,
        obstacles=tuple(Obstacle(o.name, o.y_m, o.x_m, o.width_m, o.length_m, o.height_m) for o in roof.obstacles),
    )
    assert len(fit(turned, *module).modules) == count


BARE = Roof(length_m=3.0, width_m=2.0, margin_m=0.0, gap_m=0.0)


@pytest.mark.parametrize(
    ("roof", "length_m", "width_m", "count"),
    [
        (BARE, 3.0, 2.0, 1),  # exactly the roof
        (BARE, 2.0, 3.0, 1),  # turned
        (BARE, 1.0, 1.0, 6),
        (BARE, 3.001, 1.0, 0),  # a millimetre too long
        (replace(BARE, margin_m=0.01), 3.0, 2.0, 0),
        (replace(BARE, gap_m=0.01), 1.0, 1.0, 2),  # 3 m hold two with a gap, 2 m one
        # The pinwheel: four 3 x 2 rectangles around a hole of 1 x 1 fill a square of side 5; rows and columns hold three.
        (Roof(5.0, 5.0, 0.0, 0.0, (Obstacle("mast", 2.0, 2.0, 1.0, 1.0, 1.0),)), 3.0, 2.0, 4),
        # Twenty lengthwise, four by five, and six crosswise, two by three, fill 2.6 x 1.5 without a gap.
        (Roof(2.6, 1.5, 0.0, 0.0), 0.5, 0.3, 26),
        # A whip aerial has no area, and still nothing may be screwed across it.
        (Roof(1.0, 1.0, 0.0, 0.0, (Obstacle("aerial", 0.5, 0.5, 0.0, 0.0, 0.3),)), 1.0, 1.0, 0),
    ],
)
def test_layouts_counted_by_hand(roof: Roof, length_m: float, width_m: float, count: int) -> None:
    found = fit(roof, length_m, width_m)
    assert len(found.modules) == count
    assert found.proven


def test_a_mixture_of_directions_beats_rows() -> None:
    """Five 2 x 1 on a 5 x 2: 2 + 2 lengthwise leave a strip of 1 x 2 that takes the fifth crosswise."""
    found = fit(Roof(5.0, 2.0, 0.0, 0.0), 2.0, 1.0)
    assert len(found.modules) == 5
    assert {module.turned for module in found.modules} == {True, False}
    assert found.left_over_m2 == pytest.approx(0.0, abs=1e-9)


def test_left_over_area_counts_overlapping_obstacles_once() -> None:
    things = (Obstacle("fan", 1.0, 0.0, 1.0, 1.0, 0.1), Obstacle("its cover", 1.5, 0.0, 1.0, 1.0, 0.1))
    found = fit(Roof(3.0, 1.0, 0.0, 0.0, things), 1.0, 1.0)
    assert len(found.modules) == 1
    assert found.left_over_m2 == pytest.approx(3.0 - 1.5 - 1.0)


def test_many_small_modules_are_laid_in_rows_without_a_long_search() -> None:
    found = fit(Roof(30.0, 10.0, 0.0, 0.0), 0.05, 0.05)
    assert len(found.modules) == 100
    assert not found.proven


def test_shadow_of_a_fan_at_winter_noon() -> None:
    """0.12 m at 29.5 degrees: 0.12 / tan(29.5) = 0.12 / 0.5658 = 0.212 m, by hand."""
    assert shadow_m(0.12, 29.5) == pytest.approx(0.2121, abs=1e-4)
    assert shadow_m(0.12, 90.0) == pytest.approx(0.0, abs=1e-12)
    assert shadow_m(0.12, -3.0) == float("inf")
    assert shadow_m(0.0, -3.0) == 0.0


def test_only_modules_within_the_shadow_are_named() -> None:
    fan = Obstacle("fan", 1.0, 0.0, 0.4, 0.4, 0.12)
    near, far = Placed(1.5, 0.0, 1.0, 0.5, False), Placed(1.7, 0.0, 1.0, 0.5, False)
    assert distance_m(near, fan) == pytest.approx(0.1)
    assert shaded((near, far), fan, 29.5) == (0,)
    assert shaded((near, far), fan, 10.0) == (0, 1)
    assert shaded((near, far), fan, 80.0) == ()
