"""The worst run of days, by hand and against every arrangement of a week."""

from itertools import permutations
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.storage.worst_run import DaysAlike, lasts_days, used_wh, worst_run

WEEK = (DaysAlike("idle", 2, 400.0), DaysAlike("work", 5, 1340.0))


@pytest.mark.parametrize(
    ("days", "expected_wh"),
    [
        (2, 2 * 1340.0),
        (5, 5 * 1340.0),
        (6.5, 5 * 1340.0 + 1.5 * 400),
        (7, 5 * 1340.0 + 2 * 400),
        (10, 8 * 1340.0 + 2 * 400),  # five, the two light days, and three of the next week
        (0.5, 670.0),
    ],
)
def test_by_hand(days, expected_wh):
    assert used_wh(worst_run(WEEK, days)) == pytest.approx(expected_wh)
    assert lasts_days(WEEK, 1000.0, expected_wh) == pytest.approx(days)


@pytest.mark.parametrize("days", [1, 2, 3, 5, 7, 9, 12])
def test_no_arrangement_of_the_week_uses_more_and_one_uses_as_much(days):
    daily = [900.0, 900.0, 900.0, 700.0, 700.0, 100.0, 0.0]
    week = (DaysAlike("a", 3, 900.0), DaysAlike("b", 2, 700.0), DaysAlike("c", 1, 100.0), DaysAlike("d", 1, 0.0))
    most = max(sum((order * 3)[start : start + days]) for order in {*permutations(daily)} for start in range(7))
    assert used_wh(worst_run(week, days)) == pytest.approx(most)


@given(st.lists(st.floats(0, 5_000), min_size=1, max_size=4), st.floats(0.01, 40))
def test_days_and_energy_are_the_inverse_of_each_other(uses, days):
    week = tuple(DaysAlike(str(index), 7 / len(uses), wh) for index, wh in enumerate(uses))
    energy_wh = used_wh(worst_run(week, days))
    if max(uses) <= 0.001:
        return
    assert used_wh(worst_run(week, lasts_days(week, 0.0, energy_wh))) == pytest.approx(energy_wh, rel=1e-6, abs=1e-6)


def test_nothing_used_lasts_for_ever():
    assert lasts_days((), 0.0, 100.0) == inf
    assert lasts_days((DaysAlike("away", 7, 0.0),), 0.0, 100.0) == inf
    assert lasts_days((), 50.0, 100.0) == 2
