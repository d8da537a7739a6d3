"""How much cable there is, and what its copper weighs: part of a van's payload."""

from __future__ import annotations

from dataclasses import dataclass

from model.wiring.papers.cables import Material
from model.wiring.papers.cut_list import by_material
from model.wiring.papers.paper import Column
from model.wiring.table import WiringPlan

COPPER_KG_PER_M_MM2 = 8.96e-3
"""Density of copper, 8.96 g/cm3: CRC Handbook of Chemistry and Physics, from memory, to be checked against it."""

REMARKS = ("Copper alone, by the nominal section and 8.96 g/cm3; insulation and jacket come to it.",)


@dataclass(frozen=True, slots=True)
class Copper:
    """One material: metres of cable, and the mass of the copper in all its cores. None stands for all together."""

    material: Material | None
    length_m: float
    copper_kg: float

    @property
    def item(self) -> str:
        return "All cables" if self.material is None else self.material.name


COLUMNS = (
    Column("item", "Cable"),
    Column("length_m", "Length", "m"),
    Column("copper_kg", "Copper", "kg"),
)


def copper_kg(length_m: float, area_mm2: float, cores: int = 1) -> float:
    """Mass of the copper in a cable: length x cores x area x density."""
    return length_m * cores * area_mm2 * COPPER_KG_PER_M_MM2


def copper(plan: WiringPlan) -> tuple[Copper, ...]:
    """Material after material, and all together at the end."""
    rows: list[Copper] = []
    for one, pieces in by_material(plan).items():
        length_m = sum(piece.length_m for piece in pieces)
        rows.append(Copper(one, length_m, copper_kg(length_m, one.conductor.nominal_area_mm2, one.cores)))
    whole = Copper(None, sum(row.length_m for row in rows), sum(row.copper_kg for row in rows))
    return (*rows, whole)
