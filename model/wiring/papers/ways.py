"""The legend of the fuse panel: what sits on each way, and which ways are free."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from model import names, shelf
from model.wiring.circuit import Protection
from model.wiring.papers.paper import HABIT, Column
from model.wiring.table import CircuitPlan, WiringPlan
from model.wiring.wired import feed_current_a

TABLE = "fuse_colours.csv"
COLOURED = ("Type F", "Type C")

REMARKS = (
    "Colours of blade fuses: DIN 72581 / SAE J1284, from memory, to be checked against the standard.",
    "Circuits without a way of their own are put on the lowest free ones.",
    "Spare: continuous current that fuse and conductor bear beyond what hangs there; the drop is not looked at.",
    f"A draw-wire left in every conduit leads the next cable: {HABIT}.",
)


@dataclass(frozen=True, slots=True)
class Way:
    """One way of the panel. circuit "" where it is free; load_a: with all its loads on; free_a: what fuse and cable
    still bear."""

    way: int
    circuit: str
    name: str
    fuse_a: float | None
    fuse_family: str
    fuse_colour: str
    load_a: float | None
    free_a: float | None = None
    note: str = ""

    @property
    def free(self) -> bool:
        return not self.circuit


COLUMNS = (
    Column("way", "Way"),
    Column("circuit", "Key"),
    Column("name", "Circuit"),
    Column("fuse_a", names.FUSE.full, "A", 1),
    Column("fuse_family", "Family"),
    Column("fuse_colour", "Colour"),
    Column("load_a", names.CURRENT.full, "A"),
    Column("free_a", "Spare", "A"),
    Column("note", "Note"),
)


@cache
def _colours() -> dict[float, str]:
    return {float(row["rating_a"]): row["colour"] for row in shelf.rows(TABLE)}


def fuse_colour(family: str, rating_a: float | None) -> str:
    """Colour of a small or medium blade fuse; "" for every other."""
    return _colours().get(rating_a, "") if rating_a is not None and family in COLOURED else ""


def on_panel(circuit: CircuitPlan) -> bool:
    """Whether the fuse panel feeds it."""
    return circuit.wired.circuit.source.kind == "panel"


def roots(circuit: CircuitPlan) -> tuple[int, ...]:
    """The runs that leave the source, as indices."""
    return circuit.wired.shape.roots


def load_a(circuit: CircuitPlan) -> float | None:
    """Current out of the source with all loads on; None where no voltage carries them."""
    running = circuit.wired.running
    return None if running is None else feed_current_a(circuit.wired, running)


def ways(plan: WiringPlan) -> tuple[Way, ...]:
    """All ways by number, the free ones among them; circuits beyond the last way follow with a note."""
    fed = [circuit for circuit in plan.circuits if on_panel(circuit)]
    count = int(plan.settings.panel_ways)
    taken = {int(circuit.entered.way) for circuit in fed if circuit.entered.way is not None}
    free = (way for way in range(1, count + len(fed) + 1) if way not in taken)
    rows: list[Way] = []
    seen: set[int] = set()
    for circuit in fed:
        way = next(free) if circuit.entered.way is None else int(circuit.entered.way)
        rows.append(_row(circuit, way, count, way in seen))
        seen.add(way)
    rows += [Way(way, "", "", None, "", "", None, note="free") for way in range(1, count + 1) if way not in seen]
    return tuple(sorted(rows, key=lambda row: row.way))


def _row(circuit: CircuitPlan, way: int, count: int, twice: bool) -> Way:
    leaving = roots(circuit)
    fuse: Protection | None = circuit.wired.circuit.runs[leaving[0]].protection if leaving else None
    notes = []
    if way > count:
        notes.append(f"the panel has only {count} ways")
    if twice:
        notes.append("this way is taken twice")
    if len(leaving) > 1:
        notes.append(f"{len(leaving)} cables leave this way; the fuse is that of the first")
    if fuse is None or fuse.rating_a is None:
        notes.append("no fuse")
    rating_a, family = (None, "") if fuse is None else (fuse.rating_a, fuse.family or "")
    return Way(
        way,
        circuit.key,
        circuit.name,
        rating_a,
        family,
        fuse_colour(family, rating_a),
        load_a(circuit),
        circuit.free_a,
        "; ".join(notes),
    )
