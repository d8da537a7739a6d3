"""How large the array must be, and whether its voltages and currents suit the charge controller.

Plain numbers in and out, one formula each; nothing here knows of months, places or findings.
"""

from __future__ import annotations

import math

from model.design import Module

COLD_BELOW_COLDEST_MONTH_K = 25.0
"""Record low below the mean of the coldest month where nobody has typed one. Own cautious estimate, no source."""

BRIGHT_FACTOR = 1.25
"""Irradiance beyond 1000 W/m2, at cloud edges and over snow: NEC 690.8(A)(1), from memory, to be checked."""

FULL_V_PER_12_V = 14.4
"""Battery voltage at the end of charging for each 12 V nominal. Common practice, no source."""

MARGIN_TO_RUN_V = {"MPPT": 1.0, "PWM": 0.5}
MARGIN_TO_START_V = {"MPPT": 5.0, "PWM": 0.5}
"""What a controller needs above the battery's voltage, to go on and to start in the morning. Common practice, no source: see
its data sheet."""


def harvest_wh_per_day(array_w: float, yield_wh_per_w_day: float, controller_efficiency: float) -> float:
    """Energy that the array brings to the battery's terminals in a day."""
    return array_w * yield_wh_per_w_day * controller_efficiency


def array_needed_w(
    use_wh_per_day: float, yield_wh_per_w_day: float, controller_efficiency: float, battery_efficiency: float
) -> float:
    """Rated power whose harvest covers the use: use / (yield x controller x battery efficiency).

    All energy is taken to pass through the battery (IEEE 1562, 1013: the array replaces use and losses of an average
    day). Infinite where there is use but no sun.
    """
    delivered = yield_wh_per_w_day * controller_efficiency * battery_efficiency
    if use_wh_per_day <= 0:
        return 0.0
    return use_wh_per_day / delivered if delivered > 0 else math.inf


def share_covered(harvest_wh: float, battery_efficiency: float, use_wh_per_day: float) -> float:
    """Share of the use that the harvest covers, not cut off at 1; infinite where nothing is used."""
    return harvest_wh * battery_efficiency / use_wh_per_day if use_wh_per_day > 0 else math.inf


def lowest_expected_c(monthly_mean_c: tuple[float, ...]) -> float:
    """A cautious guess of the lowest temperature ever, from the twelve monthly means."""
    return min(monthly_mean_c) - COLD_BELOW_COLDEST_MONTH_K


def open_circuit_v(module: Module, in_series: int, cell_c: float) -> float:
    """Open-circuit voltage of a string: Voc x (1 + coefficient x (T - 25)) x modules in series.

    At the lowest temperature, on a clear morning before the sun has warmed the cells, it is the largest that a controller ever
    meets (NEC 690.7(A)(1) with the module's own coefficient, from memory, to be checked against the code).
    """
    return module.voc_v * (1 + module.voc_per_k * (cell_c - 25)) * in_series


def hot_vmp_v(module: Module, in_series: int, cell_c: float) -> float:
    """Voltage of maximum power of a hot string; the current hardly changes, so that the voltage carries the power's loss."""
    return module.vmp_v * (1 + module.power_per_k * (cell_c - 25)) * in_series


def voltage_to_run_v(system_v: float, kind: str) -> float:
    """String voltage from which a controller can fill the battery to the end."""
    return system_v / 12 * FULL_V_PER_12_V + MARGIN_TO_RUN_V[kind]


def voltage_to_start_v(battery_v: float, kind: str) -> float:
    """Open-circuit voltage from which a controller wakes up over a battery at this voltage."""
    return battery_v + MARGIN_TO_START_V[kind]


def tracking_current_a(array_w: float, system_v: float) -> float:
    """Charge current behind an MPPT controller at rated power and nominal battery voltage, the cautious end."""
    return array_w / system_v


def clamped_current_a(module: Module, strings: int) -> float:
    """Current that a PWM controller must bear: short-circuit current of all strings, with `BRIGHT_FACTOR`."""
    return module.isc_a * strings * BRIGHT_FACTOR


def backfed_current_a(module: Module, strings: int) -> float:
    """Current that the other strings drive into a failed one: (n - 1) x Isc x `BRIGHT_FACTOR`.

    Above the module's largest series fuse, each string needs a fuse (IEC 62548, NEC 690.9, from memory).
    """
    return max(strings - 1, 0) * module.isc_a * BRIGHT_FACTOR
