"""The energy budget: what must hold for every load table, and what books and measurements say of single rows."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.calendar import TIMES_OF_DAY
from model.demand.heat import duty_in_heat
from model.demand.inverter import efficiency
from model.demand.load import daily_energy_wh, load_demand
from model.demand.table import ALWAYS_ON_NAME, IDLE_NAME, DemandInput
from model.demand.total import demand
from model.design import ALL_MONTHS, INVERTER_CURVES, SUPPLIES, Inverter, Load, System

YEAR_C = (-14.0, -12.0, -6.0, 0.0, 6.0, 13.0, 16.0, 14.0, 8.0, 2.0, -6.0, -11.0)
WARM_C = (25.0,) * 12
PLAIN = System(wiring_efficiency=1.0, always_on_w=0.0)
NO_INVERTER = Inverter()

watts = st.floats(0.1, 3_000)
hours = st.floats(0, 24)
shares = st.floats(0, 1)
months = st.sets(st.integers(1, 12)).map(lambda chosen: tuple(sorted(chosen)))


@st.composite
def a_load(draw):
    power_w = draw(watts)
    return Load(
        name=draw(st.sampled_from(["kettle", "lamp", IDLE_NAME, ALWAYS_ON_NAME, ""])),
        quantity=draw(st.integers(0, 5)),
        power_w=power_w,
        measured_wh_per_day=draw(st.none() | st.floats(0, 5_000)),
        supply=draw(st.sampled_from(SUPPLIES)),
        hours_per_day=draw(hours),
        duty=draw(shares),
        follows_heat=draw(st.booleans()),
        standby_w=power_w * draw(shares),  # a standby above the running power is told as a finding
        surge_w=draw(st.none() | st.floats(0, 10_000)),
        converter_efficiency=draw(st.floats(0.5, 1)),
        months=draw(months),
        when=draw(st.sampled_from([*TIMES_OF_DAY, "7-9, 18-23", "22-2"])),
        need=draw(st.sampled_from(["essential", "can wait"])),
        on=draw(st.booleans()),
    )


inverters = st.builds(
    Inverter,
    fitted=st.booleans(),
    rated_w=st.floats(100, 5_000),
    curve=st.sampled_from(INVERTER_CURVES),
    efficiency=st.floats(0.5, 1),
    idle_w=st.floats(0, 100),
    hours_on=hours,
)
systems = st.builds(
    System,
    nominal_v=st.sampled_from([12.0, 24.0, 48.0]),
    wiring_efficiency=st.floats(0.8, 1),
    always_on_w=st.floats(0, 50),
    cabin_heated_to_c=st.none() | st.floats(-10, 30),
)


@st.composite
def a_table(draw):
    loads = tuple(draw(st.lists(a_load(), max_size=6)))
    return DemandInput(loads, draw(systems), draw(inverters), draw(st.integers(1, 12)), draw(months), YEAR_C)


def table(*loads, system=PLAIN, inverter=NO_INVERTER, month=6, outside_c=WARM_C):
    return DemandInput(loads, system, inverter, month, ALL_MONTHS, outside_c)


def day_wh(*loads, **given_):
    return demand(table(*loads, **given_)).month.energy_wh_per_day


# What must hold for every table


@given(a_table())
def test_energy_adds_up_over_all_rows_of_every_month(inputs):
    found = demand(inputs)
    for month in found.months:
        rows = sum(share.months_wh_per_day[month.month - 1] for share in found.loads)
        assert rows == pytest.approx(month.energy_wh_per_day, rel=1e-9, abs=1e-9)
    assert len(found.loads) == len(inputs.loads) + 1 + inputs.inverter.fitted
    assert sum(share.charge_ah_per_day for share in found.loads) == pytest.approx(
        found.month.charge_ah_per_day, rel=1e-9, abs=1e-9
    )


@given(a_table())
def test_hours_of_the_day_add_up_to_the_day(inputs):
    for month in demand(inputs).months:
        assert sum(month.profile_w) == pytest.approx(month.energy_wh_per_day, rel=1e-9, abs=1e-9)
        assert min(month.profile_w) >= 0


@given(a_table())
def test_surge_is_above_peak_above_every_hour_above_average(inputs):
    for month in demand(inputs).months:
        slack = 1e-9 * (1 + month.peak_w)  # the hours are summed in another order than the day
        assert month.surge_w >= month.peak_w >= max(month.profile_w) - slack
        assert max(month.profile_w) >= month.average_w - slack


@given(a_table())
def test_hours_of_a_table_are_the_hours_of_its_rows_alone(inputs):
    quiet = replace(
        inputs, system=replace(inputs.system, always_on_w=0), inverter=replace(inputs.inverter, fitted=False)
    )
    alone = [demand(replace(quiet, loads=(load,))).month for load in quiet.loads]
    together = demand(quiet).month
    for hour in range(24):
        assert together.profile_w[hour] == pytest.approx(sum(one.profile_w[hour] for one in alone), abs=1e-9)
    assert max([one.peak_w for one in alone], default=0) - 1e-9 <= together.peak_w
    assert together.peak_w <= sum(one.peak_w for one in alone) + 1e-9


@given(a_table(), st.data())
def test_more_hours_never_lower_the_energy(inputs, data):
    row = data.draw(a_load())
    longer = replace(row, hours_per_day=data.draw(st.floats(row.hours_per_day, 24)))
    before, after = (demand(replace(inputs, loads=(*inputs.loads, load))) for load in (row, longer))
    for less, more in zip(before.months, after.months, strict=True):
        assert more.energy_wh_per_day >= less.energy_wh_per_day * (1 - 1e-12) - 1e-9


@given(a_table(), a_load(), st.integers(0, 6))
def test_a_row_that_is_switched_off_adds_nothing(inputs, row, position):
    off = replace(row, on=False)
    loads = (*inputs.loads[:position], off, *inputs.loads[position:])
    without, with_it = demand(inputs), demand(replace(inputs, loads=loads))
    assert with_it.months == without.months
    assert with_it.standing_wh_per_day == without.standing_wh_per_day
    assert with_it.losses_wh_per_day == without.losses_wh_per_day


@given(a_table())
def test_month_without_a_row_is_a_month_without_its_energy(inputs):
    for load, share in zip(inputs.loads, demand(inputs).loads, strict=False):
        assert all(share.months_wh_per_day[month - 1] == 0 for month in ALL_MONTHS if month not in load.months)


@given(a_table())
def test_a_hot_week_takes_no_less_and_losses_are_a_part_of_the_use(inputs):
    found = demand(inputs)
    for month in found.months:
        assert month.hot_week_wh_per_day >= month.energy_wh_per_day * (1 - 1e-12) - 1e-9
    assert -1e-9 <= found.losses_wh_per_day <= found.month.energy_wh_per_day + 1e-9


@given(inverters, st.floats(0.01, 5_000), st.floats(0, 100))
def test_an_inverter_with_a_named_curve_never_loses_less_than_idle(inverter, ac_w, more_w):
    good = efficiency(inverter, ac_w)
    assert 0 < good <= 1
    if inverter.curve != "fixed":
        assert ac_w / good - ac_w >= inverter.idle_w * (1 - 1e-9) - 1e-9
        battery_w, more_battery_w = ac_w / good, (ac_w + more_w) / efficiency(inverter, ac_w + more_w)
        assert more_battery_w >= battery_w * (1 - 1e-12)


# What single rows must come to


def test_refrigerator_runs_a_third_of_the_day():
    """US Department of Energy: hours plugged in divided by three; 45 W for 24 h is 45 W for 8 h, 360 Wh."""
    assert daily_energy_wh(1, 45, 24, 1 / 3) == pytest.approx(360)
    assert day_wh(Load("fridge", power_w=45, hours_per_day=8)) == pytest.approx(360)


def test_forgotten_inverter_empties_a_bank():
    """1.5 A of a 1 kW inverter left on in a closet (pysystems.ca, "are your batteries dying"): 36 Ah a day at 12 V."""
    left_on = Inverter(fitted=True, idle_w=18, hours_on=24)
    found = demand(table(inverter=left_on))
    assert found.month.charge_ah_per_day == pytest.approx(36)
    assert [share.name for share in found.loads] == [IDLE_NAME, ALWAYS_ON_NAME]
    assert found.idle_wh_per_day == pytest.approx(432)
    assert found.standing_wh_per_day == 0, "with everything off, the inverter is off too"


def test_phantom_current_of_a_coach():
    """1.2 A measured with everything off (jdfinley.com, energy audit): 28.8 Ah a day, whatever the hours of the loads."""
    quiet = System(wiring_efficiency=1.0, always_on_w=1.2 * 12)
    found = demand(table(Load("lamp", power_w=10, hours_per_day=0), system=quiet))
    assert found.standing_wh_per_day / 12 == pytest.approx(28.8)
    assert found.always_on_wh_per_day / 12 == pytest.approx(28.8)


def test_fan_rated_in_amps():
    """A 12 V oscillating fan measured at 0.625 A and 1.5 A (c-brats.com, thread on ventilation): 7.5 W and 18 W by P = U I."""
    assert day_wh(Load("low", current_a=0.625, hours_per_day=1)) == pytest.approx(7.5)
    assert day_wh(Load("high", current_a=1.5, rated_v=12, hours_per_day=1), system=replace(PLAIN, nominal_v=24)) == (
        pytest.approx(18)
    )


def test_computer_of_the_energy_department_as_amps_at_mains_voltage():
    """A 120 + 150 W computer (US Department of Energy) is 2.25 A at 120 V: the same energy whichever is typed."""
    in_amps = Load("computer", current_a=2.25, rated_v=120, hours_per_day=4)
    assert day_wh(in_amps) == pytest.approx(270 * 4)


@pytest.mark.parametrize(("cabin_c", "times"), [(25, 1.0), (35, 1.5), (15, 0.5), (5, 0.0), (-10, 0.0)])
def test_refrigerator_duty_is_proportional_to_the_temperature_difference(cabin_c, times):
    """Newton's law of cooling: against 5 °C inside, 30 K of difference leak 1.5 times the heat of 20 K."""
    assert duty_in_heat(0.4, cabin_c) == pytest.approx(0.4 * times)


def test_refrigerator_follows_the_months_and_the_heater():
    fridge = Load("fridge", power_w=50, hours_per_day=24, duty=0.4, follows_heat=True)
    cold = load_demand(fridge, PLAIN, NO_INVERTER, YEAR_C)
    heated = load_demand(fridge, replace(PLAIN, cabin_heated_to_c=15), NO_INVERTER, YEAR_C)
    assert max(range(12), key=lambda month: cold.energy_wh_per_day[month]) == 6  # July is the warmest of YEAR_C
    assert heated.duty[0] == pytest.approx(0.2)  # half the temperature difference at 15 °C
    assert heated.energy_wh_per_day[0] == pytest.approx(50 * 24 * 0.2)
    assert cold.duty[6] == heated.duty[6]


def test_hot_week_stands_beside_the_mean():
    """8 K more than 25 °C against 5 °C inside: 28 / 20 of the heat."""
    fridge = Load("fridge", power_w=50, hours_per_day=24, duty=0.4, follows_heat=True)
    found = demand(table(fridge, Load("lamp", power_w=10, hours_per_day=1)))
    assert found.month.energy_wh_per_day == pytest.approx(480 + 10)
    assert found.month.hot_week_wh_per_day == pytest.approx(480 * 1.4 + 10)


def test_measured_energy_counts_instead_of_hours():
    """A house refrigerator of 500 Wh a day (Labouret & Villoz, Solar Photovoltaic Energy) counts as 500 Wh."""
    measured = Load("fridge", power_w=100, hours_per_day=24, measured_wh_per_day=500)
    assert day_wh(measured) == pytest.approx(500)
    assert demand(table(measured)).month.peak_w == pytest.approx(100), "the power still makes the peak"


def test_measured_energy_behind_the_inverter_still_pays_the_inverter():
    """Through an inverter of 80 % a measured 400 Wh cost the battery 500 Wh, with or without a power typed."""
    inverter = Inverter(fitted=True, curve="fixed", efficiency=0.8, idle_w=0)
    for power_w in (None, 100.0):
        row = Load("set", power_w=power_w, measured_wh_per_day=400, hours_per_day=4, supply="AC")
        found = demand(table(row, inverter=inverter))
        assert found.month.energy_wh_per_day == pytest.approx(500)
        assert found.month.ac_peak_w == pytest.approx(100)  # 400 Wh in 4 h


def test_measured_energy_tells_how_long_the_inverter_is_busy():
    """150 Wh at 100 W are an hour and a half with load; of 4 h switched on, 2.5 h are idle, whatever hours are typed."""
    inverter = Inverter(fitted=True, rated_w=1000, idle_w=10, hours_on=4)
    for hours_a_day in (0.5, 4.0):
        row = Load("mixer", power_w=100, measured_wh_per_day=150, hours_per_day=hours_a_day, supply="AC")
        assert demand(table(row, inverter=inverter)).idle_wh_per_day == pytest.approx(25)


def test_standby_is_drawn_while_it_does_not_run():
    """4 h at 100 W and the other 20 h at 2 W: 440 Wh; at the socket of an inverter that is on for 5 h, one hour of standby."""
    row = Load("set", power_w=100, hours_per_day=4, standby_w=2, when="evening")
    found = demand(table(row))
    assert found.month.energy_wh_per_day == pytest.approx(440)
    assert found.month.profile_w[3] == pytest.approx(40 / 24), "standby is drawn at night too"
    assert found.standing_wh_per_day == pytest.approx(48)
    assert demand(table(replace(row, months=(1,)))).standing_wh_per_day == 0, "in June it is not aboard"
    behind = Inverter(fitted=True, curve="fixed", efficiency=1.0, idle_w=0, hours_on=5)
    plugged = demand(table(replace(row, supply="AC"), inverter=behind))
    assert plugged.month.energy_wh_per_day == pytest.approx(402)
    assert plugged.standing_wh_per_day == 0


def test_losses_follow_each_path():
    """80 % converter (Labouret & Villoz): a 60 W set takes 75 W, 15 of them heat; 98 % wiring (Sandia SAND87-7023) besides."""
    row = Load("set", power_w=60, hours_per_day=1, converter_efficiency=0.8)
    assert demand(table(row)).losses_wh_per_day == pytest.approx(15)
    wired = demand(table(row, system=replace(PLAIN, wiring_efficiency=0.98)))
    assert wired.losses_wh_per_day == pytest.approx(75 / 0.98 - 60)


def test_the_inverter_is_on_as_long_as_its_longest_load():
    """An AC refrigerator at a third of 24 h needs the inverter all day: 16 h of idle draw, though 2 h are typed."""
    inverter = Inverter(fitted=True, rated_w=1000, idle_w=10, hours_on=2)
    fridge = Load("fridge", power_w=100, hours_per_day=24, duty=1 / 3, supply="AC")
    assert demand(table(fridge, inverter=inverter)).idle_wh_per_day == pytest.approx(160)
    fixed = replace(inverter, curve="fixed")
    assert demand(table(fridge, inverter=fixed)).idle_wh_per_day == pytest.approx(240)
    assert demand(table(fridge, inverter=replace(inverter, fitted=False))).idle_wh_per_day == 0


def test_what_can_wait_is_named():
    rows = (Load("a", power_w=10, hours_per_day=3), Load("b", power_w=20, hours_per_day=2, need="can wait"))
    assert demand(table(*rows)).month.deferrable_wh_per_day == pytest.approx(40)


def test_surge_is_one_start_on_top_of_what_runs():
    """IEEE 1013, 5.2.1: momentary loads. Two compressors of 50 W, one starting with 150 W, beside a 20 W lamp: 220 W."""
    rows = (
        Load("compressor", quantity=2, power_w=50, hours_per_day=8, surge_w=150),
        Load("lamp", power_w=20, hours_per_day=4, when="evening"),
    )
    found = demand(table(*rows)).month
    assert found.peak_w == pytest.approx(120)
    assert found.surge_w == pytest.approx(220)
    softer = Load("pump", power_w=30, hours_per_day=1, surge_w=90)
    assert demand(table(*rows, softer)).month.surge_w == pytest.approx(250), "two never start in the same instant"


def test_loads_of_different_hours_do_not_meet():
    rows = (
        Load("toaster", power_w=900, hours_per_day=0.1, when="7-9"),
        Load("lamp", power_w=20, hours_per_day=4, when="evening"),
    )
    assert demand(table(*rows)).month.peak_w == pytest.approx(900)


# Working


@given(a_table())
def test_every_figure_has_its_working(inputs):
    found = demand(inputs)
    steps = {step.key: step for step in found.steps}
    assert len(steps) == len(found.steps), "each key names one figure"
    assert steps["demand.energy_wh_per_day"].value == found.month.energy_wh_per_day
    assert steps["demand.charge_ah_per_day"].value == found.month.charge_ah_per_day
    assert steps["demand.standing_wh_per_day"].value == found.standing_wh_per_day
    assert steps["demand.losses_wh_per_day"].value == found.losses_wh_per_day
    assert steps["demand.hot_week_wh_per_day"].value == found.month.hot_week_wh_per_day
    assert ("demand.idle_wh_per_day" in steps) == inputs.inverter.fitted
    for step in found.steps:
        assert step.stage == "demand" and step.label and step.formula and step.source
        assert all(used in steps or used.startswith("supply.") for used in step.uses)
