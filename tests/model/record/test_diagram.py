"""The drawings, read back by an XML parser: all words lie on the sheet and none on another, whatever the names."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import combinations
from xml.etree import ElementTree

import pytest

from model.design import Circuit, Connector, Design, Load, Run, Tap
from model.plan import Plan, plan
from model.record.diagram import circuit_svg, lettering, svg, system_svgs
from model.wiring.papers import PAPERS
from tests.model.record.reports import FORBIDDEN, HOSTILE, demo, demo_json, demonstration, odd_plans

SVG = "{http://www.w3.org/2000/svg}"
LONG = "reading lamps over the very long shelf beside the window where telescopes, notebooks and nests lie"
SYSTEMS = ("lighting", "cooling", "heating", "water", "air", "data")
Box = tuple[float, float, float, float]


@cache
def crowded(count: int, words: str = LONG) -> Plan:
    """The demonstration with `count` circuits on its panel, each a tree with a branch, plugs, and long names."""
    before = demonstration()
    loads, circuits = [], [one for one in before.circuits if one.kind != "loads"]
    for at in range(count):
        name, far = f"{words} {at}", f"far {words} {at}"
        loads += [Load(name=name, power_w=5.0 + at, hours_per_day=2.0), Load(name=far, power_w=3.0, hours_per_day=1.0)]
        plug = Connector(f"plug {words}", pins=words, end="start" if at % 2 else "end")
        runs = (
            Run("fuse panel", f"box {words}", 2.0 + 0.3 * at, connectors=(plug, plug), through_metal=True),
            Run(f"box {words}", f"left {words}", 1.2, returns="chassis" if at % 3 == 0 else "two conductors"),
            Run(f"box {words}", f"right {words}", 1.7),
            Run(f"left {words}", f"bow {words}", 0.7),
        )
        taps = (Tap(name, f"left {words}"), Tap(far, f"right {words}"))
        circuits.append(Circuit(words, system=SYSTEMS[at % 6], way=at + 1.0, runs=runs, taps=taps))
    wiring = replace(before.wiring, panel_ways=float(count + 1))
    made = replace(before, name=words, loads=tuple(loads), circuits=tuple(circuits), wiring=wiring, stops=())
    return plan(made)


def read(drawing: str) -> ElementTree.Element:
    """The drawing as a strict parser reads it; nothing in it runs or is fetched."""
    root = ElementTree.fromstring(drawing)
    assert root.tag == f"{SVG}svg" and root.get("role") == "img" and root.get("fill") == "currentColor"
    assert not re.search(r"<script|<image|<style|href|url\(|\son\w+=", re.sub(r">[^<]*<", "><", drawing))
    named = [f"{root.get('aria-labelledby')}".split()[at] for at in (0, 1)]
    assert [root.find(f"{SVG}{tag}").get("id") for tag in ("title", "desc")] == named  # type: ignore[union-attr]
    return root


def boxes(root: ElementTree.Element) -> list[tuple[Box, str]]:
    """Where the words are: widths of DejaVu Sans, ascent and descent of its letters."""
    found = []
    for one in root.iter(f"{SVG}text"):
        words, size = one.text or "", float(one.get("font-size", 0))
        x, y = float(one.get("x", 0)), float(one.get("y", 0))
        wide = lettering.width(words, size, one.get("font-weight") == "bold")
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[one.get("text-anchor", "start")]
        found.append(((left, y - lettering.ABOVE_EM * size, left + wide, y + lettering.BELOW_EM * size), words))
    return found


def check(drawing: str) -> ElementTree.Element:
    """All words lie on the sheet, and none lies on another."""
    root = read(drawing)
    _, _, width, height = (float(each) for each in root.get("viewBox", "").split())
    found = sorted(boxes(root), key=lambda one: one[0][1])
    for (left, top, right, below), words in found:
        assert left >= 0 and top >= 0 and right <= width and below <= height, words
    for (first, words), (second, others) in combinations(found, 2):
        apart = first[2] <= second[0] or second[2] <= first[0] or first[3] <= second[1] or second[3] <= first[1]
        assert apart, (words, others)
    return root


def words_of(root: ElementTree.Element) -> list[str]:
    return [one.text or "" for one in root.iter(f"{SVG}text")]


def drawings(made: Plan) -> list[str]:
    return [*system_svgs(made), *(circuit_svg(one, at) for at, one in enumerate(made.wiring.circuits))]


@pytest.mark.parametrize("count", [1, 8, 25, 60])
@pytest.mark.parametrize("words", ["lamp", LONG], ids=["short", "long"])
def test_words_lie_apart_and_on_the_sheet(count, words):
    made = crowded(count, words)
    for drawing in drawings(made):
        check(drawing)


@pytest.mark.parametrize("count", [1, 25])
def test_the_tall_sheet_holds_all_of_it(count):
    root = check(svg(crowded(count), "25 November 2026"))
    assert any("25 November 2026" in words for words in words_of(root))
    titles = [one.text for one in root.iter(f"{SVG}title")]
    assert all(f"{one.key}, {one.name}" in titles for one in crowded(count).wiring.circuits)


def test_widths_are_those_of_the_face_that_they_name():
    # DejaVu Sans 2.37, table hmtx, units of 2048 an em: "A" 1401, "g" 1300, space 651, "W" 2025; bold "A" 1585
    assert lettering.width("A", 2048) == pytest.approx(1401, abs=11)
    assert lettering.width("g", 2048) == pytest.approx(1300, abs=11)
    assert lettering.width(" W", 2048) == pytest.approx(651 + 2025, abs=22)
    assert lettering.width("A", 2048, bold=True) == pytest.approx(1585, abs=11)
    assert lettering.width("é", 10) == lettering.width("e", 10)
    assert lettering.width("e\u0301", 10) == lettering.width("e", 10)


def test_a_long_name_is_cut_with_dots_and_told_in_full():
    root = check(system_svgs(crowded(1))[0])
    cut = [
        one
        for one in root.iter(f"{SVG}g")
        if one.find(f"{SVG}title") is not None and one.find(f"{SVG}text") is not None
    ]
    assert cut
    for one in cut:
        whole, shown = one.findtext(f"{SVG}title", ""), one.findtext(f"{SVG}text", "")
        assert shown.endswith("…") and whole.startswith(shown[:-1].rstrip()) and len(whole) > len(shown)


def test_the_system_says_what_the_ways_and_the_schedule_say():
    made = demo().plan
    said = words_of(check(system_svgs(made)[0]))
    job_ways = [way for way in PAPERS["ways"].rows(demo_job()) if not way.free]
    for way in job_ways:
        assert str(way.way) in said
        assert f"{way.fuse_a:g} A {way.fuse_family}" in said
        assert way.fuse_colour in said
        assert f"{way.circuit} · {way.name}" in said
    assert "free: ways 7, 8" in said
    everything = " | ".join(said)
    for row in PAPERS["schedule"].rows(demo_job()):
        for colour in row.colour.split(" / "):
            assert colour in everything
        if row.fuse_start_a is not None:
            assert f"{row.fuse_start_a:g} A" in everything


def demo_job():
    from model.record.papers import job_of

    return job_of(demo().plan)


def test_a_circuit_shows_every_run_point_plug_and_load_with_the_figures_of_schedule_and_contract():
    made = demo().plan
    rows = {row.id: row for row in PAPERS["schedule"].rows(demo_job())}
    for number, circuit in enumerate(made.wiring.circuits):
        said = words_of(check(circuit_svg(circuit, number)))
        wired = circuit.wired
        assert wired.running is not None
        for index, run in enumerate(wired.circuit.runs):
            row = rows[f"{circuit.key}-{index + 1}"]
            assert row.id in said
            assert any(words.startswith(f"{row.routed_m:.2f} m · {row.conductor} · ") for words in said)
            place = wired.shape.place[run.end]
            assert run.end in said
            point = demo_json()["wiring"]["circuits"][number]["points"][place]
            assert f"{point['voltage_v']:.2f} V, {point['drop_percent']:.1f} % lost" in said
            for contact in run.contacts:
                assert any(contact.name in words and contact.pins in words for words in said)
        if circuit.entered.kind == "loads":
            assert all(any(load.name in words for words in said) for load in wired.circuit.loads)


def test_every_fuse_is_drawn_once():
    for number, circuit in enumerate(demo().plan.wiring.circuits):
        fuses = [
            words
            for words in words_of(read(circuit_svg(circuit, number)))
            if words.startswith("fuse ") and "A" in words
        ]
        runs = circuit.wired.circuit.runs
        devices = [one for run in runs for one in (run.protection, run.end_protection) if one and one.rating_a]
        assert len(fuses) == len(devices)


def test_many_ways_take_further_sheets():
    made = crowded(60, "lamp")
    sheets = [words_of(read(one)) for one in system_svgs(made)]
    assert len(sheets) == 3
    shown = [words for sheet in sheets for words in sheet if words.isdigit()]
    assert [int(words) for words in shown] == list(range(1, 61))
    assert any("continued" in words for words in sheets[1])


@pytest.mark.parametrize("name", ["nothing", "no climate", "polar night", "control signs"])
def test_odd_designs_are_drawn_too(name):
    for drawing in (*drawings(odd_plans()[name]), svg(odd_plans()[name])):
        check(drawing)


def test_hostile_names_stay_words():
    circuit = Circuit(HOSTILE, runs=(Run("fuse panel", HOSTILE, 2.0, jacket=HOSTILE),), taps=(Tap(HOSTILE),))
    made = plan(Design(name=HOSTILE, loads=(Load(HOSTILE, power_w=10.0, hours_per_day=1.0),), circuits=(circuit,)))
    for drawing in (svg(made), *drawings(made)):
        root = check(drawing)
        assert not list(root.iter("script")) and not list(root.iter(f"{SVG}script"))


def test_loops_loose_ends_and_an_empty_circuit_are_told_not_drawn():
    loop = Circuit(
        "loop", way=1.0, runs=(Run("fuse panel", "a", 1.0), Run("a", "b", 1.0), Run("b", "a", 1.0), Run("x", "y"))
    )
    empty = Circuit("empty", way=2.0)
    made = plan(replace(demonstration(), circuits=(loop, empty), stops=()))
    said = [words for drawing in drawings(made) for words in words_of(check(drawing))]
    assert any("a is fed twice" in words for words in said) and any("nothing leads from" in words for words in said)


def test_a_chain_of_five_hundred_points_and_one_of_branches_only():
    chain = tuple(Run("fuse panel" if at == 0 else f"p{at - 1}", f"p{at}", 0.1) for at in range(500))
    comb = tuple(Run("fuse panel" if at == 0 else f"q{(at - 1) // 2}", f"q{at}", 0.1) for at in range(127))
    design = replace(
        demonstration(), circuits=(Circuit("chain", way=1.0, runs=chain), Circuit("comb", way=2.0, runs=comb))
    )
    made = plan(replace(design, stops=()))
    for circuit in made.wiring.circuits[-2:]:
        said = words_of(check(circuit_svg(circuit)))
        assert all(point in said for point in circuit.wired.shape.points)


def test_no_word_promises_what_a_program_cannot():
    said = " ".join(words_of(read(svg(demo().plan))))
    assert not FORBIDDEN.search(said)
    assert "local codes prevail" in said and "approves nothing" in said
