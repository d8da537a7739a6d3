"""Driving, shore power and generator: by hand, against what is known of alternators and relays, and never against sense."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model import edit, shelf
from model.design import Alternator, Battery, Design, Generator, Shore
from model.plan import Plan, plan
from model.record.as_json import as_dict
from model.record.as_text import sun_text
from model.record.files import open_design, read_text
from model.record.fresh import new_text
from model.record.words import verdict
from model.supply import other_income as formulas
from model.supply.other_income_budget import other_income
from model.supply.other_income_table import IncomeInput, OtherIncome
from tui.screens.fields import SUN_FIELDS

HERON = replace(
    open_design(shelf.path("heron.toml")).design, alternator=Alternator(), shore=Shore(), generator=Generator()
)
CAR = Alternator(fitted=True, driving_hours_per_week=5.0, charger_a=30.0, rating_a=150.0)

# A battery of 200 Ah LFP by round numbers, in a cabin that never freezes.
INPUT = IncomeInput(
    alternator=Alternator(),
    shore=Shore(),
    generator=Generator(),
    system_v=12.0,
    month=1,
    months_of_use=tuple(range(1, 13)),
    use_wh_per_day=(1000.0,) * 12,
    chemistry="LFP",
    lead=False,
    bank_v=12.8,
    full_v=14.6,
    installed_ah=200.0,
    usable_wh=2000.0,
    charge_limit_a=100.0,
    charge_min_c=0.0,
    charge_max_c=45.0,
    battery_efficiency=0.95,
    battery_temperature_c=(16.0,) * 12,
)


def says(answer: OtherIncome | Plan, where: str, severity: str) -> str:
    return " ".join(f.message for f in answer.findings if f.where == where and f.severity == severity)


# --- formulas


@pytest.mark.parametrize(("input_v", "expected_a"), [(13.0, 36.9), (12.2, 39.3)])
def test_a_charger_draws_more_than_it_gives(input_v: float, expected_a: float) -> None:
    """30 A at 14.4 V are 432 W; at 90 % and 13.0 V that is 36.9 A, at the 12.2 V of a smart alternator 39.3 A: energy balance."""
    assert round(formulas.charger_input_a(30, 14.4, 0.90, input_v), 1) == expected_a


def test_half_of_a_rating_less_the_vehicles_share_is_to_spare() -> None:
    """Half of 150 A less 20 A: 55 A; a small alternator has nothing to spare. Common practice, no source."""
    assert formulas.spare_alternator_a(150, 20) == 55
    assert formulas.spare_alternator_a(60, 40) == 0


def test_the_acceptance_of_lead_is_that_of_a_charge_reckoned_in_small_steps() -> None:
    """C/5 to 85 %, then the current follows what is missing, from 50 to 98 %: current over C/5, on the average of the time."""
    charge, hours, step_h = 0.50, 0.0, 1e-4
    while charge < 0.98:
        charge += step_h * 0.2 * min(1.0, (1 - charge) / 0.15)
        hours += step_h
    mean = 0.48 / hours / 0.2
    assert mean == pytest.approx(formulas.LEAD_ACCEPTANCE, abs=0.015)


def test_a_full_charge_of_lead_is_that_reckoned_in_small_steps() -> None:
    """200 Ah by 20 A: 70 Ah to 85 % take 3.5 h, then the current falls with what is missing of 30 Ah, until 4 Ah are."""
    missing_ah, hours, step_h = 30.0, 3.5, 1e-4
    while missing_ah > 4:
        missing_ah -= step_h * 20 * missing_ah / 30
        hours += step_h
    assert formulas.full_charge_h(200, 20, 0.5) == pytest.approx(hours, abs=1e-3)
    assert formulas.full_charge_h(200, 40, 0.5) == pytest.approx(hours / 2, abs=1e-3)
    assert formulas.full_charge_h(200, 20, 0.98) == formulas.full_charge_h(200, 20, 1.0) == 0


def test_a_relay_lets_go_over_a_smart_alternator() -> None:
    """12.5 V or less, where voltage-sensing relays open near 12.8 V (trade press on smart alternators)."""
    source_v = formulas.alternator_v(12, smart=True)
    assert formulas.relay_share(source_v, 0.3, 12.0, 14.4, 12.8) == 0


def test_what_a_relay_carries_falls_with_the_drop_of_the_cables() -> None:
    """13.9 V arriving of 14.4 V: (13.9 - 12.0) / (14.4 - 12.0) = 79 % of the current, by Ohm's law."""
    assert formulas.relay_share(14.4, 0.5, 12.0, 14.4, 12.8) == pytest.approx(1.9 / 2.4)
    assert formulas.relay_share(14.4, 0.0, 12.0, 14.4, 12.8) == 1
    assert formulas.relay_share(13.8, 2.5, 12.0, 14.4, 12.8) == 0


# --- the sources


def test_driving_by_hand() -> None:
    """5 h x 30 A x 13.6 V = 2040 Wh a week, 291.4 Wh a day."""
    answer = other_income(replace(INPUT, alternator=CAR))
    assert answer.wh_per_day == pytest.approx([2040 / 7] * 12)
    assert not says(answer, "alternator/charger_a", "warning")  # 39.3 A of 55 A


def test_shore_and_generator_add_up() -> None:
    """1 night x 5 h x 20 A and 2 h x 40 A at 13.6 V: 1360 + 1088 Wh a week."""
    answer = other_income(replace(INPUT, shore=Shore(1.0, 5.0, 20.0), generator=Generator(2.0, 40.0)))
    assert [source.name for source in answer.sources] == ["shore power", "generator"]
    assert answer.wh_per_day[0] == pytest.approx((1360 + 1088) / 7)
    total = next(step for step in answer.steps if step.key == "supply.other_income_wh_per_day")
    assert total.value == answer.wh_per_day[0]
    assert total.uses == ("supply.other.shore_wh_per_day", "supply.other.generator_wh_per_day")


def test_a_full_battery_takes_no_more() -> None:
    """One night of 12 h at 100 A could bring 16320 Wh; 2000 Wh fit in, and 500 Wh are used meanwhile, with losses."""
    answer = other_income(replace(INPUT, shore=Shore(1.0, 12.0, 100.0)))
    assert answer.wh_per_day[0] == pytest.approx(2500 / 0.95 / 7)
    assert "more than the battery has room for" in answer.steps[0].formula


def test_a_charger_gives_no_more_than_the_battery_takes() -> None:
    small = other_income(replace(INPUT, generator=Generator(1.0, 60.0), charge_limit_a=25.0))
    assert small.wh_per_day[0] == pytest.approx(25 * 13.6 / 7)


def test_lead_takes_less_than_lithium_for_the_same_hours() -> None:
    car = replace(INPUT, alternator=CAR)
    lead = replace(car, lead=True, bank_v=12.0, full_v=14.4, chemistry="AGM")
    assert other_income(lead).wh_per_day[0] == pytest.approx(0.75 * other_income(car).wh_per_day[0])


def test_cold_cells_take_nothing() -> None:
    """LFP is not charged below 0 °C (Battery University BU-410); at the limit itself it is."""
    cold = replace(INPUT, alternator=CAR, battery_temperature_c=(-0.1, 0.0, *(45.0,) * 9, 45.1))
    answer = other_income(cold)
    assert [wh > 0 for wh in answer.wh_per_day] == [False, *(True,) * 10, False]
    assert "Dec, Jan" in says(answer, "battery/place", "note") or "Dec-Jan" in says(answer, "battery/place", "note")
    assert not says(other_income(replace(cold, months_of_use=(6, 7))), "battery/place", "note")


# --- what a careful friend says


def test_a_relay_on_a_smart_alternator_is_warned_of_and_brings_nothing() -> None:
    answer = other_income(replace(INPUT, alternator=replace(CAR, kind="relay", driving_hours_per_week=42.0)))
    assert answer.wh_per_day == (0.0,) * 12
    assert "smart alternator" in says(answer, "alternator/kind", "warning")


def test_a_relay_neither_joins_two_voltages_nor_holds_lithium_back() -> None:
    relay = replace(CAR, kind="relay", smart=False)
    assert "24 V" in says(
        other_income(replace(INPUT, alternator=replace(relay, vehicle_v=24.0))), "alternator/kind", "danger"
    )
    assert other_income(replace(INPUT, alternator=replace(relay, vehicle_v=24.0))).wh_per_day == (0.0,) * 12
    assert "Nothing limits" in says(other_income(replace(INPUT, alternator=relay)), "alternator/kind", "warning")
    lead = replace(INPUT, alternator=relay, lead=True, bank_v=12.0, full_v=14.4, chemistry="AGM")
    assert not says(other_income(lead), "alternator/kind", "warning")
    # 13.8 V of ordinary regulation less 0.3 V in cables: (13.5 - 12.0) / (14.4 - 12.0) = 0.625 of the current, 75 % accepted.
    answer = other_income(lead)
    assert answer.wh_per_day[0] == pytest.approx(2040 / 7 * 0.625 * 0.75)
    an_hour = next(step for step in answer.steps if step.key == "supply.other.alternator_ah_per_h")
    assert an_hour.value == answer.sources[0].ah_per_h == pytest.approx(30 * 0.625 * 0.75)


def test_a_weak_alternator_is_warned_of_with_the_arithmetic() -> None:
    """30 A x 14.4 V / (90 % x (12.5 V - 0.3 V)) = 39.3 A; half of 100 A less 20 A leaves 30 A, which charge with 22.9 A."""
    answer = other_income(replace(INPUT, alternator=replace(CAR, rating_a=100.0)))
    message = says(answer, "alternator/charger_a", "warning")
    assert "39.3 A" in message and "30 A x 14.4 V / (90 % x 12.2 V)" in message and "leaves 30.0 A" in message
    advice = next(f.advice for f in answer.findings if f.where == "alternator/charger_a")
    assert "at most 23 A" in advice


def test_idling_is_told_apart_from_driving() -> None:
    """39.3 A and 20 A: more than a third of 150 A, less than a third of 180 A. Of 100 A driving already asks too much."""
    idling = "gives about 50 A: charging (39.3 A) and the vehicle (20 A)"
    assert idling in says(other_income(replace(INPUT, alternator=CAR)), "alternator/rating_a", "note")
    for rating_a in (180.0, 100.0):
        answer = other_income(replace(INPUT, alternator=replace(CAR, rating_a=rating_a)))
        assert not says(answer, "alternator/rating_a", "note")


def test_an_unknown_rating_is_asked_for() -> None:
    answer = other_income(replace(INPUT, alternator=replace(CAR, rating_a=None)))
    assert "39.3 A" in says(answer, "alternator/rating_a", "note")


def test_all_chargers_together_are_held_against_the_battery() -> None:
    busy = replace(INPUT, alternator=CAR, shore=Shore(1.0, 10.0, 50.0), solar_a=25.0)
    assert "105 A (sun 25 A, driving 30 A, shore power 50 A)" in says(other_income(busy), "shore/charger_a", "warning")
    assert not says(other_income(replace(busy, solar_a=20.0)), "shore/charger_a", "warning")


def test_short_nights_do_not_fill_lead() -> None:
    """200 Ah by 20 A from half full take 6.5 h."""
    night = replace(INPUT, shore=Shore(1.0, 5.0), lead=True, chemistry="gel")
    assert "gel really full: from half full 20 A take 6.5 h" in says(
        other_income(night), "shore/hours_per_night", "note"
    )
    assert not says(other_income(replace(night, shore=Shore(1.0, 9.0))), "shore/hours_per_night", "note")


def test_driving_without_a_charger_is_pointed_at() -> None:
    answer = other_income(replace(INPUT, alternator=Alternator(driving_hours_per_week=5.0)))
    assert answer.wh_per_day == (0.0,) * 12 and says(answer, "alternator/fitted", "note")


# --- properties

hours = st.floats(0, 168)
amperes = st.floats(0, 500)
cars = st.builds(
    Alternator,
    fitted=st.just(True),
    kind=st.sampled_from(("DC-DC charger", "relay")),
    driving_hours_per_week=hours,
    charger_a=amperes,
    efficiency=st.floats(0.5, 1),
    smart=st.booleans(),
    vehicle_v=st.sampled_from((12.0, 24.0)),
    rating_a=st.none() | st.floats(10, 1000),
    vehicle_load_a=st.floats(0, 500),
    cable_drop_v=st.none() | st.floats(0, 10),
)
inputs = st.builds(
    replace,
    st.just(INPUT),
    alternator=cars,
    shore=st.builds(Shore, st.floats(0, 7), st.floats(0, 24), amperes),
    generator=st.builds(Generator, hours, amperes),
    lead=st.booleans(),
    usable_wh=st.floats(0, 20_000),
    charge_limit_a=st.floats(0, 500),
    battery_temperature_c=st.lists(st.floats(-30, 60), min_size=12, max_size=12).map(tuple),
)


@given(inputs, st.sampled_from(("alternator", "shore", "generator")), st.floats(0, 100))
def test_more_hours_never_lower_the_income(given_in: IncomeInput, which: str, more: float) -> None:
    car, shore, generator = given_in.alternator, given_in.shore, given_in.generator
    if which == "alternator":
        longer = replace(given_in, alternator=replace(car, driving_hours_per_week=car.driving_hours_per_week + more))
    elif which == "shore":
        longer = replace(given_in, shore=replace(shore, hours_per_night=min(24.0, shore.hours_per_night + more)))
    else:
        longer = replace(given_in, generator=replace(generator, hours_per_week=generator.hours_per_week + more))
    before = other_income(given_in).wh_per_day
    after = other_income(longer).wh_per_day
    assert all(0 <= old <= new * (1 + 1e-12) + 1e-9 for old, new in zip(before, after, strict=True))


@given(inputs)
def test_no_source_brings_more_than_its_charger_or_the_room(given_in: IncomeInput) -> None:
    for source in other_income(given_in).sources:
        charger_wh = source.hours_per_week * source.charger_a * 13.6 / 7
        room_wh = (source.fillings * given_in.usable_wh + source.hours_per_week * 1000 / 24) / 0.95 / 7
        for month, wh in enumerate(source.wh_per_day, 1):
            assert 0 <= wh <= min(charger_wh, room_wh) * (1 + 1e-12)
            assert wh == 0 or 0 <= given_in.battery_temperature_c[month - 1] <= 45


# --- the whole plan


def test_nothing_set_changes_no_figure() -> None:
    """Chargers, efficiencies and ratings without hours or nights leave demand, sun and storage as they are, to the last digit."""
    idle = replace(
        HERON,
        alternator=Alternator(driving_hours_per_week=9.0, charger_a=60.0, efficiency=0.8, rating_a=90.0),
        shore=Shore(0.0, 12.0, 40.0),
        generator=Generator(0.0, 50.0),
    )
    plain, made = plan(HERON), plan(idle)
    assert made.supply == plain.supply and made.storage == plain.storage and made.demand == plain.demand
    assert plain.supply is not None and plain.supply.coverage_with_other == plain.supply.coverage
    assert all(month.other_income_wh_per_day == 0 for month in plain.supply.months)
    assert all(month.needed_for_rest_w == month.needed_w for month in plain.supply.months)
    assert plan(Design()).income.findings == ()
    assert "other" not in sun_text(plain)


def test_the_array_by_the_sun_alone_stays_and_the_rest_is_told_apart() -> None:
    plain, made = plan(HERON), plan(replace(HERON, alternator=CAR))
    assert plain.supply is not None and made.supply is not None
    month, alone = made.supply.month, plain.supply.month
    assert (month.needed_w, month.harvest_wh_per_day) == (alone.needed_w, alone.harvest_wh_per_day)
    assert made.supply.coverage == plain.supply.coverage
    # An array of that size and the driving cover the use exactly: what goes in, times the battery's efficiency, comes out.
    bigger = month.needed_for_rest_w * month.yield_wh_per_w_day * HERON.controller.efficiency
    assert (bigger + month.other_income_wh_per_day) * 0.95 == pytest.approx(month.use_wh_per_day)
    steps = made.working
    assert steps["supply.left_for_sun_wh_per_day"].value == month.left_for_sun_wh_per_day
    assert steps["supply.other.alternator_wh_per_day"].value == month.other_income_wh_per_day
    assert "demand.energy_wh_per_day" in {step.key for step in made.chain("supply.array_needed_for_rest_w")}


def test_the_verdict_the_text_and_the_json_tell_of_driving() -> None:
    made = plan(replace(HERON, alternator=CAR))
    assert made.supply is not None and made.supply.coverage_with_other is not None
    sun = verdict(made)[2]
    assert sun.text == f"sun and driving cover {100 * made.supply.coverage_with_other:.0f} % in December"
    assert made.chain(sun.key)
    assert "other Wh" in sun_text(made) and "driving 291 Wh" in sun_text(made)
    told = as_dict(made)["supply"]
    assert [month["other_income_wh_per_day"] for month in told["months"]] == list(made.income.wh_per_day)
    assert told["other_income_wh_per_day"] == made.income.wh_per_day[11]
    assert told["left_for_sun_wh_per_day"] == made.supply.month.left_for_sun_wh_per_day


def test_driving_enough_takes_the_warning_about_the_array_away() -> None:
    busy = plan(replace(HERON, alternator=replace(CAR, driving_hours_per_week=20.0)))
    assert says(plan(HERON), "array/count", "warning") and not says(busy, "array/count", "warning")
    some = says(plan(replace(HERON, alternator=CAR)), "array/count", "warning")
    assert some.startswith("Sun and other income of December cover")


def test_without_sun_other_income_can_carry_the_day() -> None:
    dark = edit.put(edit.put(HERON, "place/latitude_deg", 69.65), "place/longitude_deg", 18.96)
    shore = plan(replace(dark, shore=Shore(7.0, 14.0, 30.0)))
    assert shore.supply is not None
    assert math.isinf(shore.supply.month.needed_w) and shore.supply.month.needed_for_rest_w == 0
    assert "nothing is left for the sun" in sun_text(shore)
    assert not says(shore, "array/count", "warning")


def test_without_climate_data_other_income_is_told_all_the_same() -> None:
    island = edit.put(edit.put(HERON, "place/latitude_deg", 21.3), "place/longitude_deg", -157.85)
    made = plan(replace(island, alternator=CAR))
    assert made.supply is None and "driving 291 Wh." in sun_text(made)
    assert made.working["supply.other_income_wh_per_day"].value == pytest.approx(2040 / 7)


def test_the_battery_of_the_design_sets_the_cold_limit() -> None:
    """Outside in Lapland LFP gets nothing in January, AGM does (Battery University BU-410: 0 and -20 °C)."""
    north = edit.put(edit.put(HERON, "place/latitude_deg", 65.0), "place/longitude_deg", 25.0)
    driven = replace(north, alternator=CAR)
    lithium = plan(replace(driven, battery=Battery("LFP", place="outside")))
    lead = plan(replace(driven, battery=Battery("AGM", place="outside")))
    assert lithium.income.wh_per_day[0] == 0 < lead.income.wh_per_day[0]


def test_a_design_file_keeps_every_source() -> None:
    design = replace(HERON, alternator=CAR, shore=Shore(2.5, 9.0, 15.0), generator=Generator(1.5, 25.0))
    text = new_text(design)
    assert text.index("[controller]") < text.index("[alternator]") < text.index("[shore]") < text.index("[generator]")
    assert read_text(text) == design


def test_the_form_of_the_sun_ends_with_the_other_sources() -> None:
    fields = SUN_FIELDS(HERON)
    heads = [field.label for field in fields if not field.path]
    assert heads[-3:] == ["Driving", "Shore power", "Generator"]
    for field in fields:
        if field.path.startswith(("alternator", "shore", "generator")):
            edit.get(HERON, field.path)
