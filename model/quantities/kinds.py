"""The kinds of field, each with its canonical unit and the spellings that it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from math import inf


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of field.

    unit: what is shown; canonical: the pint unit of the number; units: spelling -> pint unit, letter case ignored; exact: the
    spellings in which letter case counts; bare: the pint unit of a number without unit, "" where that is refused.
    """

    name: str
    noun: str
    unit: str
    canonical: str
    units: Mapping[str, str]
    hint: str
    low: float = 0.0
    high: float = inf
    bare: str = ""
    exact: Mapping[str, str] = field(default_factory=dict)


_TIME = {
    "h": "hour", "hr": "hour", "hrs": "hour", "hour": "hour", "hours": "hour",
    "min": "minute", "mins": "minute", "minute": "minute", "minutes": "minute",
    "s": "second", "sec": "second", "second": "second", "seconds": "second",
    "d": "day", "day": "day", "days": "day",
}  # fmt: skip
_LENGTH = {
    "m": "meter", "metre": "meter", "metres": "meter", "meter": "meter", "meters": "meter",
    "cm": "centimeter", "mm": "millimeter", "km": "kilometer",
    "ft": "foot", "foot": "foot", "feet": "foot", "'": "foot", "′": "foot",
    "in": "inch", "inch": "inch", "inches": "inch", '"': "inch", "″": "inch",
}  # fmt: skip

_PERCENT = {"%": "percent_of_one", "percent": "percent_of_one"}
_CURRENCIES = ("$", "€", "£", "¥", "usd", "eur", "gbp", "chf", "sek", "nok", "dkk", "cad", "aud", "nzd")
_KWH_PER_M2 = "kilowatt_hour / meter ** 2"

# "MW" and "mW" differ by 10^9, so there the letter case counts (`exact`); "kw" and "KW" can only be one thing.
# An energy, a charge, a length or a section without a unit is refused: Ah at which voltage, metres or feet?
_ALL = (
    Kind(
        "power", "a power", "W", "watt",
        {"w": "watt", "watt": "watt", "watts": "watt", "kw": "kilowatt"},
        "45 W, 0.8 kW", bare="watt", exact={"mW": "milliwatt", "MW": "megawatt"},
    ),
    Kind(
        "current", "a current", "A", "ampere",
        {"a": "ampere", "amp": "ampere", "amps": "ampere", "ampere": "ampere", "amperes": "ampere", "ka": "kiloampere"},
        "0.866 A, 20 mA", bare="ampere", exact={"mA": "milliampere", "ma": "milliampere"},
    ),
    Kind(
        "voltage", "a voltage", "V", "volt",
        {"v": "volt", "volt": "volt", "volts": "volt", "kv": "kilovolt"},
        "12 V, 230 V", bare="volt", exact={"mV": "millivolt"},
    ),
    Kind(
        "energy", "an energy", "Wh", "watt_hour",
        {"wh": "watt_hour", "kwh": "kilowatt_hour", "kj": "kilojoule"},
        "350 Wh, 1.2 kWh", exact={"MJ": "megajoule", "mWh": "milliwatt_hour", "MWh": "megawatt_hour"},
    ),
    Kind(
        "charge", "a charge", "Ah", "ampere_hour",
        {"ah": "ampere_hour"},
        "100 Ah, 2500 mAh", exact={"mAh": "milliampere_hour", "mah": "milliampere_hour"},
    ),
    Kind("duration", "a duration", "h", "hour", _TIME, "1.5 h, 90 min, 1h30", bare="hour"),
    Kind(
        "hours_per_day", "hours a day", "h", "hour",
        {**_TIME, "h/day": "hour", "h/d": "hour"},
        "3.5 h, 3h30, 210 min", high=24.0, bare="hour",
    ),
    Kind("length", "a length", "m", "meter", _LENGTH, "3.2 m, 320 cm, 10 ft 6 in", low=-inf),
    Kind(
        "section", "a conductor size", "mm2", "millimeter ** 2",
        dict.fromkeys(("mm2", "mm²", "mm^2", "sqmm"), "millimeter ** 2"),
        "2.5 mm2, 12 AWG",
    ),
    Kind(
        "temperature", "a temperature", "°C", "degC",
        {**dict.fromkeys(("°c", "c", "degc", "°"), "degC"), **dict.fromkeys(("°f", "f", "degf"), "degF"), "k": "kelvin"},
        "16 °C, 61 °F", low=-273.15, bare="degC",
    ),
    Kind("percent", "a percentage", "%", "dimensionless", _PERCENT, "35 %", high=1.0, bare="percent_of_one"),
    Kind("efficiency", "an efficiency", "%", "dimensionless", _PERCENT, "90 %", low=0.01, high=1.0, bare="percent_of_one"),
    Kind("count", "a whole number", "", "dimensionless", {"pcs": "dimensionless"}, "6", high=1e6, bare="dimensionless"),
    Kind(
        "money", "an amount of money", "", "dimensionless",
        dict.fromkeys(_CURRENCIES, "dimensionless"), "250", bare="dimensionless",
    ),
    Kind(
        "mass", "a mass", "kg", "kilogram",
        {"kg": "kilogram", "g": "gram", "lb": "pound", "lbs": "pound"},
        "12 kg, 26 lb", bare="kilogram",
    ),
    Kind(
        "angle", "an angle", "°", "degree",
        dict.fromkeys(("°", "deg", "degree", "degrees"), "degree"),
        "30, -6.5°", low=-inf, bare="degree",
    ),
    Kind(
        "irradiation", "an irradiation", "kWh/m2", _KWH_PER_M2,
        {
            **dict.fromkeys(("kwh/m2", "kwh/m²", "kwh/m2/d", "kwh/m2/day"), _KWH_PER_M2),
            **dict.fromkeys(("wh/m2", "wh/m²"), "watt_hour / meter ** 2"),
        },
        "2.4 kWh/m2, 8.6 MJ/m2", high=14.0, bare=_KWH_PER_M2,
        exact=dict.fromkeys(("MJ/m2", "MJ/m²"), "megajoule / meter ** 2"),
    ),
    Kind(
        "per_kelvin", "a temperature coefficient", "%/K", "1 / delta_degC",
        dict.fromkeys(("%/k", "%/°c", "%/c"), "percent_of_one / delta_degC"),
        "-0.35 %/K", low=-inf,
    ),
    Kind(
        "resistance", "a resistance", "ohm", "ohm",
        dict.fromkeys(("ohm", "ohms", "ω"), "ohm"),
        "0.02 ohm, 5 mohm", exact={"mohm": "milliohm", "mΩ": "milliohm"},
    ),
    Kind(
        "number", "a number", "", "dimensionless",
        dict.fromkeys(("days", "day", "d"), "dimensionless"), "2, 1.5", low=-inf, bare="dimensionless",
    ),
)  # fmt: skip

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
