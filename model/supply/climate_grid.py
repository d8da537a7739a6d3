"""The built-in climate table as it is: reanalysis values between the centres of 3 degree cells, uncorrected."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from model import shelf
from model.supply.daily_distribution import PROBABILITIES
from model.supply.sun import Floats

CELL_DEG = 3.0
QUANTILE_UNIT_KWH = 0.005


@dataclass(frozen=True, slots=True, eq=False)
class Irradiation:
    """Raw MERRA-2 daily irradiation of a place, kWh/m2 a day."""

    mean: Floats  # (12,)
    quantiles: Floats  # (12, P), at PROBABILITIES


@dataclass(frozen=True, slots=True, eq=False)
class Air:
    """ERA5 air of a place: mean temperature at 2 m in degC, for the cells' mean elevation."""

    temperature_c: Floats  # (12,)
    elevation_m: float


@dataclass(frozen=True, slots=True, eq=False)
class Corner:
    """One of the cells around a place and its share in the bilinear mean."""

    row: int
    column: int
    share: float


@cache
def _table() -> dict[str, NDArray[np.generic]]:
    with np.load(shelf.path("climate.npz")) as file:
        table = {name: file[name] for name in file.files}
    if tuple(table["probabilities"].tolist()) != PROBABILITIES:
        raise ValueError("climate.npz holds other quantiles than this program expects; install Ampledger again")
    return table


def sources() -> tuple[str, ...]:
    """Where the table comes from: irradiation, temperature, elevation."""
    return tuple(str(text) for text in _table()["sources"])


def irradiation_at(latitude_deg: float, longitude_deg: float) -> Irradiation | None:
    """Raw daily irradiation between the cells that have any, None where none of the four around the place has."""
    table = _table()
    near = [corner for corner in _corners(latitude_deg, longitude_deg) if table["valid"][corner.row, corner.column]]
    if not near:
        return None
    mean = _blend(table["mean"], near) / 1000
    # Quantiles are blended at equal probability: neighbouring cells have their dark days together.
    quantiles = np.cumsum(_blend(table["quantile_steps"], near), axis=-1) * QUANTILE_UNIT_KWH
    return Irradiation(mean, quantiles)


def air_at(latitude_deg: float, longitude_deg: float) -> Air | None:
    """Mean temperature and elevation between the cells, over land and sea; None beyond the table (58.5 S, 73.5 N)."""
    near = _corners(latitude_deg, longitude_deg)
    if not near:
        return None
    table = _table()
    elevation_m = round(float(_blend(table["elevation"], near)))
    return Air(_blend(table["temperature"], near) / 10, elevation_m)


def _corners(latitude_deg: float, longitude_deg: float) -> list[Corner]:
    """The cells whose centres surround the place; none beyond the outer edge of the outermost rows.

    The longitudes wrap around; beyond the centres of the outermost rows, those rows hold.
    """
    latitudes, longitudes = _table()["latitude_deg"], _table()["longitude_deg"]
    down = (latitude_deg - float(latitudes[0])) / CELL_DEG
    if not -0.5 <= down <= len(latitudes) - 0.5:
        return []
    down = min(max(down, 0.0), len(latitudes) - 1.0)
    across = ((longitude_deg - float(longitudes[0])) / CELL_DEG) % len(longitudes)
    row, column = math.floor(down), math.floor(across)
    return [
        Corner(row + north, (column + east) % len(longitudes), share)
        for north, share_north in ((0, 1 - (down - row)), (1, down - row))
        for east, share_east in ((0, 1 - (across - column)), (1, across - column))
        if (share := share_north * share_east) > 0
    ]


def _blend(values: NDArray[np.generic], near: list[Corner]) -> Floats:
    """Mean of the corners' values, weighted by their shares."""
    total = sum(corner.share for corner in near)
    parts = [values[corner.row, corner.column].astype(float) * (corner.share / total) for corner in near]
    return np.asarray(sum(parts), dtype=float)
