"""Links and monitor settings of the chosen battery."""

from __future__ import annotations

from dataclasses import replace

import pytest

from model import shelf
from model.plan import Plan, plan
from model.record.files import open_design
from model.storage.chemistry import chemistries
from model.storage.handing_over import links, monitor_settings, tail_current_a


@pytest.fixture(scope="module")
def demonstration() -> Plan:
    return plan(open_design(shelf.path("heron.toml")).design)


def option_of(made: Plan, name: str):
    return next(option for option in made.storage.options if option.chemistry == name)


def test_a_series_string_reads_one_unit_more_with_each_link(demonstration):
    flooded = replace(option_of(demonstration, "flooded"), units_series=2, units_parallel=2, unit_v=6.0)
    text = "\n".join(links(flooded))
    assert "+ of unit 1 to - of unit 2" in text
    assert "+ of unit 3 to - of unit 4" in text
    assert "unit 2 to - of unit 3" not in text  # strings are joined at the bus bars, not end to end
    assert text.count("about 12 V") == 3  # each string, and between the bars


def test_four_in_series_count_up_in_volts(demonstration):
    four = replace(option_of(demonstration, "flooded"), units_series=4, units_parallel=1, unit_v=6.0)
    volts = [line.split("about ")[1] for line in links(four) if line.startswith("Join +")]
    assert volts == ["12 V.", "18 V.", "24 V."]


def test_one_unit_needs_no_link(demonstration):
    alone = replace(option_of(demonstration, "LFP"), units_series=1, units_parallel=1)
    assert not any(line.startswith("Join") for line in links(alone))


def test_monitor_settings_follow_battery_and_voltage(demonstration):
    settings = {
        one.label: one.value for one in monitor_settings(demonstration.storage.chosen, chemistries()["LFP"], 12.0)
    }
    # four cells of 3.65 V (Battery University, summary table of lithium-based batteries) less 0.2 V: 14.4 V
    assert settings["full: volts from"] == pytest.approx(14.4)
    assert settings["rated capacity"] == demonstration.storage.chosen.installed_ah
    assert settings["empty: charge left"] == pytest.approx(20)
    doubled = {
        one.label: one.value for one in monitor_settings(demonstration.storage.chosen, chemistries()["LFP"], 24.0)
    }
    assert doubled["full: volts from"] == pytest.approx(28.8)


def test_a_sun_below_the_tail_current_is_told():
    design = open_design(shelf.path("heron.toml")).design
    weak = plan(
        replace(design, array=replace(design.array, count=2), battery=replace(design.battery, installed_ah=400.0))
    )
    assert any("tail" in finding.message for finding in weak.findings)
    strong = plan(replace(design, month=7))
    noon_a = max(strong.supply.month.hourly_harvest_w) / 12
    assert noon_a > tail_current_a(strong.storage.chosen.installed_ah)
    assert not any("tail" in finding.message for finding in strong.findings)
