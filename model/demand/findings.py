"""What a careful friend would say about the load table."""

from __future__ import annotations

from model.calendar import MONTHS, month_name, write_months
from model.demand.heat import HOT_WEEK_K, cabin_temperature_c, duty_in_heat
from model.demand.load import LoadDemand, device_power_w
from model.demand.table import DemandInput, MonthDemand
from model.design import Load
from model.working import Finding

ALWAYS_RUNNING_DUTY = 0.95  # a refrigerator that runs this much cannot hold its temperature
IDLE_NOTE, IDLE_WARNING = 0.10, 0.30  # shares of the day's use


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
    found += _power_findings(where, name, load)
    found += _time_findings(where, name, load, part)
    if load.follows_heat:
        found += _heat_findings(where, name, load, inputs)
    return found


def _power_findings(where: str, name: str, load: Load) -> list[Finding]:
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
                f"{name} has a measured energy but no power: peak and current leave it out.",
                "Type its running power too.",
            )
        )
    if load.power_w is not None and load.surge_w is not None and load.surge_w < load.power_w:
        found.append(
            Finding(
                "note",
                f"{where}/surge_w",
                f"{name}: starting surge {load.surge_w:g} W is below its running power {load.power_w:g} W.",
                "A surge is the whole power at the start, not the extra.",
            )
        )
    return found


def _time_findings(where: str, name: str, load: Load, part: LoadDemand) -> list[Finding]:
    found: list[Finding] = []
    window = sum(1 for share in part.profile if share > 0)
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
    if load.hours_per_day > window:
        found.append(
            Finding(
                "note",
                f"{where}/when",
                f"{name} runs {load.hours_per_day:g} h a day but “{load.when}” is {window} h long.",
                "Choose a longer time of day; until then its energy is drawn within that window.",
            )
        )
    if load.hours_per_day == 24 and load.duty == 1 and (load.power_w or 0) >= 20 and load.measured_wh_per_day is None:
        found.append(
            Finding(
                "note",
                f"{where}/duty",
                f"{name} is counted at its full {load.power_w:g} W for 24 h.",
                "A label states the most it can draw: if it cycles, type a duty such as 35 %, or a measured day.",
            )
        )
    return found


def _heat_findings(where: str, name: str, load: Load, inputs: DemandInput) -> list[Finding]:
    months = [month for month in load.months if month in inputs.months_of_use]
    if not months:
        return []
    hottest = max(months, key=lambda month: inputs.outside_c[month - 1])
    cabin_c = cabin_temperature_c(inputs.outside_c[hottest - 1], inputs.system.cabin_heated_to_c)
    mean, hot = duty_in_heat(load.duty, cabin_c), duty_in_heat(load.duty, cabin_c + HOT_WEEK_K)
    if hot < ALWAYS_RUNNING_DUTY:
        return []
    return [
        Finding(
            "warning",
            f"{where}/duty",
            f"In a hot week of {MONTHS[hottest - 1]} (cabin {cabin_c + HOT_WEEK_K:.0f} °C) {name} would run {hot:.0%} of the"
            f" time ({mean:.0%} on an average day): it may not hold its temperature.",
            "Ventilate its condenser, insulate it better, or plan a stronger one.",
        )
    ]


def table_findings(
    inputs: DemandInput, parts: tuple[LoadDemand, ...], chosen: MonthDemand, idle_wh: float
) -> list[Finding]:
    """What is the matter with the table as a whole: inverter, idle draw, an empty table."""
    found: list[Finding] = []
    if not any(load.on for load in inputs.loads):
        found.append(
            Finding(
                "note",
                "loads",
                "The load table is empty.",
                "Add what you will use: name, power and hours a day.",
            )
        )
    ac = [
        (index, load)
        for index, load in enumerate(inputs.loads)
        if load.supply == "AC" and load.on and inputs.month in load.months and parts[index].ac_w > 0
    ]
    if not inputs.inverter.fitted:
        if ac:
            found.append(
                Finding(
                    "warning",
                    "inverter/fitted",
                    f"{ac[0][1].name} needs alternating current, but no inverter is fitted.",
                    "Fit an inverter, or look for the same thing for direct current.",
                )
            )
        return found
    return found + _inverter_findings(inputs, ac, chosen, idle_wh)


def _inverter_findings(
    inputs: DemandInput, ac: list[tuple[int, Load]], chosen: MonthDemand, idle_wh: float
) -> list[Finding]:
    inverter, found = inputs.inverter, []
    name = month_name(inputs.month)
    share = idle_wh / chosen.energy_wh_per_day if chosen.energy_wh_per_day else 0.0
    if share > IDLE_NOTE:
        found.append(
            Finding(
                "warning" if share > IDLE_WARNING else "note",
                "inverter/hours_on",
                f"The inverter's idle draw is {share:.0%} of the day's use in {name}: {idle_wh:.0f} Wh.",
                "Switch it on only while something runs, or replace what needs it by a direct-current device.",
            )
        )
    if not ac:
        found.append(
            Finding(
                "note",
                "inverter/fitted",
                f"The inverter carries no load in {name}.",
                "If nothing needs it, leave it off: its idle draw is saved.",
            )
        )
    for index, load in ac:
        if load.hours_per_day * load.duty > inverter.hours_on:
            found.append(
                Finding(
                    "note",
                    f"loads/{index}/hours_per_day",
                    f"{load.name} runs {load.hours_per_day:g} h a day, the inverter is on for {inverter.hours_on:g} h.",
                    "Type the inverter's hours on again.",
                )
            )
    if chosen.ac_peak_w > inverter.rated_w:
        found.append(
            Finding(
                "warning",
                "inverter/rated_w",
                f"Alternating-current loads can reach {chosen.ac_peak_w:.0f} W together;"
                f" the inverter is rated {inverter.rated_w:.0f} W.",
                "Run them one after the other, or choose a larger inverter.",
            )
        )
    return found + _surge_findings(inputs, ac)


def _surge_findings(inputs: DemandInput, ac: list[tuple[int, Load]]) -> list[Finding]:
    inverter = inputs.inverter
    limit_w = inverter.surge_w if inverter.surge_w is not None else inverter.rated_w
    found = []
    for index, load in ac:
        surge_w = (load.surge_w or device_power_w(load, inputs.system.nominal_v)) / load.converter_efficiency
        if load.surge_w is not None and surge_w > limit_w:
            word = "surge power" if inverter.surge_w is not None else "rated power (no surge power is typed)"
            found.append(
                Finding(
                    "warning",
                    f"loads/{index}/surge_w",
                    f"{load.name} starts with {surge_w:.0f} W, above the inverter's {word} of {limit_w:.0f} W.",
                    "Type the inverter's surge power from its data sheet, or choose one that bears this start.",
                )
            )
    return found
