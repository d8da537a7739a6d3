"""One load: from what its row says to the energy that the battery must give for it, month by month."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from model.calendar import hours_of
from model.demand.dark import DARK, EQUAL_YEAR_H, dark_profile, hours_in_the_dark
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
    ac_start_w: float  # what the start of one piece adds at the inverter's output
    ac_w: float  # alternating-current power of all pieces, 0 for direct-current loads
    standby_w: float  # at the battery, all pieces off
    path_efficiency: float  # battery to device while it runs
    standby_efficiency: float
    hours: tuple[float, ...]  # 12 months, hours a day that it is on
    full_hours: tuple[float, ...]  # 12 months, hours a day at full power, at most 24
    energy_wh_per_day: tuple[float, ...]  # 12 months, at the battery
    standby_wh_per_day: tuple[float, ...]  # 12 months, the part of it on standby, drawn evenly round the clock
    duty: tuple[float, ...]  # 12 months
    profiles: tuple[tuple[float, ...], ...]  # 12 months, share of the rest of the day's energy in each clock hour

    def mean_w(self, month: int, hour: int) -> float:
        """Mean power in a clock hour (0 to 23) of a day of `month`, W."""
        standby = self.standby_wh_per_day[month - 1]
        return (self.energy_wh_per_day[month - 1] - standby) * self.profiles[month - 1][hour] + standby / 24.0

    def lost_wh(self, month: int) -> float:
        """Energy a day of `month` that does not reach the device: wiring, adaptor, inverter under load."""
        standby = self.standby_wh_per_day[month - 1]
        running = self.energy_wh_per_day[month - 1] - standby
        return running * (1.0 - self.path_efficiency) + standby * (1.0 - self.standby_efficiency)

    def may_run(self, month: int, hour: int) -> bool:
        """Whether it may run in that clock hour."""
        return self.profiles[month - 1][hour] > 0 and self.full_hours[month - 1] > 0

    def most_w(self, month: int, hour: int) -> float:
        """Power to reckon with in that clock hour, W: all pieces running, or the mean where the row's energy asks for more."""
        return max(self.mean_w(month, hour), self.running_w if self.may_run(month, hour) else 0.0)


def device_power_w(load: Load, nominal_v: float) -> float:
    """Power of one piece while it runs, W.

    As given; or current times the voltage it was rated at (P = U I); or the measured energy over its hours at full power,
    which are those of its time of day where no hours are typed.
    """
    if load.power_w is not None:
        return load.power_w
    if load.current_a is not None:
        return load.current_a * (load.rated_v if load.rated_v is not None else nominal_v)
    if load.measured_wh_per_day is not None and load.quantity:
        hours = load.hours_per_day * load.duty or sum(1 for share in hours_of(load.when) if share)
        return load.measured_wh_per_day / (load.quantity * hours)
    return 0.0


def running_current_a(power_w: float, nominal_v: float, behaviour: str = "constant power") -> float:
    """Current at the battery while running, A.

    A constant-power load draws P / (0.95 U) (IEEE 1013, 5.2.2); a resistive one P / U at nominal voltage.
    """
    volts = nominal_v * (CONSTANT_POWER_VOLTAGE if behaviour == "constant power" else 1.0)
    return power_w / volts


def daily_energy_wh(quantity: float, power_w: float, hours: float, duty: float) -> float:
    """Energy a day at the device while it runs, Wh: n P h d.

    Source: load data of IEEE 1013, 5.2; energy = power x time.
    """
    return quantity * power_w * hours * duty


def standby_hours(load: Load, hours: float, duty: float, inverter: Inverter) -> float:
    """Hours a day on standby: all that it does not run of `hours`; through the inverter only while that is switched on.

    A measured day holds the standby already.
    """
    if load.measured_wh_per_day is not None:
        return 0.0
    fed = 24.0 if load.supply == "DC" else max(inverter.hours_on, hours)
    return fed - hours * duty


def path_efficiency(load: Load, system: System, inverter: Inverter, ac_w: float) -> float:
    """Efficiency from the battery to the device: wiring, the load's own adaptor, and the inverter where it is AC."""
    through = standby_efficiency(load, system)
    inverted = efficiency(inverter, ac_w) if load.supply == "AC" and ac_w > 0 else 1.0
    return through * (inverted or 1.0)  # 0 where a float cannot hold the share of so small a load


def standby_efficiency(load: Load, system: System) -> float:
    """Efficiency from the battery to a device on standby: without the inverter, whose idle draw counts in those hours."""
    return system.wiring_efficiency * load.converter_efficiency


@lru_cache(maxsize=4096)
def load_demand(
    load: Load,
    system: System,
    inverter: Inverter,
    outside_c: tuple[float, ...],
    daylight_h: tuple[float, ...] = EQUAL_YEAR_H,
) -> LoadDemand:
    """What `load` asks of the battery in each of 12 months with mean outside temperatures `outside_c` (°C) and days of
    `daylight_h` hours from sunrise to sunset."""
    one_w = device_power_w(load, system.nominal_v)
    count = load.quantity if load.on else 0.0
    device_ac_w = count * (one_w or load.standby_w) / load.converter_efficiency if load.supply == "AC" else 0.0
    path = path_efficiency(load, system, inverter, device_ac_w)
    duties = tuple(
        duty_in_heat(load.duty, cabin_temperature_c(outside, system.cabin_heated_to_c))
        if load.follows_heat
        else load.duty
        for outside in outside_c
    )
    used = tuple(float(month in load.months) for month in range(1, 13))
    standby_w = count * load.standby_w / standby_efficiency(load, system)
    hours = _hours(load, daylight_h)
    running_wh = [_running_wh(load, count, one_w, each, duty) for each, duty in zip(hours, duties, strict=True)]
    standby_wh = [
        standby_w * standby_hours(load, each, duty, inverter) for each, duty in zip(hours, duties, strict=True)
    ]
    running_w = count * one_w / path
    start_w = max(0.0, (load.surge_w or 0.0) - one_w) / path if count else 0.0
    return LoadDemand(
        name=load.name,
        running_w=running_w,
        running_a=running_current_a(running_w, system.nominal_v, load.behaviour),
        surge_w=running_w + start_w,
        ac_start_w=start_w * path / load.converter_efficiency if load.supply == "AC" else 0.0,
        ac_w=device_ac_w,
        standby_w=standby_w,
        path_efficiency=path,
        standby_efficiency=standby_efficiency(load, system),
        hours=hours,
        full_hours=tuple(
            flag * _full_hours(load, one_w, each, duty) for flag, each, duty in zip(used, hours, duties, strict=True)
        ),
        energy_wh_per_day=tuple(
            flag * (running / path + standby)
            for flag, running, standby in zip(used, running_wh, standby_wh, strict=True)
        ),
        standby_wh_per_day=tuple(flag * standby for flag, standby in zip(used, standby_wh, strict=True)),
        duty=duties,
        profiles=tuple(dark_profile(day) for day in daylight_h) if load.when == DARK else (hours_of(load.when),) * 12,
    )


def _hours(load: Load, daylight_h: tuple[float, ...]) -> tuple[float, ...]:
    """Hours a day that it is on, for each month."""
    if load.when != DARK:
        return (load.hours_per_day,) * 12
    return tuple(hours_in_the_dark(load.hours_per_day, day) for day in daylight_h)


def _running_wh(load: Load, count: float, one_w: float, hours: float, duty: float) -> float:
    """Energy a day at the device without standby, Wh; a measured day as it was measured."""
    if load.measured_wh_per_day is not None:
        return load.measured_wh_per_day if count else 0.0
    return daily_energy_wh(count, one_w, hours, duty)


def _full_hours(load: Load, one_w: float, hours: float, duty: float) -> float:
    """Hours a day at full power that make the day's energy, standby left out; 0 for a row that draws nothing."""
    if not load.on or not load.quantity or not one_w:
        return 0.0
    if load.measured_wh_per_day is not None:
        return min(24.0, load.measured_wh_per_day / (load.quantity * one_w))
    return hours * duty
