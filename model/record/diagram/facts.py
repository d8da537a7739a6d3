"""What a drawing says of a cable, a fuse or a circuit, in words."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from model.wiring.circuit import Protection
from model.wiring.conductors import Conductor
from model.wiring.papers.cables import Cable, named, of_circuit
from model.wiring.papers.ways import fuse_colour
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan


def cables_of(circuit: CircuitPlan) -> tuple[Cable, ...]:
    """The cables of a circuit; their cut lengths, which a drawing does not tell, are left without slack."""
    return tuple(of_circuit(circuit, 0.0))


def colour(cable: Cable) -> str:
    """The jacket's colour in words, or those of the single conductors."""
    found = [piece.material.colour for piece in cable.pieces]
    if cable.make == "two-core":
        return f"{found[0]} jacket" if found[0] else "no colour given"
    return " and ".join(found)


def fuse(one: Protection | None) -> str:
    """ "7.5 A Type F, brown"; "" where there is none."""
    if one is None or one.rating_a is None:
        return ""
    shade = fuse_colour(one.family or "", one.rating_a)
    return f"{one.rating_a:g} A {one.family or ''}".rstrip() + (f", {shade}" if shade else "")


@dataclass(frozen=True, slots=True)
class Link:
    """Several runs drawn as one piece. at_start, at_end: its fuses there; other_fuses: how many there are between.

    isolated: a switch or isolator is among its contacts, by its name.
    """

    cable: str
    colour: str
    at_start: str
    at_end: str
    other_fuses: int
    amps: float | None
    isolator: str


def link(found: Sequence[Cable]) -> Link:
    """Runs in the order of the circuit; the first begins at its source."""
    metres = sum(one.run.length_m for one in found)
    length = f"{metres:.1f} m, {len(found)} runs" if len(found) > 1 else f"{metres:.2f} m"
    colours = tuple(dict.fromkeys(colour(one) for one in found if one.pieces))
    first, last = found[0].run.protection, found[-1].run.end_protection
    among = [device for one in found for _, device in devices(one.run) if device.rating_a is not None]
    at_start, at_end = fuse(first), fuse(last)
    return Link(
        f"{_sizes([one.conductor for one in found])} · {length}",
        ", ".join(one for one in colours if one),
        at_start,
        at_end,
        len(among) - bool(at_start) - bool(at_end),
        found[0].load_a,
        _isolator(found),
    )


def _sizes(found: Sequence[Conductor]) -> str:
    """ "0.75 mm2"; "0.75 to 2.5 mm2" where they differ."""
    by_area = sorted(found, key=lambda one: one.conducting_area_mm2)
    thin, thick = by_area[0], by_area[-1]
    if thin.name == thick.name:
        return named(thin)
    return f"{thin.size if thin.family == thick.family == 'mm2' else thin.name} to {thick.name}"


def _isolator(found: Iterable[Cable]) -> str:
    names = (contact.name for one in found for contact in one.run.contacts)
    return next((name for name in names if "isolator" in name.lower() or "switch" in name.lower()), "")
