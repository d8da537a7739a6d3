"""A DC-DC charger cuts its circuit in two: each part has its own source, drop, fuses and short circuits."""

from dataclasses import replace
from random import Random

import pytest

from model import shelf
from model.design import Alternator, Circuit, Reading, Run
from model.plan import plan
from model.record.as_json import as_dict
from model.record.files import open_design
from model.record.papers import job_of
from model.wiring.bench_check import bench_check
from model.wiring.circuit import Circuit as Wires
from model.wiring.circuit import PointLoad, Protection, Source, tree
from model.wiring.circuit import Run as Leg
from model.wiring.conductors import conductor
from model.wiring.fault import fault_at
from model.wiring.findings import findings
from model.wiring.papers import PAPERS
from model.wiring.parting import parts
from model.wiring.wired import wired
from model.wiring.working import steps
from tests.model.wiring.circuits import random_tree

DEMO = open_design(shelf.path("heron.toml")).design
STARTER = Source("starter", "battery", 12.0, 12.5, 12.0, 12.9, ohm_least=0.006, ohm_most=0.009)
HOUSE = Source("house", "battery", 12.0, 12.8, 11.0, 13.6, ohm_least=0.002, ohm_most=0.004)
GIVES = Source("link", "charger", 12.0, 14.4, 14.4, 14.4, limited_a=30.0)
TAKES = PointLoad("DC-DC charger", "link", 38.0, 1.0, law="current")
FUSE = Protection()  # the program chooses rating and family
INTO = PointLoad("house battery", "house", 30.0, 1.0, law="current")


def link(first: Protection | None = FUSE, last: Protection | None = FUSE, **more) -> Wires:
    """Fuses of the program's choice unless something else is asked for."""
    runs = (
        Leg("starter", "link", 4.0, protection=first),
        Leg("link", "bar", 1.0),
        Leg("bar", "house", 0.5, end_protection=last),
    )
    made = {"runs": runs, "loads": (TAKES, INTO), "others": (HOUSE,), "converter": GIVES, **more}
    return Wires("alternator", "Driving", STARTER, **made)


def test_each_part_by_its_own_source_and_currents():
    """Ohm's law on either side: 38 A from 12.5 V up to the charger, 30 A from 14.4 V behind it."""
    one = wired(link(family="AWG"))
    ohm, amps, volts = one.running.ohm, one.running.current_a, one.running.volts
    assert amps == pytest.approx((38.0, 30.0, 30.0))
    assert volts[0] == 12.5 and volts[1] == pytest.approx(12.5 - 38 * ohm[0])
    assert volts[2] == pytest.approx(14.4 - 30 * ohm[1])
    assert volts[3] == pytest.approx(14.4 - 30 * (ohm[1] + ohm[2]))
    assert one.drop_v(3) == pytest.approx(30 * (ohm[1] + ohm[2])) and one.drop_share(3) == pytest.approx(
        one.drop_v(3) / 12
    )
    assert one.source_at(1).kind == "battery" and one.source_at(3).kind == "charger"
    assert one.running.loss_w == pytest.approx(sum(i * i * r for i, r in zip(amps, ohm, strict=True)))
    assert one.passing_a == pytest.approx((38 * 1.25, 30 * 1.25, 30 * 1.25))


def test_protection_at_each_source_and_nothing_gets_through_the_charger():
    one = wired(link())
    assert {(guard.source.point, guard.run) for guard in one.guards} == {
        ("starter", 0), ("link", 1), ("link", 2), ("house", 1), ("house", 2),
    }  # fmt: skip
    assert not [said for said in findings(one) if said.severity == "danger"]
    for first, last, source, run in ((None, Protection(), "starter", 0), (Protection(), None, "house", 1)):
        [said] = [said for said in findings(wired(link(first, last))) if said.severity == "danger"]
        assert f"at {source}" in said.message and said.where.startswith(f"circuits/alternator/runs/{run}/")
    assert len([said for said in findings(wired(link(None, None))) if said.severity == "danger"]) == 2


def test_a_cable_too_thin_for_what_the_charger_gives():
    """18 AWG bears 20 A: neither the charger's 30 A nor the fuse at the battery let it be."""
    thin = link()
    runs = (thin.runs[0], replace(thin.runs[1], conductor=conductor("AWG", "18")), thin.runs[2])
    wrong = {said.where for said in findings(wired(replace(thin, runs=runs))) if said.severity == "danger"}
    assert "circuits/alternator/runs/1/conductor" in wrong
    assert not any("/runs/0/" in where for where in wrong)


def test_short_circuits_on_either_side():
    """12.9 V over 6 mohm and the first cable; behind the charger what it gives, and what the house battery drives backwards."""
    one = wired(link(family="AWG"))
    at_link, at_bar = one.shape.place["link"], one.shape.place["bar"]
    cable_ohm = one.runs[0].conductor.resistance_20c_ohm_per_m * 8
    assert fault_at(one, at_link).most_a == pytest.approx(12.9 / (0.006 + cable_ohm))
    assert fault_at(one, at_bar).most_a == fault_at(one, at_bar, STARTER).most_a == 30.0
    back = fault_at(one, at_bar, HOUSE)
    assert back.most_a == pytest.approx(13.6 / (0.002 + one.runs[2].conductor.resistance_20c_ohm_per_m * 1.0))
    assert back.run == 2 and back.end == "end" and back.can_break
    assert fault_at(one, at_link, HOUSE).most_a == 0.0


@pytest.mark.parametrize("seed", range(12))
def test_any_tree_falls_into_two_that_share_one_point(seed):
    whole = random_tree(seed, most_runs=60)
    shape = tree(whole)
    inner = [at for at in range(1, len(shape.points)) if at in shape.parent]
    if not inner:
        assert len(parts(replace(whole, converter=replace(GIVES, point=shape.points[-1])), shape)) == 1
        return
    cut = shape.points[Random(seed).choice(inner)]
    circuit = replace(whole, converter=replace(GIVES, point=cut, limited_a=500.0))
    (_, before), (_, beyond) = parts(circuit, shape)
    assert sorted((*before.order, *beyond.order)) == sorted(shape.order)
    assert set(before.points) & set(beyond.points) == {cut} and beyond.points[0] == cut
    one = wired(circuit)
    place = {name: at for at, name in enumerate(shape.points)}
    for index in shape.order:  # Kirchhoff: what flows in is what flows on and what the loads there draw
        run = circuit.runs[index]
        if run.end == cut:
            continue
        volts = one.running.volts[place[run.end]]
        onwards = sum(one.running.current_a[at] for at in shape.order if circuit.runs[at].start == run.end)
        drawn = sum(load.current_a(volts) for load in circuit.loads if load.point == run.end)
        assert one.running.current_a[index] == pytest.approx(onwards + drawn, abs=1e-9)
    keys = [step.key for step in steps(one)]
    assert len(keys) == len(set(keys))
    assert {used for step in steps(one) for used in step.uses} <= set(keys)


def test_the_charger_is_found_by_its_name_and_a_relay_parts_nothing():
    """Through a fuse holder under the bonnet first: the charger is where it is called so."""
    runs = (
        Run("starter battery", "bonnet", 1.0, place="engine space"),
        Run("bonnet", "DC-DC charger", 3.0),
        Run("DC-DC charger", "battery", 1.0),
    )
    entered = replace(DEMO, circuits=(Circuit("Driving", "alternator", runs=runs),))
    one = plan(entered).wiring.circuit("alternator").wired
    assert one.circuit.converter.point == "DC-DC charger" and [len(part.shape.order) for part in one.parts] == [2, 1]
    assert one.running.current_a[1] == pytest.approx(30 * 14.4 / (0.9 * 12.2)) and one.running.current_a[2] == 30.0
    assert one.running.volts[-1] > 14.0 > one.running.volts[-2]
    relay = replace(entered, alternator=Alternator(True, "relay", 5.0, 25.0))
    assert plan(relay).wiring.circuit("alternator").wired.parts == ()
    single = replace(DEMO, circuits=(Circuit("Driving", "alternator", runs=(Run("starter battery", "battery", 4.0),)),))
    bare = plan(single).wiring.circuit("alternator").wired
    assert bare.parts == () and bare.running.current_a[0] == pytest.approx(30 * 14.4 / (0.9 * 12.2))


def test_a_house_of_24_volts_behind_a_vehicle_of_12():
    """0.2 V per 12 V from a charger to its battery (common practice, from memory): of 24 V, not of the starter's 12."""
    made = plan(replace(DEMO, system=replace(DEMO.system, nominal_v=24.0), battery=replace(DEMO.battery, unit_v=24.0)))
    one = made.wiring.circuit("alternator").wired
    assert (one.circuit.source.nominal_v, one.source_at(2).nominal_v) == (12.0, 24.0)
    assert 28.0 < one.running.volts[2] < 28.8 and one.drop_v(2) <= 0.4 + 1e-4
    told = next(each for each in as_dict(made)["wiring"]["circuits"] if each["id"] == "alternator")
    assert told["points"][2]["drop_percent"] == pytest.approx(one.drop_v(2) / 24 * 100)
    assert told["runs"][1]["governs"] == one.runs[1].governs
    assert told["points"][1]["start_voltage_v"] == one.starting.volts[1]
    row = next(row for row in PAPERS["schedule"].rows(job_of(made)) if row.id == "alternator-2")
    assert row.drop_percent == pytest.approx(one.drop_v(2) / 24 * 100)


def test_a_supply_on_the_bench_feeds_what_lies_before_the_charger():
    made = plan(DEMO).wiring.circuit("alternator")
    found = bench_check(made, Reading(supply_v=12.5, current_a=39.3, point="DC-DC charger", far_v=12.2))
    assert found.planned_a == pytest.approx(30 * 14.4 / (0.9 * 12.2)) and found.amps_agree
