"""What the person needs in hand when the chosen battery is put together: the links one by one, and the monitor's settings."""

from __future__ import annotations

from dataclasses import dataclass

from model.quantities import percent
from model.storage.chemistry import Chemistry
from model.storage.table import Option

HABIT = "common practice, no source; the maker's sheet prevails"
TAIL_SHARE = 0.04  # of capacity; makers of monitors say 2 to 5 %
BELOW_FULL_V_PER_12_V = 0.2
FULL_FOR_MINUTES = 3
UNEQUAL_V = 0.05  # between strings, before they are joined


@dataclass(frozen=True, slots=True)
class Setting:
    """One setting of a battery monitor."""

    label: str
    value: float
    unit: str
    source: str


def tail_current_a(capacity_ah: float) -> float:
    """Charge current below which a battery at full voltage counts as full, A. Common practice, no source: 4 %."""
    return TAIL_SHARE * capacity_ah


def monitor_settings(option: Option, chemistry: Chemistry, system_v: float) -> tuple[Setting, ...]:
    """What to set on a battery monitor, so that it does not call a battery full that is not."""
    full_v = chemistry.cells(system_v) * chemistry.cell_full_v - BELOW_FULL_V_PER_12_V * system_v / 12
    return (
        Setting("rated capacity", option.installed_ah, "Ah", "of all units together"),
        Setting("full: volts from", full_v, "V", f"full voltage less {BELOW_FULL_V_PER_12_V} V for each 12 V; {HABIT}"),
        Setting(
            "full: current below",
            tail_current_a(option.installed_ah),
            "A",
            f"tail current, {percent(TAIL_SHARE)}; {HABIT}",
        ),
        Setting("full: both for", FULL_FOR_MINUTES, "min", HABIT),
        Setting(
            "coulombic efficiency", chemistry.coulombic_efficiency * 100, "%", chemistry.source("coulombic_efficiency")
        ),
        Setting("Peukert exponent", chemistry.peukert_exponent, "", chemistry.source("peukert_exponent")),
        Setting("empty: charge left", (1 - option.depth_of_discharge) * 100, "%", "what the depth of discharge leaves"),
    )


def links(option: Option) -> tuple[str, ...]:
    """How the units are joined, terminal by terminal, with the volts that a meter shows on the way.

    Reversed leads, and series where parallel was meant, are the commonest causes of battery fires on boats (insurers' claims
    2015 to 2019), so nothing is joined before it is measured. Volts are nominal: a rested battery reads a little more.
    """
    series, parallel, unit_v = option.units_series, option.units_parallel, option.unit_v
    count = series * parallel
    if count == 1:
        return (
            f"Measure it: about {unit_v:g} V. Charge it fully.",
            "One unit: nothing to join. The fuse goes to its + terminal, the shunt to its - terminal.",
        )
    steps = [f"Measure each unit: about {unit_v:g} V, all within {UNEQUAL_V} V. Charge each fully by itself first."]
    for string in range(parallel):
        first = string * series + 1
        steps += [
            f"Join + of unit {unit} to - of unit {unit + 1}: from - of unit {first} to + of unit {unit + 1} the meter"
            f" shows about {(unit + 1 - first + 1) * unit_v:g} V."
            for unit in range(first, first + series - 1)
        ]
    if parallel > 1:
        steps += [
            f"Join the - ends of the {parallel} strings to the negative bus bar with leads of equal length; without bars, one to"
            " the next, and take off at opposite ends.",
            f"Join + of the first string to the positive bus bar: between the bars about {series * unit_v:g} V.",
            f"Before each further + lead, measure from the lead to the positive bar: less than {UNEQUAL_V} V, or it is not"
            " joined.",
        ]
    steps.append(
        "The fuse goes to the positive end, the shunt to the negative end; every return ends behind the shunt."
    )
    return tuple(steps)
