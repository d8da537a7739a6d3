"""The trip of a plan: one stop after another, hour by hour, through many synthetic seasons."""

from __future__ import annotations

from collections.abc import Callable

from model.plan import Plan
from model.trip_table import PERCENTILES, Cure, StopOdds, Trip

__all__ = ["PERCENTILES", "Cure", "NoTrip", "StopOdds", "Trip", "trip"]

YEARS, SEED, TARGET = 400, 1, 0.1


class NoTrip(ValueError):
    """A plan without a trip that can be simulated; the text is a sentence for the person who asked."""


def trip(
    plan: Plan,
    *,
    years: int = YEARS,
    seed: int = SEED,
    start_charge: float = 1.0,
    target: float = TARGET,
    cures: bool = True,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> Trip:
    """The stops of `plan.design` with the odds of an empty day at each, and what would mend the worst of them.

    `start_charge`: share of the rated capacity on the first morning. `cures` False: without the search for what would mend it.
    `progress` hears the share done, `cancelled` is asked on the way. Raises NoTrip without stops and where no stop has a
    climate, `model.year.Cancelled` where `cancelled` says so.
    """
    raise NoTrip("The trip is not simulated yet.")
