"""Schedule, labels, cut list, shopping list, ways and copper: nothing is lost between one paper and the next."""

from collections import Counter
from dataclasses import replace
from itertools import product
from math import ceil
from random import Random

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from model import shelf
from model.design import Design
from model.plan import plan as plan_of
from model.record.files import open_design
from model.wiring.circuit import Contact, Protection
from model.wiring.conductors import conductor
from model.wiring.papers import PAPERS, Job
from model.wiring.papers.cables import awg, cables
from model.wiring.papers.copper import copper, copper_kg
from model.wiring.papers.cut_list import cut_list
from model.wiring.papers.labels import LONGEST, label_lines, label_text, labels, short_keys, shortened
from model.wiring.papers.packing import packed
from model.wiring.papers.schedule import schedule
from model.wiring.papers.shopping import fuses, shopping
from model.wiring.papers.ways import fuse_colour, ways
from tests.model.wiring.circuits import FEED, one_circuit, one_run, random_tree
from tests.model.wiring.jobs import circuit_plan, wiring_plan


def random_plan(seed):
    """Three circuits, one of them with a chassis return and metal to pass."""
    parts = [circuit_plan(random_tree(seed + at, 40), jacket=("", "blue", "grey")[at]) for at in range(2)]
    chassis = replace(one_run(length_m=2.0, returns="chassis"), conductor=conductor("mm2", "4"))
    third = circuit_plan(one_circuit(chassis, key="main", name="Main"), kind="main", through_metal=True)
    return wiring_plan(*parts, third)


@given(st.integers(0, 10_000))
@settings(max_examples=15, deadline=None)
def test_nothing_is_lost_between_the_papers(seed):
    plan = random_plan(seed)
    rows, spools, items = schedule(plan), cut_list(plan), shopping(plan)
    runs = [(circuit.key, at) for circuit in plan.circuits for at in range(len(circuit.wired.circuit.runs))]
    assert [row.id for row in rows] == [f"{key}-{at + 1}" for key, at in runs]  # every run once
    conductors = {"two-core": 1, "two singles": 2, "one single": 1, "none": 0}
    to_cut = sum(row.cut_m * conductors[row.make] for row in rows)
    assert sum(spool.used_m for spool in spools) == pytest.approx(to_cut, abs=1e-9)
    assert sum(item.quantity for item in items if item.kind == "cable") == pytest.approx(to_cut, abs=1e-9)
    pieces = Counter((piece.cable, piece.pole) for spool in spools for piece in spool.pieces)
    assert set(pieces.values()) <= {1} and len(pieces) == sum(conductors[row.make] for row in rows)
    assert sum(item.spools for item in items if item.kind == "cable") == len(spools)
    assert all(spool.used_m <= spool.length_m + 1e-9 for spool in spools)
    assert next(item.quantity for item in items if item.kind == "label") == 2 * len(pieces) == len(labels(plan))
    in_use = sum(item.quantity for item in items if item.kind == "fuse")
    assert in_use == sum((row.fuse_start_a is not None) + (row.fuse_end_a is not None) for row in rows)
    assert copper(plan)[-1].length_m == pytest.approx(to_cut, abs=1e-9)


NAMES = st.text(min_size=1, max_size=30)
KEYS = st.text(st.characters(categories=["L", "N"]), min_size=1, max_size=24)


@given(st.integers(0, 10_000), st.lists(KEYS, min_size=3, max_size=3, unique=True), NAMES)
@settings(max_examples=40, deadline=None)
@example(1, ["controller", "controller2", "controller twelve letters"], "Ceiling lamp row on the left")
def test_labels_are_short_and_unique_whatever_the_names(seed, keys, point):
    circuits = []
    for key in keys:
        one = random_tree(seed, 12)
        runs = tuple(replace(run, end=f"{point} {run.end}", start=_far(point, run.start)) for run in one.runs)
        circuits.append(circuit_plan(replace(one, key=key, runs=runs, loads=())))
    texts = label_lines(wiring_plan(*circuits))
    assert len(texts) == len(set(texts)) > 0
    assert all(len(text) <= LONGEST and "\n" not in text for text in texts)


def _far(point, start):
    return start if start == "feed" else f"{point} {start}"


def test_the_words_of_labels():
    assert label_text("L1-2", ">", "Lamp 3", "") == "L1-2>Lamp 3"
    assert label_text("L1-2", ">", "Ceiling lamps 3", "") == "L1-2>Ceiling l 3"
    assert label_text("L1-2", "<", "Fuse panel", "-") == "L1-2<Fuse pane -"
    assert shortened("Ceiling lamp left 12", 10) == "Ceiling 12"
    assert short_keys(("main", "alternator", "alternator2", "L12")) == {
        "main": "main",
        "alternator": "alt",
        "alternator2": "alt2",
        "L12": "L12",
    }


def test_a_cable_by_hand():
    """Two metres of 6 mm2 in one jacket, three of 10 mm2 as two single conductors; slack 0.3 m at each end."""
    thin = one_run(length_m=2.0, conductor=conductor("mm2", "6"), contacts=(Contact("plug", "end", 15.0, pins="1 +"),))
    thick = one_run(start="a", end="b", length_m=3.0, conductor=conductor("mm2", "10"), protection=Protection(30.0))
    circuit = replace(one_circuit(), runs=(thin, thick), key="H1", name="Heater")
    row, other = schedule(wiring_plan(circuit_plan(circuit, jacket="white")))
    assert (row.id, row.make, row.colour, row.cut_m) == ("H1-1", "two-core", "white", pytest.approx(2.6))
    assert (row.connector_end, row.pins_end, row.label_start, row.label_end) == ("plug", "1 +", "H1-1>a", "H1-1<feed")
    assert (other.make, other.colour, other.cut_m) == ("two singles", "white / black", pytest.approx(3.6))
    assert other.label_start == "H1-2>b + / H1-2>b -"
    assert (other.fuse_start_a, other.protected_by_a, row.protected_by_a) == (30.0, 30.0, None)
    assert row.load_a == pytest.approx(60 / (12.8 - row.drop_v))  # 60 W, P = U I
    assert row.drop_percent == pytest.approx(row.drop_v / 12 * 100)


def test_a_run_without_length_has_no_cable_and_a_long_one_is_said():
    short = one_run(length_m=0.0)
    long = one_run(start="a", end="b", length_m=30.0, conductor=conductor("mm2", "2.5"))
    plan = wiring_plan(circuit_plan(replace(one_circuit(), runs=(short, long))))
    assert [(row.make, row.cut_m) for row in schedule(plan)] == [("none", 0.0), ("two-core", pytest.approx(30.6))]
    (spool,) = cut_list(plan)
    assert spool.number is None and "longer than a spool" in spool.note and spool.used_m == pytest.approx(30.6)
    (cable,) = [item for item in shopping(plan) if item.kind == "cable"]
    assert (cable.spools, cable.note) == (0, "in one piece: 30.60 m")


@pytest.mark.parametrize(
    ("family", "size", "same"),
    [("AWG", "12", "12"), ("mm2", "6", "8"), ("mm2", "2.5", "12"), ("SAE", "12", "12"), ("mm2", "120", "")],
)
def test_awg_with_as_much_copper(family, size, same):
    """6 mm2 of class 5 has 3.30 ohm/km (IEC 60228), as 5.33 mm2 of copper: a little more than 10 AWG's 5.26 (ASTM B258); 2.5 mm2
    has 2.20, more than 14 AWG's 2.08; SAE 12 has 5833 circular mils, less than 12 AWG's 6530; 120 mm2 exceeds 4/0."""
    assert awg(conductor(family, size)) == same


# Packing


def fewest(lengths, spool):
    """The true minimum by trying everything: pieces one by one onto every spool that holds them."""
    best = len(lengths)

    def place(at, left):
        nonlocal best
        if len(left) >= best:
            return
        if at == len(lengths):
            best = len(left)
            return
        for spot in range(len(left)):
            if left[spot] >= lengths[at]:
                place(at + 1, [*left[:spot], left[spot] - lengths[at], *left[spot + 1 :]])
        place(at + 1, [*left, spool - lengths[at]])

    place(0, [])
    return best


@given(st.lists(st.integers(1, 25), max_size=8))
@settings(max_examples=80, deadline=None)
def test_packing_keeps_its_known_bound(lengths):
    """First fit decreasing needs at most 11/9 of the fewest plus 6/9 (Dósa 2007)."""
    spools = packed([float(one) for one in lengths], 25.0)
    assert sorted(at for spool in spools for at in spool) == list(range(len(lengths)))
    assert all(sum(lengths[at] for at in spool) <= 25 for spool in spools)
    least = fewest(sorted(lengths, reverse=True), 25)
    assert least <= len(spools) <= 11 / 9 * least + 6 / 9


@pytest.mark.parametrize("seed", range(10))
def test_packing_of_spools_cut_at_random(seed):
    """Whole spools cut into pieces: the fewest is known without a search, and the sum of lengths is the lower bound."""
    dice, lengths, spools = Random(seed), [], 40
    for _ in range(spools):
        cuts = sorted(dice.randint(0, 250) for _ in range(dice.randint(1, 6)))
        lengths += [(b - a) / 10 for a, b in zip([0, *cuts], [*cuts, 250], strict=True) if b > a]
    assert ceil(sum(lengths) / 25.0 - 1e-9) == spools <= len(packed(lengths, 25.0)) <= 11 / 9 * spools + 1


def test_packing_refuses_what_fits_on_no_spool():
    with pytest.raises(ValueError, match="longer than the spool"):
        packed([3.0, 25.1], 25.0)


# Shopping, ways, copper


def guarded(key, rating_a, way=None, **more):
    run = one_run(protection=Protection(rating_a, family="Type C"), conductor=conductor("mm2", "2.5"))
    return circuit_plan(one_circuit(run, key=key, name=key, **more), way=way)


def test_the_shopping_list_of_five_pumps():
    plan = wiring_plan(*(guarded(f"P{at}", 10.0) for at in range(4)), guarded("P4", 15.0), panel_a=100.0)
    found = {item.item: item for item in shopping(plan)}
    assert fuses(plan) == {("Type C", 10.0): 4, ("Type C", 15.0): 1}
    ten, fifteen = found["10 A Type C"], found["15 A Type C"]
    assert (ten.quantity, ten.spare, fifteen.quantity, fifteen.spare) == (4, 2, 1, 1)
    assert found["Fuse panel with 12 ways, 100 A"].quantity == 1
    assert not [item for item in found.values() if item.kind == "holder"]  # they sit in the panel
    assert found["2 x 2.5 mm2, 105 °C"].quantity == pytest.approx(5 * 3.6)
    assert found["2 x 2.5 mm2, 105 °C"].spools == 1  # 18 m of 25
    assert found["2 x 2.5 mm2, 105 °C"].note == "spools of 25 m"
    few = shopping(wiring_plan(guarded("A", 10.0)))[0]
    assert few.note == "spools of 25 m; or by the metre"  # 3.6 m
    rings, splices = found["Ring terminal for 2.5 mm2"], found["Butt splice for 2.5 mm2"]
    assert (rings.quantity, rings.spare, splices.quantity) == (10, 1, 10)  # two poles, panel and device
    assert found["Heat shrink with adhesive for 2.5 mm2"].quantity == pytest.approx(20 * 0.05)
    assert found["Cable tie or clip"].quantity == 5 * 7  # 3 m / 0.45 m
    assert found["Wire label"].quantity == 10


def test_main_switch_bolted_fuse_and_pre_charge():
    battery = replace(FEED, kind="battery")
    run = one_run(conductor=conductor("mm2", "25"), protection=Protection(100.0, family="ANL"))
    main = circuit_plan(one_circuit(run, key="main", source=battery), kind="main")
    inverter = circuit_plan(one_circuit(run, key="inverter", source=battery), kind="inverter")
    found = {item.item: item.quantity for item in shopping(wiring_plan(main, inverter))}
    assert found["Main switch, at least 100 A at 12 V direct current"] == 1  # no weaker than the fuse before it
    assert found["Fuse holder, ANL"] == 2
    assert found["Pre-charge resistor with push button"] == 1
    assert found["Ring terminal for 25 mm2"] == 2 * (2 * 2 + 2)  # four ends and two beside the fuse, each circuit
    switched = replace(run, contacts=(Contact("Main switch", "end", 200.0),))
    with_switch = circuit_plan(one_circuit(switched, key="main", source=battery), kind="main")
    assert not [item for item in shopping(wiring_plan(with_switch)) if item.kind == "switch"]
    assert found.keys() & {"25 mm2, red, 105 °C", "25 mm2, black, 105 °C"} == {
        "25 mm2, red, 105 °C",
        "25 mm2, black, 105 °C",
    }


def test_ways_in_use_and_free():
    plan = wiring_plan(guarded("A", 10.0), guarded("B", 15.0, way=1), guarded("C", 20.0, way=9), panel_ways=4.0)
    rows = ways(plan)
    assert [(row.way, row.circuit) for row in rows] == [(1, "B"), (2, "A"), (3, ""), (4, ""), (9, "C")]
    assert [row.free for row in rows] == [False, False, True, True, False]
    assert rows[4].note == "the panel has only 4 ways"
    assert rows[1].load_a == pytest.approx(
        60 / (12.8 - rows[1].load_a * 6 * 7.98e-3), rel=0.01
    )  # IEC 60228: 7.98 ohm/km
    twice = ways(wiring_plan(guarded("A", 10.0, way=1), guarded("B", 15.0, way=1), panel_ways=1.0))
    assert [row.note for row in twice] == ["", "this way is taken twice"]


@pytest.mark.parametrize(
    ("rating_a", "colour"), [(5.0, "tan"), (7.5, "brown"), (10.0, "red"), (15.0, "light blue"), (30.0, "green")]
)
def test_colours_of_blade_fuses(rating_a, colour):
    """DIN 72581 / SAE J1284, from memory, to be checked against the standard."""
    assert fuse_colour("Type C", rating_a) == colour
    assert fuse_colour("Type E", rating_a) == fuse_colour("ANL", rating_a) == ""


def test_the_mass_of_copper():
    """A kilometre of one core of 1 mm2 weighs 8.96 kg; two-core 2.5 mm2 44.8 kg/km: 8.96 g/cm3."""
    assert copper_kg(1000, 1.0) == pytest.approx(8.96)
    assert copper_kg(1000, 2.5, 2) == pytest.approx(44.8)
    whole = copper(wiring_plan(guarded("A", 10.0), guarded("B", 10.0)))[-1]
    assert (whole.item, whole.length_m) == ("All cables", pytest.approx(7.2))
    assert whole.copper_kg == pytest.approx(7.2 * 0.0448)


def test_every_paper_prints_and_says_its_units():
    job = Job(random_plan(7), Design())
    for paper in PAPERS.values():
        head, *rows = paper.table(job)
        assert rows and {len(row) for row in rows} == {len(head)}
        assert len(set(head)) == len(head)
        for row, column in product(paper.rows(job), paper.columns):
            value = column.value(row)
            assert not isinstance(value, float) or column.unit or column.field == "quantity"
    assert next(paper.file for paper in PAPERS.values()) == "cable-schedule.csv"
    empty = Job(wiring_plan(), Design())
    assert not schedule(empty.wiring) and not cables(empty.wiring)
    assert all(paper.table(empty) for paper in PAPERS.values())


def test_thick_and_long_cables_are_pulled_first():
    """Common practice, no source: thin ones find their way beside thick ones, not the other way round."""
    made = plan_of(open_design(shelf.path("heron.toml")).design).wiring
    rows = sorted(schedule(made), key=lambda row: row.pull)
    assert [row.pull for row in rows] == list(range(1, len(rows) + 1))
    sizes = [(-row.area_mm2, -row.routed_m) for row in rows]
    assert sizes == sorted(sizes)
    assert rows[0].id == "alternator-1"
