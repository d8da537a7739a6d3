"""Design currents of the circuits that no load table holds: inverter, array, charger."""

from __future__ import annotations

BRIGHT = 1.25
"""Irradiance beyond 1000 W/m2: NEC 690.8(A)(1), from memory, to be checked. With 1.25 for continuous load: 1.56 Isc."""

STRINGS_WITHOUT_FUSES = 2
"""Two strings cannot drive more into a failed one than one gives: fuses from the third on (NEC 690.9, in a training text)."""


def inverter_current_a(output_w: float, low_v: float, efficiency: float) -> float:
    """Battery current of an inverter at full output on a low battery: P / (U x efficiency)."""
    return output_w / (low_v * efficiency)


def array_current_a(short_circuit_a: float, strings: int) -> float:
    """Current that array circuits are designed for: 1.25 Isc x strings; protection takes 1.25 of it again."""
    return BRIGHT * short_circuit_a * strings


def strings_need_fuses(strings: int, short_circuit_a: float, series_fuse_a: float | None) -> bool:
    """Whether the other strings can drive more into a failed one than its modules bear.

    Where nobody knows what they bear, from the third string on.
    """
    if series_fuse_a is None:
        return strings > STRINGS_WITHOUT_FUSES
    return BRIGHT * short_circuit_a * (strings - 1) > series_fuse_a
