"""What the demand room reads and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from model.demand.dark import EQUAL_YEAR_H
from model.demand.kinds import Kind
from model.demand.load import LoadDemand
from model.design import Day, Inverter, Load, System
from model.working import Finding, Step

IDLE_NAME = "Inverter, idle"
ALWAYS_ON_NAME = "Always on"


@dataclass(frozen=True, slots=True)
class DemandInput:
    """What this room reads of a design and its place: 12 monthly mean temperatures, °C, and hours from sunrise to sunset."""

    loads: tuple[Load, ...]
    system: System
    inverter: Inverter
    month: int
    months_of_use: tuple[int, ...]
    outside_c: tuple[float, ...]
    days: tuple[Day, ...] = ()
    daylight_h: tuple[float, ...] = EQUAL_YEAR_H


@dataclass(frozen=True, slots=True)
class LoadShare:
    """One line of the table as it stands in the chosen month, at the battery; derived lines come last.

    Energies are means over all days, those included on which the row does not run.
    """

    name: str
    energy_wh_per_day: float
    charge_ah_per_day: float
    share: float  # of the month's total, 0 to 1
    running_a: float
    months_wh_per_day: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class MonthDemand:
    """A day of one month: the mean over a week's kinds of day, or one kind; of peaks the largest that occurs."""

    month: int
    energy_wh_per_day: float
    hot_week_wh_per_day: float  # the same in a week hotter than the month's mean
    charge_ah_per_day: float
    average_w: float
    peak_w: float
    surge_w: float
    ac_peak_w: float
    ac_surge_w: float
    profile_w: tuple[float, ...]  # 24 clock hours, mean power in each
    deferrable_wh_per_day: float  # of loads that can wait
    deferrable_w: tuple[float, ...]  # the same by clock hour, within the profile


@dataclass(frozen=True, slots=True)
class KindDemand:
    """One kind of day in each of twelve months; `idle_wh` is the inverter's idle draw on it, within the months' energy."""

    kind: Kind
    months: tuple[MonthDemand, ...]
    idle_wh: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Demand:
    """`months` and `loads` are means over all days; `parts` are the rows on a day on which they run.

    `kinds`: as entered, the rest last; empty where none was entered.
    """

    month: MonthDemand
    months: tuple[MonthDemand, ...]
    kinds: tuple[KindDemand, ...]
    loads: tuple[LoadShare, ...]
    parts: tuple[LoadDemand, ...]
    idle_wh_per_day: float
    always_on_wh_per_day: float
    standing_wh_per_day: float  # with everything switched off, the inverter too: always on and standby
    losses_wh_per_day: float  # of the month's use, what wiring, adaptors and inverter turn to heat
    running_a: float  # at the month's peak, IEEE 1013
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
