"""What it takes to keep the chosen battery warm enough for charging, and what charging adds to the heat of a hot week."""

from __future__ import annotations

from model.calendar import month_name
from model.demand.heat import HOT_WEEK_K
from model.storage.chemistry import Chemistry
from model.storage.findings_temperature import CABIN, NIGHT_K, PLACE
from model.storage.table import Option, StorageInput
from model.storage.warmth import charging_heat_w, holding_wh_per_day, rise_k, warming_wh, worn_cell
from model.working import Finding


def warmth_findings(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    """A heating pad's energy where cells are too cold; the closed box where they come near what they bear."""
    return [*_pad(inputs, chosen, chemistry), *_hot_week(inputs, chosen, chemistry)]


def _months(inputs: StorageInput) -> list[int]:
    return sorted(inputs.months_of_use) or [inputs.month]


def coldest_charging(inputs: StorageInput) -> tuple[int, float]:
    """The month on the road in which the battery is coldest, 1 to 12, and how cold."""
    month = min(_months(inputs), key=lambda month: inputs.battery_temperature_c[month - 1])
    return month, inputs.battery_temperature_c[month - 1]


def planned_charge_a(inputs: StorageInput, chosen: Option) -> float:
    """All chargers at once, as far as the battery takes them."""
    return min(chosen.charge_limit_a, inputs.charge_current_a + inputs.other_charge_a)


def charge_heat_w(inputs: StorageInput, option: Option, chemistry: Chemistry) -> float:
    """Heat in the cells at the planned charge, with the resistance of cold or worn ones."""
    cells, (mohm_ah, _) = chemistry.cells(inputs.system_v), worn_cell(option.chemistry)
    return charging_heat_w(planned_charge_a(inputs, option), cells, mohm_ah, option.installed_ah)


def _pad(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    month, coldest_c = coldest_charging(inputs)
    colder_k = chemistry.charge_temperature_min_c - coldest_c
    if chemistry.lead or colder_k <= -NIGHT_K:
        return []
    if colder_k > 0:
        holding = holding_wh_per_day(chosen.volume_l, colder_k)
        told = (
            f"A heating pad that holds {chemistry.name} at {chemistry.charge_temperature_min_c:g} °C takes about"
            f" {holding:.0f} Wh a day in {month_name(month)}, behind 20 mm of foam, and"
            f" {warming_wh(chosen.mass_kg, colder_k):.0f} Wh to warm it first."
        )
    else:
        told = (
            f"After a cold night a heating pad takes about {warming_wh(chosen.mass_kg, NIGHT_K):.0f} Wh to warm"
            f" {chemistry.name} by {NIGHT_K:g} K."
        )
    return [Finding("note", CABIN if inputs.in_cabin else PLACE, told, "If you fit one, count it as a load.")]


def _hot_week(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    month = max(_months(inputs), key=lambda month: inputs.battery_temperature_c[month - 1])
    mean_c, most_c = inputs.battery_temperature_c[month - 1], chemistry.charge_temperature_max_c
    heat_w = charge_heat_w(inputs, chosen, chemistry)
    rise = rise_k(heat_w, chosen.volume_l)
    if mean_c > most_c or mean_c + HOT_WEEK_K + rise <= most_c - NIGHT_K:
        return []
    return [
        Finding(
            "warning",
            CABIN if inputs.in_cabin else PLACE,
            f"In a hot week of {month_name(month)} the battery stands at about {mean_c + HOT_WEEK_K:.0f} °C, and charging with"
            f" {planned_charge_a(inputs, chosen):.0f} A makes {heat_w:.0f} W of heat in it, {rise:.0f} K more in a closed box;"
            f" above {most_c:g} °C {chemistry.name} takes no charge.",
            "Let air to it, away from engine and sunlit walls; heat also ages it.",
        )
    ]
