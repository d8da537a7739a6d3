"""Copper conductors by three systems of sizes, and their resistance at a temperature."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from model import shelf
from model.quantities.gauge import gauge_area_mm2, gauge_number

Family = Literal["AWG", "SAE", "mm2"]
FAMILIES: tuple[Family, ...] = ("AWG", "SAE", "mm2")
TABLE = "conductors.csv"

RESISTIVITY_20C_OHM_MM2_PER_M = 0.017241
"""Annealed copper at 20 °C: IEC 60028 (1925)."""

PER_K = 0.00393
"""Temperature coefficient of copper at 20 °C: IEC 60028; NBS Handbook 100."""

LAY_UP = 1.02
"""Strands are longer than the cable: NEC chapter 9, table 8, stranded over solid, mean 1.0213."""

TINNED = 1.064
"""The same for tinned strands: NEC chapter 9, table 8, coated over solid, mean; 18 and 16 AWG lie 2 % higher."""

CMIL_MM2 = 5.067074790974977e-4
"""A circular mil: pi / 4 x (0.0254 mm)^2, by definition."""

AWG_SIZES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")
"""The sizes of 33 CFR 183.425, table 5; thinner ones may be typed, none is chosen."""


@dataclass(frozen=True, slots=True)
class Conductor:
    """One stranded copper conductor.

    nominal_area_mm2 is what its name promises; conducting_area_mm2 is the area of the stranded AWG conductor that has the same
    resistance: it stands for the copper in every comparison between the systems of sizes.
    """

    family: Family
    size: str
    tinned: bool
    nominal_area_mm2: float
    resistance_20c_ohm_per_m: float
    source: str

    @property
    def conducting_area_mm2(self) -> float:
        """Area of plain stranded copper with this resistance, mm2."""
        return RESISTIVITY_20C_OHM_MM2_PER_M * LAY_UP / self.resistance_20c_ohm_per_m

    @property
    def name(self) -> str:
        """As on the drum: "12 AWG", "SAE 12", "2.5 mm2"."""
        return f"SAE {self.size}" if self.family == "SAE" else f"{self.size} {self.family}"


def resistance_ohm_per_m(resistance_20c_ohm_per_m: float, temperature_c: float) -> float:
    """R = R20 (1 + 0.00393 (T - 20)): IEC 60028."""
    return resistance_20c_ohm_per_m * (1 + PER_K * (temperature_c - 20))


@cache
def conductor(family: Family, size: str, tinned: bool = False) -> Conductor:
    """The conductor of that name; sizes as in AWG_SIZES or thinner ("22"), "SAE" the same, "mm2" as "2.5".

    Raises ValueError, naming the sizes there are, for a size the family does not have.
    """
    if family == "AWG":
        return _awg(size, tinned)
    for row in shelf.rows(TABLE):
        if row["family"] == family and row["size"] == size:
            return _sae(row, tinned) if family == "SAE" else _class_5(row, tinned)
    raise ValueError(f"no {family} conductor of size {size}; there are {', '.join(sizes(family))}")


@cache
def sizes(family: Family) -> tuple[str, ...]:
    """The names of a family's sizes, thin first."""
    if family == "AWG":
        return AWG_SIZES
    return tuple(row["size"] for row in shelf.rows(TABLE) if row["family"] == family)


@cache
def conductors(family: Family, tinned: bool = False) -> tuple[Conductor, ...]:
    """All conductors of a family from which the program chooses, thin first."""
    return tuple(conductor(family, size, tinned) for size in sizes(family))


def no_thinner(than: Conductor, family: Family) -> Conductor | None:
    """The thinnest conductor of another family that has at least the same copper; None past its thickest."""
    enough_mm2 = than.conducting_area_mm2 * (1 - 1e-9)
    return next((one for one in conductors(family, than.tinned) if one.conducting_area_mm2 >= enough_mm2), None)


def _awg(size: str, tinned: bool) -> Conductor:
    gauge = gauge_number(f"{size} AWG")
    if gauge is None:
        raise ValueError(f"no AWG conductor of size {size}; there are {', '.join(AWG_SIZES)}")
    area_mm2 = gauge_area_mm2(gauge)
    source = "ASTM B258, diameter by formula, x 1.02 for the lay of the strands (NEC chapter 9, table 8)"
    return Conductor("AWG", size, tinned, area_mm2, _stranded_ohm_per_m(area_mm2, tinned), source)


def _sae(row: dict[str, str], tinned: bool) -> Conductor:
    area_mm2 = float(row["area_cmil"]) * CMIL_MM2
    return Conductor(
        "SAE",
        row["size"],
        tinned,
        area_mm2,
        _stranded_ohm_per_m(area_mm2, tinned),
        f"{row['source']} ({row['certainty']})",
    )


def _class_5(row: dict[str, str], tinned: bool) -> Conductor:
    ohm_per_km = float(row["resistance_tinned_20c_ohm_per_km" if tinned else "resistance_plain_20c_ohm_per_km"])
    area_mm2 = float(row["nominal_area_mm2"])
    return Conductor("mm2", row["size"], tinned, area_mm2, ohm_per_km / 1000, f"{row['source']} ({row['certainty']})")


def _stranded_ohm_per_m(area_mm2: float, tinned: bool) -> float:
    return RESISTIVITY_20C_OHM_MM2_PER_M / area_mm2 * (TINNED if tinned else LAY_UP)
