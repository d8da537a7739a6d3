"""What is asked of the battery."""

from __future__ import annotations

from dataclasses import dataclass

from model import names
from model.design.typed import typed

BATTERY_PLACES = ("heated cabin", "unheated locker", "outside")
CHEMISTRIES = ("LFP", "NMC", "LTO", "sodium-ion", "AGM", "gel", "flooded", "lead-carbon")


@dataclass(frozen=True, slots=True)
class Price:
    chemistry: str = typed("choice", "chemistry", "Chemistry", "LFP", choices=CHEMISTRIES)
    per_kwh: float = typed("money", "per_kwh", "Price per kWh", 0.0, high=1_000_000)


@dataclass(frozen=True, slots=True)
class Battery:
    """What is asked of the battery. Depth of discharge None: the chemistry's own default."""

    chemistry: str = typed("choice", "chemistry", "Chemistry", "LFP", choices=CHEMISTRIES)
    autonomy_days: float = typed("number", "autonomy_days", names.AUTONOMY_ASKED.full, 2.0, low=0.1, high=30)
    depth_of_discharge: float | None = typed(
        "percent", "depth_of_discharge", "Depth of discharge", None, low=0.05, high=1
    )
    margin: float = typed("percent", "margin", "Design margin", 0.10, low=0, high=1)
    end_of_life: float = typed("percent", "end_of_life", "Capacity left at end of life", 0.80, low=0.3, high=1)
    place: str = typed("choice", "place", "Where it stands", "heated cabin", choices=BATTERY_PLACES)
    unit_v: float | None = typed("voltage", "unit_voltage", "Voltage of one unit", None, low=1, high=60)
    unit_ah: float | None = typed("charge", "unit_capacity", "Capacity of one unit", None, low=1, high=5_000)
    installed_ah: float | None = typed(
        "charge", "installed", "Battery already there, at system voltage", None, low=1, high=20_000
    )
    charge_a: float | None = typed(
        "current", "charging_current", "Charging current it takes for long, by its maker", None, low=0.1, high=5_000
    )
    discharge_a: float | None = typed(
        "current", "lasting_current", "Current it gives for long, by its maker", None, low=0.1, high=10_000
    )
    peak_a: float | None = typed(
        "current", "peak_current", "Current it gives for seconds, by its maker", None, low=0.1, high=50_000
    )
    wait_below: float = typed(
        "percent", "wait_below", "Usable charge below which what can wait waits", 0.5, low=0, high=1
    )
    prices: tuple[Price, ...] = ()
