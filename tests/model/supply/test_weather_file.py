"""Weather files of every kind, made here from the typical year of Greensboro that ships with pvlib (NSRDB, TMY3 723170)."""

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.record.weather_files import read_weather_file
from model.supply.climate import climate_of
from model.supply.daily_distribution import PROBABILITIES
from model.supply.weather_file import Hours, weather_from_hours

LIBRARY = Path(pvlib.__file__).parent / "data"
GREENSBORO, MIAMI, SAND_POINT = LIBRARY / "723170TYA.CSV", LIBRARY / "12839.tm2", LIBRARY / "703165TY.csv"

# Monthly means of the files' own GHI column in kWh/m2 and day, summed independently of the program.
GREENSBORO_GHI = [2.414, 3.063, 4.251, 5.41, 5.636, 6.251, 6.083, 5.615, 4.427, 3.589, 2.435, 2.243]
SAND_POINT_GHI = [0.583, 1.047, 1.853, 3.058, 3.278, 3.806, 5.005, 2.704, 3.041, 1.614, 0.743, 0.462]


@pytest.fixture(scope="module")
def year() -> pd.DataFrame:
    """Greensboro's year: GHI and temperature of each hour, labelled with the hour's beginning, eastern standard time."""
    data, _ = pvlib.iotools.read_tmy3(GREENSBORO)
    data = data[["ghi", "temp_air"]].astype(float)
    data.index = pd.date_range("1990-01-01", periods=8760, freq="h", tz="Etc/GMT+5")
    return data


def epw(year: pd.DataFrame) -> str:
    """The year as EPW: eight lines of header, then 35 columns (EnergyPlus, Auxiliary Programs)."""
    header = ["LOCATION,Made Up Field,NC,USA,TMY3,723170,36.10,-79.95,-5.0,273.0"]
    header += ["DESIGN CONDITIONS,0", "TYPICAL/EXTREME PERIODS,0", "GROUND TEMPERATURES,0"]
    header += ["HOLIDAYS/DAYLIGHT SAVINGS,No,0,0,0", "COMMENTS 1,", "COMMENTS 2,"]
    header += ["DATA PERIODS,1,1,Data,Sunday,1/1,12/31"]
    rows = []
    for when, row in zip(year.index, year.to_numpy(), strict=True):
        cells = ["0"] * 35
        cells[:6] = [str(when.year), str(when.month), str(when.day), str(when.hour + 1), "60", "A"]
        cells[6], cells[13] = f"{row[1]:.1f}", f"{row[0]:.0f}"
        rows.append(",".join(cells))
    return "\n".join(header + rows) + "\n"


def pvgis_rows(year: pd.DataFrame) -> list[tuple[str, float, float]]:
    """Hours in universal time, as PVGIS counts: a typical year's label says nothing of the real year."""
    moved = year.tz_convert("UTC")
    wrapped = pd.concat([moved[moved.index.year == 1991], moved[moved.index.year == 1990]])
    return [
        (f"{when:1990%m%d:%H%M}", row[0], row[1]) for when, row in zip(wrapped.index, wrapped.to_numpy(), strict=True)
    ]


def pvgis_tmy_csv(year: pd.DataFrame) -> str:
    head = (
        "Latitude (decimal degrees): 36.100\nLongitude (decimal degrees): -79.950\nElevation (m): 273.0\nmonth,year\n"
    )
    head += (
        "".join(f"{month},2007\n" for month in range(1, 13))
        + "time(UTC),T2m,RH,G(h),Gb(n),Gd(h),IR(h),WS10m,WD10m,SP\n"
    )
    rows = "".join(f"{when},{air},50,{ghi},0,0,300,1,0,99000\n" for when, ghi, air in pvgis_rows(year))
    return head + rows + "\nT2m: 2-m air temperature (degree Celsius)\n"


def pvgis_tmy_json(year: pd.DataFrame) -> str:
    location = {"latitude": 36.1, "longitude": -79.95, "elevation": 273.0}
    hourly = [{"time(UTC)": when, "T2m": air, "G(h)": ghi} for when, ghi, air in pvgis_rows(year)]
    outputs = {"months_selected": [{"month": m, "year": 2007} for m in range(1, 13)], "tmy_hourly": hourly}
    return json.dumps({"inputs": {"location": location}, "outputs": outputs, "meta": {"inputs": {}}})


def pvgis_hourly_csv(year: pd.DataFrame, slope: str = "0 deg.") -> str:
    head = "Latitude (decimal degrees):\t36.100\nLongitude (decimal degrees):\t-79.950\nElevation (m):\t273\n"
    head += f"Radiation database:\tPVGIS-SARAH3\n\n\nSlope: {slope}\nAzimuth: 0 deg.\n\n"
    head += "time,Gb(i),Gd(i),Gr(i),H_sun,T2m,WS10m,Int\n"
    rows = "".join(f"{when},{0.6 * ghi:.2f},{0.4 * ghi:.2f},0.0,0,{air},1,0\n" for when, ghi, air in pvgis_rows(year))
    return head + rows + "\nGb(i): Beam (direct) irradiance on the inclined plane (plane of the array) (W/m2)\n"


def pvgis_hourly_json(year: pd.DataFrame) -> str:
    rows = [{"time": when, "G(i)": ghi, "T2m": air, "Int": 0.0} for when, ghi, air in pvgis_rows(year)]
    inputs = {
        "location": {"latitude": 36.1, "longitude": -79.95, "elevation": 273.0},
        "mounting_system": {"fixed": {"slope": {"value": 0, "optimal": False}}},
    }
    return json.dumps({"inputs": inputs, "outputs": {"hourly": rows}, "meta": {"inputs": {}}})


@pytest.mark.parametrize(
    ("written", "name", "kind"),
    [
        (epw, "field.epw", "EPW"),
        (pvgis_tmy_csv, "tmy.csv", "PVGIS"),
        (pvgis_tmy_json, "tmy.json", "PVGIS"),
        (pvgis_hourly_csv, "timeseries.csv", "PVGIS"),
        (pvgis_hourly_json, "timeseries.json", "PVGIS"),
    ],
)
def test_every_kind_tells_the_same_year(
    written: Callable[[pd.DataFrame], str], name: str, kind: str, year: pd.DataFrame, tmp_path: Path
) -> None:
    path = tmp_path / name
    path.write_text(written(year))
    found = read_weather_file(path)
    # EPW rounds GHI to 1 W/m2. PVGIS files lose nothing but are cut into days of local time again.
    assert found.weather.ghi_kwh_per_m2_day == pytest.approx(GREENSBORO_GHI, abs=0.002)
    direct = read_weather_file(GREENSBORO).weather
    assert found.weather.temperature_c == pytest.approx(direct.temperature_c, abs=0.02)
    assert found.weather.daily_shape == pytest.approx(direct.daily_shape, abs=2e-3)
    assert found.weather.lowest_c == direct.lowest_c
    assert (found.place.latitude_deg, found.place.longitude_deg, found.place.elevation_m) == (36.1, -79.95, 273.0)
    assert kind in found.weather.source and name in found.weather.source


def test_tmy3_names_station_and_place() -> None:
    found = read_weather_file(SAND_POINT)
    assert found.weather.ghi_kwh_per_m2_day == pytest.approx(SAND_POINT_GHI, abs=0.001)
    assert "703165 SAND POINT" in found.weather.source
    assert (found.place.name, found.place.latitude_deg, found.place.elevation_m) == ("Sand Point", 55.317, 7.0)


def test_tmy2_is_read_with_its_temperatures_in_degrees() -> None:
    found = read_weather_file(MIAMI)
    assert "12839 MIAMI, FL" in found.weather.source
    assert found.place.latitude_deg == pytest.approx(25.8)
    assert found.place.longitude_deg == pytest.approx(-80.2667, abs=1e-4)
    # NOAA climate normals 1961-1990, Miami airport: January 19.6, July 28.1 degrees C (from memory, to be checked).
    assert found.weather.temperature_c is not None
    assert found.weather.temperature_c[0] == pytest.approx(19.6, abs=1.0)
    assert found.weather.temperature_c[6] == pytest.approx(28.1, abs=1.0)


def test_tmy2_of_a_station_with_two_words(tmp_path: Path) -> None:
    """Two-word stations such as San Juan are common in TMY2; the library's header reader takes one word only."""
    text = MIAMI.read_text().replace("MIAMI      ", "MADE UP TOWN", 1)
    path = tmp_path / "town.tm2"
    path.write_text(text)
    found = read_weather_file(path)
    assert found.place.name == "Made Up Town"
    assert found.weather.ghi_kwh_per_m2_day == read_weather_file(MIAMI).weather.ghi_kwh_per_m2_day


def test_a_file_replaces_the_climate_and_keeps_its_own_spread() -> None:
    found = read_weather_file(GREENSBORO)
    climate = climate_of(found.place, found.weather)
    assert climate.ghi_kwh_per_m2_day == pytest.approx(GREENSBORO_GHI, abs=0.001)
    assert climate.source == found.weather.source
    assert found.weather.daily_shape is not None and len(found.weather.daily_shape) == 12 * len(PROBABILITIES)


def test_several_years_are_averaged(year: pd.DataFrame) -> None:
    brighter = year["ghi"].to_numpy() * 1.1
    day = np.asarray(year.index.month * 100 + year.index.day)
    hours = Hours(
        np.concatenate([day + 1990_0000, day + 1991_0000]),
        np.concatenate([year["ghi"].to_numpy(), brighter]),
        np.concatenate([year["temp_air"].to_numpy()] * 2),
    )
    found = weather_from_hours(hours, "two years")
    assert found.ghi_kwh_per_m2_day == pytest.approx([1.05 * value for value in GREENSBORO_GHI], abs=0.002)


def damaged(path: Path, content: bytes) -> str:
    path.write_bytes(content)
    with pytest.raises(ValueError) as refused:
        read_weather_file(path)
    assert path.name in str(refused.value)
    assert "\n" not in str(refused.value)
    return str(refused.value)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"\x00\xff\xfe" * 500,
        b"hello",
        b"{",
        b'{"outputs": 3}',
        b"[]",
        b"LOCATION,\n",
        b"LOCATION,a,b,c,d,e,f,g,h,i\n1\n",
    ],
)
def test_other_bytes_are_refused_in_one_sentence(content: bytes, tmp_path: Path) -> None:
    damaged(tmp_path / "some.csv", content)


def test_half_a_file_is_refused(tmp_path: Path) -> None:
    whole = GREENSBORO.read_bytes()
    assert "whole year" in damaged(tmp_path / "half.csv", whole[: whole.rindex(b"\n", 0, len(whole) // 2) + 1])
    assert "damaged" in damaged(tmp_path / "cut.tm2", MIAMI.read_bytes()[:200_030])


def test_a_damaged_number_is_refused(tmp_path: Path) -> None:
    lines = GREENSBORO.read_text().splitlines()
    cells = lines[4000].split(",")
    lines[4000] = ",".join([*cells[:4], "4x8", *cells[5:]])
    damaged(tmp_path / "typo.csv", "\n".join(lines).encode())


def test_missing_hours_are_refused_with_their_number(year: pd.DataFrame, tmp_path: Path) -> None:
    gaps = year.copy()
    gaps.iloc[100:107, 0] = 9999.0  # EPW's mark for missing irradiation
    assert "7 of 8760 hours" in damaged(tmp_path / "gaps.epw", epw(gaps).encode())
    gaps = year.copy()
    gaps.iloc[100, 1] = 99.9  # and for a missing temperature
    assert "temperature is missing or impossible in 1 of" in damaged(tmp_path / "gaps.epw", epw(gaps).encode())


def test_a_tilted_plane_is_no_global_horizontal_irradiation(year: pd.DataFrame, tmp_path: Path) -> None:
    text = pvgis_hourly_csv(year, "35 deg. (optimum)")
    assert "tilted by 35 degrees" in damaged(tmp_path / "tilted.csv", text.encode())


def test_a_file_that_is_not_there_is_an_os_error(tmp_path: Path) -> None:
    with pytest.raises(OSError):
        read_weather_file(tmp_path / "none.epw")
