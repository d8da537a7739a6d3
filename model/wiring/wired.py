"""One circuit from what is typed to every figure: sized, solved, protected, and what a careful friend says about it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from model.wiring.circuit import Circuit, Protection, Source, Tree, tree
from model.wiring.flow import Flow, charging, loss_wh_per_day, running, standby, worst_start
from model.wiring.joining import joined
from model.wiring.parting import parts
from model.wiring.protection import Exposure, Guard, guards, needed_a
from model.wiring.short_circuit import Prospective, at_devices, prospective
from model.wiring.sizing import Sized, SizedRun, size


@dataclass(frozen=True, slots=True)
class Wired:
    """A circuit with all its figures. Per run in the circuit's order: `runs`, `passing_a` (what protection must pass for long),
    `starting_a` (what it must pass while a load starts; 0 where nothing does or no fuse is wanted).

    Per place of `shape`: `short`, from the feeding source. at_devices_a: (run, end) -> current a device there must break.
    running, starting, standby and loss_wh_per_day are None where no voltage carries the loads. charging: what chargers send
    through it, None where none does. parts: where a converter cuts the
    circuit in two, what lies before it and beyond it, with the same indices of runs and loads; else empty.
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
    starting_a: tuple[float, ...]
    charging: Flow | None = None
    parts: tuple[Wired, ...] = ()

    def part_at(self, place: int) -> tuple[Wired, int]:
        """The part that feeds a place, and the place in its own tree; the whole where there are no parts."""
        for one in self.parts:
            if self.shape.points[place] in one.shape.place:
                return one, one.shape.place[self.shape.points[place]]
        return self, place

    def source_at(self, place: int) -> Source:
        """What feeds a place: the circuit's source, or the converter in front of it."""
        return self.part_at(place)[0].circuit.source

    def volts(self, point: str) -> float | None:
        """Running voltage at a point; None without an operating point or where no run leads there."""
        place = self.shape.place.get(point)
        return None if place is None or self.running is None else self.running.volts[place]

    def drop_v(self, place: int) -> float | None:
        """Voltage lost to a place while running: from the battery, or from the converter in front of it."""
        one, here = self.part_at(place)
        if one.running is None:
            return None
        source = one.circuit.source
        return source.running_v - one.running.volts[here] + source.upstream_drop_v

    def lasting_a(self, run: int) -> float | None:
        """The largest current that flows in a run for long: of its loads, or of what charges; None without an operating point."""
        if self.running is None:
            return None
        return max(self.running.current_a[run], self.charging.current_a[run] if self.charging is not None else 0.0)

    def charging_drop_v(self, place: int) -> float:
        """Voltage lost from a place to the source while everything charges; 0 where nothing does."""
        return 0.0 if self.charging is None else self.charging.volts[place] - self.charging.emf_v

    def drop_share(self, place: int) -> float | None:
        """The same as a share of the nominal voltage there."""
        lost_v = self.drop_v(place)
        return None if lost_v is None else lost_v / self.source_at(place).nominal_v


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
    return _solved(circuit, tree(circuit))


def _solved(circuit: Circuit, shape: Tree) -> Solved:
    sized = size(circuit, shape)
    full, shape, lines = sized.circuit, sized.shape, sized.lines
    start = sized.start or worst_start(full, shape, lines)
    return Solved(sized, running(full, shape, lines), start, standby(full, shape, lines))


@lru_cache(maxsize=1024)
def wired(circuit: Circuit) -> Wired:
    """All figures of one circuit."""
    shape = tree(circuit)
    found = parts(circuit, shape)
    if len(found) == 1:
        return _wired(circuit, solved(circuit))
    return joined(circuit, shape, [_wired(one, _solved(one, own)) for one, own in found])


def _wired(circuit: Circuit, before: Solved) -> Wired:
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
        loss_wh_per_day(full, shape, lines, before.running, before.standby),
        sized.starting_a,
        charging(full, shape, lines),
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
