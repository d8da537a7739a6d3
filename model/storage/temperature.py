"""How much more capacity a cold battery needs."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache

from model import shelf

IEEE_485 = "IEEE 485"


@cache
def factor_table(table: str) -> tuple[tuple[float, float], ...]:
    """(temperature in °C, capacity multiplier) pairs of a named table, rising temperature; ValueError if unknown."""
    rows = [row for row in shelf.rows("temperature_factors.csv") if row["table"] == table]
    if not rows:
        raise ValueError(f"temperature_factors.csv has no table named {table!r}")
    return tuple(sorted((float(row["temperature_c"]), float(row["capacity_multiplier"])) for row in rows))


def factor_source(table: str, temperature_c: float) -> str:
    """Where the table's row nearest to `temperature_c` comes from, with its certainty."""
    rows = (row for row in shelf.rows("temperature_factors.csv") if row["table"] == table)
    nearest = min(rows, key=lambda row: abs(float(row["temperature_c"]) - temperature_c))
    return f"{nearest['source']} ({nearest['certainty']})"


def ieee_485_cubic(temperature_c: float) -> float:
    """The published cubic fit to IEEE 485 table 1 (-3.9 to 51.7 °C): capacity multiplier.

    Source: https://tech.cepsc.com/thread-122985-1-1.html; within 0.015 of every row.
    """
    x = temperature_c / 100
    return ((-2.8117 * x + 4.1916) * x - 2.4941) * x + 1.405


def extrapolated(table: str, temperature_c: float) -> bool:
    """Whether the temperature lies below the table's coldest row, so that the factor is only an extrapolation."""
    return temperature_c < factor_table(table)[0][0]


def tabled_factor(table: str, temperature_c: float) -> float:
    """Capacity multiplier of a table at `temperature_c`, straight between its rows.

    Above the last row the last row holds. Below the first row IEEE 485 follows the published cubic, but never below the
    first row; other tables go straight on through their two coldest rows. See `extrapolated`.
    """
    points = factor_table(table)
    coldest_c, coldest_factor = points[0]
    if temperature_c < coldest_c and table == IEEE_485:
        return max(coldest_factor, ieee_485_cubic(temperature_c))
    if temperature_c >= points[-1][0]:
        return points[-1][1]
    right = max(1, bisect_right(points, temperature_c, key=lambda point: point[0]))
    (x0, y0), (x1, y1) = points[right - 1], points[right]
    return y0 + (y1 - y0) * (temperature_c - x0) / (x1 - x0)


def temperature_factor(table: str, temperature_c: float) -> float:
    """Capacity to buy over capacity needed at 25 °C; a warm battery earns no credit (never below one).

    Source of the rule: IEEE 1013, 6.3, from memory 90 %; no credit above 25 °C: common practice, no source.
    """
    return max(1.0, tabled_factor(table, temperature_c))
