"""The simulation against what can be worked out by hand, and its books against the conservation of energy."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Array, Controller, Module
from model.storage.simulation import Bank, Hours, simulate
from model.storage.weather import MONTH_OF_DAY, synthetic_days
from model.supply.climate import climate_at
from model.supply.hourly_yield import day_shapes, hourly_yield_w_per_w

WHOLE = Bank((1.0,) * 12)


def hours(sun_w_per_w=0.0, *, years=1, other_w=0.0, load_w=0.0, waiting_w=0.0, battery_c=20.0, limit_w=np.inf) -> Hours:
    """Hours from numbers or from anything that broadcasts to (365, 24), the sun to (365, 24, years)."""
    year = (365, 24)
    return Hours(
        np.broadcast_to(np.asarray(sun_w_per_w, dtype=float), (*year, years)),
        *(np.broadcast_to(np.asarray(each, dtype=float), year) for each in (other_w, load_w, waiting_w, battery_c)),
        limit_w,
    )


def marsh_hours(years: int, **others) -> Hours:
    climate = climate_at(37.13, -6.49, 3.0)
    days = synthetic_days(climate.quantiles_kwh_per_m2_day, years, 5)
    shapes = day_shapes(climate, Module(), Array(), Controller(), 12.0)
    sun = hourly_yield_w_per_w(days, MONTH_OF_DAY, shapes).transpose(1, 2, 0)
    return hours(sun, years=years, **others)


@pytest.mark.parametrize("discharge", [1.0, 0.9])
def test_without_sun_a_constant_load_empties_the_battery_at_the_hour_reckoned(discharge):
    bank = replace(WHOLE, usable_share=(0.8,) * 12, discharge_efficiency=discharge)
    run = simulate(hours(load_w=10.0), bank, 0.0, 1000.0, trace=True)
    stored = run.trace.stored_wh.reshape(-1)
    served_h = 800.0 * discharge / 10.0  # 80 or 72 whole hours
    assert stored[round(served_h) - 1] == pytest.approx(200.0) and stored[round(served_h) - 2] > 200.0 + 1
    assert np.allclose(stored[round(served_h) :], 200.0)
    empty_from = int(np.argmax(run.empty[:, 0, 0]))
    assert empty_from == int(served_h // 24) and run.empty[empty_from:].all() and not run.empty[:empty_from].any()
    assert run.ledger.unmet.sum() == pytest.approx(10.0 * (8760 - served_h))


def test_sun_equal_to_the_load_and_a_battery_larger_than_the_night_is_never_empty():
    sun = np.where((np.arange(24) >= 6) & (np.arange(24) < 18), 2.0, 0.0)[None, :, None]  # 24 Wh per W a day
    steady = hours(np.broadcast_to(sun, (365, 24, 3)), years=3, load_w=50.0)
    night_wh = 50.0 * 12  # 18 to 6 h; what the day gives above its own use fills just that again
    enough = simulate(steady, WHOLE, 50.0, night_wh)
    assert not enough.empty.any() and enough.ledger.unmet.sum() == 0
    short = simulate(steady, WHOLE, 50.0, night_wh - 1)
    assert short.empty[1:].all() and short.ledger.unmet.sum() == pytest.approx(3 * 365 - 1, abs=2)


def test_independent_days_with_two_values_ruin_as_the_chain_says():
    """A walk between 0 and n: +1 with chance p, -1 with 1-p, stopped at the ends (Feller, vol. 1, XIV; queue of length n).

    With every day bringing 2 units or none and using 1, the charge walks on 0..n. Its stationary law is geometric,
    pi_k ~ (p/q)^k, and a day goes unmet with chance pi_0 q. Sun and load are spread evenly over the hours, so that the night
    takes nothing.
    """
    p, n, years = 0.55, 4, 400
    bright = np.random.default_rng(3).random((years, 365)) < p
    sun = np.repeat((2.0 * bright / 24).T[:, None, :], 24, axis=1)
    run = simulate(hours(sun, years=years, load_w=1 / 24), WHOLE, 1.0, float(n))
    weights = (p / (1 - p)) ** np.arange(n + 1)
    expected = weights[0] / weights.sum() * (1 - p)
    days = run.empty.size
    # Ruins come in runs: their variance exceeds the binomial one by less than four times here; three sigma.
    assert run.empty.mean() == pytest.approx(expected, abs=3 * np.sqrt(4 * expected / days))
    assert run.ledger.unmet.sum() / days == pytest.approx(run.empty.mean(), rel=1e-9)  # a whole day's use each time


def test_a_controller_passes_no_more_than_its_limit():
    """Six hours of 300 W of sun a day, 200 W pass: 6 x 200 Wh come in, 6 x 100 Wh are lost, whatever room the battery has."""
    sun = np.where((np.arange(24) >= 9) & (np.arange(24) < 15), 1.0, 0.0)[None, :, None]
    steady = hours(np.broadcast_to(sun, (365, 24, 1)), load_w=50.0, limit_w=200.0)
    run = simulate(steady, WHOLE, 300.0, 1e6)
    book = run.ledger
    assert book.sun.sum() == pytest.approx(365 * 6 * 300)
    # A day uses the 1200 Wh that pass. Full at first, the battery refuses once what the first night before 9 h did not take.
    assert book.curtailed.sum() == pytest.approx(365 * 6 * 100 + 6 * 150 - 9 * 50)
    assert book.used.sum() == pytest.approx(365 * 1200) and not run.empty.any()


def test_doubling_everything_changes_no_chance():
    one = marsh_hours(3, load_w=40.0, waiting_w=5.0, other_w=3.0)
    two = replace(one, load_w=one.load_w * 2, waiting_w=one.waiting_w * 2, other_w=one.other_w * 2)
    bank = Bank((0.8,) * 12, 0.95, 0.98, charge_w_per_wh=0.2)
    single, double = simulate(one, bank, 500.0, 1500.0), simulate(two, bank, 1000.0, 3000.0)
    assert 0.01 < single.empty.mean() < 0.9
    assert np.array_equal(single.empty, double.empty)
    for account, twice in zip(single.ledger, double.ledger, strict=True):
        assert np.allclose(2 * account, twice)


@settings(max_examples=15)
@given(
    array_w=st.floats(0, 2000),
    full_wh=st.floats(100, 10_000),
    load_w=st.floats(0, 300),
    waiting_w=st.sampled_from([0.0, 20.0]),
    charge=st.floats(0.7, 1),
    discharge=st.floats(0.7, 1),
    acceptance=st.floats(0.2, 1),
    limit_w=st.sampled_from([np.inf, 200.0]),
    seed=st.integers(0, 99),
)
def test_energy_is_conserved(array_w, full_wh, load_w, waiting_w, charge, discharge, acceptance, limit_w, seed):
    draw = np.random.default_rng(seed)
    sun = draw.random((365, 24, 2)) * (draw.random((365, 1, 2)) < 0.6)
    waits = np.where(np.arange(24) > 17, waiting_w, 0.0)
    asked = hours(
        sun, years=2, load_w=load_w, waiting_w=waits, other_w=7.0, battery_c=10 * sun[:, :, 0] - 3, limit_w=limit_w
    )
    usable = tuple(0.5 + 0.04 * month for month in range(12))
    bank = Bank(usable, charge, discharge, 0.3, charge_min_c=0.0, acceptance_per_h=acceptance)
    run = simulate(asked, bank, array_w, full_wh, trace=True)
    book = run.ledger
    throughput = float((book.sun + book.other).sum() + full_wh)
    balance = book.sun + book.other - book.curtailed - book.used - book.lost - book.stored
    assert np.abs(balance).max() <= 1e-9 * throughput
    served = (book.used + book.unmet + book.forgone + book.owed).sum(axis=0)
    assert served == pytest.approx(365 * 24 * load_w + 365 * waits.sum(), rel=1e-9, abs=1e-9 * throughput)
    assert book.sun.sum() == pytest.approx(array_w * sun.sum(), rel=1e-9)
    assert run.trace.stored_wh.min() >= run.reserve_wh.min() - 1e-9 * full_wh
    assert run.trace.stored_wh.max() <= full_wh * (1 + 1e-12)
    # What the trace holds at the year's ends is what the books say.
    change = run.trace.stored_wh[-1, -1, 0, 1] - run.trace.stored_wh[-1, -1, 0, 0]
    assert book.stored[:, 0, 1].sum() == pytest.approx(change, abs=2e-8 * full_wh)
    for account in (book.curtailed, book.refused, book.unmet, book.forgone, book.lost, book.drawn):
        assert account.min() >= -1e-9 * throughput


def test_years_follow_one_another_like_one_long_year():
    """Each lane begins where the one before ended: the same as days run one by one in plain Python."""
    asked = marsh_hours(4, load_w=60.0)
    run = simulate(asked, replace(WHOLE, charge_efficiency=0.9), 700.0, 6000.0, trace=True)
    stored, expected = 6000.0, []
    for year in range(4):
        for net in 700.0 * asked.sun_w_per_w[:, :, year].ravel() - 60.0:
            stored = min(6000.0, stored + 0.9 * net) if net > 0 else max(0.0, stored + net)
            expected.append(stored)
    found = run.trace.stored_wh[:, :, 0, :].transpose(2, 0, 1).ravel()
    assert np.allclose(found, expected, atol=1e-5)
    assert 0 < found[8759] < 6000.0  # the new year begins neither full nor empty


def test_systems_side_by_side_are_those_alone():
    asked = marsh_hours(2, load_w=40.0, waiting_w=4.0)
    bank = Bank((0.8,) * 12, 0.95)
    together = simulate(asked, bank, np.array([300.0, 500.0]), np.array([2000.0, 900.0]))
    for index, (array_w, full_wh) in enumerate(((300.0, 2000.0), (500.0, 900.0))):
        alone = simulate(asked, bank, array_w, full_wh)
        assert np.array_equal(together.empty[:, index], alone.empty[:, 0])
        assert np.allclose(together.ledger.curtailed[:, index], alone.ledger.curtailed[:, 0])


def test_in_the_cold_no_charge_is_taken_while_loads_run_on():
    noon = np.where((np.arange(24) >= 10) & (np.arange(24) < 14), 1.0, 0.0)[:, None]
    frost = np.where(np.arange(365) < 10, -5.0, 5.0)[:, None]
    asked = hours(noon, load_w=10.0, battery_c=frost)
    run = simulate(asked, replace(WHOLE, charge_min_c=0.0), 200.0, 1000.0, trace=True)
    ends = run.trace.stored_wh[:, -1, 0, 0]
    # 20 hours a day from the battery, 4 straight from the sun, whose rest of 190 W for 4 hours is refused.
    assert np.allclose(ends[:5], 1000 - 200.0 * np.arange(1, 6)) and np.allclose(ends[5:10], 0.0)
    assert run.locked[:10].all() and not run.locked[10:].any()
    # Of those 760 Wh it had no more room than what the days before took: 200, 400, 600 Wh, then all.
    assert run.ledger.refused.sum() == pytest.approx(200 + 400 + 600 + 7 * 760)
    assert run.empty[5:10].all() and ends[10] == pytest.approx(760 - 100)
    assert simulate(asked, WHOLE, 200.0, 1000.0).empty.sum() == 0


def test_years_may_differ_in_temperature():
    noon = np.where(np.arange(24) == 12, 1.0, 0.0)[:, None]
    asked = hours(noon, years=2, load_w=10.0)
    years_c = np.broadcast_to(np.array([5.0, -5.0]), (365, 24, 2))
    run = simulate(replace(asked, battery_c=years_c), replace(WHOLE, charge_min_c=0.0), 1000.0, 1000.0)
    assert run.locked.sum(axis=(0, 1)).tolist() == [0, 365] and run.empty[:, 0, 0].sum() == 0 < run.empty[:, 0, 1].sum()


def test_limits_of_controller_charge_current_and_acceptance_hold():
    noon = np.where(np.arange(24) == 12, 1.0, 0.0)[:, None]
    drained = hours(noon, load_w=np.where(np.arange(24) == 0, 600.0, 0.0))
    limits = ((drained, WHOLE, 1000.0), (replace(drained, controller_limit_w=300.0), WHOLE, 700.0))
    limits += (
        (drained, replace(WHOLE, charge_w_per_wh=0.25), 650.0),
        (drained, replace(WHOLE, acceptance_per_h=0.5), 700.0),
    )
    for asked, bank, expected in limits:
        run = simulate(asked, bank, 900.0, 1000.0, trace=True)
        assert run.trace.stored_wh[0, 11, 0, 0] == pytest.approx(400.0)
        assert run.trace.stored_wh[0, 12, 0, 0] == pytest.approx(expected)


def test_what_can_wait_waits_below_half_and_is_made_up_or_forgone():
    """1000 Wh, half of it the line. Nothing comes in on days 1 to 3, then 1000 W for one hour a day at noon."""
    evening = np.where(np.arange(24) == 20, 100.0, 0.0)
    sun = np.where((np.arange(24)[None] == 12) & (np.arange(365)[:, None] >= 3), 1.0, 0.0)[..., None]
    run = simulate(
        hours(sun, load_w=0.0, waiting_w=evening), replace(WHOLE, wait_below=0.85), 1000.0, 1000.0, trace=True
    )
    ends = run.trace.stored_wh[:5, :, 0, 0]
    assert ends[0, -1] == pytest.approx(900) and ends[1, -1] == pytest.approx(850)  # the second day only half of it
    assert ends[2, -1] == pytest.approx(850)  # the third nothing: 50 + 100 owed, 100 may stay owed, 50 is forgone
    assert ends[3, 12] == pytest.approx(1000)
    assert ends[3, 13] == pytest.approx(900)  # made up at once after noon, at the pace of the loads
    assert ends[3, 20] == pytest.approx(850)
    assert run.ledger.forgone.sum() == pytest.approx(50.0)
    assert not run.empty.any() and run.ledger.unmet.sum() == 0


def test_a_colder_month_leaves_less_to_use_and_energy_is_not_lost_by_it():
    usable = (0.8,) + (0.5,) * 11
    run = simulate(hours(load_w=1.0), replace(WHOLE, usable_share=usable), 0.0, 1000.0, trace=True)
    assert run.trace.stored_wh[30, -1, 0, 0] == pytest.approx(1000 - 744)
    assert run.empty[31:].all() and run.trace.stored_wh[-1, -1, 0, 0] == pytest.approx(1000 - 744)


def test_progress_is_told_and_may_stop_the_run():
    told: list[float] = []
    simulate(hours(load_w=1.0), WHOLE, 0.0, 1000.0, on_month=told.append)
    assert told == pytest.approx([(month + 1) / 12 for month in range(12)])

    class Stop(Exception):
        pass

    def stop(share: float) -> None:
        raise Stop

    with pytest.raises(Stop):
        simulate(hours(load_w=1.0), WHOLE, 0.0, 1000.0, on_month=stop)


@pytest.mark.parametrize(
    ("asked", "bank", "array_w", "full_wh", "words"),
    [
        (hours(), WHOLE, -1.0, 100.0, "array"),
        (hours(), WHOLE, 1.0, 0.0, "battery"),
        (hours(), WHOLE, 1.0, np.inf, "battery"),
        (hours(load_w=np.nan), WHOLE, 1.0, 100.0, "load_w"),
        (hours(sun_w_per_w=-1.0), WHOLE, 1.0, 100.0, "sun_w_per_w"),
        (hours(), Bank((1.2,) * 12), 1.0, 100.0, "usable share"),
        (hours(), replace(WHOLE, charge_efficiency=0.0), 1.0, 100.0, "charge_efficiency"),
    ],
)
def test_impossible_systems_are_refused(asked, bank, array_w, full_wh, words):
    with pytest.raises(ValueError, match=words):
        simulate(asked, bank, array_w, full_wh)
