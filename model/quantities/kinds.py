"""The kinds of field, each with its canonical unit and the spellings that it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of field.

    noun: what it is called in a sentence. unit: the symbol shown. canonical: the pint unit of the number handed out, which is
    `scale` times that (percentages are handed out as fractions of one). units: spelling in small letters -> pint unit, for
    spellings whose letter case says nothing; exact: spellings whose letter case counts. bare: the pint unit of a number
    without unit, "" where that is refused. low, high: in what is handed out; where nature sets no end they lie far beyond any
    van, so that no product of a few entries overflows.
    """

    name: str
    noun: str
    unit: str
    canonical: str
    units: Mapping[str, str]
    hint: str
    low: float
    high: float
    bare: str = ""
    exact: Mapping[str, str] = field(default_factory=dict)
    scale: Fraction = Fraction(1)


def _all(spellings: str, unit: str) -> dict[str, str]:
    return dict.fromkeys(spellings.split(), unit)


_HUNDREDTH = Fraction(1, 100)
_TIME = (
    _all("h hr hrs hour hours", "hour")
    | _all("min mins minute minutes", "minute")
    | _all("s sec second seconds", "second")
    | _all("d day days", "day")
)
_A_DAY = ("", "/d", "/day", " a day", " per day")
_PERCENT = _all("% percent", "percent")
_KWH_PER_M2 = "kilowatt_hour / meter ** 2"
_CURRENCIES = "$ € £ ¥ usd eur gbp chf sek nok dkk isk pln czk huf ron bgn try cad aud nzd jpy"

# Spellings are compared with ² and ^2 written 2, one kind of µ, Ω and °, and single spaces (`reading._unit_key`).
# "MW" and "mW" differ by 10^9, so there the letter case counts (`exact`); "kw" and "KW" can only be one thing, and so can "ma":
# nobody means megaamperes by small letters. A charge, an energy, a length or a section without a unit is refused: Ah or Wh,
# metres or feet, mm2 or AWG?
_ALL = (
    Kind(
        "power", "a power", "W", "watt",
        _all("w wp watt watts", "watt") | _all("kw kwp kilowatt kilowatts", "kilowatt"),
        "45 W, 0.8 kW", 0, 1e7, "watt", {"mW": "milliwatt", "MW": "megawatt"},
    ),
    Kind(
        "current", "a current", "A", "ampere",
        _all("a amp amps ampere amperes", "ampere") | {"ka": "kiloampere"} | _all("µa ua", "microampere"),
        "0.866 A, 20 mA", 0, 1e6, "ampere", _all("mA ma", "milliampere"),
    ),
    Kind(
        "voltage", "a voltage", "V", "volt",
        _all("v volt volts vdc vac", "volt") | {"v dc": "volt", "v ac": "volt", "kv": "kilovolt"},
        "12 V, 230 V", 0, 1e6, "volt", _all("mV mv", "millivolt"),
    ),
    Kind(
        "energy", "an energy", "Wh", "watt_hour",
        {"wh": "watt_hour", "kwh": "kilowatt_hour", "kj": "kilojoule"},
        "350 Wh, 1.2 kWh", 0, 1e10, "", {"MJ": "megajoule", "mWh": "milliwatt_hour", "MWh": "megawatt_hour"},
    ),
    Kind(
        "charge", "a charge", "Ah", "ampere_hour", {"ah": "ampere_hour"},
        "100 Ah, 2500 mAh", 0, 1e9, "", _all("mAh mah", "milliampere_hour"),
    ),
    Kind("duration", "a duration", "h", "hour", _TIME, "1.5 h, 90 min, 1h30", 0, 1e7, "hour"),
    Kind(
        "hours_per_day", "hours a day", "h", "hour", _TIME | _all("h/d h/day", "hour"),
        "3.5 h, 3h30, 210 min", 0, 24, "hour",
    ),
    Kind(
        "hours_per_week", "hours a week", "h", "hour",
        _TIME | {f"h{week}": "hour" for week in ("/week", " a week", " per week")}
        | {f"h{day}": "hour_a_day" for day in _A_DAY if day},
        "5 h, 90 min, 1 h a day", 0, 168, "hour",
    ),
    Kind(
        "length", "a length", "m", "meter",
        _all("m metre metres meter meters", "meter")
        | {"km": "kilometer", "cm": "centimeter", "mm": "millimeter"}
        | _all("ft foot feet ' ′ ’", "foot") | _all("in inch inches \" ″ ” '' ′′", "inch"),
        "3.2 m, 320 cm, 10 ft 6 in", -1e7, 1e7,
    ),
    Kind(
        "section", "a conductor size", "mm2", "millimeter ** 2",
        dict.fromkeys(("mm2", "sqmm", "sq mm"), "millimeter ** 2"),
        "2.5 mm2, 12 AWG", 0, 1e5,
    ),
    Kind(
        "temperature", "a temperature", "°C", "degC",
        _all("°c c degc ° celsius", "degC") | _all("°f f degf fahrenheit", "degF") | _all("k kelvin", "kelvin"),
        "16 °C, 61 °F", -273.15, 1000, "degC",
    ),
    Kind("percent", "a percentage", "%", "percent", _PERCENT, "35 %", 0, 1, "percent", scale=_HUNDREDTH),
    Kind("efficiency", "an efficiency", "%", "percent", _PERCENT, "90 %", 0.01, 1, "percent", scale=_HUNDREDTH),
    Kind(
        "count", "a whole number", "", "dimensionless", _all("pc pcs × x", "dimensionless"),
        "6", 0, 1e6, "dimensionless",
    ),
    Kind(
        "money", "an amount of money", "", "dimensionless", _all(_CURRENCIES, "dimensionless"),
        "250, 199.90", 0, 1e12, "dimensionless",
    ),
    Kind(
        "mass", "a mass", "kg", "kilogram",
        {"kg": "kilogram", "g": "gram"} | _all("lb lbs pound pounds", "pound"),
        "12 kg, 26 lb", 0, 1e7, "kilogram",
    ),
    Kind(
        "angle", "an angle", "°", "degree", _all("° deg degree degrees", "degree"),
        "30, -6.5°", -1e4, 1e4, "degree",
    ),
    Kind(
        "irradiation", "an irradiation", "kWh/m2", _KWH_PER_M2,
        {f"kwh/m2{day}": _KWH_PER_M2 for day in _A_DAY} | {f"wh/m2{day}": "watt_hour / meter ** 2" for day in _A_DAY},
        "2.4 kWh/m2, 8.6 MJ/m2", 0, 14, _KWH_PER_M2,
        {f"MJ/m2{day}": "megajoule / meter ** 2" for day in _A_DAY},
    ),
    Kind(
        "per_kelvin", "a temperature coefficient", "%/K", "percent / kelvin",
        _all("%/k %/°c %/c", "percent / kelvin") | _all("/k /°c /c", "1 / kelvin"),
        "-0.35 %/K", -1, 1, scale=_HUNDREDTH,
    ),
    Kind(
        "resistance", "a resistance", "ohm", "ohm",
        _all("ohm ohms ω", "ohm") | _all("µohm uohm µω", "microohm"),
        "0.02 ohm, 5 mohm", 0, 1e9, "", _all("mohm mOhm mΩ", "milliohm"),
    ),
    Kind(
        "number", "a number", "", "dimensionless", _all("d day days", "dimensionless"),
        "2, 1.5", -1e12, 1e12, "dimensionless",
    ),
)  # fmt: skip

KINDS: Mapping[str, Kind] = {kind.name: kind for kind in _ALL}
