"""What a simulated trip answers, stop by stop and for the whole of it.

A share is a number from 0 to 1; errors are one standard deviation; a state of charge is a share of the rated capacity, at
PERCENTILES of the simulated trips. A day belongs to the stop at which its night is spent.
"""

from __future__ import annotations

from dataclasses import dataclass

from model.plan import Plan
from model.working import Finding, Step, chain

PERCENTILES = (5, 25, 50, 75, 95)


@dataclass(frozen=True, slots=True)
class StopOdds:
    """One stop of the trip.

    `index`: its row in the design. `first`: its first day, counted from 0 on the trip; `arrives` and `leaves`: dates such as
    "7 Jan", the second the day after the last night. `nights`: as many as are stayed, until a later arrival at the next stop.
    `climate`: the place whose weather it has; `measured_years`: how many measured years its days were drawn from, 0 where they
    are synthetic. `bad_trips`: of the trips simulated, those with an empty day here.
    `empty_days`, `unmet_wh`, `locked_days` (charge refused for cold or heat): of the stay, on the average. `arrival`: when the
    drive is over; `departure` and `charge_by_day`: at the end of a day. `reserve`: charge at which the loads are cut off.
    """

    index: int
    name: str
    first: int
    arrives: str
    leaves: str
    nights: int
    climate: str
    measured_years: int
    sun_wh_per_day: float
    driving_wh_per_day: float
    shore_wh_per_day: float
    generator_wh_per_day: float
    use_wh_per_day: float
    chance_of_empty_day: float
    chance_error: float
    bad_trips: int
    empty_days: float
    empty_days_error: float
    unmet_wh: float
    locked_days: float
    reserve: float
    arrival: tuple[float, ...]
    departure: tuple[float, ...]
    chance_by_day: tuple[float, ...]  # that this day is empty
    charge_by_day: tuple[tuple[float, ...], ...]  # nights x PERCENTILES


@dataclass(frozen=True, slots=True)
class Cure:
    """The least of one kind of help with which the worst stop keeps the target; in the same weather as without it.

    `kind`: "array" (W more), "battery" (Ah more, of the battery's own voltage), "driving" (h, every third day of the stop),
    "shore" (nights), "off" (loads that can wait, by `loads`). `amount` None: not even `most` is enough. `chance`: with that
    amount, or with `most`. `what`: the help in a few words, "" where there is none to try; `words`: a sentence.
    """

    kind: str
    amount: float | None
    most: float
    unit: str
    chance: float
    words: str
    what: str = ""
    loads: tuple[str, ...] = ()


@dataclass(frozen=True)
class Trip:
    """The stops of `plan.design` through `years` trips in different weather, from a battery charged to `start_charge`.

    `dates`: of each day. `charge_by_hour`: PERCENTILES x (24 a day). `worst`: which of `stops` has the highest chance of an
    empty day, None where none has any. `first_day_at_risk`: day from 0. `chance_of_empty_day`: anywhere on the trip. `cures`: for
    the worst stop, where its chance is above `target`.
    """

    plan: Plan
    years: int
    seed: int
    start_charge: float
    target: float
    stops: tuple[StopOdds, ...]
    dates: tuple[str, ...]
    charge_by_hour: tuple[tuple[float, ...], ...]
    chance_of_empty_day: float
    chance_error: float
    worst: int | None
    first_day_at_risk: int | None
    cures: tuple[Cure, ...]
    steps: tuple[Step, ...]
    findings: tuple[Finding, ...]

    @property
    def worst_stop(self) -> StopOdds | None:
        return None if self.worst is None else self.stops[self.worst]

    def chain(self, key: str) -> tuple[Step, ...]:
        """The steps that lead to the figure `key`, the plan's among them."""
        return chain({**self.plan.working, **{step.key: step for step in self.steps}}, key)
