"""What a careful friend would say about the rows of the load table."""

from __future__ import annotations

from model.calendar import MONTHS, hours_of, month_name, write_months
from model.demand.dark import DARK
from model.demand.heat import HOT_WEEK_K, LIVED_IN_C, cabin_temperature_c, duty_in_heat
from model.demand.load import LoadDemand, device_power_w
from model.demand.table import DemandInput
from model.design import Load
from model.quantities import percent
from model.working import Finding

ALWAYS_RUNNING_DUTY = 0.95  # a refrigerator that runs this much cannot hold its temperature
LABEL_W = 20.0  # below this, a whole day at full power is plausible; common practice, no source

LOWER = 0.7
"""A device that still works, or is rated, below that share of the system's voltage is made for another one. Common practice, no
source."""


def load_findings(index: int, load: Load, part: LoadDemand, inputs: DemandInput) -> list[Finding]:
    """What is the matter with one row, if anything."""
    where = f"loads/{index}"
    if not load.on:
        return []
    found: list[Finding] = []
    if not load.name:
        found.append(
            Finding("note", f"{where}/name", f"Row {index + 1} has no name.", "Name it: labels are made of it.")
        )
    name = load.name or f"row {index + 1}"
    if load.quantity == 0:
        found.append(
            Finding(
                "note",
                f"{where}/quantity",
                f"{name}: quantity 0, it uses nothing.",
                "Remove it, or switch the row off.",
            )
        )
    if not set(load.months) & set(inputs.months_of_use):
        found.append(
            Finding(
                "warning",
                f"{where}/months",
                f"{name} runs in no month on the road ({write_months(inputs.months_of_use)}).",
                "Check its months, or switch the row off.",
            )
        )
    one_w = device_power_w(load, inputs.system.nominal_v)
    found += _power_findings(where, name, load, one_w, inputs.system.nominal_v)
    found += _time_findings(where, name, load, part, one_w)
    if load.follows_heat:
        found += _heat_findings(where, name, load, inputs)
    return found


def cabin_findings(inputs: DemandInput) -> list[Finding]:
    """A cabin taken to be as cold as the air outside: there a refrigerator hardly runs, and the plan would be too small."""
    fridges = [load for load in inputs.loads if load.on and load.follows_heat and load.quantity > 0]
    months = sorted({month for load in fridges for month in load.months} & set(inputs.months_of_use))
    if inputs.system.cabin_heated_to_c is not None or not months:
        return []
    coldest = min(months, key=lambda month: inputs.outside_c[month - 1])
    cabin_c = inputs.outside_c[coldest - 1]
    if cabin_c >= LIVED_IN_C:
        return []
    load = next(one for one in fridges if coldest in one.months)
    return [
        Finding(
            "warning",
            "system/cabin_heated_to_c",
            f"The cabin counts as not heated: {cabin_c:.0f} °C in {month_name(coldest)}, where {load.name or 'the refrigerator'}"
            f" runs {percent(duty_in_heat(load.duty, cabin_c))} of the time instead of {percent(load.duty)}.",
            "If you live in it then, say to how many degrees it is heated: the refrigerator then uses more.",
        )
    ]


def _power_findings(where: str, name: str, load: Load, one_w: float, nominal_v: float) -> list[Finding]:
    found: list[Finding] = []
    given = [load.power_w is not None, load.current_a is not None, load.measured_wh_per_day is not None]
    if not any(given) and not load.standby_w:
        found.append(
            Finding(
                "warning",
                f"{where}/power_w",
                f"{name} has neither power nor current: it counts as 0 Wh.",
                "Type the watts or amps that it draws while running, or the energy that you measured in a day.",
            )
        )
    if load.power_w is not None and load.current_a is not None:
        found.append(
            Finding(
                "note",
                f"{where}/current_a",
                f"{name} has power and current; the power of {load.power_w:g} W counts.",
                "Leave one of them empty.",
            )
        )
    if load.measured_wh_per_day is not None and load.power_w is None and load.current_a is None:
        found.append(
            Finding(
                "note",
                f"{where}/power_w",
                f"{name} has a measured energy but no power: {one_w:.3g} W is taken, spread over its hours.",
                "Type its running power too: peak and running current depend on it.",
            )
        )
    if load.supply == "AC" and load.power_w is None and load.current_a is not None and load.rated_v is None:
        found.append(
            Finding(
                "warning",
                f"{where}/rated_v",
                f"{name} runs on alternating current, but its amps are counted at {nominal_v:g} V.",
                "Type the voltage on its label beside the amps, such as 120 V or 230 V.",
            )
        )
    if load.supply == "DC" and load.converter_efficiency == 1 and (made_for := _made_for_v(load, nominal_v)):
        found.append(
            Finding(
                "warning",
                f"{where}/{'cut_out_v' if load.cut_out_v is not None else 'rated_v'}",
                f"{name} {made_for}: it is made for less than {nominal_v:g} V, which destroys it.",
                f"A converter from {nominal_v:g} V in front of it, with its efficiency typed; or a device for {nominal_v:g} V.",
            )
        )
    if one_w and load.standby_w > one_w:
        found.append(
            Finding(
                "note",
                f"{where}/standby_w",
                f"{name}: standby {load.standby_w:g} W is above its running power {one_w:.3g} W.",
                "Check both: standby is what one piece draws while it does nothing.",
            )
        )
    if one_w and load.surge_w is not None and load.surge_w < one_w:
        found.append(
            Finding(
                "note",
                f"{where}/surge_w",
                f"{name}: starting surge {load.surge_w:g} W is below its running power {one_w:.3g} W.",
                "A surge is the whole power at the start, not the extra.",
            )
        )
    return found


def _made_for_v(load: Load, nominal_v: float) -> str:
    """What shows that a device is made for far less than the system's voltage, in words; "" where nothing does."""
    if load.cut_out_v is not None and load.cut_out_v < LOWER * nominal_v:
        return f"cuts out at {load.cut_out_v:g} V"
    if load.rated_v is not None and load.rated_v < LOWER * nominal_v:
        return f"is rated at {load.rated_v:g} V"
    return ""


def _time_findings(where: str, name: str, load: Load, part: LoadDemand, one_w: float) -> list[Finding]:
    found: list[Finding] = []
    window = sum(1 for share in hours_of(load.when) if share > 0)
    draws = load.power_w is not None or load.current_a is not None
    if load.hours_per_day == 0 and draws and load.measured_wh_per_day is None:
        found.append(
            Finding(
                "note",
                f"{where}/hours_per_day",
                f"{name} has 0 hours a day.",
                "Type how long it runs on a day of use.",
            )
        )
    if load.hours_per_day > window and load.when == DARK:
        most = max(load.months, key=lambda month: part.hours[month - 1], default=1)
        found.append(
            Finding(
                "note",
                f"{where}/when",
                f"{name}: {load.hours_per_day:g} h are meant for a day as long as its night, when “{DARK}” is {window} h long;"
                f" in {month_name(most)} they become {part.hours[most - 1]:.3g} h.",
                "Type what it runs in March or September, or choose another time of day.",
            )
        )
    elif load.hours_per_day > window:
        found.append(
            Finding(
                "note",
                f"{where}/when",
                f"{name} runs {load.hours_per_day:g} h a day but “{load.when}” is {window} h long.",
                "Choose a longer time of day; until then its energy is drawn within that window.",
            )
        )
    measured = load.measured_wh_per_day
    if draws and measured is not None and measured > load.quantity * one_w * 24.0:
        found.append(
            Finding(
                "warning",
                f"{where}/measured_wh_per_day",
                f"{name}: {measured:g} Wh a day is more than {load.quantity:g} x {one_w:.3g} W give in 24 h.",
                "Check the measured energy (a day's, not a week's) and the power.",
            )
        )
    if load.hours_per_day == 24 and load.duty == 1 and one_w >= LABEL_W and measured is None:
        found.append(
            Finding(
                "note",
                f"{where}/duty",
                f"{name} is counted at its full {one_w:.3g} W for 24 h.",
                "A label states the most it can draw: if it cycles, type a duty such as 35 %, or a measured day.",
            )
        )
    return found


def _heat_findings(where: str, name: str, load: Load, inputs: DemandInput) -> list[Finding]:
    months = [month for month in load.months if month in inputs.months_of_use]
    if not months:
        return []
    hottest = max(months, key=lambda month: inputs.outside_c[month - 1])
    outside_c, heated_to_c = inputs.outside_c[hottest - 1], inputs.system.cabin_heated_to_c
    hot_cabin_c = cabin_temperature_c(outside_c + HOT_WEEK_K, heated_to_c)
    mean = duty_in_heat(load.duty, cabin_temperature_c(outside_c, heated_to_c))
    hot = duty_in_heat(load.duty, hot_cabin_c)
    if hot < ALWAYS_RUNNING_DUTY:
        return []
    return [
        Finding(
            "warning",
            f"{where}/duty",
            f"In a hot week of {MONTHS[hottest - 1]} (cabin {hot_cabin_c:.0f} °C) {name} would run {percent(hot)} of the"
            f" time ({percent(mean)} on an average day): it may not hold its temperature.",
            "Ventilate its condenser, insulate it better, or plan a stronger one.",
        )
    ]
