"""What to cut from which spool, and what is left on it."""

from __future__ import annotations

from dataclasses import dataclass

from model.wiring.papers.cables import Material, Piece, to_lay
from model.wiring.papers.packing import ROUNDING_M, packed
from model.wiring.papers.paper import Column
from model.wiring.table import WiringPlan

REMARKS = (
    "The longest pieces first, each onto the first spool or onto the fullest with room for it, whichever needs fewer spools"
    " (Johnson 1974).",
    "Cables that are laid already are left out.",
    "Cut in the order given, the longest first. Measure the route with a string before you cut.",
)


@dataclass(frozen=True, slots=True)
class Spool:
    """One spool of one material. number: 1, 2, ... per material; None for a piece that is longer than a spool and must be
    bought by itself."""

    material: Material
    number: int | None
    length_m: float
    pieces: tuple[Piece, ...]

    @property
    def item(self) -> str:
        return self.material.name

    @property
    def cuts(self) -> str:
        """The pieces as one text: "L1-1 5.60 m, L1-3+ 2.60 m"."""
        return ", ".join(f"{piece.cable}{piece.pole} {piece.length_m:.2f} m" for piece in self.pieces)

    @property
    def used_m(self) -> float:
        return sum(piece.length_m for piece in self.pieces)

    @property
    def left_m(self) -> float:
        """What stays on the spool."""
        return max(self.length_m - self.used_m, 0.0)

    @property
    def left_percent(self) -> float:
        return self.left_m / self.length_m * 100

    @property
    def note(self) -> str:
        return "longer than a spool: buy this length in one piece" if self.number is None else ""


COLUMNS = (
    Column("item", "Cable"),
    Column("number", "Spool"),
    Column("length_m", "On the spool", "m"),
    Column("cuts", "Cut"),
    Column("used_m", "Used", "m"),
    Column("left_m", "Left over", "m"),
    Column("left_percent", "Left over", "%", 0),
    Column("note", "Note"),
)


def cut_list(plan: WiringPlan) -> tuple[Spool, ...]:
    """Spool after spool, material after material, thick ones first."""
    spool_m = plan.settings.spool_m
    found: list[Spool] = []
    for material, pieces in by_material(plan).items():
        fitting = [piece for piece in pieces if piece.length_m <= spool_m + ROUNDING_M]
        spools = packed([piece.length_m for piece in fitting], spool_m)
        found += [
            Spool(material, number, spool_m, tuple(fitting[at] for at in spool))
            for number, spool in enumerate(spools, start=1)
        ]
        found += [
            Spool(material, None, piece.length_m, (piece,)) for piece in pieces if piece.length_m > spool_m + ROUNDING_M
        ]
    return tuple(found)


def by_material(plan: WiringPlan) -> dict[Material, list[Piece]]:
    """Everything to cut, sorted by what it is cut from."""
    found: dict[Material, list[Piece]] = {}
    for cable in to_lay(plan):
        for piece in cable.pieces:
            found.setdefault(piece.material, []).append(piece)
    thick_first = sorted(found, key=lambda one: (-one.conductor.nominal_area_mm2, one.name))
    return {material: found[material] for material in thick_first}
