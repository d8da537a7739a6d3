"""Currents and voltages of a circuit while it runs, starts and stands by, with conductors as warm as their currents make them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import islice, pairwise
from operator import add, mul, sub
from typing import Literal, NamedTuple

from model.wiring.ampacity import allowable_a, insulation_class_c
from model.wiring.circuit import Circuit, PointLoad, Run, Tree
from model.wiring.conductors import PER_K, Conductor
from model.wiring.network import Draw, currents_a, newton_step

State = Literal["running", "starting", "standby", "charging"]
NO_DRAW = Draw()
TOLERANCE = 1e-12  # last step over the source's voltage
MOST_STEPS = 60  # at the very edge of collapse a step halves the error instead of squaring it


class Line(NamedTuple):
    """One run as the network sees it. ohm_20c: conductor of the loop at 20 °C; fixed_ohm: contacts, joints, chassis."""

    ohm_20c: float
    fixed_ohm: float
    ambient_c: float
    hottest_c: float
    allowed_a: float

    def temperature_c(self, current_a: float) -> float:
        """Ta + (Tc - Ta) (I / Iz)^2: the heat balance of the ambient factor, read the other way; never above Tc.

        Iz, the allowable current, is what brings it to the insulation's temperature Tc. Above it a finding says so.
        """
        if current_a >= self.allowed_a:
            return max(self.hottest_c, self.ambient_c)
        return self.ambient_c + (self.hottest_c - self.ambient_c) * (current_a / self.allowed_a) ** 2

    def ohm(self, temperature_c: float) -> float:
        """Resistance of the whole loop, ohm."""
        return self.ohm_20c * (1 + PER_K * (temperature_c - 20)) + self.fixed_ohm


@dataclass(frozen=True, slots=True)
class Flow:
    """One state of a circuit. Per run, as in the circuit: current_a, ohm (loop), temperature_c; per place of its tree: volts.

    Runs that hang on nothing carry 0 A. emf_v: voltage that the drops are counted from.
    """

    state: State
    emf_v: float
    volts: tuple[float, ...]
    current_a: tuple[float, ...]
    ohm: tuple[float, ...]
    temperature_c: tuple[float, ...]

    def drop_v(self, run: int) -> float:
        """Voltage lost in one run, both ways."""
        return self.current_a[run] * self.ohm[run]

    @property
    def loss_w(self) -> float:
        """Heat in all runs together: I^2 R."""
        return sum(amps * amps * ohm for amps, ohm in zip(self.current_a, self.ohm, strict=True))


def allowed_a(run: Run, conductor: Conductor) -> float:
    """What a conductor bears where this run lies."""
    return allowable_a(conductor, run.insulation_c, run.ambient_c, run.bundled, run.mains)


def line(run: Run) -> Line:
    """The run as a resistance; its conductor must be chosen."""
    assert run.conductor is not None, "sizing comes before flow"
    return line_of(run, run.conductor.resistance_20c_ohm_per_m, allowed_a(run, run.conductor))


def line_of(run: Run, ohm_20c_per_m: float, bears_a: float) -> Line:
    """The run with some conductor, as a resistance."""
    hottest_c = float(insulation_class_c(run.insulation_c) or run.insulation_c)
    return Line(ohm_20c_per_m * run.loop_m, run.fixed_ohm, run.ambient_c, hottest_c, bears_a)


def draws(circuit: Circuit, shape: Tree, power_w: Callable[[PointLoad], float]) -> list[Draw]:
    """The loads of each place together, each with the power (at its rated voltage) that `power_w` gives it."""
    found = [NO_DRAW] * len(shape.points)
    for load in circuit.loads:
        place = shape.place.get(load.point)
        if place is not None:
            found[place] = _with(found[place], load, power_w(load))
    return found


def _with(draw: Draw, load: PointLoad, watts: float) -> Draw:
    """So many watts of a load (at its rated voltage) more at a point, by the law of the load."""
    power, current, conductance = draw
    if load.law == "power":
        return Draw(power + watts, current, conductance)
    if load.law == "current":
        return Draw(power, current + watts / load.rated_v, conductance)
    return Draw(power, current, conductance + watts / load.rated_v**2)


def starts(circuit: Circuit, shape: Tree) -> list[list[Draw]]:
    """For each load that starts (`starters`), what all places draw then: its starting current, whatever the voltage (a motor that
    does not turn yet, an empty capacitor), while all others run."""
    all_on, found = draws(circuit, shape, running_w), []
    for load in starters(circuit):
        one = list(all_on)
        if load is not None and load.point in shape.place:
            place = shape.place[load.point]
            power, current, conductance = _with(one[place], load, -load.power_w)
            one[place] = Draw(power, current + (load.start_a or 0.0), conductance)
        found.append(one)
    return found


def running_w(load: PointLoad) -> float:
    """Power of a load that runs."""
    return load.power_w


def solve(
    parent: Sequence[int],
    lines: Sequence[Line],
    loads: Sequence[Draw],
    emf_v: float,
    behind_ohm: float = 0.0,
    tolerance: float = TOLERANCE,
) -> tuple[list[float], list[float]] | None:
    """Volts of all places, and the temperatures of the lines that end there; None where nothing carries the loads.

    The lines stand in the order of places 1, 2, ... Resistances follow the currents from step to step: they only rise on the
    way down, so that what the network promises holds.
    """
    volts = [emf_v] * len(parent)
    temperatures_c = [one.ambient_c for one in lines]
    per_k = [one.ohm_20c * PER_K for one in lines]
    at_0c = [one.ohm(0.0) for one in lines]
    for _ in range(MOST_STEPS):
        ohm = [behind_ohm, *map(add, at_0c, map(mul, per_k, temperatures_c))]
        step = newton_step(parent, ohm, loads, emf_v, volts)
        if step is None:
            return None
        before, (volts, amps) = volts, step
        if max(map(abs, map(sub, volts, before))) <= tolerance * emf_v:
            return volts, temperatures_c
        temperatures_c = [
            one.temperature_c(current_a) for one, current_a in zip(lines, islice(amps, 1, None), strict=True)
        ]
    return None


def lines_of(circuit: Circuit, shape: Tree) -> tuple[Line, ...]:
    """The runs of the tree as resistances, in the order of its places 1, 2, ...; their conductors must be chosen."""
    return tuple(line(circuit.runs[index]) for index in shape.order)


def flow(
    circuit: Circuit,
    shape: Tree,
    state: State,
    loads: Sequence[Draw],
    emf_v: float,
    behind_ohm: float = 0.0,
    lines: Sequence[Line] | None = None,
) -> Flow | None:
    """The circuit, every conductor chosen, with what its places draw; None where no voltage carries that.

    lines: those of `lines_of`, where they are at hand.
    """
    lines = lines_of(circuit, shape) if lines is None else lines
    answer = solve(shape.parent, lines, loads, emf_v, behind_ohm)
    if answer is None:
        return None
    volts, temperatures_c = answer
    currents = currents_a(shape.parent, loads, volts)
    ambient_c = [run.ambient_c for run in circuit.runs]
    amps, ohms = [0.0] * len(ambient_c), [0.0] * len(ambient_c)
    for place, index in enumerate(shape.order, start=1):
        amps[index] = currents[place]
        ambient_c[index] = temperatures_c[place - 1]
        ohms[index] = lines[place - 1].ohm(temperatures_c[place - 1])
    return Flow(state, emf_v, tuple(volts), tuple(amps), tuple(ohms), tuple(ambient_c))


def running(circuit: Circuit, shape: Tree, lines: Sequence[Line] | None = None) -> Flow | None:
    """All loads on, the source at its running voltage."""
    return flow(circuit, shape, "running", draws(circuit, shape, running_w), circuit.source.running_v, lines=lines)


def standby(circuit: Circuit, shape: Tree, lines: Sequence[Line] | None = None) -> Flow | None:
    """All loads off, drawing what they draw while off."""
    loads = draws(circuit, shape, lambda load: load.standby_w)
    return flow(circuit, shape, "standby", loads, circuit.source.running_v, lines=lines)


def charging(circuit: Circuit, shape: Tree, lines: Sequence[Line] | None = None) -> Flow | None:
    """All chargers give and no load draws; None where nothing charges through these runs. The currents flow towards the source,
    so each point lies as far above it as loads of the same constant currents would pull it below."""
    if not circuit.charges:
        return None
    emf_v = circuit.source.running_v
    found = flow(circuit, shape, "charging", draws(circuit.charged, shape, running_w), emf_v, lines=lines)
    return None if found is None else replace(found, volts=tuple(2 * emf_v - volts for volts in found.volts))


def starters(circuit: Circuit) -> list[PointLoad | None]:
    """The loads that start, one after the other; where none has a start of its own, nobody: all run on the low battery."""
    return [load for load in circuit.loads if load.start_a] or [None]


def worst_start(circuit: Circuit, shape: Tree, lines: Sequence[Line] | None = None) -> Flow | None:
    """The lowest voltage of every place and the largest current of every run, over the starts of all loads one by one, while all
    others run, on a low battery and through the resistance behind the source."""
    source = circuit.source
    flows = [
        flow(circuit, shape, "starting", loads, source.low_v, source.start_ohm, lines)
        for loads in starts(circuit, shape)
    ]
    first = flows[0]
    found = [one for one in flows if one is not None]
    if first is None or len(found) < len(flows):
        return None
    if len(found) == 1:
        return first
    hottest = [max(range(len(found)), key=lambda at: found[at].current_a[run]) for run in range(len(circuit.runs))]
    return Flow(
        "starting",
        first.emf_v,
        tuple(min(volts) for volts in zip(*(one.volts for one in found), strict=True)),
        tuple(found[at].current_a[run] for run, at in enumerate(hottest)),
        tuple(found[at].ohm[run] for run, at in enumerate(hottest)),
        tuple(found[at].temperature_c[run] for run, at in enumerate(hottest)),
    )


def loss_wh_per_day(
    circuit: Circuit,
    shape: Tree,
    lines: Sequence[Line] | None = None,
    all_on: Flow | None = None,
    all_off: Flow | None = None,
) -> float | None:
    """Energy lost in the runs in a day; None where some hour has no operating point.

    Loads run together as long as they can, the shorter within the longer, the cautious case: heat follows the square of the
    current. While off they draw their standby. all_on, all_off: the running state and that of standby, where they are
    at hand.
    """
    on = sorted(circuit.loads, key=lambda load: load.hours_per_day, reverse=True)
    ends_h = sorted({0.0, 24.0, *(min(max(load.hours_per_day, 0.0), 24.0) for load in on)})
    loads, lost_wh = draws(circuit, shape, running_w), 0.0
    for begin_h, end_h in pairwise(ends_h):
        while on and on[-1].hours_per_day < end_h:  # it has run its hours
            load = on.pop()
            place = shape.place.get(load.point)
            if place is not None:
                loads[place] = _with(loads[place], load, load.standby_w - load.power_w)
        during = all_on if len(on) == len(circuit.loads) else None if on else all_off
        during = during or flow(circuit, shape, "running", loads, circuit.source.running_v, lines=lines)
        if during is None:
            return None
        lost_wh += during.loss_w * (end_h - begin_h)
    return lost_wh
