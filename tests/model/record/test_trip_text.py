"""The trip in words and as data."""

import json
from dataclasses import replace

import pytest

from model.design import Battery, Design, Load, Place, Stop, System
from model.plan import plan
from model.record.as_json import as_dict
from model.record.as_text import as_text
from model.record.trip_json import trip_dict
from model.record.trip_text import trip_text
from model.trip import trip

VAN = Design(
    month=2,
    system=System(cabin_heated_to_c=20.0),
    place=Place("Guadalquivir marsh", 37.13, -6.49, 3.0),
    loads=(Load("Fridge", power_w=25.0, hours_per_day=24.0),),
    battery=Battery("LFP", installed_ah=100.0, place="heated cabin"),
    stops=(
        Stop("Reed edge", 37.13, -6.49, 3.0, "9 Feb", 3, off="fridge"),
        Stop("Goose polder", 53.37, 6.2, nights=6),
    ),
)


@pytest.fixture(scope="module")
def found():
    return trip(plan(VAN), years=40)


def test_each_stop_has_its_line_and_the_worst_its_cures(found):
    told = trip_text(found)
    assert told.startswith("TRIP of 9 days from 9 Feb, the battery 100 % full")
    assert "9 Feb-12 Feb, Reed edge: no empty day on any of 40 trips" in told
    assert "12 Feb-18 Feb, Goose polder: an empty day on" in told
    assert "Worst stop: Goose polder; the first day at risk is" in told
    for kind in ("modules", "battery", "Driving brings nothing", "on shore power", "no load left that can wait"):
        assert kind in told.split("to 10 % or less:")[1], kind
    assert all(len(line) <= 100 for line in told.split(" WARNING")[0].splitlines()[1:])


def test_a_trip_without_an_empty_day_is_told_so():
    easy = replace(VAN, stops=VAN.stops[:1])
    assert "No stop has an empty day." in trip_text(trip(plan(easy), years=5))


def test_the_plan_tells_of_the_trip_where_it_has_stops():
    told = as_text(plan(VAN))
    assert "\n\nTRIP of 9 days" in told and "What would mend it: ampledger trip." in told
    assert "TRIP" not in as_text(plan(replace(VAN, stops=())))
    lost = replace(VAN, place=Place("Somewhere", 0.0, -150.0), stops=(Stop("Elsewhere", 0.0, -140.0),))
    assert "TRIP\nNo stop has climate data" in as_text(plan(lost))


def test_the_data_hold_what_the_trip_holds(found):
    data = json.loads(json.dumps(trip_dict(found), allow_nan=False))
    assert data["worst_stop"] == "Goose polder" and data["days"] == 9 and data["trips_simulated"] == 40
    assert [stop["name"] for stop in data["stops"]] == ["Reed edge", "Goose polder"]
    last = data["stops"][1]
    assert last["chance_of_empty_day"] == found.stops[1].chance_of_empty_day and len(last["days"]) == 6
    assert last["days"][-1]["charge"] == last["charge_on_leaving"] and len(last["charge_on_arrival"]) == 5
    assert [cure["kind"] for cure in data["cures"]] == ["array", "battery", "driving", "shore", "off"]
    whole = as_dict(found.plan, trip=found)
    assert whole["trip"] == trip_dict(found) and whole["steps"][-1]["key"] == "trip.1.empty_days"
    assert as_dict(found.plan)["trip"] is None
