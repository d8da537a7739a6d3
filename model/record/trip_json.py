"""The trip as plain data for other programs: the key "trip" of the contract in `model.record.as_json`."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from model.trip.table import PERCENTILES

if TYPE_CHECKING:
    from model.trip import Cure, StopOdds, Trip


def trip_dict(trip: Trip) -> dict[str, Any]:
    """Stops, odds and cures; `charge` in each row is a share of the rated capacity at `percentiles`."""
    worst, risk = trip.worst_stop, trip.first_day_at_risk
    return {
        "trips_simulated": trip.years,
        "days": len(trip.dates),
        "first_day": trip.dates[0],
        "start_charge": trip.start_charge,
        "target_chance": trip.target,
        "chance_of_empty_day": trip.chance_of_empty_day,
        "chance_error": trip.chance_error,
        "worst_stop": worst.name if worst is not None else None,
        "first_day_at_risk": trip.dates[risk] if risk is not None else None,
        "percentiles": list(PERCENTILES),
        "stops": [_stop(stop) for stop in trip.stops],
        "cures": [_cure(cure) for cure in trip.cures],
        "findings": [asdict(finding) for finding in trip.findings],
    }


def _stop(stop: StopOdds) -> dict[str, Any]:
    return {
        "name": stop.name,
        "arrives": stop.arrives,
        "leaves": stop.leaves,
        "nights": stop.nights,
        "measured_years": stop.measured_years,
        "sun_wh_per_day": stop.sun_wh_per_day,
        "driving_wh_per_day": stop.driving_wh_per_day,
        "shore_wh_per_day": stop.shore_wh_per_day,
        "generator_wh_per_day": stop.generator_wh_per_day,
        "use_wh_per_day": stop.use_wh_per_day,
        "chance_of_empty_day": stop.chance_of_empty_day,
        "chance_error": stop.chance_error,
        "empty_days": stop.empty_days,
        "empty_days_error": stop.empty_days_error,
        "unmet_wh": stop.unmet_wh,
        "charge_on_arrival": list(stop.arrival),
        "charge_on_leaving": list(stop.departure),
        "days": [
            {"chance_of_empty_day": chance, "charge": list(charge)}
            for chance, charge in zip(stop.chance_by_day, stop.charge_by_day, strict=True)
        ],
    }


def _cure(cure: Cure) -> dict[str, Any]:
    return {
        "kind": cure.kind,
        "amount": cure.amount,
        "most_tried": cure.most,
        "unit": cure.unit,
        "chance_of_empty_day": cure.chance,
        "loads": list(cure.loads),
        "words": cure.words,
    }
