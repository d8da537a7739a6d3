"""The simulated year of a plan: what goes in is the plan's, what comes out is what the odds say."""

from dataclasses import replace

import numpy as np
import pytest

from model.design import Alternator, Battery, Design, Load, Place, Shore, System
from model.plan import plan
from model.storage.chemistry import CHEMISTRY_NAMES, chemistries
from model.storage.simulation_table import Bank
from model.supply.module_yield import charging_v
from model.year import Cancelled, NoYear, battery_map, chances, lightest_system, year
from model.year.hours import bank_of, hours_of, own_drain_w
from model.year.working import in_words

MARSH = Place("Guadalquivir marsh", 37.13, -6.49, 3.0)
VAN = Design(
    month=12,
    system=System(cabin_heated_to_c=16.0),
    place=MARSH,
    loads=(
        Load("Compressor fridge", power_w=45.0, hours_per_day=24.0, duty=0.35),
        Load("Lamps", power_w=10.0, hours_per_day=5.0, when="evening"),
        Load("Laptop", power_w=60.0, hours_per_day=3.0, when="evening", need="can wait"),
    ),
)


def test_the_hours_add_up_to_the_plans_days():
    made = plan(VAN)
    option = made.storage.chosen
    hours = hours_of(made, option, 50, 1)
    drain_wh = 24 * own_drain_w(chemistries()["LFP"], option.installed_wh)
    for index, month in enumerate(made.demand.months):
        day = sum((31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[:index])
        used = hours.load_w[day] + hours.waiting_w[day]
        assert used.sum() == pytest.approx(month.energy_wh_per_day + drain_wh)
        assert hours.waiting_w[day].sum() == pytest.approx(month.deferrable_wh_per_day)
        assert np.all(hours.waiting_w[day, :18] == 0)
    assert drain_wh < 0.02 * made.demand.month.energy_wh_per_day
    assert hours.controller_limit_w == pytest.approx(50 * charging_v(12.0))
    # Fifty years of a month's mean vary by about 10 % / sqrt(50) = 1.4 %; four of those.
    for month in made.supply.months:
        days = slice(30 * (month.month - 1) + 3, 30 * (month.month - 1) + 25)
        harvest = hours.sun_w_per_w[days].sum(axis=1).mean() * made.supply.array_w
        assert harvest == pytest.approx(month.harvest_wh_per_day, rel=0.06)


def test_what_the_controller_cuts_off_is_alike_in_the_months_and_in_the_hours():
    made = plan(replace(VAN, controller=replace(VAN.controller, limit_a=15.0)))
    hours = hours_of(made, made.storage.chosen, 50, 1)
    passed = np.minimum(hours.sun_w_per_w * made.supply.array_w, hours.controller_limit_w)
    free = plan(VAN).supply.months
    for month in made.supply.months:
        days = slice(30 * (month.month - 1) + 3, 30 * (month.month - 1) + 25)
        assert passed[days].sum(axis=1).mean() == pytest.approx(month.harvest_wh_per_day, rel=0.06)
    assert made.supply.months[5].harvest_wh_per_day < 0.8 * free[5].harvest_wh_per_day


def test_the_bank_is_the_options():
    made = plan(replace(VAN, battery=Battery("LFP", place="unheated locker")))
    bank = bank_of(made, made.storage.chosen)
    assert bank.usable_share[11] == pytest.approx(made.storage.chosen.usable_wh / made.storage.chosen.installed_wh)
    assert bank.charge_w_per_wh * made.storage.chosen.installed_wh == pytest.approx(
        made.storage.chosen.charge_limit_a * made.storage.chosen.bank_v
    )
    assert bank.charge_efficiency == 0.95 and bank.charge_min_c == 0.0 and bank.acceptance_per_h == 1.0
    lead = next(option for option in made.storage.options if option.chemistry == "AGM")
    assert 0.7 < bank_of(made, lead).acceptance_per_h < 0.8


def test_what_can_wait_waits_below_the_charge_that_the_design_names():
    """At 0 what can wait is served like the rest, at 1 only from a full battery: the lower, the less is given up."""
    low, usual, high = (
        plan(replace(VAN, battery=Battery("LFP", wait_below=share), array=replace(VAN.array, count=3)))
        for share in (0.0, 0.5, 1.0)
    )
    assert [bank_of(made, made.storage.chosen).wait_below for made in (low, usual, high)] == [0.0, 0.5, 1.0]
    given_up = [year(made, years=5).month.forgone_fraction for made in (low, usual, high)]
    assert given_up[0] < given_up[1] < given_up[2]
    assert bank_of(plan(VAN), plan(VAN).storage.chosen).wait_below == Bank((1.0,) * 12).wait_below  # one default


def test_hard_use_leaves_less_of_a_lead_battery_and_of_lithium_all():
    """246 W for an hour and 6 W in the others: 20.5 and 0.5 A out of 50 Ah AGM, rated for 20 h, so at 2.5 A; k 1.1.

    By Peukert's law the hour costs (20.5 / 2.5)^0.1 = 1.234 times its charge, the rest just itself: 32 / 36.8 are left.
    """
    hard = replace(
        VAN,
        system=replace(VAN.system, wiring_efficiency=1.0, always_on_w=6.0),
        loads=(Load("kettle", power_w=240.0, hours_per_day=1.0, when="18-19"),),
        battery=Battery("AGM", installed_ah=50.0),
    )
    gentle = replace(hard, loads=(replace(hard.loads[0], power_w=10.0, when="all day", hours_per_day=24.0),))
    made, easy = plan(hard), plan(gentle)
    rest_a, hour_a = 6 / 12, 246 / 12
    share = (23 * rest_a + hour_a) / (23 * rest_a + hour_a * (hour_a * 20 / 50) ** 0.1)
    assert share == pytest.approx(0.875, abs=0.01)
    lead, quiet = bank_of(made, made.storage.chosen), bank_of(easy, easy.storage.chosen)
    assert lead.usable_share[11] == pytest.approx(share * quiet.usable_share[11])
    assert quiet.usable_share[11] == pytest.approx(easy.storage.chosen.usable_wh / easy.storage.chosen.installed_wh)
    lithium = next(option for option in made.storage.options if option.chemistry == "LFP")
    assert bank_of(made, lithium).usable_share[11] == pytest.approx(lithium.usable_wh / lithium.installed_wh)


def test_driving_and_shore_nights_come_as_the_plan_counts_them():
    made = plan(
        replace(
            VAN,
            alternator=Alternator(fitted=True, driving_hours_per_week=10.5, charger_a=20.0),
            shore=Shore(nights_per_week=2.0, hours_per_night=10.0, charger_a=10.0),
        )
    )
    other = hours_of(made, made.storage.chosen, 1, 1).other_w
    assert other[0, 10] == pytest.approx(20 * charging_v(12.0)) and other[0, 11] == pytest.approx(10 * charging_v(12.0))
    nights = other[:364, 20] > 0
    assert nights.sum() == 2 * 52 and np.all(nights.reshape(52, 7).sum(axis=1) == 2)
    offered = sum(source.without_limits_wh_per_day for source in made.income.sources)
    assert other[:364].sum(axis=1).mean() == pytest.approx(offered)


def test_a_month_off_the_road_draws_what_always_runs():
    made = plan(replace(VAN, months_of_use=(6, 7), month=7, shore=Shore(nights_per_week=7.0)))
    hours = hours_of(made, made.storage.chosen, 1, 1)
    drain_w = own_drain_w(chemistries()["LFP"], made.storage.chosen.installed_wh)
    assert hours.load_w[0] == pytest.approx(np.full(24, made.demand.standing_wh_per_day / 24 + drain_w))
    assert hours.waiting_w[0].sum() == 0 and hours.waiting_w[185].sum() > 0
    assert hours.other_w[0].sum() == 0 and hours.other_w[185].sum() > 0


def test_a_year_says_the_same_twice_and_its_figures_can_be_followed():
    made = plan(VAN)
    told: list[float] = []
    one = year(made, years=10, seed=3, progress=told.append)
    assert told[-1] == pytest.approx(1.0) and len(told) == 12
    assert year(plan(replace(VAN)), years=10, seed=3).odds is one.odds  # remembered
    assert year(made, years=10, seed=4).odds != one.odds
    assert one.month is one.odds.months[11] and one.years == one.odds.years == 10
    keys = {step.key for step in one.steps} | set(made.working)
    assert all(used in keys for step in one.steps for used in step.uses)
    step = one.steps[22]
    assert step.key == "storage.chance_of_empty_day.12" and step.value == pytest.approx(
        100 * one.month.chance_of_empty_day
    )
    assert one.chain("storage.empty_days")[0].key in made.working


def test_every_chemistry_has_odds_in_the_same_weather():
    made = plan(VAN)
    found = {name: chances(made, name, years=10) for name in CHEMISTRY_NAMES}
    suns = {round(odds.months[11].sun_wh_per_day, 6) for odds in found.values()}
    assert len(suns) == 1
    for name, odds in found.items():
        assert (
            0 <= odds.months[11].chance_of_empty_day <= 1
            and 0 < odds.life_years <= chemistries()[name].calendar_life_years
        )
    with pytest.raises(KeyError):
        chances(made, "zinc", years=10)


def test_frost_in_the_locker_locks_lithium_out_and_leaves_lead_alone():
    """Inari, January mean -10 °C: next to nothing goes into LFP, whatever the charger offers (BU-410: not below 0 °C)."""
    north = replace(VAN, place=Place("Inari", 68.9, 27.0, 120.0), shore=Shore(nights_per_week=7.0, charger_a=15.0))
    made = plan(replace(north, battery=Battery("LFP", place="unheated locker")))
    frozen, lead = chances(made, "LFP", years=10).months[0], chances(made, "AGM", years=10).months[0]
    assert frozen.locked_days > 29 and frozen.chance_of_empty_day > 0.8
    assert lead.locked_days < 1 and lead.chance_of_empty_day < 0.1
    mild = plan(replace(made.design, place=Place("Between frost and thaw", 52.5, 13.4, 40.0)))
    # January mean 1.7 °C, days about it with 4 K: 34 % of them below 0 °C. Days hang together: 1.1 days of error over 30 years.
    assert chances(mild, "LFP", years=30).months[0].locked_days == pytest.approx(0.34 * 31, abs=3.3)
    told = next(one for one in year(mild, years=5).findings if one.where == "battery/place").message
    assert "of January" in told and "too cold or hot" in told and told.endswith("Wh a day.")
    warm = plan(replace(north, battery=Battery("LFP", place="heated cabin")))
    assert chances(warm, "LFP", years=3).months[11].locked_days == 0


def test_the_map_and_the_way_back_agree():
    made = plan(VAN)
    found = battery_map(made, [300.0, 600.0], [1000.0, 4000.0], years=5)
    assert found.chance.shape == (2, 2) and found.chance[0, 0] >= found.chance[1, 1]
    fit = lightest_system(made, [500.0, 700.0, 900.0], 0.03, years=5)
    assert fit is not None and fit.mass_kg == pytest.approx(
        fit.array_w * 0.055 + fit.full_wh * made.storage.chosen.mass_kg / made.storage.chosen.installed_wh
    )
    at_fit = battery_map(made, [fit.array_w], [0.98 * fit.full_wh, fit.full_wh], years=5).chance[:, 0]
    assert at_fit[1] <= 0.03 < at_fit[0]
    assert lightest_system(made, [10.0], 0.03, years=2) is None


def test_it_stops_when_told_and_refuses_the_open_sea():
    with pytest.raises(Cancelled):
        year(plan(VAN), years=2, seed=99, cancelled=lambda: True)
    with pytest.raises(NoYear, match="no climate"):
        year(plan(replace(VAN, place=Place("Somewhere", 0.0, -150.0))), years=2)


def test_less_sunshine_is_never_better():
    made = plan(VAN)
    as_is, dull = (chances(made, "LFP", years=5, sunshine=share) for share in (1.0, 0.85))
    assert dull.months[11].sun_wh_per_day == pytest.approx(0.85 * as_is.months[11].sun_wh_per_day, rel=0.03)
    assert dull.empty_days_per_year > as_is.empty_days_per_year
    assert "0.85 times" in year(made, years=5, sunshine=0.85).steps[0].source


def test_findings_say_what_the_odds_call_for():
    small = replace(VAN, battery=Battery("AGM", installed_ah=110.0))
    large = replace(VAN, battery=Battery("AGM", installed_ah=400.0), array=replace(VAN.array, count=3))
    where = {finding.where for finding in year(plan(small), years=10).findings}
    assert "battery/autonomy_days" in where
    seldom_full = year(plan(large), years=10).findings
    assert {"battery/chemistry", "array/count"} <= {finding.where for finding in seldom_full}
    full = next(one for one in seldom_full if one.where == "battery/chemistry")
    assert "from shore or a generator" in full.advice
    assert [finding.severity for finding in seldom_full] == sorted((f.severity for f in seldom_full), reverse=True)
    lithium = year(plan(replace(VAN, battery=Battery("LFP"))), years=10).findings
    assert "battery/chemistry" not in {finding.where for finding in lithium}  # it does not mind being seldom full
    frozen = replace(VAN, place=Place("Inari", 68.9, 27.0, 120.0), battery=Battery("LFP", place="unheated locker"))
    assert "battery/place" in {finding.where for finding in year(plan(frozen), years=2).findings}
    summer = plan(replace(VAN, month=7, months_of_use=(6, 7, 8)))
    assert year(summer, years=5).findings == ()


def test_odds_are_said_as_people_count():
    december = year(plan(VAN), years=5).month
    said = {
        0.0: (0, "no empty day in 5 Decembers"),
        0.04: (2, "empty days in 2 of 5 Decembers"),
        0.1: (2, "1 empty day in 10 Decembers"),
        3.14159: (4, "31 empty days in 10 Decembers"),
    }
    for days, (bad, words) in said.items():
        assert in_words(replace(december, empty_days=days, bad_months=bad), 5) == words
    assert in_words(replace(december, month=1, bad_months=0), 5) == "no empty day in 5 Januaries"
    assert in_words(replace(december, month=5, bad_months=0), 1) == "no empty day in 1 May"


@pytest.mark.parametrize(
    "design",
    [
        Design(place=MARSH),
        replace(VAN, array=replace(VAN.array, count=0)),
        replace(VAN, controller=replace(VAN.controller, kind="PWM", limit_a=5.0), months_of_use=()),
        replace(VAN, place=Place("Hammerfest", 70.66, 23.68, 10.0), battery=Battery("flooded", place="outside")),
        replace(VAN, system=replace(VAN.system, nominal_v=48.0, always_on_w=0.0), loads=()),
        replace(VAN, shore=Shore(nights_per_week=0.5, hours_per_night=24.0, charger_a=500.0)),
    ],
    ids=[
        "no loads",
        "no array",
        "weak controller, never used",
        "polar night, outside",
        "48 V, nothing at all",
        "shore",
    ],
)
def test_odd_designs_have_a_year(design):
    made = year(plan(design), years=2)
    assert len(made.odds.months) == 12 and all(np.isfinite(step.value) for step in made.steps)
    assert all(0 <= month.chance_of_empty_day <= 1 for month in made.odds.months)
