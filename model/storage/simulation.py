"""Hour-by-hour state of charge of many systems over many years, side by side.

The hours of a year follow one another in Python; within an hour all years and all systems are one numpy array, a lane for
each. Years are consecutive: a lane begins where the lane of the year before ended, the first year with a full battery.
An hour's order of service: income feeds the loads first, what is left charges the battery as far as its limits allow,
the rest is curtailed; what income does not cover is drawn, as far as there is charge above the reserve; the rest is unmet.

Energies are in Wh at the battery's terminals, except what is stored: that is what the cells hold. Powers are means over
an hour, so that they are the hour's energy in Wh too. Not modelled: voltage, and loads that stay off after a
low-voltage cut-out. Capacity that shrinks at high current is in the usable share, for the month's usual currents alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite
from typing import NamedTuple

import numpy as np

from model.storage.simulation_table import Bank, Hours, Ledger, Run, Trace, check
from model.storage.weather import MONTH_OF_DAY
from model.supply.sun import Floats

__all__ = ["FIRST_DAY", "Bank", "Hours", "Ledger", "Run", "Trace", "last_year", "simulate", "simulate_once"]

FULL_SHARE = 0.98  # a battery this full counts as full; common practice, no source
ROUNDING = 1e-9  # share of the capacity below which a difference is rounding
PASSES = 6  # over the years, until each begins where the one before ended; see `simulate`
FIRST_DAY = tuple(np.searchsorted(MONTH_OF_DAY, np.arange(13)).tolist())


class _State(NamedTuple):
    """What a lane carries into the next hour, (systems, years)."""

    stored: Floats
    owed: Floats

    def copy(self) -> _State:
        return _State(self.stored.copy(), self.owed.copy())


def simulate(
    hours: Hours,
    bank: Bank,
    array_w: Floats | float,
    full_wh: Floats | float,
    *,
    trace: bool = False,
    on_month: Callable[[float], None] | None = None,
) -> Run:
    """Run every system (pairs of `array_w` and `full_wh`) through all years of `hours`.

    All lanes first begin full. Then they begin again from what the year before left, month after month, until a month ends
    as it did before: from there on nothing changes. A battery that is full or empty once a year needs two passes; one that
    never is gets `PASSES`, and its years then join to what the last pass but one left.
    `on_month` is called after each month with the share of the first pass that is done; it may raise to stop.
    Raises ValueError for arrays of the wrong shape and for values that are negative or not finite.
    """
    arrays, batteries = np.broadcast_arrays(np.atleast_1d(array_w), np.atleast_1d(full_wh))
    systems = _Systems(hours, bank, arrays, batteries, trace)
    start = systems.full_state()
    months = hours.periods
    ends: list[_State | None] = [None] * months
    for _ in range(PASSES):
        state = start.copy()
        for month in range(months):
            systems.run_period(month, state)
            known = ends[month]
            if known is None:
                if on_month is not None:
                    on_month((month + 1) / months)
            elif systems.same(state, known):
                break
            ends[month] = state.copy()
        last = ends[-1]
        assert last is not None  # the first pass runs to the end
        following = systems.full_state()
        following.stored[:, 1:], following.owed[:, 1:] = last.stored[:, :-1], last.owed[:, :-1]
        if systems.same(following, start):
            break
        start = following
    return systems.run()


def simulate_once(
    hours: Hours,
    bank: Bank,
    array_w: Floats | float,
    full_wh: Floats | float,
    *,
    start_share: float = 1.0,
    periods: int | None = None,
    trace: bool = False,
    on_period: Callable[[float], None] | None = None,
) -> Run:
    """Run every system once through the days of `hours`, each lane from a battery charged to `start_share` of its capacity.

    `periods`: so many of them, the days after which stay blank; left out, all. `on_period` hears the share done after each;
    it may raise to stop. Raises as `simulate`.
    """
    if not 0 <= start_share <= 1:
        raise ValueError("a battery begins charged to between 0 and 1 of its capacity")
    arrays, batteries = np.broadcast_arrays(np.atleast_1d(array_w), np.atleast_1d(full_wh))
    systems = _Systems(hours, bank, arrays, batteries, trace)
    state = systems.full_state()
    state.stored[...] *= start_share
    wanted = hours.periods if periods is None else periods
    for period in range(wanted):
        systems.run_period(period, state)
        if on_period is not None:
            on_period((period + 1) / wanted)
    return systems.run()


def last_year(run: Run) -> Run:
    """The last of a run's years alone."""
    return replace(
        run,
        ledger=Ledger(*(each[..., -1:] for each in run.ledger)),
        empty=run.empty[..., -1:],
        full=run.full[..., -1:],
        locked=run.locked[..., -1:],
        trace=None if run.trace is None else Trace(*(each[..., -1:] for each in run.trace)),
    )


class _Systems:
    """The lanes with their working space: arrays of (24, systems, years) for a day, used over and over."""

    def __init__(self, hours: Hours, bank: Bank, array_w: Floats, full_wh: Floats, trace: bool) -> None:
        check(hours, bank, array_w, full_wh)
        self.hours, self.bank = hours, bank
        systems, years = len(full_wh), hours.years
        lanes = (systems, years)
        self.array_w = array_w.astype(float)[:, None]
        self.full_wh = full_wh.astype(float)
        self.full = np.repeat(self.full_wh[:, None], years, axis=1)
        self.reserve_wh = (1 - np.array(bank.usable_share))[:, None] * self.full_wh
        self.limit_w = np.minimum(bank.charge_w_per_wh, 1e3) * self.full  # no cell takes a thousand times its capacity
        battery_c = hours.battery_c.reshape(hours.days, 24, 1, -1)
        self.allowed = (battery_c >= bank.charge_min_c) & (battery_c <= bank.charge_max_c)
        self.sun, self.net, self.surplus, self.need, self.charge, self.draw = np.empty((6, 24, *lanes))
        self.stored = np.empty((24, *lanes))
        self.served = np.empty((24, *lanes))
        self.room = np.empty(lanes)
        self.pace_w = float(hours.waiting_w.max())
        self.ledger = Ledger(*np.zeros((len(Ledger._fields), hours.periods, *lanes)))
        self.empty, self.full_days, self.locked = np.zeros((3, hours.days, *lanes), dtype=bool)
        self.trace: Trace | None = None
        if trace:
            by_day = np.zeros((2, hours.days, *lanes))
            self.trace = Trace(np.empty((hours.days, 24, *lanes)), *by_day)

    def full_state(self) -> _State:
        return _State(self.full.copy(), np.zeros_like(self.full))

    def same(self, one: _State, other: _State) -> bool:
        within = ROUNDING * self.full
        return bool(
            np.all(np.abs(one.stored - other.stored) <= within) and np.all(np.abs(one.owed - other.owed) <= within)
        )

    def run(self) -> Run:
        return Run(self.ledger, self.empty, self.full_days, self.locked, self.full_wh, self.reserve_wh, self.trace)

    def run_period(self, period: int, state: _State) -> None:
        """Take `state` from the period's beginning to its end and enter the period into the books."""
        before = state.copy()
        for account in self.ledger:
            account[period] = 0.0
        reserve = np.repeat(self.reserve_wh[period][:, None], self.hours.years, axis=1)
        for day in np.flatnonzero(self.hours.period_of_day == period).tolist():
            self._income(day)
            self._hours_of_day(day, state, reserve)
            self._enter(day, period)
        self.ledger.stored[period] = state.stored - before.stored
        self.ledger.owed[period] = state.owed - before.owed

    def _income(self, day: int) -> None:
        """`net`: income less essential use, before what can wait."""
        np.multiply(self.hours.sun_w_per_w[day][:, None, :], self.array_w, out=self.sun)
        np.minimum(self.sun, self.hours.controller_limit_w, out=self.net)
        self.net += (self.hours.other_w[day] - self.hours.load_w[day])[:, None, None]

    def _hours_of_day(self, day: int, state: _State, reserve: Floats) -> None:
        bank, stored, room = self.bank, state.stored, self.room
        waiting = bool(self.hours.waiting_w[day].any() or state.owed.any())
        line = reserve + bank.wait_below * (self.full - reserve) if waiting else reserve
        limit = np.where(self.allowed[day], self.limit_w, 0.0)
        if not waiting:  # nothing depends on the charge yet: the whole day at once
            self.served[...] = 0.0
            self._split(self.net, self.surplus, self.need, self.charge, limit)
        for hour in range(24):
            charge, draw = self.charge[hour], self.draw[hour]
            if waiting:
                self._serve_waiting(day, hour, state, line)
                self._split(self.net[hour], self.surplus[hour], self.need[hour], charge, limit[hour])
            np.subtract(self.full, stored, out=room)
            if bank.acceptance_per_h < 1:
                room *= bank.acceptance_per_h
            np.minimum(charge, room, out=charge)
            np.subtract(stored, reserve, out=room)
            np.maximum(room, 0.0, out=room)
            np.minimum(self.need[hour], room, out=draw)
            stored += charge
            stored -= draw
            self.stored[hour] = stored
        if waiting:
            self._give_up(day, state)

    def _split(self, net: Floats, surplus: Floats, need: Floats, charge: Floats, limit: Floats) -> None:
        """A net income into what is left for the battery, what is wanted of its cells, and what its limits let into them."""
        np.maximum(net, 0.0, out=surplus)
        np.subtract(surplus, net, out=need)
        need *= 1 / self.bank.discharge_efficiency
        np.minimum(surplus, limit, out=charge)
        charge *= self.bank.charge_efficiency

    def _serve_waiting(self, day: int, hour: int, state: _State, line: Floats) -> None:
        """Serve what is owed from the charge above `line`, at most at the pace of those loads, out of `net`."""
        served = self.served[hour]
        np.subtract(state.stored, line, out=served)
        served *= self.bank.discharge_efficiency
        np.clip(served, 0.0, self.pace_w, out=served)
        state.owed[...] += self.hours.waiting_w[day, hour]
        np.minimum(served, state.owed, out=served)
        state.owed[...] -= served
        self.net[hour] -= served

    def _give_up(self, day: int, state: _State) -> None:
        """At the day's end at most `wait_days` days of what can wait stay owed."""
        owed = np.minimum(state.owed, self.bank.wait_days * self.hours.waiting_w[day].sum())
        self.ledger.forgone[self.hours.period_of_day[day]] += state.owed - owed
        state.owed[...] = owed

    def _enter(self, day: int, period: int) -> None:
        """The day's sums into the period's books, and its flags."""
        hours, bank, books = self.hours, self.bank, self.ledger
        charged, drawn = self.charge.sum(axis=0), self.draw.sum(axis=0)
        sun, surplus = self.sun.sum(axis=0), self.surplus.sum(axis=0)
        np.subtract(self.need, self.draw, out=self.draw)  # now what is missing
        missing = self.draw.sum(axis=0)
        unmet = missing * bank.discharge_efficiency
        wanted = hours.load_w[day].sum() + self.served.sum(axis=0)
        books.sun[period] += sun
        books.other[period] += hours.other_w[day].sum()
        books.curtailed[period] += surplus - charged / bank.charge_efficiency
        if isfinite(hours.controller_limit_w):
            books.curtailed[period] += np.maximum(self.sun - hours.controller_limit_w, 0.0).sum(axis=0)
        books.used[period] += wanted - unmet
        books.unmet[period] += unmet
        books.due[period] += hours.waiting_w[day].sum()
        books.lost[period] += charged * (1 / bank.charge_efficiency - 1) + drawn * (1 - bank.discharge_efficiency)
        books.drawn[period] += drawn
        small = ROUNDING * self.full
        self.empty[day] = missing > small
        self.full_days[day] = self.stored.max(axis=0) >= FULL_SHARE * self.full
        if not self.allowed[day].all():
            refused = np.where(self.allowed[day], 0.0, self.surplus).sum(axis=0)
            self.locked[day] = (refused > small) & (self.stored.min(axis=0) < FULL_SHARE * self.full)
            room = (self.full - self.stored[-1]) / bank.charge_efficiency  # it would not have taken more than that
            books.refused[period] += np.minimum(refused, room)
        if self.trace is not None:
            self.trace.stored_wh[day] = self.stored
            self.trace.income_wh[day] = sun + hours.other_w[day].sum()
            self.trace.wanted_wh[day] = wanted
