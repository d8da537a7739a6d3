"""The chain behind a figure, and findings in the order of their weight."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from model.demand.table import DemandInput
from model.demand.total import demand
from model.design import ALL_MONTHS, Inverter, Load, System
from model.working import SEVERITIES, Finding, Step, by_severity, chain


def step(key, *uses):
    return Step(key, "demand", key, "", 1.0, "", "typed", uses)


graphs = st.dictionaries(st.sampled_from("abcdefgh"), st.lists(st.sampled_from("abcdefghij"), max_size=4), min_size=1)


@given(graphs)
def test_a_chain_holds_each_cause_once_and_ends_with_its_figure(graph):
    steps = {key: step(key, *uses) for key, uses in graph.items()}
    for key in steps:
        keys = [one.key for one in chain(steps, key)]
        assert keys[-1] == key and len(keys) == len(set(keys))
        reached, waiting = set(), [key]
        while waiting:
            name = waiting.pop()
            if name in steps and name not in reached:
                reached.add(name)
                waiting += graph[name]
        assert set(keys) == reached


@given(st.lists(st.integers(0, 7), min_size=8, max_size=8))
def test_causes_stand_before_what_they_cause(parents):
    """Where nothing goes round in circles: each step may use only earlier ones."""
    names = "abcdefgh"
    steps = {
        name: step(name, *(names[parent] for parent in {parents[at]} if parent < at)) for at, name in enumerate(names)
    }
    keys = [one.key for one in chain(steps, "h")]
    for key in keys:
        assert all(keys.index(used) < keys.index(key) for used in steps[key].uses)


def test_a_chain_of_nothing_is_empty_and_circles_end():
    assert chain({}, "a") == ()
    assert [one.key for one in chain({"a": step("a", "b", "a", "gone"), "b": step("b", "a")}, "a")] == ["b", "a"]


@given(st.lists(st.sampled_from(SEVERITIES)))
def test_dangers_come_first_and_equals_keep_their_order(severities):
    found = [Finding(severity, str(at), "", "") for at, severity in enumerate(severities)]
    ordered = by_severity(found)
    assert [SEVERITIES.index(one.severity) for one in ordered] == sorted(map(SEVERITIES.index, severities))
    for severity in SEVERITIES:
        places = [int(one.where) for one in ordered if one.severity == severity]
        assert places == sorted(places)


def test_the_day_s_energy_can_be_walked_back_to_every_row():
    loads = (Load("lamp", power_w=5, hours_per_day=2), Load("saw", power_w=400, hours_per_day=1, supply="AC"))
    found = demand(DemandInput(loads, System(), Inverter(fitted=True), 6, ALL_MONTHS, (15.0,) * 12))
    steps = {one.key: one for one in found.steps}
    walked = [one.key for one in chain(steps, "demand.charge_ah_per_day")]
    assert walked[-2:] == ["demand.energy_wh_per_day", "demand.charge_ah_per_day"]
    rows = [key for key in walked if key.startswith("demand.load.") and key.endswith("energy_wh_per_day")]
    made = ["demand.always_on_wh_per_day", "demand.idle_wh_per_day"]
    assert len(rows) == 2 and set(made) <= set(walked)
    assert walked.index("demand.load.1.inverter_efficiency") < walked.index("demand.load.1.energy_wh_per_day")
    assert sum(steps[key].value for key in (*rows, *made)) == pytest.approx(
        steps["demand.energy_wh_per_day"].value, rel=1e-12
    )
