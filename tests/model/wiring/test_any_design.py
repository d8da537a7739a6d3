"""Any design gives a wiring plan: whatever is typed, a message in place and never a traceback."""

from dataclasses import replace
from math import isfinite

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from model import edit, shelf
from model.design import Circuit, Design, Inverter, Load, Wiring
from model.record.files import open_design
from model.wiring.made import wiring
from model.wiring.table import WiringInput
from tests.model.record import designs

DEMO = open_design(shelf.path("heron.toml")).design
SLOW = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
NAMES = st.sampled_from(["Lamps", " lamps", "Pump", "x", ""])
POINTS = st.sampled_from(["", "a", "b", "A ", "c", "fuse panel", "battery"])


def circuits() -> st.SearchStrategy[Circuit]:
    """Circuits with the fields of any design, their names and points drawn from few, so that they meet."""

    def meeting(circuit: Circuit, name: str, points: list[str], loads: list[str]) -> Circuit:
        runs = tuple(replace(run, start=points[2 * at], end=points[2 * at + 1]) for at, run in enumerate(circuit.runs))
        taps = tuple(replace(tap, load=loads[at], point=points[at]) for at, tap in enumerate(circuit.taps))
        return replace(circuit, name=name, runs=runs, taps=taps)

    return st.builds(
        meeting,
        designs.records(Circuit),
        NAMES,
        st.lists(POINTS, min_size=8, max_size=8),
        st.lists(NAMES, min_size=4, max_size=4),
    )


def read(design: Design, month: int, installed_ah: float, parallel: int) -> WiringInput:
    """What the room reads of a design, without the rooms before it."""
    count = int(design.array.count or 0)
    return WiringInput(
        design.wiring,
        design.circuits,
        design.loads,
        tuple(load.hours_per_day if month in load.months else 0.0 for load in design.loads),
        design.system.nominal_v,
        design.system.always_on_w,
        design.inverter,
        0.9,
        float(month),
        design.alternator,
        design.shore,
        design.generator,
        design.module,
        design.controller,
        count // int(design.array.in_series),
        int(design.array.in_series) if count else 0,
        design.module.voc_v * count,
        design.battery.chemistry,
        installed_ah,
        parallel,
    )


def check(design: Design, inputs: WiringInput) -> None:
    made = wiring(inputs)
    keys = [one.key for one in made.circuits]
    assert len(keys) == len(set(keys))
    assert sorted(one.path for one in made.circuits if one.path) == sorted(
        f"circuits/{at}" for at in range(len(design.circuits))
    )
    for finding in made.findings:
        edit.get(design, finding.where)
        assert finding.message and finding.advice
    for one in made.circuits:
        assert len(one.wired.circuit.runs) == len(one.entered.runs) == len(one.jackets)
        for run, sized in zip(one.wired.circuit.runs, one.wired.runs, strict=True):
            assert isfinite(sized.needed_a) and run.conductor is not None
    steps = [step.key for step in made.steps]
    assert len(steps) == len(set(steps))


LOADS = st.builds(
    lambda load, name, circuit: replace(load, name=name, circuit=circuit), designs.records(Load), NAMES, NAMES
)


@settings(max_examples=25, deadline=None, suppress_health_check=SLOW)
@given(
    st.lists(circuits(), max_size=3),
    st.lists(LOADS, max_size=3),
    designs.records(Wiring),
    st.builds(replace, st.just(DEMO.inverter), fitted=st.booleans(), rated_w=st.floats(10, 20_000)),
    st.just(0.0) | st.floats(1, 20_000),  # unknown, or what the design takes for a battery
    st.integers(1, 400),
)
def test_any_circuits_give_a_plan(entered, loads, common, inverter: Inverter, installed_ah, parallel):
    design = replace(DEMO, circuits=tuple(entered), loads=tuple(loads), wiring=common, inverter=inverter)
    check(design, read(design, 1, installed_ah, parallel))


@settings(max_examples=5, deadline=None, suppress_health_check=SLOW)
@given(designs.designs())
def test_any_design_gives_a_wiring_plan(design):
    check(design, read(design, design.month, 100.0, 1))
