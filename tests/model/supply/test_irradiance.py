"""The sky of a day and the light on a plane: sums that must close, and symmetries of the globe."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.supply.irradiance import (
    CLASSES,
    HOUR_ANGLE_RAD,
    SOLAR_TIME_H,
    STEP_H,
    cos_zenith_of,
    daily_diffuse_fraction,
    diffuse_through_glass,
    equatorward_azimuth_deg,
    half_hour_share_of_diffuse,
    half_hour_share_of_global,
    plane_of_array,
    sky_of,
    sun_azimuth_deg,
)
from model.supply.sun import daily_extraterrestrial_wh_per_m2

latitudes = st.floats(-65, 65)
azimuths = st.floats(0, 360)
clearnesses = st.lists(st.floats(0.03, 0.8), min_size=12, max_size=12)


def days_of(latitude_deg: float, clearness: list[float] | np.ndarray) -> np.ndarray:
    """Daily irradiation of eight classes around a monthly clearness index, Wh/m2, shape (12, 8)."""
    above_air = np.array([float(daily_extraterrestrial_wh_per_m2(latitude_deg, day)) for day in KLEIN])
    spread = np.linspace(0.4, 1.2, CLASSES)
    return (np.asarray(clearness) * above_air)[:, None] * spread


KLEIN = (17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344)


@given(st.floats(0.1, np.pi))
def test_shares_of_the_day_are_none_negative_and_sum_to_one(sunset_rad: float) -> None:
    for share in (half_hour_share_of_global, half_hour_share_of_diffuse):
        parts = share(HOUR_ANGLE_RAD, np.array(sunset_rad))
        assert parts.min() >= 0
        assert parts.sum() == pytest.approx(1.0)
        assert parts == pytest.approx(parts[::-1])  # morning mirrors afternoon


def test_polar_night_has_no_shares() -> None:
    assert half_hour_share_of_global(HOUR_ANGLE_RAD, np.array(0.0)).sum() == 0


@given(st.floats(0, 1), st.floats(0, np.pi))
def test_diffuse_fraction_is_a_fraction(clearness: float, sunset_rad: float) -> None:
    assert 0.14 <= float(daily_diffuse_fraction(np.array(clearness), np.array(sunset_rad))) <= 1.0


@settings(max_examples=25, deadline=None)
@given(latitudes, clearnesses)
def test_half_hours_add_up_to_the_day(latitude_deg: float, clearness: list[float]) -> None:
    daily = days_of(latitude_deg, clearness)
    sky = sky_of(daily, latitude_deg)
    assert sky.ghi_w_per_m2.sum(axis=2) * STEP_H == pytest.approx(daily)
    assert (sky.dhi_w_per_m2 <= sky.ghi_w_per_m2).all()
    assert sky.dni_w_per_m2.min() >= 0


@settings(max_examples=25, deadline=None)
@given(latitudes, azimuths, clearnesses)
def test_a_flat_plane_sees_what_falls_on_the_flat_whichever_way_it_faces(
    latitude_deg: float, azimuth_deg: float, clearness: list[float]
) -> None:
    sky = sky_of(days_of(latitude_deg, clearness), latitude_deg)
    flat = plane_of_array(sky, 0.0, azimuth_deg)
    south = plane_of_array(sky, 0.0, 180.0)
    assert flat.global_w_per_m2 == pytest.approx(south.global_w_per_m2, rel=1e-9, abs=1e-9)
    assert flat.effective_w_per_m2 == pytest.approx(south.effective_w_per_m2, rel=1e-9, abs=1e-9)
    # With the sun less than 5 degrees high, Perez shortens the light around it, and the beam is not divided by less than
    # cos(zenith) = 0.065; both only ever take light away.
    assert (flat.global_w_per_m2 <= sky.ghi_w_per_m2 + 1e-9).all()
    high = np.broadcast_to(sky.zenith_deg < 85, sky.ghi_w_per_m2.shape)
    assert flat.global_w_per_m2[high] == pytest.approx(sky.ghi_w_per_m2[high], rel=1e-9)


@settings(max_examples=25, deadline=None)
@given(latitudes, st.floats(0, 90), azimuths, clearnesses)
def test_glass_only_takes_light_away(latitude_deg: float, tilt: float, azimuth: float, clearness: list[float]) -> None:
    plane = plane_of_array(sky_of(days_of(latitude_deg, clearness), latitude_deg), round(tilt), azimuth)
    assert np.isfinite(plane.global_w_per_m2).all()
    assert plane.effective_w_per_m2.min() >= 0
    assert (plane.effective_w_per_m2 <= plane.global_w_per_m2 + 1e-9).all()


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 65), st.floats(0, 80), st.floats(-90, 90))
def test_east_and_west_mirror_each_other(latitude_deg: float, tilt: float, off_south: float) -> None:
    sky = sky_of(days_of(latitude_deg, np.full(12, 0.5)), latitude_deg)
    east = plane_of_array(sky, round(tilt), 180.0 - off_south).global_w_per_m2
    west = plane_of_array(sky, round(tilt), 180.0 + off_south).global_w_per_m2
    assert east == pytest.approx(west[:, :, ::-1], rel=1e-6, abs=1e-6)


@settings(max_examples=20, deadline=None)
@given(st.floats(1, 60), st.floats(0, 80))
def test_the_southern_mirror_of_a_northern_place(latitude_deg: float, tilt: float) -> None:
    """Six months on, the same latitude in the south meets the same sun, but for the distance of the earth.

    The earth is nearest in January: extraterrestrial irradiance is 3.4 % above the mean then and 3.3 % below in July (Spencer
    1971), and Klein's mean days and the declination of two months half a year apart differ by a little. Compared is the ratio of
    tilted to flat, where the distance cancels.
    """
    ratios = []
    for latitude in (latitude_deg, -latitude_deg):
        sky = sky_of(days_of(latitude, np.full(12, 0.5)), latitude)
        plane = plane_of_array(
            sky, round(tilt), equatorward_azimuth_deg(latitude or 1e-9 * (latitude_deg == latitude) - 5e-10)
        )
        ratios.append(plane.global_w_per_m2.sum(axis=(1, 2)) / sky.ghi_w_per_m2.sum(axis=(1, 2)))
    # Mean days half a year apart miss each other by up to 3 degrees of declination around the equinoxes, and Perez's classes of
    # clearness are steps, into which the distance of the earth tips some half-hours. On a grid of half a degree of latitude and
    # one of tilt both are largest at 60 and 80 degrees, the winter sun at its lowest: 7.9 % of a month and 4.0 % of the year.
    assert ratios[1] == pytest.approx(np.roll(ratios[0], 6), rel=0.09)
    assert ratios[1].mean() == pytest.approx(ratios[0].mean(), rel=0.045)


def test_sun_stands_in_the_south_at_noon_and_rises_in_the_east() -> None:
    declination = np.deg2rad(10.0)
    noon, morning = np.array(0.0), np.deg2rad(-60.0)
    assert float(sun_azimuth_deg(np.deg2rad(45), declination, noon)) == pytest.approx(180)
    assert float(sun_azimuth_deg(np.deg2rad(-45), declination, noon)) % 360 == pytest.approx(0)
    assert 90 < float(sun_azimuth_deg(np.deg2rad(45), declination, morning)) < 180
    assert np.rad2deg(np.arccos(cos_zenith_of(np.deg2rad(45), declination, noon))) == pytest.approx(35)


def test_the_equator_at_equinox_sees_the_sun_overhead() -> None:
    assert float(cos_zenith_of(0.0, 0.0, 0.0)) == 1.0
    assert SOLAR_TIME_H[[0, 23, 24, 47]] == pytest.approx([0.25, 11.75, 12.25, 23.75])


def test_diffuse_light_through_glass_as_the_library_prints_it() -> None:
    """pvlib's documentation of marion_diffuse, tilt 20: sky 0.9539, horizon 0.7653, ground 0.6387 (Marion 2017)."""
    glass = diffuse_through_glass(20.0)
    assert glass["sky"] == pytest.approx(0.9539178, abs=1e-6)
    assert glass["horizon"] == pytest.approx(0.7652650, abs=1e-6)
    assert glass["ground"] == pytest.approx(0.6387140, abs=1e-6)


def test_no_light_gives_no_light() -> None:
    plane = plane_of_array(sky_of(np.zeros((12, CLASSES)), 52.0), 35.0, 180.0)
    assert plane.global_w_per_m2.max() == plane.effective_w_per_m2.max() == 0


@pytest.mark.parametrize("latitude", [-90.0, -75.0, -66.6, 0.0, 66.6, 75.0, 90.0])
def test_poles_and_equator_give_finite_numbers(latitude: float) -> None:
    plane = plane_of_array(sky_of(np.full((12, CLASSES), 800.0), latitude), 60.0, 180.0)
    assert np.isfinite(plane.global_w_per_m2).all() and np.isfinite(plane.effective_w_per_m2).all()
