"""What is said about a circuit: each rule broken once, and the repaired circuit silent about it."""

import re
from dataclasses import replace
from random import Random

import pytest

from model.wiring.circuit import Contact, PointLoad, Protection, Run, Source
from model.wiring.conductors import conductor
from model.wiring.contacts import derated_a
from model.wiring.fault import fault_at
from model.wiring.findings import findings
from model.wiring.wired import wired
from tests.model.wiring.circuits import FEED, one_circuit, one_run, random_tree

BATTERY = Source("feed", "battery", 12.0, 12.8, 12.0, 13.6, ohm_least=0.002, ohm_most=0.006)
FULL = Contact("plug", "end", 10.0, loaded=8, poles=8)
FUSED = one_run(length_m=1.5, protection=Protection())


def amps(current_a, point="a", **more):
    return PointLoad("load", point, current_a, 1.0, law="current", **more)


def said(circuit, where="", severity=None):
    """The findings whose field contains `where`."""
    return [
        one for one in findings(wired(circuit)) if where in one.where and (severity is None or one.severity == severity)
    ]


def test_a_circuit_that_the_program_has_sized_is_silent():
    assert said(one_circuit(FUSED, amps(5))) == []


# What is wrong, the field that is named, how loudly; and a repair that silences it.
CASES = {
    "no fuse": (
        one_circuit(one_run(), amps(5)), "runs/0/protection", "danger", one_circuit(FUSED, amps(5)),
    ),
    "fuse above the cable": (
        one_circuit(replace(FUSED, conductor=conductor("AWG", "18"), protection=Protection(rating_a=30)), amps(5)),
        "runs/0/conductor", "danger",
        one_circuit(replace(FUSED, conductor=conductor("AWG", "18"), protection=Protection(rating_a=20)), amps(5)),
    ),
    "load above the fuse": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=5)), amps(6)), "protection/rating_a", "danger",
        one_circuit(replace(FUSED, protection=Protection(rating_a=7.5)), amps(6)),
    ),
    "fuse hardly above the load": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=7.5)), amps(7)), "protection/rating_a", "warning",
        one_circuit(replace(FUSED, protection=Protection(rating_a=10)), amps(7)),
    ),
    "start that blows the fuse": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=7.5)), amps(5, start_a=30)), "protection/rating_a", "warning",
        one_circuit(FUSED, amps(5, start_a=30)),
    ),
    "start that blows a large fuse": (
        one_circuit(replace(FUSED, protection=Protection(125, "SF51")), amps(100, start_a=260)),
        "protection/rating_a", "warning",
        one_circuit(replace(FUSED, protection=Protection(125, "SF51")), amps(100, start_a=240)),
    ),
    "no standard fuse is large enough": (
        one_circuit(FUSED, amps(500)), "protection/rating_a", "danger", one_circuit(FUSED, amps(5)),
    ),
    "fuse above its holder": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=30, holder_a=20)), amps(5)), "protection/holder_a", "danger",
        one_circuit(replace(FUSED, protection=Protection(rating_a=30, holder_a=30)), amps(5)),
    ),
    "warm holder": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=30, holder_a=30)), amps(24.5)),
        "protection/holder_a", "warning",
        one_circuit(replace(FUSED, protection=Protection(rating_a=30, holder_a=30)), amps(23.5)),
    ),
    "fuse far from the battery": (
        one_circuit(replace(FUSED, protection=Protection(distance_m=0.3)), amps(5), source=BATTERY),
        "protection/distance_m", "danger",
        one_circuit(replace(FUSED, protection=Protection(distance_m=0.3, sheathed=True)), amps(5), source=BATTERY),
    ),
    "fuse that the short burns through": (
        one_circuit(replace(FUSED, protection=Protection(family="Type C")), amps(5), source=BATTERY),
        "protection/family", "danger",
        one_circuit(replace(FUSED, protection=Protection(interrupting_a=10_000)), amps(5), source=BATTERY),
    ),
    "fuse behind a panel that the short burns through": (
        one_circuit(FUSED, amps(5), source=replace(FEED, ohm_least=0.004)), "protection/family", "warning",
        one_circuit(FUSED, amps(5)),
    ),
    "fuse not made for the voltage": (
        one_circuit(
            replace(FUSED, protection=Protection(family="Type C")), amps(5),
            source=replace(FEED, nominal_v=48.0, running_v=51.0, low_v=48.0, full_v=57.0, ohm_least=0.1),
        ),
        "protection/family", "danger",
        one_circuit(FUSED, amps(5), source=replace(FEED, nominal_v=48.0, running_v=51.0, low_v=48.0, full_v=57.0, ohm_least=0.1)),
    ),
    "unknown fuse family": (
        one_circuit(replace(FUSED, protection=Protection(family="wire")), amps(5)), "protection/family", "warning",
        one_circuit(FUSED, amps(5)),
    ),
    "unknown short circuit": (
        one_circuit(FUSED, amps(5), source=replace(FEED, ohm_least=None)), "source", "warning", one_circuit(FUSED, amps(5)),
    ),
    "far end that hardly blows the fuse": (
        one_circuit(replace(FUSED, length_m=30.0, protection=Protection(rating_a=20)), amps(0.5)), "protection", "warning",
        one_circuit(replace(FUSED, length_m=10.0, protection=Protection(rating_a=3)), amps(0.5)),
    ),
    "drop": (
        one_circuit(replace(FUSED, conductor=conductor("AWG", "16")), amps(5, drop_limit=0.01)), "loads/0/point", "warning",
        one_circuit(FUSED, amps(5, drop_limit=0.01)),
    ),
    "cut-out at the start": (
        one_circuit(FUSED, amps(5, start_a=12, cut_out_v=11.8)), "loads/0/cut_out_v", "warning",
        one_circuit(FUSED, amps(5, start_a=12, cut_out_v=10.5)),
    ),
    "no operating point": (
        one_circuit(replace(FUSED, length_m=60.0, conductor=conductor("AWG", "18")), PointLoad("x", "a", 100.0, 12.0)),
        "runs", "danger",
        one_circuit(FUSED, PointLoad("x", "a", 100.0, 12.0)),
    ),
    "no operating point at the start": (
        one_circuit(replace(FUSED, length_m=20.0, conductor=conductor("AWG", "18")), amps(1, start_a=40)), "runs", "warning",
        one_circuit(replace(FUSED, length_m=2.0, conductor=conductor("AWG", "18")), amps(1, start_a=2)),
    ),
    "too thick for any cable": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=500)), amps(380)), "runs/0/conductor", "danger",
        one_circuit(replace(FUSED, protection=Protection(rating_a=400)), amps(300)),
    ),
    "thin cable": (
        one_circuit(replace(FUSED, conductor=conductor("AWG", "22"), protection=Protection(rating_a=2)), amps(0.02)),
        "runs/0/conductor", "warning",
        one_circuit(replace(FUSED, conductor=conductor("AWG", "18"), protection=Protection(rating_a=2)), amps(0.02)),
    ),
    "unknown insulation": (
        one_circuit(replace(FUSED, insulation_c=50.0), amps(1)), "insulation_c", "danger", one_circuit(FUSED, amps(1)),
    ),
    "too hot a place": (
        one_circuit(replace(FUSED, insulation_c=75.0, ambient_c=75.0), amps(1)), "ambient_c", "danger",
        one_circuit(replace(FUSED, insulation_c=105.0, ambient_c=75.0), amps(1)),
    ),
    "contact above its rating": (
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 4.0),)), amps(5)), "contacts/0/rating_a", "danger",
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 10.0),)), amps(5)),
    ),
    "fuse above a contact": (
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 6.0),)), amps(5)), "contacts/0/rating_a", "danger",
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 7.5),)), amps(5)),
    ),
    "fuse above many loaded contacts": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=5), contacts=(FULL,)), amps(2)),
        "contacts/0/loaded", "warning",
        one_circuit(replace(FUSED, protection=Protection(rating_a=3), contacts=(replace(FULL, rating_a=10.2),)), amps(2)),
    ),
    "fuse above a switch": (
        one_circuit(replace(FUSED, protection=Protection(rating_a=15), contacts=(Contact("switch", "start", 10.0),)), amps(5)),
        "contacts/0/rating_a", "danger",
        one_circuit(replace(FUSED, protection=Protection(rating_a=10), contacts=(Contact("switch", "start", 10.0),)), amps(5)),
    ),
    "many loaded contacts": (
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 10.0, loaded=8, poles=8),)), amps(5)),
        "contacts/0/loaded", "warning",
        one_circuit(replace(FUSED, contacts=(Contact("plug", "end", 20.0, loaded=2, poles=8),)), amps(5)),
    ),
    "chassis that nobody measured": (
        one_circuit(replace(FUSED, returns="chassis"), amps(1)), "chassis_ohm", "warning",
        one_circuit(replace(FUSED, returns="chassis", chassis_ohm=0.002), amps(1)),
    ),
}  # fmt: skip


@pytest.mark.parametrize(("wrong", "where", "severity", "repaired"), CASES.values(), ids=CASES)
def test_each_rule(wrong, where, severity, repaired):
    found = said(wrong, where, severity)
    assert found
    for one in found:
        assert one.message.endswith(".") and one.advice.endswith(".")
        assert not re.search(r"\b(safe|compliant|approved)\b", one.message + one.advice)
    assert said(repaired, where, severity) == []


def test_a_short_circuit_below_the_fuse_is_told_from_one_that_opens_it_late():
    thin = one_run(conductor=conductor("AWG", "18"), protection=Protection(rating_a=20))
    (never,) = said(one_circuit(replace(thin, length_m=30.0), amps(0.5)), "protection")
    assert "for ever" in never.message
    (late,) = said(one_circuit(replace(thin, length_m=4.0), amps(0.5)), "protection")
    assert "times the fuse's 20 A" in late.message


def test_no_ampacity_is_said_once():
    for ambient_c, wire in (
        (90.0, None),
        (82.0, None),
        (82.0, conductor("AWG", "18")),
    ):  # 85 °C counts in the column for 80 °C
        hot = one_circuit(replace(FUSED, conductor=wire, insulation_c=85.0, ambient_c=ambient_c), amps(1))
        assert [one.where for one in said(hot)] == ["circuits/c1/runs/0/ambient_c"]


def test_a_main_fuse_that_breaks_the_short_lowers_the_voice():
    """A blade fuse in a panel behind 3.6 kA: a warning, or a note where the main fuse in front of it breaks that."""
    behind = replace(FEED, ohm_least=0.004)
    assert [one.severity for one in said(one_circuit(FUSED, amps(5), source=behind))] == ["warning"]
    backed = replace(behind, backup_breaks_a=20_000.0)
    assert [one.severity for one in said(one_circuit(FUSED, amps(5), source=backed))] == ["note"]


@pytest.mark.parametrize(
    ("family", "short_a", "advice"),
    [
        ("ANL", 8_000, "terminal breaks 10000 A: one of 40 A"),
        ("ANL", 15_000, "Class T breaks 20000 A: one of 40 A"),
        ("Class T", 21_000, "No fuse listed breaks that"),
    ],
)
def test_advice_names_a_fuse_that_breaks_the_short_and_never_the_one_that_does_not(family, short_a, advice):
    """What each family breaks at 12 V: the table of fuses, with its sources."""
    battery = replace(BATTERY, ohm_least=BATTERY.full_v / short_a)
    (one,) = said(one_circuit(replace(FUSED, protection=Protection(family=family)), amps(5), source=battery), "family")
    assert one.severity == "danger" and one.advice.startswith(advice)


def test_a_thinner_branch_without_its_own_fuse_is_named_with_both_cures():
    """A tap of 18 AWG on a circuit of 30 A: the tap is the error, not the trunk."""
    runs = (
        Run("feed", "m", 1.0, conductor("AWG", "10"), protection=Protection(rating_a=30)),
        Run("m", "a", 1.0, conductor("AWG", "18")),
    )
    (one,) = said(one_circuit(runs=runs, loads=(amps(2),)), "conductor")
    assert one.where == "circuits/c1/runs/1/conductor"
    assert "m to a" in one.message and "bears 20 A" in one.message and "20 A" in one.advice and "30 A" in one.advice
    with_fuse = (runs[0], replace(runs[1], protection=Protection()))
    assert said(one_circuit(runs=with_fuse, loads=(amps(2),)), "conductor") == []


def test_a_family_that_breaks_more_is_not_chosen_where_its_smallest_fuse_is_too_much_for_a_branch():
    """On a bus bar with 3.4 kA: bolted fuses begin at 30 A (ISO 8820-5), 1.5 mm2 at 30 °C bears 25.2 A; blade fuses stay."""
    runs = (
        Run("feed", "m", 1.0, None, protection=Protection()),
        Run("m", "a", 1.0, conductor("mm2", "1.5")),
    )
    strong = replace(FEED, kind="bus bar", ohm_least=0.004, backup_breaks_a=20_000.0)
    circuit = replace(one_circuit(runs=runs, loads=(amps(13),), source=strong), family="mm2")
    assert wired(circuit).circuit.runs[0].protection.rating_a == 20
    assert [one.severity for one in said(circuit) if "bears" in one.message] == []
    without = replace(circuit, runs=(runs[0], replace(runs[1], conductor=None)))
    assert wired(without).circuit.runs[0].protection.rating_a == 30  # and the branch becomes as thick as it asks


def test_the_weakest_short_circuit_behind_a_fuse_is_the_one_named():
    """Two branches behind one fuse of 20 A: 3 m and 40 m of 18 AWG, of which only the long one hardly blows it."""
    thin = conductor("AWG", "18")
    runs = (
        Run("feed", "m", 1.0, conductor("AWG", "12"), protection=Protection(rating_a=20)),
        Run("m", "near", 3.0, thin),
        Run("m", "far", 40.0, thin),
    )
    for order in (runs, (runs[0], runs[2], runs[1])):
        (one,) = said(one_circuit(runs=order, loads=()), "protection")
        assert "at far draws" in one.message


def starter_link(start, end):
    """A cable between the house battery and an alternator, with a fuse at either end, or none."""
    run = Run("feed", "starter", 4.0, conductor("AWG", "4"), protection=start, end_protection=end)
    charge = Source("starter", "alternator", 12.0, 14.2, 13.8, 14.4, ohm_least=0.003, ohm_most=0.006)
    return one_circuit(runs=(run,), loads=(), source=BATTERY, others=(charge,))


def test_a_cable_with_a_source_at_each_end_needs_a_fuse_at_each_end():
    fuse = Protection(rating_a=125, family="terminal")
    assert said(starter_link(fuse, fuse)) == []
    from_battery = said(starter_link(None, fuse), "", "danger")
    assert len(from_battery) == 1 and "4.00 m after the battery" in from_battery[0].message
    from_alternator = said(starter_link(fuse, None), "", "danger")
    assert len(from_alternator) == 1 and "4.00 m after the alternator" in from_alternator[0].message
    bare = said(starter_link(None, None), "", "danger")
    assert {one.where for one in bare} == {"circuits/c1/runs/0/protection", "circuits/c1/runs/0/end_protection"}


def test_a_fuse_too_large_for_the_cable_is_found_from_either_end():
    large, fuse = Protection(rating_a=200, family="terminal"), Protection(rating_a=125, family="terminal")
    (one,) = said(starter_link(fuse, large), "conductor", "danger")
    assert "200 A" in one.message


def test_a_source_that_cannot_give_more_than_the_cable_bears_needs_no_fuse():
    small = Source("a", "charger", 12.0, 14.4, 14.4, 14.4, limited_a=15.0)
    run = one_run(conductor=conductor("AWG", "14"), protection=Protection(rating_a=20))
    assert said(one_circuit(run, loads=(), others=(small,))) == []
    strong = replace(small, limited_a=60.0)
    assert said(one_circuit(run, loads=(), others=(strong,)), "end_protection", "danger")


def test_contacts_by_the_share_that_is_loaded():
    """A connector maker's specification (address withheld): 50 % loaded 0.428, all 0.297 of the single rating."""
    assert derated_a(Contact("plug", "end", 10.0, loaded=4, poles=8)) == pytest.approx(4.28)
    assert derated_a(Contact("plug", "end", 10.0, loaded=8, poles=8)) == pytest.approx(2.97)
    assert derated_a(Contact("plug", "end", 10.0, loaded=2, poles=2)) == 10.0
    assert derated_a(Contact("plug", "end", 10.0, loaded=1, poles=8)) == 10.0


def test_short_it_anywhere():
    """13.6 V over 2 mohm and 10 AWG at 20 °C, 3.343 mohm/m both ways; the branch has a fuse of its own."""
    runs = (
        Run("feed", "m", 2.0, conductor("AWG", "10"), protection=Protection(rating_a=40, family="terminal")),
        Run("m", "a", 3.0, conductor("AWG", "18"), protection=Protection(rating_a=5, family="Type C")),
        Run("m", "b", 3.0, conductor("AWG", "10")),
    )
    one = wired(one_circuit(runs=runs, loads=(amps(2),), source=BATTERY))
    at_m, at_a, at_b = (fault_at(one, one.shape.place[name]) for name in ("m", "a", "b"))
    assert at_m.most_a == pytest.approx(13.6 / (0.002 + 4 * 3.3426e-3), rel=1e-4)
    assert at_a.most_a == pytest.approx(13.6 / (0.002 + 4 * 3.3426e-3 + 6 * 21.3667e-3), rel=1e-4)
    assert at_a.least_a < 12.8 / (0.006 + 4 * 3.3426e-3 + 6 * 21.3667e-3)
    assert (at_m.run, at_m.rating_a, at_m.breaks_a, at_m.can_break) == (0, 40, 10_000, True)
    assert (at_a.run, at_a.rating_a, at_a.can_break) == (1, 5, True)
    assert (at_b.run, at_b.end, at_b.rating_a) == (0, "start", 40)
    assert at_a.times_rating == pytest.approx(at_a.least_a / 5)
    assert fault_at(one, 0).rating_a is None and fault_at(one, 0).most_a == pytest.approx(6800)
    assert at_a.at_fuse_a == pytest.approx(at_m.most_a)


@pytest.mark.parametrize("seed", range(30))
def test_load_fuse_and_the_weakest_part_on_every_step_of_every_path(seed):
    """By a plain walk from the source: where load <= fuse <= conductor, holder, connector and switch fails, a finding names the
    step, and where it holds nothing of that kind is said."""
    dice = Random(seed)
    bare = random_tree(seed, 25)
    runs = []
    for run in bare.runs:
        contacts = (Contact("switch", "start", dice.choice((5.0, 200.0))),) if dice.random() < 0.3 else ()
        fuse = Protection(
            rating_a=dice.choice((5, 20, 60)), family="terminal", holder_a=dice.choice((None, 30.0, 100.0))
        )
        has_fuse = run.start == "feed" or dice.random() < 0.2
        runs.append(replace(run, contacts=contacts, protection=fuse if has_fuse else None))
    one = wired(replace(bare, runs=tuple(runs)))
    strict = {
        (said.where.split("/runs/")[1])
        for said in findings(one)
        if said.severity == "danger" and "/runs/" in said.where
    }
    in_front = {one.circuit.source.point: float("inf")}
    for index in one.shape.order:  # a point comes before all beyond it
        run, sized = one.circuit.runs[index], one.runs[index]
        rating_a = min(in_front[run.start], run.protection.rating_a if run.protection else float("inf"))
        in_front[run.end] = rating_a
        assert (f"{index}/conductor" in strict) == (rating_a > sized.allowed_a + 1e-6)
        for number, contact in enumerate(run.contacts):
            wrong = rating_a > contact.rating_a or one.running.current_a[index] > contact.rating_a
            assert (f"{index}/contacts/{number}/rating_a" in strict) == wrong
        if run.protection is not None:
            holder_a, fuse_a = run.protection.holder_a, run.protection.rating_a
            assert (f"{index}/protection/holder_a" in strict) == (holder_a is not None and fuse_a > holder_a)
            assert (f"{index}/protection/rating_a" in strict) == (one.running.current_a[index] > fuse_a + 1e-6)


def test_advice_names_only_what_the_load_allows():
    """A fuse of its own where the trunk's load forbids a smaller one there; neither where the part's own load is too much."""
    runs = (
        Run("feed", "m", 1.0, conductor("mm2", "16"), protection=Protection(rating_a=30, family="Type C")),
        Run("m", "a", 1.0, conductor("mm2", "0.75"), contacts=(Contact("plug", "end", 10.0),)),
        Run("m", "b", 1.0, conductor("mm2", "16")),
    )

    def advice(light_a, heavy_a, part):
        circuit = one_circuit(runs=runs, loads=(amps(light_a), amps(heavy_a, "b")))
        return [one.advice for one in said(circuit, part) if "30 A pass" in one.message]

    assert advice(1, 20, "runs/1/conductor")[0].startswith("A fuse of 16.4 A at most, of its own")
    assert advice(1, 5, "runs/1/conductor")[0].startswith("A fuse of 16.4 A at most, here or there")
    assert advice(14, 5, "runs/1/conductor")[0].startswith("A cable that bears 30 A: its load with reserve is 17.5 A")
    assert advice(1, 20, "contacts")[0].startswith("A fuse of 10 A at most, of its own")
    assert advice(9, 5, "contacts")[0].startswith("A larger contact: its load with reserve is 11.2 A")
    assert advice(12, 5, "contacts") == []  # the contact melts by its load alone, and that is said
    assert [one.severity for one in said(one_circuit(runs=runs, loads=(amps(12),)), "contacts")] == ["danger"]


def test_a_load_that_no_fuse_passes_is_one_cause_and_not_four():
    """Bolted fuses of the list end at 400 A: the cable is not also said to lie without protection."""
    battery = replace(BATTERY, ohm_least=0.0009)
    told = said(one_circuit(one_run(protection=Protection()), amps(500), source=battery), severity="danger")
    assert ["no standard fuse" in one.message or "thickest" in one.message for one in told] == [True, True]
    bare = said(one_circuit(one_run(), amps(50), source=battery), severity="danger")
    assert any("nothing protects" in one.message for one in bare)


def test_a_thick_cable_names_the_fuse_that_makes_it_thick():
    """A lamp behind a fuse of 150 A wants its own fuse, not 35 mm2; a panel's way takes 10 mm2: common practice, no source."""
    trunk = Run("feed", "m", 1.0, None, protection=Protection(rating_a=150, family="ANL"))
    light = Run("m", "a", 1.0, None)
    circuit = replace(one_circuit(runs=(trunk, light), loads=(amps(2),), source=BATTERY), family="mm2")
    (one,) = said(circuit, "runs/1", "note")
    assert "lets 150 A pass" in one.message and "2.5 A" in one.message
    own = replace(circuit, runs=(trunk, replace(light, protection=Protection())))
    assert said(own, "runs/1", "note") == []
    panel = replace(
        circuit, source=FEED, runs=(replace(trunk, conductor=conductor("mm2", "16")),), loads=(amps(2, "m"),)
    )
    assert ["hardly fits" in one.message for one in said(panel, "conductor", "note")] == [True]
    assert said(replace(panel, runs=(replace(trunk, conductor=conductor("mm2", "10")),)), "conductor", "note") == []


def test_a_chassis_return_of_many_runs_is_said_once():
    runs = tuple(
        replace(FUSED if not at else one_run(), start=f"p{at}", end=f"p{at + 1}", returns="chassis") for at in range(4)
    )
    runs = (replace(runs[0], start="feed"), *runs[1:])
    (one,) = said(one_circuit(runs=runs, loads=(amps(1, "p4"),)), "chassis_ohm")
    assert "feed to p1 and 3 more" in one.message
