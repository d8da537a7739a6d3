"""A hundred circuits of ten runs each, sized and solved: `python -m tests.bench.wiring`."""

from __future__ import annotations

import statistics
import time
from dataclasses import replace

from model import shelf
from model.design import Circuit as Entered
from model.design import Run as Leg
from model.design import Tap
from model.record.files import open_design
from model.wiring.circuit import Circuit, PointLoad, Protection, Run, Source
from model.wiring.flow import running, worst_start
from model.wiring.made import wiring
from model.wiring.sizing import size
from model.wiring.table import WiringInput

CIRCUITS, ROUNDS, BAR_MS, EDITS, EDIT_BAR_MS = 100, 7, 100.0, 20, 60.0
FEED = Source("panel", "panel", 12.0, 12.8, 12.0, 14.4, ohm_least=0.004, ohm_most=0.010)


def circuit(number: int) -> Circuit:
    """A lighting trunk of six lamps, a branch to a pump with a fuse of its own, and a heater: ten runs, no two circuits alike."""
    metres = 3.0 + number / 40
    runs = [Run("panel", "p1", metres, protection=Protection())]
    runs += [Run(f"p{at}", f"p{at + 1}", 1.2) for at in range(1, 6)]
    runs += [
        Run("p3", "q1", 2.0),
        Run("q1", "q2", 2.0, protection=Protection()),
        Run("p5", "r1", 1.0),
        Run("r1", "r2", 3.0),
    ]
    loads = [PointLoad(f"lamp {at}", f"p{at}", 1.75, 12.0, drop_limit=0.03) for at in range(1, 7)]
    loads += [
        PointLoad("pump", "q2", 50.0, 12.0, start_a=12.0),
        PointLoad("heater", "r2", 20.0, 12.0, law="resistance"),
    ]
    return Circuit(f"c{number}", "bench", FEED, tuple(runs), tuple(loads))


def times_ms() -> list[float]:
    """Milliseconds for all circuits, sized, running and starting; circuits of every round are new to every cache."""
    found = []
    for round_ in range(ROUNDS + 1):
        circuits = [circuit(CIRCUITS * round_ + at) for at in range(CIRCUITS)]
        start = time.perf_counter()
        for one in circuits:
            sized = size(one)
            running(sized.circuit, sized.shape, sized.lines)
            worst_start(sized.circuit, sized.shape, sized.lines)
        found.append((time.perf_counter() - start) * 1000)
    return found[1:]  # the first round reads the tables


def a_hundred(shift: float = 0.0) -> WiringInput:
    """The demonstration's van with 200 loads on 100 circuits of ten runs each."""
    van = open_design(shelf.path("heron.toml")).design
    dc = [load for load in van.loads if load.supply == "DC"]
    loads = tuple(
        replace(dc[at % len(dc)], name=f"load {at}", quantity=1, power_w=5.0 + at % 17, current_a=None)
        for at in range(200)
    )
    circuits = []
    for at in range(CIRCUITS):
        runs = (Leg("", "p1", 3.0 + at / 40 + shift), *(Leg(f"p{n}", f"p{n + 1}", 1.2) for n in range(1, 10)))
        taps = (Tap(f"load {2 * at}", "p10"), Tap(f"load {2 * at + 1}", "p5"))
        circuits.append(Entered(f"circuit {at}", system="data", way=at + 1, runs=runs, taps=taps))
    return WiringInput(
        van.wiring, tuple(circuits), loads, (3.0,) * len(loads), 12.0, 3.0, van.inverter, 0.9, 100.0, van.alternator,
        van.shore, van.generator, van.module, van.controller, 4, 2, 55.0, "LFP", 400.0, 2,
    )  # fmt: skip


def edit_times_ms() -> list[float]:
    """Milliseconds of the whole room after an edit: another length of one circuit after another, then other hours."""
    inputs, found = a_hundred(), []
    wiring(inputs)
    for at in range(2 * EDITS):
        if at < EDITS:
            one = inputs.circuits[at]
            first = replace(one.runs[0], length_m=9.0 + at / 10)
            circuits = (*inputs.circuits[:at], replace(one, runs=(first, *one.runs[1:])), *inputs.circuits[at + 1 :])
            inputs = replace(inputs, circuits=circuits)
        else:
            inputs = replace(inputs, load_hours=(*inputs.load_hours[:at], 1.0 + at / 9, *inputs.load_hours[at + 1 :]))
        start = time.perf_counter()
        wiring(inputs)
        found.append((time.perf_counter() - start) * 1000)
    return found


def first_ms() -> float:
    """Milliseconds of the whole room for circuits that no cache knows, findings included."""
    inputs = a_hundred(shift=0.01)
    start = time.perf_counter()
    wiring(inputs)
    return (time.perf_counter() - start) * 1000


def report() -> None:
    """Prints each median beside its bar."""
    for label, measured, bar in (
        ("100 circuits of 10 runs, sized and solved", statistics.median(times_ms()), BAR_MS),
        ("the room after an edit, 100 circuits, 200 loads", statistics.median(edit_times_ms()), EDIT_BAR_MS),
    ):
        verdict = "ok" if measured < bar else "OVER"
        print(f"{label:<58}{measured:>7.1f} ms{bar:>7.0f} ms  {verdict}", flush=True)
    print(f"{'  the same for the first time, nothing remembered':<58}{first_ms():>7.1f} ms", flush=True)


if __name__ == "__main__":
    report()
