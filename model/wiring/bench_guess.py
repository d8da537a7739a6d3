"""Which pieces would have to be missing, or too many, for a measured current."""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass
from itertools import combinations

from model.wiring.flow import Flow
from model.wiring.table import CircuitPlan

MOST_PIECES = 12  # of one load, tried beside another
MOST_GUESSES = 3

Pieces = dict[str, tuple[float, int]]


@dataclass(frozen=True, slots=True)
class Guess:
    """(load, pieces) with pieces below 0 for missing ones; left_a: the current that it does not explain."""

    pieces: tuple[tuple[str, int], ...]
    left_a: float

    @property
    def text(self) -> str:
        """In words: "1 of Ceiling lamps missing or off"."""
        return " and ".join(
            f"{abs(count)} of {name} {'missing or off' if count < 0 else 'too many'}" for name, count in self.pieces
        )


def guesses(circuit: CircuitPlan, planned: Flow, difference_a: float, tolerance_a: float) -> tuple[Guess, ...]:
    """What brings the plan to the measured current within the tolerance: pieces of one load, else of two.

    The fewest pieces first. Currents of pieces are those of the plan: others missing raise the volts a little, which is less
    than the tolerance. A load of n pieces can miss n, or have as many too many.
    """
    if abs(difference_a) <= tolerance_a:
        return ()
    pieces = piece_currents(circuit, planned, tolerance_a)
    found = [
        Guess(((name, count),), difference_a - count * amps)
        for name, (amps, most) in pieces.items()
        if (count := round(difference_a / amps)) and abs(count) <= most
    ]
    found = [guess for guess in found if abs(guess.left_a) <= tolerance_a] or _pairs(pieces, difference_a, tolerance_a)
    found.sort(key=lambda guess: (sum(abs(count) for _, count in guess.pieces), abs(guess.left_a)))
    return tuple(found[:MOST_GUESSES])


def _pairs(pieces: Pieces, difference_a: float, tolerance_a: float) -> list[Guess]:
    found: list[Guess] = []
    for (one, (one_a, most)), (other, (other_a, other_most)) in combinations(pieces.items(), 2):
        tried = min(most, MOST_PIECES)
        for count in range(-tried, tried + 1):
            left_a = difference_a - count * one_a
            rest = round(left_a / other_a)
            left_a -= rest * other_a
            if count and rest and abs(rest) <= other_most and abs(left_a) <= tolerance_a:
                found.append(Guess(((one, count), (other, rest)), left_a))
    return found


def piece_currents(circuit: CircuitPlan, planned: Flow, tolerance_a: float) -> Pieces:
    """Load -> (current of one piece, pieces), of those pieces only that stand out from the tolerance."""
    place = circuit.wired.shape.place
    amps: dict[str, float] = {}
    count: dict[str, float] = {}
    for load in circuit.wired.circuit.loads:
        if load.point in place:
            name, pieces = pieces_of(load.name, circuit.feeds)
            amps[name] = amps.get(name, 0.0) + load.current_a(planned.volts[place[load.point]])
            count[name] = count.get(name, 0.0) + pieces
    return {
        name: (amps[name] / count[name], int(count[name]))
        for name in amps
        if count[name] >= 1 and amps[name] / count[name] > tolerance_a
    }


def pieces_of(name: str, loads: Container[str]) -> tuple[str, float]:
    """Name of the load and pieces of what hangs at one point: "6 x Lamp" is six of "Lamp", where there is such a load."""
    number, found, load = name.partition(" x ")
    if not found or name in loads or load not in loads:
        return name, 1.0
    try:
        return load, float(number)
    except ValueError:
        return name, 1.0
