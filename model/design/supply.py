"""Where the energy comes from: place and weather, roof, modules and their controller, and what charges besides the sun."""

from __future__ import annotations

from dataclasses import dataclass

from model.design.typed import typed

MOUNTINGS = ("flush", "gap", "open rack")
CONTROLLERS = ("MPPT", "PWM")
CHARGING_LINKS = ("DC-DC charger", "relay")
VEHICLE_VOLTAGES = ("12 V", "24 V")
GENERATOR_BONDS = ("not known", "none", "fixed")
CHARGER_ON = ("not known", "inlet", "inverter")


@dataclass(frozen=True, slots=True)
class Place:
    name: str = typed("text", "name", "Place", "")
    latitude_deg: float = typed("angle", "latitude", "Latitude", 0.0, low=-90, high=90)
    longitude_deg: float = typed("angle", "longitude", "Longitude", 0.0, low=-180, high=180)
    elevation_m: float | None = typed("length", "elevation", "Elevation", None, low=-500, high=6_000)


@dataclass(frozen=True, slots=True)
class Weather:
    """Monthly weather that replaces the built-in climate: typed, or distilled from a weather file.

    `daily_shape` holds, for each month, the quantiles of daily irradiation over the month's mean at
    `model.supply.climate.PROBABILITIES`, flattened month after month; None where only means are known.
    `file`: the file that all this was distilled from, as seen from the design file; "" where it was typed.
    """

    source: str = typed("text", "source", "Where it comes from", "typed")
    ghi_kwh_per_m2_day: tuple[float, ...] = typed(
        "irradiation", "irradiation", "Global horizontal irradiation", (0.0,) * 12, many=12
    )
    temperature_c: tuple[float, ...] | None = typed("temperature", "temperature", "Mean temperature", None, many=12)
    daily_shape: tuple[float, ...] | None = typed("number", "daily_shape", "Spread of days", None, many=-1)
    lowest_c: float | None = typed("temperature", "lowest", "Lowest temperature ever", None, low=-70, high=30)
    file: str = typed("text", "file", "Weather file whose days the odds use", "")


@dataclass(frozen=True, slots=True)
class Module:
    """One solar module at standard test conditions, from its data sheet."""

    rated_w: float = typed("power", "power", "Rated power", 100.0, low=1, high=1_000)
    voc_v: float = typed("voltage", "open_circuit_voltage", "Open-circuit voltage", 22.5, low=1, high=200)
    vmp_v: float = typed("voltage", "maximum_power_voltage", "Voltage at maximum power", 18.6, low=1, high=200)
    isc_a: float = typed("current", "short_circuit_current", "Short-circuit current", 5.7, low=0.01, high=50)
    imp_a: float = typed("current", "maximum_power_current", "Current at maximum power", 5.4, low=0.01, high=50)
    power_per_k: float = typed(
        "per_kelvin", "power_coefficient", "Temperature coefficient of power", -0.0035, low=-0.01, high=0
    )
    voc_per_k: float = typed(
        "per_kelvin", "voltage_coefficient", "Temperature coefficient of voltage", -0.0028, low=-0.01, high=0
    )
    length_m: float = typed("length", "length", "Length", 1.05, low=0.05, high=3)
    width_m: float = typed("length", "width", "Width", 0.54, low=0.05, high=3)
    mass_kg: float | None = typed("mass", "mass", "Mass", None)
    series_fuse_a: float | None = typed("current", "series_fuse", "Largest series fuse", None, low=1, high=100)


@dataclass(frozen=True, slots=True)
class Array:
    """How many modules, how wired and how mounted. `count` None: as many as fit on the roof."""

    count: float | None = typed("count", "count", "Modules", None, high=100)
    in_series: float = typed("count", "in_series", "Modules in series", 1, low=1, high=20)
    mounting: str = typed("choice", "mounting", "Mounting", "gap", choices=MOUNTINGS)
    tilt_deg: float = typed("angle", "tilt", "Tilt", 0.0, low=0, high=90)
    azimuth_deg: float | None = typed("angle", "azimuth", "Azimuth, clockwise from north", None, low=0, high=360)
    soiling: float = typed("percent", "soiling", "Loss: dirt", 0.02, low=0, high=0.9)
    shading: float = typed("percent", "shading", "Loss: shade", 0.03, low=0, high=0.9)
    mismatch: float = typed("percent", "mismatch", "Loss: mismatch", 0.0, low=0, high=0.5)
    wiring: float = typed("percent", "wiring", "Loss: wiring", 0.02, low=0, high=0.5)
    connections: float = typed("percent", "connections", "Loss: connections", 0.005, low=0, high=0.5)
    light_induced: float = typed("percent", "light_induced", "Loss: light-induced", 0.015, low=0, high=0.5)
    nameplate: float = typed("percent", "nameplate", "Loss: nameplate", 0.01, low=0, high=0.5)


@dataclass(frozen=True, slots=True)
class Controller:
    """The solar charge controller."""

    kind: str = typed("choice", "kind", "Kind", "MPPT", choices=CONTROLLERS)
    efficiency: float = typed("efficiency", "efficiency", "Efficiency", 0.95)
    limit_v: float = typed("voltage", "limit_voltage", "Largest panel voltage", 100.0, low=5, high=600)
    limit_a: float = typed("current", "limit_current", "Largest charge current", 50.0, low=1, high=300)


@dataclass(frozen=True, slots=True)
class Alternator:
    """Charging while driving. A smart alternator is one that the engine's computer turns down when it likes."""

    fitted: bool = typed("yes/no", "fitted", "Charging while driving", False)
    kind: str = typed("choice", "kind", "By DC-DC charger or relay", "DC-DC charger", choices=CHARGING_LINKS)
    driving_hours_per_week: float = typed("hours_per_week", "driving", "Driving a week", 0.0)
    charger_a: float = typed("current", "charger", "Current into the battery", 30.0, high=500)
    efficiency: float = typed("efficiency", "efficiency", "Efficiency of the charger", 0.90)
    smart: bool = typed("yes/no", "smart", "Smart alternator", True)
    vehicle_v: float = typed("voltage", "vehicle_voltage", "Vehicle voltage", 12.0, choices=VEHICLE_VOLTAGES)
    rating_a: float | None = typed("current", "rating", "Alternator rating", None, low=10, high=1_000)
    vehicle_load_a: float = typed("current", "vehicle_load", "What the vehicle draws itself", 20.0, high=500)
    cable_drop_v: float | None = typed("voltage", "cable_drop", "Voltage drop of its cables", None, low=0, high=10)


@dataclass(frozen=True, slots=True)
class Shore:
    """Nights on shore power, with a charger."""

    nights_per_week: float = typed("number", "nights_per_week", "Nights a week", 0.0, low=0, high=7)
    hours_per_night: float = typed("hours_per_day", "hours", "Hours a night", 10.0)
    charger_a: float = typed("current", "charger", "Charger current", 20.0, high=500)
    charger_on: str = typed("choice", "charger_on", "Charger is plugged into", "not known", choices=CHARGER_ON)


@dataclass(frozen=True, slots=True)
class Generator:
    """A generator that runs a charger now and then."""

    hours_per_week: float = typed("hours_per_week", "hours_per_week", "Running a week", 0.0)
    charger_a: float = typed("current", "charger", "Charger current", 20.0, high=500)
    bond: str = typed("choice", "bond", "Joins neutral and earth", "not known", choices=GENERATOR_BONDS)


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A rectangle on the roof that no module may cover; x from the front, y from the left edge."""

    name: str = typed("text", "name", "Obstacle", "")
    x_m: float = typed("length", "x", "From the front", 0.0, low=0, high=30)
    y_m: float = typed("length", "y", "From the left", 0.0, low=0, high=10)
    length_m: float = typed("length", "length", "Length", 0.4, low=0, high=30)
    width_m: float = typed("length", "width", "Width", 0.4, low=0, high=10)
    height_m: float = typed("length", "height", "Height", 0.1, low=0, high=3)


@dataclass(frozen=True, slots=True)
class Roof:
    """The flat part of the roof: length along the van, width across it."""

    length_m: float = typed("length", "length", "Length along the van", 3.0, low=0.1, high=30)
    width_m: float = typed("length", "width", "Width across the van", 1.6, low=0.1, high=10)
    margin_m: float = typed("length", "margin", "Margin to the edge", 0.05, low=0, high=2)
    gap_m: float = typed("length", "gap", "Gap between things", 0.03, low=0, high=2)
    obstacles: tuple[Obstacle, ...] = ()
