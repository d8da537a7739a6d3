"""Text to number and back: every spelling against an oracle, every trap refused, nothing else ever raised."""

import math
import re
import subprocess
import sys
import unicodedata

import pint
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from model.quantities import (
    KINDS,
    Refusal,
    ask_thousands,
    clear,
    hint,
    percent,
    read,
    registry,
    show,
    whole_figures,
    write,
)
from model.quantities.registry import conversion

# The oracle: pint's own default registry, which is built from other definitions than the program's, reading the unit as the SI
# Brochure (9th edition) spells it. A spelling is judged by what a person of the trade means by it, written out here by hand.
ORACLE = pint.UnitRegistry()
SPELLED = {
    "power": {
        "W": "W Wp w watt Watts", "kW": "kW KW kw kWp kilowatt kilowatts", "mW": "mW", "MW": "MW",
    },
    "current": {
        "A": "A a amp Amps ampere amperes", "kA": "kA", "mA": "mA ma", "µA": "µA μA uA",
    },
    "voltage": {"V": "V v volt volts VDC VAC", "kV": "kV", "mV": "mV mv"},
    "energy": {"Wh": "Wh wh WH", "kWh": "kWh KWH kwh", "kJ": "kJ", "MJ": "MJ", "mWh": "mWh", "MWh": "MWh"},
    "charge": {"Ah": "Ah AH ah", "mAh": "mAh mah"},
    "length": {
        "m": "m metre metres meter meters", "km": "km", "cm": "cm CM", "mm": "mm",
        "ft": "ft foot feet ' ′ ’", "in": "in inch inches \" ″ ” '' ′′",
    },
    "section": {"mm**2": "mm2 mm² mm^2 MM2 sqmm"},
    "percent": {"percent": "% percent"},
    "efficiency": {"percent": "% percent"},
    "mass": {"kg": "kg KG", "g": "g", "lb": "lb lbs pound pounds"},
    "angle": {"deg": "° deg degree degrees º"},
    "irradiation": {
        "kWh/m**2": "kWh/m2 kWh/m² kWh/m^2 kwh/m2/d kWh/m²/day", "Wh/m**2": "Wh/m2 wh/m²/day Wh/m2/d",
        "MJ/m**2": "MJ/m2 MJ/m² MJ/m2/d MJ/m2/day",
    },
    "per_kelvin": {"percent/kelvin": "%/K %/k %/°C %/C", "1/kelvin": "/K /°C /c"},
    "resistance": {"ohm": "ohm Ohms Ω \u2126", "milliohm": "mohm mOhm mΩ m\u2126", "microohm": "µohm uohm µΩ μΩ"},
}  # fmt: skip
TIME = {
    "h": "h H hr hrs hour hours", "min": "min mins minute minutes",
    "s": "s sec second seconds", "day": "d day days",
}  # fmt: skip
SPELLED |= {"duration": TIME, "hours_per_day": TIME | {"h": TIME["h"] + " h/d h/day"}}
SPELLED["hours_per_week"] = TIME | {"h": TIME["h"] + " h/week", "h * week / day": "h/d h/day"}
WITH_SPACE = {
    "hours_per_week": {"h": ("h a week", "h per week"), "h * week / day": ("h a day", "h per day")},
    "voltage": {"V": ("V DC", "v ac")},
    "section": {"mm**2": ("sq mm",)},
    "irradiation": {unit: (f"{unit[:-4]}m2 a day", f"{unit[:-4]}m2 per day") for unit in SPELLED["irradiation"]},
}
CANONICAL = {
    "power": "W", "current": "A", "voltage": "V", "energy": "Wh", "charge": "Ah", "duration": "h", "hours_per_day": "h",
    "hours_per_week": "h", "length": "m", "section": "mm**2", "percent": "dimensionless", "efficiency": "dimensionless",
    "mass": "kg", "angle": "deg", "irradiation": "kWh/m**2", "per_kelvin": "1/kelvin", "resistance": "ohm",
}  # fmt: skip
CASES = [
    (kind, spelling, float(ORACLE.Quantity(1.0, unit).to(CANONICAL[kind]).magnitude))
    for kind, units in SPELLED.items()
    for unit, spellings in units.items()
    for spelling in (*spellings.split(), *WITH_SPACE.get(kind, {}).get(unit, ()))
]
SCALARS = ("count", "money", "number")  # without unit
SIGNED = ("length", "temperature", "angle", "per_kelvin", "number")

digits = st.from_regex(r"[0-9]{1,5}(\.[0-9]{1,6})?", fullmatch=True)
units_of_any_kind = st.sampled_from(
    sorted({spelling for kind in KINDS.values() for spelling in (*kind.units, *kind.exact)})
)
near_misses = st.lists(
    st.sampled_from([*"0123456789.,:;'\"+-−–×x*/ %°²^µ$€\u00a0\u202f½٣５", "e", "E"]) | units_of_any_kind, max_size=8
).map("".join)
texts = (
    st.text(max_size=70) | near_misses | st.tuples(digits, st.sampled_from(["", " "]), units_of_any_kind).map("".join)
)


def refused(text, kind, **bounds):
    with pytest.raises(Refusal) as caught:
        read(text, kind, **bounds)
    return str(caught.value)


# Spellings and magnitudes


@pytest.mark.parametrize(("kind", "spelling", "factor"), CASES)
def test_spelling_means_what_the_trade_means_by_it(kind, spelling, factor):
    number = 90 if KINDS[kind].high > 90 * factor else 0.5
    for space in ("", " ", "\u00a0", "\u202f"):
        assert read(f"{number}{space}{spelling}", kind) == pytest.approx(number * factor, rel=1e-12)


def test_no_accepted_spelling_escapes_the_oracle():
    for kind in KINDS.values():
        if kind.name in (*SCALARS, "temperature"):
            continue
        judged = {unicodedata.normalize("NFKC", spelling).lower() for name, spelling, _ in CASES if name == kind.name}
        known = {unicodedata.normalize("NFKC", spelling).lower() for spelling in (*kind.units, *kind.exact)}
        assert known <= judged, kind.name


@given(st.sampled_from(CASES), digits)
def test_magnitude_agrees_with_the_oracle_by_point_and_by_comma(case, number):
    kind, spelling, factor = case
    expected = float(number) * factor
    assume(KINDS[kind].low <= expected * (1 - 1e-9) and expected * (1 + 1e-9) <= KINDS[kind].high)
    # 1e-12: the oracle multiplies in floating point, the program in fractions
    value = read(f"{number} {spelling}", kind)
    assert value == pytest.approx(expected, rel=1e-12)
    try:
        assert read(f"{number.replace('.', ',')} {spelling}", kind) == value
    except Refusal as question:
        whole, part = number.split(".")
        assert len(part) == 3 and f"{whole}{part} or" in str(question)


@given(st.sampled_from(sorted(KINDS)), texts)
@example("length", "1,500 m 20 cm")
@example("power", "1,500e3 W")
def test_a_comma_for_the_point_never_changes_the_number(kind, text):
    try:
        values = read(text, kind), read(text.replace(",", "."), kind)
    except Refusal:
        return
    assert values[0] == values[1]


def test_every_unit_of_every_kind_has_the_dimension_of_the_kind():
    for kind in KINDS.values():
        for unit in (*kind.units.values(), *kind.exact.values(), *filter(None, [kind.bare])):
            slope, _ = conversion(unit, kind.canonical)
            assert slope > 0
    with pytest.raises(pint.DimensionalityError):
        conversion("ampere", "watt")


@pytest.mark.parametrize(
    ("text", "celsius"),
    [
        # fixed points of the scales: NIST SP 811, appendix B
        ("0 °C", 0), ("32 °F", 0), ("212 °F", 100), ("-40 °F", -40), ("-40", -40), ("273.15 K", 0), ("0 K", -273.15),
        ("−459,67 °F", -273.15), ("20°", 20), ("20 ºC", 20), ("68 ℉", 20), ("25 ℃", 25), ("16 C", 16), ("300 k", 26.85),
    ],
)  # fmt: skip
def test_temperature_scales_are_exact(text, celsius):
    assert read(text, "temperature") == celsius


@pytest.mark.parametrize(
    ("text", "kind", "value"),
    [
        ("0.866 A", "current", 0.866), ("1,5 h", "hours_per_day", 1.5), ("1.500 W", "power", 1.5), ("0,125 kW", "power", 125),
        ("1500,000 W", "power", 1500), (".5 h", "duration", 0.5), (",5 h", "duration", 0.5), ("5. W", "power", 5),
        ("+5 W", "power", 5), ("1e3 W", "power", 1000), ("2.5E-3 kW", "power", 2.5), ("-0", "number", 0),
        ("1h 30min", "duration", 1.5), ("1h30", "duration", 1.5), ("1 h 30", "duration", 1.5), ("1:30", "duration", 1.5),
        ("1:30 h", "duration", 1.5), ("1h30m", "duration", 1.5), ("1 d 2 h 30 min", "duration", 26.5),
        ("1h05", "duration", 65 / 60), ("20 min 30 s", "duration", 20.5 / 60), ("24:00", "hours_per_day", 24),
        ("1,5 h a day", "hours_per_week", 10.5), ("5 h", "hours_per_week", 5), ("3h30", "hours_per_week", 3.5),
        ("3 m 20 cm", "length", 3.2), ("5 ft 6 in", "length", 1.6764), ("5'6\"", "length", 1.6764), ("12'", "length", 3.6576),
        ("5′ 6,5″", "length", 1.6891), ("1 m 2 cm 3 mm", "length", 1.023), ("-2 m", "length", -2),
        ("35 %", "percent", 0.35), ("35", "percent", 0.35), ("0.35 %", "percent", 0.0035), ("100", "percent", 1),
        ("0", "percent", 0), ("1", "percent", 0.01), ("-0.35 %/K", "per_kelvin", -0.0035), ("−0,0035/K", "per_kelvin", -0.0035),
        ("6", "count", 6), ("6 pcs", "count", 6), ("2 x", "count", 2), ("2.0", "count", 2),
        ("250", "money", 250), ("$250", "money", 250), ("€ 199,90", "money", 199.9), ("199.90 EUR", "money", 199.9),
        ("8.64 MJ/m2", "irradiation", 2.4), ("2 days", "number", 2), ("-6.49", "angle", -6.49),
    ],
)  # fmt: skip
def test_texts_as_people_write_them(text, kind, value):
    assert read(text, kind) == value
    assert read(f"  {text}\t", kind) == value


# Refusals


@pytest.mark.parametrize(
    ("text", "kind", "said"),
    [
        ("1,500", "power", "1500 or 1,5?"), ("1,500 W", "power", "1500 or 1,5?"), ("$1,500", "money", "1500 or 1,5?"),
        ("1,500e3 W", "power", "1500 or 1,5?"), ("12,050 W", "power", "12050 or 12,05?"), ("1,000", "number", "1000 or 1?"),
        ("1,500,000", "power", "separators"), ("1 500 W", "power", "separators"), ("1'500 W", "power", "separators"),
        ("1\u202f500 W", "power", "separators"), ("1.500,00", "power", "separators"), ("1'500", "length", "separators"),
        ("3 mw", "power", "mW or MW"), ("3 Mw", "power", "mW or MW"), ("20 MA", "current", "mA"), ("20 MAH", "charge", "mA"),
        ("5 mwh", "energy", "mWh or MWh"), ("5 mj", "energy", "MJ"), ("5 MOHM", "resistance", "mohm"),
        ("45 A", "power", "this field takes a power (45 W, 0.8 kW); “45 A” is a current"),
        ("45 W", "current", "is a power"), ("100 Ah", "energy", "is a charge"), ("100 Wh", "charge", "is an energy"),
        ("30 m", "duration", "is a length"), ("2.5 mm", "section", "is a length"), ("12 AWG", "length", "is a conductor size"),
        ("4.5 h", "irradiation", "is a duration"), ("$5", "power", "is an amount of money"), ("5 %", "number", "a percentage"),
        ("100", "charge", "no unit"), ("100", "energy", "no unit"), ("3", "length", "no unit"), ("12", "section", "no unit"),
        ("0.02", "resistance", "no unit"), ("-0.35", "per_kelvin", "no unit"),
        ("2x45 W", "power", "quantity column"), ("2 × 45 W", "power", "quantity column"),
        ("45 W * 2", "power", "quantity column"),
        ("0.35", "percent", "is it 0.35 % or 35 %?"), ("0,9", "efficiency", "is it 0,9 % or 90 %?"),
        ("2.5", "count", "not a whole number"), ("-1", "count", "negative"), ("-3 W", "power", "negative"),
        ("-1h30", "duration", "cannot be read"), ("25 h", "hours_per_day", "a day has 24 hours; “25 h” does not fit"),
        ("24:01", "hours_per_day", "a day has 24 hours"), ("2 days", "hours_per_day", "a day has 24 hours"),
        ("25 h a day", "hours_per_week", "a week has 168 hours"),
        ("120 %", "percent", "between 0 % and 100 %"), ("0", "efficiency", "between 1 % and 100 %"),
        ("-300 °C", "temperature", "between -273.15 °C"), ("1:75", "duration", "cannot be read"),
        ("1h5", "duration", "cannot be read"), ("1d30", "duration", "cannot be read"),
        ("1 h 90 min", "duration", "cannot be read"),
        ("1.5 h 30 min", "duration", "cannot be read"), ("20 cm 3 m", "length", "cannot be read"),
        ("1,500 m 20 cm", "length", "cannot be read"), ("5 ft 6", "length", "cannot be read"),
        ("5'6", "length", "cannot be read"),
        ("40-50 W", "power", "cannot be read"), ("", "power", "nothing is typed"), (" \u00a0 ", "power", "nothing is typed"),
        ("nan", "power", "is not a power"), ("inf", "power", "is not a power"), ("-inf", "number", "is not a number"),
        ("W", "power", "is not a power"), ("~45 W", "power", "is not a power"), ("½ h", "duration", "is not a duration"),
        ("9" * 400, "power", "too long"), ("9" * 50, "power", "too large"), ("1e999 W", "power", "too large"),
        ("1e-999 W", "power", "too small"), ("1e1000 W", "power", "cannot be read"),
        ("１２ V", "voltage", "another script"), ("٣ V", "voltage", "another script"), ("4² W", "power", "cannot be read"),
        ("500 VA", "power", "“VA” is not a unit of a power: write 45 W, 0.8 kW"), ("100 as", "charge", "is not a unit"),
        ("5/0 AWG", "section", "4/0 AWG to 40 AWG"), ("41 AWG", "section", "gauge"), ("05 AWG", "section", "gauge"),
        ("0x10", "number", "quantity column"), ("1_000 W", "power", "cannot be read"), ("45 W\x00", "power", "not a unit"),
    ],
)  # fmt: skip
def test_refusal_says_what_is_wrong(text, kind, said):
    assert said in refused(text, kind)


def test_bounds_of_the_field_are_told_in_its_unit():
    assert read("10 W", "power", low=10, high=20) == 10
    assert refused("9 W", "power", low=10, high=20) == "“9 W” does not fit: between 10 W and 20 W"
    assert refused("0.03 kW", "power", low=10, high=20) == "“0.03 kW” does not fit: between 10 W and 20 W"
    assert refused("95 %", "percent", high=0.9).endswith("between 0 % and 90 %")
    assert "cannot be negative" in refused("-5 W", "power", low=10)
    assert "24 hours" in refused("30", "hours_per_day", high=100), "a field may narrow its kind, not widen it"


@settings(max_examples=1500)
@given(st.sampled_from(sorted(KINDS)), texts)
@example("power", "\ud800")
@example("length", "1e5'")
@example("duration", "1:")
@example("money", "$")
@example("money", "$€5")
@example("section", "0/0 awg")
def test_any_text_is_read_and_comes_back_or_is_refused_in_a_sentence(kind, text):
    try:
        value = read(text, kind)
    except Refusal as refusal:
        assert str(refusal).isprintable() and len(str(refusal)) < 300
        return
    assert math.isfinite(value) and KINDS[kind].low <= value <= KINDS[kind].high
    assert math.copysign(1, value) == 1 or value < 0, "no negative zero"
    assert read(write(value, kind), kind) == value


@given(st.sampled_from(sorted(KINDS)), st.text(st.characters(categories=["Nd", "Nl", "No"]), min_size=1, max_size=4))
def test_digits_of_other_scripts_are_never_taken_for_others(kind, text):
    assume(not text.isascii())
    refused(text, kind)


# Writing


@settings(max_examples=1000)
@given(st.data(), st.sampled_from([kind for kind in KINDS.values() if kind.name != "count"]))
def test_writing_is_exact_over_the_whole_range(data, kind):
    value = data.draw(st.floats(kind.low, kind.high)) + 0.0
    text = write(value, kind.name)
    assert read(text, kind.name) == value
    assert len(text) <= 40


@given(st.integers(0, 10**6))
def test_counts_are_written_as_whole_numbers(count):
    assert write(float(count), "count") == str(count)


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (45.0, "power", "45 W"), (3.5, "hours_per_day", "3.5 h"), (0.35, "percent", "35 %"), (2.5, "section", "2.5 mm2"),
        (-0.0035, "per_kelvin", "-0.35 %/K"), (0.29, "percent", "29 %"), (1e6, "power", "1000000 W"), (250.0, "money", "250"),
        (-6.49, "angle", "-6.49°"), (-0.0, "power", "0 W"), (1e-7, "current", "0.0000001 A"), (5e-324, "power", "5e-324 W"),
        (0.1 + 0.2, "power", "0.30000000000000004 W"),
    ],
)  # fmt: skip
def test_shortest_text(value, kind, text):
    assert write(value, kind) == text


def test_what_no_text_stands_for_is_not_written():
    for value in (math.inf, -math.inf, math.nan):
        with pytest.raises(ValueError, match="has no text"):
            write(value, "power")


@pytest.mark.parametrize(
    ("value", "kind", "text"),
    [
        (1234.56, "energy", "1230 Wh"), (45.0, "power", "45.0 W"), (9.996, "power", "10.0 W"), (99.96, "power", "100 W"),
        (0.09996, "power", "0.100 W"), (999.6, "power", "1000 W"), (0.0012345, "current", "0.00123 A"), (0.0, "power", "0 W"),
        (0.875, "percent", "87.5 %"), (-0.0035, "per_kelvin", "-0.350 %/K"), (-6.485, "angle", "-6.49°"), (6.0, "count", "6"),
        (1.23456e22, "energy", "12300000000000000000000 Wh"), (None, "power", "-"), (math.inf, "duration", "∞"),
        (-math.inf, "number", "-∞"), (math.nan, "power", "-"),
    ],
)  # fmt: skip
def test_for_the_eye(value, kind, text):
    assert show(value, kind) == text


@pytest.mark.parametrize(
    ("share", "digits", "text"),
    [
        (0.168, 0, "17 %"), (0.0134, 1, "1.3 %"), (1, 0, "100 %"), (1.51, 0, "151 %"), (0.0, 1, "0.0 %"), (-0.0035, 2, "-0.35 %"),
        (0.125, 0, "13 %"), (0.285, 0, "29 %"), (0.0005, 1, "0.1 %"),  # halves go up, though 100 x 0.285 is 28.499…6
        (math.nan, 0, "-"), (math.inf, 1, "∞"),
    ],
)  # fmt: skip
def test_a_share_for_the_eye(share, digits, text):
    """The space before the sign: SI Brochure, 9th edition, 5.4.7."""
    assert percent(share, digits) == text


@given(share=st.floats(-10, 10), digits=st.integers(0, 3))
def test_a_share_is_within_half_a_unit_of_its_last_digit(share, digits):
    shown = percent(share, digits)
    assert shown.endswith(" %")
    assert abs(float(shown[:-2]) - 100 * share) <= 0.5 * 10**-digits + 1e-9


def test_for_the_eye_without_unit_and_with_other_figures():
    assert show(1234.56, "energy", unit=False) == "1230"
    assert show(1234.56, "energy", figures=5) == "1234.6 Wh"
    assert show(2.5, "energy", figures=1, unit=False) == "3", "half up, as people round"


@given(st.sampled_from(sorted(KINDS)), st.floats(allow_nan=False, allow_infinity=False), st.integers(1, 6))
def test_rounding_is_within_half_a_unit_of_the_last_figure(kind, value, figures):
    shown = show(value, kind, figures=figures, unit=False)
    assert "e" not in shown.lower()
    hundred = 100 if KINDS[kind].unit.startswith("%") else 1
    assume(abs(value) < 1e306)
    # 1e-9 on top for the float arithmetic of this check itself
    assert float(shown) == pytest.approx(value * hundred, rel=0.5 * 10.0 ** (1 - figures) * (1 + 1e-9), abs=5e-323)


# Hints, registry, start-up


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_example_in_a_hint_is_accepted(kind):
    for text in hint(kind).split(", "):
        read(text, kind)


def test_registry_serves_public_formulas_and_checks_dimensions():
    units = registry()
    assert registry() is units
    power = units.wraps(units.watt, (units.volt, units.ampere))(lambda voltage_v, current_a: voltage_v * current_a)
    assert power(units.Quantity(12.0, "volt"), units.Quantity(500.0, "milliampere")).magnitude == 6.0
    with pytest.raises(pint.DimensionalityError):
        power(units.Quantity(12.0, "volt"), units.Quantity(1.0, "watt"))


def test_pint_stays_out_until_a_conversion_needs_it():
    script = (
        "import sys; from model.quantities import read, write, show\n"
        "for text, kind in [('45 W', 'power'), ('35 %', 'percent'), ('1:30', 'duration'), ('-0.35 %/K', 'per_kelvin'),"
        " ('2', 'number')]: write(read(text, kind), kind), show(1.0, kind)\n"
        "assert 'pint' not in sys.modules and 'numpy' not in sys.modules\n"
        "read('1,5 kW', 'power'); assert 'pint' in sys.modules"
    )
    subprocess.run([sys.executable, "-c", script], check=True, timeout=60)


@pytest.mark.parametrize(("value", "shown"), [(0.0, "0"), (9.0, "9"), (43.0, "43"), (161.0, "161"), (1264.0, "1260")])
def test_a_simulated_mean_is_shown_without_a_fraction(value, shown):
    assert show(value, "energy", figures=whole_figures(value), unit=False) == shown


@pytest.mark.parametrize(
    ("text", "kind", "words"),
    [
        ("1.500", "power", "1500 or 1.5?"),
        ("1.200 W", "power", "1200 or 1.2?"),
        ("1.234 Wh", "energy", "1234 or 1.2340?"),
        ("2.000", "count", "2000 or 2?"),
    ],
)
def test_a_point_before_three_digits_is_asked_about_in_what_a_person_types(text: str, kind: str, words: str):
    with pytest.raises(Refusal, match=re.escape(words)):
        ask_thousands(text, kind)
    assert read(text, kind) == float(text.split()[0])  # a file has it as it was written


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("0.125 W", "power"),
        ("1.5 kW", "power"),
        ("1.2340 W", "power"),
        ("1.234 A", "current"),
        ("1.625 m", "length"),
        ("12.371", "number"),
    ],
)
def test_figures_that_are_clear_are_not_asked_about(text: str, kind: str):
    ask_thousands(text, kind)


@given(st.floats(0.001, 9999), st.sampled_from(("power", "energy", "charge")))
def test_what_the_screen_writes_may_be_typed_again(value: float, kind: str):
    text = clear(write(value, kind), kind)
    ask_thousands(text, kind)
    assert read(text, kind) == value
