"""The whole load table: energy and charge a day for every month, profile by hour, peak and surge."""

from __future__ import annotations

from dataclasses import replace
from itertools import compress

from model.demand.dark import DARK, EQUAL_YEAR_H
from model.demand.findings import cabin_findings, load_findings
from model.demand.heat import HOT_WEEK_K
from model.demand.inverter import idle_hours
from model.demand.kinds import Kind, kinds_of, row_weights
from model.demand.load import LoadDemand, load_demand, running_current_a
from model.demand.table import ALWAYS_ON_NAME, IDLE_NAME, Demand, DemandInput, KindDemand, LoadShare, MonthDemand
from model.demand.table_findings import table_findings
from model.demand.week import kind_findings, kind_steps, mean_day
from model.demand.working import load_steps, side_steps, total_steps
from model.working import Finding, Step


def charge_ah(energy_wh: float, nominal_v: float) -> float:
    """Charge at the system's nominal voltage, Ah: Q = E / U."""
    return energy_wh / nominal_v


def busy_hours(parts: tuple[LoadDemand, ...], month: int) -> float:
    """Hours a day in which the inverter carries load, taking AC loads one after the other, at most 24.

    One after the other is also how each load's efficiency is taken; where they run together, the inverter's own consumption
    is counted for each of them, which errs on the cautious side.
    """
    return min(24.0, sum(part.full_hours[month - 1] for part in parts if part.ac_w > 0))


def hours_on(inputs: DemandInput, parts: tuple[LoadDemand, ...], month: int) -> float:
    """Hours a day that the inverter is on: as typed, but no shorter than the longest AC load of `month` needs it."""
    needed = (
        part.hours[month - 1]
        for load, part in zip(inputs.loads, parts, strict=True)
        if load.supply == "AC" and load.on and load.quantity and month in load.months
    )
    return max(inputs.inverter.hours_on, *needed, 0.0)


def idle_energy_wh(inputs: DemandInput, parts: tuple[LoadDemand, ...], month: int) -> float:
    """Energy a day that the inverter draws without load, at the battery; 0 where none is fitted."""
    hours = idle_hours(inputs.inverter, hours_on(inputs, parts, month), busy_hours(parts, month))
    return inputs.inverter.idle_w * hours / inputs.system.wiring_efficiency


def idle_saving_wh(inputs: DemandInput, parts: tuple[LoadDemand, ...], month: int) -> float:
    """What is saved a day by switching the inverter off whenever nothing runs on it, at the battery."""
    if not inputs.inverter.fitted:
        return 0.0
    hours = max(0.0, hours_on(inputs, parts, month) - busy_hours(parts, month))
    return inputs.inverter.idle_w * hours / inputs.system.wiring_efficiency


def hourly_profile_w(parts: tuple[LoadDemand, ...], month: int, steady_w: float) -> tuple[float, ...]:
    """Mean power in each clock hour of a day of `month`, W; `steady_w` runs all day."""
    alike = alike_hours(parts, month)
    mean_w = {hour: steady_w + sum(part.mean_w(month, hour) for part in parts) for hour in set(alike)}
    return tuple(mean_w[hour] for hour in alike)


def alike_hours(parts: tuple[LoadDemand, ...], month: int) -> tuple[int, ...]:
    """For each clock hour the first one in which the same rows run: a day has few that differ, so few need be summed."""
    first: dict[tuple[float, ...], int] = {}
    shares = zip(*(part.profiles[month - 1] for part in parts), strict=True) if parts else [()] * 24
    return tuple(first.setdefault(column, hour) for hour, column in enumerate(shares))


def peak_and_surge_w(parts: tuple[LoadDemand, ...], month: int, steady_w: float) -> tuple[float, float]:
    """Largest power and largest starting power of any clock hour, W.

    Everything that may run in an hour is taken to run together; the surge adds the one piece that starts hardest. A row
    whose energy asks for more than its power (a measured day, more hours than its time of day has) counts with the mean.
    Source: momentary and running loads of IEEE 1013, 5.2; coincidence is the cautious case.
    """
    peak = surge = steady_w
    for hour in set(alike_hours(parts, month)):
        together = steady_w + sum(part.most_w(month, hour) for part in parts)
        starts = (part.surge_w - part.running_w for part in parts if part.may_run(month, hour))
        peak, surge = max(peak, together), max(surge, together + max(starts, default=0.0))
    return peak, surge


def ac_peak_and_surge_w(parts: tuple[LoadDemand, ...], month: int) -> tuple[float, float]:
    """The same of what hangs behind the inverter, W at its output."""
    peak = surge = 0.0
    for hour in set(alike_hours(parts, month)):
        there = [part for part in parts if part.ac_w and part.may_run(month, hour)]
        together = sum(part.ac_w for part in there)
        starts = (part.ac_start_w for part in there)
        peak, surge = max(peak, together), max(surge, together + max(starts, default=0.0))
    return peak, surge


def demand(inputs: DemandInput) -> Demand:
    """The energy budget of `inputs`, every figure at the battery's terminals."""
    system, inverter = inputs.system, inputs.inverter
    parts, hot_parts = _parts(inputs, 0.0), _parts(inputs, HOT_WEEK_K)
    always_wh = 24.0 * system.always_on_w / system.wiring_efficiency
    kinds = tuple(
        _kind_demand(inputs, kind, parts, hot_parts, always_wh) for kind in kinds_of(inputs.loads, inputs.days)
    )
    weights = row_weights(tuple(each.kind for each in kinds))
    months = tuple(mean_day([(each.kind.weight, each.months[month]) for each in kinds]) for month in range(12))
    idle_wh = tuple(sum(each.kind.weight * each.idle_wh[month] for each in kinds) for month in range(12))
    chosen = months[inputs.month - 1]
    lines = [
        (part.name, part.running_a, tuple(weight * energy for energy in part.energy_wh_per_day))
        for weight, part in zip(weights, parts, strict=True)
    ]
    if inverter.fitted:
        lines.append((IDLE_NAME, running_current_a(inverter.idle_w, system.nominal_v), idle_wh))
    lines.append((ALWAYS_ON_NAME, running_current_a(system.always_on_w, system.nominal_v), (always_wh,) * 12))
    losses_wh = sum(weight * part.lost_wh(inputs.month) for weight, part in zip(weights, parts, strict=True))
    losses_wh += always_wh * (1.0 - system.wiring_efficiency) + idle_wh[inputs.month - 1]
    found = Demand(
        month=chosen,
        months=months,
        kinds=kinds if inputs.days else (),
        loads=tuple(_share(inputs, chosen, *line) for line in lines),
        parts=parts,
        idle_wh_per_day=idle_wh[inputs.month - 1],
        always_on_wh_per_day=always_wh,
        standing_wh_per_day=always_wh + _standby_wh(inputs, parts, weights),
        losses_wh_per_day=losses_wh,
        running_a=running_current_a(chosen.peak_w, system.nominal_v),
        steps=(),
        findings=(),
    )
    return replace(found, steps=_steps(inputs, found, weights), findings=_all_findings(inputs, found, kinds))


def _kind_demand(
    inputs: DemandInput,
    kind: Kind,
    parts: tuple[LoadDemand, ...],
    hot_parts: tuple[LoadDemand, ...],
    always_wh: float,
) -> KindDemand:
    """One kind of day alone, as if every day were of it."""
    inputs, parts, hot_parts = _only(inputs, kind), _running(parts, kind), _running(hot_parts, kind)
    idle_wh = tuple(idle_energy_wh(inputs, parts, month) for month in range(1, 13))
    months = tuple(
        _month_demand(inputs, parts, hot_parts, month, always_wh, idle_wh[month - 1]) for month in range(1, 13)
    )
    return KindDemand(kind, months, idle_wh)


def _only(inputs: DemandInput, kind: Kind) -> DemandInput:
    return inputs if all(kind.runs) else replace(inputs, loads=tuple(compress(inputs.loads, kind.runs)))


def _running(parts: tuple[LoadDemand, ...], kind: Kind) -> tuple[LoadDemand, ...]:
    return parts if all(kind.runs) else tuple(compress(parts, kind.runs))


def _parts(inputs: DemandInput, warmer_k: float) -> tuple[LoadDemand, ...]:
    warm_c = tuple(outside + warmer_k for outside in inputs.outside_c)
    return tuple(
        load_demand(
            load,
            inputs.system,
            inputs.inverter,
            warm_c if load.follows_heat else inputs.outside_c,
            inputs.daylight_h if load.when == DARK else EQUAL_YEAR_H,
        )
        for load in inputs.loads
    )


def _standby_wh(inputs: DemandInput, parts: tuple[LoadDemand, ...], weights: tuple[float, ...]) -> float:
    """Standby round the clock of the rows in use in the month; those behind the inverter are off with it."""
    return 24.0 * sum(
        weight * part.standby_w
        for load, part, weight in zip(inputs.loads, parts, weights, strict=True)
        if load.supply == "DC" and inputs.month in load.months
    )


def _month_demand(
    inputs: DemandInput,
    parts: tuple[LoadDemand, ...],
    hot_parts: tuple[LoadDemand, ...],
    month: int,
    always_wh: float,
    idle_wh: float,
) -> MonthDemand:
    steady_w = (always_wh + idle_wh) / 24.0
    energy = sum(part.energy_wh_per_day[month - 1] for part in parts) + always_wh + idle_wh
    hot = sum(part.energy_wh_per_day[month - 1] for part in hot_parts) + always_wh
    hot += idle_energy_wh(inputs, hot_parts, month)
    peak, surge = peak_and_surge_w(parts, month, steady_w)
    ac_peak, ac_surge = ac_peak_and_surge_w(parts, month)
    waiting = tuple(part for load, part in zip(inputs.loads, parts, strict=True) if load.need == "can wait")
    return MonthDemand(
        month=month,
        energy_wh_per_day=energy,
        hot_week_wh_per_day=hot,
        charge_ah_per_day=charge_ah(energy, inputs.system.nominal_v),
        average_w=energy / 24.0,
        peak_w=peak,
        surge_w=surge,
        ac_peak_w=ac_peak,
        ac_surge_w=ac_surge,
        profile_w=hourly_profile_w(parts, month, steady_w),
        deferrable_wh_per_day=sum(part.energy_wh_per_day[month - 1] for part in waiting),
        deferrable_w=hourly_profile_w(waiting, month, 0.0),
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


def _steps(inputs: DemandInput, found: Demand, weights: tuple[float, ...]) -> tuple[Step, ...]:
    steps: list[Step] = []
    for index, (load, part, weight) in enumerate(zip(inputs.loads, found.parts, weights, strict=True)):
        steps += load_steps(index, load, part, inputs, weight)
    on_hours = hours_on(inputs, found.parts, inputs.month)
    return (
        *steps,
        *total_steps(inputs, found.loads, found.months, on_hours),
        *kind_steps(inputs, found.kinds),
        *side_steps(inputs, found.months, found.standing_wh_per_day, found.losses_wh_per_day),
    )


def _all_findings(inputs: DemandInput, found: Demand, kinds: tuple[KindDemand, ...]) -> tuple[Finding, ...]:
    of_rows = [
        finding
        for index, (load, part) in enumerate(zip(inputs.loads, found.parts, strict=True))
        for finding in load_findings(index, load, part, inputs)
    ]
    saving_wh = sum(
        each.kind.weight * idle_saving_wh(_only(inputs, each.kind), _running(found.parts, each.kind), inputs.month)
        for each in kinds
    )
    return (
        *of_rows,
        *cabin_findings(inputs),
        *table_findings(inputs, found.parts, found.month, found.idle_wh_per_day, saving_wh),
        *kind_findings(inputs, found),
    )
