"""Cables that are laid: what they keep, what is left to do about them, and what need not be bought any more."""

from dataclasses import replace

import pytest

from model import shelf
from model.design import Circuit, Load, Run, Tap, Wiring
from model.plan import plan
from model.record.files import open_design
from model.wiring.findings_laid import LEFT
from model.wiring.papers.cables import cables
from model.wiring.papers.cut_list import cut_list
from model.wiring.papers.labels import labels
from model.wiring.papers.schedule import schedule
from model.wiring.papers.shopping import shopping

DEMO = open_design(shelf.path("heron.toml")).design
FIRST = Run("fuse panel", "lamp", 6.0, conductor="1.5 mm2")
LIGHT = Circuit(
    "Light", runs=(FIRST, Run("lamp", "shelf", 2.0)), taps=(Tap("Lamp", "lamp"), Tap("Shelf lamp", "shelf"))
)
LOADS = (Load("Lamp", power_w=12.0, hours_per_day=4.0), Load("Shelf lamp", power_w=6.0, hours_per_day=4.0))


def made(*runs, **loads):
    circuit = replace(LIGHT, runs=runs or LIGHT.runs)
    lamps = tuple(replace(one, **loads) for one in LOADS)
    return plan(replace(DEMO, loads=lamps, circuits=(circuit,), wiring=Wiring())).wiring


def light(whole):
    return next(one for one in whole.circuits if one.name == "Light")


def test_a_laid_cable_wants_its_conductor_typed_and_names_what_it_would_be():
    free = replace(FIRST, conductor=None, laid="2026-11-07")
    (said,) = [one for one in made(free, LIGHT.runs[1]).findings if "is not typed; the plan would" in one.message]
    taken = light(made(free, LIGHT.runs[1])).wired.runs[0].conductor.name
    assert said.where == "circuits/0/runs/0/conductor" and f"take {taken} now" in said.advice
    typed = replace(free, conductor=taken)
    assert not [one for one in made(typed, LIGHT.runs[1]).findings if "is not typed; the plan would" in one.message]


@pytest.mark.parametrize("laid", [None, "2026-11-07"])
def test_no_cure_by_another_cable_alone_where_one_is_laid(laid):
    """200 W are too much for 1.5 mm2, and a fuse of 30 A more than it bears: what is left is said where it is laid."""
    thin = replace(FIRST, laid=laid, fuse_a=30.0)
    told = [one for one in made(thin, LIGHT.runs[1], power_w=100.0).findings if one.where.startswith("circuits/0/")]
    about = [one for one in told if one.severity != "note" and "runs/1/" not in one.where]
    assert len(about) == 3 and all("cable" in one.advice for one in about)
    assert [one.advice.endswith(LEFT) for one in about] == [laid is not None] * len(about)


def test_what_is_laid_is_neither_cut_nor_bought_nor_pulled_and_keeps_its_labels():
    planned, built = made(), made(replace(FIRST, laid="2026-11-07", route="behind the left lining"), LIGHT.runs[1])
    assert light(built).wired.running == light(planned).wired.running  # laying changes no figure

    def metres(whole):
        return sum(spool.used_m for spool in cut_list(whole))

    gone = next(one for one in cables(planned) if one.circuit.name == "Light" and one.index == 0)
    assert metres(planned) - metres(built) == pytest.approx(sum(piece.length_m for piece in gone.pieces))
    bought = [
        sum(item.quantity for item in shopping(whole) if item.kind == "cable" and item.unit == "m")
        for whole in (planned, built)
    ]
    assert bought[0] - bought[1] == pytest.approx(metres(planned) - metres(built))
    rows = {row.id: row for row in schedule(built)}
    row = rows[gone.id]
    assert (row.laid, row.route, row.pull) == ("2026-11-07", "behind the left lining", None)
    others = [one.pull for one in rows.values() if one.pull is not None]
    assert sorted(others) == list(range(1, len(others) + 1))
    assert [one.text for one in labels(built)] == [one.text for one in labels(planned)]


def test_a_design_file_keeps_way_and_day(tmp_path):
    from model.record.files import new_text, read_text

    design = replace(
        DEMO, circuits=(replace(LIGHT, runs=(replace(FIRST, laid="2026-11-07", route="floor"), LIGHT.runs[1])),)
    )
    again = read_text(new_text(design)).circuits[0].runs
    assert (again[0].laid, again[0].route, again[1].laid) == ("2026-11-07", "floor", None)
