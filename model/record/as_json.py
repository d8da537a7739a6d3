"""The plan as plain data for other programs: the contract of `ampledger plan --json`.

Keys carry their units and do not change without a line in CHANGELOG.md. Figures that do not exist are null: JSON has no
infinity, so an array needed where the sun does not rise is null too.
"""

from __future__ import annotations

from dataclasses import asdict
from math import isfinite
from typing import TYPE_CHECKING, Any

from model.record.papers import as_dicts, job_of
from model.record.trip_json import trip_dict
from model.record.wiring_json import circuits_list, panel_dict
from model.wiring.papers import PAPERS

if TYPE_CHECKING:
    from model.plan import Plan
    from model.storage.options import Option
    from model.supply.table import MonthSupply
    from model.trip import Trip
    from model.year import Year


def as_dict(plan: Plan, year: Year | None = None, trip: Trip | None = None) -> dict[str, Any]:
    """The whole plan as dicts, lists, numbers and texts; with the odds where a simulated `year` and a `trip` are given."""
    return {
        "design": _design(plan),
        "demand": _demand(plan),
        "supply": _supply(plan),
        "storage": _storage(plan, year),
        "wiring": {
            "circuits": circuits_list(plan.wiring),
            "panel": panel_dict(plan.wiring),
            "cables": as_dicts(PAPERS["schedule"], job_of(plan)),
            "labels": as_dicts(PAPERS["labels"], job_of(plan)),
        },
        "trip": trip_dict(trip) if trip is not None else None,
        "findings": [asdict(finding) for finding in plan.findings],
        "steps": [
            {
                "key": step.key,
                "stage": step.stage,
                "label": step.label,
                "formula": step.formula,
                "value": _number(step.value) if isinstance(step.value, int | float) else step.value,
                "unit": step.unit,
                "source": step.source,
            }
            for step in (*plan.steps, *(year.steps if year is not None else ()), *(trip.steps if trip else ()))
        ],
    }


def _number(value: float | None) -> float | None:
    return value if value is not None and isfinite(value) else None


def _design(plan: Plan) -> dict[str, Any]:
    design, climate = plan.design, plan.climate
    elevation = climate.elevation_m if climate is not None else design.place.elevation_m
    return {
        "name": design.name,
        "system_v": design.system.nominal_v,
        "place": {
            "name": design.place.name,
            "latitude": design.place.latitude_deg,
            "longitude": design.place.longitude_deg,
            "elevation_m": elevation,
            "climate": climate.source if climate is not None else None,
        },
        "month": design.month,
    }


def _demand(plan: Plan) -> dict[str, Any]:
    month = plan.demand.month
    return {
        "energy_wh_per_day": month.energy_wh_per_day,
        "charge_ah_per_day": month.charge_ah_per_day,
        "peak_w": month.peak_w,
        "surge_w": month.surge_w,
        "loads": [
            {
                "name": load.name,
                "energy_wh_per_day": load.energy_wh_per_day,
                "charge_ah_per_day": load.charge_ah_per_day,
            }
            for load in plan.demand.loads
        ],
        "months": [
            {
                "month": one.month,
                "energy_wh_per_day": one.energy_wh_per_day,
                "charge_ah_per_day": one.charge_ah_per_day,
                "peak_w": one.peak_w,
                "surge_w": one.surge_w,
            }
            for one in plan.demand.months
        ],
        "kinds": [
            {
                "name": one.kind.name,
                "days_per_week": one.kind.days_per_week,
                "energy_wh_per_day": one.months[month.month - 1].energy_wh_per_day,
            }
            for one in plan.demand.kinds
        ],
    }


def _supply(plan: Plan) -> dict[str, Any] | None:
    supply = plan.supply
    if supply is None:
        return None
    month = supply.month
    return {
        "ghi_kwh_per_m2_day": month.ghi_kwh_per_m2_day,
        "ghi_cautious_kwh_per_m2_day": month.ghi_cautious_kwh_per_m2_day,
        "poa_kwh_per_m2_day": month.poa_kwh_per_m2_day,
        "yield_wh_per_w_day": month.yield_wh_per_w_day,
        "temperature_c": month.temperature_c,
        "array_w": supply.array_w,
        "array_needed_w": _number(month.needed_w),
        "array_needed_cautious_w": _number(month.needed_cautious_w),
        "harvest_wh_per_day": month.harvest_wh_per_day,
        "other_income_wh_per_day": month.other_income_wh_per_day,
        "left_for_sun_wh_per_day": month.left_for_sun_wh_per_day,
        "array_needed_for_rest_w": _number(month.needed_for_rest_w),
        "array_needed_for_rest_cautious_w": _number(month.needed_for_rest_cautious_w),
        "worst_month": supply.worst.month,
        "worst_month_array_needed_w": _number(supply.worst.needed_w),
        "worst_month_array_needed_cautious_w": _number(supply.worst.needed_cautious_w),
        "controller_a": supply.wiring.controller_a,
        "cold_open_circuit_v": supply.wiring.cold_voc_v,
        "modules_that_fit": len(supply.fit.modules),
        "months": [_supply_month(one) for one in supply.months],
    }


def _supply_month(month: MonthSupply) -> dict[str, Any]:
    return {
        "month": month.month,
        "ghi_kwh_per_m2_day": month.ghi_kwh_per_m2_day,
        "ghi_cautious_kwh_per_m2_day": month.ghi_cautious_kwh_per_m2_day,
        "poa_kwh_per_m2_day": month.poa_kwh_per_m2_day,
        "yield_wh_per_w_day": month.yield_wh_per_w_day,
        "temperature_c": month.temperature_c,
        "harvest_wh_per_day": month.harvest_wh_per_day,
        "other_income_wh_per_day": month.other_income_wh_per_day,
        "use_wh_per_day": month.use_wh_per_day,
    }


def _storage(plan: Plan, year: Year | None) -> dict[str, Any]:
    storage = plan.storage
    return {
        "chosen": storage.chosen.chemistry,
        "autonomy_days_asked": plan.design.battery.autonomy_days,
        "autonomy_days": _number(storage.chosen.autonomy_days),
        "options": [_option(option) for option in storage.options],
        "years_simulated": year.years if year is not None else 0,
        "longest_dark_spell_survived_days": year.odds.longest_spell_survived if year is not None else None,
        "refill_days_mean": year.odds.refill_days_mean if year is not None else None,
        "months": []
        if year is None
        else [
            {
                "month": one.month,
                "chance_of_empty_day": one.chance_of_empty_day,
                "chance_error": one.chance_error,
                "unmet_fraction": one.unmet_fraction,
                "empty_days": one.empty_days,
                "locked_days": one.locked_days,
                "refused_wh_per_day": one.refused_wh_per_day,
                "days_since_full_mean": one.since_full_mean,
                "days_since_full_max": one.since_full_max,
            }
            for one in year.odds.months
        ],
    }


def _option(option: Option) -> dict[str, Any]:
    return {
        "chemistry": option.chemistry,
        "depth_of_discharge": option.depth_of_discharge,
        "capacity_needed_wh": option.capacity_needed_wh,
        "capacity_needed_ah": option.capacity_needed_ah,
        "units_series": option.units_series,
        "units_parallel": option.units_parallel,
        "installed_ah": option.installed_ah,
        "usable_wh": option.usable_wh,
        "mass_kg": option.mass_kg,
        "volume_l": option.volume_l,
        "life_years": _number(option.life_years),
        "governs": option.governs,
        "ruled_out": option.ruled_out,
        "price": option.price,
    }
