"""A circuit with another shape: runs put in and taken out, points renamed, a circuit made by the program entered for good.

Names of points that the program gave are written out first, so that no run changes its place because another one does.
"""

from __future__ import annotations

from dataclasses import replace

from model import edit
from model.design import Circuit, Design, Run
from model.quantities import Refusal
from model.wiring.automatic import as_entered
from model.wiring.entered import run_points, same
from model.wiring.made import first_point
from model.wiring.table import CircuitPlan


def root(circuit: Circuit) -> str:
    """The point at which a circuit begins."""
    return (run_points(circuit.runs, first_point(circuit)) or ((first_point(circuit), ""),))[0][0]


def named(circuit: Circuit) -> Circuit:
    """The circuit with the points of all its runs written out."""
    points = run_points(circuit.runs, first_point(circuit))
    runs = (replace(run, start=start, end=end) for run, (start, end) in zip(circuit.runs, points, strict=True))
    return replace(circuit, runs=tuple(runs))


def fresh_point(circuit: Circuit) -> str:
    """A name that no point of the circuit has."""
    taken = {same(name) for run in named(circuit).runs for name in (run.start, run.end)}
    return next(name for at in range(1, len(taken) + 2) if same(name := f"point {at}") not in taken)


def with_run(circuit: Circuit, point: str, run: Run | None = None) -> tuple[Circuit, int]:
    """The circuit with one more run from `point` to a new point, and its index; a branch where a run leaves there already.

    The first and the last run stay what they are, unless the new one prolongs the last: what hangs at the end depends on it.
    `run`: what the new one is like besides its points.
    """
    whole = named(circuit)
    before = next((at for at, one in enumerate(whole.runs) if same(one.end) == same(point)), None)
    index = min(1, len(whole.runs) - 1) if before is None and whole.runs else 0 if before is None else before + 1
    made = replace(run or Run(), start=point, end=fresh_point(whole))
    return replace(whole, runs=(*whole.runs[:index], made, *whole.runs[index:])), index


def without_run(circuit: Circuit, index: int) -> Circuit:
    """The circuit without a run: what lay beyond it, runs and loads, hangs where it began."""
    whole = named(circuit)
    gone = whole.runs[index]
    rest = (*whole.runs[:index], *whole.runs[index + 1 :])
    runs = tuple(replace(one, start=gone.start) if same(one.start) == same(gone.end) else one for one in rest)
    taps = tuple(replace(one, point=gone.start) if same(one.point) == same(gone.end) else one for one in whole.taps)
    return replace(whole, runs=runs, taps=taps)


def renamed(circuit: Circuit, old: str, new: str) -> Circuit:
    """The circuit with a point under another name, wherever it is mentioned. Refusal where another point has that name."""
    whole, new = named(circuit), " ".join(new.split())
    if not new:
        raise Refusal("a point needs a name: what stands there, or a number")
    if same(new) != same(old) and any(same(new) in (same(one.start), same(one.end)) for one in whole.runs):
        raise Refusal(f"this circuit has a point {new} already: give this one another name")

    def name(text: str) -> str:
        return new if same(text) == same(old) else text

    return replace(
        whole,
        runs=tuple(replace(one, start=name(one.start), end=name(one.end)) for one in whole.runs),
        taps=tuple(replace(one, point=name(one.point)) for one in whole.taps),
        readings=tuple(replace(one, point=name(one.point)) for one in whole.readings),
    )


def enter(design: Design, plan: CircuitPlan) -> tuple[Design, str]:
    """The design in which a circuit is entered, and its path; one that was made from the design becomes one of its own."""
    if plan.path is not None:
        return design, plan.path
    at = len(design.circuits)
    return edit.insert(design, "circuits", at, [as_entered(plan)]), f"circuits/{at}"
