"""The sun's side of the budget: what the array brings in each month, and how large it would have to be."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from model.supply import array
from model.supply.array_yield import array_yields, passed_yields
from model.supply.findings import findings
from model.supply.module_yield import MonthYield, charging_v
from model.supply.other_income import left_for_sun_wh_per_day
from model.supply.roof import Fit, Placed, fit_modules, noon_elevation_deg, shaded
from model.supply.table import MonthSupply, Supply, SupplyInput, Wiring
from model.supply.working import steps


@lru_cache(maxsize=64)
def supply(inputs: SupplyInput) -> Supply:
    """Everything the sun has to say about a design, for each month and for the month looked at."""
    fitted = fit_modules(inputs.roof, inputs.module)
    sunny = array_yields(inputs)
    wiring = wire(inputs, fitted, hottest_cell_c=max(month.cell_max_c for month in sunny))
    passed = passed_yields(inputs, wiring.array_w)
    months = tuple(_month(inputs, wiring.array_w, *both) for both in zip(sunny, passed, strict=True))
    on_the_road = [months[number - 1] for number in inputs.months_of_use] or list(months)
    chosen = months[inputs.month - 1]
    covered = array.share_covered(chosen.harvest_wh_per_day, inputs.battery_efficiency, chosen.use_wh_per_day)
    answer = Supply(
        month=chosen,
        worst=max(on_the_road, key=lambda month: month.needed_cautious_w),
        months=months,
        array_w=wiring.array_w,
        coverage=covered if chosen.use_wh_per_day > 0 else None,
        coverage_with_other=covered if chosen.use_wh_per_day > 0 else None,
        wiring=wiring,
        fit=fitted,
        modules=least_shaded(inputs, fitted)[: wiring.count],
        steps=(),
        findings=(),
    )
    return replace(answer, steps=steps(inputs, answer), findings=findings(inputs, answer))


@lru_cache(maxsize=64)
def supply_besides(inputs: SupplyInput, other_income_wh_per_day: tuple[float, ...]) -> Supply:
    """As `supply`, where each month also has other income; what the sun alone must do stays in its figures."""
    answer = supply(inputs)
    if not any(other_income_wh_per_day):
        return answer
    months = tuple(_besides(inputs, *pair) for pair in zip(answer.months, other_income_wh_per_day, strict=True))
    chosen = months[inputs.month - 1]
    income = chosen.harvest_wh_per_day + chosen.other_income_wh_per_day
    covered = array.share_covered(income, inputs.battery_efficiency, chosen.use_wh_per_day)
    answer = replace(
        answer,
        month=chosen,
        worst=months[answer.worst.month - 1],
        months=months,
        coverage_with_other=covered if chosen.use_wh_per_day > 0 else None,
    )
    return replace(answer, steps=steps(inputs, answer), findings=findings(inputs, answer))


def _besides(inputs: SupplyInput, month: MonthSupply, other_income_wh_per_day: float) -> MonthSupply:
    """The month with other income, and the array for the rest of its use."""
    controller, battery = inputs.controller.efficiency, inputs.battery_efficiency
    left = left_for_sun_wh_per_day(month.use_wh_per_day, other_income_wh_per_day, battery)
    return replace(
        month,
        other_income_wh_per_day=other_income_wh_per_day,
        left_for_sun_wh_per_day=left,
        needed_for_rest_w=array.array_needed_w(left, month.yield_wh_per_w_day, controller, battery),
        needed_for_rest_cautious_w=array.array_needed_w(left, month.yield_cautious_wh_per_w_day, controller, battery),
    )


def wire(inputs: SupplyInput, fitted: Fit, hottest_cell_c: float) -> Wiring:
    """Strings, voltages and currents of the modules asked for, or of as many as fit."""
    module, in_series = inputs.module, max(round(inputs.array.in_series), 1)
    count = len(fitted.modules) if inputs.array.count is None else round(inputs.array.count)
    strings, idle = divmod(count, in_series)
    array_w = strings * in_series * module.rated_w
    lowest = array.lowest_expected_c(inputs.climate.temperature_c) if inputs.lowest_c is None else inputs.lowest_c
    tracking = inputs.controller.kind == "MPPT"
    return Wiring(
        count=count,
        in_series=in_series,
        strings=strings,
        idle=idle,
        array_w=array_w,
        lowest_c=lowest,
        cold_voc_v=array.open_circuit_v(module, in_series, lowest),
        hot_vmp_v=array.hot_vmp_v(module, in_series, hottest_cell_c),
        run_v=array.voltage_to_run_v(inputs.system_v, inputs.controller.kind),
        warm_voc_v=array.open_circuit_v(module, in_series, max(inputs.climate.temperature_c)),
        start_v=array.voltage_to_start_v(charging_v(inputs.system_v), inputs.controller.kind),
        controller_a=array.tracking_current_a(array_w, inputs.system_v)
        if tracking
        else array.clamped_current_a(module, strings),
        backfed_a=array.backfed_current_a(module, strings),
    )


def least_shaded(inputs: SupplyInput, fitted: Fit) -> tuple[Placed, ...]:
    """The places for modules, those first that fewest obstacles shade at noon in the month looked at."""
    elevation = noon_elevation_deg(inputs.climate.latitude_deg, inputs.month)
    times = [0] * len(fitted.modules)
    for obstacle in inputs.roof.obstacles:
        for index in shaded(fitted.modules, obstacle, elevation):
            times[index] += 1
    order = sorted(range(len(times)), key=lambda index: times[index])
    return tuple(fitted.modules[index] for index in order)


def _month(inputs: SupplyInput, array_w: float, month: MonthYield, passed: MonthYield) -> MonthSupply:
    """A month of the array; `passed`: what of it gets through the controller. The array needed asks for one that passes all."""
    efficiency, use = inputs.controller.efficiency, inputs.use_wh_per_day[month.month - 1]
    typical, cautious = month.yield_wh_per_w_day, month.cautious_wh_per_w_day
    needed_w = array.array_needed_w(use, typical, efficiency, inputs.battery_efficiency)
    needed_cautious_w = array.array_needed_w(use, cautious, efficiency, inputs.battery_efficiency)
    return MonthSupply(
        month=month.month,
        ghi_kwh_per_m2_day=month.ghi_kwh_per_m2_day,
        ghi_cautious_kwh_per_m2_day=month.ghi_cautious_kwh_per_m2_day,
        poa_kwh_per_m2_day=month.poa_kwh_per_m2_day,
        yield_wh_per_w_day=typical,
        yield_cautious_wh_per_w_day=cautious,
        temperature_c=month.temperature_c,
        cell_max_c=month.cell_max_c,
        hourly_harvest_w=tuple(array_w * efficiency * share for share in passed.hourly_w_per_w),
        harvest_wh_per_day=array.harvest_wh_per_day(array_w, passed.yield_wh_per_w_day, efficiency),
        harvest_cautious_wh_per_day=array.harvest_wh_per_day(array_w, passed.cautious_wh_per_w_day, efficiency),
        use_wh_per_day=use,
        needed_w=needed_w,
        needed_cautious_w=needed_cautious_w,
        left_for_sun_wh_per_day=use,
        needed_for_rest_w=needed_w,
        needed_for_rest_cautious_w=needed_cautious_w,
    )
