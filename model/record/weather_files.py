"""Reads a weather file from the disk: TMY3, TMY2, EPW, and the CSV and JSON of PVGIS, through pvlib.iotools.

What a file is shows in its first lines; its ending is not trusted, since `.csv` may be three of them.
"""

from __future__ import annotations

import io
import json
import re
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from model.design import Place, Weather
from model.supply.weather_file import Hours, MeasuredDays, measured_days_from_hours, weather_from_hours

if TYPE_CHECKING:
    import pandas as pd

LARGEST_BYTES = 200_000_000
LONGEST_SOURCE = 180
SAME_MONTH_KWH_PER_M2 = 0.01  # by which a month of a design may differ from its file's: digits that a person dropped
KINDS = "TMY3, TMY2, EPW, or CSV or JSON from PVGIS"
_TMY2_HEADER = re.compile(
    r"^ ?(\d{5}) +(\S.*?) +([A-Z]{2}) +(-?\d+) +([NS]) +(\d+) +(\d+) +([EW]) +(\d+) +(\d+) +(-?\d+)\s*$"
)


@dataclass(frozen=True, slots=True)
class WeatherFile:
    """What a weather file says: where it was taken, and the monthly weather there."""

    place: Place
    weather: Weather


@dataclass(frozen=True, slots=True)
class _Read:
    kind: str
    station: str
    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float | None
    hours: Hours


def read_weather_file(path: Path, folder: Path | None = None) -> WeatherFile:
    """Place and monthly weather from the file at `path`; the weather names it as seen from `folder`, where the design lies.

    Raises ValueError with one sentence that names the file and what is wrong with it, OSError where it cannot be read.
    """
    found, source = _read_file(path)
    try:
        weather = weather_from_hours(found.hours, source)
    except ValueError as problem:
        raise ValueError(f"{path.name}: {problem}") from None
    if not (-90 <= found.latitude_deg <= 90 and -180 <= found.longitude_deg <= 180):
        raise ValueError(f"{path.name}: latitude and longitude are not on the globe")
    place = Place(_one_line(found.name), found.latitude_deg, found.longitude_deg, found.elevation_m)
    return WeatherFile(place, replace(weather, file=_as_seen_from(folder, path)))


def measured_days(weather: Weather | None, folder: Path) -> tuple[MeasuredDays | None, str]:
    """The days of the file that a design's `weather` names, as seen from `folder`; or None and in a sentence why.

    ("" where no file is named.) A file is read again only when it changed. One whose months are not the design's is not used:
    someone typed other values since.
    """
    if weather is None or not weather.file:
        return None, ""
    path = folder / weather.file
    instead = "days are drawn from the monthly values"
    try:
        state = path.stat()
        found, months = _measured(path, state.st_mtime_ns, state.st_size)
    except OSError:
        return None, f"The weather file {weather.file} cannot be read: {instead}."
    except ValueError as problem:
        return None, f"{problem}: {instead}."
    pairs = zip(months, weather.ghi_kwh_per_m2_day, strict=True)
    if any(abs(in_file - in_design) > SAME_MONTH_KWH_PER_M2 for in_file, in_design in pairs):
        return None, f"The months of {path.name} are not those of the design any more: {instead}."
    return found, ""


@lru_cache(maxsize=4)
def _measured(path: Path, _changed_ns: int, _size: int) -> tuple[MeasuredDays, tuple[float, ...]]:
    """Its days, and the monthly irradiation that a design takes from it."""
    found, source = _read_file(path)
    try:
        months = weather_from_hours(found.hours, source).ghi_kwh_per_m2_day
        return measured_days_from_hours(found.hours, source), months
    except ValueError as problem:
        raise ValueError(f"{path.name}: {problem}") from None


def _as_seen_from(folder: Path | None, path: Path) -> str:
    """A path that leads from `folder` to the file, or the whole one where it lies elsewhere; "" if no text can hold it."""
    whole = path.absolute()
    if folder is not None and whole.is_relative_to(folder.absolute()):
        whole = whole.relative_to(folder.absolute())
    return whole.as_posix() if whole.as_posix().isprintable() else ""


def _read_file(path: Path) -> tuple[_Read, str]:
    """What the file holds, and its name as a source. Raises as `read_weather_file`."""
    if path.stat().st_size > LARGEST_BYTES:
        raise ValueError(
            f"{path.name} is larger than {LARGEST_BYTES // 1_000_000} MB: no weather file of a few years is"
        )
    content = path.read_bytes()
    reader = _reader_of(content)
    if reader is None:
        raise ValueError(f"{path.name} is no weather file that can be read: it takes {KINDS}")
    kind, read = reader
    try:
        found = read(content)
    except UnsuitableError as problem:
        raise ValueError(f"{path.name}: {problem}") from None
    except Exception as problem:  # the readers raise whatever a damaged line makes them stumble over
        raise ValueError(f"{path.name} looks like {kind} but is damaged: it cannot be read to its end") from problem
    return found, _one_line(f"{kind} file {path.name}: {found.station}")


class UnsuitableError(ValueError):
    """The file is sound but not what is needed."""


def _reader_of(content: bytes) -> tuple[str, Callable[[bytes], _Read]] | None:
    start = content[:4000].decode("utf-8-sig", errors="replace")
    lines = [*start.splitlines()[:2], "", ""]
    if start.lstrip().startswith("{"):
        return "PVGIS JSON", _read_pvgis_json
    if lines[0].startswith("LOCATION,"):
        return "EPW", _read_epw
    if lines[0].startswith("Latitude (decimal degrees)"):
        return "PVGIS CSV", _read_pvgis_tmy_csv if "\nmonth,year" in start else _read_pvgis_hourly_csv
    if lines[1].startswith("Date (MM/DD/YYYY)"):
        return "TMY3", _read_tmy3
    if _TMY2_HEADER.match(lines[0]):
        return "TMY2", _read_tmy2
    return None


def _read_tmy3(content: bytes) -> _Read:
    from pvlib.iotools import read_tmy3

    data, meta = read_tmy3(_text(content))
    name = str(meta["Name"]).strip().strip('"')
    # The written dates, not the library's index: that moves the last hour of 28 February to March or, in leap years, to the 29th.
    month_day = data["Date (MM/DD/YYYY)"].str.split("/", expand=True).astype(int)
    day = np.asarray(month_day[0] * 100 + month_day[1], dtype=np.int64)
    hours = Hours(day, np.asarray(data["ghi"], dtype=float), np.asarray(data["temp_air"], dtype=float))
    return _read("TMY3", f"station {meta['USAF']} {name}", name, meta, meta["altitude"], hours)


def _read_tmy2(content: bytes) -> _Read:
    from pvlib.iotools import read_tmy2

    header, _, rows = content.decode("ascii", errors="replace").partition("\n")
    match = _TMY2_HEADER.match(header)
    if match is None:
        raise ValueError("no header")
    name = match[2]
    # The library takes names of one word only, and only files on disk.
    header = header.replace(name, re.sub(r"\s+", "_", name), 1)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "weather.tm2"
        copy.write_text(f"{header}\n{rows}", encoding="ascii", errors="replace")
        data, meta = read_tmy2(str(copy))
    hours = _hours(data, data["GHI"], data["DryBulb"] / 10)
    return _read("TMY2", f"station {meta['WBAN']} {name}, {meta['State']}", name, meta, meta["altitude"], hours)


def _read_epw(content: bytes) -> _Read:
    from pvlib.iotools import read_epw

    data, meta = read_epw(_text(content))
    hours = _hours(data, data["ghi"], data["temp_air"])
    name = str(meta["city"]).strip()
    station = f"station {meta['WMO_code']} {name}, {meta['country']} ({meta['data_type']})"
    return _read("EPW", station, name, meta, meta["altitude"], hours)


def _read_pvgis_tmy_csv(content: bytes) -> _Read:
    from pvlib.iotools import read_pvgis_tmy

    data, meta = read_pvgis_tmy(io.BytesIO(content), pvgis_format="csv")
    inputs = meta["inputs"]
    return _pvgis(data, data["ghi"], inputs["latitude"], inputs["longitude"], inputs["elevation"], "typical year")


def _read_pvgis_hourly_csv(content: bytes) -> _Read:
    from pvlib.iotools import read_pvgis_hourly

    text = content.decode("utf-8-sig", errors="replace")
    slope = re.search(r"^Slope:\s*(-?[\d.]+)", text[:4000], re.MULTILINE)
    data, meta = read_pvgis_hourly(io.StringIO(text), pvgis_format="csv")
    at, ghi = meta["inputs"], _horizontal(data, float(slope[1]) if slope else 0.0)
    return _pvgis(data, ghi, at["latitude"], at["longitude"], at["elevation"], "hourly series")


def _read_pvgis_json(content: bytes) -> _Read:
    from pvlib.iotools import read_pvgis_hourly, read_pvgis_tmy

    document = json.loads(content)
    outputs, where = document["outputs"], document["inputs"]["location"]
    at = (where["latitude"], where["longitude"], where["elevation"])
    if "tmy_hourly" in outputs:
        data, _ = read_pvgis_tmy(io.BytesIO(content), pvgis_format="json")
        return _pvgis(data, data["ghi"], *at, "typical year")
    data, _ = read_pvgis_hourly(io.BytesIO(content), pvgis_format="json")
    mounting = document["inputs"].get("mounting_system", {}).get("fixed", {})
    return _pvgis(data, _horizontal(data, float(mounting.get("slope", {}).get("value", 0.0))), *at, "hourly series")


def _horizontal(data: pd.DataFrame, slope_deg: float) -> pd.Series[float]:
    """Global irradiance on the flat from an hourly series of PVGIS, whole or in components."""
    if slope_deg != 0:
        raise UnsuitableError(f"it was made for a plane tilted by {slope_deg:g} degrees: ask PVGIS for slope 0")
    if "poa_global" in data:
        return data["poa_global"]
    return data["poa_direct"] + data["poa_sky_diffuse"] + data["poa_ground_diffuse"]


def _pvgis(
    data: pd.DataFrame, ghi: pd.Series[float], latitude: float, longitude: float, elevation: float, what: str
) -> _Read:
    # PVGIS counts in universal time; a day that fits the sun is as many hours away as the longitude says.
    hours = _hours(data, ghi, data["temp_air"], shift_h=round(float(longitude) / 15))
    name = f"{float(latitude):.2f}, {float(longitude):.2f}"
    meta = {"latitude": latitude, "longitude": longitude}
    return _read("PVGIS", f"{what} at {name}", name, meta, elevation, hours)


def _hours(data: pd.DataFrame, ghi: pd.Series[float], temperature: pd.Series[float], shift_h: int = 0) -> Hours:
    import pandas as pd

    when = pd.DatetimeIndex(data.index) + pd.Timedelta(hours=shift_h)
    day = np.asarray(when.month * 100 + when.day, dtype=np.int64)
    if len(data) > 366 * 24:  # several years; in a typical year the months come from different ones
        day = day + np.asarray(when.year, dtype=np.int64) * 10_000
    return Hours(day, np.asarray(ghi, dtype=float), np.asarray(temperature, dtype=float))


def _read(kind: str, station: str, name: str, meta: dict[str, Any], elevation: float | None, hours: Hours) -> _Read:
    height = None if elevation is None else float(elevation)
    title = name.title() if name.isupper() else name
    return _Read(kind, station, title, float(meta["latitude"]), float(meta["longitude"]), height, hours)


def _text(content: bytes) -> io.StringIO:
    return io.StringIO(content.decode("utf-8-sig", errors="replace"))


def _one_line(text: str) -> str:
    """Text for a field of the design: printable, on one line, not too long."""
    kept = "".join(character if character.isprintable() else " " for character in text)
    return " ".join(kept.split())[:LONGEST_SOURCE]
