"""How far a reading may lie from the plan before it means something. All of it common practice, no source."""

from __future__ import annotations

METER_SHARE, METER_V = 0.005, 0.02
"""A plain multimeter on direct voltage: 0.5 % of the reading and two steps of its display."""

CLAMP_SHARE, CLAMP_A = 0.01, 0.02
"""A plain ammeter or clamp on direct current: 1 % of the reading and two steps of its display."""

LABEL_SHARE = 0.03
"""A load's label: what a piece differs from its neighbour. Larger differences are what a reading is for."""

LENGTH_SHARE = 0.10
"""A routed length as somebody estimates it, and with it the drop."""

VOLTS_REASON = "meter 0.5 % and 0.02 V, length 10 % of the drop; common practice, no source"
AMPS_REASON = "meter 1 % and 0.02 A, labels of loads 3 %; common practice, no source"


def volts_tolerance_v(volts: float, drop_v: float) -> float:
    """What a voltage read at a point may differ from the plan: the meter, and the drop's length."""
    return METER_SHARE * abs(volts) + METER_V + LENGTH_SHARE * abs(drop_v)


def drop_tolerance_v(drop_v: float) -> float:
    """What a drop between two readings of one meter may differ from the plan: its scale cancels, its steps stay."""
    return METER_V + LENGTH_SHARE * abs(drop_v)


def amps_tolerance_a(amps: float) -> float:
    """What a current may differ from the plan: the meter, and the labels of the loads."""
    return (CLAMP_SHARE + LABEL_SHARE) * abs(amps) + CLAMP_A
