"""What a careful friend would say about the chosen battery."""

from __future__ import annotations

from dataclasses import replace

from model.calendar import month_name
from model.quantities import percent
from model.storage.charging import REFILL_AH_PER_A
from model.storage.chemistry import Chemistry, chemistries
from model.storage.findings_temperature import temperature_findings
from model.storage.findings_warmth import warmth_findings
from model.storage.sizing import MOST_PARALLEL, VOLTAGE_TOLERANCE, makes_bank
from model.storage.table import Option, StorageInput
from model.storage.ventilation import free_volume_m3
from model.storage.worst_run import lasts_days
from model.working import Finding

DEVICE_LIMIT_V_PER_12V = 15.0  # what devices for 12 V usually bear; common practice, no source
HEAVY_KG = 80.0  # about one more passenger; common practice, no source
SHORT_LIFE_YEARS = 3.0
BATTERY = "battery/chemistry"


def findings(inputs: StorageInput, chosen: Option) -> tuple[Finding, ...]:
    """Everything about the chosen battery, in the order of the form."""
    chemistry = chemistries()[chosen.chemistry]
    found = (
        *_voltage(inputs, chosen, chemistry),
        *temperature_findings(inputs, chosen, chemistry),
        *warmth_findings(inputs, chosen, chemistry),
        *_depth(inputs, chosen, chemistry),
        *_units(inputs, chosen),
        *_currents(inputs, chosen, chemistry),
        *_life(inputs, chosen, chemistry),
        *_gas(chosen, chemistry),
    )
    return tuple(replace(one, message=one.message[:1].upper() + one.message[1:]) for one in found)


def _voltage(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    cells, system_v = chemistry.cells(inputs.system_v), inputs.system_v
    full_v, empty_v = cells * chemistry.cell_full_v, cells * chemistry.cell_empty_v
    if abs(chosen.bank_v / system_v - 1) > VOLTAGE_TOLERANCE:
        return [
            Finding(
                "danger",
                BATTERY,
                f"{chemistry.name} does not fit {system_v:g} V: {cells} cells make {chosen.bank_v:.3g} V,"
                f" {full_v:.3g} V full, and one cell less is too low.",
                "Take another chemistry, or a 24 or 48 V system with a converter for the 12 V devices.",
            )
        ]
    limit_v = DEVICE_LIMIT_V_PER_12V * system_v / 12
    if full_v > limit_v:
        return [
            Finding(
                "warning",
                BATTERY,
                f"{chemistry.name} swings from {full_v:.3g} V full to {empty_v:.3g} V empty;"
                f" devices for {system_v:g} V usually bear {limit_v:g} V.",
                "Check the voltage range of every device, or charge it to less and lose some capacity.",
            )
        ]
    return []


def _depth(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    found: list[Finding] = []
    if chemistry.deepest is not None and chosen.depth_of_discharge > chemistry.deepest + 1e-9:
        found.append(
            Finding(
                "warning",
                "battery/depth_of_discharge",
                f"{percent(chosen.depth_of_discharge)} is deeper than {chemistry.name} bears for long"
                f" ({percent(chemistry.deepest)}).",
                f"Plan with {percent(chemistry.depth_of_discharge)}.",
            )
        )
    if chosen.sizing.gate == "daily depth" and chemistry.daily_depth is not None and inputs.installed_ah is None:
        there_wh = chosen.sizing.largest_wh * chosen.depth_of_discharge
        longer_days = lasts_days(inputs.week, inputs.energy_wh_per_day, there_wh)
        found.append(
            Finding(
                "note",
                "battery/autonomy_days",
                f"Not the {inputs.autonomy_days:g} days of autonomy decide the size, but the ordinary day: {chemistry.name}"
                f" should not lose more than {percent(chemistry.daily_depth)} in it.",
                f"Fewer days change nothing; up to {longer_days:.1f} days come free.",
            )
        )
    if inputs.installed_ah is not None and inputs.installed_ah < chosen.capacity_needed_ah * (1 - 1e-9):
        found.append(
            Finding(
                "warning",
                "battery/installed_ah",
                f"{inputs.installed_ah:g} Ah are there, {chosen.capacity_needed_ah:.0f} Ah are needed;"
                f" they last {chosen.autonomy_days:.1f} days in {month_name(inputs.month)} while new.",
                "Use less, ask for fewer days, or add capacity of the same kind and age.",
            )
        )
    return found


def _units(inputs: StorageInput, chosen: Option) -> list[Finding]:
    found: list[Finding] = []
    if not makes_bank(chosen.bank_v, chosen.unit_v):
        found.append(
            Finding(
                "danger",
                "battery/unit_v",
                f"No whole number of {chosen.unit_v:g} V units makes the {chosen.bank_v:g} V of {chosen.chemistry}:"
                f" {chosen.units_series} in series make {chosen.units_series * chosen.unit_v:g} V.",
                "Type the voltage of one unit, or leave it empty.",
            )
        )
    if chosen.units_parallel > MOST_PARALLEL:
        found.append(
            Finding(
                "warning",
                "battery/unit_ah",
                f"{chosen.units_parallel} strings in parallel share the current badly: the nearest wears out first.",
                f"Take larger units, so that at most {MOST_PARALLEL} strings are needed, or a higher system voltage.",
            )
        )
    elif chosen.units_parallel > 1:
        found.append(
            Finding(
                "note",
                "battery/unit_ah",
                f"{chosen.units_parallel} strings in parallel: charge each fully before they are joined.",
                "Same make, same age, leads of equal length, take-off at opposite ends or from bus bars.",
            )
        )
    if chosen.mass_kg > HEAVY_KG:
        found.append(
            Finding(
                "note",
                BATTERY,
                f"The battery weighs about {chosen.mass_kg:.0f} kg.",
                "Check payload and axle loads, and bolt it down: it must hold in a crash.",
            )
        )
    return found


def _currents(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    found: list[Finding] = []
    charge_a, limit_a = inputs.charge_current_a, chosen.charge_limit_a
    if charge_a > limit_a:
        found.append(
            Finding(
                "warning",
                BATTERY,
                f"The array can charge with {charge_a:.0f} A; {chosen.installed_ah:g} Ah of {chemistry.name} take"
                f" {limit_a:.0f} A for long.",
                "Set the charger's current limit, or take a larger battery.",
            )
        )
    if chemistry.lead and 0 < charge_a * REFILL_AH_PER_A < chosen.installed_ah:
        found.append(
            Finding(
                "warning",
                BATTERY,
                f"{charge_a:.0f} A hardly refill {chosen.installed_ah:g} Ah: more than"
                f" {REFILL_AH_PER_A:g} Ah for each ampere of the array (IDAE 2009).",
                "More modules, or shore power and driving often enough: a bigger battery does not help.",
            )
        )
    if inputs.peak_running_a > chosen.discharge_limit_a:
        found.append(
            Finding(
                "warning",
                BATTERY,
                f"All loads together draw {inputs.peak_running_a:.0f} A; {chosen.installed_ah:g} Ah of {chemistry.name}"
                f" {'usually bear' if inputs.discharge_a is None else 'bear by their maker'}"
                f" {chosen.discharge_limit_a:.0f} A for long.",
                "Look up the battery's lasting and peak current, run loads one after the other, or take a larger one.",
            )
        )
    if inputs.peak_a is not None and inputs.surge_running_a > inputs.peak_a:
        found.append(
            Finding(
                "warning",
                "battery/peak_a",
                f"While the hardest load starts, all together draw {inputs.surge_running_a:.0f} A; the battery gives"
                f" {inputs.peak_a:g} A for seconds, by its maker.",
                "Its protection lets go and everything is dark: start loads one after the other, or take a battery that"
                " gives more.",
            )
        )
    return found


def _life(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    found: list[Finding] = []
    if chosen.life_years < SHORT_LIFE_YEARS and inputs.energy_wh_per_day > 0:
        found.append(
            Finding(
                "warning",
                BATTERY,
                f"At this use {chemistry.name} lasts about {chosen.life_years:.1f} years.",
                "A larger battery or a chemistry with more cycles lasts longer.",
            )
        )
    if chemistry.lead:
        found.append(
            Finding(
                "note",
                BATTERY,
                f"{chemistry.name} wants to be really full every week or two, with hours at absorption voltage.",
                "If the sun does not give that in winter, plan shore power or a generator for it.",
            )
        )
    return found


def _gas(chosen: Option, chemistry: Chemistry) -> list[Finding]:
    if not chosen.ventilation_m3_per_h:
        return []
    vented = chemistry.gassing == "vented"
    return [
        Finding(
            "warning" if vented else "note",
            BATTERY,
            f"{'It gives' if vented else 'When overcharged it gives'} off hydrogen: its compartment needs"
            f" {chosen.ventilation_m3_per_h:.1f} m3 of air an hour while charging (EN IEC 62485-3).",
            f"Two openings to the outside of {chosen.vent_opening_cm2:.0f} cm2 each, low and high, at least"
            f" {free_volume_m3(chosen.ventilation_m3_per_h):.1f} m3 free volume, or a fan; no sparks within 0.5 m.",
        )
    ]
