"""What the battery's sizing reads and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from model.storage.sizing import Sizing
from model.storage.worst_run import DaysAlike
from model.working import Finding, Step


@dataclass(frozen=True, slots=True)
class StorageInput:
    """What this room reads of a design and of its neighbours.

    `energy_wh_per_day` and `charge_current_a` are those of the month looked at, at the battery's terminals;
    `charge_current_a` 0: not known. `other_charge_a`: the chargers besides the array, all at once. `battery_temperature_c`:
    twelve months, at the battery. What was typed about one battery (depth_of_discharge, unit_v, unit_ah, installed_ah, the
    maker's currents) goes for the chosen chemistry alone, the others keep their own. `peak_running_a`: all that may run together;
    `surge_running_a`: the same while the hardest of it starts. `standing_wh_per_day`: what is used with everything switched off.
    `prices`: (chemistry, price of a rated kWh). `week`: the kinds of day where there are several; `energy_wh_per_day` is their
    mean. `in_cabin`: it stands in the cabin, so that it is as warm as that is kept.
    """

    chosen: str
    system_v: float
    energy_wh_per_day: float
    peak_running_a: float
    charge_current_a: float
    autonomy_days: float
    depth_of_discharge: float | None
    margin: float
    end_of_life: float
    battery_temperature_c: tuple[float, ...]
    month: int
    months_of_use: tuple[int, ...]
    unit_v: float | None = None
    unit_ah: float | None = None
    installed_ah: float | None = None
    charge_a: float | None = None
    discharge_a: float | None = None
    peak_a: float | None = None
    surge_running_a: float = 0.0
    standing_wh_per_day: float = 0.0
    prices: tuple[tuple[str, float], ...] = ()
    week: tuple[DaysAlike, ...] = ()
    in_cabin: bool = False
    other_charge_a: float = 0.0


@dataclass(frozen=True, slots=True)
class Option:
    """One chemistry, sized. Capacities are rated ones at `bank_v`, the battery's own nominal voltage.

    `capacity_needed_*`: what the gates ask for. `installed_*`: whole units, or the battery that is there already.
    `usable_wh` and `autonomy_days`: the new battery in the month looked at. `daily_depth`: discharge on an ordinary day.
    `months_without_charging`: months of use in which the cells are too cold or too hot. `storage_months`: until a full
    battery is empty with everything switched off. `ruled_out`: why it will not do here, or "".
    """

    chemistry: str
    bank_v: float
    depth_of_discharge: float
    capacity_needed_wh: float
    capacity_needed_ah: float
    units_series: int
    units_parallel: int
    unit_v: float
    unit_ah: float
    installed_ah: float
    installed_wh: float
    usable_wh: float
    autonomy_days: float
    mass_kg: float
    volume_l: float
    daily_depth: float
    cycles: float
    life_years: float
    life_ends_by: str  # "calendar" or "cycles"
    governs: str
    charge_limit_a: float
    discharge_limit_a: float
    charge_note: str
    cold_charging: str
    months_without_charging: tuple[int, ...]
    ventilation_m3_per_h: float
    vent_opening_cm2: float
    storage_months: float
    price: float | None
    ruled_out: str
    against: str
    upkeep: str
    sizing: Sizing
    coldest_month: int  # of those in which the van is used
    usable_factor: float  # temperature factor in the month looked at
    heat_ageing: float


@dataclass(frozen=True, slots=True)
class Storage:
    """All chemistries in the order of the catalogue; `chosen` is one of them."""

    chosen: Option
    options: tuple[Option, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
