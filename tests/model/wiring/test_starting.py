"""What a device sees at the start: its parts add up to the battery at rest, and a start worked by hand."""

import pytest

from model import shelf
from model.plan import plan
from model.record.as_text import circuits_text
from model.record.files import open_design
from model.wiring.circuit import PointLoad, Run, Source
from model.wiring.conductors import conductor
from model.wiring.starting import start_volts
from tests.model.wiring.circuits import one_circuit, one_run
from tests.model.wiring.jobs import circuit_plan

DEMO = plan(open_design(shelf.path("heron.toml")).design)


def test_a_glow_plug_by_hand():
    """12 V behind 0.05 ohm, a loop of 0.05 ohm (no conductor to speak of), 10 A whatever the voltage: 12 - 10 x 0.05 = 11.5 V at
    the terminals, 11.0 V at the heater, 0.8 V above a cut-out of 10.2 V. Ohm's law."""
    source = Source("battery", "battery", 12.0, 12.8, 12.0, 13.4, ohm_least=0.05, ohm_most=0.05)
    run = Run("battery", "a", 0.0, conductor=conductor("mm2", "50"), joints_ohm=0.05)
    heater = PointLoad("heater", "a", 24.0, 12.0, start_a=10.0, cut_out_v=10.2)
    (found,) = start_volts(circuit_plan(one_circuit(run, heater, source=source)))
    assert (found.at_rest_v, found.source_v, found.volts) == pytest.approx((12.0, 11.5, 11.0))
    assert found.left_v == pytest.approx(0.8)
    assert found.words == (
        "11.00 V at the start, low battery: 0.50 V stay on the way, 0.50 V in the battery itself; 0.80 V above heater's cut-out"
        " of 10.2 V"
    )


def test_what_neither_starts_hard_nor_cuts_out_is_not_told():
    assert list(start_volts(circuit_plan(one_circuit(one_run())))) == []


def test_the_demonstrations_heater_falls_below_its_cut_out_where_the_finding_says_so():
    (heater,) = (one for each in DEMO.wiring.circuits for one in start_volts(each) if one.load == "Diesel air heater")
    (finding,) = (one for one in DEMO.findings if one.where == "loads/1/cut_out_v")
    assert f"sees {heater.volts:.2f} V" in finding.message and heater.left_v < 0
    assert heater.words in " ".join(circuits_text(DEMO, width=400).split("\n"))
    starts = [one.load for each in DEMO.wiring.circuits for one in start_volts(each)]
    assert starts == ["inverter", "Compressor fridge", "Diesel air heater"]


def test_the_working_subtracts_what_is_lost_from_the_battery_at_rest():
    steps = {step.key: step for step in DEMO.wiring.steps if ".starting." in step.key}
    told = [one for each in DEMO.wiring.circuits for one in start_volts(each)]
    assert [step.value for step in steps.values()] == [one.volts for one in told]
    for step in steps.values():
        rest, behind, way = (float(part.split(" V")[0]) for part in step.formula.split(" - "))
        assert rest - behind - way == pytest.approx(step.value, abs=0.02)  # three digits of each
