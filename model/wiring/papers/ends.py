"""What every bare end of a conductor is finished with: a ring terminal on a stud, or a splice."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from model.wiring.circuit import End
from model.wiring.conductors import Conductor
from model.wiring.fuses import families
from model.wiring.papers.cables import JACKETED_UP_TO_MM2, Cable
from model.wiring.protection import devices

REMARK = (
    "Ring terminals at the source and wherever a conductor above 6 mm2 ends; elsewhere one splice a pole where runs meet,"
    " and one for each tail of a device; nothing where a connector is named, nor for alternating current: common practice,"
    " no source."
)


@dataclass(frozen=True, slots=True)
class Joints:
    """Ring terminals and splices, counted by the conductor that they are crimped on."""

    rings: Counter[Conductor]
    splices: Counter[Conductor]


def joints(cables: tuple[Cable, ...]) -> Joints:
    """What finishes the ends of these cables. Ends with a connector need nothing more; the licensed person brings the rest of
    alternating current."""
    rings: Counter[Conductor] = Counter()
    splices: Counter[Conductor] = Counter()
    for key in dict.fromkeys(cable.circuit.key for cable in cables):
        own = [cable for cable in cables if cable.circuit.key == key and cable.pieces and not cable.run.mains]
        if not own:
            continue
        source = own[0].circuit.wired.circuit.source.point
        for point, ends in _points(own).items():
            bare = [cable for cable, end in ends if not any(one.end == end for one in cable.run.contacts)]
            if point == source or any(_thick(cable.conductor) for cable, _ in ends):
                for cable in bare:
                    rings[cable.conductor] += poles(cable)
            elif bare:  # one splice a pole: runs with each other, or the last run with the device's tails
                thickest = max(bare, key=lambda cable: cable.conductor.nominal_area_mm2)
                splices[thickest.conductor] += max(poles(cable) for cable in bare)
        for cable in own:
            rings[cable.conductor] += 2 * sum(1 for _, one in devices(cable.run) if is_bolted(one.family))
    return Joints(rings, splices)


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
