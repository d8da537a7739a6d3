"""A log against the plan: by hand for a few days, and against logs that are drawn with a known truth."""

from dataclasses import replace

import numpy as np
import pytest

from model.design import Battery, Design, Load, Place, System
from model.logged import LogDay, compare, in_words, mean_error
from model.plan import plan

VAN = Design(
    month=11,
    place=Place("Guadalquivir marsh", 37.13, -6.49, 3.0),
    system=System(wiring_efficiency=1.0, always_on_w=0.0),
    loads=(Load("everything", power_w=50, hours_per_day=24),),  # 1200 Wh a day
    battery=Battery("LFP", installed_ah=300),
)
PLAN = plan(VAN)


def log(month: int, used=None, income=None, lowest=None) -> list[LogDay]:
    count = len(used if used is not None else income)
    pick = [[None] * count if each is None else each for each in (income, used, lowest)]
    return [LogDay(2025, month, day + 1, *values) for day, values in enumerate(zip(*pick, strict=True))]


def test_the_error_of_a_mean_by_hand():
    """900, 1000, 1100: s = 100, / sqrt(3) = 57.7; with lag 0.2 times sqrt(1.2 / 0.8) = 1.2247: 70.7."""
    assert mean_error([900, 1000, 1100], 0.0) == pytest.approx(57.735, abs=1e-3)
    assert mean_error([900, 1000, 1100], 0.2) == pytest.approx(70.711, abs=1e-3)
    assert mean_error([900], 0.2) is None


def test_the_error_is_what_other_logs_show():
    """Days that remember the day before with 0.4: over 2000 logs of 28 days the means scatter as the error says."""
    draw, means, errors = np.random.default_rng(4), [], []
    for _ in range(2000):
        days = np.empty(28)
        days[0] = draw.standard_normal()
        for day in range(1, 28):
            days[day] = 0.4 * days[day - 1] + np.sqrt(1 - 0.16) * draw.standard_normal()
        means.append(days.mean())
        errors.append(mean_error(days.tolist(), 0.4))
    # The variance within one log is a little below that between logs, since they hang together: a few per cent low.
    assert float(np.mean(errors)) == pytest.approx(float(np.std(means)), rel=0.06)


def test_use_month_by_month_and_the_factor_that_mends_it():
    """Planned 1200 Wh; November 984 on 20 days, half 30 above, half below: 18 % less, error 30 x 1.0260 / sqrt(20) x 1.2247."""
    days = log(11, used=[954.0, 1014.0] * 10) + log(12, used=[1000.0])
    found = compare(PLAN, days)
    november, december = found.months
    assert (november.month, november.days, december.days) == (11, 20, 1)
    assert november.use.measured_wh == pytest.approx(984) and november.use.planned_wh == pytest.approx(1200)
    assert november.use.error_wh == pytest.approx(30 * np.sqrt(20 / 19) / np.sqrt(20) * np.sqrt(1.5), rel=1e-9)
    assert november.use.sure and not december.use.sure and december.use.error_wh is None
    assert [one.what for one in found.corrections] == ["use"]
    assert found.corrections[0].factor == pytest.approx(984 / 1200)  # the single day has no error and does not count
    words = in_words(found)
    assert words[0] == "20 days of November: used 984 Wh a day, planned 1200: 18 % less (± 1 %)."
    assert words[1] == "1 day of December: used 1000 Wh a day, planned 1200; less than a week says little."
    assert words[-1].startswith("Use, all months together: 0.82 (± 0.01) times the plan. Multiply")


def test_chance_is_not_taken_for_a_difference():
    found = compare(PLAN, log(11, used=[700.0, 1600.0, 1250.0, 1150.0, 1400.0, 900.0, 1500.0, 1000.0]))
    assert not found.months[0].use.sure and found.corrections == ()
    words = in_words(found)
    assert "no difference that so many days can show" in words[0] and words[-1].startswith("Nothing")


def test_income_counts_where_the_battery_had_room():
    """A shade that takes 30 % of the sun in an empty battery's November: the loss by shade goes from 3 % to 32 %."""
    planned = PLAN.supply.months[10].harvest_wh_per_day
    swing = np.tile([0.9, 1.1], 14)
    low = compare(PLAN, log(11, income=list(0.7 * planned * swing), lowest=[0.3] * 28))
    assert low.months[0].income_counts and low.months[0].room_days == 28
    assert [one.what for one in low.corrections] == ["sun"] and low.corrections[0].factor == pytest.approx(0.7)
    assert "from 3 % to 32 %" in low.corrections[0].advice
    mended = plan(replace(VAN, array=replace(VAN.array, shading=1 - 0.97 * 0.7)))
    assert mended.supply.months[10].harvest_wh_per_day == pytest.approx(0.7 * planned, rel=1e-6)
    full = compare(PLAN, log(11, income=list(0.7 * planned * swing), lowest=[0.95] * 28))
    assert full.corrections == () and "full too often" in in_words(full)[0]
    unknown = compare(PLAN, log(11, income=list(0.7 * planned * swing)))
    assert unknown.corrections == () and "no lowest charge" in in_words(unknown)[0]


def test_more_sun_than_no_shade_explains_and_hardly_any_are_said_differently():
    planned = PLAN.supply.months[10].harvest_wh_per_day
    swing = np.tile([0.99, 1.01], 14)
    more = compare(PLAN, log(11, income=list(1.3 * planned * swing), lowest=[0.1] * 28)).corrections[0]
    none = compare(PLAN, log(11, income=list(0.01 * planned * swing), lowest=[0.1] * 28)).corrections[0]
    assert "keep the plan" in more.advice and "fault" in none.advice


def test_less_than_a_week_mends_nothing():
    found = compare(PLAN, log(11, used=[500.0, 510.0, 490.0, 500.0, 505.0, 495.0]))
    assert found.corrections == () and "less than a week says little" in in_words(found)[0]


def test_without_climate_use_is_still_compared_and_an_empty_log_is_refused():
    sea = plan(replace(VAN, place=Place("Somewhere", 0.0, -150.0)))
    week = log(11, used=[1000.0, 1010.0, 990.0, 1000.0] * 2, income=[5.0] * 8, lowest=[0.5, 0.6, 0.4, 0.7] * 2)
    found = compare(sea, week)
    assert found.months[0].income is None and found.months[0].lowest == 0.4
    assert [one.what for one in found.corrections] == ["use"]
    with pytest.raises(ValueError, match="no day"):
        compare(PLAN, [])
