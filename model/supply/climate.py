"""The climate of a place: what the sun brings in each month, how days differ, how warm it is, how sure that is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from model.design import Place, Weather
from model.quantities import percent
from model.supply import climate_grid
from model.supply.daily_distribution import (
    PROBABILITIES,
    bendt_distribution,
    rescaled,
    reshape_daily_distribution,
)
from model.supply.sun import Floats, monthly_extraterrestrial_kwh_per_m2_day

__all__ = [
    "PROBABILITIES",
    "Climate",
    "NoClimate",
    "bias_divisor",
    "cautious_factor",
    "climate_at",
    "climate_from_months",
    "climate_of",
    "combined_uncertainty",
]

LAPSE_K_PER_M = 0.0065  # ICAO standard atmosphere

# One standard deviation, as a share of the mean.
PLACE_UNCERTAINTY = 0.105  # corrected climatology against monthly means of 56 places, each left out once
MONTH_UNCERTAINTY = 0.10  # one month in one year against its long-term mean, average over 26 stations
NINE_IN_TEN = 1.2816  # standard normal deviate that nine of ten exceed, below the mean


class NoClimate(ValueError):
    """The place has no built-in climate; the text is a sentence for the person who asked."""


@dataclass(frozen=True, slots=True)
class Climate:
    """Twelve months at a place, January first."""

    label: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float
    ghi_kwh_per_m2_day: tuple[float, ...]  # mean global horizontal irradiation
    # Daily irradiation of each month at PROBABILITIES, with the mean above.
    quantiles_kwh_per_m2_day: tuple[tuple[float, ...], ...]
    temperature_c: tuple[float, ...]  # mean over day and night
    source: str  # of the irradiation
    temperature_source: str
    place_uncertainty: float  # of a monthly mean, 1 standard deviation as a share; 0 where the mean was typed
    spread_source: str  # of the differences between days

    @property
    def cautious_factor(self) -> float:
        """What to multiply a typical month by to be right in nine years of ten."""
        return cautious_factor(combined_uncertainty(self.place_uncertainty, MONTH_UNCERTAINTY))

    @property
    def uncertainty(self) -> str:
        """What the irradiation does not know, to be printed beside it."""
        sigma = combined_uncertainty(self.place_uncertainty, MONTH_UNCERTAINTY)
        sentences = [f"Irradiation: {self.source}.", f"One month in one year: ±{percent(sigma)} (1σ)."]
        if self.place_uncertainty > 0:
            sentences.append("Not local: no horizon, no shade, no valley fog.")
        if abs(self.latitude_deg) > 55:
            sentences.append("Tilted panels above 55° latitude in the three darkest months: only order of magnitude.")
        return " ".join(sentences)


def bias_divisor(latitude_deg: float) -> float:
    """What MERRA-2's monthly irradiation is divided by: the reanalysis sees too little cloud, more so polewards.

    Fitted here on the monthly means of 56 places (left out one by one: mean ratio 1.008, rms of the months 10.5 %).
    The bias itself: Boilley & Wald 2015, Renewable Energy 75; Pfenninger & Staffell 2016, Energy 114.
    """
    return 1.009 + 0.0033 * min(abs(latitude_deg), 60.0)


def combined_uncertainty(*shares: float) -> float:
    """Standard deviation of independent errors together."""
    return math.sqrt(sum(share**2 for share in shares))


def cautious_factor(uncertainty: float) -> float:
    """Share of the typical value that nine years of ten reach, for a normal error; two digits are known of it."""
    return round(1 - NINE_IN_TEN * uncertainty, 2)


def temperature_at(temperature_c: Floats, from_elevation_m: float, to_elevation_m: float) -> Floats:
    """Mean temperature carried from one elevation to another by the lapse rate of the standard atmosphere."""
    return temperature_c + LAPSE_K_PER_M * (from_elevation_m - to_elevation_m)


@lru_cache(maxsize=128)
def climate_at(latitude_deg: float, longitude_deg: float, elevation_m: float | None = None, label: str = "") -> Climate:
    """The built-in climate of a place, corrected.

    Without an elevation, that of the surrounding cells' mean is taken. Longitudes may count to 180 or to 360.
    Raises NoClimate over open sea, on small islands and beyond 58.5 S and 73.5 N.
    """
    cells = climate_grid.irradiation_at(latitude_deg, longitude_deg)
    air = climate_grid.air_at(latitude_deg, longitude_deg)
    if cells is None or air is None:
        raise NoClimate(
            f"{label or _coordinates(latitude_deg, longitude_deg)} has no climate data (open sea, a small island "
            "or too near a pole): type twelve monthly values of irradiation, or read a weather file"
        )
    height = air.elevation_m if elevation_m is None else elevation_m
    mean = cells.mean / bias_divisor(latitude_deg)
    outside = monthly_extraterrestrial_kwh_per_m2_day(latitude_deg)
    quantiles = [
        reshape_daily_distribution(raw, float(month_mean), h0, height)
        for raw, month_mean, h0 in zip(cells.quantiles, mean, outside, strict=True)
    ]
    return Climate(
        label=label or _coordinates(latitude_deg, longitude_deg),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=height,
        ghi_kwh_per_m2_day=_floats(mean),
        quantiles_kwh_per_m2_day=tuple(_floats(row) for row in quantiles),
        temperature_c=_floats(temperature_at(air.temperature_c, air.elevation_m, height)),
        source="MERRA-2 2011–15, 3° cells, bias-corrected",
        temperature_source="ERA5 2000–25, 3° cells, 6.5 K/km to the place's elevation",
        place_uncertainty=PLACE_UNCERTAINTY,
        spread_source="MERRA-2 2011–15, 3° cells, bent to the corrected mean",
    )


def climate_from_months(
    ghi_kwh_per_m2_day: Sequence[float],
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float | None = None,
    *,
    temperature_c: Sequence[float] | None = None,
    daily_shape: Sequence[float] | None = None,
    label: str = "",
    source: str = "typed",
) -> Climate:
    """A climate from twelve monthly means, which are used unchanged.

    The spread of the days comes from `daily_shape` (quantiles over the mean at PROBABILITIES, month after month), else
    from the cells around the place bent to these means, else from the means alone (Bendt et al. 1981). Temperatures
    not given come from the built-in table, which also covers the sea.
    Raises ValueError for anything but twelve plausible months, NoClimate where temperatures must be given too.
    """
    mean = _twelve(ghi_kwh_per_m2_day, "irradiation")
    if np.any(mean < 0):
        raise ValueError("irradiation cannot be negative")
    air = climate_grid.air_at(latitude_deg, longitude_deg)
    height = elevation_m if elevation_m is not None else air.elevation_m if air else 0.0
    if temperature_c is not None:
        temperature, temperature_source = _twelve(temperature_c, "temperature"), source
    elif air is not None:
        temperature = temperature_at(air.temperature_c, air.elevation_m, height)
        temperature_source = "ERA5 2000–25, 3° cells, 6.5 K/km to the place's elevation"
    else:
        raise NoClimate(
            f"{label or _coordinates(latitude_deg, longitude_deg)} lies beyond the temperature table: "
            "type twelve monthly temperatures as well"
        )
    quantiles, spread_source = _spread(mean, latitude_deg, longitude_deg, height, daily_shape, source)
    return Climate(
        label=label or _coordinates(latitude_deg, longitude_deg),
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=height,
        ghi_kwh_per_m2_day=_floats(mean),
        quantiles_kwh_per_m2_day=tuple(_floats(row) for row in quantiles),
        temperature_c=_floats(temperature),
        source=source,
        temperature_source=temperature_source,
        place_uncertainty=0.0,
        spread_source=spread_source,
    )


def climate_of(place: Place, weather: Weather | None = None) -> Climate:
    """The climate a design asks for: its own monthly weather if it has any, else the built-in one.

    Raises NoClimate, and ValueError for weather without twelve months.
    """
    if weather is None:
        return climate_at(place.latitude_deg, place.longitude_deg, place.elevation_m, place.name)
    return climate_from_months(
        weather.ghi_kwh_per_m2_day,
        place.latitude_deg,
        place.longitude_deg,
        place.elevation_m,
        temperature_c=weather.temperature_c,
        daily_shape=weather.daily_shape,
        label=place.name,
        source=weather.source,
    )


def _spread(
    mean: Floats,
    latitude_deg: float,
    longitude_deg: float,
    elevation_m: float,
    daily_shape: Sequence[float] | None,
    source: str,
) -> tuple[list[Floats], str]:
    """Quantiles of daily irradiation around given means, and where their shape comes from."""
    if daily_shape is not None:
        if len(daily_shape) != 12 * len(PROBABILITIES):
            raise ValueError(
                f"the spread of days has {len(daily_shape)} numbers; "
                f"it takes {len(PROBABILITIES)} for each of twelve months"
            )
        shapes = np.reshape(np.asarray(daily_shape, dtype=float), (12, -1))
        if not np.all(np.isfinite(shapes)) or np.any(shapes < 0) or np.any(np.diff(shapes, axis=1) < 0):
            raise ValueError("the spread of days has a month whose numbers do not rise from 0 or more")
        return [rescaled(shape, float(value)) for shape, value in zip(shapes, mean, strict=True)], source
    outside = monthly_extraterrestrial_kwh_per_m2_day(latitude_deg)
    cells = climate_grid.irradiation_at(latitude_deg, longitude_deg)
    if cells is None:
        from_mean = [bendt_distribution(float(value), h0) for value, h0 in zip(mean, outside, strict=True)]
        return from_mean, "from the monthly means alone (Bendt et al. 1981), rather too many dark days"
    bent = [
        reshape_daily_distribution(raw, float(value), h0, elevation_m)
        for raw, value, h0 in zip(cells.quantiles, mean, outside, strict=True)
    ]
    return bent, "MERRA-2 2011–15, 3° cells, bent to the given means"


def _twelve(values: Sequence[float], what: str) -> Floats:
    months = np.asarray(values, dtype=float)
    if months.shape != (12,) or not np.all(np.isfinite(months)):
        raise ValueError(f"{what} takes twelve numbers, one for each month from January")
    return months


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


def _coordinates(latitude_deg: float, longitude_deg: float) -> str:
    return (
        f"{abs(latitude_deg):.2f}° {'N' if latitude_deg >= 0 else 'S'}, "
        f"{abs(longitude_deg):.2f}° {'E' if longitude_deg >= 0 else 'W'}"
    )
