"""Air for the hydrogen that lead-acid batteries give off while charging: EN IEC 62485-2 and -3."""

from __future__ import annotations

# EN IEC 62485-2, current that makes gas, mA per Ah, at boost and at float charge; table seen on a public page.
BOOST_MA_PER_AH = {"none": 0.0, "vrla": 8.0, "vented": 20.0}
FLOAT_MA_PER_AH = {"none": 0.0, "vrla": 1.0, "vented": 5.0}
# EN IEC 62485-3, A per 100 Ah, charger that limits the voltage to 2.4 V a cell; seen on makers' pages.
TRACTION_A_PER_100AH = {"none": 0.0, "vrla": 1.0, "vented": 2.0}
# Air per gas-making ampere-hour and cell: dilution 24 x gas 0.42 l x reserve 5 (20 °C), 0.46 l in part 3 (25 °C).
STATIONARY_M3_PER_AH = 0.05
TRACTION_M3_PER_AH = 0.055


def stationary_air_m3_per_h(
    cells: int, capacity_ah: float, gas_ma_per_ah: float, air_m3_per_ah: float = STATIONARY_M3_PER_AH
) -> float:
    """EN IEC 62485-2: Q = 0.05 n I_gas C 10^-3, m3/h; the exact product v q s is 0.0504 in place of 0.05."""
    return air_m3_per_ah * cells * gas_ma_per_ah * capacity_ah / 1000


def traction_air_m3_per_h(cells: int, capacity_ah: float, gas_a_per_100ah: float) -> float:
    """EN IEC 62485-3, batteries that are cycled deeply: Q = 0.055 n I_gas C / 100, m3/h."""
    return TRACTION_M3_PER_AH * cells * gas_a_per_100ah * capacity_ah / 100


def air_m3_per_h(gassing: str, cells: int, capacity_ah: float) -> float:
    """Air that the battery's compartment needs while charging: the larger of the two parts, at boost charge."""
    return max(
        stationary_air_m3_per_h(cells, capacity_ah, BOOST_MA_PER_AH[gassing]),
        traction_air_m3_per_h(cells, capacity_ah, TRACTION_A_PER_100AH[gassing]),
    )


def opening_cm2(flow_m3_per_h: float) -> float:
    """Area of each of two openings, one in and one out, for natural draught: A = 28 Q (EN IEC 62485-2)."""
    return 28 * flow_m3_per_h


def free_volume_m3(flow_m3_per_h: float) -> float:
    """Free volume that the compartment needs for natural draught: 2.5 Q (EN IEC 62485-2)."""
    return 2.5 * flow_m3_per_h
