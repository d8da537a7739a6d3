"""A hundred circuits of ten runs each, sized and solved: `python -m tests.bench.wiring`."""

from __future__ import annotations

import statistics
import time

from model.wiring.circuit import Circuit, PointLoad, Protection, Run, Source
from model.wiring.flow import running, worst_start
from model.wiring.sizing import size

CIRCUITS, ROUNDS, BAR_MS = 100, 7, 100.0
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
            running(sized.circuit, sized.shape)
            worst_start(sized.circuit, sized.shape)
        found.append((time.perf_counter() - start) * 1000)
    return found[1:]  # the first round reads the tables


def report() -> None:
    """Prints the median beside its bar."""
    measured = statistics.median(times_ms())
    verdict = "ok" if measured < BAR_MS else "OVER"
    print(
        f"{'100 circuits of 10 runs, sized and solved':<58}{measured:>7.1f} ms{BAR_MS:>7.0f} ms  {verdict}", flush=True
    )


if __name__ == "__main__":
    report()
