"""What the solar part of the supply reads and what it answers."""

from __future__ import annotations

from dataclasses import dataclass

from model.design import Array, Controller, Module, Roof
from model.supply.climate import Climate
from model.supply.roof import Fit, Placed
from model.working import Finding, Step


@dataclass(frozen=True, slots=True)
class SupplyInput:
    """What this room reads of a design and of its neighbours.

    `climate` from `model.supply.climate.climate_of`; `use_wh_per_day`: twelve months' energy use at the battery;
    `battery_efficiency`: energy out over energy in; `lowest_c`: typed lowest temperature, None for an estimate.
    """

    climate: Climate
    module: Module
    array: Array
    controller: Controller
    roof: Roof
    system_v: float
    month: int
    months_of_use: tuple[int, ...]
    use_wh_per_day: tuple[float, ...]
    battery_efficiency: float
    lowest_c: float | None = None


@dataclass(frozen=True, slots=True)
class MonthSupply:
    """One month, per average day. Harvests are at the battery's terminals, behind the controller.

    `needed_w` and `needed_cautious_w`: the array that covers the use by the sun alone, infinite where the sun does not rise;
    `needed_for_rest_*`: the one that covers `left_for_sun_wh_per_day`, the use that other income leaves.
    """

    month: int
    ghi_kwh_per_m2_day: float
    ghi_cautious_kwh_per_m2_day: float
    poa_kwh_per_m2_day: float
    yield_wh_per_w_day: float
    yield_cautious_wh_per_w_day: float
    temperature_c: float
    cell_max_c: float
    hourly_harvest_w: tuple[float, ...]  # 24 hours of true solar time
    harvest_wh_per_day: float
    harvest_cautious_wh_per_day: float
    use_wh_per_day: float
    needed_w: float
    needed_cautious_w: float
    left_for_sun_wh_per_day: float
    needed_for_rest_w: float
    needed_for_rest_cautious_w: float
    other_income_wh_per_day: float = 0.0


@dataclass(frozen=True, slots=True)
class Wiring:
    """How the modules are wired, and what the controller meets.

    `count` modules in `strings` strings of `in_series`; `idle` modules are left over from whole strings.
    `controller_a`: charge current (MPPT) or current to bear (PWM).
    """

    count: int
    in_series: int
    strings: int
    idle: int
    array_w: float
    lowest_c: float
    cold_voc_v: float
    hot_vmp_v: float
    run_v: float  # what `hot_vmp_v` must reach
    warm_voc_v: float
    start_v: float  # what `warm_voc_v` must reach
    controller_a: float
    backfed_a: float


@dataclass(frozen=True, slots=True)
class Supply:
    """The array at a place. `month` is the one looked at, `worst` the month on the road that needs the largest array."""

    month: MonthSupply
    worst: MonthSupply
    months: tuple[MonthSupply, ...]
    array_w: float
    coverage: float | None  # of the month's use by the typical harvest, 1 and above where it suffices; None without use
    coverage_with_other: float | None  # the same by harvest and other income together
    wiring: Wiring
    fit: Fit
    modules: tuple[Placed, ...]  # those of `fit` that the array uses, the least shaded first
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]
