"""What a person may expect of a place's climate, whatever the numbers in the table."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Place, Weather
from model.supply import climate, climate_grid
from model.supply.climate import PROBABILITIES, Climate, NoClimate, climate_at, climate_from_months, climate_of
from model.supply.daily_distribution import mean_of

HONOLULU, PONTA_DELGADA = (21.31, -157.86), (37.74, -25.67)
STUTTGART = (48.75, 8.92)
MONTHS = (1.0, 1.6, 2.9, 4.1, 4.9, 5.4, 5.5, 4.6, 3.3, 2.0, 1.2, 0.9)


def assert_consistent(place: Climate) -> None:
    """Twelve months; days ascending from dark to bright, never negative, with the month's mean."""
    quantiles = np.array(place.quantiles_kwh_per_m2_day)
    assert quantiles.shape == (12, len(PROBABILITIES))
    assert len(place.ghi_kwh_per_m2_day) == len(place.temperature_c) == 12
    assert np.all(quantiles >= 0)
    assert np.all(np.diff(quantiles, axis=1) >= -1e-12)
    assert mean_of(quantiles) == pytest.approx(place.ghi_kwh_per_m2_day, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("where", [HONOLULU, PONTA_DELGADA, (0.0, -30.0), (85.0, 0.0), (-75.0, 0.0)])
def test_a_place_without_data_is_refused_with_two_ways_out(where: tuple[float, float]) -> None:
    with pytest.raises(NoClimate, match=r"no climate data.*type twelve monthly values.*weather file"):
        climate_at(*where)


def test_the_refusal_names_the_place() -> None:
    with pytest.raises(NoClimate, match=r"^Honolulu has no climate data"):
        climate_at(*HONOLULU, label="Honolulu")
    with pytest.raises(NoClimate, match=r"^37\.74° N, 25\.67° W has"):
        climate_at(*PONTA_DELGADA)


@settings(max_examples=60, deadline=None)
@given(latitude=st.floats(-90, 90), longitude=st.floats(-180, 180), elevation=st.none() | st.floats(-400, 5_000))
def test_every_place_has_a_consistent_climate_or_none(
    latitude: float, longitude: float, elevation: float | None
) -> None:
    try:
        assert_consistent(climate_at(latitude, longitude, elevation))
    except NoClimate:
        assert abs(latitude) > 56 or not climate_grid.irradiation_at(latitude, longitude)


def test_longitude_wraps_around() -> None:
    chukotka = climate_at(66.0, -179.5)
    assert climate_at(66.0, 180.5).ghi_kwh_per_m2_day == pytest.approx(chukotka.ghi_kwh_per_m2_day)
    east, west = climate_at(66.0, 179.999), climate_at(66.0, -179.999)
    assert east.ghi_kwh_per_m2_day == pytest.approx(west.ghi_kwh_per_m2_day, rel=1e-3)


def test_the_polar_night_is_dark_and_its_summer_is_not() -> None:
    cape = climate_at(70.5, 25.0)
    assert cape.ghi_kwh_per_m2_day[11] == 0
    assert set(cape.quantiles_kwh_per_m2_day[11]) == {0.0}
    assert 3 < cape.ghi_kwh_per_m2_day[5] < 6


def test_seasons_are_opposite_south_of_the_equator() -> None:
    north, south = climate_at(40.0, -3.6), climate_at(-34.0, -60.5)
    for values in (north.ghi_kwh_per_m2_day, north.temperature_c):
        assert values[5] > values[11]
    for values in (south.ghi_kwh_per_m2_day, south.temperature_c):
        assert values[5] < values[11]


def test_a_kilometre_up_is_six_and_a_half_degrees_colder() -> None:
    low, high = climate_at(46.5, 8.0, 400), climate_at(46.5, 8.0, 1400)
    assert np.subtract(low.temperature_c, high.temperature_c) == pytest.approx([6.5] * 12)


def test_typed_months_are_used_unchanged_with_the_days_of_the_place() -> None:
    own = climate_from_months(MONTHS, *STUTTGART, label="My farm")
    assert own.ghi_kwh_per_m2_day == MONTHS
    assert_consistent(own)
    assert own.label == "My farm"
    assert own.source == "typed"
    assert "MERRA-2" in own.spread_source
    assert own.temperature_c == climate_at(*STUTTGART).temperature_c


def test_typing_the_built_in_means_gives_the_built_in_days() -> None:
    built_in = climate_at(*STUTTGART)
    own = climate_from_months(built_in.ghi_kwh_per_m2_day, *STUTTGART)
    assert np.array(own.quantiles_kwh_per_m2_day) == pytest.approx(np.array(built_in.quantiles_kwh_per_m2_day))


def test_a_duller_month_has_darker_days_than_plain_scaling_would_give() -> None:
    built_in = climate_at(*STUTTGART)
    dull = climate_from_months([0.8 * value for value in built_in.ghi_kwh_per_m2_day], *STUTTGART)
    darkest = PROBABILITIES.index(0.10)
    assert dull.quantiles_kwh_per_m2_day[5][darkest] < 0.8 * built_in.quantiles_kwh_per_m2_day[5][darkest]


def test_typed_months_on_an_island_get_days_from_their_means_and_say_so() -> None:
    azores = climate_from_months([value + 1 for value in MONTHS], *PONTA_DELGADA)
    assert_consistent(azores)
    assert "from the monthly means alone" in azores.spread_source
    assert all(10 < value < 30 for value in azores.temperature_c)  # the sea around it is in the table


def test_beyond_the_temperature_table_temperatures_must_be_typed_too() -> None:
    with pytest.raises(NoClimate, match="type twelve monthly temperatures"):
        climate_from_months(MONTHS, 78.2, 15.6)
    svalbard = climate_from_months(MONTHS, 78.2, 15.6, temperature_c=[-10.0] * 12)
    assert svalbard.temperature_c == (-10.0,) * 12
    assert_consistent(svalbard)


def test_even_impossible_means_stay_consistent() -> None:
    for value in (0.0, 0.01, 9.0, 30.0):
        assert_consistent(climate_from_months([value] * 12, *STUTTGART))
        assert_consistent(climate_from_months([value] * 12, *PONTA_DELGADA))


@pytest.mark.parametrize("months", [MONTHS[:11], (*MONTHS[:11], float("nan")), (*MONTHS[:11], -0.1)])
def test_anything_but_twelve_plausible_months_is_an_error(months: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="irradiation"):
        climate_from_months(months, *STUTTGART)


def test_a_design_with_its_own_weather_keeps_means_days_and_temperatures() -> None:
    place = Place("Farm", *STUTTGART, 400.0)
    shape = tuple(0.4 + 1.2 * probability for probability in PROBABILITIES)  # its mean is 1
    weather = Weather("my file", MONTHS, (5.0,) * 12, shape * 12)
    farm = climate_of(place, weather)
    assert_consistent(farm)
    assert (farm.label, farm.source, farm.spread_source) == ("Farm", "my file", "my file")
    assert farm.temperature_c == (5.0,) * 12
    assert farm.quantiles_kwh_per_m2_day[0] == pytest.approx(shape, rel=0.01)  # January's mean is 1
    assert climate_of(place) == climate_at(*STUTTGART, 400.0, "Farm")


@pytest.mark.parametrize("shape", [(1.0,) * 7, (2.0, *(1.0,) * 155), (float("nan"),) * 156, (-1.0,) * 156])
def test_a_damaged_spread_of_days_is_an_error(shape: tuple[float, ...]) -> None:
    with pytest.raises(ValueError, match="spread of days"):
        climate_from_months(MONTHS, *STUTTGART, daily_shape=shape)


def test_the_cautious_figure_follows_from_the_two_uncertainties() -> None:
    # Normal distribution tables: 1.2816 is the deviate of 90 %. Place 10.5 %, one month in one year 10 %.
    assert climate.combined_uncertainty(0.105, 0.10) == pytest.approx(0.145)
    assert climate_at(*STUTTGART).cautious_factor == 0.81
    assert climate_from_months(MONTHS, *STUTTGART).cautious_factor == 0.87  # only the year is unknown


def test_the_uncertainty_is_put_in_words() -> None:
    assert climate_at(*STUTTGART).uncertainty == (
        "Irradiation: MERRA-2 2011–15, 3° cells, bias-corrected. One month in one year: ±15 % (1σ). "
        "Not local: no horizon, no shade, no valley fog."
    )
    assert "only order of magnitude" in climate_at(59.65, 17.95).uncertainty
    assert "Not local" not in climate_from_months(MONTHS, *STUTTGART).uncertainty
