"""Where each stop of a trip lies in the year, and what is odd about the dates as entered."""

from __future__ import annotations

from dataclasses import dataclass

from model.calendar import SHORT_MONTHS, day_and_month, day_of_year
from model.design import Design, Stop
from model.working import Finding

DAYS_PER_YEAR = 365
MOST_DAYS = 366


@dataclass(frozen=True, slots=True)
class Leg:
    """A stop on the calendar. `first`: its first day, from 0 on the trip; `nights`: as many as are stayed; `name`: for people."""

    index: int
    stop: Stop
    name: str
    first: int
    nights: int


@dataclass(frozen=True, slots=True)
class Calendar:
    """The days of a trip. `start`: day of the year, 0 to 364, of its first day. A year has 365 days."""

    start: int
    legs: tuple[Leg, ...]
    findings: tuple[Finding, ...]

    @property
    def days(self) -> int:
        return sum(leg.nights for leg in self.legs)

    def date(self, day: int) -> str:
        """Date of a day of the trip: "7 Jan"."""
        return day_and_month((self.start + day) % DAYS_PER_YEAR + 1)


def calendar_of(design: Design) -> Calendar:
    """The stops of `design` one after another, as far as they fit into `MOST_DAYS` days.

    The first begins on its arrival, or with the month looked at. A stop without arrival follows the one before. An arrival
    after that leaves the van where it was; one before it is impossible, and the order is kept.
    """
    if not design.stops:
        return Calendar(0, (), ())
    begins = design.stops[0].arrival or f"1 {SHORT_MONTHS[design.month - 1]}"
    start, year = day_of_year(begins) - 1, _year(begins)
    legs: list[Leg] = []
    found: list[Finding] = []
    day = 0
    for index, stop in enumerate(design.stops):
        name = stop.name or f"stop {index + 1}"
        wait = _days_until(stop.arrival, start + day, year) if index else 0
        if wait > 0:
            before = legs[-1]
            legs[-1] = Leg(before.index, before.stop, before.name, before.first, before.nights + wait)
            found.append(_stays_on(index, name, stop.arrival, before.name, wait))
            day += wait
        elif wait < 0:
            found.append(
                _too_early(index, name, stop.arrival, legs[-1].name, day_and_month((start + day) % DAYS_PER_YEAR + 1))
            )
        nights = max(1, round(stop.nights))
        legs.append(Leg(index, stop, name, day, nights))
        day += nights
    kept = tuple(
        Leg(leg.index, leg.stop, leg.name, leg.first, min(leg.nights, MOST_DAYS - leg.first))
        for leg in legs
        if leg.first < MOST_DAYS
    )
    if day > MOST_DAYS:
        found.append(_too_long(kept[-1], day))
    return Calendar(start, kept, tuple(found))


def _days_until(arrival: str | None, day: int, first_year: int | None) -> int:
    """Days from `day`, counted from the first of January of the trip's first year, to an arrival; 0 without one.

    Where the first year or that of the arrival is not known, the date next to `day` is meant.
    """
    if arrival is None:
        return 0
    year, of_year = _year(arrival), day_of_year(arrival) - 1
    if year is not None and first_year is not None:
        return (year - first_year) * DAYS_PER_YEAR + of_year - day
    return (of_year - day + DAYS_PER_YEAR // 2) % DAYS_PER_YEAR - DAYS_PER_YEAR // 2


def _year(date: str) -> int | None:
    return int(date[:4]) if date[4:5] == "-" else None


def _stays_on(index: int, name: str, arrival: str | None, before: str, nights: int) -> Finding:
    return Finding(
        "note",
        f"stops/{index}/arrival",
        f"{name} is reached on {arrival} only: the van is taken to stay {_nights(nights)} more at {before}.",
        "Add the stop between, or arrive earlier.",
    )


def _too_early(index: int, name: str, arrival: str | None, before: str, date: str) -> Finding:
    return Finding(
        "warning",
        f"stops/{index}/arrival",
        f"{name} cannot be reached on {arrival}: the last night at {before} ends on {date}, which is taken as the arrival.",
        "Stay fewer nights before, or arrive later; stops follow one another in the order of the list.",
    )


def _too_long(last: Leg, days: int) -> Finding:
    return Finding(
        "warning",
        f"stops/{last.index}/nights",
        f"The stops take {days} days: only the first {MOST_DAYS} are simulated, to the end of {last.name}.",
        f"Plan at most {MOST_DAYS} days at a time.",
    )


def _nights(count: int) -> str:
    return f"{count} night{'' if count == 1 else 's'}"
