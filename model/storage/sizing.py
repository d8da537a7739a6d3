"""The gates of IEEE 1013, one function each, and the chain through them.

IEEE 1013-2019, clauses 6 and 8, from memory 85 to 95 %, to be checked against the standard.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from model.storage.chemistry import Chemistry
from model.storage.rate import capacity_for_current_ah
from model.storage.temperature import temperature_factor
from model.storage.worst_run import DaysAlike, used_wh, worst_run

MOST_PARALLEL = 3  # strings; common practice, no source
VOLTAGE_TOLERANCE = 0.10  # between nominal voltages that may be called the same; common practice, no source


def unadjusted_capacity_wh(energy_wh_per_day: float, autonomy_days: float) -> float:
    """6.1: what is used in the days without income, Wh."""
    return energy_wh_per_day * autonomy_days


def by_maximum_depth_wh(unadjusted_wh: float, depth_of_discharge: float) -> float:
    """6.3, gate A: so large that the days without income do not discharge it deeper than chosen."""
    return unadjusted_wh / depth_of_discharge


def by_daily_depth_wh(energy_wh_per_day: float, daily_depth: float) -> float:
    """6.3, gate B: so large that an ordinary day does not discharge it deeper than `daily_depth`."""
    return energy_wh_per_day / daily_depth


def by_end_of_life_wh(unadjusted_wh: float, end_of_life: float) -> float:
    """6.3, gate C: so large that it still bears the days without income when it is worn to `end_of_life`."""
    return unadjusted_wh / end_of_life


def with_temperature_wh(capacity_wh: float, factor: float) -> float:
    """6.3: more capacity for a cold battery."""
    return capacity_wh * factor


def with_margin_wh(capacity_wh: float, margin: float) -> float:
    """6.3: design margin for what is not known yet."""
    return capacity_wh * (1 + margin)


def functional_hours(capacity_ah: float, running_a: float) -> float:
    """6.4: hours that the capacity lasts at the largest running current; infinite without one."""
    return capacity_ah / running_a if running_a > 0 else float("inf")


def units_in_series(bank_v: float, unit_v: float) -> int:
    """Units in series that come nearest to the bank's nominal voltage, at least one."""
    return max(1, round(bank_v / unit_v))


def makes_bank(bank_v: float, unit_v: float) -> bool:
    """Whether whole units in series come near enough to the bank's nominal voltage."""
    return abs(units_in_series(bank_v, unit_v) * unit_v / bank_v - 1) <= VOLTAGE_TOLERANCE


def units_in_parallel(needed_ah: float, unit_ah: float) -> int:
    """8.2: strings in parallel that hold at least `needed_ah`, at least one. A billionth is forgiven to rounding."""
    return max(1, ceil(needed_ah / unit_ah * (1 - 1e-9)))


def choose_unit(chemistry: Chemistry, bank_v: float, needed_ah: float) -> tuple[float, float]:
    """Volts and ampere-hours of the unit to buy, of those that the trade sells.

    Of the units that make the bank with at most three strings the ones that add up to the least capacity, and of those
    the fewest; if there are none, the ones with the fewest strings (IEEE 1013, 8.2: prefer one string).
    """

    def rank(unit: tuple[float, float]) -> tuple[bool, int, float, int]:
        unit_v, unit_ah = unit
        series, parallel = units_in_series(bank_v, unit_v), units_in_parallel(needed_ah, unit_ah)
        crowded = parallel > MOST_PARALLEL
        return crowded, parallel if crowded else 0, parallel * unit_ah, series * parallel

    fitting = [unit for unit in chemistry.units_v_ah if makes_bank(bank_v, unit[0])]
    return min(fitting or chemistry.units_v_ah, key=rank)


@dataclass(frozen=True, slots=True)
class Sizing:
    """The chain from a day's use to the capacity needed, every link of it. `daily_wh` None: gate B does not apply."""

    energy_wh_per_day: float
    autonomy_days: float
    depth_of_discharge: float
    unadjusted_wh: float
    depth_wh: float
    daily_wh: float | None
    end_of_life_wh: float
    gate: str  # "depth", "daily depth" or "end of life"
    largest_wh: float
    temperature_factor: float
    cold_wh: float
    margin_wh: float
    functional_hours: float
    needed_wh: float
    needed_ah: float


def size(
    chemistry: Chemistry,
    *,
    energy_wh_per_day: float,
    autonomy_days: float,
    depth_of_discharge: float,
    end_of_life: float,
    temperature_c: float,
    margin: float,
    running_a: float,
    bank_v: float,
    week: tuple[DaysAlike, ...] = (),
) -> Sizing:
    """All gates in the order of the standard; `temperature_c` is that of the battery in the coldest month of use.

    Where a `week` has several kinds of day, the days without income are its worst run; the ordinary day of gate B is the mean
    one, since cycles wear by what is usual.
    """
    unadjusted_wh = unadjusted_capacity_wh(energy_wh_per_day, autonomy_days)
    if week:
        unadjusted_wh = used_wh(worst_run(week, autonomy_days))
    gates = {"depth": by_maximum_depth_wh(unadjusted_wh, depth_of_discharge)}
    if chemistry.daily_depth is not None:
        gates["daily depth"] = by_daily_depth_wh(energy_wh_per_day, chemistry.daily_depth)
    gates["end of life"] = by_end_of_life_wh(unadjusted_wh, end_of_life)
    gate = max(gates, key=lambda name: gates[name])  # the first of equals
    factor = temperature_factor(chemistry.temperature_table, temperature_c)
    cold_wh = with_temperature_wh(gates[gate], factor)
    margin_wh = with_margin_wh(cold_wh, margin)
    needed_ah = capacity_for_current_ah(margin_wh / bank_v, chemistry.rated_h, running_a, chemistry.peukert_exponent)
    return Sizing(
        energy_wh_per_day=energy_wh_per_day,
        autonomy_days=autonomy_days,
        depth_of_discharge=depth_of_discharge,
        unadjusted_wh=unadjusted_wh,
        depth_wh=gates["depth"],
        daily_wh=gates.get("daily depth"),
        end_of_life_wh=gates["end of life"],
        gate=gate,
        largest_wh=gates[gate],
        temperature_factor=factor,
        cold_wh=cold_wh,
        margin_wh=margin_wh,
        functional_hours=functional_hours(margin_wh / bank_v, running_a),
        needed_wh=needed_ah * bank_v,
        needed_ah=needed_ah,
    )
