"""One circuit from what is typed to every figure: sized, solved, protected, and what a careful friend says about it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from model.wiring.circuit import Circuit, Protection, Tree
from model.wiring.flow import Flow, loss_wh_per_day, running, standby, worst_start
from model.wiring.protection import Exposure, Guard, guards, needed_a
from model.wiring.short_circuit import Prospective, at_devices, prospective
from model.wiring.sizing import Sized, SizedRun, size


@dataclass(frozen=True, slots=True)
class Wired:
    """A circuit with all its figures. Per run in the circuit's order: `runs`, `passing_a` (what protection must pass).

    Per place of `shape`: `short`, from the feeding source. at_devices_a: (run, end) -> current a device there must break.
    running, starting, standby and loss_wh_per_day are None where no voltage carries the loads.
    """

    typed: Circuit
    circuit: Circuit
    shape: Tree
    runs: tuple[SizedRun, ...]
    passing_a: tuple[float, ...]
    running: Flow | None
    starting: Flow | None
    standby: Flow | None
    guards: tuple[Guard, ...]
    exposures: tuple[Exposure, ...]
    short: tuple[Prospective, ...]
    at_devices_a: dict[tuple[int, str], float]
    loss_wh_per_day: float | None

    def volts(self, point: str) -> float | None:
        """Running voltage at a point; None without an operating point or where no run leads there."""
        place = self.shape.place.get(point)
        return None if place is None or self.running is None else self.running.volts[place]

    def drop_v(self, place: int) -> float | None:
        """Voltage lost from the battery to a place while running."""
        if self.running is None:
            return None
        source = self.circuit.source
        return source.running_v - self.running.volts[place] + source.upstream_drop_v


@dataclass(frozen=True, slots=True)
class Solved:
    """What others need to know of a circuit before all its figures are worked out: its sizes and what it draws."""

    sized: Sized
    running: Flow | None
    starting: Flow | None
    standby: Flow | None

    def feed_a(self, flow: Flow | None) -> float:
        """Current that the circuit takes from its source in one of these states."""
        return _feed_a(self.sized.circuit, self.sized.shape, flow)


@lru_cache(maxsize=2048)
def solved(circuit: Circuit) -> Solved:
    """One circuit sized, running, starting and standing by."""
    sized = size(circuit)
    full, shape, lines = sized.circuit, sized.shape, sized.lines
    return Solved(sized, running(full, shape, lines), worst_start(full, shape, lines), standby(full, shape, lines))


@lru_cache(maxsize=1024)
def wired(circuit: Circuit) -> Wired:
    """All figures of one circuit."""
    before = solved(circuit)
    sized = before.sized
    full, shape, lines = sized.circuit, sized.shape, sized.lines
    guarded, exposed = guards(full, shape)
    return Wired(
        circuit,
        full,
        shape,
        sized.runs,
        tuple(needed_a(full, shape)),
        before.running,
        before.starting,
        before.standby,
        guarded,
        exposed,
        prospective(full, shape, lines=lines),
        at_devices(full, shape, lines),
        loss_wh_per_day(full, shape, lines, before.running),
    )


def feed_current_a(one: Wired, flow: Flow | None) -> float:
    """Current that a circuit takes from its source: of the runs that leave it, and of loads that hang right on it.

    Where no voltage carries the loads, their power over the source's voltage.
    """
    return _feed_a(one.circuit, one.shape, flow)


def _feed_a(circuit: Circuit, shape: Tree, flow: Flow | None) -> float:
    source = circuit.source
    if flow is None:
        return sum(load.power_w for load in circuit.loads) / source.running_v
    leaving = sum(flow.current_a[index] for index in shape.order if circuit.runs[index].start == source.point)
    at_source = [load for load in circuit.loads if load.point == source.point]
    if flow.state == "standby":
        return leaving + sum(load.current_a(flow.volts[0], load.standby_w) for load in at_source)
    return leaving + sum(load.current_a(flow.volts[0]) for load in at_source)


def first_fuse(one: Wired) -> Protection | None:
    """The fuse that one names first: at the source's end of the circuit, else the first on the way; None without any."""
    runs = [one.circuit.runs[index] for index in one.shape.order]
    found = (device for run in runs for device in (run.protection, run.end_protection) if device is not None)
    return next(found, None)
