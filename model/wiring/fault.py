"""Short it anywhere: the current at a point, the fuse that opens, and whether it can, from each source by itself."""

from __future__ import annotations

from dataclasses import dataclass

from model.wiring.circuit import End, Protection, Source
from model.wiring.protection import breaks_a, sources
from model.wiring.short_circuit import prospective
from model.wiring.wired import Wired


@dataclass(frozen=True, slots=True)
class Fault:
    """A dead short at a point, fed by one source.

    run, end: where the fuse is that opens (the smallest on the way, of equals the nearest), None where nothing protects the
    point. at_fuse_a: the largest current a short right behind it draws, infinite where unknown; breaks_a: what it can break.
    times_rating: the smallest short-circuit current at the point over the rating: how surely and how fast it opens.
    """

    point: str
    most_a: float
    least_a: float
    run: int | None = None
    end: End | None = None
    rating_a: float | None = None
    breaks_a: float | None = None
    at_fuse_a: float | None = None
    times_rating: float | None = None

    @property
    def can_break(self) -> bool | None:
        """Whether the fuse can break the short at this point; None where there is no fuse."""
        return None if self.breaks_a is None else self.most_a <= self.breaks_a


def fault_at(one: Wired, place: int, source: Source | None = None) -> Fault:
    """The short circuit at a place of the circuit's tree, in front of whatever stands at the end of its run.

    source: which one feeds it, the circuit's own unless another of its sources is named. Beyond a converter the circuit's own
    drives what the converter gives; no other source gets through.
    """
    if one.parts:
        part, here = one.part_at(place)
        if source is None or source == one.circuit.source:
            source = part.circuit.source
        there = source in sources(part.circuit, part.shape)
        return fault_at(part, here, source) if there else Fault(one.shape.points[place], 0.0, 0.0)
    source = source or one.circuit.source
    currents = one.short if source == one.circuit.source else prospective(one.circuit, one.shape, source)
    point, short = one.shape.points[place], currents[place]
    guard = next((g for g in one.guards if g.source == source and g.far == place), None)
    if guard is None or guard.device is None or guard.rating_a is None:
        return Fault(point, short.most_a, short.least_a)
    run, end = guard.device
    device = one.circuit.runs[run].protection if end == "start" else one.circuit.runs[run].end_protection
    assert isinstance(device, Protection)
    return Fault(
        point,
        short.most_a,
        short.least_a,
        run,
        end,
        guard.rating_a,
        breaks_a(device, one.circuit.fused_v),
        one.at_devices_a[run, end],
        short.least_a / guard.rating_a,
    )
