"""Income that is not the sun's: what driving, nights on shore power and a generator bring to the battery's terminals.

Plain numbers in and out, one formula each; `model.supply.other_income_budget` joins them for a design.
"""

from __future__ import annotations

from math import inf, log

DAYS_PER_WEEK = 7.0

LEAD_ACCEPTANCE = 0.75
"""Mean current of a lead-acid battery over the charger's, from half full to all but full; 1 for lithium and sodium cells.

Common practice, no source: full current (C/5) to 85 % of charge, then falling exponentially with what is missing. From 50 to
98 % that takes 0.35 / 0.2 = 1.75 h and (0.15 / 0.2) x ln(0.15 / 0.02) = 1.51 h for 0.48 of the capacity: 0.74 of C/5.
"""

REGULATED_V_PER_12_V = {False: 13.8, True: 12.5}
"""Alternator voltage by "smart or not": the low end of ordinary regulation (13.8 to 14.4 V, hot and loaded), and what an engine's
computer lets it fall to once the starter battery is full. Common practice; rises on overrun are not counted on."""

RELAY_OPENS_V_PER_12_V = 12.8
"""Voltage-sensing relays close at 13.0 to 13.8 V and let go near 12.8 V. Common practice, no source."""

USUAL_DROP_V_PER_12_V = 0.3
"""Loss in charging cables where nobody has typed it: 3 %, 0.3 to 0.4 V at 12 V. Common practice, no source."""

LASTING_SHARE = 0.5
"""What an alternator gives for long, hot, over its rating. Common practice, no source."""


IDLE_SHARE = 1 / 3
"""What an alternator gives while the engine idles, over its rating, with least air to cool it. Common practice, no source."""

BULK_TO, FULL = 0.85, 0.98
"""State of charge to which a lead-acid battery takes a charger's whole current, and from which on it counts as full. Common
practice, no source; as in LEAD_ACCEPTANCE."""


def alternator_v(vehicle_v: float, smart: bool) -> float:
    """Voltage at the alternator that one can count on."""
    return vehicle_v / 12 * REGULATED_V_PER_12_V[smart]


def drop_v(vehicle_v: float, typed_v: float | None) -> float:
    """Voltage lost in the cables to the charger or the battery: what was typed, else the usual."""
    return vehicle_v / 12 * USUAL_DROP_V_PER_12_V if typed_v is None else typed_v


def charger_input_a(output_a: float, output_v: float, efficiency: float, input_v: float) -> float:
    """Current that a DC-DC charger draws: output power / (efficiency x input voltage)."""
    return output_a * output_v / (efficiency * input_v)


def spare_alternator_a(rating_a: float, vehicle_load_a: float) -> float:
    """Current that an alternator has to spare for long: `LASTING_SHARE` of its rating less what the vehicle draws itself."""
    return max(0.0, LASTING_SHARE * rating_a - vehicle_load_a)


def full_charge_h(capacity_ah: float, charger_a: float, from_share: float) -> float:
    """Hours that a charger takes from a state of charge (0 to 1) until a lead-acid battery is really full.

    Its whole current to BULK_TO; from there on the current falls with what is missing, dm/dt = -(I / C) m / (1 - BULK_TO), so
    that it takes (1 - BULK_TO) C / I x ln(missing at first / missing at last). Own estimate from that law, no source.
    """
    if charger_a <= 0:
        return inf
    hours_for_all = capacity_ah / charger_a
    missing = 1 - max(BULK_TO, from_share)
    absorption_h = (1 - BULK_TO) * hours_for_all * max(0.0, log(missing / (1 - FULL))) if missing > 0 else 0.0
    return max(0.0, BULK_TO - from_share) * hours_for_all + absorption_h


def relay_share(source_v: float, drop_v: float, rest_v: float, full_v: float, opens_v: float) -> float:
    """Share of the current that a relay's link carries at full charging voltage, 0 to 1; 0 where the relay lets go.

    Without a converter only the voltage above the battery's own drives a current, and by Ohm's law in proportion to it:
    (source - drop - rest) / (full - rest). Own estimate from that law, no source: the battery's voltage is taken as its
    nominal one, its resistance as constant.
    """
    if source_v < opens_v:
        return 0.0
    return min(1.0, max(0.0, (source_v - drop_v - rest_v) / (full_v - rest_v)))


def room_wh_per_week(
    usable_wh: float, fillings: float, use_wh_per_day: float, hours: float, battery_efficiency: float
) -> float:
    """Most that a battery takes in a week: so many fillings, and what is used in the hours meanwhile, with its losses."""
    return (fillings * usable_wh + hours * use_wh_per_day / 24) / battery_efficiency


def charged_wh_per_day(
    hours_per_week: float, current_a: float, charging_v: float, acceptance: float, room_wh_per_week: float
) -> float:
    """Energy at the battery's terminals on the average day: hours x current x voltage x acceptance, at most the room."""
    return min(hours_per_week * current_a * charging_v * acceptance, room_wh_per_week) / DAYS_PER_WEEK


def left_for_sun_wh_per_day(use_wh_per_day: float, other_income_wh_per_day: float, battery_efficiency: float) -> float:
    """Use that the sun must still cover: use less what the battery gives back of the other income, never below 0."""
    return max(0.0, use_wh_per_day - other_income_wh_per_day * battery_efficiency)
