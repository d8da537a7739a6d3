"""From an accepted edit to the figures: the chain of the model alone, and through the program to the painted screen."""

from __future__ import annotations

import asyncio
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from model import shelf
from model.design import Circuit, Design, Load, Run, Tap
from model.plan import Plan, plan
from model.record.files import open_design, save
from model.record.journal import Journal
from model.supply.places import resolve, search
from tui.app import Ampledger

EDITS = 24
Edits = Iterator[Design]
MakeEdits = Callable[..., Edits]
SHIFT = 0.3  # edits on the screen differ from those in the model, whose answers are remembered

# Towns in 24 cells of the climate grid, so that no answer is remembered.
TOWNS = (
    "Kiruna", "Bergen", "Aberdeen", "Brest", "Porto", "Palermo", "Athens", "Krakow", "Helsinki", "Bucharest",
    "Greensboro", "Denver", "Calgary", "Phoenix", "Monterrey", "Quito", "Santiago", "Nairobi", "Windhoek", "Cairo",
    "Perth", "Dunedin", "Sapporo", "Pune",
)  # fmt: skip


def demonstration() -> Design:
    return open_design(shelf.path("heron.toml")).design


def with_loads(design: Design, count: int) -> Design:
    """The same van with `count` loads, each a little different from the one it was copied from."""
    loads = design.loads
    rows = (
        replace(loads[index % len(loads)], name=f"load {index}", hours_per_day=0.5 + index % 20)
        for index in range(count)
    )
    return replace(design, loads=tuple(rows))


def hours_edits(design: Design, shift: float = 0.0) -> Edits:
    """Other hours for one load after another, no two designs alike; another `shift` makes others again."""
    for number in range(EDITS):
        index = number % len(design.loads)
        load: Load = replace(design.loads[index], hours_per_day=1.01 + 0.37 * number + shift / 10)
        yield replace(design, loads=(*design.loads[:index], load, *design.loads[index + 1 :]))


def with_circuits(design: Design, circuits: int) -> Design:
    """The same van with so many circuits of ten runs each, two loads on each, besides those of battery and inverter."""
    dc = [load for load in design.loads if load.supply == "DC"]
    loads = tuple(
        replace(dc[at % len(dc)], name=f"load {at}", quantity=1, power_w=5.0 + at % 17, current_a=None, circuit="")
        for at in range(2 * circuits)
    )
    own = tuple(one for one in design.circuits if one.kind != "loads")
    made = []
    for at in range(circuits):
        runs = (Run("", "p1", 3.0 + at / 40), *(Run(f"p{n}", f"p{n + 1}", 1.2) for n in range(1, 10)))
        taps = (Tap(f"load {2 * at}", "p10"), Tap(f"load {2 * at + 1}", "p5"))
        made.append(Circuit(f"circuit {at}", system="data", way=at + 1, runs=runs, taps=taps))
    return replace(design, loads=loads, circuits=(*own, *made))


def length_edits(design: Design, shift: float = 0.0) -> Edits:
    """Other lengths of the first run of one circuit after another, no two designs alike."""
    first = next(at for at, one in enumerate(design.circuits) if one.kind == "loads")
    for number in range(EDITS):
        at = first + number % (len(design.circuits) - first)
        circuit = design.circuits[at]
        run = replace(circuit.runs[0], length_m=2.01 + 0.11 * number + shift / 10)
        changed = replace(circuit, runs=(run, *circuit.runs[1:]))
        yield replace(design, circuits=(*design.circuits[:at], changed, *design.circuits[at + 1 :]))


def tilt_edits(design: Design, shift: float = 0.0) -> Edits:
    """Tilts that were not asked for before."""
    return (
        replace(design, array=replace(design.array, mounting="open rack", tilt_deg=5.3 + 2.1 * number + shift))
        for number in range(EDITS)
    )


def place_edits(design: Design, shift: float = 0.0) -> Edits:
    for town in TOWNS:
        found = resolve(town)
        place = replace(
            design.place,
            name=town,
            latitude_deg=found.latitude_deg + shift,
            longitude_deg=found.longitude_deg,
            elevation_m=None,
        )
        yield replace(design, place=place)


def month_edits(design: Design, shift: float = 0.0) -> Edits:
    """Months of vans that differ in their reserve, so that each is met for the first time."""
    return (
        replace(
            design,
            month=(design.month + number) % 12 + 1,
            battery=replace(design.battery, margin=0.05 + number / 1000 + shift / 10),
        )
        for number in range(EDITS)
    )


def in_model_s(edits: MakeEdits, design: Design) -> list[float]:
    """Seconds of `plan` for each edit."""
    plan(design)
    return [timed(lambda one=one: plan(one)) for one in edits(design)]  # type: ignore[misc]


class Watched(Ampledger):
    """The program, which tells when the plan of the design on the screen was painted."""

    CSS_PATH = Path(shelf.FOLDER.parent / "tui" / "app.tcss")

    def __init__(self, path: Path | None = None) -> None:
        super().__init__(path)
        self.painted = asyncio.Event()

    def _deliver(self, plan: Plan) -> None:
        super()._deliver(plan)
        if self.document is not None and plan.design == self.document.design:
            self.call_after_refresh(self.painted.set)


def on_screen_s(edits: MakeEdits, design: Design, place: str = "loads") -> list[float]:
    """Seconds from an accepted edit until its figures were painted, on a screen of 80 x 24."""
    return asyncio.run(_on_screen(edits, design, place))


async def _on_screen(edits: MakeEdits, design: Design, place: str) -> list[float]:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "van.toml")
        save(open_design(shelf.path("heron.toml")), design, path)
        app = Watched(path)
        times = []
        async with app.run_test(size=(80, 24)) as pilot:
            await app.painted.wait()
            await app.go(place)
            for number, one in enumerate(edits(design, SHIFT)):
                await pilot.pause(0.02)
                app.painted.clear()
                begun = time.perf_counter()
                app.edit(one, f"edit {number}")
                await app.painted.wait()
                times.append(time.perf_counter() - begun)
            app.session.close()
    return times


def keystroke_s() -> list[float]:
    """Seconds of the place search for each letter typed, well and badly spelt; the list is loaded already."""
    search("oslo")
    names = ("greensboro", "guadalquivir", "fort willaim", "sankt peterburg", "münchen", "zaragosa")
    return [timed(lambda text=name[:end]: search(text)) for name in names for end in range(2, len(name) + 1)]  # type: ignore[misc]


def file_s(design: Design) -> dict[str, list[float]]:
    """Seconds to open and to save a design file, and to keep an edit in the recovery journal."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "van.toml")
        opened = save(open_design(shelf.path("heron.toml")), design, path)
        opening = [timed(lambda: open_design(path)) for _ in range(EDITS)]
        saving, keeping = [], []
        journal = Journal(path, folder=Path(folder))
        for one in hours_edits(design):
            begun = time.perf_counter()
            opened = save(opened, one)
            saving.append(time.perf_counter() - begun)
            keeping.append(timed(lambda one=one: journal.append(one)))  # type: ignore[misc]
        journal.clear()
    return {"open": opening, "save": saving, "journal": keeping}


def timed(run: Callable[[], object]) -> float:
    begun = time.perf_counter()
    run()
    return time.perf_counter() - begun
