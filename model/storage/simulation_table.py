"""What the simulation takes and what it answers: hours of a year, a bank of cells, and the books of where the energy went."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from model.design import Battery
from model.storage.weather import DAYS_OF_MONTH, DAYS_PER_YEAR
from model.supply.sun import Floats

Flags = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Hours:
    """A year's hours as the battery's terminals see them.

    sun_w_per_w: (365, 24, years), behind the controller, per rated watt of array. Alike in all years, (365, 24): other_w, income
    from elsewhere; load_w, what must run; waiting_w, what falls due but can wait. battery_c: at the cells, either way.
    controller_limit_w: most power that the sun's controller passes.
    """

    sun_w_per_w: Floats
    other_w: Floats
    load_w: Floats
    waiting_w: Floats
    battery_c: Floats
    controller_limit_w: float = inf

    @property
    def years(self) -> int:
        return int(self.sun_w_per_w.shape[2])


@dataclass(frozen=True, slots=True)
class Bank:
    """What holds for each watt-hour of rated capacity of one kind of battery.

    usable_share: for each month, of the capacity, down to the reserve. charge_w_per_wh: largest charge power. Outside
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
    """Where the energy went: Wh by month, system and year, (12, systems, years).

    sun + other = curtailed + used + lost + stored, and used + unmet + forgone + owed = what was asked for. `sun` is what the
    array could give, `curtailed` what found no use or was refused; `unmet` essential use that was not served; of the use that
    can wait `due` is all, `forgone` what waited too long, `owed` the change of what still waits; `lost` in charging and
    discharging; `stored` the change of what the cells hold; `drawn` out of the cells.
    """

    sun: Floats
    other: Floats
    curtailed: Floats
    used: Floats
    unmet: Floats
    due: Floats
    forgone: Floats
    owed: Floats
    lost: Floats
    stored: Floats
    drawn: Floats


class Trace(NamedTuple):
    """Kept on request. stored_wh: at the end of each hour, (365, 24, systems, years); the rest by day, (365, systems, years)."""

    stored_wh: Floats
    income_wh: Floats
    wanted_wh: Floats


@dataclass(frozen=True, slots=True)
class Run:
    """What came of it. Flags by day, (365, systems, years): something essential went unmet; the battery was full at some
    hour; charge was refused for cold or heat."""

    ledger: Ledger
    empty: Flags
    full: Flags
    locked: Flags
    full_wh: Floats  # (systems,)
    reserve_wh: Floats  # (12, systems)
    trace: Trace | None

    @property
    def years(self) -> int:
        return int(self.empty.shape[2])


def check(hours: Hours, bank: Bank, array_w: Floats, full_wh: Floats) -> None:
    """Raises ValueError, naming what is wrong, for arrays of the wrong shape and for impossible numbers."""
    if hours.sun_w_per_w.ndim != 3 or hours.sun_w_per_w.shape[:2] != (DAYS_PER_YEAR, 24) or hours.years < 1:
        raise ValueError("the sun takes 365 days of 24 hours in at least one year")
    for name in ("sun_w_per_w", "other_w", "load_w", "waiting_w", "battery_c"):
        values = getattr(hours, name)
        by_years = name == "battery_c" and values.shape == hours.sun_w_per_w.shape
        if name != "sun_w_per_w" and values.shape != (DAYS_PER_YEAR, 24) and not by_years:
            raise ValueError(f"{name} takes 365 days of 24 hours")
        if not np.all(np.isfinite(values)) or (name != "battery_c" and np.any(values < 0)):
            raise ValueError(f"{name} holds a number that is negative or not finite")
    if not (np.all(np.isfinite(array_w)) and np.all(array_w >= 0)):
        raise ValueError("an array has a rated power of 0 W or more")
    if not (np.all(np.isfinite(full_wh)) and np.all(full_wh > 0)):
        raise ValueError("a battery has a capacity above 0 Wh")
    if len(bank.usable_share) != len(DAYS_OF_MONTH) or not all(0 < share <= 1 for share in bank.usable_share):
        raise ValueError("the usable share takes twelve months, each above 0 and at most 1")
    for name in ("charge_efficiency", "discharge_efficiency", "acceptance_per_h"):
        if not 0 < getattr(bank, name) <= 1:
            raise ValueError(f"{name} lies above 0 and is at most 1")
