"""The joint list: every ring, splice and plug once, with the heat that Joule's law gives it."""

from dataclasses import replace

import pytest

from model import shelf
from model.plan import plan
from model.record.files import open_design
from model.wiring.circuit import Contact, PointLoad, Protection, Run, Source
from model.wiring.conductors import conductor
from model.wiring.papers.cables import cables
from model.wiring.papers.commissioning import pull_force_n
from model.wiring.papers.ends import PLUG, RING, SPLICE, all_joints, joints
from model.wiring.papers.joint_list import heat_w, joint_list
from model.wiring.papers.shopping import shopping
from tests.model.wiring.circuits import one_circuit, one_run
from tests.model.wiring.jobs import circuit_plan, wiring_plan

DEMO = plan(open_design(shelf.path("heron.toml")).design).wiring
THICK, THIN = conductor("mm2", "16"), conductor("mm2", "1.5")


def found(*circuits):
    return [(one.kind, one.point, one.count) for one in all_joints(cables(wiring_plan(*circuits)))]


def test_a_trunk_with_a_tap_a_plug_and_a_bolted_fuse_by_hand():
    """Two poles everywhere: rings at the source and at the bolted fuse, one splice a pole at the tap, a plug at the device."""
    runs = (
        one_run(conductor=THIN, protection=Protection(35.0, "ANL", 0.1)),
        Run("a", "b", 1.0, conductor=THIN),
        Run("a", "c", 1.0, conductor=THIN, contacts=(Contact("plug", "end", 15.0),)),
    )
    loads = (PointLoad("lamp", "b", 12.0, 12.0), PointLoad("pump", "c", 24.0, 12.0))
    assert found(circuit_plan(one_circuit(runs=runs, loads=loads))) == [
        (RING, "feed", 2),
        (SPLICE, "a", 2),
        (SPLICE, "b", 2),
        (PLUG, "c, plug", 2),
        (RING, "fuse of c1-1 near feed", 2),
    ]


def test_a_cable_that_charges_a_battery_ends_there_in_rings_however_thin():
    far = Source("a", "battery", 12.0, 12.8, 11.0, 13.4, ohm_least=0.005, ohm_most=0.01)
    plain = circuit_plan(one_circuit(one_run(conductor=THIN)))
    charged = circuit_plan(one_circuit(one_run(conductor=THIN), others=(far,)))
    assert (SPLICE, "a", 2) in found(plain) and (RING, "a", 2) in found(charged)


def test_what_returns_through_the_chassis_has_one_pole():
    one = circuit_plan(one_circuit(one_run(conductor=THICK, returns="chassis")))
    assert found(one) == [
        (RING, "feed", 1),
        (RING, "a", 1),
        (RING, "chassis stud near a", 1),
        (RING, "bond, battery negative to chassis", 2),
    ]


def test_the_list_and_the_shopping_list_count_the_same():
    counted = joints(cables(DEMO))
    bought = {item.item: item.quantity for item in shopping(DEMO) if item.kind == "crimp"}
    rows = joint_list(DEMO)
    for kind, title, crimped in ((RING, "Ring terminal", counted.rings), (SPLICE, "Butt splice", counted.splices)):
        for one, count in crimped.items():
            listed = sum(row.count for row in rows if row.kind == kind and row.conductor == one.name)
            assert listed == count == bought[f"{title} for {one.name}"]
    assert [row.number for row in rows] == list(range(1, len(rows) + 1))


@pytest.mark.parametrize(("amps", "ohm", "watts"), [(100.0, 0.001, 10.0), (30.0, 0.005, 4.5), (0.0, 0.001, 0.0)])
def test_joules_law_by_hand(amps, ohm, watts):
    assert heat_w(amps, ohm) == pytest.approx(watts)


def test_each_row_says_what_its_current_does_to_a_bad_joint():
    for row in joint_list(DEMO):
        assert row.load_a is not None and row.heat_w == pytest.approx(row.load_a**2 / 1000)
        if row.load_a:
            assert row.most_mohm * row.load_a == pytest.approx(20.0)  # 20 mV at full load
        if row.kind == PLUG:
            assert row.pull_n is None
    thick = next(one for one in all_joints(cables(DEMO)) if one.conductor.nominal_area_mm2 > 6)
    row = next(row for row in joint_list(DEMO) if row.conductor == thick.conductor.name)
    assert row.pull_n == pytest.approx(pull_force_n(thick.conductor)) and "hexagonal" in row.tool


def test_alternating_current_and_runs_without_length_are_not_listed():
    mains = replace(one_run(conductor=THIN), mains=True)
    assert found(circuit_plan(one_circuit(mains))) == []
    assert found(circuit_plan(one_circuit(one_run(conductor=THIN, length_m=0.0)))) == []


def test_a_thin_main_feed_ends_in_rings_at_its_panel():
    feed = circuit_plan(one_circuit(one_run(conductor=THIN), key="main"), kind="main")
    assert found(feed)[:2] == [(RING, "feed", 2), (RING, "a", 2)]


def test_the_lead_of_a_device_is_told_where_it_is_crimped_in():
    plain = circuit_plan(one_circuit(one_run(conductor=THIN)))
    (splice,) = [row for row in joint_list(wiring_plan(plain)) if row.kind == SPLICE]
    assert splice.cables == "c1-1, the device's lead"
