"""Kinds of day: by hand for a small week, and what must hold for every week."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from model import edit
from model.demand.kinds import REST_NAME, kinds_of, names_in, row_weights
from model.demand.table import DemandInput
from model.demand.total import demand
from model.demand.week import days_of_week
from model.design import ALL_MONTHS, Battery, Day, Design, Inverter, Load, Place, System
from model.plan import plan
from model.storage.chemistry import chemistries
from model.year.hours import hours_of, own_drain_w

PLAIN = System(wiring_efficiency=1.0, always_on_w=0.0)
LAPTOP = Load("laptop", power_w=60, hours_per_day=6, days="work")
STOVE = Load("fan", power_w=15, hours_per_day=8, when="night", need="can wait", days="rain, Work ")
FRIDGE = Load("fridge", power_w=20, hours_per_day=10)
NONE = Inverter()
WEEK = (Day("work", 4), Day("rain", 1))


def table(*loads: Load, days: tuple[Day, ...] = WEEK, inverter: Inverter = NONE) -> DemandInput:
    return DemandInput(loads, PLAIN, inverter, 6, ALL_MONTHS, (25.0,) * 12, days)


def where_of(inputs: DemandInput) -> list[str]:
    return [one.where for one in demand(inputs).findings]


def test_a_week_by_hand():
    """Work: 360 + 120 + 200 = 680 Wh; rain 320; the two other days 200. Mean (4 x 680 + 320 + 2 x 200) / 7 = 491.43 Wh."""
    found = demand(table(LAPTOP, STOVE, FRIDGE))
    assert [(one.kind.name, one.kind.days_per_week) for one in found.kinds] == [
        ("work", 4),
        ("rain", 1),
        (REST_NAME, 2),
    ]
    assert [one.months[5].energy_wh_per_day for one in found.kinds] == pytest.approx([680, 320, 200])
    assert found.month.energy_wh_per_day == pytest.approx(3440 / 7)
    assert [load.energy_wh_per_day for load in found.loads[:3]] == pytest.approx([4 * 360 / 7, 5 * 120 / 7, 200])
    assert found.month.deferrable_wh_per_day == pytest.approx(600 / 7)
    assert found.month.peak_w == 95  # all three in the night of a work day, not a mean of days
    said = [one for one in found.findings if "governs" in one.message]
    assert [one.where for one in said] == ["days/0/name"]
    assert said[0].message == "The kind of day “work” governs: 680 Wh against 491 Wh on the average day."
    step = next(one for one in found.steps if one.key == "demand.load.0.energy_wh_per_day")
    assert step.value == pytest.approx(4 * 360 / 7) and "4 of 7 days" in step.formula
    assert {f"demand.kind.{index}.energy_wh_per_day" for index in range(3)} <= {one.key for one in found.steps}


def test_the_inverter_idles_by_the_kind_of_day():
    """10 W idle, on 2 h by itself, 5 h where the grinder is on (fixed efficiency: every hour counts): 5 x 50 + 2 x 20 Wh."""
    inverter = Inverter(fitted=True, curve="fixed", efficiency=1.0, idle_w=10, hours_on=2)
    grinder = Load("grinder", power_w=100, hours_per_day=5, supply="AC", days="work")
    found = demand(table(grinder, days=(Day("work", 5),), inverter=inverter))
    assert found.idle_wh_per_day == pytest.approx((5 * 50 + 2 * 20) / 7)
    assert found.month.energy_wh_per_day == pytest.approx(5 / 7 * 500 + found.idle_wh_per_day)


def test_without_kinds_of_day_nothing_changes():
    loads = (LAPTOP, STOVE, FRIDGE)
    plain = demand(table(*(replace(load, days="") for load in loads), days=()))
    named = demand(table(*loads, days=()))
    assert named.months == plain.months and named.loads == plain.loads and named.steps == plain.steps
    assert named.kinds == plain.kinds == ()
    # a whole week of one kind, and a kind that never comes, change nothing either
    for days in ((Day("any", 7),), (Day("never", 0),)):
        other = demand(table(*(replace(load, days="") for load in loads), days=days))
        assert other.month.energy_wh_per_day == pytest.approx(plain.month.energy_wh_per_day)
        assert other.month.peak_w == plain.month.peak_w


def test_slips_of_the_pen_are_said_and_counted_cautiously():
    assert names_in(" work,, rain  day , ") == ("work", "rain day")
    lost = replace(LAPTOP, days="holiday")
    found = demand(table(lost, FRIDGE))
    assert found.loads[0].energy_wh_per_day == pytest.approx(360)  # on every day
    assert where_of(table(lost, FRIDGE)) == ["loads/0/days"]
    half = replace(LAPTOP, days="holiday, rain")
    assert demand(table(half, FRIDGE)).loads[0].energy_wh_per_day == pytest.approx(360 / 7)
    assert "loads/0/days" in where_of(table(half, FRIDGE))
    assert where_of(table(replace(lost, on=False), FRIDGE)) == []
    crowded = table(LAPTOP, FRIDGE, days=(Day("work", 7), Day("rain", 7)))
    assert "days/1/days_per_week" in where_of(crowded)
    assert [one.kind.days_per_week for one in demand(crowded).kinds] == [3.5, 3.5]
    assert "days/0/name" in where_of(table(FRIDGE, days=(Day("", 2),)))
    assert "days/0/name" in where_of(table(FRIDGE, days=(Day("wet, cold", 2),)))


days = st.lists(st.builds(Day, st.sampled_from("abc"), st.floats(0, 7)), max_size=4).map(tuple)
rows = st.lists(
    st.builds(
        Load,
        name=st.just("row"),
        power_w=st.floats(0, 500),
        hours_per_day=st.floats(0, 24),
        supply=st.sampled_from(["DC", "AC"]),
        need=st.sampled_from(["essential", "can wait"]),
        when=st.sampled_from(["day", "night", "7-9"]),
        days=st.sampled_from(["", "a", "b, c", "x", "a,x"]),
    ),
    max_size=4,
).map(tuple)


@given(rows, days)
def test_a_week_has_seven_days_and_its_rows_add_up(loads, kinds):
    inputs = table(*loads, days=kinds, inverter=Inverter(fitted=True))
    found = demand(inputs)
    assert sum(kind.days_per_week for kind in kinds_of(loads, kinds)) == pytest.approx(7)
    assert all(0 <= weight <= 1 + 1e-9 for weight in row_weights(kinds_of(loads, kinds)))
    total = sum(load.energy_wh_per_day for load in found.loads)
    assert total == pytest.approx(found.month.energy_wh_per_day, rel=1e-9, abs=1e-9)
    assert sum(found.month.profile_w) == pytest.approx(found.month.energy_wh_per_day, rel=1e-9, abs=1e-9)
    assert sum(found.month.deferrable_w) == pytest.approx(found.month.deferrable_wh_per_day, rel=1e-9, abs=1e-9)
    if found.kinds:
        week = days_of_week(found.kinds, 6)
        energies = [sum(share * day.energy_wh_per_day for share, day in parts) for parts in week]
        assert sum(energies) == pytest.approx(7 * found.month.energy_wh_per_day, rel=1e-6, abs=1e-6)
        assert all(more >= less - 1e-6 for more, less in pairwise(energies))
        assert max(energies) <= max(one.months[5].energy_wh_per_day for one in found.kinds) + 1e-6
    design = Design(loads=loads, days=kinds)
    for finding in found.findings:
        edit.get(design, finding.where)


def test_battery_and_simulated_year_live_the_week():
    """Two days without sun are two work days of 680 Wh, not two means; the year has four of them, then rain, then two others."""
    design = Design(
        month=6,
        place=Place("Guadalquivir marsh", 37.13, -6.49, 3.0),
        system=PLAIN,
        loads=(LAPTOP, STOVE, FRIDGE),
        days=WEEK,
        battery=Battery(autonomy_days=2),
    )
    made = plan(design)
    assert made.storage.chosen.sizing.unadjusted_wh == pytest.approx(1360)
    assert made.storage.chosen.autonomy_days == pytest.approx(made.storage.chosen.usable_wh / 680, rel=1e-9)
    step = made.working["storage.unadjusted_wh"]
    assert step.formula == "2 days “work” x 680 Wh"
    hours = hours_of(made, made.storage.chosen, 1, 1)
    drain_wh = 24 * own_drain_w(chemistries()["LFP"], made.storage.chosen.installed_wh)
    used = (hours.load_w + hours.waiting_w).sum(axis=1) - drain_wh
    assert used[:14] == pytest.approx(np.tile([680, 680, 680, 680, 320, 200, 200], 2))
    assert hours.waiting_w[[0, 4, 5]].sum(axis=1) == pytest.approx([120, 120, 0])
    assert hours.waiting_w.min() >= 0 and hours.waiting_w[0, 12] == 0
