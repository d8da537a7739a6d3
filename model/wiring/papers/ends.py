"""What every bare end of a conductor is finished with: a ring terminal on a stud, or a splice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from model.wiring.circuit import End
from model.wiring.conductors import Conductor
from model.wiring.fuses import families
from model.wiring.papers.cables import JACKETED_UP_TO_MM2, Cable
from model.wiring.protection import devices

REMARK = (
    "Ring terminals at every source, a battery that is charged among them, and wherever a conductor above 6 mm2 ends;"
    " elsewhere one splice a pole where runs meet, and one for each tail of a device; nothing where a connector is named, nor"
    " for alternating current: common practice, no source."
)


BOND = "bond, battery negative to chassis"
RING, SPLICE, PLUG = "ring terminal", "butt splice", "connector"


@dataclass(frozen=True, slots=True)
class Joint:
    """One place where current passes from one piece of metal to another. point: where; cables: ids of those that meet in it;
    conductor: the one it is crimped on, the thickest; count: how many alike, one a pole; load_a: current with all loads on, None
    where nobody can say; tail: a device's own lead goes into it too."""

    kind: str
    point: str
    cables: tuple[str, ...]
    conductor: Conductor
    count: int
    load_a: float | None
    tail: bool = False


@dataclass(frozen=True, slots=True)
class Joints:
    """Ring terminals and splices, counted by the conductor that they are crimped on."""

    rings: Counter[Conductor]
    splices: Counter[Conductor]


def joints(cables: tuple[Cable, ...]) -> Joints:
    """What finishes the ends of these cables. Ends with a connector need nothing more; the licensed person brings the rest of
    alternating current."""
    counted: dict[str, Counter[Conductor]] = {RING: Counter(), SPLICE: Counter(), PLUG: Counter()}
    for one in all_joints(cables):
        counted[one.kind][one.conductor] += one.count
    return Joints(counted[RING], counted[SPLICE])


def all_joints(cables: tuple[Cable, ...]) -> tuple[Joint, ...]:
    """Every joint of these cables, circuit by circuit and point by point."""
    found: list[Joint] = []
    for key in dict.fromkeys(cable.circuit.key for cable in cables):
        own = [cable for cable in cables if cable.circuit.key == key and cable.pieces and not cable.run.mains]
        if own:
            found += _of_circuit(own)
    returning = [cable for cable in cables if cable.run.returns == "chassis" and not cable.run.mains]
    if returning:
        bond = max((cable.conductor for cable in returning), key=lambda one: one.nominal_area_mm2)
        found.append(Joint(RING, BOND, (), bond, 2, None))
    return tuple(found)


def _of_circuit(own: list[Cable]) -> Iterator[Joint]:
    circuit = own[0].circuit.wired.circuit
    studs = {circuit.source.point, *(other.point for other in circuit.others)}
    if own[0].circuit.entered.kind == "main":  # posts, bars and panels throughout
        studs.update(point for cable in own for point in (cable.run.start, cable.run.end))
    tails = {load.point for load in circuit.loads if load.power_w > 0}
    for point, ends in _points(own).items():
        bare = [cable for cable, end in ends if not any(one.end == end for one in cable.run.contacts)]
        if point in studs or any(_thick(cable.conductor) for cable, _ in ends):
            for cable in bare:
                yield Joint(RING, point, (cable.id,), cable.conductor, poles(cable), cable.load_a)
        elif bare:  # one splice a pole: runs with each other, or the last run with the device's tails
            thickest = max(bare, key=lambda cable: cable.conductor.nominal_area_mm2)
            most_a = max((cable.load_a for cable in bare if cable.load_a is not None), default=None)
            ids, count = tuple(cable.id for cable in bare), max(poles(cable) for cable in bare)
            yield Joint(SPLICE, point, ids, thickest.conductor, count, most_a, point in tails)
        for cable, end in ends:
            for plug in (one for one in cable.run.contacts if one.end == end):
                where = f"{point}, {plug.name}"
                yield Joint(PLUG, where, (cable.id,), cable.conductor, poles(cable), cable.load_a)
    for cable in own:
        if cable.run.returns == "chassis" and cable.run.end in tails:
            where = f"chassis stud near {cable.run.end}"
            yield Joint(RING, where, (cable.id,), cable.conductor, 1, cable.load_a)
        for end, one in devices(cable.run):
            if is_bolted(one.family):
                where = f"fuse of {cable.id} near {cable.run.start if end == 'start' else cable.run.end}"
                yield Joint(RING, where, (cable.id,), cable.conductor, 2, cable.load_a)


def poles(cable: Cable) -> int:
    """Conductors of a cable."""
    return sum(piece.material.cores for piece in cable.pieces)


def is_bolted(family: str | None) -> bool:
    """Whether a fuse of that family is bolted between two ring terminals."""
    found = families().get(family or "")
    return found is not None and found.form.startswith(("bolt-down", "cartridge"))


def _thick(one: Conductor) -> bool:
    return one.nominal_area_mm2 > JACKETED_UP_TO_MM2


def _points(cables: list[Cable]) -> dict[str, list[tuple[Cable, End]]]:
    """Point -> the ends of cables there."""
    found: dict[str, list[tuple[Cable, End]]] = {}
    for cable in cables:
        found.setdefault(cable.run.start, []).append((cable, "start"))
        found.setdefault(cable.run.end, []).append((cable, "end"))
    return found
