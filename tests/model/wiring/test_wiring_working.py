"""The working: every figure can be walked back to what was typed, and its formula gives its value."""

from dataclasses import replace

import pytest

from model.wiring.circuit import Protection
from model.wiring.conductors import conductor
from model.wiring.wired import wired
from model.wiring.working import steps
from model.working import chain
from tests.model.wiring.circuits import one_circuit, one_run, random_tree


@pytest.mark.parametrize("seed", range(8))
def test_every_step_leads_back_and_no_key_comes_twice(seed):
    circuit = random_tree(seed, 20, typed=seed % 2 == 0)
    runs = tuple(replace(run, protection=Protection()) if run.start == "feed" else run for run in circuit.runs)
    one = wired(replace(circuit, runs=runs))
    found = steps(one)
    table = {step.key: step for step in found}
    assert len(table) == len(found)
    for step in found:
        assert step.stage == "wiring" and step.key.startswith(f"wiring.c{seed}.") and step.source and step.formula
        assert all(used in table for used in step.uses), step
    last = one.shape.points[-1]
    keys = [step.key for step in chain(table, f"wiring.c{seed}.point.{last}.drop_percent")]
    first = one.shape.path(len(one.shape.points) - 1)[0]
    assert f"wiring.c{seed}.run.{first}.start.fuse_a" in keys
    assert keys[-1].endswith("drop_percent")


def test_figures_of_a_plain_circuit():
    """60 W at 11.6 V (12.8 V less the permitted 1.2 V): 5.17 A, 6.47 A with reserve, a fuse of 7.5 A."""
    one = wired(one_circuit(one_run(protection=Protection())))
    table = {step.key: step for step in steps(one)}
    assert table["wiring.c1.load.0.design_a"].value == pytest.approx(60 / 11.6)
    assert table["wiring.c1.run.0.passing_a"].value == pytest.approx(1.25 * 60 / 11.6)
    assert table["wiring.c1.run.0.start.fuse_a"].value == 7.5
    assert table["wiring.c1.run.0.needed_a"].value == 7.5
    assert table["wiring.c1.run.0.conductor"].value == one.runs[0].conductor.name
    volts = table["wiring.c1.point.a.volts"].value
    assert volts == one.volts("a") == pytest.approx(12.8 - table["wiring.c1.run.0.drop_v"].value)
    assert table["wiring.c1.point.a.drop_percent"].value == pytest.approx((12.8 - volts) / 12 * 100)
    assert table["wiring.c1.loss_w"].value == pytest.approx((12.8 - volts) * one.running.current_a[0])
    assert one.volts("nowhere") is None


def test_nothing_that_is_not_known_is_shown_as_a_figure():
    hopeless = one_circuit(one_run(length_m=90.0, conductor=conductor("AWG", "18")))
    keys = {step.key for step in steps(wired(hopeless))}
    assert "wiring.c1.run.0.needed_a" in keys
    assert "wiring.c1.point.a.volts" not in keys and "wiring.c1.loss_w" not in keys
    unknown = one_circuit(source=replace(hopeless.source, ohm_least=None))
    table = {step.key: step for step in steps(wired(unknown))}
    assert table["wiring.c1.point.a.short_a"].value == "not known"
