"""The trip of a plan, against what can be worked out by hand and against the trip with its own advice taken."""

from dataclasses import replace

import numpy as np
import pytest

from model.calendar import day_and_month, day_of_year
from model.design import Alternator, Array, Battery, Design, Load, Place, Shore, Stop, System, Weather
from model.plan import plan
from model.storage.chemistry import chemistries
from model.storage.simulation import simulate_once
from model.supply.climate import PROBABILITIES
from model.supply.module_yield import charging_v
from model.supply.weather_file import MeasuredDays
from model.trip import PERCENTILES, NoTrip, trip
from model.trip.calendar import calendar_of
from model.trip.hours import days_at, lay_out, places_of
from model.trip.working import in_words, trips_in_words
from model.year import Cancelled
from model.year.hours import own_drain_w

MARSH = Place("Guadalquivir marsh", 37.13, -6.49, 3.0)
HERE = Stop("Marsh", 37.13, -6.49, 3.0, "9 Feb", 6)
LOIRE = Stop("Loire mouth", 47.28, -2.0, nights=4, driving_hours=6.0)
POLDER = Stop("Goose polder", 53.37, 6.2, nights=5)
VAN = Design(
    month=2,
    system=System(cabin_heated_to_c=25.0, wiring_efficiency=1.0, always_on_w=0.0),
    place=MARSH,
    loads=(Load("Fridge", power_w=10.0, hours_per_day=24.0),),
    battery=Battery("LFP", installed_ah=100.0, depth_of_discharge=0.8, place="heated cabin"),
    stops=(HERE, LOIRE, POLDER),
)
DARK = replace(VAN, array=Array(count=0))


def at(design: Design, *stops: Stop) -> Design:
    return replace(design, stops=stops)


def test_without_sun_a_constant_load_empties_the_battery_on_the_day_reckoned():
    """1280 Wh, 80 % of them usable, 10 W and the battery's own electronics: 1024 Wh / (10 W + drain), on the fifth day."""
    made = plan(at(DARK, replace(HERE, nights=3), replace(LOIRE, driving_hours=0.0, nights=4)))
    drain_w = own_drain_w(chemistries()["LFP"], 1280.0)
    assert made.storage.chosen.installed_wh == pytest.approx(1280.0)
    served_h = 1024.0 / (10.0 + drain_w)
    assert 4 * 24 < served_h < 5 * 24
    found = trip(made, years=5, cures=False)
    first, second = found.stops
    assert first.chance_by_day == (0.0, 0.0, 0.0) and second.chance_by_day == (0.0, 1.0, 1.0, 1.0)
    assert first.bad_trips == 0 and second.bad_trips == 5 and second.chance_of_empty_day == 1.0
    assert second.empty_days == 3.0 and second.unmet_wh == pytest.approx((7 * 24 - served_h) * (10.0 + drain_w))
    assert second.departure == pytest.approx((0.2,) * 5) and second.reserve == pytest.approx(0.2)
    assert found.worst == 1 and found.first_day_at_risk == 4 and found.dates[4] == "13 Feb"
    assert found.chance_of_empty_day == 1.0
    half = trip(made, years=2, cures=False, start_charge=0.6)  # 512 Wh of 1024: empty on the third day
    assert half.first_day_at_risk == 2 and half.stops[0].arrival == pytest.approx((0.6,) * 5)


def test_with_shore_power_every_night_the_battery_is_never_empty():
    """10 h of 20 A fill more than the 10 W of a day take; without them five days do it."""
    stayed = replace(HERE, nights=12, shore_nights=12)
    plugged = trip(plan(at(DARK, stayed)), years=3)
    assert plugged.worst is None and plugged.stops[0].bad_trips == 0 and plugged.cures == ()
    assert plugged.stops[0].departure == pytest.approx((1.0,) * 5, abs=0.01)
    assert trip(plan(at(DARK, replace(stayed, shore_nights=0))), years=3, cures=False).stops[0].bad_trips == 3
    # 20 A at 13.6 V for 10 h; of the last night's only the four hours before midnight lie within the trip
    assert plugged.stops[0].shore_wh_per_day == pytest.approx((11 * 10 + 4) * 20 * charging_v(12.0) / 12)
    some = replace(stayed, shore_nights=3)
    assert trip(plan(at(DARK, some)), years=1, cures=False).stops[0].shore_wh_per_day == pytest.approx(
        30 * 20 * charging_v(12.0) / 12
    )


def test_days_that_are_all_alike_carry_the_load_that_they_bring():
    """Every day brings the month's mean. The steady load that a day and a night just carry follows from the monthly chain's
    profile: what its surplus leaves in the battery is what its dark hours take."""
    alike = Weather(
        ghi_kwh_per_m2_day=(3.0,) * 12, temperature_c=(15.0,) * 12, daily_shape=(1.0,) * 12 * len(PROBABILITIES)
    )
    sunny = replace(VAN, weather=alike, array=Array(count=3))
    harvest_w = np.array(plan(sunny).supply.month.hourly_harvest_w)
    kept, low, high = chemistries()["LFP"].round_trip_efficiency, 0.0, float(harvest_w.max())
    for _ in range(50):
        load_w = (low + high) / 2
        gain = kept * np.maximum(harvest_w - load_w, 0).sum() - np.maximum(load_w - harvest_w, 0).sum()
        low, high = (load_w, high) if gain > 0 else (low, load_w)
    drain_w = own_drain_w(chemistries()["LFP"], 1280.0)

    def run(share: float):
        load = Load("Steady", power_w=share * load_w - drain_w, hours_per_day=24.0)
        february = replace(HERE, arrival="1 Feb", nights=27)
        return trip(plan(at(replace(sunny, loads=(load,)), february)), years=2, cures=False).stops[0]

    carried, too_much = run(0.98), run(1.1)
    assert carried.sun_wh_per_day == pytest.approx(harvest_w.sum(), rel=0.01)
    assert carried.bad_trips == 0 and too_much.bad_trips == 2
    midnights = [charge[2] for charge in carried.charge_by_day]
    assert midnights == pytest.approx([midnights[0]] * 27, abs=0.02)


def test_driving_comes_on_the_arrival_day_through_the_chain_of_the_plan():
    car = Alternator(fitted=True, charger_a=30.0)
    found = trip(
        plan(at(replace(DARK, alternator=car), HERE, replace(LOIRE, driving_hours=2.0, nights=3))), years=2, cures=False
    )
    assert found.stops[0].driving_wh_per_day == 0
    assert found.stops[1].driving_wh_per_day == pytest.approx(2 * 30 * charging_v(12.0) / 3)
    assert found.stops[1].arrival[2] > found.stops[0].departure[2] + 0.4  # two hours of 30 A into 100 Ah
    without = trip(plan(at(DARK, replace(HERE, driving_hours=2.0))), years=1, cures=False)
    assert without.stops[0].driving_wh_per_day == 0
    assert [finding.where for finding in without.findings if "driving" in finding.where] == ["stops/0/driving_hours"]


def test_each_place_has_its_own_sun():
    """The mean over the trips is the month's typical harvest there: 400 Februaries of 10 % know it to 0.5 %, four of those."""
    stayed = replace(POLDER, arrival="1 Feb", nights=28, driving_hours=0.0)
    found = trip(plan(at(VAN, stayed)), cures=False).stops[0]
    there = plan(replace(VAN, place=Place("Goose polder", 53.37, 6.2)))
    assert found.sun_wh_per_day == pytest.approx(there.supply.month.harvest_wh_per_day, rel=0.03)
    assert found.sun_wh_per_day < 0.6 * plan(VAN).supply.month.harvest_wh_per_day


def test_the_shade_of_a_stop_takes_its_share_of_the_light() -> None:
    """Losses multiply (PVWatts version 5, Dobos 2014, eq. 11): 60 % of shade instead of the array's 3 % leave 0.40 / 0.97."""
    open_sky = trip(plan(at(VAN, HERE, LOIRE)), years=5, cures=False).stops
    in_a_wood = trip(plan(at(VAN, HERE, replace(LOIRE, shading=0.6))), years=5, cures=False).stops
    assert in_a_wood[0].sun_wh_per_day == open_sky[0].sun_wh_per_day
    assert in_a_wood[1].sun_wh_per_day == pytest.approx(0.4 / 0.97 * open_sky[1].sun_wh_per_day, rel=1e-6)


THIRSTY = replace(
    VAN,
    loads=(
        Load("Fridge", power_w=10.0, hours_per_day=24.0),
        Load("Laptop", power_w=60.0, hours_per_day=3.0, need="can wait"),
        Load("Lamp", power_w=5.0, hours_per_day=4.0, need="can wait"),
    ),
    array=Array(count=3),
    alternator=Alternator(fitted=True, charger_a=30.0),
    shore=Shore(charger_a=20.0),
    battery=replace(VAN.battery, wait_below=0.0),
    stops=(replace(HERE, nights=1), replace(POLDER, nights=7)),
)


@pytest.fixture(scope="module")
def thirsty():
    return trip(plan(THIRSTY), years=120)


def test_advice_taken_brings_the_chance_that_it_promised(thirsty):
    """The trip with each cure typed into the design has the very chance that the search found: the weather is the same."""
    assert thirsty.worst == 1 and thirsty.worst_stop.chance_of_empty_day > 0.5
    cures = {cure.kind: cure for cure in thirsty.cures}
    assert list(cures) == ["array", "battery", "driving", "shore", "off"]
    here, polder = THIRSTY.stops
    more_array = replace(THIRSTY, array=Array(count=3 + round((cures["array"].amount or 0) / THIRSTY.module.rated_w)))
    more_battery = replace(
        THIRSTY, battery=replace(THIRSTY.battery, installed_ah=100.0 + (cures["battery"].amount or 0))
    )
    on_shore = at(THIRSTY, here, replace(polder, shore_nights=cures["shore"].amount))
    applied = {"array": more_array, "battery": more_battery, "shore": on_shore}
    for kind, design in applied.items():
        assert cures[kind].amount is not None, kind
        found = trip(plan(design), years=120, cures=False).stops[1].chance_of_empty_day
        assert found == pytest.approx(cures[kind].chance) and found <= thirsty.target, kind
    off = at(THIRSTY, here, replace(polder, off=", ".join(cures["off"].loads)))
    assert trip(plan(off), years=120, cures=False).stops[1].chance_of_empty_day == pytest.approx(cures["off"].chance)


def test_the_least_amount_is_the_least(thirsty):
    array = next(cure for cure in thirsty.cures if cure.kind == "array")
    less = round(array.amount / THIRSTY.module.rated_w) - 1
    almost = trip(plan(replace(THIRSTY, array=Array(count=3 + less))), years=120, cures=False)
    assert almost.stops[1].chance_of_empty_day > thirsty.target


def test_driving_every_third_day_is_the_drive_typed_at_stops_of_three_nights(thirsty):
    """Seven nights, driving on the second and the fifth day: the same stop in pieces of 1, 3 and 3 nights."""
    cure = next(cure for cure in thirsty.cures if cure.kind == "driving")
    assert cure.amount is not None and cure.chance <= thirsty.target
    here, polder = THIRSTY.stops
    pieces = [replace(polder, nights=1)] + 2 * [replace(polder, nights=3, driving_hours=cure.amount)]
    split = trip(plan(at(THIRSTY, here, *pieces)), years=120, cures=False)
    assert split.stops[0].bad_trips == 0 and split.chance_of_empty_day == pytest.approx(cure.chance)


def test_what_no_amount_mends_is_said():
    alone = trip(plan(at(DARK, replace(HERE, nights=40))), years=3)
    cures = {cure.kind: cure for cure in alone.cures}
    assert cures["driving"].amount is None and "no charger" in cures["driving"].words
    assert cures["off"].amount is None and "can wait" in cures["off"].words
    assert cures["array"].amount is not None and cures["battery"].amount is not None
    hopeless = at(replace(VAN, loads=(Load("Heater", power_w=1500.0, hours_per_day=24.0),)), HERE)
    for cure in trip(plan(hopeless), years=3).cures:
        assert cure.amount is None and cure.chance == 1.0, cure


def test_dates_follow_one_another():
    calendar = calendar_of(VAN)
    assert [leg.first for leg in calendar.legs] == [0, 6, 10] and calendar.days == 15 and calendar.findings == ()
    assert [calendar.date(leg.first) for leg in calendar.legs] == ["9 Feb", "15 Feb", "19 Feb"]
    assert calendar_of(at(VAN, replace(HERE, arrival=None))).date(0) == "1 Feb"
    assert calendar_of(at(VAN, replace(HERE, arrival="2026-12-28"))).date(4) == "1 Jan"
    assert all(day_of_year(day_and_month(day)) == day for day in range(1, 366))


def test_a_later_arrival_leaves_the_van_where_it_was_and_an_earlier_one_is_impossible():
    late = calendar_of(at(VAN, HERE, replace(LOIRE, arrival="20 Feb")))
    assert [leg.nights for leg in late.legs] == [11, 4]
    assert [(finding.severity, finding.where) for finding in late.findings] == [("note", "stops/1/arrival")]
    early = calendar_of(at(VAN, HERE, replace(LOIRE, arrival="12 Feb")))
    assert [leg.first for leg in early.legs] == [0, 6]
    assert [(finding.severity, finding.where) for finding in early.findings] == [("warning", "stops/1/arrival")]
    over = calendar_of(at(VAN, replace(HERE, arrival="28 Dec"), replace(LOIRE, arrival="5 Jan")))
    assert [leg.nights for leg in over.legs] == [8, 4]
    years = calendar_of(at(VAN, replace(HERE, arrival="2026-02-09"), replace(LOIRE, arrival="2025-12-30")))
    assert years.findings[0].severity == "warning"
    months = calendar_of(at(VAN, replace(HERE, arrival="2026-02-09"), replace(LOIRE, arrival="2026-10-09")))
    assert months.legs[0].nights == 242 and months.findings[0].severity == "note"


def test_a_trip_of_more_than_a_year_is_cut():
    long = calendar_of(at(VAN, replace(HERE, nights=300), replace(LOIRE, nights=100), POLDER))
    assert long.days == 366 and len(long.legs) == 2
    assert long.findings[-1].where == "stops/1/nights" and "405" in long.findings[-1].message


def test_findings_name_the_field():
    odd = at(VAN, replace(HERE, off="fridge, Kettle"), Stop("Mid ocean", 0.0, -150.0, nights=2, shore_nights=5))
    found = trip(plan(odd), years=3, cures=False)
    told = {finding.where: finding for finding in found.findings}
    assert "Kettle" in told["stops/0/off"].message and "Fridge" not in told["stops/0/off"].message.title()
    assert (
        told["stops/1/latitude_deg"].severity == "warning"
        and "Guadalquivir marsh" in told["stops/1/latitude_deg"].message
    )
    assert "stops/1/shore_nights" in told
    assert (
        found.stops[0].use_wh_per_day < 5 < 240 < found.stops[1].use_wh_per_day
    )  # the fridge is off at the first alone
    assert found.stops[1].sun_wh_per_day > 0


def test_the_worst_stop_is_found_and_warned_of(thirsty):
    warning = next(finding for finding in thirsty.findings if finding.where == "stops/1/nights")
    assert warning.severity == "warning" and "Goose polder is the worst stop" in warning.message
    assert thirsty.dates[thirsty.first_day_at_risk] in warning.message and "on shore power" in warning.advice
    chances = [chance for stop in thirsty.stops for chance in stop.chance_by_day]
    assert chances[thirsty.first_day_at_risk] > 0.05 >= max(chances[: thirsty.first_day_at_risk])


def test_frost_on_the_way_is_told():
    cold = at(
        replace(VAN, battery=replace(VAN.battery, place="outside")), Stop("Inari", 68.9, 27.0, 120.0, "10 Jan", 5)
    )
    found = trip(plan(cold), years=20, cures=False)
    assert found.stops[0].locked_days >= 0  # polar night: hardly any sun to refuse
    fed = trip(plan(at(cold, replace(cold.stops[0], shore_nights=5))), years=20, cures=False)
    assert fed.stops[0].locked_days > 3 and "battery/place" in {finding.where for finding in fed.findings}


def test_a_trip_says_the_same_twice_and_percentiles_rise(thirsty):
    again = trip(plan(THIRSTY), years=120)
    assert (
        again.stops == thirsty.stops and again.cures == thirsty.cures and again.charge_by_hour == thirsty.charge_by_hour
    )
    assert trip(plan(THIRSTY), years=120, seed=2, cures=False).stops != thirsty.stops
    fan = np.array(thirsty.charge_by_hour)
    assert fan.shape == (len(PERCENTILES), 24 * 8) and np.all(np.diff(fan, axis=0) >= 0)
    assert fan.min() >= 0.2 - 1e-9 and fan.max() <= 1 + 1e-9
    for stop in thirsty.stops:
        rows = np.array([stop.arrival, stop.departure, *stop.charge_by_day])
        assert np.all(np.diff(rows, axis=1) >= 0) and len(stop.charge_by_day) == len(stop.chance_by_day) == stop.nights
        assert stop.empty_days == pytest.approx(sum(stop.chance_by_day)) and stop.chance_error > 0
        assert stop.departure == pytest.approx(tuple(fan[:, 24 * (stop.first + stop.nights) - 1]))


def test_more_trips_know_the_chance_better(thirsty):
    many = trip(plan(THIRSTY), years=480, cures=False)
    assert many.stops[1].chance_error == pytest.approx(thirsty.stops[1].chance_error / 2, rel=0.15)
    apart = abs(many.stops[1].chance_of_empty_day - thirsty.stops[1].chance_of_empty_day)
    assert apart < 4 * thirsty.stops[1].chance_error


@pytest.mark.parametrize("start", [1.0, 0.35])
def test_energy_is_conserved_over_a_trip_through_the_new_year(start):
    made = plan(at(THIRSTY, replace(HERE, arrival="27 Dec"), replace(POLDER, nights=9, shore_nights=2)))
    calendar = calendar_of(made.design)
    course = lay_out(calendar, places_of(made, calendar)[0], made.storage.chosen, 30, 1)
    assert course.hours.periods == 3 and course.hours.period_of_day.tolist() == [0] * 5 + [1] * 1 + [2] * 9
    run = simulate_once(course.hours, course.bank, made.supply.array_w, 1280.0, start_share=start, trace=True)
    books = run.ledger
    income = books.sun + books.other
    apart = income - books.curtailed - books.used - books.lost - books.stored
    assert np.abs(apart).max() < 1e-9 * income.sum(axis=0).max()
    assert books.stored.sum(axis=0)[0] == pytest.approx(run.trace.stored_wh[-1, -1, 0] - start * 1280.0)
    asked = (course.hours.load_w + course.hours.waiting_w).sum()
    served = (books.used + books.unmet + books.forgone + books.owed).sum(axis=0)
    assert served[0] == pytest.approx(np.full(30, asked), rel=1e-9)


def file_of(*kwh_per_m2: float) -> MeasuredDays:
    """A weather file of years whose days are all alike, each with this much sun, at 12 °C."""
    days = np.repeat(np.array(kwh_per_m2)[:, None], 365, axis=1)
    return MeasuredDays("field.csv", days, np.full_like(days, 12.0))


FROM_FILE = Weather(ghi_kwh_per_m2_day=(4.0,) * 12, temperature_c=(12.0,) * 12, file="field.csv")


def test_a_stop_at_the_place_of_the_weather_file_has_its_days():
    """A year without sun empties 1280 Wh on the fifth day, one of 7 kWh/m2 a day never: the chance is that of the dark year."""
    van = replace(VAN, weather=FROM_FILE, stops=(HERE,))
    made = plan(van)
    found, bright = (trip(made, years=200, cures=False, measured=file_of(*years)) for years in ((0.0, 7.0), (7.0, 7.0)))
    (stop,), (sunny,) = found.stops, bright.stops
    assert 0.35 < stop.chance_of_empty_day < 0.65 and sunny.chance_of_empty_day == 0.0
    assert stop.sun_wh_per_day == pytest.approx((1 - stop.chance_of_empty_day) * sunny.sun_wh_per_day)
    assert stop.measured_years == 2 and stop.chance_error > 0.2  # two years are two years, drawn 200 times or not
    assert trips_in_words(found) == "200 trips in the weather of 2 measured years"
    assert any("2 years of measured weather" in finding.message for finding in found.findings)
    assert "2 of field.csv" in found.chain("trip.0.chance_of_empty_day")[-1].source


def test_a_measured_year_goes_on_over_new_year_and_drawn_days_stand_at_other_stops():
    """Dark until New Year, bright from then on: the days after it are those of January."""
    days = np.zeros((1, 365))
    days[0, :100] = 7.0
    file = MeasuredDays("field.csv", days, np.full_like(days, 12.0))
    made = plan(replace(VAN, weather=FROM_FILE, stops=(replace(HERE, arrival="29 Dec", nights=6), LOIRE)))
    calendar = calendar_of(made.design)
    places = places_of(made, calendar)[0]
    known = tuple(days_at(made, place, file) for place in places)
    assert known == (file, None)
    drawn, mixed = (lay_out(calendar, places, made.storage.chosen, 7, 1, one) for one in ((), known))
    sun = mixed.hours.sun_w_per_w.sum(axis=1)
    assert np.all(sun[:3] == 0.0) and np.all(sun[3:6] > 1.0)
    assert np.array_equal(mixed.hours.sun_w_per_w[6:], drawn.hours.sun_w_per_w[6:])


def test_a_weather_file_of_another_place_than_the_stops_is_said_to_be_of_no_use():
    van = replace(VAN, weather=FROM_FILE, stops=(LOIRE,))
    with_file, without = (trip(plan(van), years=20, cures=False, measured=one) for one in (file_of(0.0), None))
    assert with_file.stops == without.stops
    assert any("No stop is at the place of the weather file" in finding.message for finding in with_file.findings)
    assert trips_in_words(with_file) == "20 trips in synthetic weather"


def test_every_figure_can_be_followed(thirsty):
    keys = {step.key for step in thirsty.steps} | set(thirsty.plan.working)
    assert all(used in keys for step in thirsty.steps for used in step.uses)
    chain = thirsty.chain("trip.1.empty_days")
    assert chain[-1].key == "trip.1.empty_days" and "trip.1.use_wh_per_day" in {step.key for step in chain}


def test_odds_are_said_as_people_count(thirsty):
    said = {
        0: "no empty day on any of 400 trips",
        7: "an empty day on 7 of 400 trips",
        40: "an empty day on 1 trip in 10",
        48: "an empty day on 1 trip in 8",
        66: "an empty day on 1 trip in 6",
        80: "an empty day on 2 trips in 10",
        120: "an empty day on 3 trips in 10",
        130: "an empty day on 1 trip in 3",
        390: "an empty day on nearly every trip",
        400: "an empty day on every trip",
    }
    for bad, words in said.items():
        assert in_words(replace(thirsty.stops[0], bad_trips=bad), 400) == words


def test_it_tells_how_far_it_is_stops_when_told_and_refuses_what_is_no_trip():
    told: list[float] = []
    trip(plan(THIRSTY), years=3, progress=told.append)
    assert told == sorted(told) and told[-1] == 1.0 and len(told) > 3
    with pytest.raises(Cancelled):
        trip(plan(THIRSTY), years=3, cancelled=lambda: True)
    with pytest.raises(NoTrip, match="no stops"):
        trip(plan(at(VAN)))
    lost = replace(VAN, place=Place("Somewhere", 0.0, -150.0), stops=(Stop("Elsewhere", 0.0, -140.0, nights=2),))
    with pytest.raises(NoTrip, match="climate"):
        trip(plan(lost))


def test_a_plan_without_climate_has_a_trip_where_its_stops_have_one():
    found = trip(plan(replace(VAN, place=Place("Somewhere", 0.0, -150.0))), years=3, cures=False)
    assert found.stops[0].sun_wh_per_day > 500


def test_odd_stops_have_a_trip():
    stops = (Stop(), Stop("", 70.0, 28.0, nights=1, driving_hours=48.0, off=",,"), replace(POLDER, shore_nights=366))
    for chemistry in ("LFP", "flooded"):
        design = at(replace(THIRSTY, battery=Battery(chemistry, place="outside"), loads=()), *stops)
        found = trip(plan(design), years=2)
        assert len(found.stops) == 3 and all(np.isfinite(step.value) for step in found.steps)
