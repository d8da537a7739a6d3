"""What uses energy: the van as a whole, its loads, its inverter, and the kinds of day that its people live."""

from __future__ import annotations

from dataclasses import dataclass

from model.design.typed import ALL_MONTHS, typed

SYSTEM_VOLTAGES = ("12 V", "24 V", "48 V")
SUPPLIES = ("DC", "AC")
NEEDS = ("essential", "can wait")
BEHAVIOURS = ("constant power", "resistive")
INVERTER_CURVES = ("typical", "good", "poor", "fixed")
INVERTER_BONDS = ("not known", "none", "switched", "fixed")
CHANGEOVERS = ("not known", "own sockets", "both poles", "one pole", "none")


@dataclass(frozen=True, slots=True)
class System:
    """The wiring's nominal voltage and what is true of the whole van."""

    nominal_v: float = typed("voltage", "voltage", "System voltage", 12.0, low=12, high=48, choices=SYSTEM_VOLTAGES)
    wiring_efficiency: float = typed("efficiency", "wiring_efficiency", "Wiring efficiency", 0.98)
    always_on_w: float = typed("power", "always_on", "Always on (alarm, monitor, controller)", 3.0, high=10_000)
    cabin_heated_to_c: float | None = typed("temperature", "cabin_heated_to", "Cabin heated to", None, low=-10, high=35)


@dataclass(frozen=True, slots=True)
class Load:
    """One row of the load table. Power and current are those of one piece while it runs."""

    name: str = typed("text", "name", "Load", "")
    quantity: float = typed("count", "quantity", "Quantity", 1, high=1000)
    power_w: float | None = typed("power", "power", "Power of one while running", None, high=50_000)
    current_a: float | None = typed("current", "current", "Current of one while running", None, high=2_000)
    rated_v: float | None = typed("voltage", "rated_voltage", "Voltage at which it was rated", None, high=500)
    measured_wh_per_day: float | None = typed(
        "energy", "measured_per_day", "Measured energy a day, all of them", None, high=1_000_000
    )
    supply: str = typed("choice", "supply", "DC, or AC through the inverter", "DC", choices=SUPPLIES)
    hours_per_day: float = typed("hours_per_day", "hours", "Hours a day", 0.0)
    duty: float = typed("percent", "duty", "Duty while on", 1.0, low=0, high=1)
    follows_heat: bool = typed("yes/no", "follows_heat", "Duty follows the cabin's heat (refrigerator)", False)
    standby_w: float = typed("power", "standby", "Standby draw of one while off", 0.0, high=1_000)
    surge_w: float | None = typed("power", "surge", "Starting surge of one", None, high=100_000)
    converter_efficiency: float = typed("efficiency", "converter_efficiency", "Efficiency of its own adaptor", 1.0)
    behaviour: str = typed("choice", "behaviour", "Constant power or resistive", "constant power", choices=BEHAVIOURS)
    months: tuple[int, ...] = typed("months", "months", "Months of use", ALL_MONTHS)
    when: str = typed("when", "when", "Time of day", "all day")
    need: str = typed("choice", "need", "Essential or can wait", "essential", choices=NEEDS)
    days: str = typed("text", "days", "Kinds of day on which it runs, all if empty", "")
    circuit: str = typed("text", "circuit", "Circuit", "")
    drop_limit: float | None = typed(
        "percent", "drop_limit", "Voltage drop allowed on its way", None, low=0.001, high=0.5
    )
    cut_out_v: float | None = typed("voltage", "cut_out", "Voltage below which it switches itself off", None, high=100)
    note: str = typed("text", "note", "Note", "")
    on: bool = typed("yes/no", "on", "Counted", True)


@dataclass(frozen=True, slots=True)
class Inverter:
    """The DC to AC inverter. `efficiency` counts only when the curve is "fixed"."""

    fitted: bool = typed("yes/no", "fitted", "Inverter fitted", False)
    rated_w: float = typed("power", "rated", "Rated power", 1000.0, low=10, high=20_000)
    surge_w: float | None = typed("power", "surge", "Surge power", None, high=60_000)
    curve: str = typed("choice", "curve", "Part-load curve", "typical", choices=INVERTER_CURVES)
    efficiency: float = typed("efficiency", "efficiency", "Efficiency where the curve is fixed", 0.90)
    idle_w: float = typed("power", "idle", "Idle draw", 10.0, high=500)
    hours_on: float = typed("hours_per_day", "hours_on", "Hours switched on", 2.0)
    output_v: float = typed("voltage", "output_voltage", "Alternating voltage that it gives", 230.0, low=100, high=240)
    cut_out_v: float | None = typed("voltage", "cut_out", "Switches itself off below", None, low=5, high=60)
    bond: str = typed("choice", "bond", "Joins neutral and earth", "not known", choices=INVERTER_BONDS)
    changeover: str = typed("choice", "changeover", "Changeover with shore power", "not known", choices=CHANGEOVERS)


@dataclass(frozen=True, slots=True)
class Day:
    """A kind of day: work day, rain day, away. A load that names kinds of day runs on these only."""

    name: str = typed("text", "name", "Kind of day", "")
    days_per_week: float = typed("number", "days_per_week", "Days a week", 1.0, low=0, high=7)
