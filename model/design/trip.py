"""A journey: one stop after another."""

from __future__ import annotations

from dataclasses import dataclass

from model.design.typed import typed


@dataclass(frozen=True, slots=True)
class Stop:
    """Some nights at a place. Without an arrival it follows the stop before; the first begins the month looked at.

    Without a shading of its own the array's counts.
    """

    name: str = typed("text", "name", "Stop", "")
    latitude_deg: float = typed("angle", "latitude", "Latitude", 0.0, low=-90, high=90)
    longitude_deg: float = typed("angle", "longitude", "Longitude", 0.0, low=-180, high=180)
    elevation_m: float | None = typed("length", "elevation", "Elevation", None, low=-500, high=6_000)
    arrival: str | None = typed("date", "arrival", "Arrival", None)
    nights: float = typed("count", "nights", "Nights", 3, low=1, high=366)
    driving_hours: float = typed("duration", "driving", "Driving on the way there", 0.0, low=0, high=48)
    shore_nights: float = typed("count", "shore_nights", "Nights on shore power", 0, high=366)
    off: str = typed("text", "off", "Loads switched off", "")
    shading: float | None = typed("percent", "shading", "Loss by shade here", None, low=0, high=0.95)
    note: str = typed("text", "note", "Note", "")
