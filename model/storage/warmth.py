"""What warms a battery: the pad that keeps its cells above the cold, and the heat that charging makes in them."""

from __future__ import annotations

from functools import cache

from model import shelf

FOAM_W_PER_M2_K = 1.75
"""Through 20 mm of closed-cell foam of 0.035 W/(m K), the films of air on it left out; handbook value, from memory."""

BOX_W_PER_M2_K = 5.0
"""From a bare case to still air, convection and radiation together; handbook values of 5 to 10, from memory."""

CELL_WH_PER_KG_K = 1.0 / 3.6
"""Heat that a kilogram of battery takes for each kelvin: 1.0 kJ. Cells are measured at 0.8 to 1.1 kJ/(kg K), from memory."""


def surface_m2(volume_l: float) -> float:
    """Outside of a cube of that volume: the least that a box can have."""
    return float(6 * (volume_l / 1000) ** (2 / 3))


def holding_wh_per_day(volume_l: float, colder_k: float) -> float:
    """Energy a day of a pad that holds a battery `colder_k` above the air around it, behind foam."""
    return FOAM_W_PER_M2_K * surface_m2(volume_l) * colder_k * 24


def warming_wh(mass_kg: float, warmer_k: float) -> float:
    """Energy that warms a battery by so much once, Wh."""
    return CELL_WH_PER_KG_K * mass_kg * warmer_k


def charging_heat_w(current_a: float, cells_series: int, cell_mohm_ah: float, capacity_ah: float) -> float:
    """I² R of cells in series whose resistance times capacity is `cell_mohm_ah`; strings in parallel are in the capacity."""
    return current_a**2 * cells_series * cell_mohm_ah / 1000 / capacity_ah


def rise_k(heat_w: float, volume_l: float) -> float:
    """How much warmer than its air a bare battery gets at last from heat within it."""
    return heat_w / (BOX_W_PER_M2_K * surface_m2(volume_l))


@cache
def worn_cell(chemistry: str) -> tuple[float, str]:
    """Most resistance times capacity of a cell, milliohm Ah, and its source. Raises KeyError for an unknown chemistry."""
    for row in shelf.rows("cell_resistance.csv"):
        if row["chemistry"] == chemistry:
            return float(row["cell_most_mohm_ah"]), f"{row['source']} ({row['certainty']})"
    raise KeyError(chemistry)
