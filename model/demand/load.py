"""One load: from what its row says to the energy that the battery must give for it, month by month."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from model.calendar import hours_of
from model.demand.heat import cabin_temperature_c, duty_in_heat
from model.demand.inverter import efficiency
from model.design import Inverter, Load, System

# IEEE 1013, 5.2.2: the current of a constant-power load is taken at 95 % of the system voltage.
CONSTANT_POWER_VOLTAGE = 0.95


@dataclass(frozen=True, slots=True)
class LoadDemand:
    """What one row asks of the battery. Months outside its use hold 0."""

    name: str
    running_w: float  # at the battery, all pieces running
    running_a: float
    surge_w: float  # at the battery, one piece starting and the others running
    ac_w: float  # alternating-current power of all pieces, 0 for direct-current loads
    standby_w: float  # at the battery, all pieces off
    path_efficiency: float  # battery to device
    run_hours: float  # hours a day of full power, duty at 25 °C
    energy_wh_per_day: tuple[float, ...]  # 12 months, at the battery
    duty: tuple[float, ...]  # 12 months
    profile: tuple[float, ...]  # share of the day's energy in each clock hour


def device_power_w(load: Load, nominal_v: float) -> float:
    """Power of one piece while it runs, W: as given, or current times the voltage it was rated at (P = U I)."""
    if load.power_w is not None:
        return load.power_w
    if load.current_a is not None:
        return load.current_a * (load.rated_v if load.rated_v is not None else nominal_v)
    return 0.0


def running_current_a(power_w: float, nominal_v: float, behaviour: str = "constant power") -> float:
    """Current at the battery while running, A.

    A constant-power load draws P / (0.95 U) (IEEE 1013, 5.2.2); a resistive one P / U at nominal voltage.
    """
    volts = nominal_v * (CONSTANT_POWER_VOLTAGE if behaviour == "constant power" else 1.0)
    return power_w / volts


def daily_energy_wh(quantity: float, power_w: float, hours: float, duty: float, standby_w: float = 0.0) -> float:
    """Energy a day at the device, Wh: P h d while on, standby for the rest of the day, times the quantity.

    Source: load data of IEEE 1013, 5.2; energy = power x time.
    """
    return quantity * (power_w * hours * duty + standby_w * (24.0 - hours))


def path_efficiency(load: Load, system: System, inverter: Inverter, ac_w: float) -> float:
    """Efficiency from the battery to the device: wiring, the load's own adaptor, and the inverter where it is AC."""
    through = system.wiring_efficiency * load.converter_efficiency
    return through * efficiency(inverter, ac_w) if load.supply == "AC" and ac_w > 0 else through


@lru_cache(maxsize=4096)
def load_demand(load: Load, system: System, inverter: Inverter, outside_c: tuple[float, ...]) -> LoadDemand:
    """What `load` asks of the battery in each of 12 months with mean outside temperatures `outside_c` (°C)."""
    one_w = device_power_w(load, system.nominal_v)
    count = load.quantity if load.on else 0.0
    device_ac_w = count * one_w / load.converter_efficiency if load.supply == "AC" else 0.0
    path = path_efficiency(load, system, inverter, device_ac_w)
    duties = tuple(
        duty_in_heat(load.duty, cabin_temperature_c(outside, system.cabin_heated_to_c))
        if load.follows_heat
        else load.duty
        for outside in outside_c
    )
    energy = tuple(
        _device_energy_wh(load, count, one_w, duties[month - 1]) / path if month in load.months else 0.0
        for month in range(1, 13)
    )
    running_w = count * one_w / path
    start_w = max(0.0, (load.surge_w or 0.0) - one_w) / path if count else 0.0
    return LoadDemand(
        name=load.name,
        running_w=running_w,
        running_a=running_current_a(running_w, system.nominal_v, load.behaviour),
        surge_w=running_w + start_w,
        ac_w=device_ac_w,
        standby_w=count * load.standby_w / path,
        path_efficiency=path,
        run_hours=load.hours_per_day * load.duty if one_w else 0.0,
        energy_wh_per_day=energy,
        duty=duties,
        profile=hours_of(load.when),
    )


def _device_energy_wh(load: Load, count: float, one_w: float, duty: float) -> float:
    if load.measured_wh_per_day is not None:
        return load.measured_wh_per_day if count else 0.0
    return daily_energy_wh(count, one_w, load.hours_per_day, duty, load.standby_w)
