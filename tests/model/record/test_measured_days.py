"""The days of a weather file in the odds: a typical year that ships with pvlib (NSRDB TMY3 723170)."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pvlib
import pytest

from model.design import Design, Load, Module
from model.plan import plan
from model.record.files import open_design, save, untitled
from model.record.weather_files import measured_days, read_weather_file
from model.supply.weather_file import DAYS, Hours, measured_days_from_hours
from model.year import battery_map, chances, year
from model.year.hours import hours_of
from model.year.working import in_words

LIBRARY = Path(pvlib.__file__).parent / "data"
GREENSBORO = LIBRARY / "723170TYA.CSV"


def hourly(first: str, last: str, seed: int = 1) -> Hours:
    """Hours whose days hold a plain number of watt-hours: 100 x the day of the month, twice that in even years."""
    when = pd.date_range(first, last, freq="h", inclusive="left")
    day = np.asarray(when.year * 10_000 + when.month * 100 + when.day, dtype=np.int64)
    light = np.where(when.hour == 12, 100.0 * when.day * np.where(when.year % 2 == 0, 2, 1) / 10, 0.0)
    return Hours(day, light, np.where(when.hour < 12, 5.0, 15.0))


@pytest.fixture(scope="module")
def van() -> Design:
    found = read_weather_file(GREENSBORO)
    return Design(
        month=12,
        place=found.place,
        weather=found.weather,
        module=Module(rated_w=115),
        loads=(Load("fridge", power_w=45, hours_per_day=24, duty=0.35), Load("lamps", power_w=20, hours_per_day=5)),
    )


def test_days_of_a_typical_year_are_the_files_own_sums(van: Design):
    days, note = measured_days(van.weather, Path("anywhere"))  # named by its whole path
    assert days is not None and note == "" and days.years == 1
    data, _ = pvlib.iotools.read_tmy3(GREENSBORO)
    by_day = data["ghi"].to_numpy(dtype=float).reshape(365, 24).sum(axis=1) / 1000
    assert days.daily_kwh_per_m2[0] == pytest.approx(by_day)
    air = data["temp_air"].to_numpy(dtype=float).reshape(365, 24).mean(axis=1)
    assert days.temperature_c[0] == pytest.approx(air)
    assert measured_days(van.weather, Path("elsewhere"))[0] is days  # read once


def test_years_are_whole_or_left_out():
    found = measured_days_from_hours(hourly("2003-12-20", "2006-02-01"), "made up")
    assert found.years == 2 and found.daily_kwh_per_m2.shape == (2, 365)
    fifth = list(DAYS).index(705)
    assert found.daily_kwh_per_m2[:, fifth] == pytest.approx([0.1, 0.05])  # 2004 is even; no 29th of February in it
    assert found.temperature_c == pytest.approx(np.full((2, 365), 10.0))
    gaps = hourly("2005-01-01", "2006-01-01")
    holes = gaps.day != 20050705
    mended = measured_days_from_hours(Hours(gaps.day[holes], gaps.ghi_w_per_m2[holes], gaps.temperature_c[holes]), "")
    assert mended.daily_kwh_per_m2[0, fifth] == pytest.approx(0.05)  # between the 4th with 0.04 and the 6th with 0.06
    with pytest.raises(ValueError, match="no year of it is whole"):
        measured_days_from_hours(hourly("2005-01-01", "2005-12-15"), "")


def test_one_year_is_used_as_it_is_and_is_no_odds(van: Design):
    made, (days, _) = plan(van), measured_days(van.weather, Path())
    assert days is not None
    hours = hours_of(made, made.storage.chosen, 2, 1, measured=days)
    assert np.array_equal(hours.sun_w_per_w[:, :, 0], hours.sun_w_per_w[:, :, 1])
    sun = hours.sun_w_per_w[:, :, 0].sum(axis=1)
    assert np.corrcoef(sun, days.daily_kwh_per_m2[0])[0, 1] > 0.98  # in the file's order
    one = year(made, measured=days)
    assert one.years == one.odds.years == one.measured_years == 1
    december = one.month
    assert december.empty_days == pytest.approx(round(december.empty_days), abs=1e-9)
    assert in_words(december, 1).endswith("in 1 December")
    notes = [finding for finding in one.findings if finding.where == "weather/file"]
    assert len(notes) == 1 and notes[0].message.startswith("1 year of measured weather")
    assert "one year of TMY3 file" in one.steps[0].source
    assert year(made, years=5).odds != one.odds and year(made, measured=days).odds is one.odds
    assert chances(made, "AGM", measured=days).years == 1
    assert battery_map(made, [200.0], [1000.0, 3000.0], years=2, measured=days).chance.shape == (2, 1)


def test_the_cells_feel_the_days_of_the_file(van: Design):
    outside = replace(van, battery=replace(van.battery, place="outside"))
    days, _ = measured_days(van.weather, Path())
    assert days is not None
    made = plan(outside)
    cells = hours_of(made, made.storage.chosen, 1, 1, measured=days).battery_c[:, :, 0].mean(axis=1)
    assert cells == pytest.approx(days.temperature_c[0], abs=0.01)  # the design's monthly means have two digits


def test_several_years_are_drawn_whole_with_the_error_of_so_few(van: Design):
    one, _ = measured_days(van.weather, Path())
    assert one is not None
    scale = np.array([0.6, 1.0, 1.4])[:, None]
    three = replace(
        one, daily_kwh_per_m2=scale * one.daily_kwh_per_m2, temperature_c=np.tile(one.temperature_c, (3, 1))
    )
    made = plan(van)
    hours = hours_of(made, made.storage.chosen, 40, 1, measured=three)
    sums = {round(float(value), 6) for value in hours.sun_w_per_w.sum(axis=(0, 1))}
    assert len(sums) == 3  # whole years, none glued
    many = year(made, years=40, measured=three)
    few = [finding.message for finding in many.findings if finding.where == "weather/file"]
    assert many.years == 40 and many.measured_years == 3 and few[0].startswith("3 years of measured weather")
    by_year = year(made, years=400, measured=three)
    # the error is that of three years, however often they are drawn
    assert by_year.odds.empty_days_error == pytest.approx(many.odds.empty_days_error, rel=0.25)
    assert by_year.odds.empty_days_error > 1.0


def test_a_file_that_is_gone_damaged_or_older_than_the_months_is_said(van: Design, tmp_path: Path):
    assert measured_days(None, tmp_path) == (None, "")
    assert van.weather is not None
    assert measured_days(replace(van.weather, file=""), tmp_path) == (None, "")
    gone, note = measured_days(replace(van.weather, file="gone.csv"), tmp_path)
    assert gone is None and "gone.csv cannot be read" in note
    (tmp_path / "broken.csv").write_text("no weather")
    broken, note = measured_days(replace(van.weather, file="broken.csv"), tmp_path)
    assert broken is None and "broken.csv is no weather file" in note
    typed = replace(van.weather, ghi_kwh_per_m2_day=(3.0, *van.weather.ghi_kwh_per_m2_day[1:]))
    other, note = measured_days(typed, tmp_path)
    assert other is None and "are not those of the design any more" in note
    directory, note = measured_days(replace(van.weather, file="."), tmp_path)
    assert directory is None and note


def test_the_design_file_names_it_as_seen_from_itself(tmp_path: Path):
    (tmp_path / "weather").mkdir()
    beside = tmp_path / "weather" / "field.csv"
    beside.write_bytes(GREENSBORO.read_bytes())
    found = read_weather_file(beside, tmp_path)
    assert found.weather.file == "weather/field.csv"
    assert read_weather_file(beside, tmp_path / "other").weather.file == beside.as_posix()
    path = tmp_path / "van.toml"
    design = Design(place=found.place, weather=found.weather)
    save(untitled(design), design, path)
    opened = open_design(path).design
    days, note = measured_days(opened.weather, path.parent)
    assert note == "" and days is not None and days.years == 1
