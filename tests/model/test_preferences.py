"""Feet, Fahrenheit, the comma, and minutes: whatever is written is read back as the same number."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.quantities import METRIC, Preferences, glance, read, write

FEET, FAHRENHEIT, COMMA = Preferences(feet=True), Preferences(fahrenheit=True), Preferences(comma=True)


@pytest.mark.parametrize(
    ("value", "kind", "wish", "text"),
    [
        (3.048, "length", FEET, "10 ft"),  # the international foot of 1959: 0.3048 m
        (0.0254, "length", FEET, "1 in"),
        (16.0, "temperature", FAHRENHEIT, "60.8 °F"),
        (-40.0, "temperature", FAHRENHEIT, "-40 °F"),
        (1.5, "duration", COMMA, "1,5 h"),
        (1.234, "length", COMMA, "1,2340 m"),  # 1,234 could be 1234 as well
        (0.2, "hours_per_day", METRIC, "12 min"),
        (0.75, "duration", METRIC, "45 min"),
        (7 / 3, "duration", METRIC, "140 min"),
        (1.5, "duration", METRIC, "1.5 h"),
        (0.01, "duration", METRIC, "0.01 h"),
        (0.0, "duration", METRIC, "0 h"),
    ],
)
def test_numbers_are_written_as_a_person_wishes(value: float, kind: str, wish: Preferences, text: str):
    assert write(value, kind, wish) == text
    assert read(text, kind) == value


@given(
    value=st.one_of(
        st.floats(-50, 50).map(lambda one: round(one, 6)),
        st.floats(1e-6, 5e5, allow_subnormal=False),
    ),
    kind=st.sampled_from(["length", "temperature", "number", "angle"]),
    wish=st.builds(Preferences, st.booleans(), st.booleans(), st.booleans()),
)
@settings(deadline=None)
def test_whatever_the_wish_the_same_number_is_read_back(value: float, kind: str, wish: Preferences):
    if kind in ("temperature", "angle"):
        value = value % 900  # within what a field takes
    assert read(write(value, kind, wish), kind) == value


@given(value=st.floats(0.001, 400, allow_subnormal=False), comma=st.booleans())
@settings(deadline=None)
def test_feet_in_a_cell_are_right_to_two_millimetres(value: float, comma: bool):
    """Half of a hundredth of a foot."""
    assert (
        abs(read(glance(value, "length", Preferences(feet=True, comma=comma)), "length") - value) < 0.0016
    )  # half of a hundredth of a foot


def test_whole_degrees_fahrenheit_come_back_as_they_were_typed():
    for degrees in range(-40, 260):
        value = read(f"{degrees} °F", "temperature")
        assert write(value, "temperature", Preferences(fahrenheit=True)) == f"{degrees} °F"
