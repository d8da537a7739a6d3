"""Current shared by batteries in parallel, against a matrix of nodal equations."""

import numpy as np
import pytest

from model.wiring.parallel import shares


def nodal(battery_ohm, link_ohm, take_off):
    """Positive nodes 0..n-1, negative n..2n-1; 1 A drawn; the batteries' equal voltages drop out of the shares."""
    count = len(battery_ohm)
    matrix = np.zeros((2 * count, 2 * count))

    def join(a, b, ohm):
        matrix[[a, b], [a, b]] += 1 / ohm
        matrix[[a, b], [b, a]] -= 1 / ohm

    for at, ohm in enumerate(battery_ohm):
        join(at, count + at, ohm)
    for at in range(count - 1):
        join(at, at + 1, link_ohm)
        join(count + at, count + at + 1, link_ohm)
    drawn = np.zeros(2 * count)
    drawn[0] -= 1
    drawn[count if take_off == "one end" else 2 * count - 1] += 1
    volts = np.concatenate([[0.0], np.linalg.solve(matrix[1:, 1:], drawn[1:])])
    return (volts[count:] - volts[:count]) / np.array(battery_ohm)


@pytest.mark.parametrize("take_off", ["one end", "opposite ends"])
@pytest.mark.parametrize("battery_ohm", [(0.003,), (0.003,) * 2, (0.003,) * 4, (0.002, 0.005, 0.003), (0.004,) * 6])
def test_shares_by_a_matrix_of_nodal_equations(battery_ohm, take_off):
    mine = shares(battery_ohm, 0.0004, take_off)
    assert sum(mine) == pytest.approx(1)
    assert np.abs(np.array(mine) - nodal(battery_ohm, 0.0004, take_off)).max() < 1e-12


def test_opposite_ends_share_better_than_one_end_and_bus_bars_best():
    one_end, opposite, bars = (shares((0.003,) * 4, 0.0004, way) for way in ("one end", "opposite ends", "bus bars"))
    assert one_end == sorted(one_end, reverse=True)
    assert max(one_end) > max(opposite) > max(bars) == pytest.approx(0.25)
    assert opposite == pytest.approx(opposite[::-1])


def test_with_bus_bars_the_weaker_battery_carries_more():
    assert shares((0.002, 0.004), 0.0, "bus bars") == pytest.approx([2 / 3, 1 / 3])
