"""Circuits for the tests: random trees, and a plain one to change."""

from random import Random

from model.wiring.circuit import Circuit, PointLoad, Run, Source
from model.wiring.conductors import conductor, conductors

FEED = Source("feed", "panel", 12.0, 12.8, 12.0, 14.6, ohm_least=0.015, ohm_most=0.020)


def random_tree(seed: int, most_runs: int = 200, typed: bool = True) -> Circuit:
    """A tree of up to `most_runs` runs with loads of all laws; thick enough, with loads small enough, to carry them."""
    dice = Random(seed)
    count = dice.randint(1, most_runs)
    wires = conductors(dice.choice(("AWG", "SAE", "mm2")))
    runs = []
    for number in range(1, count + 1):
        start = dice.randint(max(0, number - dice.choice((1, 3, 200))), number - 1)
        wire = dice.choice(wires[4:]) if typed else None
        runs.append(
            Run(
                f"p{start}" if start else "feed",
                f"p{number}",
                dice.uniform(0.0, 1.5),
                wire,
                ambient_c=dice.choice((30.0, 50.0)),
                bundled_with=dice.choice((0, 2, 6)),
                joints_ohm=dice.choice((0.0, 0.001)),
            )
        )
    most_w = 300.0 / count
    loads = tuple(
        PointLoad(
            f"load {at}",
            f"p{dice.randint(1, count)}",
            dice.uniform(0, most_w),
            12.0,
            dice.choice(("power", "current", "resistance")),
        )
        for at in range(count)
    )
    dice.shuffle(runs)  # the order of typing must not matter
    return Circuit(f"c{seed}", "random", FEED, tuple(runs), loads)


def one_run(**changes: object) -> Run:
    return Run(**{"start": "feed", "end": "a", "length_m": 3.0, **changes})


def one_circuit(run: Run | None = None, load: PointLoad | None = None, **changes: object) -> Circuit:
    """One run to one load of 60 W."""
    parts = {
        "key": "c1",
        "name": "Pump",
        "source": FEED,
        "runs": (run or one_run(),),
        "loads": (load or PointLoad("pump", "a", 60.0, 12.0),),
    }
    return Circuit(**{**parts, **changes})


__all__ = ["FEED", "conductor", "one_circuit", "one_run", "random_tree"]
