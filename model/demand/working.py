"""The demand room's working: each figure with its formula, numbers and source."""

from __future__ import annotations

from model import names
from model.calendar import month_name
from model.demand.dark import DARK, EQUAL_DARK_H, TO_BED_AT_H, UP_AT_H, dark_waking_h
from model.demand.heat import COLD_ROOM_C, HOT_WEEK_K, REFERENCE_C, cabin_temperature_c
from model.demand.inverter import CURVE_SOURCE
from model.demand.load import CONSTANT_POWER_VOLTAGE, LoadDemand, device_power_w, standby_hours
from model.demand.table import ALWAYS_ON_NAME, IDLE_NAME, DemandInput, LoadShare, MonthDemand
from model.design import Inverter, Load, System
from model.quantities import percent
from model.working import Step

IEEE_LOADS = "IEEE 1013, 5.2 (load data); energy = power x time"
IEEE_RUNNING = "IEEE 1013, 5.2.2: constant-power loads at 95 % of system voltage"
WIRING_SOURCE = "Sandia SAND87-7023 worksheet, block 18 (wire efficiency 0.98)"
STAGE = "demand"


def load_steps(index: int, load: Load, part: LoadDemand, inputs: DemandInput, weight: float = 1.0) -> list[Step]:
    """From one row of the load table to its energy a day at the battery in the month looked at; `weight`: share of the days."""
    system, inverter, month = inputs.system, inputs.inverter, inputs.month
    base = f"demand.load.{index}"
    steps: list[Step] = []
    if load.supply == "AC" and part.ac_w > 0:
        through = part.path_efficiency / system.wiring_efficiency / load.converter_efficiency
        steps.append(
            Step(
                f"{base}.inverter_efficiency",
                STAGE,
                f"{load.name}: inverter efficiency",
                f"{part.ac_w:g} W of {inverter.rated_w:g} W rated, curve {inverter.curve}",
                through,
                "",
                "typed" if inverter.curve == "fixed" else CURVE_SOURCE,
            )
        )
    duty = part.duty[month - 1]
    if load.follows_heat:
        cabin_c = cabin_temperature_c(inputs.outside_c[month - 1], system.cabin_heated_to_c)
        cabin = "cabin" if system.cabin_heated_to_c is not None else "cabin, not heated (“Cabin heated to” is empty)"
        steps.append(
            Step(
                f"{base}.duty",
                STAGE,
                f"{load.name}: duty in {month_name(month)}",
                f"{percent(load.duty)} x ({cabin_c:.3g} °C in the {cabin} - {COLD_ROOM_C:g})"
                f" / ({REFERENCE_C:g} - {COLD_ROOM_C:g})",
                duty,
                "",
                "heat leak proportional to temperature difference (Newton's law of cooling), constant COP",
                ("supply.temperature_c",),
            )
        )
    if load.when == DARK:
        day_h = inputs.daylight_h[month - 1]
        steps.append(
            Step(
                f"{base}.hours",
                STAGE,
                f"{load.name}: hours in {month_name(month)}",
                f"{load.hours_per_day:g} h x {dark_waking_h(day_h):.3g} h dark while awake / {EQUAL_DARK_H:g} h where day and"
                f" night are equal; sunset at {12 + day_h / 2:.3g} h",
                part.hours[month - 1],
                "h",
                f"awake from {UP_AT_H:g} to {TO_BED_AT_H:g} h: common practice, no source; sunset: Duffie & Beckman eq. 1.6.10",
            )
        )
    steps.append(
        Step(
            f"{base}.energy_wh_per_day",
            STAGE,
            f"{load.name}: {names.USE.small} a day",
            _energy_formula(load, part, system, inverter, month, weight),
            weight * part.energy_wh_per_day[month - 1],
            "Wh",
            f"{IEEE_LOADS}; {WIRING_SOURCE}",
            tuple(step.key for step in steps),
        )
    )
    steps.append(
        Step(
            f"{base}.running_a",
            STAGE,
            f"{load.name}: running current",
            f"{part.running_w:.4g} W / ({system.nominal_v:g} V x {CONSTANT_POWER_VOLTAGE})"
            if load.behaviour == "constant power"
            else f"{part.running_w:.4g} W / {system.nominal_v:g} V",
            part.running_a,
            "A",
            IEEE_RUNNING,
        )
    )
    return steps


def _energy_formula(load: Load, part: LoadDemand, system: System, inverter: Inverter, month: int, weight: float) -> str:
    if weight < 1.0 - 1e-9 and load.on and month in load.months:
        every_day = _energy_formula(load, part, system, inverter, month, 1.0)
        return f"({every_day}) x {7 * weight:.3g} of 7 days" if weight > 0 else "runs on no day of the week"
    duty = part.duty[month - 1]
    if not load.on:
        return "switched off in the table"
    if month not in load.months:
        return f"not used in {month_name(month)}"
    if load.measured_wh_per_day is not None:
        used = f"{load.measured_wh_per_day:g} Wh measured"
    else:
        one = device_power_w(load, system.nominal_v)
        used = f"{load.quantity:g} x {one:g} W x {part.hours[month - 1]:.4g} h x {duty:.3g}"
    running = f"{used} / {part.path_efficiency:.4g}"
    if not part.standby_wh_per_day[month - 1]:
        return running
    hours = standby_hours(load, part.hours[month - 1], duty, inverter)
    return f"{running} + {load.quantity:g} x {load.standby_w:g} W x {hours:.4g} h / {part.standby_efficiency:.4g}"


def total_steps(
    inputs: DemandInput, shares: tuple[LoadShare, ...], months: tuple[MonthDemand, ...], on_hours: float
) -> list[Step]:
    """Totals of the chosen month, each month's energy, and the rows that the program makes itself."""
    system, inverter, chosen = inputs.system, inputs.inverter, months[inputs.month - 1]
    by_name = {share.name: share for share in shares[len(inputs.loads) :]}
    steps = [
        Step(
            "demand.always_on_wh_per_day",
            STAGE,
            f"Always on: {names.USE.small} a day",
            f"{system.always_on_w:g} W x 24 h / {system.wiring_efficiency:g}",
            by_name[ALWAYS_ON_NAME].energy_wh_per_day,
            "Wh",
            "common practice, no source: 0.5 to 3 W each for monitor, controller and alarm",
        )
    ]
    if IDLE_NAME in by_name:
        idle_wh = by_name[IDLE_NAME].energy_wh_per_day
        hours = idle_wh * system.wiring_efficiency / inverter.idle_w if inverter.idle_w else 0.0
        steps.append(
            Step(
                "demand.idle_wh_per_day",
                STAGE,
                f"Inverter, idle: {names.USE.small} a day",
                f"{inverter.idle_w:g} W x {hours:.4g} h counted idle of {on_hours:g} h on / {system.wiring_efficiency:g}",
                idle_wh,
                "Wh",
                "IEEE 1013, 5.2.3: tare of the inverter is part of the running load",
            )
        )
    loads = tuple(f"demand.load.{index}.energy_wh_per_day" for index in range(len(inputs.loads)))
    parts = (*loads, *(step.key for step in steps))
    name = month_name(inputs.month)
    steps += [
        Step(
            f"demand.energy_wh_per_day.{month.month}",
            STAGE,
            f"{names.USE.full} a day in {month_name(month.month)}",
            f"sum of {len(shares)} rows of the load table",
            month.energy_wh_per_day,
            "Wh",
            IEEE_LOADS,
        )
        for month in months
    ]
    steps += [
        Step(
            "demand.energy_wh_per_day",
            STAGE,
            f"{names.USE.full} a day in {name}",
            " + ".join(f"{share.energy_wh_per_day:.4g}" for share in shares) + " Wh",
            chosen.energy_wh_per_day,
            "Wh",
            IEEE_LOADS,
            parts,
        ),
        Step(
            "demand.charge_ah_per_day",
            STAGE,
            f"{names.USE.full} a day in {name}, as charge",
            f"{chosen.energy_wh_per_day:.5g} Wh / {system.nominal_v:g} V",
            chosen.charge_ah_per_day,
            "Ah",
            "Q = E / U at nominal system voltage",
            ("demand.energy_wh_per_day",),
        ),
        Step(
            "demand.average_w",
            STAGE,
            f"Average power in {name}",
            f"{chosen.energy_wh_per_day:.5g} Wh / 24 h",
            chosen.average_w,
            "W",
            "energy = power x time",
            ("demand.energy_wh_per_day",),
        ),
        Step(
            "demand.peak_w",
            STAGE,
            f"{names.PEAK.full} in {name}",
            "all loads that may run in the same hour, running together",
            chosen.peak_w,
            "W",
            "IEEE 1013, 5.2: running loads; coincidence is the cautious case",
        ),
        Step(
            "demand.surge_w",
            STAGE,
            f"{names.SURGE.full} in {name}",
            f"{chosen.peak_w:.5g} W + the hardest start, {chosen.surge_w - chosen.peak_w:.5g} W",
            chosen.surge_w,
            "W",
            "IEEE 1013, 5.2.1: momentary loads",
            ("demand.peak_w",),
        ),
    ]
    return steps


def side_steps(
    inputs: DemandInput, months: tuple[MonthDemand, ...], standing_wh: float, losses_wh: float
) -> list[Step]:
    """Beside the sum: what stays with everything off, what is lost on the way, and a week hotter than usual."""
    name, chosen = month_name(inputs.month), months[inputs.month - 1]
    return [
        Step(
            "demand.standing_wh_per_day",
            STAGE,
            "With everything switched off",
            f"always on + standby of direct-current rows in {name}, 24 h",
            standing_wh,
            "Wh",
            IEEE_LOADS,
            ("demand.always_on_wh_per_day",),
        ),
        Step(
            "demand.losses_wh_per_day",
            STAGE,
            f"Lost on the way in {name}",
            "each row's energy x (1 - efficiency from battery to device), and the inverter's idle draw",
            losses_wh,
            "Wh",
            f"{WIRING_SOURCE}; {CURVE_SOURCE if inputs.inverter.curve != 'fixed' else 'inverter as typed'}",
            ("demand.energy_wh_per_day",),
        ),
        Step(
            "demand.hot_week_wh_per_day",
            STAGE,
            f"Use a day in a hot week of {name}",
            f"rows that follow the heat at {HOT_WEEK_K:g} °C above the month's mean, the others as they are",
            chosen.hot_week_wh_per_day,
            "Wh",
            "how much hotter: common practice, no source",
            ("demand.energy_wh_per_day",),
        ),
    ]
