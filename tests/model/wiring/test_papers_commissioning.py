"""The commissioning sheet: in the order that harms nothing, with the volts of this design."""

from dataclasses import replace

import pytest

from model.design import Array, Battery, Design, Generator, Inverter, Module, Shore
from model.plan import plan
from model.record.papers import job_of
from model.record.words import CAUTIONS
from model.storage.handing_over import links
from model.wiring.circuit import PointLoad
from model.wiring.conductors import conductor
from model.wiring.metering import amps_tolerance_a, drop_tolerance_v, volts_tolerance_v
from model.wiring.papers import PAPERS, Job
from model.wiring.papers.commissioning import circuit_checks, commissioning, pull_force_n
from model.wiring.papers.switching import switch_on, switching_off
from tests.model.wiring.circuits import FEED, one_circuit, one_run
from tests.model.wiring.jobs import circuit_plan, wiring_plan

BATTERY = replace(FEED, kind="battery", point="battery")


def of_kind(kind, **more):
    run = one_run(start="battery", conductor=conductor("mm2", "16"))
    return circuit_plan(one_circuit(run, key=kind, name=kind, source=BATTERY), kind=kind, **more)


def whole(*kinds):
    design = Design(module=Module(voc_v=22.5), array=Array(in_series=2))
    return Job(wiring_plan(*(of_kind(kind) for kind in kinds)), design)


def position(job, words):
    return next(at for at, check in enumerate(switch_on(job)) if words in check.do)


def test_the_order_of_switching_on():
    job = whole("main", "controller", "array", "inverter", "alternator", "charger", "loads")
    order = ["Main switch open", "all positives", "Polarity before", "the main fuse, the last", "Close the main switch"]
    order += [
        "Solar controller: battery side first",
        "Array, uncovered",
        "Inverter off: pre-charge",
        "Fuses of the circuits",
    ]
    found = [position(job, words) for words in order]
    assert found == sorted(found) and len(set(found)) == len(found)
    array = switch_on(job)[position(job, "Array, uncovered")]
    assert array.expected_v == pytest.approx(45.0)  # two modules of 22.5 V in series
    polarity = switch_on(job)[position(job, "Polarity before")]
    low, high = polarity.expected_v - polarity.tolerance_v, polarity.expected_v + polarity.tolerance_v
    assert (low, high) == (pytest.approx(BATTERY.low_v), pytest.approx(BATTERY.full_v))


def test_switching_off_is_the_way_back():
    off = switching_off(whole("main", "controller", "array", "inverter", "loads"))
    heads = [
        "Switch the loads off",
        "Switch the inverter off",
        "The array from",
        "Then the controller",
        "Open the main switch",
    ]
    assert [next(at for at, text in enumerate(off) if text.startswith(head)) for head in heads] == [0, 1, 2, 3, 4]
    assert not any("inverter" in text for text in switching_off(whole("main")))
    assert not any("ontroller" in check.do for check in switch_on(whole("main")))


def test_the_links_of_the_bank_stand_on_the_sheet_before_the_main_fuse():
    """Two units in series and two strings: the links are those that the battery's own paper has, word for word."""
    made = plan(Design(battery=Battery(chemistry="AGM", unit_v=6.0, unit_ah=220.0, installed_ah=440.0)))
    job = job_of(made)
    sheet = [check.do for check in commissioning(job)]
    bank = links(made.storage.chosen)
    at = sheet.index(bank[0])
    assert sheet[at : at + len(bank)] == list(bank)
    assert at + len(bank) <= next(n for n, do in enumerate(sheet) if "the main fuse, the last" in do)
    card = next(check.do for check in commissioning(job) if check.section == "stored")
    assert "AGM" in card and "full, and charged again" in card


def test_volts_and_amps_under_a_named_load():
    """4 A over 16 mm2 of 1.21 ohm/km (IEC 60228, class 5), 3 m out and back: 29 mV at 20 °C."""
    run = one_run(conductor=conductor("mm2", "16"), ambient_c=20.0)
    load = PointLoad("pump", "a", 48.0, 12.0, law="current")
    first, far = circuit_checks(circuit_plan(one_circuit(run, load)))
    assert "test load pump" in first.do and first.reading == far.reading == ""
    assert first.expected_a == pytest.approx(4.0)
    assert first.expected_v - first.tolerance_v < 12.0 < 14.6 < first.expected_v + first.tolerance_v  # low to full
    assert far.expected_v == pytest.approx(12.8 - 4 * 6 * 1.21e-3, abs=2e-4)
    assert far.tolerance_v == pytest.approx(0.005 * 12.77 + 0.02 + 0.1 * 0.029, abs=1e-3)
    assert first.tolerance_a == pytest.approx(0.04 * 4 + 0.02)


def test_what_charges_shows_a_drop_and_no_current():
    (check,) = circuit_checks(of_kind("controller"))
    assert check.expected_a is None and check.expected_v < 0.1 and "while it charges" in check.do


def test_no_operating_point_is_said():
    impossible = PointLoad("heater", "a", 5000.0, 12.0)
    run = one_run(length_m=20.0, conductor=conductor("mm2", "1"))
    (check,) = circuit_checks(circuit_plan(one_circuit(run, impossible)))
    assert "no voltage" in check.do and check.expected_v is None


def test_tolerances_add_up():
    assert volts_tolerance_v(12.0, 0.5) == pytest.approx(0.06 + 0.02 + 0.05)
    assert drop_tolerance_v(0.5) == pytest.approx(0.07)
    assert amps_tolerance_a(10.0) == pytest.approx(0.42)


@pytest.mark.parametrize(
    ("family", "size", "force_n"),
    [("AWG", "18", 89.0), ("AWG", "12", 311.5), ("AWG", "1/0", 1112.5), ("AWG", "2/0", 1334.5), ("AWG", "4/0", None)],
)
def test_pull_forces(family, size, force_n):
    """A connector maker's application specification, as printed; 300 lbf are 1334.5 N."""
    assert pull_force_n(conductor(family, size)) == (None if force_n is None else pytest.approx(force_n))


def test_pull_forces_of_metric_sizes_lie_between():
    assert 222.5 < pull_force_n(conductor("mm2", "2.5")) < 311.5  # 2.20 mm2 of copper: between 14 and 12 AWG


def test_the_sheet_is_numbered_and_names_what_nobody_computes():
    metal = of_kind("main", through_metal=True)
    sheet = commissioning(Job(wiring_plan(metal), Design()))
    assert [check.number for check in sheet] == list(range(1, len(sheet) + 1))
    text = "\n".join(check.do for check in sheet)
    for word in (
        "grommet in every hole of main-1",
        "chafe",
        "crimp on 16 mm2",
        "Polarity at every",
        "torque",
        "500 km",
    ):
        assert word in text
    assert all(check.why for check in sheet)
    sections = list(dict.fromkeys(check.section for check in sheet))
    order = ["before you begin", "switch on", "circuit", "before the walls close", "later", "switch off"]
    assert sections == order  # the storage card follows where the battery is known


def test_the_sheet_ends_with_how_to_switch_off():
    job = whole("main", "controller", "array", "inverter", "loads")
    printed = [check.do for check in commissioning(job) if check.section == "switch off"]
    assert printed == list(switching_off(job)) and len(printed) > 5


def test_the_cautions_stand_on_the_sheet_before_everything_and_under_the_schedule():
    """Battery terminals, airbags and high voltage, chassis return, bonds of shore power and inverter, codes, licensed people."""
    sheet = commissioning(whole("main"))
    first = " ".join(check.do for check in sheet[:5])
    below = " ".join(PAPERS["schedule"].remarks)
    for word in (
        "Battery terminals",
        "airbag",
        "high-voltage",
        "Chassis return",
        "neutral and earth",
        "licensed",
        "codes prevail",
    ):
        assert word in first and word in below and word in " ".join(CAUTIONS)
    assert sheet[5].section == "switch on"


def test_no_promise_on_the_sheet():
    sheet = commissioning(whole("main"))
    text = " ".join(check.do for check in sheet)
    assert not [word for word in ("approved", "compliant", " safe") if word in text]


def test_one_bond_in_each_state_of_supply():
    """NEC 551.54, from memory: on shore none in the van, on the inverter one at the inverter, never both."""

    def bonds(**more):
        job = Job(wiring_plan(of_kind("main")), Design(**more))
        return [check.do for check in commissioning(job) if check.section == "bonds"]

    inverter, shore, generator = Inverter(True), Shore(2.0, 8.0, 20.0), Generator(hours_per_week=2.0)
    assert bonds() == []
    [alone] = bonds(inverter=inverter)
    assert alone.startswith("On the inverter") and "licensed" in alone
    assert [text.split(":")[0] for text in bonds(inverter=inverter, shore=shore, generator=generator)][:3] == [
        "On shore power", "On the inverter", "On the generator",
    ]  # fmt: skip
    assert "Changing over parts both" in bonds(inverter=inverter, shore=shore)[-1]
    assert not any("Changing" in text for text in bonds(shore=shore))


def test_joints_of_heavy_circuits_are_measured_and_their_heat_is_said():
    """P = U I: a millivolt at 60 A is 0.06 W."""
    run = one_run(start="battery", conductor=conductor("mm2", "16"))
    load = PointLoad("winch", "a", 60.0, 1.0, law="current")
    heavy = circuit_plan(one_circuit(run, load, key="winch", name="Winch", source=BATTERY), kind="inverter")
    [line] = [check for check in commissioning(Job(wiring_plan(heavy), Design())) if "lug to lug" in check.do]
    assert line.circuit == "winch" and "0.06 W" in line.do and line.expected_v + line.tolerance_v == pytest.approx(0.02)
    assert not [check for check in commissioning(whole("main")) if "lug to lug" in check.do]  # 60 W are 5 A
