"""The door: every field of every record takes its own text back, and refuses what does not fit in a sentence."""

import math
import typing
from dataclasses import MISSING, fields, is_dataclass

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from model import entry
from model.calendar import hours_of
from model.design import Battery, Design, Inverter, Load, Module, Place, System, Weather
from model.quantities import KINDS, Refusal

WORDS = {"text", "months", "month", "when", "choice", "yes/no", "date", "conductor"}


def records(record=Design):
    """`record` and the dataclasses below it, each once."""
    found = [record]
    for hint in typing.get_type_hints(record).values():
        for inner in (hint, *typing.get_args(hint)):
            if isinstance(inner, type) and is_dataclass(inner):
                found += records(inner)
    return list(dict.fromkeys(found))


FIELDS = [(record, name) for record in records() for name in entry.entries(record)]
NAMES = [f"{record.__name__}.{name}" for record, name in FIELDS]
UNITS = sorted({spelling for kind in KINDS.values() for spelling in (*kind.units, *kind.exact)})

numbers = (
    st.floats(allow_nan=True, allow_infinity=True).map(repr)
    | st.integers().map(str)
    | st.decimals(allow_nan=False, allow_infinity=False, places=3).map(str)
)
quantities = st.tuples(numbers, st.sampled_from(["", " "]), st.sampled_from(UNITS)).map("".join)
texts = st.text(max_size=80) | numbers | quantities | quantities.map(lambda text: text.replace(".", ","))


def test_every_record_of_the_design_is_looked_at():
    assert {"Design", "System", "Load", "Inverter", "Place", "Weather", "Module", "Array", "Controller"} <= {
        record.__name__ for record in records()
    }
    assert len(FIELDS) > 80


@pytest.mark.parametrize(("record", "name"), FIELDS, ids=NAMES)
def test_declaration_is_sound(record, name):
    declared = entry.entries(record)[name]
    assert declared.kind in WORDS or declared.kind in KINDS
    assert declared.key.isidentifier() and declared.label
    assert (declared.kind == "choice") <= bool(declared.choices)
    keys = [one.key for one in entry.entries(record).values()]
    assert len(keys) == len(set(keys))
    hint = entry.hint(record, name)
    assert hint.startswith(declared.label) and hint.isprintable()


@pytest.mark.parametrize(("record", "name"), FIELDS, ids=NAMES)
def test_default_comes_back_from_its_text(record, name):
    default = next(item.default for item in fields(record) if item.name == name)
    assert default is not MISSING
    assert entry.read(record, name, entry.write(record, name, default)) == default


@pytest.mark.parametrize(("record", "name"), FIELDS, ids=NAMES)
def test_nothing_typed_means_not_given_only_where_that_is_allowed(record, name):
    declared = entry.entries(record)[name]
    if declared.optional:
        assert [entry.read(record, name, text) for text in ("", "  ", "-", "–")] == [None] * 4
        assert entry.write(record, name, None) == ""
        assert "may stay empty" in entry.hint(record, name)
    elif declared.kind == "text":
        assert entry.read(record, name, "") == ""
    elif declared.kind == "yes/no":
        assert entry.read(record, name, "") is False
    else:
        with pytest.raises(Refusal):
            entry.read(record, name, "")


def judge(record, name, value):
    """What was accepted is of the field's kind and inside its bounds."""
    declared = entry.entries(record)[name]
    if value is None:
        assert declared.optional
    elif declared.many:
        assert declared.many < 0 or len(value) == declared.many
        assert all(map(math.isfinite, value))
    elif declared.kind == "text":
        assert value.isprintable() and len(value) <= entry.LONGEST_TEXT
    elif declared.kind == "yes/no":
        assert value in (True, False)
    elif declared.kind == "choice":
        assert value in declared.choices
    elif declared.kind == "months":
        assert set(value) <= set(range(1, 13))
    elif declared.kind == "month":
        assert value in range(1, 13)
    elif declared.kind == "when":
        assert sum(hours_of(value)) == pytest.approx(1)
    else:
        kind = KINDS[declared.kind]
        low = kind.low if declared.low is None else declared.low
        high = kind.high if declared.high is None else declared.high
        assert math.isfinite(value) and low <= value <= high
        assert math.copysign(1, value) == 1 or value < 0, "no negative zero"


@settings(max_examples=1000)
@given(st.sampled_from(FIELDS), texts)
@example((Load, "when"), "7-07")
@example((Load, "power_w"), "nan")
@example((Load, "power_w"), "-0")
@example((Load, "power_w"), "1e-60")
@example((Load, "power_w"), "9e-99 kW")
@example((Module, "mass_kg"), "1e58 kg")
@example((Load, "hours_per_day"), "24.0001")
@example((Load, "hours_per_day"), "1e999")
@example((Load, "name"), "\ud800")
@example((Design, "month"), "0\n0")
@example((Battery, "chemistry"), "\x1b[2J")
@example((Load, "name"), "a\u202eb")
@example((Place, "latitude_deg"), "-inf")
@example((System, "nominal_v"), "24")
@example((System, "nominal_v"), "36 V")
@example((Battery, "autonomy_days"), "²")
def test_any_text_in_any_field_is_read_right_or_refused_in_place(where, text):
    record, name = where
    try:
        value = entry.read(record, name, text)
    except Refusal as refusal:
        said = str(refusal)
        assert said.isprintable() and 0 < len(said) < 400
        return
    judge(record, name, value)
    again = entry.read(record, name, entry.write(record, name, value))
    assert again == value, "what was accepted comes back from its own text"


@given(st.sampled_from([where for where in FIELDS if entry.entries(where[0])[where[1]].kind in KINDS]), st.data())
def test_any_number_inside_the_bounds_comes_back_from_its_text(where, data):
    record, name = where
    declared = entry.entries(record)[name]
    kind = KINDS[declared.kind]
    low = max(kind.low if declared.low is None else declared.low, -1e6)
    high = min(kind.high if declared.high is None else declared.high, 1e6)
    if declared.kind == "count":
        value = float(data.draw(st.integers(int(low), int(high))))
    elif declared.choices:
        value = float(data.draw(st.sampled_from(declared.choices)).split()[0])
    else:
        # 1e-9 of any unit is far below what a builder can measure, and keeps the text short enough to be typed
        value = round(data.draw(st.floats(low, high)), 9)
        value = min(max(value, low), high) + 0.0
    values = (value,) * abs(declared.many) if declared.many else value
    assert entry.read(record, name, entry.write(record, name, values)) == values


def test_twelve_values_are_read_with_points_and_with_commas():
    twelve = "1,2 1.9 3 4 5 6 7 6 5 4 2 1"
    assert entry.read(Weather, "ghi_kwh_per_m2_day", twelve)[:3] == (1.2, 1.9, 3.0)
    assert entry.read(Weather, "ghi_kwh_per_m2_day", twelve.replace(" ", "; "))[-1] == 1.0
    with pytest.raises(Refusal, match="takes 12 values, one for each month; there are 11"):
        entry.read(Weather, "ghi_kwh_per_m2_day", twelve[:-2])


def test_energy_without_unit_is_refused():
    """ "100" could be Wh or Ah: the commonest slip in load tables is adding one to the other."""
    with pytest.raises(Refusal, match="no unit"):
        entry.read(Load, "measured_wh_per_day", "100")
    with pytest.raises(Refusal, match="Wh"):
        entry.read(Load, "measured_wh_per_day", "100 Ah")
    assert entry.read(Load, "measured_wh_per_day", "1,2 kWh") == 1200


def test_a_choice_is_read_from_its_beginning_when_only_one_begins_so():
    assert entry.read(Load, "supply", "a") == "AC"
    assert entry.read(Load, "need", " CAN  wait ") == "can wait"
    assert entry.read(Battery, "chemistry", "lfp") == "LFP"
    for text in ("l", "", "lithium", "gelled"):
        with pytest.raises(Refusal, match="write LFP, NMC"):
            entry.read(Battery, "chemistry", text)


def test_system_voltage_is_one_of_three():
    assert [entry.read(System, "nominal_v", text) for text in ("12", "24 V", "48.0v")] == [12, 24, 48]
    with pytest.raises(Refusal, match="12 V, 24 V or 48 V"):
        entry.read(System, "nominal_v", "36 V")


def test_yes_and_no_in_the_words_people_use():
    assert all(entry.read(Inverter, "fitted", text) for text in ("yes", "Y", "TRUE", "on", "x"))
    assert not any(entry.read(Inverter, "fitted", text) for text in ("no", "N", "false", "off", ""))
    with pytest.raises(Refusal, match="neither yes nor no"):
        entry.read(Inverter, "fitted", "maybe")


def test_names_stay_on_one_line_and_can_be_shown():
    assert entry.read(Load, "name", "  Lamp\tover\nthe\u00a0sink ") == "Lamp over the sink"
    assert entry.read(Load, "name", "Kühlbox ❄ 冷蔵庫") == "Kühlbox ❄ 冷蔵庫"
    for hidden in ("a\x1b[2Jb", "a\u202eb", "a\x00b", "a\u200bb"):
        with pytest.raises(Refusal, match="cannot be shown"):
            entry.read(Load, "name", hidden)
    assert entry.read(Load, "name", "x" * 200) == "x" * 200
    with pytest.raises(Refusal, match="201 characters"):
        entry.read(Load, "name", "x" * 201)


def test_unknown_field_is_a_bug_and_not_a_refusal():
    with pytest.raises(KeyError):
        entry.read(Load, "colour", "red")
