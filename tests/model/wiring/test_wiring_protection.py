"""Guards and bare conductor in random trees with fuses at either end of runs and several sources, against a plain search."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.wiring.circuit import PointLoad, Protection, Run, Source, tree
from model.wiring.protection import chosen, guards, needed_a, unprotected_limit_m
from model.wiring.short_circuit import prospective
from tests.model.wiring.circuits import FEED, one_circuit, random_tree


def with_devices(seed):
    """A random tree with fuses of known rating here and there, and up to two further sources."""
    dice = Random(seed)
    circuit = random_tree(seed, 25)

    def device():
        if dice.random() < 0.7:
            return None
        return Protection(dice.choice((10.0, 20.0, 30.0)), "Type C", dice.choice((0.0, 0.05)))

    runs = tuple(replace(run, protection=device(), end_protection=device()) for run in circuit.runs)
    others = tuple(
        replace(FEED, point=f"p{dice.randint(1, len(runs))}", kind="alternator") for _ in range(dice.randint(0, 2))
    )
    return replace(circuit, runs=runs, others=others)


def way(circuit, start, end):
    """[(run index, forward)] from point to point, found by trying every turn."""

    def search(here, came_by):
        if here == end:
            return []
        for at, run in enumerate(circuit.runs):
            if at != came_by and here in (run.start, run.end):
                rest = search(run.end if run.start == here else run.start, at)
                if rest is not None:
                    return [(at, run.start == here), *rest]
        return None

    return search(start, None)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_guards_by_a_plain_search_from_every_source(seed):
    circuit = with_devices(seed)
    shape = tree(circuit)
    found, _ = guards(circuit, shape)
    assert len(found) == len(circuit.runs) * (1 + len(circuit.others))
    for guard in found:
        run = circuit.runs[guard.run]
        path = way(circuit, guard.source.point, shape.points[guard.far])
        assert path is not None and path[-1][0] == guard.run and shape.points[guard.far] in (run.start, run.end)
        passed = []
        for number, (at, forward) in enumerate(path):
            near, far = circuit.runs[at].protection, circuit.runs[at].end_protection
            near, far = (near, far) if forward else (far, near)
            passed += [near] if number == len(path) - 1 else [near, far]
        ratings = [one.rating_a for one in passed if one is not None]
        assert guard.rating_a == (min(ratings) if ratings else None)
        assert (guard.device is None) == (guard.rating_a is None)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_bare_conductor_by_a_plain_search_from_every_source(seed):
    """Every way from a source meets its first fuse after the length found, or ends without one."""
    circuit = with_devices(seed)
    shape = tree(circuit)
    _, exposed = guards(circuit, shape)
    expected = []
    for source in (circuit.source, *circuit.others):
        firsts = {}
        for point in shape.points:
            path, metres, first = way(circuit, source.point, point), 0.0, None
            for at, forward in path:
                run = circuit.runs[at]
                near, far = (run.protection, run.end_protection) if forward else (run.end_protection, run.protection)
                if near is not None:
                    first = (at, near, metres + near.distance_m, True)
                    break
                metres += run.length_m
                if far is not None:
                    first = (at, far, max(metres - far.distance_m, 0.0), True)
                    break
            if first is not None:
                firsts[first[0], id(first[1])] = first
            elif path and sum(point in (run.start, run.end) for run in circuit.runs) == 1:
                firsts[path[-1][0], None] = (path[-1][0], None, metres, False)
        expected += [(one[0], round(one[2], 9), one[3]) for one in firsts.values()]
    assert sorted((one.run, round(one.metres, 9), one.protected) for one in exposed) == sorted(expected)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32))
def test_short_circuit_current_falls_away_from_its_source(seed):
    circuit = with_devices(seed)
    shape = tree(circuit)
    for source in (circuit.source, *circuit.others):
        currents = prospective(circuit, shape, source)
        assert currents[shape.place[source.point]].most_a == pytest.approx(source.full_v / source.ohm_least)
        for place, point in enumerate(shape.points):
            cold = source.ohm_least + sum(
                circuit.runs[at].conductor.resistance_20c_ohm_per_m * 2 * circuit.runs[at].length_m
                for at, _ in way(circuit, source.point, point)
            )
            assert currents[place].most_a == pytest.approx(source.full_v / cold)
            warm = source.ohm_most + sum(
                circuit.runs[at].conductor.resistance_20c_ohm_per_m * (1 + 0.00393 * 85) * 2 * circuit.runs[at].length_m
                + circuit.runs[at].joints_ohm
                for at, _ in way(circuit, source.point, point)
            )  # insulation for 105 °C
            assert currents[place].least_a == pytest.approx(source.running_v / warm)


def test_what_protection_must_pass_adds_up_along_the_trunk():
    runs = (Run("feed", "a", 1.0), Run("a", "b", 1.0), Run("a", "c", 1.0))
    loads = (
        PointLoad("x", "a", 2.0, 1.0, law="current"),
        PointLoad("y", "b", 4.0, 1.0, law="current", continuous=False),
        PointLoad("z", "c", 8.0, 1.0, law="current"),
    )
    circuit = one_circuit(runs=runs, loads=loads)
    assert needed_a(circuit, tree(circuit)) == pytest.approx([2.5 + 4 + 10, 4, 10])


def test_distances_by_rule():
    """33 CFR 183.455: 7 inches, 40 in a sheath; 183.460(a) from memory: 72 at a battery; ISO 13297, 12.3: 1.8 m at a charger."""
    limits = {
        ("panel", False): 0.178, ("panel", True): 1.016, ("battery", False): 0.178, ("battery", True): 1.829,
        ("alternator", False): 1.8, ("charger", True): 1.8,
    }  # fmt: skip
    for (kind, sheathed), metres in limits.items():
        source = Source("x", kind, 12, 12, 12, 12)
        assert unprotected_limit_m(source, sheathed)[0] == pytest.approx(metres, abs=5e-4)


def test_choice_of_a_fuse():
    blank = Protection()
    assert chosen(blank, 8, 12, 500, False).rating_a == 10
    assert chosen(replace(blank, family="Type E"), 8, 12, 500, False).rating_a == 20
    assert chosen(replace(blank, family="Type F"), 31, 12, 500, False).rating_a is None
    assert chosen(replace(blank, family="wire"), 8, 12, 500, False).rating_a is None
    at_battery = chosen(blank, 8, 12, 8000, True)
    assert (at_battery.family, at_battery.rating_a) == ("terminal", 30)
    in_panel = chosen(blank, 8, 12, 8000, False)
    assert in_panel.rating_a == 10  # a fuse that breaks 8 kA begins at three times that
    near = chosen(blank, 28, 12, 8000, False)
    assert (near.family, near.rating_a) == ("terminal", 30)
    assert chosen(Protection(rating_a=12.0, interrupting_a=3000.0), 8, 12, 8000, True).rating_a == 12
    assert chosen(blank, 5000, 12, 0, False) == blank
