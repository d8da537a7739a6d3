"""What current a conductor bears for ever: table, ambient, bundle."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from functools import cache
from math import sqrt

from model import shelf
from model.quantities.gauge import gauge_area_mm2, gauge_number
from model.wiring.conductors import Conductor

TABLE = "ampacity.csv"
SOURCE = "33 CFR 183.425, table 5"
TABLE_AMBIENT_C = 30.0
INSULATION_CLASSES_C = (60, 75, 80, 90, 105, 125, 200)

AMBIENT_C = {"cabin": 30.0, "engine space": 50.0, "roof": 60.0}
"""Cabin and engine space: 33 CFR 183.425, table 5 and its note. Roof: under a roof in the sun, common practice, no source."""

BUNDLES = ((2, 1.0), (3, 0.70), (6, 0.60), (24, 0.50))
THICK_BUNDLE = 0.40
"""Current-carrying conductors in one bundle, and the factor: 33 CFR 183.425, table 5, note 2. It is written for 50 V and more;
to take it below is the cautious choice, not the rule's text."""


SMALL_WIRE_A = {"18": 7.0, "16": 10.0, "14": 15.0, "12": 20.0, "10": 30.0}
"""What protects small wire of alternating current at most: NEC 240.4(D); 14 to 10 AWG as a cable maker quotes it, 18 and 16 AWG
from memory, to be checked against the standard."""


@cache
def insulation_class_c(insulation_c: float) -> int | None:
    """The table's column for an insulation temperature: the same or the next lower one; None below 60 °C."""
    below = [column for column in INSULATION_CLASSES_C if column <= insulation_c]
    return below[-1] if below else None


def ambient_factor(insulation_c: float, ambient_c: float) -> float:
    """sqrt((Tc - Ta) / (Tc - 30)): as much heat must leave over a smaller difference. 0 where none is left.

    NEC 310.15(B)(1); 33 CFR's own factors for engine spaces agree with it to 0.006 at 50 °C (200 °C: it prints 1.00).
    """
    return sqrt(max(insulation_c - ambient_c, 0.0) / (insulation_c - TABLE_AMBIENT_C))


def bundle_factor(conductors: int) -> float:
    """Factor for the current-carrying conductors that lie in one bundle, the own ones counted."""
    return next((factor for most, factor in BUNDLES if conductors <= most), THICK_BUNDLE)


@cache
def tabled(insulation_class: int) -> tuple[tuple[float, float], ...]:
    """(area in mm2 of the AWG size, ampacity in A) of one column, rising, with the origin before the thinnest size."""
    column = f"ampacity_{insulation_class}c_a"
    points = [(_area_mm2(row["awg"]), float(row[column])) for row in shelf.rows(TABLE)]
    return ((0.0, 0.0), *points)


@cache
def base_ampacity_a(conductor: Conductor, insulation_c: float) -> float:
    """Ampacity at 30 °C, alone: the table for AWG; between its sizes by interpolation over the conducting area.

    Thinner than 18 AWG in proportion to the area (cautious: the true curve lies above), thicker than 4/0 AWG as 4/0.
    0 for insulation below 60 °C, which the table does not have.
    """
    column = insulation_class_c(insulation_c)
    if column is None:
        return 0.0
    if conductor.family == "AWG":  # by its number, so that tin or rounding never loses the table's own figure
        return interpolated(tabled(column), conductor.nominal_area_mm2)
    return interpolated(tabled(column), conductor.conducting_area_mm2)


def allowable_a(
    conductor: Conductor, insulation_c: float, ambient_c: float, bundled: int, mains: bool = False
) -> float:
    """Ampacity with ambient and bundle. Cooler than 30 °C gives nothing extra: summer comes. mains: of alternating current,
    where small AWG sizes are not protected by more than `SMALL_WIRE_A`."""
    column = insulation_class_c(insulation_c)
    if column is None:
        return 0.0
    ambient = min(1.0, ambient_factor(column, ambient_c))
    bears_a = base_ampacity_a(conductor, insulation_c) * ambient * bundle_factor(bundled)
    if mains and conductor.family == "AWG":
        return min(bears_a, SMALL_WIRE_A.get(conductor.size, bears_a))
    return bears_a


def interpolated(points: Sequence[tuple[float, float]], where: float) -> float:
    """Straight line between the points (rising), flat beyond the last."""
    right = bisect_right(points, (where, float("inf")))
    if right == len(points):
        return points[-1][1]
    (x0, y0), (x1, y1) = points[right - 1], points[right]
    return y0 + (y1 - y0) * (where - x0) / (x1 - x0)


def _area_mm2(awg: str) -> float:
    gauge = gauge_number(f"{awg} AWG")
    assert gauge is not None, f"{TABLE}: {awg} is no gauge; the installation is damaged, install it again"
    return gauge_area_mm2(gauge)
