"""The smallest conductor and the protection in front of it."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.wiring.circuit import Circuit, PointLoad, Protection, Run, Source
from model.wiring.conductors import conductor, conductors
from model.wiring.flow import running
from model.wiring.protection import design_current_a, guards
from model.wiring.sizing import size
from tests.model.wiring.circuits import FEED, one_circuit, one_run, random_tree


def amps(current_a, point="a", **more):
    return PointLoad("load", point, current_a, 1.0, law="current", **more)


@pytest.mark.parametrize(
    ("run", "load", "name", "governs"),
    [
        (one_run(length_m=0.5), amps(1), "18 AWG", "mechanical minimum"),
        (one_run(length_m=0.5, sheathed=False), amps(1), "16 AWG", "mechanical minimum"),
        (one_run(length_m=0.5), amps(30), "12 AWG", "ampacity"),  # 37.5 A
        (
            one_run(length_m=0.5, ambient_c=50.0, bundled_with=2),
            amps(30),
            "8 AWG",
            "ampacity",
        ),  # 80 x 0.6 x 0.856 = 41 A
        (one_run(length_m=6.0), amps(10, drop_limit=0.03), "8 AWG", "drop"),
        (one_run(length_m=0.5, conductor=conductor("AWG", "22")), amps(30), "22 AWG", "typed"),
    ],
)
def test_what_governs(run, load, name, governs):
    one = size(one_circuit(run, load)).runs[0]
    assert (one.conductor.name, one.governs, one.enough) == (name, governs, True)


def test_metric_and_vehicle_sizes():
    for family, name in (("mm2", "0.75 mm2"), ("SAE", "SAE 18"), ("AWG", "18 AWG")):
        assert size(one_circuit(one_run(length_m=0.5), amps(1), family=family)).runs[0].conductor.name == name
    assert size(one_circuit(one_run(length_m=0.5, sheathed=False), amps(1), family="mm2")).runs[0].conductor.size == "1"
    assert (
        size(one_circuit(one_run(length_m=0.5, sheathed=False), amps(1), family="SAE")).runs[0].conductor.size == "16"
    )


@pytest.mark.parametrize("family", ["AWG", "SAE", "mm2"])
@pytest.mark.parametrize("length_m", [0.3, 2.0, 6.0, 15.0])
@pytest.mark.parametrize("current_a", [0.5, 7.0, 30.0, 90.0])
def test_no_smaller_size_would_do(family, length_m, current_a):
    """The size below fails by drop, by ampacity or by strength, each worked here from its rule."""
    load = amps(current_a, drop_limit=0.03)
    sized = size(one_circuit(one_run(length_m=length_m), load, family=family))
    one = sized.runs[0]
    choice = conductors(family)
    if not one.enough:
        assert one.conductor == choice[-1]
        return
    volts = running(sized.circuit, sized.shape).volts[1]
    assert FEED.running_v - volts <= 0.36 + 1e-6
    assert one.allowed_a >= one.needed_a == pytest.approx(1.25 * current_a)
    at = choice.index(one.conductor)
    if at == 0:
        return
    below = size(one_circuit(one_run(length_m=length_m, conductor=choice[at - 1]), load))
    lost_v = FEED.running_v - running(below.circuit, below.shape).volts[1]
    weak = below.runs[0].allowed_a < 1.25 * current_a
    thin = one.governs == "mechanical minimum"
    assert lost_v > 0.36 - 1e-6 or weak or thin


def test_a_trunk_keeps_one_size_and_its_taps_stay_thin():
    """Six lamps: what leads to the last one is thickened together, the taps of the others bear their fuse and no more."""
    runs = [Run("feed", "t1", 9.0, protection=Protection())]
    runs += [Run(f"t{at}", f"t{at + 1}", 1.0) for at in range(1, 6)]
    runs += [Run(f"t{at}", f"l{at}", 0.3) for at in range(1, 7)]
    loads = tuple(amps(0.6, f"l{at}", drop_limit=0.03) for at in range(1, 7))
    sized = size(one_circuit(runs=tuple(runs), loads=loads))
    trunk = [one.conductor.name for one in sized.runs[:6]] + [sized.runs[11].conductor.name]
    assert len(set(trunk)) == 1
    assert {one.governs for one in sized.runs[:6]} == {"drop"}
    assert {one.conductor.name for one in sized.runs[6:11]} == {"18 AWG"}


def test_a_drop_before_the_circuit_counts():
    run, load = one_run(length_m=6.0), amps(5, drop_limit=0.03)
    alone = size(one_circuit(run, load)).runs[0].conductor
    behind = size(one_circuit(run, load, source=replace(FEED, upstream_drop_v=0.2))).runs[0].conductor
    assert behind.conducting_area_mm2 > alone.conducting_area_mm2
    never = size(one_circuit(run, load, source=replace(FEED, upstream_drop_v=0.5))).runs[0]
    assert not never.enough and never.governs == "drop"


def test_a_load_that_no_cable_carries_is_told_and_not_thrown():
    one = size(one_circuit(one_run(length_m=80.0), PointLoad("oven", "a", 5000.0, 12.0))).runs[0]
    assert not one.enough and one.conductor.size == "4/0"


def test_typed_runs_stay_and_the_free_ones_make_up_for_them():
    thin = conductor("AWG", "14")
    runs = (Run("feed", "m", 3.0), Run("m", "a", 3.0, thin))
    sized = size(one_circuit(runs=runs, loads=(amps(5, drop_limit=0.03),)))
    assert sized.circuit.runs[1].conductor is thin
    assert sized.runs[0].governs == "drop"
    assert FEED.running_v - running(sized.circuit, sized.shape).volts[-1] <= 0.36


def test_the_fuse_of_a_load():
    """1.25 x 8 A = 10 A; 1.25 x 8.1 A asks for 15 A; a load that never runs for long counts once: NEC 210.20(A)."""
    for load, rating_a in ((amps(8.0), 10), (amps(8.1), 15), (amps(10.0, continuous=False), 10)):
        sized = size(one_circuit(one_run(protection=Protection()), load))
        assert sized.circuit.runs[0].protection.rating_a == rating_a
        assert sized.runs[0].allowed_a >= rating_a


def test_constant_power_is_protected_at_its_lowest_voltage():
    load = PointLoad("pump", "a", 60.0, 12.0, drop_limit=0.10)
    assert design_current_a(FEED, load) == pytest.approx(60 / (12.8 - 1.2))
    assert design_current_a(replace(FEED, low_v=11.0), load) == pytest.approx(60 / 11)
    assert design_current_a(FEED, replace(load, law="resistance")) == pytest.approx(14.6 * 60 / 144)
    assert design_current_a(FEED, replace(load, drop_limit=1.5)) == pytest.approx(60 / 6.4)


def test_a_typed_rating_decides_the_conductor():
    sized = size(one_circuit(one_run(length_m=0.5, protection=Protection(rating_a=40)), amps(3)))
    assert sized.runs[0].conductor.name == "12 AWG" and sized.circuit.runs[0].protection.rating_a == 40
    assert (
        size(one_circuit(one_run(protection=Protection(rating_a=33)), amps(3))).circuit.runs[0].protection.rating_a
        == 33
    )


def test_the_fuse_at_a_battery_must_break_its_short_circuit():
    """13.6 V behind 0.9 mohm: 15 kA; only class T breaks that, and 40 A is its first above 1.25 x 30 A."""
    battery = Source("feed", "battery", 12.0, 12.8, 12.0, 13.6, ohm_least=0.0009, ohm_most=0.003)
    run = one_run(length_m=0.5, protection=Protection())
    sized = size(one_circuit(run, amps(30), source=battery))
    assert (sized.circuit.runs[0].protection.family, sized.circuit.runs[0].protection.rating_a) == ("Class T", 40)
    assert sized.runs[0].allowed_a >= 40
    # Behind a panel a main fuse stands before it, and a lamp's wire must not swell for the sake of a fuse's kind.
    panel = size(one_circuit(run, amps(30), source=replace(battery, kind="panel")))
    assert panel.circuit.runs[0].protection.rating_a == 40


def test_a_branch_fuse_lets_the_branch_be_thin():
    runs = (
        Run("feed", "m", 0.5, protection=Protection(rating_a=40)),
        Run("m", "a", 0.5, protection=Protection()),
        Run("m", "b", 0.5),
    )
    sized = size(one_circuit(runs=runs, loads=(amps(3), amps(1, "b"))))
    assert [one.conductor.name for one in sized.runs] == ["12 AWG", "18 AWG", "12 AWG"]


def fused(circuit, seed):
    """Every third run gets a fuse to be chosen, and the first ones always."""
    runs = tuple(
        replace(run, protection=Protection()) if run.start == "feed" or (at + seed) % 3 == 0 else run
        for at, run in enumerate(circuit.runs)
    )
    return replace(circuit, runs=runs)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_load_below_fuse_below_the_thinnest_conductor_on_every_step_of_every_path(seed):
    circuit = fused(random_tree(seed, 30, typed=False), seed)
    sized = size(circuit)
    found = running(sized.circuit, sized.shape)
    assert found is not None
    for guard in guards(sized.circuit, sized.shape)[0]:
        one = sized.runs[guard.run]
        assert guard.rating_a is not None
        assert guard.rating_a <= one.needed_a <= one.allowed_a
    for at, run in enumerate(sized.circuit.runs):
        if run.protection is not None:
            assert 1.25 * found.current_a[at] <= run.protection.rating_a + 1e-9
    for load in circuit.loads:
        lost_v = FEED.running_v - found.volts[sized.shape.place[load.point]]
        assert lost_v <= load.drop_limit * 12 + 1e-5


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**32))
def test_sizing_what_is_sized_changes_nothing(seed):
    sized = size(fused(random_tree(seed, 30, typed=False), seed))
    again = size(sized.circuit)
    assert again.circuit == sized.circuit


def test_an_empty_circuit_is_no_trouble():
    sized = size(Circuit("c", "nothing", FEED, ()))
    assert sized.runs == () and running(sized.circuit, sized.shape).volts == (12.8,)


def test_a_typed_conductor_that_is_too_thin_makes_no_other_one_thick():
    """200 W over 4 m of 1 mm2 lose more than 10 % whatever lies in front; the metre before it stays as its fuse asks."""
    before = one_run(end="a", length_m=1.0, protection=Protection())
    thin = one_run(start="a", end="b", length_m=4.0, conductor=conductor("mm2", "1"))
    circuit = Circuit("c1", "Pump", FEED, (before, thin), (PointLoad("pump", "b", 200.0, 12.0),), family="mm2")
    sized = size(circuit)
    assert sized.runs[0].conductor.nominal_area_mm2 <= 6 and sized.runs[0].governs == "ampacity"
    free = size(replace(circuit, runs=(before, replace(thin, conductor=None))))
    assert free.runs[1].governs == "drop"  # where nothing is typed, copper helps


def test_nothing_is_left_to_be_kept_within_its_limit():
    """The only load is hopeless, and behind a thin feed there is no operating point: no exception, and a feed with one."""
    before = one_run(end="a", length_m=8.0, conductor=None)
    thin = one_run(start="a", end="b", length_m=2.5, conductor=conductor("mm2", "1.5"))
    for watts in (150.0, 250.0, 350.0, 450.0):
        circuit = Circuit("c1", "Pump", FEED, (before, thin), (PointLoad("pump", "b", watts, 12.0),), family="mm2")
        assert len(size(circuit).runs) == 2
