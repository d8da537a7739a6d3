"""Fuses that let starts pass. By hand from ISO 8820-3 (a blade lasts 0.75 s at 135 %, from memory) and, for bolted ones, 200 %
(common practice, no source)."""

from dataclasses import replace

import pytest

from model.wiring.circuit import Contact, PointLoad, Protection, Run
from model.wiring.conductors import conductor
from model.wiring.findings import findings
from model.wiring.wired import wired
from model.wiring.working import steps
from tests.model.wiring.circuits import FEED, one_circuit, one_run


def amps(current_a: float, point: str = "a", **more: object) -> PointLoad:
    """A load that takes the same current at every voltage, so that sums can be done in the head."""
    return PointLoad(f"load at {point}", point, current_a, 1.0, law="current", **more)


def fused(load: PointLoad, family: str | None = "Type C", **changes: object):
    return wired(one_circuit(one_run(length_m=1.0, **{"protection": Protection(family=family), **changes}), load))


def rating_a(one, run: int = 0) -> float:
    return one.circuit.runs[run].protection.rating_a


def blows(one) -> bool:
    return any("while a load starts" in said.message for said in findings(one))


@pytest.mark.parametrize(
    ("lasting_a", "start_a", "family", "expected_a", "governs"),
    [
        (5, None, "Type C", 7.5, "lasting load"),  # 5 x 1.25 = 6.25
        (5, 10.1, "Type C", 7.5, "start"),  # 10.1 / 1.35 = 7.48: no larger one
        (5, 10.2, "Type C", 10, "start"),  # 10.2 / 1.35 = 7.56
        (5, 30, "Type C", 25, "start"),  # 30 / 1.35 = 22.2
        (5, 8, "Type C", 7.5, "lasting load"),  # 8 / 1.35 = 5.9 < 6.25
        (5, 54.1, "Type C", 7.5, "lasting load"),  # 54.1 / 1.35 = 40.07: type C ends at 40 A
        (40, 120, "SF51", 60, "start"),  # 120 / 2 = 60
        (40, 121, "SF51", 80, "start"),  # 60.5
        (40, 90, "SF51", 60, "lasting load"),  # 50 A; the family begins at 60
    ],
)
def test_rating_by_hand(lasting_a, start_a, family, expected_a, governs):
    one = fused(amps(lasting_a, start_a=start_a), family)
    assert rating_a(one) == expected_a
    table = {step.key: step for step in steps(one)}
    assert table["wiring.c1.run.0.start.fuse_a"].formula.startswith(f"{governs} governs")
    assert blows(one) == (start_a == 54.1)
    assert one.runs[0].allowed_a >= expected_a  # the conductor grew with it


def test_of_two_starters_the_worse_counts_with_the_other_running():
    """4 A and 6 A on one fuse; 20 A + 6 A or 4 A + 16 A: 26 / 1.35 = 19.3 -> 20 A. Beyond the branch 16 / 1.35 = 11.9 -> 15 A."""
    runs = (
        Run("feed", "a", 1.0, protection=Protection(family="Type C")),
        Run("a", "b", 1.0, protection=Protection(family="Type C")),
    )
    one = wired(one_circuit(runs=runs, loads=(amps(4, start_a=20), amps(6, "b", start_a=16))))
    assert one.starting_a == pytest.approx((26, 16))
    assert (rating_a(one), rating_a(one, 1)) == (20, 15) and not blows(one)
    table = {step.key: step for step in steps(one)}
    assert table["wiring.c1.run.1.starting_a"].value == pytest.approx(16)
    assert "wiring.c1.run.1.starting_a" in table["wiring.c1.run.1.start.fuse_a"].uses


def test_a_start_on_a_low_battery_pulls_the_others_down():
    """A lamp of 60 W beside the pump takes 60 W / (its volts at the start), by Ohm's law, not 60 W / 12.8 V."""
    runs = (Run("feed", "a", 4.0, conductor=conductor("AWG", "8"), protection=Protection(family="Type C")),)
    one = wired(one_circuit(runs=runs, loads=(amps(1, start_a=30), PointLoad("lamp", "a", 60.0, 12.0))))
    there_v = FEED.low_v - one.starting_a[0] * (FEED.ohm_most + one.starting.ohm[0])
    assert one.starting.volts[1] == pytest.approx(there_v)
    assert one.starting_a[0] == pytest.approx(30 + 60 / there_v)
    assert rating_a(one) == 30  # (30 + 5.4) / 1.35 = 26.2


@pytest.mark.parametrize(
    "weak",
    [
        {"conductor": conductor("AWG", "18")},  # bears 20 A at 30 °C: 33 CFR 183.425, table 5
        {"contacts": (Contact("plug", "end", 15.0),)},
        {"protection": Protection(family="Type C", holder_a=20.0)},
        {"end_bears_a": 20.0},
        {"ambient_c": 104.9},  # a boiler room where even the thickest bears some 18 A
    ],
)
def test_what_lies_behind_it_is_never_asked_to_bear_more(weak):
    """30 A / 1.35 = 22.2 A would be 25 A; the fuse for 6.25 A stays, and the finding."""
    one = fused(amps(5, start_a=30), **weak)
    assert rating_a(one) == 7.5 and blows(one)
    assert not any(said.severity == "danger" for said in findings(one))
    formula = next(step.formula for step in steps(one) if step.key.endswith("fuse_a"))
    assert formula.startswith("lasting load governs") and "30 A / 1.35 = 22.22 A" in formula


def test_behind_a_fuse_of_its_own_a_thin_conductor_limits_no_other():
    """18 AWG behind its own fuse of 7.5 A does not keep the trunk's fuse from 25 A: (30 + 2) / 1.35 = 23.7."""
    runs = (
        Run("feed", "a", 1.0, protection=Protection(family="Type C")),
        Run("a", "b", 1.0, conductor=conductor("AWG", "18"), protection=Protection(family="Type C")),
    )
    one = wired(one_circuit(runs=runs, loads=(amps(5, start_a=30), amps(2, "b"))))
    assert (rating_a(one), rating_a(one, 1)) == (25, 3)
    bare = wired(one_circuit(runs=(runs[0], replace(runs[1], protection=None)), loads=one.circuit.loads))
    assert rating_a(bare) == 10 and blows(bare)  # 7 x 1.25 = 8.75


def test_without_a_family_the_slow_one_wins_where_it_is_smaller():
    """42 A x 1.25 = 52.5 A. A start of 76 A: blades from 56.3 A, bolted ones from 52.5: 60 A either way."""
    assert rating_a(fused(amps(42, start_a=76), None)) == 60
    one = fused(amps(42, start_a=110), None)  # blades from 81.5: none; bolted from 55
    assert rating_a(one) == 60 and one.circuit.runs[0].protection.family == "SF30"


def test_typed_ratings_stay_and_are_told():
    one = fused(amps(5, start_a=30), protection=Protection(10.0, "Type C"))
    assert rating_a(one) == 10 and blows(one)
