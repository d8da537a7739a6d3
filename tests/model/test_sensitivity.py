"""What matters most, held against the formulas themselves: where a figure is proportional to an input, ten percent are ten."""

from __future__ import annotations

import pytest

from model import edit, shelf
from model.design import Design, Load, Place, Weather
from model.plan import Plan, plan
from model.record.files import open_design
from model.sensitivity import Cancelled, Influence, sensitivity


@pytest.fixture(scope="module")
def heron() -> Plan:
    return plan(open_design(shelf.path("heron.toml")).design)


def found(made: Plan, key: str, limit: int = 100) -> dict[str, Influence]:
    return {one.path: one for one in sensitivity(made, key, limit)}


def test_capacity_is_proportional_to_the_days_without_sun(heron: Plan):
    """IEEE 1013, 6.1: the unadjusted capacity is the daily use times the days of autonomy."""
    first = sensitivity(heron, "storage.LFP.capacity_needed_ah")[0]
    assert first.path == "battery/autonomy_days"
    assert (first.before, first.after) == ("2", "2.2")
    assert first.change == pytest.approx(0.10)


def test_a_load_weighs_as_much_as_its_share_of_the_use(heron: Plan):
    """The use is a sum, so a tenth more of one summand adds a tenth of its share."""
    share = heron.working["demand.load.4.energy_wh_per_day"].value / heron.working["demand.energy_wh_per_day"].value
    one = found(heron, "demand.energy_wh_per_day")["loads/4/power_w"]
    assert one.change == pytest.approx(0.1 * share)
    assert one.label == "Router: power, quantity"  # 24 h are the end of the hours


def test_what_has_an_end_stops_there(heron: Plan):
    one = found(heron, "demand.charge_ah_per_day")["system/wiring_efficiency"]
    assert (one.before, one.after) == ("98 %", "100 %")
    assert one.change == pytest.approx(0.98 - 1)  # use = load / efficiency


def test_an_empty_field_counts_with_what_is_in_force():
    """Where depth of discharge alone decides, capacity goes with its inverse: IEEE 1013, 6.3."""
    base = open_design(shelf.path("heron.toml")).design
    design = edit.put_text(base, "battery/end_of_life", "100 %")
    made = plan(design)
    one = found(made, "storage.LFP.largest_wh")["battery/depth_of_discharge"]
    assert (one.before, one.after) == ("80 %", "88 %")
    assert one.change == pytest.approx(1 / 1.1 - 1)


def test_whole_numbers_are_one_more_and_rank_by_a_tenth(heron: Plan):
    ranked = sensitivity(heron, "supply.harvest_wh_per_day", 100)
    one = next(item for item in ranked if item.path == "array/in_series")
    assert (one.before, one.after) == ("2", "3")
    assert ranked.index(one) > ranked.index(next(item for item in ranked if item.path == "module/rated_w"))


def test_typed_weather_is_one_input():
    weather = Weather(ghi_kwh_per_m2_day=(3.0,) * 12, temperature_c=(15.0,) * 12)
    made = plan(Design(place=Place("here", 40, 0), weather=weather, loads=(Load("Lamp", power_w=10, hours_per_day=5),)))
    one = found(made, "supply.ghi_kwh_per_m2_day")["weather/ghi_kwh_per_m2_day"]
    assert one.change == pytest.approx(0.10)


def test_rows_switched_off_do_not_weigh(heron: Plan):
    design = edit.put(heron.design, "loads/0/on", False)
    assert not any(path.startswith("loads/0/") for path in found(plan(design), "demand.energy_wh_per_day"))


def test_words_nothing_and_unknown_keys_have_no_influences(heron: Plan):
    assert sensitivity(heron, "no.such.key") == ()
    off = plan(edit.put(edit.put(heron.design, "loads", ()), "system/always_on_w", 0.0))
    assert sensitivity(off, "demand.load.0.energy_wh_per_day") == ()


@pytest.mark.parametrize("key", ["demand.peak_w", "supply.coverage", "supply.controller_a", "storage.AGM.usable_wh"])
def test_the_strongest_come_first_and_no_more_than_asked_for(heron: Plan, key: str):
    few = sensitivity(heron, key, 3)
    assert 0 < len(few) <= 3
    assert few == sensitivity(heron, key, 100)[: len(few)]
    assert all(one.label and one.before != one.after for one in few)


def test_nobody_waiting_ends_it(heron: Plan):
    with pytest.raises(Cancelled):
        sensitivity(heron, "storage.LFP.capacity_needed_ah", cancelled=lambda: True)
