"""What current a battery takes, and in which months its cells are too cold or too hot for charging."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from model.storage.chemistry import Chemistry

REFILL_AH_PER_A = 25.0  # IDAE PCT-A-REV 2009: capacity at most 25 times the array current; from memory 85 %


def charge_limit_a(capacity_ah: float, charge_a_per_ah: float) -> float:
    """Largest charge current that the battery takes for long, all chargers together."""
    return capacity_ah * charge_a_per_ah


def months_without_charging(
    chemistry: Chemistry, battery_temperature_c: Sequence[float], months: Iterable[int]
) -> tuple[int, ...]:
    """Of `months` (1 to 12) those in which the battery is colder or hotter than its cells may be charged."""
    low, high = chemistry.charge_temperature_min_c, chemistry.charge_temperature_max_c
    return tuple(month for month in months if not low <= battery_temperature_c[month - 1] <= high)


def months_without_discharging(
    chemistry: Chemistry, battery_temperature_c: Sequence[float], months: Iterable[int]
) -> tuple[int, ...]:
    """Of `months` (1 to 12) those in which the battery is colder or hotter than its cells may be discharged."""
    low, high = chemistry.discharge_temperature_min_c, chemistry.discharge_temperature_max_c
    return tuple(month for month in months if not low <= battery_temperature_c[month - 1] <= high)


def cold_charging(chemistry: Chemistry) -> str:
    """In few words how it takes charge in the cold."""
    if chemistry.lead:
        return "slow below 0 °C"
    return f"not below {chemistry.charge_temperature_min_c:g} °C"
