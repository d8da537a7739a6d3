"""Short-circuit current of a battery, and at every point of a circuit."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import inf

from model import shelf
from model.wiring.circuit import Circuit, Source, Tree
from model.wiring.conductors import PER_K
from model.wiring.flow import Line, lines_of
from model.wiring.protection import outward, sources

TABLE = "cell_resistance.csv"


WARM_C, COLDEST_C = 25.0, -20.0


@dataclass(frozen=True, slots=True)
class Prospective:
    """Current into a dead short: most_a cold and new, for what a fuse must break; least_a warm and worn, for what must blow it.

    most_a is infinite where nobody knows the resistance behind the source and nothing limits it.
    """

    most_a: float
    least_a: float


@dataclass(frozen=True, slots=True)
class Cell:
    """What a chemistry's cells are to a short circuit. Resistance times capacity, least (cold and new: it counts for what a fuse
    must break) and most; link_mohm: the least of one link to the next cell; full_v: rested, full; at_0c: resistance at 0 °C
    over that at 25 °C."""

    least_mohm_ah: float
    most_mohm_ah: float
    link_mohm: float
    full_v: float
    at_0c: float
    source: str


@cache
def cell(chemistry: str) -> Cell:
    """The cells of a chemistry. Raises KeyError for an unknown one."""
    for row in shelf.rows(TABLE):
        if row["chemistry"] == chemistry:
            return Cell(
                float(row["cell_least_mohm_ah"]),
                float(row["cell_most_mohm_ah"]),
                float(row["link_least_mohm"]),
                float(row["open_circuit_full_v"]),
                float(row["at_0c_over_25c"]),
                f"{row['source']} ({row['certainty']})",
            )
    raise KeyError(chemistry)


def cold_factor(at_0c: float, temperature_c: float) -> float:
    """Resistance of a cell at a temperature over that at 25 °C: at_0c ** ((25 - T) / 25), 1 above 25 °C, as at -20 °C below.

    An exponential through the two points, as ions in a liquid get slower (Arrhenius, over so few degrees); common practice, no
    source.
    """
    return float(at_0c ** ((WARM_C - min(max(temperature_c, COLDEST_C), WARM_C)) / WARM_C))


def bank_ohm(cell_mohm_ah: float, cells_series: int, string_ah: float, strings: int, links_ohm: float = 0.0) -> float:
    """Resistance of a battery: cells in series add, strings in parallel divide; links_ohm: those of one string."""
    return (cell_mohm_ah / 1000 / string_ah * cells_series + links_ohm) / strings


def short_circuit_a(emf_v: float, ohm: float) -> float:
    """I = U / R; infinite without resistance."""
    return emf_v / ohm if ohm > 0 else inf


def prospective(
    circuit: Circuit, shape: Tree, source: Source | None = None, lines: Sequence[Line] | None = None
) -> tuple[Prospective, ...]:
    """The prospective current from one source (the feeding one) at every place of the tree, conductors chosen.

    most_a: full source, least resistance behind it, conductors at 20 °C, no contacts. least_a: running voltage, most
    resistance, conductors as hot as their insulation bears, contacts and joints counted; arcs are not.
    """
    source = source or circuit.source
    start = shape.place[source.point]
    least_ohm, most_ohm = {start: source.ohm_least or 0.0}, {start: source.ohm_most or source.ohm_least or 0.0}
    lines = lines_of(circuit, shape) if lines is None else lines
    for hop in outward(shape, start):
        one = lines[max(hop.here, hop.there) - 1]  # a run's line stands at its end, which is the later place
        least_ohm[hop.there] = least_ohm[hop.here] + one.ohm_20c
        most_ohm[hop.there] = most_ohm[hop.here] + one.ohm_20c * (1 + PER_K * (one.hottest_c - 20)) + one.fixed_ohm
    limit_a = inf if source.limited_a is None else source.limited_a
    return tuple(
        Prospective(
            min(limit_a, inf if source.ohm_least is None else short_circuit_a(source.full_v, least_ohm[place])),
            min(limit_a, short_circuit_a(source.running_v, most_ohm[place])),
        )
        for place in range(len(shape.points))
    )


def at_devices(circuit: Circuit, shape: Tree, lines: Sequence[Line] | None = None) -> dict[tuple[int, str], float]:
    """(run, end) -> the largest prospective current there from any one source: what a device at that end must break."""
    found: dict[tuple[int, str], float] = {}
    lines = lines_of(circuit, shape) if lines is None else lines
    for source in sources(circuit, shape):
        currents = prospective(circuit, shape, source, lines)
        for end in range(1, len(shape.points)):
            run = shape.order[end - 1]
            for name, place in (("start", shape.parent[end]), ("end", end)):
                found[run, name] = max(found.get((run, name), 0.0), currents[place].most_a)
    return found
