"""Every run as the cable, or the pair of single conductors, that somebody cuts and pulls."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.wiring.circuit import Run
from model.wiring.conductors import Conductor, no_thinner
from model.wiring.table import CircuitPlan, WiringPlan

JACKETED_UP_TO_MM2 = 6.0
"""Out and return lie in one jacket up to this section, as two single conductors above. Common practice, no source."""

PLUS, MINUS = "red", "black"
"""Single conductors where no colour is given. ABYC E-11 for direct current, at second hand, has red and, first, yellow or
black; in vehicles red and black are usual."""


@dataclass(frozen=True, slots=True)
class Material:
    """What is bought on one spool. cores: conductors in one jacket. mains: for alternating current."""

    conductor: Conductor
    cores: int
    colour: str
    insulation_c: float
    mains: bool = False

    @property
    def name(self) -> str:
        """As on the shopping list: "2 x 2.5 mm2 tinned, brown, 105 °C", "3 x 1.5 mm2, 75 °C, for 300/500 V"."""
        cores = f"{self.cores} x " if self.cores > 1 else ""
        colour = f", {self.colour}" if self.colour else ""
        volts = ", for 300/500 V" if self.mains else ""
        return f"{cores}{named(self.conductor)}{colour}, {self.insulation_c:g} °C{volts}"


@dataclass(frozen=True, slots=True)
class Piece:
    """One length to cut. cable: its id ("L1-2"); pole: "+" or "-" for a single conductor, else ""."""

    cable: str
    pole: str
    material: Material
    length_m: float


@dataclass(frozen=True, slots=True)
class Cable:
    """One run of one circuit with all that its papers need. place: the end of the run in the circuit's tree, None where
    nothing feeds it."""

    circuit: CircuitPlan
    index: int
    place: int | None
    cut_m: float
    pieces: tuple[Piece, ...]

    @property
    def id(self) -> str:
        """Key of the circuit and number of the run: "L1-2"."""
        return f"{self.circuit.key}-{self.index + 1}"

    @property
    def run(self) -> Run:
        """The run with its conductor and its protection."""
        return self.circuit.wired.circuit.runs[self.index]

    @property
    def laid(self) -> bool:
        """Whether it lies where it stays: nothing more to cut, to buy or to pull."""
        return self.run.laid

    @property
    def conductor(self) -> Conductor:
        return self.circuit.wired.runs[self.index].conductor

    @property
    def load_a(self) -> float | None:
        """Current with all loads on, or while everything charges, the larger; None where nothing feeds it or no voltage carries
        the loads."""
        return None if self.place is None else self.circuit.wired.lasting_a(self.index)

    @property
    def make(self) -> str:
        """How it is built: "two-core", "three-core", "two singles", "one single", or "none" for a run without length."""
        if not self.pieces:
            return "none"
        if len(self.pieces) == 2:
            return "two singles"
        return {1: "one single", 2: "two-core", 3: "three-core"}[self.pieces[0].material.cores]


def cut_m(routed_m: float, slack_m: float) -> float:
    """Length to cut: the route and the service slack at each end; nothing for a run without length."""
    return routed_m + 2 * slack_m if routed_m > 0 else 0.0


def cables(plan: WiringPlan) -> tuple[Cable, ...]:
    """Every run of every circuit, once, in the order of the plan."""
    return tuple(cable for circuit in plan.circuits for cable in of_circuit(circuit, plan.settings.slack_m))


def to_lay(plan: WiringPlan) -> tuple[Cable, ...]:
    """The cables that are not laid yet."""
    return tuple(cable for cable in cables(plan) if not cable.laid)


def of_circuit(circuit: CircuitPlan, slack_m: float) -> Iterator[Cable]:
    """Every run of one circuit, in its order."""
    shape = circuit.wired.shape
    place = {run: at for at, run in enumerate(shape.order, start=1)}
    for index, run in enumerate(circuit.wired.circuit.runs):
        length_m = cut_m(run.length_m, slack_m)
        pieces = tuple(_pieces(circuit, index, run, length_m)) if length_m else ()
        yield Cable(circuit, index, place.get(index), length_m, pieces)


def _pieces(circuit: CircuitPlan, index: int, run: Run, length_m: float) -> Iterator[Piece]:
    name, one, jacket = f"{circuit.key}-{index + 1}", circuit.wired.runs[index].conductor, circuit.jackets[index]
    both = run.returns == "two conductors"
    if run.mains:  # line, neutral and protective earth in one jacket, however thick
        yield Piece(name, "", Material(one, 3, jacket, run.insulation_c, mains=True), length_m)
        return
    if both and one.nominal_area_mm2 <= JACKETED_UP_TO_MM2:
        yield Piece(name, "", Material(one, 2, jacket, run.insulation_c), length_m)
        return
    yield Piece(name, "+", Material(one, 1, jacket or PLUS, run.insulation_c), length_m)
    if both:
        yield Piece(name, "-", Material(one, 1, MINUS, run.insulation_c), length_m)


def named(one: Conductor) -> str:
    """As on the drum, with the tin: "2.5 mm2 tinned"."""
    return f"{one.name} tinned" if one.tinned else one.name


def awg(one: Conductor) -> str:
    """Its AWG number; for another system the thinnest AWG size with as much copper, "" where none has."""
    gauge = one if one.family == "AWG" else no_thinner(one, "AWG")
    return gauge.size if gauge is not None else ""
