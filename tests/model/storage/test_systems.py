import numpy as np
import pytest

from model.storage.odds import chance_of_empty_day
from model.storage.simulation import Bank, Hours, simulate
from model.storage.systems import ChanceMap, chance_map, contour, lightest, smallest_batteries

WHOLE = Bank((1.0,) * 12)
NONE = np.zeros((365, 24))
BRIGHT = np.random.default_rng(4).random((365, 10)) < 0.6
# Days of 48 Wh per W or nothing, day and night.
SUN = np.where((np.arange(24) >= 6) & (np.arange(24) < 18), 4.0, 0.0)[None, :, None] * BRIGHT[:, None, :]
HOURS = Hours(SUN, NONE, NONE + 1.0, NONE, NONE + 20)


def chance(array_w: float, full_wh: float, months=(12,)) -> float:
    return float(chance_of_empty_day(simulate(HOURS, WHOLE, array_w, full_wh), months)[0][0])


def test_each_cell_of_the_map_is_that_system_alone_and_more_is_never_worse():
    arrays, batteries = [2.0, 0.8, 1.2], [100.0, 25.0]
    found = chance_map(HOURS, WHOLE, arrays, batteries, [12])
    assert found.array_w.tolist() == [0.8, 1.2, 2.0] and found.full_wh.tolist() == [25.0, 100.0]
    for row, full_wh in enumerate(found.full_wh):
        for column, array_w in enumerate(found.array_w):
            assert found.chance[row, column] == pytest.approx(chance(array_w, full_wh))
    assert np.all(np.diff(found.chance, axis=0) <= 0) and np.all(np.diff(found.chance, axis=1) <= 0)
    assert np.all(found.error > 0)


def test_the_line_of_equal_chance_runs_between_the_cells():
    chances = np.array([[0.9, 0.5, 0.05], [0.7, 0.3, 0.04], [0.6, 0.1, 0.0]])
    found = ChanceMap(np.array([1.0, 2.0, 3.0]), np.array([10.0, 20.0, 40.0]), chances, chances * 0, 5)
    assert contour(found, 0.2) == ((2.0, pytest.approx(30.0)), (3.0, 10.0))
    assert contour(found, 0.95) == ((1.0, 10.0), (2.0, 10.0), (3.0, 10.0))


def test_the_smallest_battery_meets_the_target_and_a_slightly_smaller_one_does_not():
    found = smallest_batteries(HOURS, WHOLE, [0.1, 1.5, 3.0], 0.02, [12, 1], between_wh=(5.0, 500.0))
    assert found[0] == np.inf  # a tenth of the use
    for array_w, full_wh in zip((1.5, 3.0), found[1:], strict=True):
        assert chance(array_w, full_wh, (12, 1)) <= 0.02 < chance(array_w, full_wh * 0.985, (12, 1))
    assert found[2] <= found[1]
    easy = smallest_batteries(HOURS, WHOLE, [3.0], 1.0, [12], between_wh=(5.0, 500.0))
    assert easy[0] == pytest.approx(5.0)


def test_the_lightest_system_weighs_array_and_battery():
    arrays = [1.5, 2.0, 3.0]
    batteries = smallest_batteries(HOURS, WHOLE, arrays, 0.02, [12], between_wh=(5.0, 500.0))
    light_modules = lightest(HOURS, WHOLE, arrays, 0.02, [12], between_wh=(5.0, 500.0), kg_per_w=1e-6, kg_per_wh=1.0)
    light_cells = lightest(HOURS, WHOLE, arrays, 0.02, [12], between_wh=(5.0, 500.0), kg_per_w=100.0, kg_per_wh=1e-6)
    assert light_modules is not None and light_modules.full_wh == batteries.min()
    assert light_cells is not None and light_cells.array_w == 1.5
    assert lightest(HOURS, WHOLE, [0.1], 0.02, [12], between_wh=(5.0, 500.0), kg_per_w=1.0, kg_per_wh=1.0) is None


def test_progress_runs_once_over_all_rounds():
    told: list[float] = []
    smallest_batteries(HOURS, WHOLE, [1.5], 0.02, [12], between_wh=(5.0, 500.0), on_month=told.append)
    assert told == sorted(told) and told[-1] == pytest.approx(1.0)


def test_a_search_between_impossible_sizes_is_refused():
    with pytest.raises(ValueError, match="two sizes"):
        smallest_batteries(HOURS, WHOLE, [1.5], 0.02, [12], between_wh=(0.0, 500.0))
