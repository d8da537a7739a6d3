"""The yield chain against textbooks, the Redbook's tilted rows, and 8 760 hours of pvlib on whole typical years."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.calendar import DAYS_IN_MONTH
from model.design import Array, Controller, Module
from model.record.weather_files import read_weather_file
from model.supply.climate import Climate, climate_from_months, climate_of
from model.supply.irradiance import (
    HOUR_ANGLE_RAD,
    cos_zenith_of,
    daily_diffuse_fraction,
    half_hour_share_of_diffuse,
    half_hour_share_of_global,
    sun_azimuth_deg,
)
from model.supply.module_yield import cell_c, kept_after_losses, tracked_w_per_w, yields
from model.supply.sun import (
    KLEIN_DAYS,
    Floats,
    daily_extraterrestrial_wh_per_m2,
    declination_rad,
    sunset_hour_angle_rad,
)

WH_PER_MJ = 1e6 / 3600
MODULE, CONTROLLER = Module(), Controller()


def incidence(latitude_deg: float, day: int, hour: float, tilt_deg: float, azimuth_deg: float) -> tuple[float, float]:
    """Angle of incidence in degrees, and Rb, at a solar time, by the functions of the chain."""
    at = (np.deg2rad(latitude_deg), declination_rad(float(day)), np.deg2rad((hour - 12) * 15))
    cos_zenith = float(cos_zenith_of(*at))
    zenith, azimuth = math.degrees(math.acos(cos_zenith)), float(sun_azimuth_deg(*at))
    aoi = float(pvlib.irradiance.aoi(tilt_deg, azimuth_deg, zenith, azimuth))
    return aoi, math.cos(math.radians(aoi)) / cos_zenith


def day_of(latitude_deg: float, day: int) -> tuple[float, Floats, Floats]:
    """H0 in MJ/m2 and the shares r_t and r_d of the 48 half-hours."""
    sunset = sunset_hour_angle_rad(np.deg2rad(latitude_deg), declination_rad(float(day)))
    above_air = float(daily_extraterrestrial_wh_per_m2(latitude_deg, day)) / WH_PER_MJ
    return (
        above_air,
        half_hour_share_of_global(HOUR_ANGLE_RAD, sunset),
        half_hour_share_of_diffuse(HOUR_ANGLE_RAD, sunset),
    )


def hour(shares: Floats, start: int) -> float:
    return float(shares[2 * start : 2 * start + 2].sum())


# --- Duffie & Beckman, Solar Engineering of Thermal Processes. All printed results from memory, to be checked against the book.


def test_angle_of_incidence_of_duffie_beckman_1_6_1_and_1_8_1() -> None:
    """Madison 43 N, 13 February, 10:30, tilt 45, 15 degrees west of south: 35 degrees, Rb 1.66."""
    aoi, ratio = incidence(43.0, 44, 10.5, 45.0, 195.0)
    assert round(aoi) == 35
    # Cooper's declination there is -14.0, Spencer's -13.6: 0.4 degrees, 1 % of Rb.
    assert ratio == pytest.approx(1.66, rel=0.01)


def test_rb_of_duffie_beckman_1_8_2() -> None:
    """40 N, 16 February, 9 to 10 h, tilt 30 south: 1.61. Half a degree of declination as above."""
    assert incidence(40.0, 47, 9.5, 30.0, 180.0)[1] == pytest.approx(1.61, rel=0.01)


def test_one_hour_above_the_air_of_duffie_beckman_1_10_2() -> None:
    """43 N, 15 April, 10 to 11 h: 3.79 MJ. Above the air the light follows r_d exactly."""
    above_air, _, diffuse = day_of(43.0, 105)
    assert above_air * hour(diffuse, 10) == pytest.approx(3.79, rel=0.005)


def test_daily_diffuse_share_of_duffie_beckman_2_11_1_and_2_12_1() -> None:
    """St Louis, 3 September, 23 MJ: KT 0.69, 0.26, 6.0 MJ. Madison in June, 23 MJ: 0.38 is the monthly formula's.

    With H0 of 33.3 MJ as printed; the printed 0.26 is read from a curve, the formula gives 0.25.
    """
    share = float(daily_diffuse_fraction(np.array(23 / 33.3), np.array(1.65)))
    assert share == pytest.approx(0.26, abs=0.01)
    assert 23 * share == pytest.approx(6.0, rel=0.035)


def test_hours_of_a_day_of_duffie_beckman_2_13() -> None:
    """Shares of an hour: Melbourne (37.82 S) in January 8 to 9 h, Madison 23 August 13 to 14 h, Madison in June 10 to 11 h."""
    _, of_global, _ = day_of(-37.82, 17)
    # An independent program gives 0.0759.
    assert hour(of_global, 8) == pytest.approx(0.0759, abs=0.0005)
    _, of_global, _ = day_of(43.0, 235)
    assert 31.4 * hour(of_global, 13) == pytest.approx(3.68, rel=0.01)
    _, of_global, of_diffuse = day_of(43.0, 162)
    assert 23.0 * hour(of_global, 10) == pytest.approx(2.50, rel=0.01)
    assert 0.38 * 23.0 * hour(of_diffuse, 10) == pytest.approx(0.89, rel=0.01)


def test_tilted_months_of_duffie_beckman_2_20_1() -> None:
    """Madison, 60 degrees south: the book's Liu, Jordan & Klein method on this program's geometry, to the printed digit.

    The chain itself uses another sky; here the geometry over the whole day and year is put to the test. Input as printed,
    seen; results from memory. With the book's declination (Cooper 1969): Spencer's, nearer to the almanac by up to a degree in
    autumn, brings 8 % less in October.
    """
    horizontal = np.array([6.44, 9.89, 12.86, 16.05, 21.36, 23.04, 22.58, 20.33, 14.59, 10.48, 6.37, 5.74])
    albedo = np.array([0.7, 0.7, 0.4, *[0.2] * 8, 0.4])
    printed = np.array([13.7, 17.2, 15.8, 14.7, 16.6, 16.5, 16.8, 17.5, 15.6, 15.2, 11.4, 12.7])
    day = np.array(KLEIN_DAYS, dtype=float)[:, None]
    latitude, tilt = np.deg2rad(43.0), np.deg2rad(60.0)
    declination = np.deg2rad(23.45) * np.sin(2 * np.pi * (284 + day) / 365)
    angle = np.linspace(-np.pi, np.pi, 4001)
    cos_zenith = np.maximum(cos_zenith_of(latitude, declination, angle), 0)
    facing = pvlib.irradiance.aoi_projection(
        60.0, 180.0, np.rad2deg(np.arccos(cos_zenith)), sun_azimuth_deg(latitude, declination, angle)
    )
    mean_rb = (np.maximum(facing, 0) * (cos_zenith > 0)).sum(axis=1) / cos_zenith.sum(axis=1)
    normal = 1367 * (1 + 0.033 * np.cos(2 * np.pi * day / 365))
    k = horizontal / (normal * cos_zenith.mean(axis=1, keepdims=True) * 24 / WH_PER_MJ)[:, 0]
    sunset = sunset_hour_angle_rad(latitude, declination)[:, 0]
    low = 1.391 - 3.560 * k + 4.189 * k**2 - 2.137 * k**3  # Erbs et al. 1982, monthly; D&B eq. 2.12.1
    high = 1.311 - 3.022 * k + 3.427 * k**2 - 1.821 * k**3
    share = np.where(sunset <= np.deg2rad(81.4), low, high)
    tilted = horizontal * ((1 - share) * mean_rb + share * (1 + np.cos(tilt)) / 2 + albedo * (1 - np.cos(tilt)) / 2)
    # November and March stand so near to a half (11.36, 17.25) that the last digit may go either way.
    assert tilted == pytest.approx(printed, abs=0.06)


# --- NREL, Solar Radiation Data Manual for Flat-Plate and Concentrating Collectors ("Redbook"), 1961-1990


@dataclass(frozen=True)
class Redbook:
    flat: str
    tilted: dict[float, str]
    latitude_deg: float
    longitude_deg: float
    elevation_m: float

    def misfit(self, tilt_deg: float) -> tuple[Floats, float]:
        """Monthly and yearly misfit of the irradiation on the module, as shares of the printed values."""
        climate = climate_from_months(
            row(self.flat), self.latitude_deg, self.longitude_deg, self.elevation_m, temperature_c=[15.0] * 12
        )
        months = yields(climate, MODULE, Array(tilt_deg=tilt_deg), CONTROLLER, 12.0)
        own, printed = np.array([month.poa_kwh_per_m2_day for month in months]), row(self.tilted[tilt_deg])
        return own / printed - 1, float(own.mean() / printed.mean() - 1)


def row(text: str) -> Floats:
    return np.array([float(value) for value in text.split()])


# Seen: Murphy, Energy and Human Ambitions on a Finite Planet, table 13.2 (St Louis).
ST_LOUIS = Redbook(
    "2.2 2.9 3.9 5.0 5.9 6.4 6.4 5.7 4.6 3.5 2.3 1.8",
    {
        23.75: "3.2 3.8 4.6 5.4 5.9 6.3 6.3 6.0 5.3 4.5 3.2 2.7",
        38.75: "3.6 4.2 4.7 5.3 5.6 5.8 5.9 5.7 5.3 4.8 3.5 3.1",
        53.75: "3.8 4.3 4.6 4.9 4.9 5.0 5.1 5.2 5.1 4.8 3.7 3.3",
        90.0: "3.5 3.7 3.4 3.1 2.6 2.4 2.6 3.0 3.5 3.8 3.2 3.0",
    },
    38.75,
    -90.38,
    172.0,
)
# From memory, to be checked against the manual.
BOULDER = Redbook(
    "2.4 3.3 4.4 5.6 6.2 6.9 6.7 6.0 5.0 3.8 2.6 2.1",
    {40.02: "4.4 5.1 5.6 6.0 5.9 6.1 6.1 6.1 6.0 5.6 4.6 4.2"},
    40.02,
    -105.25,
    1634.0,
)


@pytest.mark.parametrize("tilt_deg", list(ST_LOUIS.tilted))
def test_redbook_st_louis(tilt_deg: float) -> None:
    """The year within 2 %.

    Of a month, up to 4 % are the printed digits (2.3 and 3.2 are known to 0.05), the rest the spread of its days, which is not
    printed and comes from the built-in climate: January and November are +3 to +8 % off, all others within 3 %.
    """
    months, whole_year = ST_LOUIS.misfit(tilt_deg)
    assert abs(whole_year) <= 0.02
    assert np.abs(months).max() <= 0.085
    assert np.abs(np.delete(months, [0, 10])).max() <= 0.03


def test_redbook_boulder() -> None:
    months, whole_year = BOULDER.misfit(40.02)
    assert abs(whole_year) <= 0.02
    assert np.abs(months).max() <= 0.04


# --- 8 760 hours of pvlib on typical years that ship with it (NSRDB: TMY3 723170, 703165; TMY2 12839)

LIBRARY = Path(pvlib.__file__).parent / "data"
STATIONS = {"Greensboro": "723170TYA.CSV", "Miami": "12839.tm2", "Sand Point": "703165TY.csv"}


@dataclass(frozen=True)
class Hourly:
    """A typical year by the hour, its sun at the middle of each hour, and the climate that the program reads from the file."""

    data: pd.DataFrame
    sun: pd.DataFrame
    climate: Climate
    days: Floats


@cache
def station(name: str) -> Hourly:
    path = LIBRARY / STATIONS[name]
    if path.suffix == ".tm2":
        raw, meta = pvlib.iotools.read_tmy2(path)
        columns = {"ghi": raw["GHI"], "dhi": raw["DHI"], "air": raw["DryBulb"] / 10}
    else:
        raw, meta = pvlib.iotools.read_tmy3(path)
        columns = {"ghi": raw["ghi"], "dhi": raw["dhi"], "air": raw["temp_air"]}
    zone = raw.index.tz
    index = pd.date_range("1990-01-01 00:30", periods=8760, freq="h", tz=zone)
    data = pd.DataFrame({key: np.asarray(value, dtype=float) for key, value in columns.items()}, index=index)
    sun = pvlib.solarposition.get_solarposition(index, meta["latitude"], meta["longitude"], meta["altitude"])
    found = read_weather_file(path)
    days = np.bincount(index.month, minlength=13)[1:] / 24
    return Hourly(data, sun, climate_of(found.place, found.weather), days)


def by_the_hour(year: Hourly, array: Array) -> tuple[Floats, Floats]:
    """Monthly irradiation on the module in Wh/m2 and energy per rated watt in Wh, hour by hour with pvlib alone.

    Beam is taken as GHI less diffuse: the components of Miami's file do not add up to its GHI (0.45 % of the year missing).
    """
    zenith, azimuth = year.sun["zenith"].to_numpy(), year.sun["azimuth"].to_numpy()
    ghi, dhi = year.data["ghi"].to_numpy(), year.data["dhi"].to_numpy()
    cos_zenith = np.cos(np.deg2rad(zenith))
    dni = np.where(cos_zenith > 0.065, (ghi - dhi) / np.maximum(cos_zenith, 0.065), 0.0)
    extra = pvlib.irradiance.get_extra_radiation(year.data.index.day_of_year.to_numpy())
    tilt, facing = array.tilt_deg, 180.0
    aoi = pvlib.irradiance.aoi(tilt, facing, zenith, azimuth)
    airmass = pvlib.atmosphere.get_relative_airmass(zenith)
    sky = pvlib.irradiance.perez(tilt, facing, dhi, dni, extra, zenith, azimuth, airmass, return_components=True)
    sky = {key: np.nan_to_num(value) for key, value in sky.items()}
    beam = dni * np.maximum(np.cos(np.deg2rad(aoi)), 0)
    ground = pvlib.irradiance.get_ground_diffuse(tilt, ghi, 0.2)
    on_plane = beam + sky["poa_sky_diffuse"] + ground
    with np.errstate(invalid="ignore"):  # the ground share of a flat module is 0/0
        glass = {key: np.nan_to_num(value) for key, value in pvlib.iam.marion_diffuse("physical", tilt).items()}
    through = (
        (beam + sky["poa_circumsolar"]) * pvlib.iam.physical(aoi)
        + sky["poa_isotropic"] * glass["sky"]
        + sky["poa_horizon"] * glass["horizon"]
        + ground * glass["ground"]
    )
    cell = cell_c(on_plane, year.data["air"].to_numpy(), array.mounting)
    power = tracked_w_per_w(np.maximum(through, 0), cell, MODULE.power_per_k) * kept_after_losses(array)
    month = year.data.index.month
    return np.bincount(month, weights=on_plane)[1:], np.bincount(month, weights=power)[1:]


def misfit(name: str, tilt_deg: float) -> tuple[Floats, Floats]:
    """Misfit of the program's months (and the year, last) from the hourly run: irradiation on the module, energy."""
    year, array = station(name), replace(Array(), tilt_deg=tilt_deg)
    plane, energy = by_the_hour(year, array)
    months = yields(year.climate, MODULE, array, CONTROLLER, 12.0)
    own_plane = np.array([month.poa_kwh_per_m2_day for month in months]) * year.days * 1000
    own_energy = np.array([month.yield_wh_per_w_day for month in months]) * year.days

    def with_year(own: Floats, other: Floats) -> Floats:
        return np.append(own, own.sum()) / np.append(other, other.sum()) - 1

    return with_year(own_plane, plane), with_year(own_energy, energy)


@pytest.mark.parametrize("name", list(STATIONS))
def test_a_flat_year_against_8760_hours(name: str) -> None:
    """The bars: irradiation within 0.3 % of the year, energy within 1.5 %."""
    plane, energy = misfit(name, 0.0)
    assert abs(plane[-1]) <= 0.003
    assert abs(energy[-1]) <= 0.015
    if name != "Sand Point":  # its darkest months are 0.5 kWh a day at 55 N, 5 % of which is 0.02 kWh
        assert np.abs(energy).max() <= 0.015


@pytest.mark.parametrize(("name", "tilt_deg"), [("Greensboro", 36.0), ("Miami", 26.0)])
def test_a_tilted_year_against_8760_hours(name: str, tilt_deg: float) -> None:
    """The bar: the year within 3 %. A month's few clear days are the rest."""
    plane, energy = misfit(name, tilt_deg)
    assert abs(plane[-1]) <= 0.03 and abs(energy[-1]) <= 0.03
    assert np.abs(energy).max() <= 0.06


def test_sand_point_tilted_is_a_known_misfit() -> None:
    """Alaska, 55 N, tilt 55: too little in autumn, because this modelled file is uncommonly clear there.

    Its diffuse share of October to December is 0.51, 0.62, 0.57; measured at Lyngby, at the same latitude, 0.60, 0.68, 0.73,
    which is what the daily split reckons with. Spring and summer agree. The finding "order of magnitude only" for tilted modules
    in the dark months beyond 55 degrees comes from here. Held so that a change of the chain is seen.
    """
    plane, energy = misfit("Sand Point", 55.0)
    assert np.abs(energy[2:8]).max() <= 0.04  # March to August
    assert -0.27 <= energy[8:12].min() <= -0.15  # the worst of September to December
    assert -0.08 <= energy[-1] <= -0.03
    assert -0.08 <= plane[-1] <= -0.03
    data = station("Sand Point").data
    autumn = data[data.index.month >= 10]
    assert autumn["dhi"].sum() / autumn["ghi"].sum() < 0.60


def test_days_in_months_are_those_of_the_calendar() -> None:
    assert station("Miami").days == pytest.approx([28 if days == 28.25 else days for days in DAYS_IN_MONTH])
