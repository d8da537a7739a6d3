"""Circuits of alternating current behind the inverter: planned as far as that is honest, the rest said in words."""

from dataclasses import replace

import pytest

from model.design import Circuit, Design, Inverter, Load, Run, Tap, Wiring
from model.plan import plan
from model.record.as_json import as_dict
from model.record.as_text import as_text
from model.record.papers import job_of
from model.wiring.ampacity import allowable_a
from model.wiring.conductors import conductor
from model.wiring.fuses import breaker_at, breakers, families, smallest_family
from model.wiring.papers import PAPERS

KETTLE = Load("Kettle", power_w=1800, supply="AC", behaviour="resistive", hours_per_day=0.1)
GRINDER = Load("Grinder", 2, power_w=150, supply="AC", surge_w=400, hours_per_day=0.05)
LAMP = Load("Lamp", power_w=5, hours_per_day=2)
GALLEY = Circuit(
    "Galley", feed="inverter", runs=(Run("", "socket 1", 4.0), Run("", "socket 2", 2.0)),
    taps=(Tap("Kettle", "socket 1"), Tap("Grinder")),
)  # fmt: skip
EUROPE, AMERICA = Inverter(True, 2000, 4000), Inverter(True, 2000, 4000, output_v=120)


def made(*circuits: Circuit, inverter=EUROPE, loads=(KETTLE, GRINDER, LAMP), **settings):
    design = Design(loads=loads, circuits=circuits or (GALLEY,), inverter=inverter, wiring=Wiring(**settings))
    return plan(design)


def galley(whole):
    return next(one for one in whole.wiring.circuits if one.name == "Galley")


def said(whole, words):
    return [one for one in whole.wiring.findings if words in one.message]


def test_volts_and_amps_by_hand():
    """230 V, 1.5 mm2 of 13.3 ohm/km (IEC 60228): 1800 W / 52900 V² is a resistance of 29.39 ohm; 300 W keep their power."""
    one = galley(made(conductors="mm2")).wired
    assert [sized.conductor.name for sized in one.runs] == ["1.5 mm2", "1.5 mm2"]
    assert [sized.governs for sized in one.runs] == ["mechanical minimum"] * 2
    first_v, last_v = one.running.volts[1:]
    feed_ohm, branch_ohm = one.running.ohm
    assert branch_ohm == pytest.approx(2 * 2.0 * 0.0133 * 1.0393, rel=2e-3)  # 30 °C, warmed by 0.3 K
    assert last_v * (first_v - last_v) / branch_ohm == pytest.approx(300.0)
    assert (230 - first_v) / feed_ohm == pytest.approx(first_v * 1800 / 230**2 + 300 / last_v)
    assert one.drop_v(2) / 230 < 0.01


@pytest.mark.parametrize(("inverter", "fuse_a", "family"), [(EUROPE, 13, "IEC breaker"), (AMERICA, 25, "NEC breaker")])
def test_the_breaker_is_the_next_standard_one_above_the_load_and_a_quarter(inverter, fuse_a, family):
    """(1800 + 300 W) x 1.25 / 230 V = 11.4 A: 13 A of IEC 60898; / 120 V = 21.9 A: 25 A of NEC 240.6(A)."""
    one = galley(made(inverter=inverter, conductors="mm2")).wired
    device = one.circuit.runs[0].protection
    assert (device.rating_a, device.family) == (fuse_a, family)
    for guard in one.guards:
        assert one.passing_a[guard.run] <= guard.rating_a <= one.runs[guard.run].allowed_a


def test_small_wire_is_not_fused_above_its_cap():
    """NEC 240.4(D): 14 AWG 15 A, 12 AWG 20 A, 10 AWG 30 A, as a cable maker quotes it: a breaker of 25 A wants 10 AWG."""
    caps = {"18": 7, "16": 10, "14": 15, "12": 20, "10": 30}
    assert {size: allowable_a(conductor("AWG", size), 75, 30, 2, mains=True) for size in caps} == caps
    one = galley(made(inverter=AMERICA, conductors="AWG")).wired
    assert {sized.conductor.name for sized in one.runs} == {"10 AWG"}
    light = replace(GALLEY, taps=(Tap("Grinder"),))
    assert {sized.conductor.name for sized in galley(made(light, inverter=AMERICA, conductors="AWG")).wired.runs} == {
        "14 AWG"
    }


def test_vehicle_wire_is_refused_and_never_chosen():
    """SAE J1128 is a class of 60 V."""
    assert {one.conductor.family for one in galley(made(conductors="SAE")).wired.runs} == {"AWG"}
    typed = replace(GALLEY, runs=(replace(GALLEY.runs[0], conductor="SAE 10"), GALLEY.runs[1]))
    [wrong] = said(made(typed), "60 V at most")
    assert wrong.severity == "danger" and wrong.where == "circuits/0/runs/0/conductor"
    chassis = replace(GALLEY, runs=(replace(GALLEY.runs[0], returns="chassis"), GALLEY.runs[1]))
    assert [one.severity for one in said(made(chassis), "would return through the chassis")] == ["danger"]


def test_fuses_for_direct_current_do_not_break_230_volts_nor_breakers_12():
    typed = replace(GALLEY, runs=(replace(GALLEY.runs[0], fuse_family="Type C"), GALLEY.runs[1]))
    assert [one.severity for one in said(made(typed), "not made for 230 V")] == ["danger"]
    assert breaker_at(230).breaks_a(230) == 6000 and breaker_at(230).breaks_a(12) == 0
    assert breaker_at(120).name == "NEC breaker" and not set(breakers()) & set(families())
    assert smallest_family(12.0, 12.0, 0.0)[0].name in families()


def test_what_is_not_checked_is_said_once():
    second = replace(GALLEY, name="Desk", taps=())
    [told] = said(made(GALLEY, second), "Not checked")
    assert told.severity == "note" and "Galley, Desk: 230 V" in told.message
    for word in ("protective earth", "neutral and earth", "residual-current", "power factor"):
        assert word in told.message
    assert "licensed person" in told.advice
    assert not said(made(Circuit("Lamps", runs=(Run(),), taps=(Tap("Lamp"),))), "Not checked")


def test_loads_hang_where_their_current_fits():
    whole = made(
        GALLEY, Circuit("Lamps", runs=(Run("", "a"),)), loads=(KETTLE, GRINDER, replace(LAMP, circuit="Galley"))
    )
    assert [one.where for one in said(whole, "cannot hang behind the inverter")] == ["loads/2/circuit"]
    named = made(replace(GALLEY, taps=()), loads=(replace(KETTLE, circuit="galley"), GRINDER, LAMP))
    assert [(load.name, load.point) for load in galley(named).wired.circuit.loads] == [("Kettle", "socket 2")]
    assert named.wiring.unplaced == ("Lamp",)  # what runs through the inverter finds a socket


def test_a_load_on_the_inverter_loads_its_feed_and_not_the_panel():
    bare = made(Circuit("Lamps", runs=(Run("", "a"),), taps=(Tap("Lamp"),)))
    whole = made(GALLEY, Circuit("Lamps", runs=(Run("", "a"),), taps=(Tap("Lamp"),)))
    for key in ("inverter", "main"):
        assert whole.wiring.circuit(key).wired.running == bare.wiring.circuit(key).wired.running
    assert whole.wiring.panel_a == bare.wiring.panel_a


def test_papers_and_figures_of_a_circuit_behind_the_inverter():
    whole = made()
    job = job_of(whole)
    rows = [row for row in PAPERS["schedule"].rows(job) if row.circuit == "Galley"]
    assert [row.make for row in rows] == ["three-core"] * 2 and all("licensed" in row.note for row in rows)
    assert rows[0].drop_percent == pytest.approx(rows[0].drop_v / 230 * 100)
    items = [one.item for one in PAPERS["shopping"].rows(job)]
    assert "13 A breaker, double-pole, 230 V alternating" in items
    assert "Residual-current device, 30 mA, double-pole" in items
    assert not [item for item in items if "IEC breaker" in item]
    assert [item for item in items if item.startswith("3 x 1.5 mm2") and "300/500 V" in item]
    checks = [one for one in PAPERS["commissioning"].rows(job) if one.circuit == galley(whole).key]
    assert [one.expected_v for one in checks] == [None] and "licensed person" in checks[0].do
    [told] = [one for one in as_dict(whole)["wiring"]["circuits"] if one["name"] == "Galley"]
    assert told["fuse_a"] == 13 and 225 < told["points"][-1]["voltage_v"] < 230
    assert "Galley" in as_text(whole)


def test_the_inverter_limits_its_own_short_circuit():
    """4000 W of surge at 230 V: 17.4 A; twice the rated power where no surge is typed."""
    assert galley(made()).wired.short[1].most_a == pytest.approx(4000 / 230)
    assert galley(made(inverter=Inverter(True, 1000))).wired.short[1].most_a == pytest.approx(2000 / 230)
