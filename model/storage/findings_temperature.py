"""What cold, frost and heat do to the chosen battery where it stands."""

from __future__ import annotations

from model.calendar import month_name, write_months
from model.quantities import percent
from model.storage.charging import months_without_discharging
from model.storage.chemistry import Chemistry
from model.storage.standby import freezing_point_c
from model.storage.table import Option, StorageInput
from model.storage.temperature import extrapolated
from model.working import Finding

NIGHT_K = 5.0  # a month whose mean lies so little above a limit has nights beyond it; common practice, no source
HOT_C = 35.0  # mean of a month; common practice, no source
PLACE, CABIN = "battery/place", "system/cabin_heated_to_c"


def temperature_findings(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    """Cold and hot charging, discharging beyond the limits, capacity beyond the table, frozen acid."""
    return [
        *_charging(inputs, chemistry),
        *_discharging(inputs, chemistry),
        *_cold(inputs, chosen, chemistry),
    ]


def _charging(inputs: StorageInput, chemistry: Chemistry) -> list[Finding]:
    found: list[Finding] = []
    temperature_c, months = inputs.battery_temperature_c, sorted(inputs.months_of_use)
    too_cold = f"{chemistry.charge_temperature_min_c:g} °C"
    cold = [month for month in months if temperature_c[month - 1] < chemistry.charge_temperature_min_c]
    hot = [month for month in months if temperature_c[month - 1] > chemistry.charge_temperature_max_c]
    cool = [
        month
        for month in months
        if 0 <= temperature_c[month - 1] - chemistry.charge_temperature_min_c < NIGHT_K and not chemistry.lead
    ]
    warm_place = "Say to how many degrees the cabin is heated" if inputs.in_cabin else "Put it in the heated cabin"
    warmer = f"{warm_place}, heat the battery, or take a chemistry that charges in the cold."
    if cold:
        lowest = min(temperature_c[month - 1] for month in cold)
        found.append(
            Finding(
                "danger",
                CABIN if inputs.in_cabin else PLACE,
                f"{chemistry.name} must not be charged below {too_cold}; {_where(inputs)} it is colder in"
                f" {write_months(cold)} ({lowest:.0f} °C).",
                f"{warmer} A charger that does not know the cell's temperature ruins it.",
            )
        )
    if cool:
        found.append(
            Finding(
                "warning",
                CABIN if inputs.in_cabin else PLACE,
                f"In {write_months(cool)} nights can take the battery below {too_cold}, where {chemistry.name}"
                " must not be charged: the morning's sun is lost.",
                f"{warmer} Let the charger measure the cell's temperature.",
            )
        )
    if hot:
        found.append(
            Finding(
                "warning",
                PLACE,
                f"{chemistry.name} is too hot for charging in {write_months(hot)}"
                f" (above {chemistry.charge_temperature_max_c:g} °C).",
                "Move it away from sun and engine, and let air to it.",
            )
        )
    warm = [month for month in months if HOT_C < temperature_c[month - 1] <= chemistry.charge_temperature_max_c]
    if warm:
        found.append(
            Finding(
                "note",
                PLACE,
                f"The battery stands at more than {HOT_C:g} °C in {write_months(warm)}: it ages faster.",
                "Move it away from sun and engine, and let air to it.",
            )
        )
    return found


def _where(inputs: StorageInput) -> str:
    return "in the cabin as planned" if inputs.in_cabin else "where it stands"


def _discharging(inputs: StorageInput, chemistry: Chemistry) -> list[Finding]:
    months = months_without_discharging(chemistry, inputs.battery_temperature_c, sorted(inputs.months_of_use))
    if not months:
        return []
    return [
        Finding(
            "danger",
            CABIN if inputs.in_cabin else PLACE,
            f"{chemistry.name} must not be used at the temperatures of {write_months(months)}"
            f" ({chemistry.discharge_temperature_min_c:g} to {chemistry.discharge_temperature_max_c:g} °C).",
            "Say to how many degrees the cabin is heated." if inputs.in_cabin else "Put it in the heated cabin.",
        )
    ]


def _cold(inputs: StorageInput, chosen: Option, chemistry: Chemistry) -> list[Finding]:
    found: list[Finding] = []
    coldest_c = inputs.battery_temperature_c[chosen.coldest_month - 1]
    if extrapolated(chemistry.temperature_table, coldest_c):
        found.append(
            Finding(
                "note",
                PLACE,
                f"{coldest_c:.0f} °C in {month_name(chosen.coldest_month)} lies below the end of the table of"
                f" capacities for {chemistry.name}: the figure is an extrapolation.",
                "Ask the maker for the capacity at this temperature.",
            )
        )
    if chemistry.lead:
        freezes_c = freezing_point_c(1 - chosen.depth_of_discharge)
        if coldest_c <= freezes_c + NIGHT_K:
            found.append(
                Finding(
                    "warning",
                    "battery/depth_of_discharge",
                    f"Discharged by {percent(chosen.depth_of_discharge)} its acid freezes at about {freezes_c:.0f} °C;"
                    f" in {month_name(chosen.coldest_month)} it stands at {coldest_c:.0f} °C.",
                    "Keep it charged in frost, or bring it inside: a frozen battery splits.",
                )
            )
    return found
