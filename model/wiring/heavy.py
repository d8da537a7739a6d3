"""Design currents of the circuits that no load table holds: inverter, array, charger."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

from model.wiring.protection import CONTINUOUS

BRIGHT = 1.25
"""Irradiance beyond 1000 W/m2: NEC 690.8(A)(1), from memory, to be checked. With 1.25 for continuous load: 1.56 Isc."""

STRINGS_WITHOUT_FUSES = 2
"""Two strings cannot drive more into a failed one than one gives: fuses from the third on (NEC 690.9, in a training text)."""


STRING_FUSES_A = (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 16.0, 20.0, 25.0, 30.0, 32.0)
"""Fuses for strings of modules (gPV): IEC 60269-6 and makers' lists, from memory, to be checked against the standard."""


@dataclass(frozen=True, slots=True)
class StringFuses:
    """What every string of an array needs where strings could drive too much into a failed one.

    rating_a: None where no standard rating lies between least_a (1.56 Isc) and most_a, what the module bears (None where nobody
    knows). open_v: the volts that it must break.
    """

    strings: int
    rating_a: float | None
    least_a: float
    most_a: float | None
    open_v: float


def string_fuses(
    strings: int, short_circuit_a: float, series_fuse_a: float | None, open_v: float
) -> StringFuses | None:
    """The fuse of each string, the smallest standard one from 1.56 Isc on; None where none is needed."""
    if not strings_need_fuses(strings, short_circuit_a, series_fuse_a):
        return None
    least_a = CONTINUOUS * BRIGHT * short_circuit_a
    most_a = inf if series_fuse_a is None else series_fuse_a
    rating_a = next((one for one in STRING_FUSES_A if least_a - 1e-9 <= one <= most_a), None)
    return StringFuses(strings, rating_a, least_a, series_fuse_a, open_v)


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
