"""What a careful friend would say about the load table as a whole and about the inverter."""

from __future__ import annotations

from model.calendar import month_name
from model.demand.load import LoadDemand, device_power_w
from model.demand.table import DemandInput, MonthDemand
from model.design import Load
from model.quantities import percent
from model.working import Finding

IDLE_NOTE, IDLE_WARNING = 0.10, 0.30  # shares of the day's use
# Common practice, no source: adaptors for a vehicle's socket reach about this, and below this saving it is not worth the word.
DC_ADAPTOR_W, DC_ADAPTOR_SAVING_WH = 150.0, 15.0


def table_findings(
    inputs: DemandInput, parts: tuple[LoadDemand, ...], chosen: MonthDemand, idle_wh: float, saving_wh: float
) -> list[Finding]:
    """What is the matter with the table as a whole: inverter, idle draw, an empty table.

    `idle_wh` is the inverter's idle energy a day, `saving_wh` what of it is saved by switching it off when unused.
    """
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
                    f"{_name(*ac[0])} needs alternating current, but no inverter is fitted.",
                    "Fit an inverter, or look for the same thing for direct current.",
                )
            )
        return found
    return [
        *found,
        *_idle_findings(inputs, chosen, idle_wh, saving_wh),
        *_inverter_findings(inputs, ac, parts, chosen),
        *_surge_findings(inputs, ac),
        *_adaptor_findings(inputs, ac, parts),
    ]


def _idle_findings(inputs: DemandInput, chosen: MonthDemand, idle_wh: float, saving_wh: float) -> list[Finding]:
    share = idle_wh / chosen.energy_wh_per_day if chosen.energy_wh_per_day else 0.0
    if share <= IDLE_NOTE:
        return []
    return [
        Finding(
            "warning" if share > IDLE_WARNING else "note",
            "inverter/hours_on",
            f"The inverter's idle draw is {percent(share)} of the day's use in {month_name(inputs.month)}: {idle_wh:.0f} Wh.",
            f"Switched off whenever nothing runs on it, it would spare {saving_wh:.0f} Wh a day.",
        )
    ]


def _inverter_findings(
    inputs: DemandInput, ac: list[tuple[int, Load]], parts: tuple[LoadDemand, ...], chosen: MonthDemand
) -> list[Finding]:
    inverter, name = inputs.inverter, month_name(inputs.month)
    found: list[Finding] = []
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
        hours = parts[index].hours[inputs.month - 1]
        if hours > inverter.hours_on:
            found.append(
                Finding(
                    "note",
                    f"loads/{index}/hours_per_day",
                    f"{_name(index, load)} is on {hours:.3g} h a day, the inverter {inverter.hours_on:g} h:"
                    f" the inverter is counted with no less than {hours:.3g} h.",
                    "Type the inverter's hours on again, or shorten the load's.",
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
    return found


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
                    f"{_name(index, load)} starts with {surge_w:.0f} W, above the inverter's {word} of {limit_w:.0f} W.",
                    "Type the inverter's surge power from its data sheet, or choose one that bears this start.",
                )
            )
    return found


def inverter_loss_wh(part: LoadDemand, inputs: DemandInput) -> float:
    """Energy a day that the inverter takes from an AC row in the month: what a DC adaptor as good as its own would spare."""
    running_wh = part.energy_wh_per_day[inputs.month - 1] - part.standby_wh_per_day[inputs.month - 1]
    return running_wh * (1.0 - part.path_efficiency / part.standby_efficiency)


def _adaptor_findings(inputs: DemandInput, ac: list[tuple[int, Load]], parts: tuple[LoadDemand, ...]) -> list[Finding]:
    found = []
    for index, load in ac:
        small = device_power_w(load, inputs.system.nominal_v) / load.converter_efficiency <= DC_ADAPTOR_W
        saving_wh = inverter_loss_wh(parts[index], inputs)
        if small and load.behaviour == "constant power" and saving_wh >= DC_ADAPTOR_SAVING_WH:
            found.append(
                Finding(
                    "note",
                    f"loads/{index}/supply",
                    f"{_name(index, load)} loses {saving_wh:.0f} Wh a day in the inverter.",
                    "A direct-current adaptor as efficient as its own would spare that, with the inverter off meanwhile.",
                )
            )
    return found


def _name(index: int, load: Load) -> str:
    return load.name or f"row {index + 1}"
