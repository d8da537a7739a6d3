"""The whole load table: energy and charge a day for every month, profile by hour, peak and surge."""

from __future__ import annotations

from model.demand.findings import load_findings, table_findings
from model.demand.inverter import idle_hours
from model.demand.load import LoadDemand, load_demand, running_current_a
from model.demand.table import ALWAYS_ON_NAME, IDLE_NAME, Demand, DemandInput, LoadShare, MonthDemand
from model.demand.working import load_steps, total_steps
from model.design import Load
from model.working import Finding, Step


def charge_ah(energy_wh: float, nominal_v: float) -> float:
    """Charge at the system's nominal voltage, Ah: Q = E / U."""
    return energy_wh / nominal_v


def busy_hours(loads: tuple[Load, ...], month: int) -> float:
    """Hours a day in which the inverter carries load, taking AC loads one after the other, at most 24."""
    hours = (
        load.hours_per_day * load.duty for load in loads if load.supply == "AC" and load.on and month in load.months
    )
    return min(24.0, sum(hours))


def hourly_profile_w(parts: tuple[LoadDemand, ...], month: int, steady_w: float) -> tuple[float, ...]:
    """Mean power in each clock hour of a day of `month`, W; `steady_w` runs all day."""
    return tuple(
        steady_w + sum(part.energy_wh_per_day[month - 1] * part.profile[hour] for part in parts) for hour in range(24)
    )


def peak_and_surge_w(parts: tuple[LoadDemand, ...], month: int, steady_w: float) -> tuple[float, float]:
    """Largest power and largest starting power of any clock hour, W.

    Everything that may run in an hour is taken to run together; the surge adds the one piece that starts hardest.
    Source: momentary and running loads of IEEE 1013, 5.2; coincidence is the cautious case.
    """
    peak = surge = steady_w
    for hour in range(24):
        running = [part for part in parts if part.profile[hour] > 0 and part.energy_wh_per_day[month - 1] > 0]
        together = steady_w + sum(part.running_w for part in running)
        start = max((part.surge_w - part.running_w for part in running), default=0.0)
        peak, surge = max(peak, together), max(surge, together + start)
    return peak, surge


def ac_peak_w(parts: tuple[LoadDemand, ...], month: int) -> float:
    """Largest AC power that may run in one clock hour, W at the inverter's output."""
    return max(
        sum(part.ac_w for part in parts if part.profile[hour] > 0 and part.energy_wh_per_day[month - 1] > 0)
        for hour in range(24)
    )


def demand(inputs: DemandInput) -> Demand:
    """The energy budget of `inputs`, every figure at the battery's terminals."""
    system, inverter = inputs.system, inputs.inverter
    parts = tuple(load_demand(load, system, inverter, inputs.outside_c) for load in inputs.loads)
    always_wh = 24.0 * system.always_on_w / system.wiring_efficiency
    idle_wh = tuple(
        inverter.idle_w * idle_hours(inverter, busy_hours(inputs.loads, month)) / system.wiring_efficiency
        for month in range(1, 13)
    )
    months = tuple(_month_demand(inputs, parts, month, always_wh, idle_wh[month - 1]) for month in range(1, 13))
    chosen = months[inputs.month - 1]
    lines = [(part.name, part.running_a, part.energy_wh_per_day) for part in parts]
    if inverter.fitted:
        lines.append((IDLE_NAME, running_current_a(inverter.idle_w, system.nominal_v), idle_wh))
    lines.append((ALWAYS_ON_NAME, running_current_a(system.always_on_w, system.nominal_v), (always_wh,) * 12))
    shares = tuple(_share(inputs, chosen, *line) for line in lines)
    standing_wh = always_wh + 24.0 * sum(part.standby_w for part in parts)
    return Demand(
        month=chosen,
        months=months,
        loads=shares,
        parts=parts,
        idle_wh_per_day=idle_wh[inputs.month - 1],
        always_on_wh_per_day=always_wh,
        standing_wh_per_day=standing_wh,
        running_a=running_current_a(chosen.peak_w, system.nominal_v),
        steps=_steps(inputs, parts, shares, months),
        findings=_all_findings(inputs, parts, chosen, idle_wh[inputs.month - 1]),
    )


def _month_demand(
    inputs: DemandInput, parts: tuple[LoadDemand, ...], month: int, always_wh: float, idle_wh: float
) -> MonthDemand:
    steady_w = (always_wh + idle_wh) / 24.0
    energy = sum(part.energy_wh_per_day[month - 1] for part in parts) + always_wh + idle_wh
    peak, surge = peak_and_surge_w(parts, month, steady_w)
    waiting = sum(
        part.energy_wh_per_day[month - 1]
        for load, part in zip(inputs.loads, parts, strict=True)
        if load.need == "can wait"
    )
    return MonthDemand(
        month=month,
        energy_wh_per_day=energy,
        charge_ah_per_day=charge_ah(energy, inputs.system.nominal_v),
        average_w=energy / 24.0,
        peak_w=peak,
        surge_w=surge,
        ac_peak_w=ac_peak_w(parts, month),
        profile_w=hourly_profile_w(parts, month, steady_w),
        deferrable_wh_per_day=waiting,
    )


def _share(
    inputs: DemandInput, chosen: MonthDemand, name: str, running_a: float, months_wh: tuple[float, ...]
) -> LoadShare:
    energy = months_wh[inputs.month - 1]
    total = chosen.energy_wh_per_day
    return LoadShare(
        name,
        energy,
        charge_ah(energy, inputs.system.nominal_v),
        energy / total if total else 0.0,
        running_a,
        months_wh,
    )


def _steps(
    inputs: DemandInput,
    parts: tuple[LoadDemand, ...],
    shares: tuple[LoadShare, ...],
    months: tuple[MonthDemand, ...],
) -> tuple[Step, ...]:
    steps: list[Step] = []
    for index, (load, part) in enumerate(zip(inputs.loads, parts, strict=True)):
        steps += load_steps(index, load, part, inputs.system, inputs.inverter, inputs.month)
    return (*steps, *total_steps(inputs, shares, months))


def _all_findings(
    inputs: DemandInput, parts: tuple[LoadDemand, ...], chosen: MonthDemand, idle_wh: float
) -> tuple[Finding, ...]:
    found = [
        finding
        for index, (load, part) in enumerate(zip(inputs.loads, parts, strict=True))
        for finding in load_findings(index, load, part, inputs)
    ]
    return (*found, *table_findings(inputs, parts, chosen, idle_wh))
