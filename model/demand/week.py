"""What the kinds of day do to the figures: the mean of a week, its heaviest kind, and the days of a week in a row."""

from __future__ import annotations

from dataclasses import fields

from model.demand.kinds import day_name, names_in, unknown_names
from model.demand.table import Demand, DemandInput, KindDemand, MonthDemand
from model.working import Finding, Step

LARGEST = frozenset(("peak_w", "surge_w", "ac_peak_w", "ac_surge_w"))
BY_HOUR = frozenset(("profile_w", "deferrable_w"))
HEAVIER = 1.01  # times the mean, from which on the heaviest kind of day is worth a word; common practice, no source


def mean_day(days: list[tuple[float, MonthDemand]]) -> MonthDemand:
    """The mean of (weight, day of that kind in one month), weights summing to 1; of peaks the largest that occurs."""
    if len(days) == 1:
        return days[0][1]
    found: dict[str, object] = {"month": days[0][1].month}
    for name in (one.name for one in fields(MonthDemand) if one.name not in found):
        values = [(weight, getattr(day, name)) for weight, day in days]
        if name in LARGEST:
            found[name] = max(value for weight, value in values if weight > 0)
        elif name in BY_HOUR:
            found[name] = tuple(sum(weight * value[hour] for weight, value in values) for hour in range(24))
        else:
            found[name] = sum(weight * value for weight, value in values)
    return MonthDemand(**found)  # type: ignore[arg-type]  # names and types are those of its fields


def heaviest_first(kinds: tuple[KindDemand, ...], month: int) -> tuple[KindDemand, ...]:
    """The kinds of day that occur, the one that takes most in `month` first."""
    occurring = (kind for kind in kinds if kind.kind.days_per_week > 0)
    return tuple(sorted(occurring, key=lambda kind: -kind.months[month - 1].energy_wh_per_day))


def governing(found: Demand, month: int) -> KindDemand | None:
    """The kind of day that takes most in `month`; None without kinds, or where the mean day takes about as much."""
    heaviest = heaviest_first(found.kinds, month)[0] if found.kinds else None
    if heaviest is None:
        return None
    mean = found.months[month - 1].energy_wh_per_day
    return heaviest if heaviest.months[month - 1].energy_wh_per_day > HEAVIER * mean else None


def days_of_week(kinds: tuple[KindDemand, ...], month: int) -> tuple[tuple[tuple[float, MonthDemand], ...], ...]:
    """Seven days as parts (share, day): the heaviest kind's days in a row, then the next kind's, to the end of the week.

    In a row is the cautious order: that is how a week empties a battery most. A kind of two and a half days shares the third
    with the kind that follows.
    """
    week: list[tuple[tuple[float, MonthDemand], ...]] = []
    ends, begin = [], 0.0
    for kind in heaviest_first(kinds, month):
        ends.append((begin, begin + kind.kind.days_per_week, kind.months[month - 1]))
        begin += kind.kind.days_per_week
    for day in range(7):
        parts = ((min(end, day + 1.0) - max(start, float(day)), one) for start, end, one in ends)
        week.append(tuple((share, one) for share, one in parts if share > 0))
    return tuple(week)


def kind_steps(inputs: DemandInput, kinds: tuple[KindDemand, ...]) -> list[Step]:
    """Use on each kind of day in the month looked at."""
    return [
        Step(
            f"demand.kind.{index}.energy_wh_per_day",
            "demand",
            f"Use on a day of kind “{one.kind.name}”",
            f"{sum(one.kind.runs)} of {len(inputs.loads)} rows run on it; {one.kind.how_often}",
            one.months[inputs.month - 1].energy_wh_per_day,
            "Wh",
            "IEEE 1013, 5.2 (load data); energy = power x time",
        )
        for index, one in enumerate(kinds)
    ]


def kind_findings(inputs: DemandInput, found: Demand) -> list[Finding]:
    """What is the matter with the kinds of day, and which of them governs."""
    return [*_unknown(inputs), *_misnamed(inputs), *_too_many(inputs), *_governs(inputs, found)]


def _unknown(inputs: DemandInput) -> list[Finding]:
    there = ", ".join(day_name(index, day) for index, day in enumerate(inputs.days)) or "none yet"
    said = []
    for index, load in enumerate(inputs.loads):
        unknown = unknown_names(load, inputs.days)
        if not unknown or not load.on:
            continue
        left = len(unknown) < len(names_in(load.days))
        counted = "the other kinds that it names count" if left else "it counts on every day"
        said.append(
            Finding(
                "warning",
                f"loads/{index}/days",
                f"{load.name or f'row {index + 1}'} names “{', '.join(unknown)}”, which is no kind of day here: {counted}.",
                f"Kinds of day that there are: {there}.",
            )
        )
    return said


def _misnamed(inputs: DemandInput) -> list[Finding]:
    return [
        Finding(
            "warning",
            f"days/{index}/name",
            "A kind of day without a name, or with a comma in it, cannot be named by a load.",
            "Give it a short name, such as work day.",
        )
        for index, day in enumerate(inputs.days)
        if not day.name.strip() or "," in day.name
    ]


def _too_many(inputs: DemandInput) -> list[Finding]:
    claimed = sum(day.days_per_week for day in inputs.days)
    if claimed <= 7 * (1 + 1e-9):
        return []
    return [
        Finding(
            "warning",
            f"days/{len(inputs.days) - 1}/days_per_week",
            f"The kinds of day add up to {claimed:g} days a week: they are shrunk to seven in proportion.",
            "Type fewer days a week; what is left of seven counts as other days.",
        )
    ]


def _governs(inputs: DemandInput, found: Demand) -> list[Finding]:
    heaviest = governing(found, inputs.month)
    if heaviest is None:
        return []
    energy, mean = heaviest.months[inputs.month - 1].energy_wh_per_day, found.month.energy_wh_per_day
    index = found.kinds.index(heaviest)
    return [
        Finding(
            "note",
            f"days/{index}/name" if index < len(inputs.days) else "days",
            f"The kind of day “{heaviest.kind.name}” governs: {energy:.0f} Wh against {mean:.0f} Wh on the average day.",
            "The days of autonomy are counted heaviest kind first; what can wait may move to lighter days.",
        )
    ]
