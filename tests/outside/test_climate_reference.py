"""The built-in climate against measured monthly means, daily distributions and temperatures.

The sources of the irradiation rows stand in ghi_reference.csv beside this file: stations, typical years and a few
satellite climatologies. A typical year's month is one real month and differs from the long-term mean by 10 %.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from data.scripts import distil_climate
from model import shelf
from model.supply import climate_grid, sun
from model.supply.climate import PROBABILITIES, Climate, climate_at
from model.supply.daily_distribution import bendt_distribution

MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

Row = dict[str, str]


@pytest.fixture(scope="module")
def rows() -> list[Row]:
    """Horizontal rows of the reference file."""
    with Path(__file__).with_name("ghi_reference.csv").open(encoding="utf-8", newline="") as file:
        return [row for row in csv.DictReader(file) if float(row["tilt_deg"]) == 0]


def measured(rows: list[Row]) -> NDArray[np.float64]:
    return np.array([[float(row[month]) for month in MONTHS] for row in rows])


def built_in(row: Row) -> Climate:
    return climate_at(float(row["latitude_deg"]), float(row["longitude_deg"]), float(row["elevation_m"]))


def with_daily_series(rows: list[Row]) -> list[Row]:
    """The stations whose daily series gave the measured averages below (25 of those 28)."""
    return [row for row in rows if any(mark in row["source"] for mark in ("DSSAT", "SIAR", "1-min"))]


def test_monthly_irradiation_of_43_places(rows: list[Row]) -> None:
    reference = measured(rows)
    ours = np.array([built_in(row).ghi_kwh_per_m2_day for row in rows])
    assert len(rows) == 43
    assert 0.97 <= (ours / reference).mean() <= 1.03
    # Root mean square of the months' errors over the mean irradiation, the measure by which raw MERRA-2 has 16 %.
    assert np.sqrt(((ours - reference) ** 2).mean()) / reference.mean() <= 0.11
    # The same of the months' ratios weighs dark winters, and single typical-year months, more: 11.3 %.
    assert np.sqrt(((ours / reference - 1) ** 2).mean()) <= 0.12


def test_what_the_correction_is_worth(rows: list[Row]) -> None:
    # Published: MERRA-2 sees clear skies where there are clouds (Boilley & Wald 2015); uncorrected it fails the bar.
    raw = []
    for row in rows:
        cells = climate_grid.irradiation_at(float(row["latitude_deg"]), float(row["longitude_deg"]))
        assert cells is not None
        raw.append(cells.mean)
    assert 1.10 <= (np.array(raw) / measured(rows)).mean() <= 1.16


def test_days_are_as_unequal_as_measured(rows: list[Row]) -> None:
    # Average over 336 station-months (28 stations) of measured quantiles over the month's mean: P1 .283, P5 .424,
    # P10 .533, P25 .763, P50 1.038, P75 1.256, P90 1.401, P95 1.471.
    probabilities = (0.05, 0.10, 0.25, 0.50, 0.75, 0.90, 0.95)
    average = np.mean(
        [
            np.interp(probabilities, PROBABILITIES, quantiles) / mean
            for row in with_daily_series(rows)
            for mean, quantiles in zip(
                built_in(row).ghi_kwh_per_m2_day, built_in(row).quantiles_kwh_per_m2_day, strict=True
            )
        ],
        axis=0,
    )
    assert average[:2] == pytest.approx([0.424, 0.533], abs=0.03)
    # The bright side matters less: no battery is sized by it. P95 comes out 0.02 too high.
    assert average[2:] == pytest.approx([0.763, 1.038, 1.256, 1.401, 1.471], abs=0.05)


def test_distribution_from_the_mean_alone(rows: list[Row]) -> None:
    # Bendt et al. 1981 from the measured means of the same stations, worked out by an independent program: P1 .166, P5 .312,
    # P10 .443, P25 .726, P50 1.055, P75 1.316, P90 1.459. Three of the 28 stations are missing here: 0.015.
    probabilities = (0.01, 0.05, 0.10, 0.25, 0.50, 0.75, 0.90)
    average = np.mean(
        [
            np.interp(probabilities, PROBABILITIES, bendt_distribution(mean, outside)) / mean
            for row, means in zip(with_daily_series(rows), measured(with_daily_series(rows)), strict=True)
            for mean, outside in zip(
                means, sun.monthly_extraterrestrial_kwh_per_m2_day(float(row["latitude_deg"])), strict=True
            )
        ],
        axis=0,
    )
    assert average == pytest.approx([0.166, 0.312, 0.443, 0.726, 1.055, 1.316, 1.459], abs=0.015)


# ERA5 2000-2025 at the nearest point of its own 0.25 degree grid; elevation of the station.
ERA5 = {
    "De Bilt NL": (52.10, 5.18, 2, "3.8 4.3 6.6 10.0 13.6 16.8 18.3 18.0 15.1 11.6 7.4 4.6"),
    "Swift Current SK": (50.27, -107.73, 825, "-9.7 -10.1 -3.2 4.3 10.9 15.4 18.9 18.0 13.1 5.0 -2.9 -9.3"),
    "Gainesville FL": (29.63, -82.37, 30, "12.6 14.9 17.7 20.8 24.2 26.4 27.1 27.1 25.7 21.9 17.3 14.5"),
    "Hyderabad IN": (17.53, 78.27, 545, "22.2 25.0 28.2 30.9 32.0 28.5 26.2 25.8 25.8 25.3 23.3 21.6"),
    "Maricopa AZ": (33.07, -111.97, 361, "12.4 14.4 18.2 22.6 27.3 32.8 34.6 33.5 30.7 24.2 17.4 12.3"),
    "Pergamino AR": (-33.93, -60.55, 66, "24.2 22.7 20.7 17.2 13.4 10.5 9.8 11.7 14.2 17.3 20.6 23.0"),
    "Ihinger Hof DE": (48.75, 8.92, 475, "1.2 2.3 5.5 9.6 13.6 17.7 18.9 18.6 14.3 10.2 5.3 2.2"),
    "Los Baños PH": (14.18, 121.25, 21, "24.9 25.2 26.2 27.6 28.1 27.6 26.9 26.8 26.8 26.8 26.5 25.6"),
}

# Mean of daily minimum and maximum at the stations, DSSAT/dssat-csm-data, Weather; years mostly before 2000 (De Bilt
# 1959-1988), which were colder than 2000-2025.
STATIONS = {
    "De Bilt NL": "2.1 2.4 5.0 8.0 12.0 15.0 16.6 16.6 14.1 10.5 5.9 3.2",
    "Swift Current SK": "-11.5 -9.3 -3.2 4.5 10.8 15.5 18.4 18.0 12.4 5.5 -3.2 -9.8",
    "Gainesville FL": "12.9 14.4 17.2 20.5 24.0 26.6 27.5 27.4 26.0 22.2 17.7 14.5",
    "Hyderabad IN": "21.2 23.9 27.3 30.2 32.0 29.2 26.6 25.6 25.9 25.0 22.5 20.5",
    "Maricopa AZ": "10.9 12.8 16.2 20.1 25.0 30.0 32.5 31.9 28.6 22.1 15.1 10.3",
    "Pergamino AR": "23.5 22.3 20.4 16.9 13.4 10.2 10.0 11.3 13.5 16.6 19.4 22.3",
    "Ihinger Hof DE": "1.3 1.4 5.1 8.9 12.3 16.5 18.6 18.4 14.3 10.1 5.3 2.7",
    "Los Baños PH": "25.1 25.5 26.3 27.9 28.8 28.5 27.8 27.8 27.6 27.3 26.6 25.4",
}


@pytest.mark.parametrize("place", ERA5)
def test_temperature_keeps_to_the_fine_grid(place: str) -> None:
    latitude, longitude, elevation, text = ERA5[place]
    ours = np.array(climate_at(latitude, longitude, elevation).temperature_c)
    expected = np.array(text.split(), dtype=float)
    # Cells of 3 degrees take in the sea (Florida, Luzon, the Dutch coast): up to 1 K in the year, 2 K in winter.
    assert abs((ours - expected).mean()) <= 1.0
    assert np.abs(ours - expected).max() <= 2.0


def test_temperature_against_stations() -> None:
    yearly = []
    for place, text in STATIONS.items():
        latitude, longitude, elevation, _ = ERA5[place]
        ours = np.array(climate_at(latitude, longitude, elevation).temperature_c)
        yearly.append((ours - np.array(text.split(), dtype=float)).mean())
    # Over 33 places the annual means were 1.2 K off (root mean square); half of that is the warming.
    assert np.sqrt(np.square(yearly).mean()) <= 1.2
    assert 0.0 <= np.mean(yearly) <= 1.0  # the warming between the stations' years and 2000-2025


# Cells of land, desert, coast, the far north and the south, by latitude and longitude of their centres.
CELLS = [(39.0, -3.0), (24.0, 12.0), (51.0, 3.0), (69.0, 24.0), (-33.0, -60.0), (27.0, -81.0)]


def test_the_shipped_table_is_what_its_package_gives() -> None:
    import gsee_climate_data

    source = gsee_climate_data.load()
    bins, weights = source["xk"] * 0.024, source["pk"].astype(float)
    with np.load(shelf.path("climate.npz")) as shipped:
        quantiles = np.cumsum(shipped["quantile_steps"], axis=-1) * 0.005
        mean = shipped["mean"] / 1000
        valid = shipped["valid"]
    assert int(valid.sum()) == 2448
    for latitude, longitude in CELLS:
        row, column = list(source["lat"]).index(latitude), list(source["lon"]).index(longitude)
        for month in range(12):
            days, shares = bins[row, column, month].astype(float), weights[row, column, month]
            if not np.nansum(shares) > 0:  # the package leaves out the polar night
                assert mean[row, column, month] == 0 == quantiles[row, column, month].max()
                continue
            shares = shares / shares.sum()
            rebuilt = distil_climate.quantiles(days, shares)
            assert quantiles[row, column, month] == pytest.approx(rebuilt, abs=0.0026)  # half of 5 Wh/m2
            # The kernel is symmetric, so taking it out moves the mean only where negative days are cut.
            assert mean[row, column, month] == pytest.approx(float(shares @ days), abs=0.01)


def test_the_table_is_small_enough_to_ship() -> None:
    assert shelf.path("climate.npz").stat().st_size <= 600_000
