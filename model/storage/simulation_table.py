"""What the simulation takes and what it answers: hours of a year, a bank of cells, and the books of where the energy went."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from model.design import Battery
from model.storage.weather import MONTH_OF_DAY
from model.supply.sun import Floats

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Hours:
    """The hours of a year, or of other days in a row, as the battery's terminals see them.

    sun_w_per_w: (days, 24, years), behind the controller, per rated watt of array. Alike in all years, (days, 24): other_w,
    income from elsewhere; load_w, what must run; waiting_w, what falls due but can wait. battery_c: at the cells, either way.
    controller_limit_w: most power that the sun's controller passes. period_of_day: to which period of the books each day
    belongs, from 0 and never falling: the months of a year, unless told otherwise.
    """

    sun_w_per_w: Floats
    other_w: Floats
    load_w: Floats
    waiting_w: Floats
    battery_c: Floats
    controller_limit_w: float = inf
    period_of_day: NDArray[np.int64] = field(default_factory=lambda: MONTH_OF_DAY)

    @property
    def days(self) -> int:
        return len(self.period_of_day)

    @property
    def periods(self) -> int:
        return int(self.period_of_day[-1]) + 1

    @property
    def years(self) -> int:
        return int(self.sun_w_per_w.shape[2])


@dataclass(frozen=True, slots=True)
class Bank:
    """What holds for each watt-hour of rated capacity of one kind of battery.

    usable_share: for each period, of the capacity, down to the reserve. charge_w_per_wh: largest charge power. Outside
    charge_min_c to charge_max_c it takes no charge, while loads run on. acceptance_per_h: share of the room below full that
    an hour of charging can fill; 1 for cells that take their current to the end. Loads that can wait take only what lies
    above `wait_below` of the usable charge; at most `wait_days` days of them are owed, the rest is forgone.
    """

    usable_share: tuple[float, ...]
    charge_efficiency: float = 1.0
    discharge_efficiency: float = 1.0
    charge_w_per_wh: float = inf
    charge_min_c: float = -inf
    charge_max_c: float = inf
    acceptance_per_h: float = 1.0
    wait_below: float = Battery().wait_below  # the design's own default; common practice, no source
    wait_days: float = 1.0


class Ledger(NamedTuple):
    """Where the energy went: Wh by period, system and year, (periods, systems, years).

    sun + other = curtailed + used + lost + stored, and used + unmet + forgone + owed = what was asked for. `sun` is what the
    array could give, `curtailed` what found no use or was refused; `refused` what of it the battery had room for and only cold
    or heat kept out; `unmet` essential use that was not served; of the use that can wait `due` is all, `forgone` what waited too
    long, `owed` the change of what still waits; `lost` in charging and discharging; `stored` the change of what the cells hold;
    `drawn` out of the cells.
    """

    sun: Floats
    other: Floats
    curtailed: Floats
    refused: Floats
    used: Floats
    unmet: Floats
    due: Floats
    forgone: Floats
    owed: Floats
    lost: Floats
    stored: Floats
    drawn: Floats


class Trace(NamedTuple):
    """Kept on request. stored_wh: after each hour, (days, 24, systems, years); the rest by day, (days, systems, years)."""

    stored_wh: Floats
    income_wh: Floats
    wanted_wh: Floats


@dataclass(frozen=True, slots=True)
class Run:
    """What came of it. Flags by day, (days, systems, years): something essential went unmet; the battery was full at some
    hour; charge was refused for cold or heat."""

    ledger: Ledger
    empty: Flags
    full: Flags
    locked: Flags
    full_wh: Floats  # (systems,)
    reserve_wh: Floats  # (periods, systems)
    trace: Trace | None

    @property
    def years(self) -> int:
        return int(self.empty.shape[2])


def check(hours: Hours, bank: Bank, array_w: Floats, full_wh: Floats) -> None:
    """Raises ValueError, naming what is wrong, for arrays of the wrong shape and for impossible numbers."""
    days = hours.days
    if days < 1 or hours.period_of_day[0] != 0 or not np.all(np.isin(np.diff(hours.period_of_day), (0, 1))):
        raise ValueError("the periods of the days count from 0, without a gap")
    if hours.sun_w_per_w.ndim != 3 or hours.sun_w_per_w.shape[:2] != (days, 24) or hours.years < 1:
        raise ValueError(f"the sun takes {days} days of 24 hours in at least one year")
    for name in ("sun_w_per_w", "other_w", "load_w", "waiting_w", "battery_c"):
        values = getattr(hours, name)
        by_years = name == "battery_c" and values.shape == hours.sun_w_per_w.shape
        if name != "sun_w_per_w" and values.shape != (days, 24) and not by_years:
            raise ValueError(f"{name} takes {days} days of 24 hours")
        if not np.all(np.isfinite(values)) or (name != "battery_c" and np.any(values < 0)):
            raise ValueError(f"{name} holds a number that is negative or not finite")
    if not (np.all(np.isfinite(array_w)) and np.all(array_w >= 0)):
        raise ValueError("an array has a rated power of 0 W or more")
    if not (np.all(np.isfinite(full_wh)) and np.all(full_wh > 0)):
        raise ValueError("a battery has a capacity above 0 Wh")
    if len(bank.usable_share) != hours.periods or not all(0 < share <= 1 for share in bank.usable_share):
        raise ValueError(f"the usable share takes {hours.periods} periods, each above 0 and at most 1")
    for name in ("charge_efficiency", "discharge_efficiency", "acceptance_per_h"):
        if not 0 < getattr(bank, name) <= 1:
            raise ValueError(f"{name} lies above 0 and is at most 1")
