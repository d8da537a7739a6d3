"""A finished circuit on the bench: what the meters show against the plan, and the plan taking over what was measured."""

from __future__ import annotations

from dataclasses import dataclass, replace

from model.design import Design, Load, Reading
from model.wiring.bench_guess import Guess, guesses
from model.wiring.flow import Flow, draws, flow
from model.wiring.metering import amps_tolerance_a, drop_tolerance_v
from model.wiring.table import CircuitPlan

HALVINGS, LARGEST_FACTOR = 60, 64.0
MEASURED = "measured "
FIGURES = 4  # significant ones of a power taken from the bench; no meter gives more


@dataclass(frozen=True, slots=True)
class Drop:
    """Volts lost between supply and point. planned_v: what the plan loses at the measured current; first_a, last_a: currents
    of the first and the last run on the way."""

    measured_v: float
    planned_v: float
    first_a: float
    last_a: float

    @property
    def extra_v(self) -> float:
        return self.measured_v - self.planned_v

    @property
    def too_much(self) -> bool:
        """Whether more is lost than meter and length explain."""
        return self.extra_v > drop_tolerance_v(self.planned_v) and self.last_a > 0

    @property
    def too_little(self) -> bool:
        return self.extra_v < -drop_tolerance_v(self.planned_v)

    @property
    def start_ohm(self) -> float:
        """Resistance in the first run that would lose the extra volts: U / I."""
        return self.extra_v / self.first_a

    @property
    def end_ohm(self) -> float:
        """The same in the last run."""
        return self.extra_v / self.last_a

    @property
    def start_w(self) -> float:
        """Heat of such a joint in the first run: U I."""
        return self.extra_v * self.first_a

    @property
    def end_w(self) -> float:
        """The same in the last run."""
        return self.extra_v * self.last_a


@dataclass(frozen=True, slots=True)
class BenchCheck:
    """One reading against the plan at the same supply voltage.

    planned_a: None where no voltage carries the loads; planned_v: at the point of the reading. factor: of the loads' power
    that gives the measured current, None where none does. drop: None where volts were not read or cannot be compared.
    guesses: pieces missing or too many, the simplest first.
    """

    planned_a: float | None
    measured_a: float
    tolerance_a: float
    planned_v: float | None
    measured_v: float | None
    factor: float | None
    drop: Drop | None
    guesses: tuple[Guess, ...]

    @property
    def difference_a(self) -> float | None:
        """Measured less planned."""
        return None if self.planned_a is None else self.measured_a - self.planned_a

    @property
    def amps_agree(self) -> bool:
        return self.difference_a is not None and abs(self.difference_a) <= self.tolerance_a

    @property
    def agrees(self) -> bool:
        """Whether nothing measured lies beyond its tolerance."""
        return self.amps_agree and (self.drop is None or not (self.drop.too_much or self.drop.too_little))


def bench_check(circuit: CircuitPlan, reading: Reading) -> BenchCheck:
    """The reading beside the plan, all loads of the circuit on, its source at the volts of the supply."""
    circuit = up_to_converter(circuit)
    planned = solved(circuit, reading.supply_v)
    planned_a = None if planned is None else total_a(circuit, planned)
    factor = load_factor(circuit, reading)
    place = circuit.wired.shape.place.get(reading.point)
    missing: tuple[Guess, ...] = ()
    if planned is not None and planned_a is not None:
        missing = guesses(circuit, planned, reading.current_a - planned_a, amps_tolerance_a(planned_a))
    return BenchCheck(
        planned_a,
        reading.current_a,
        amps_tolerance_a(planned_a or 0.0),
        None if planned is None or place is None else planned.volts[place],
        reading.far_v,
        factor,
        _drop(circuit, reading, factor),
        missing,
    )


def up_to_converter(circuit: CircuitPlan) -> CircuitPlan:
    """What a supply at the source feeds: all, or the part in front of a converter, which takes its own current there."""
    return replace(circuit, wired=circuit.wired.parts[0]) if circuit.wired.parts else circuit


def total_a(circuit: CircuitPlan, state: Flow, factor: float = 1.0) -> float:
    """Current out of the source, with what hangs right on it; the loads at `factor` times their power, as in `state`."""
    one, shape = circuit.wired.circuit, circuit.wired.shape
    leaving = sum(state.current_a[run] for place, run in enumerate(shape.order, start=1) if shape.parent[place] == 0)
    at_source = [load for load in one.loads if load.point == one.source.point]
    return leaving + sum(load.current_a(state.volts[0], load.power_w * factor) for load in at_source)


def solved(circuit: CircuitPlan, supply_v: float, factor: float = 1.0) -> Flow | None:
    """The circuit on a bench supply, its loads at `factor` times their power; None where no voltage carries them."""
    one = circuit.wired
    return flow(
        one.circuit,
        one.shape,
        "running",
        draws(one.circuit, one.shape, lambda load: load.power_w * factor),
        supply_v,
    )


def load_factor(circuit: CircuitPlan, reading: Reading) -> float | None:
    """Factor of all loads' power with which the plan draws the measured current; None where no factor does.

    By halving: the current rises with the power, until no voltage carries it.
    """
    circuit = up_to_converter(circuit)

    def amps(factor: float) -> float:
        state = solved(circuit, reading.supply_v, factor)
        return float("inf") if state is None else total_a(circuit, state, factor)

    low, high = 0.0, LARGEST_FACTOR
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if amps(middle) >= reading.current_a else (middle, high)
    return low if abs(amps(low) - reading.current_a) <= 1e-6 * max(reading.current_a, 1.0) else None


def _drop(circuit: CircuitPlan, reading: Reading, factor: float | None) -> Drop | None:
    shape = circuit.wired.shape
    place = shape.place.get(reading.point)
    if reading.far_v is None or not place or factor is None:
        return None
    state = solved(circuit, reading.supply_v, factor)
    if state is None:
        return None
    way = shape.path(place)
    return Drop(
        reading.supply_v - reading.far_v,
        reading.supply_v - state.volts[place],
        state.current_a[way[0]],
        state.current_a[way[-1]],
    )


def take_measured(design: Design, circuit: CircuitPlan, reading_index: int) -> Design:
    """The design with the measured current in place of the assumed loads of the circuit.

    Power, or current at its rated voltage, of every load on it is scaled by one factor, so that the plan draws what was read
    at that supply voltage; a load with measured energy keeps it. Each takes a note with the date. Raises ValueError where no
    factor gives the reading, or for a circuit that does not end in loads: a main feed carries other circuits.
    """
    reading = circuit.entered.readings[reading_index]
    if circuit.entered.kind != "loads":
        raise ValueError(f"{circuit.name}: feeds no loads of its own that could be corrected")
    factor = load_factor(circuit, reading)
    if not factor:
        raise ValueError(f"{circuit.name}: no power of its loads gives {reading.current_a:g} A")
    note = f"{MEASURED}{reading.current_a:g} A at {reading.supply_v:g} V"
    if reading.date:
        note += f" on {reading.date}"
    loads = tuple(_scaled(load, factor, note) if load.name in circuit.feeds else load for load in design.loads)
    return replace(design, loads=loads)


def _scaled(load: Load, factor: float, note: str) -> Load:
    if load.power_w is None and load.current_a is None:
        return load
    kept = [part for part in load.note.split("; ") if part and not part.startswith(MEASURED)]
    return replace(
        load,
        power_w=_times(load.power_w, factor),
        current_a=_times(load.current_a, factor),
        note="; ".join([*kept, note]),
    )


def _times(value: float | None, factor: float) -> float | None:
    return None if value is None else float(f"{value * factor:.{FIGURES}g}")
