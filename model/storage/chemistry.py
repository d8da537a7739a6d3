"""The chemistries side by side, as the shipped table `chemistries.csv` has them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from model import shelf
from model.design import CHEMISTRIES

CHEMISTRY_NAMES = CHEMISTRIES
TABLE = "chemistries.csv"


@dataclass(frozen=True, slots=True)
class Chemistry:
    """One chemistry with the program's default values; fractions are of one, temperatures those of the cells.

    daily_depth: IEEE 1013's largest daily depth of discharge, None where that gate does not apply. deepest: depth above
    which it should not be worked, None where unknown. charge_a_per_ah and discharge_a_per_ah: largest lasting current
    over rated capacity ("C rate"). cycle_life: (depth, cycles) pairs, rising depth. gassing: "none", "vrla" or "vented".
    units_v_ah: units as sold, (volts, ampere-hours).
    """

    name: str
    cell_nominal_v: float
    cell_full_v: float
    cell_empty_v: float
    cells_12v: int
    cells_24v: int
    cells_48v: int
    depth_of_discharge: float
    deepest: float | None
    daily_depth: float | None
    round_trip_efficiency: float
    coulombic_efficiency: float
    self_discharge_per_month: float
    own_drain_wh_per_day: float
    energy_wh_per_kg: float
    energy_wh_per_l: float
    charge_a_per_ah: float
    discharge_a_per_ah: float
    charge_temperature_min_c: float
    charge_temperature_max_c: float
    discharge_temperature_min_c: float
    discharge_temperature_max_c: float
    peukert_exponent: float
    rated_h: float
    cycle_life: tuple[tuple[float, float], ...]
    calendar_life_years: float
    gassing: str
    temperature_table: str
    upkeep: str
    against: str
    units_v_ah: tuple[tuple[float, float], ...]
    sources: Mapping[str, str]

    @property
    def lead(self) -> bool:
        """Whether it is a lead-acid battery of some kind."""
        return self.gassing != "none"

    def cells(self, system_v: float) -> int:
        """Cells in series for a system of 12, 24 or 48 V nominal; in proportion for another voltage."""
        usual = {12.0: self.cells_12v, 24.0: self.cells_24v, 48.0: self.cells_48v}
        return usual.get(system_v) or max(1, round(system_v / 12 * self.cells_12v))

    def bank_v(self, system_v: float) -> float:
        """Nominal voltage of the whole battery in such a system, V."""
        return round(self.cells(system_v) * self.cell_nominal_v, 6)

    def source(self, *properties: str) -> str:
        """Where the named properties come from, with their certainty."""
        return "; ".join(dict.fromkeys(self.sources[name] for name in properties))


@cache
def chemistries() -> dict[str, Chemistry]:
    """Name -> chemistry, in the order of CHEMISTRY_NAMES. Treat the answer as read-only: it is shared.

    Raises ValueError, naming file, chemistry and property, when the shipped table is incomplete.
    """
    table: dict[str, dict[str, dict[str, str]]] = {name: {} for name in CHEMISTRY_NAMES}
    for row in shelf.rows(TABLE):
        table[row["chemistry"]][row["property"]] = row
    return {name: _chemistry(name, properties) for name, properties in table.items()}


def _chemistry(name: str, table: dict[str, dict[str, str]]) -> Chemistry:
    def text(what: str) -> str:
        if what not in table:
            raise ValueError(f"{TABLE}: {name} has no row for {what}; the installation is damaged, install it again")
        return table[what]["default"]

    def number(what: str) -> float:
        try:
            return float(text(what))
        except ValueError as wrong:
            raise ValueError(f"{TABLE}: {name}, {what}: {wrong}") from wrong

    deepest, daily_depth = table["depth_of_discharge"]["high"], text("daily_depth")
    return Chemistry(
        name=name,
        cell_nominal_v=number("cell_nominal_v"),
        cell_full_v=number("cell_full_v"),
        cell_empty_v=number("cell_empty_v"),
        cells_12v=int(number("cells_12v")),
        cells_24v=int(number("cells_24v")),
        cells_48v=int(number("cells_48v")),
        depth_of_discharge=number("depth_of_discharge"),
        deepest=float(deepest) if deepest else None,
        daily_depth=float(daily_depth) if daily_depth else None,
        round_trip_efficiency=number("round_trip_efficiency"),
        coulombic_efficiency=number("coulombic_efficiency"),
        self_discharge_per_month=number("self_discharge_per_month"),
        own_drain_wh_per_day=number("own_drain_wh_per_day"),
        energy_wh_per_kg=number("energy_wh_per_kg"),
        energy_wh_per_l=number("energy_wh_per_l"),
        charge_a_per_ah=number("charge_a_per_ah"),
        discharge_a_per_ah=number("discharge_a_per_ah"),
        charge_temperature_min_c=number("charge_temperature_min_c"),
        charge_temperature_max_c=number("charge_temperature_max_c"),
        discharge_temperature_min_c=number("discharge_temperature_min_c"),
        discharge_temperature_max_c=number("discharge_temperature_max_c"),
        peukert_exponent=number("peukert_exponent"),
        rated_h=number("rated_h"),
        cycle_life=_pairs(text("cycle_life")),
        calendar_life_years=number("calendar_life_years"),
        gassing=text("gassing"),
        temperature_table=text("temperature_table"),
        upkeep=text("upkeep"),
        against=text("against"),
        units_v_ah=_pairs(text("units_v_ah")),
        sources=MappingProxyType({what: f"{row['source']} ({row['certainty']})" for what, row in table.items()}),
    )


def _pairs(text: str) -> tuple[tuple[float, float], ...]:
    """ "0.5:1000 0.8:450" -> ((0.5, 1000.0), (0.8, 450.0))."""
    found = []
    for pair in text.split():
        left, right = pair.split(":")
        found.append((float(left), float(right)))
    return tuple(found)
