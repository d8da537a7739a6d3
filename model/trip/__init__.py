"""The stops of a plan, one after the other, in many seasons: `calendar`, their `hours`, the `run`, its `cures`, and in words."""

from model.trip.run import NoTrip, trip
from model.trip.table import PERCENTILES, Cure, StopOdds, Trip

__all__ = ["PERCENTILES", "Cure", "NoTrip", "StopOdds", "Trip", "trip"]
