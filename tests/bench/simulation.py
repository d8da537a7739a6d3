"""A hundred years of hours for one design and the map of battery and array, against plain loops over the same hours.

The plain loop is what one writes first: one hour after the other, a pandas row or a Python number at a time. It is given the
same weather and must arrive at the same unmet energy.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from model.plan import Plan, plan
from model.storage.simulation import Bank, Hours, simulate
from model.year import battery_map, chances
from model.year.hours import bank_of, hours_of
from tests.bench import edits

YEARS, MAP_YEARS, SIDE = 100, 20, 20
ROUNDS = 5
MOST_MB = 300
ALONE = "from tests.bench.simulation import once; print(once())"
PANDAS_YEARS, PYTHON_YEARS = 1, 100  # run in full; the time for all years is in proportion


def report() -> None:
    """Prints each figure beside its bar, and the plain loops beside the simulation."""
    made = plan(edits.demonstration())
    option = made.storage.chosen
    hours, bank = hours_of(made, option, YEARS, 1), bank_of(made, option)
    array_w, full_wh = made.supply.array_w if made.supply is not None else 0.0, option.installed_wh

    def weather_and_odds(seed: int) -> None:
        chances(made, option.chemistry, years=YEARS, seed=seed)

    seeds = iter(range(1000, 2000))
    one = median_s(lambda: simulate(hours, bank, array_w, full_wh))
    whole = median_s(lambda: weather_and_odds(next(seeds)))
    grid = median_s(lambda: map_of(made), 3)
    show("100 years hourly, one design, simulation alone", one, 0.5)
    show("100 years hourly, one design, with weather, trace and odds", whole, 0.5)
    show(f"{SIDE} x {SIDE} map, {MAP_YEARS} years each", grid, 5.0)
    used_mb = memory_mb()
    verdict = "ok" if used_mb <= MOST_MB else "OVER"
    print(f"{'peak memory of a process that does these once':<62}{used_mb:>8.0f} MB   bar {MOST_MB} MB  {verdict}")
    beside_plain_loops(hours, without_waiting(bank), array_w, full_wh)


def memory_mb() -> float:
    """Peak resident memory of a process of its own that does the three once: this one holds the loops' tables as well."""
    done = subprocess.run([sys.executable, "-c", ALONE], capture_output=True, text=True, check=True)
    return float(done.stdout)


def once() -> float:
    """Plan, the odds of a hundred years, the map; answers this process' peak resident memory in MB."""
    made = plan(edits.demonstration())
    chances(made, made.storage.chosen.chemistry, years=YEARS, seed=1)
    map_of(made)
    return peak_mb()


def peak_mb() -> float:
    """Peak resident memory of this process in MB.

    Linux hands what the parent held on to a child's `ru_maxrss`; the child's own peak is in /proc.
    """
    status = Path("/proc/self/status")
    if status.exists():
        peak = next(line for line in status.read_text(encoding="ascii").splitlines() if line.startswith("VmHWM:"))
        return float(peak.split()[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def beside_plain_loops(hours: Hours, bank: Bank, array_w: float, full_wh: float) -> None:
    """The plain loops know no use that waits: all of it counts as what must run, here as there."""
    must = Hours(
        hours.sun_w_per_w,
        hours.other_w,
        hours.load_w + hours.waiting_w,
        np.zeros_like(hours.waiting_w),
        hours.battery_c,
        hours.controller_limit_w,
    )
    ours = simulate(must, bank, array_w, full_wh)
    ours_s = median_s(lambda: simulate(must, bank, array_w, full_wh))
    income = np.minimum(must.sun_w_per_w * array_w, must.controller_limit_w) + must.other_w[:, :, None]
    net = (income - must.load_w[:, :, None]).transpose(2, 0, 1).reshape(YEARS, 8760)
    usable = np.repeat(bank.usable_share, np.multiply(24, (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31))) * full_wh
    print(f"\n{YEARS} years hourly, everything must run{'time':>28}{'ratio':>9}{'unmet a year':>15}")
    line("numpy, years side by side", ours_s, 1.0, ours.ledger.unmet.sum() / YEARS)
    for name, loop, years in (
        ("plain Python", python_loop, PYTHON_YEARS),
        ("pandas, row by row", pandas_loop, PANDAS_YEARS),
    ):
        start = time.perf_counter()
        unmet = loop(net[:years].ravel(), np.tile(usable, years), bank, full_wh)
        seconds = (time.perf_counter() - start) * YEARS / years
        same = ours.ledger.unmet[:, 0, :years].sum() / years
        line(f"{name} ({years} of the years run)", seconds, seconds / ours_s, unmet / years)
        print(f"{'':<38}the same {years} in numpy{same:>41.4f} Wh")


def python_loop(net_w: np.ndarray, usable_wh: np.ndarray, bank: Bank, full_wh: float) -> float:
    """Unmet energy, one number at a time; the battery is warm enough throughout."""
    stored, unmet, limit = full_wh, 0.0, bank.charge_w_per_wh * full_wh
    for net, usable in zip(net_w.tolist(), usable_wh.tolist(), strict=True):
        if net > 0:
            stored += min(min(net, limit) * bank.charge_efficiency, full_wh - stored)
        else:
            drawn = min(-net, max(0.0, stored - (full_wh - usable)))
            stored -= drawn
            unmet += -net - drawn
    return unmet


def pandas_loop(net_w: np.ndarray, usable_wh: np.ndarray, bank: Bank, full_wh: float) -> float:
    """The same over the rows of a frame, each row's state of charge written back into it."""
    import pandas as pd  # not at the top: it takes memory that the simulation does not need

    frame = pd.DataFrame({"net": net_w, "usable": usable_wh, "stored": 0.0, "unmet": 0.0})
    stored, limit = full_wh, bank.charge_w_per_wh * full_wh
    for index, row in frame.iterrows():
        drawn = 0.0
        if row["net"] > 0:
            stored += min(min(row["net"], limit) * bank.charge_efficiency, full_wh - stored)
        else:
            drawn = min(-row["net"], max(0.0, stored - (full_wh - row["usable"])))
            stored -= drawn
            frame.at[index, "unmet"] = -row["net"] - drawn
        frame.at[index, "stored"] = stored
    return float(frame["unmet"].sum())


def without_waiting(bank: Bank) -> Bank:
    return Bank(bank.usable_share, bank.charge_efficiency, charge_w_per_wh=bank.charge_w_per_wh)


def map_of(made: Plan) -> None:
    use = made.demand.month.energy_wh_per_day
    battery_map(
        made, np.linspace(100, 1500, SIDE).tolist(), np.linspace(0.5 * use, 6 * use, SIDE).tolist(), years=MAP_YEARS
    )


def median_s(run: Callable[[], object], rounds: int = ROUNDS) -> float:
    run()
    times = []
    for _ in range(rounds):
        start = time.perf_counter()
        run()
        times.append(time.perf_counter() - start)
    return statistics.median(times)


def show(what: str, seconds: float, bar_s: float) -> None:
    print(
        f"{what:<62}{seconds * 1000:>8.0f} ms   bar {bar_s * 1000:.0f} ms  {'ok' if seconds < bar_s else 'OVER'}",
        flush=True,
    )


def line(what: str, seconds: float, ratio: float, unmet_wh: float) -> None:
    print(f"{what:<38}{seconds * 1000:>20.0f} ms{ratio:>9.0f}{unmet_wh:>12.4f} Wh", flush=True)


if __name__ == "__main__":
    report()
