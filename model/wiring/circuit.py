"""What the room reads: circuits as trees of runs between named points, with protection, contacts and loads on them.

Every class is frozen and hashable, so that answers can be kept per circuit; lengths are those of the route, one way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

from model.wiring.conductors import Conductor, Family
from model.wiring.fuses import FULL_V_PER_NOMINAL
from model.working import Finding

SourceKind = Literal["battery", "bus bar", "panel", "alternator", "charger", "controller", "inverter", "array"]
Law = Literal["power", "current", "resistance"]
Return = Literal["two conductors", "chassis"]
End = Literal["start", "end"]

CRITICAL_DROP = 0.03
OTHER_DROP = 0.10
"""Largest drop as a share of the nominal voltage: panel feeders, blowers, electronics, navigation lights; and everything else.
ABYC E-11, 11.14.2.6, as quoted at second hand."""


@dataclass(frozen=True, slots=True)
class Source:
    """Where current comes from.

    running_v: voltage at its terminals in ordinary running; low_v: with a low battery (its open-circuit voltage, for
    `ohm_most` stands behind it then); full_v: open-circuit voltage when full, for short circuits. ohm_least, ohm_most:
    resistance behind its terminals, back to the battery's own cells, cold and new or warm and worn; None where nobody knows.
    limited_a: current that it cannot exceed even into a short circuit (charger, array, controller). backup_breaks_a: what
    the main fuse in front of it can break; backup_a: what that fuse lets pass. ohm_cold: as ohm_most with the cells
    as cold as they get. upstream_drop_v: what is
    lost in cable that it shares with others, counted within the limits of drop: on the way from the battery to it; for what
    charges, from the bus bar where its circuit ends to the battery.
    """

    point: str
    kind: SourceKind
    nominal_v: float
    running_v: float
    low_v: float
    full_v: float
    ohm_least: float | None = None
    ohm_most: float | None = None
    limited_a: float | None = None
    backup_breaks_a: float | None = None
    upstream_drop_v: float = 0.0
    backup_a: float | None = None
    ohm_cold: float | None = None

    @property
    def start_ohm(self) -> float:
        """Resistance behind its terminals for what starts on a low battery: in the cold, where that is known."""
        return (self.ohm_most or 0.0) if self.ohm_cold is None else self.ohm_cold

    @property
    def fused_v(self) -> float:
        """The nominal voltage of a system whose fuses bear this source when full; its own where no cells stand behind it."""
        if self.kind not in ("battery", "panel", "bus bar"):
            return self.nominal_v
        return max(self.nominal_v, self.full_v / FULL_V_PER_NOMINAL)


@dataclass(frozen=True, slots=True)
class Protection:
    """A fuse or breaker at one end of a run. rating_a and family: None lets the program choose.

    distance_m: conductor between the end of the run and the device; sheathed: that piece lies in a sheath or enclosure.
    interrupting_a: the maker's figure, where it is better known than the family's. holder_a: rating of holder or panel way.
    ohm: fuse and holder together.
    """

    rating_a: float | None = None
    family: str | None = None
    distance_m: float = 0.0
    sheathed: bool = False
    holder_a: float | None = None
    interrupting_a: float | None = None
    ohm: float = 0.0


@dataclass(frozen=True, slots=True)
class Contact:
    """A connector, terminal or switch at one end of a run. ohm: both poles together. pins: what is on which, as text."""

    name: str
    end: End
    rating_a: float
    loaded: int = 2
    poles: int = 2
    ohm: float = 0.0
    pins: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """One piece of cable from one named point to the next, away from the source.

    conductor: None lets the program choose from the circuit's family. bundled_with: current-carrying conductors of other
    runs in the same bundle. chassis_ohm: measured resistance of the chassis return; None counts it like a second conductor.
    joints_ohm: other joints of the loop. mains: of alternating current, with a third conductor for protective earth.
    end_bears_a: rating of what stands at its end (a fuse panel), where it is known. laid: it lies where it stays.
    """

    start: str
    end: str
    length_m: float
    conductor: Conductor | None = None
    insulation_c: float = 105.0
    ambient_c: float = 30.0
    bundled_with: int = 0
    sheathed: bool = True
    returns: Return = "two conductors"
    chassis_ohm: float | None = None
    joints_ohm: float = 0.0
    protection: Protection | None = None
    end_protection: Protection | None = None
    contacts: tuple[Contact, ...] = ()
    mains: bool = False
    end_bears_a: float | None = None
    laid: bool = False

    @property
    def bundled(self) -> int:
        """Current-carrying conductors that lie together, its own counted."""
        return self.bundled_with + (2 if self.returns == "two conductors" else 1)

    @property
    def loop_m(self) -> float:
        """Length of conductor that the current passes, out and back."""
        both = self.returns == "two conductors" or self.chassis_ohm is None
        return self.length_m * (2 if both else 1)

    @property
    def fixed_ohm(self) -> float:
        """Resistance of the loop that does not depend on the conductor: fuses, contacts, joints, measured chassis."""
        chassis = (self.chassis_ohm or 0.0) if self.returns == "chassis" else 0.0
        fuses = sum(one.ohm for one in (self.protection, self.end_protection) if one is not None)
        return chassis + fuses + self.joints_ohm + sum(contact.ohm for contact in self.contacts)


@dataclass(frozen=True, slots=True)
class PointLoad:
    """What hangs on one point. power_w holds at rated_v; start_a: starting current, None where it starts as it runs.

    law: how its current follows the voltage: electronics, converters and lamps with a driver keep their power, a heater
    its resistance. drop_limit: share of the nominal voltage that may be lost on the way, CRITICAL_DROP or OTHER_DROP.
    cut_out_v: voltage below which the device switches itself off.
    """

    name: str
    point: str
    power_w: float
    rated_v: float
    law: Law = "power"
    start_a: float | None = None
    standby_w: float = 0.0
    hours_per_day: float = 0.0
    continuous: bool = True
    drop_limit: float = OTHER_DROP
    cut_out_v: float | None = None

    def current_a(self, volts: float, power_w: float | None = None) -> float:
        """Current at `volts`, running or at another power by the same law."""
        watts = self.power_w if power_w is None else power_w
        if self.law == "power":
            return watts / volts
        if self.law == "current":
            return watts / self.rated_v
        return volts * watts / self.rated_v**2


@dataclass(frozen=True, slots=True)
class Circuit:
    """A source, the runs beyond it, and the loads at their points. others: further sources at points of the same tree.

    converter: what a DC-DC charger at its point gives to the runs beyond; they are then a part of their own. What it takes is
    a load at the same point. charges: what chargers give into the tree at their points, as loads of constant current: copper
    loses the same either way. They count beside the loads, not against them: all chargers on and no load is one case, all
    loads on and no charger the other.
    """

    key: str
    name: str
    source: Source
    runs: tuple[Run, ...]
    loads: tuple[PointLoad, ...] = ()
    others: tuple[Source, ...] = ()
    family: Family = "AWG"
    tinned: bool = False
    converter: Source | None = None
    charges: tuple[PointLoad, ...] = ()

    @property
    def fused_v(self) -> float:
        """The nominal voltage for which its fuses must be made: that of the highest of its sources."""
        return max(one.fused_v for one in (self.source, *self.others))

    @property
    def charged(self) -> Circuit:
        """The same cables with what flows while everything charges."""
        return replace(self, loads=self.charges, charges=())


@dataclass(frozen=True, slots=True)
class Tree:
    """The runs that hang on the source, in an order in which a point comes before all beyond it.

    Place 0 is the source's point, place k the end of run `order[k - 1]`; `parent[k]` is the place where that run starts and
    `parent[0]` is -1. `place` finds them by name. faults: what does not hang together, left out of the figures.
    """

    order: tuple[int, ...]
    parent: tuple[int, ...]
    points: tuple[str, ...]
    place: dict[str, int]
    faults: tuple[Finding, ...]

    @property
    def roots(self) -> tuple[int, ...]:
        """The runs that leave the source, as indices into the circuit's runs."""
        return tuple(run for place, run in enumerate(self.order, start=1) if self.parent[place] == 0)

    def path(self, place: int) -> tuple[int, ...]:
        """The runs from the source to a place, as indices into the circuit's runs."""
        found: list[int] = []
        while place > 0:
            found.append(self.order[place - 1])
            place = self.parent[place]
        return tuple(reversed(found))


@lru_cache(maxsize=1024)
def tree(circuit: Circuit) -> Tree:
    """The circuit's runs in order. Loops, double feeds and loose ends become findings, never exceptions."""
    leaving: dict[str, list[int]] = {}
    for index, run in enumerate(circuit.runs):
        leaving.setdefault(run.start, []).append(index)
    root = circuit.source.point
    order: list[int] = []
    parent, points, place = [-1], [root], {root: 0}
    faults: list[Finding] = []
    for here, point in enumerate(points):  # grows while it is walked
        for index in leaving.get(point, ()):
            end = circuit.runs[index].end
            if end in place:
                faults.append(_loop(circuit, index, end))
                continue
            place[end] = len(points)
            points.append(end)
            parent.append(here)
            order.append(index)
    faults += _loose(circuit, place)
    return Tree(tuple(order), tuple(parent), tuple(points), place, tuple(faults))


def _loop(circuit: Circuit, index: int, end: str) -> Finding:
    return Finding(
        "danger",
        f"circuits/{circuit.key}/runs/{index}/end",
        f"{circuit.name}: {end} is fed twice; a circuit must be a tree, and this run is left out of the figures.",
        "Give the end of this run a point of its own, or take one of the two runs out.",
    )


def _loose(circuit: Circuit, place: dict[str, int]) -> list[Finding]:
    found: list[Finding] = []
    for index, run in enumerate(circuit.runs):
        if run.start not in place:
            found.append(
                Finding(
                    "danger",
                    f"circuits/{circuit.key}/runs/{index}/start",
                    f"{circuit.name}: nothing leads from {circuit.source.point} to {run.start};"
                    f" the run to {run.end} is left out of the figures.",
                    "Add the run that feeds it, or correct the name of the point.",
                )
            )
    things = [("loads", index, one.name, one.point) for index, one in enumerate(circuit.loads)]
    things += [("others", index, f"the {one.kind}", one.point) for index, one in enumerate(circuit.others)]
    for where, index, name, point in things:
        if point not in place:
            found.append(
                Finding(
                    "danger",
                    f"circuits/{circuit.key}/{where}/{index}/point",
                    f"{circuit.name}: no run leads to {point}, where {name} is; it is left out of the figures.",
                    "Add the run, or correct the name of the point.",
                )
            )
    return found
