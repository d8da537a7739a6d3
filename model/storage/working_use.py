"""The working from the capacity needed to mass, life, currents, air and storage."""

from __future__ import annotations

from model import names
from model.calendar import month_name
from model.quantities import percent
from model.storage.chemistry import Chemistry, chemistries
from model.storage.findings_warmth import charge_heat_w, coldest_charging, planned_charge_a
from model.storage.life import DAYS_PER_YEAR
from model.storage.maker import ENERGY, IEEE, Maker
from model.storage.standby import DAYS_PER_MONTH
from model.storage.table import Option, StorageInput
from model.storage.temperature import factor_source
from model.storage.warmth import FOAM_W_PER_M2_K, holding_wh_per_day, surface_m2, worn_cell


def purchase_steps(make: Maker, one: Option, inputs: StorageInput) -> None:
    """Capacity needed, whole units, mass, volume, price."""
    sizing, chemistry = one.sizing, chemistries()[one.chemistry]
    margin_ah = sizing.margin_wh / one.bank_v
    if sizing.needed_ah > margin_ah * (1 + 1e-12):
        formula = (
            f"{margin_ah:.5g} Ah x ({inputs.peak_running_a:.4g} A x {chemistry.rated_h:g} h / {margin_ah:.5g} Ah)"
            f"^({chemistry.peukert_exponent - 1:.3g} / {chemistry.peukert_exponent:g});"
            f" lasts {sizing.functional_hours:.3g} h at that current"
        )
    else:
        formula = f"{margin_ah:.5g} Ah: no faster discharge than the rated one counts"
    rate = f"{IEEE.format('6.4')}; Peukert's law; exponent: {chemistry.source('peukert_exponent')}"
    make("capacity_needed_ah", names.CAPACITY_NEEDED.small, formula, sizing.needed_ah, "Ah", rate, "margin_wh")
    volts = f"{one.bank_v:g} V"
    needed = f"{sizing.needed_ah:.5g} Ah x {volts}"
    cells = chemistry.source("cell_nominal_v")
    make(
        "capacity_needed_wh",
        f"{names.CAPACITY_NEEDED.small}, as energy",
        needed,
        sizing.needed_wh,
        "Wh",
        cells,
        "capacity_needed_ah",
    )
    there = inputs.chosen == one.chemistry and inputs.installed_ah is not None
    make(
        "installed_ah",
        names.INSTALLED.small + (", already there" if there else ", in whole units"),
        f"{one.units_parallel} in parallel x {one.unit_ah:g} Ah, {one.units_series} in series of {one.unit_v:g} V",
        one.installed_ah,
        "Ah",
        "typed" if there else f"{IEEE.format('8.2')}; units: {chemistry.source('units_v_ah')}",
        *(() if there else ("capacity_needed_ah",)),
    )
    installed = f"{one.installed_ah:.5g} Ah x {volts}"
    make(
        "installed_wh", f"{names.INSTALLED.small}, as energy", installed, one.installed_wh, "Wh", cells, "installed_ah"
    )
    rated = f"{one.installed_wh:.5g} Wh"
    heavy, large = chemistry.energy_wh_per_kg, chemistry.energy_wh_per_l
    source = chemistry.source("energy_wh_per_kg")
    make("mass_kg", names.MASS.small, f"{rated} / {heavy:g} Wh/kg", one.mass_kg, "kg", source, "installed_wh")
    source = chemistry.source("energy_wh_per_l")
    make("volume_l", names.VOLUME.small, f"{rated} / {large:g} Wh/l", one.volume_l, "l", source, "installed_wh")
    if one.price is not None:
        each = dict(inputs.prices)[one.chemistry]
        make("price", "price", f"{one.installed_wh / 1000:.4g} kWh x {each:g}", one.price, "", "typed", "installed_wh")


def use_steps(make: Maker, chemistry: Chemistry, one: Option, inputs: StorageInput) -> None:
    """What it gives in the month looked at, and how long it lasts at this use."""
    name, celsius = month_name(inputs.month), inputs.battery_temperature_c[inputs.month - 1]
    make(
        "usable_wh",
        f"{names.USABLE.small} in {name}, when new",
        f"{one.installed_wh:.5g} Wh x {one.depth_of_discharge:g} / {one.usable_factor:.4g} at {celsius:.1f} °C",
        one.usable_wh,
        "Wh",
        f"depth of discharge; {factor_source(chemistry.temperature_table, celsius)}",
        "installed_wh",
        "depth_of_discharge",
    )
    make(
        "autonomy_days",
        f"{names.AUTONOMY.small} in {name}, without any income",
        f"{one.usable_wh:.5g} Wh, the heaviest kinds of day first"
        if inputs.week
        else f"{one.usable_wh:.5g} Wh / {inputs.energy_wh_per_day:.5g} Wh a day",
        one.autonomy_days,
        "days",
        "usable energy over a day's use",
        "usable_wh",
        ENERGY,
    )
    make(
        "daily_depth",
        "discharge on an ordinary day",
        f"{inputs.energy_wh_per_day:.5g} Wh / {one.installed_wh:.5g} Wh",
        one.daily_depth * 100,
        "%",
        "a day's use over rated energy",
        ENERGY,
        "installed_wh",
    )
    make(
        "cycles",
        "cycles at that depth",
        "between " + ", ".join(f"{percent(depth)}: {cycles:g}" for depth, cycles in chemistry.cycle_life),
        one.cycles,
        "",
        chemistry.source("cycle_life"),
        "daily_depth",
    )
    heat = f" / {one.heat_ageing:.3g} for heat" if one.heat_ageing > 1 else ""
    per_year = DAYS_PER_YEAR * len(inputs.months_of_use) / 12
    make(
        "life_years",
        f"{names.LIFE.small} at this use",
        f"smaller of {chemistry.calendar_life_years:g} years and {one.cycles:.4g} / {per_year:.4g} days{heat}",
        one.life_years,
        "years",
        chemistry.source("calendar_life_years")
        + "; lead-acid: halved for each 10 K above 25 °C (a maker's page, seen)",
        "cycles",
    )


def care_steps(make: Maker, chemistry: Chemistry, one: Option, inputs: StorageInput) -> None:
    """Currents, cold, air and the winter in storage."""
    chosen = inputs.chosen == chemistry.name
    limits = (
        ("charge_limit_a", names.CHARGE_LIMIT.small, inputs.charge_a, chemistry.charge_a_per_ah, one.charge_limit_a),
        (
            "discharge_limit_a",
            "discharge limit",
            inputs.discharge_a,
            chemistry.discharge_a_per_ah,
            one.discharge_limit_a,
        ),
    )
    for what, label, by_maker_a, per_ah, limit_a in limits:
        if chosen and by_maker_a is not None:
            make(what, label, "typed", limit_a, "A", "typed, by the battery's maker")
            continue
        column = what.replace("limit_a", "a_per_ah")
        usual = f"{one.installed_ah:.5g} Ah x {per_ah:g} A/Ah"
        make(what, label, usual, limit_a, "A", chemistry.source(column), "installed_ah")
    make(
        "charge_temperature_min_c",
        "coldest cells that take charge",
        one.cold_charging,
        chemistry.charge_temperature_min_c,
        "°C",
        chemistry.source("charge_temperature_min_c"),
    )
    _warmth_steps(make, chemistry, one, inputs)
    if one.ventilation_m3_per_h:
        cells = chemistry.cells(inputs.system_v)
        make(
            "ventilation_m3_per_h",
            f"{names.VENTILATION.small} while charging",
            f"0.055 x {cells} cells x {2 if chemistry.gassing == 'vented' else 1} A per 100 Ah"
            f" x {one.installed_ah:.5g} Ah / 100",
            one.ventilation_m3_per_h,
            "m3/h",
            "EN IEC 62485-3 (seen second-hand); part 2 asks for less",
            "installed_ah",
        )
        make(
            "vent_opening_cm2",
            "each of two openings",
            f"28 x {one.ventilation_m3_per_h:.4g}",
            one.vent_opening_cm2,
            "cm2",
            "EN IEC 62485-2, natural draught (seen second-hand)",
            "ventilation_m3_per_h",
        )
    standing = inputs.standing_wh_per_day + chemistry.own_drain_wh_per_day
    make(
        "storage_months",
        "full battery empty with everything switched off",
        f"{one.installed_wh:.5g} Wh, less {standing * DAYS_PER_MONTH:.4g} Wh and"
        f" {percent(chemistry.self_discharge_per_month, 1)} of the rest a month",
        one.storage_months,
        "months",
        chemistry.source("self_discharge_per_month"),
        "installed_wh",
    )


def _warmth_steps(make: Maker, chemistry: Chemistry, one: Option, inputs: StorageInput) -> None:
    """Heat that charging makes in the cells, and what a pad takes where they are too cold for it."""
    amps, (mohm_ah, resistance) = planned_charge_a(inputs, one), worn_cell(one.chemistry)
    cells = chemistry.cells(inputs.system_v)
    make(
        "charging_heat_w",
        "heat in the cells at the planned charge",
        f"({amps:.4g} A)^2 x {cells} cells x {mohm_ah:g} mohm Ah / {one.installed_ah:.5g} Ah; all chargers at once",
        charge_heat_w(inputs, one, chemistry),
        "W",
        resistance,
        "charge_limit_a",
        "installed_ah",
    )
    month, coldest_c = coldest_charging(inputs)
    colder_k = chemistry.charge_temperature_min_c - coldest_c
    if chemistry.lead or colder_k <= 0:
        return
    make(
        "pad_wh_per_day",
        f"heating pad, a day in {month_name(month)}",
        f"{FOAM_W_PER_M2_K:g} W/(m2 K) x {surface_m2(one.volume_l):.3g} m2 x {colder_k:.3g} K x 24 h, behind 20 mm of foam",
        holding_wh_per_day(one.volume_l, colder_k),
        "Wh",
        "heat through foam of 0.035 W/(m K), from memory; surface of a cube",
        "volume_l",
        "charge_temperature_min_c",
    )
