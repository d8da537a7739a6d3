"""What the demand room reads and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from model.demand.load import LoadDemand
from model.design import Inverter, Load, System
from model.working import Finding, Step

IDLE_NAME = "Inverter, idle"
ALWAYS_ON_NAME = "Always on"


@dataclass(frozen=True, slots=True)
class DemandInput:
    """What this room reads of a design; `outside_c` are the place's 12 monthly mean temperatures, °C."""

    loads: tuple[Load, ...]
    system: System
    inverter: Inverter
    month: int
    months_of_use: tuple[int, ...]
    outside_c: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class LoadShare:
    """One line of the table as it stands in the chosen month, at the battery; derived lines come last."""

    name: str
    energy_wh_per_day: float
    charge_ah_per_day: float
    share: float  # of the month's total, 0 to 1
    running_a: float
    months_wh_per_day: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class MonthDemand:
    month: int
    energy_wh_per_day: float
    hot_week_wh_per_day: float  # the same in a week hotter than the month's mean
    charge_ah_per_day: float
    average_w: float
    peak_w: float
    surge_w: float
    ac_peak_w: float
    profile_w: tuple[float, ...]  # 24 clock hours, mean power in each
    deferrable_wh_per_day: float  # of loads that can wait


@dataclass(frozen=True, slots=True)
class Demand:
    month: MonthDemand
    months: tuple[MonthDemand, ...]
    loads: tuple[LoadShare, ...]
    parts: tuple[LoadDemand, ...]
    idle_wh_per_day: float
    always_on_wh_per_day: float
    standing_wh_per_day: float  # with everything switched off, the inverter too: always on and standby
    losses_wh_per_day: float  # of the month's use, what wiring, adaptors and inverter turn to heat
    running_a: float  # at the month's peak, IEEE 1013
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
