"""All chemistries side by side for one use: what to buy, what it weighs, how long it lasts, what speaks against it."""

from __future__ import annotations

from functools import lru_cache

from model.calendar import write_months
from model.quantities import percent
from model.storage.charging import charge_limit_a, cold_charging, months_without_charging, months_without_discharging
from model.storage.chemistry import CHEMISTRY_NAMES, Chemistry, chemistries
from model.storage.findings import findings
from model.storage.life import DAYS_PER_YEAR, cycles_at_depth, heat_ageing, life_years
from model.storage.sizing import (
    VOLTAGE_TOLERANCE,
    Sizing,
    choose_unit,
    makes_bank,
    size,
    units_in_parallel,
    units_in_series,
)
from model.storage.standby import months_until_empty
from model.storage.table import Option, Storage, StorageInput
from model.storage.temperature import temperature_factor
from model.storage.ventilation import air_m3_per_h, opening_cm2
from model.storage.working import steps
from model.storage.worst_run import lasts_days

__all__ = ["Option", "Storage", "StorageInput", "option", "storage"]


@lru_cache(maxsize=8)
def storage(inputs: StorageInput) -> Storage:
    """Every chemistry for the same use; the working of all of them, findings about the chosen one.

    Raises ValueError for a chemistry that is not in the catalogue.
    """
    if inputs.chosen not in CHEMISTRY_NAMES:
        raise ValueError(f"unknown chemistry {inputs.chosen!r}: one of {', '.join(CHEMISTRY_NAMES)}")
    options = {name: option(chemistry, inputs) for name, chemistry in chemistries().items()}
    chosen = options[inputs.chosen]
    return Storage(chosen, tuple(options.values()), steps(inputs, options), findings(inputs, chosen))


def coldest_month(inputs: StorageInput) -> int:
    """The month of use (the month looked at among them) in which the battery is coldest."""
    months = sorted({*inputs.months_of_use, inputs.month})
    return min(months, key=lambda month: inputs.battery_temperature_c[month - 1])


def option(chemistry: Chemistry, inputs: StorageInput) -> Option:
    """One chemistry, from the gates to units, mass, life and what speaks against it."""
    typed = inputs.chosen == chemistry.name  # what was typed about the battery goes for the chosen one alone
    depth = (inputs.depth_of_discharge if typed else None) or chemistry.depth_of_discharge
    bank_v, cells = chemistry.bank_v(inputs.system_v), chemistry.cells(inputs.system_v)
    coldest = coldest_month(inputs)
    sizing = size(
        chemistry,
        energy_wh_per_day=inputs.energy_wh_per_day,
        autonomy_days=inputs.autonomy_days,
        depth_of_discharge=depth,
        end_of_life=inputs.end_of_life,
        temperature_c=inputs.battery_temperature_c[coldest - 1],
        margin=inputs.margin,
        running_a=inputs.peak_running_a,
        bank_v=bank_v,
        week=inputs.week,
    )
    series, parallel, unit_v, unit_ah = _units(chemistry, bank_v, sizing.needed_ah, inputs, typed)
    installed_ah = parallel * unit_ah
    installed_wh = installed_ah * bank_v
    takes_a = (inputs.charge_a if typed else None) or charge_limit_a(installed_ah, chemistry.charge_a_per_ah)
    factor = temperature_factor(chemistry.temperature_table, inputs.battery_temperature_c[inputs.month - 1])
    usable_wh = installed_wh * depth / factor
    daily_depth = min(depth, inputs.energy_wh_per_day / installed_wh)
    cycles = cycles_at_depth(chemistry.cycle_life, daily_depth)
    per_year = DAYS_PER_YEAR * len(inputs.months_of_use) / 12
    ageing = heat_ageing(inputs.battery_temperature_c) if chemistry.lead else 1.0
    years = life_years(chemistry.calendar_life_years, cycles, per_year, ageing)
    air = air_m3_per_h(chemistry.gassing, cells, installed_ah)
    price = dict(inputs.prices).get(chemistry.name)
    no_charging = months_without_charging(chemistry, inputs.battery_temperature_c, sorted(inputs.months_of_use))
    return Option(
        chemistry=chemistry.name,
        bank_v=bank_v,
        depth_of_discharge=depth,
        capacity_needed_wh=sizing.needed_wh,
        capacity_needed_ah=sizing.needed_ah,
        units_series=series,
        units_parallel=parallel,
        unit_v=unit_v,
        unit_ah=unit_ah,
        installed_ah=installed_ah,
        installed_wh=installed_wh,
        usable_wh=usable_wh,
        autonomy_days=lasts_days(inputs.week, inputs.energy_wh_per_day, usable_wh),
        mass_kg=installed_wh / chemistry.energy_wh_per_kg,
        volume_l=installed_wh / chemistry.energy_wh_per_l,
        daily_depth=daily_depth,
        cycles=cycles,
        life_years=years,
        life_ends_by="cycles" if cycles < per_year * chemistry.calendar_life_years else "calendar",
        governs=governs(sizing),
        charge_limit_a=takes_a,
        discharge_limit_a=(inputs.discharge_a if typed else None) or installed_ah * chemistry.discharge_a_per_ah,
        charge_note=charge_note(takes_a, inputs.charge_current_a),
        cold_charging=cold_charging(chemistry),
        months_without_charging=no_charging,
        ventilation_m3_per_h=air,
        vent_opening_cm2=opening_cm2(air),
        storage_months=months_until_empty(
            installed_wh,
            chemistry.self_discharge_per_month,
            inputs.standing_wh_per_day + chemistry.own_drain_wh_per_day,
        ),
        price=None if price is None else installed_wh / 1000 * price,
        ruled_out=ruled_out(chemistry, inputs, no_charging),
        against=chemistry.against,
        upkeep=chemistry.upkeep,
        sizing=sizing,
        coldest_month=coldest,
        usable_factor=factor,
        heat_ageing=ageing,
    )


def _units(
    chemistry: Chemistry, bank_v: float, needed_ah: float, inputs: StorageInput, typed: bool
) -> tuple[int, int, float, float]:
    """Units in series and in parallel, volts and ampere-hours of one."""
    unit_v = inputs.unit_v if typed else None
    unit_ah = inputs.unit_ah if typed else None
    if typed and inputs.installed_ah is not None:
        strings = round(inputs.installed_ah / unit_ah) if unit_ah is not None else 1
        if unit_ah is None or abs(strings * unit_ah - inputs.installed_ah) > 1e-6 * inputs.installed_ah:
            strings, unit_ah = 1, inputs.installed_ah  # no whole number of the typed units: taken as one string
        volts = unit_v if unit_v is not None else bank_v
        return units_in_series(bank_v, volts), strings, volts, unit_ah
    if unit_v is None and unit_ah is None:
        unit_v, unit_ah = choose_unit(chemistry, bank_v, needed_ah)
    elif unit_v is None:
        unit_v = next((volts for volts, _ in chemistry.units_v_ah if makes_bank(bank_v, volts)), bank_v)
    elif unit_ah is None:
        unit_ah = min(chemistry.units_v_ah, key=lambda unit: abs(unit[0] - unit_v))[1]
    assert unit_v is not None and unit_ah is not None  # by the branches above
    return units_in_series(bank_v, unit_v), units_in_parallel(needed_ah, unit_ah), unit_v, unit_ah


def governs(sizing: Sizing) -> str:
    """The gate that decides, in plain words."""
    if sizing.gate == "depth":
        days = f"{sizing.autonomy_days:g} {'day' if sizing.autonomy_days == 1 else 'days'}"
        return f"{days} at {percent(sizing.depth_of_discharge)} depth"
    return {"daily depth": "daily depth", "end of life": "end of life"}[sizing.gate]


def charge_note(limit_a: float, charge_current_a: float) -> str:
    """The charge limit in words, against the current that the array can bring; "" where that is not known."""
    if charge_current_a <= 0:
        return f"takes up to {limit_a:.0f} A"
    verdict = "takes" if charge_current_a <= limit_a else "cannot take"
    return f"{verdict} the array's {charge_current_a:.0f} A (limit {limit_a:.0f} A)"


def ruled_out(chemistry: Chemistry, inputs: StorageInput, no_charging: tuple[int, ...]) -> str:
    """Why this chemistry will not do here, or ""."""
    bank_v = chemistry.bank_v(inputs.system_v)
    if abs(bank_v / inputs.system_v - 1) > VOLTAGE_TOLERANCE:
        full_v = chemistry.cells(inputs.system_v) * chemistry.cell_full_v
        return f"{bank_v:.3g} V nominal, {full_v:.3g} V full: does not fit {inputs.system_v:g} V devices"
    cold = months_without_discharging(chemistry, inputs.battery_temperature_c, sorted(inputs.months_of_use))
    if cold:
        return f"too cold or hot to use in {write_months(cold)}"
    if no_charging:
        return f"too cold or hot to charge in {write_months(no_charging)}"
    return ""
