"""A log of real days against the plan: use and income month by month, how sure the difference is, and what would mend the plan.

In a log, "in" is what charge controllers and chargers delivered and "out" what the loads took, each over a whole day. A battery
that is full refuses income: what comes in then says nothing of the sun. So income is judged only where on most days the battery
had room, at its emptiest, for more than came in.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import sqrt

from model.calendar import month_name
from model.plan import Plan
from model.quantities import percent

SURE = 2.0  # standard errors from which on a difference is taken for one; 19 in 20 for normal errors
FEWEST = 7  # days from which on a log says anything; common practice, no source
MOSTLY = 2 / 3  # of the days with a known lowest charge that must have had room; common practice, no source
WEATHER_LAG_1 = 0.4
"""Correlation of a day's sun with the day before: 35 measured series of 4 to 53 years, 0.40 (sd 0.12)."""
USE_LAG_1 = 0.2  # of what people use; common practice, no source
MOST_SHADE = 0.9


@dataclass(frozen=True, slots=True)
class LogDay:
    """One day as it was logged; None where the log has nothing. `lowest`: charge at the day's emptiest, 0 to 1."""

    year: int
    month: int
    day: int
    income_wh: float | None = None
    used_wh: float | None = None
    lowest: float | None = None


@dataclass(frozen=True, slots=True)
class Compared:
    """Means a day over `days`; `error`: standard error of the measured mean, None for a single day."""

    days: int
    measured_wh: float
    planned_wh: float
    error_wh: float | None

    @property
    def residual_wh(self) -> float:
        return self.measured_wh - self.planned_wh

    @property
    def sure(self) -> bool:
        """Whether the difference is more than chance makes."""
        return self.error_wh is not None and self.days >= FEWEST and abs(self.residual_wh) > SURE * self.error_wh


@dataclass(frozen=True, slots=True)
class MonthLogged:
    """One month of the year, all logged years together. `room_days` of `known_days` had room in the battery all day."""

    month: int
    days: int
    use: Compared | None
    income: Compared | None
    known_days: int
    room_days: int
    lowest: float | None

    @property
    def income_counts(self) -> bool:
        """Whether income shows what the sun gave, not what the battery took."""
        return self.known_days > 0 and self.room_days >= MOSTLY * self.known_days


@dataclass(frozen=True, slots=True)
class Correction:
    """What to multiply a planned figure by to get the measured one, with the factor's standard error."""

    what: str  # "use" or "sun"
    factor: float
    error: float
    advice: str


@dataclass(frozen=True, slots=True)
class Logged:
    days: int
    months: tuple[MonthLogged, ...]
    corrections: tuple[Correction, ...]


def compare(plan: Plan, days: Iterable[LogDay]) -> Logged:
    """The log against the plan, the months in which there are days. Raises ValueError for a log without a day."""
    logged = tuple(days)
    if not logged:
        raise ValueError("the log holds no day")
    by_month = {
        number: [day for day in logged if day.month == number]
        for number in range(1, 13)
        if any(day.month == number for day in logged)
    }
    months = tuple(_month(plan, number, those) for number, those in by_month.items())
    found = (_use_correction(months), _sun_correction(plan, months))
    return Logged(len(logged), months, tuple(one for one in found if one is not None))


def mean_error(values: Sequence[float], lag_1: float) -> float | None:
    """Standard error of the mean of days that remember the day before: s / sqrt(n (1 - r) / (1 + r)); None for one value.

    Source: effective number of values of a first-order autoregression (Wilks, Statistical Methods in the Atmospheric Sciences,
    from memory).
    """
    if len(values) < 2:
        return None
    mean = sum(values) / len(values)
    variance = sum((value - mean) ** 2 for value in values) / (len(values) - 1)
    return sqrt(variance / len(values) * (1 + lag_1) / (1 - lag_1))


def _month(plan: Plan, number: int, days: list[LogDay]) -> MonthLogged:
    used = [day.used_wh for day in days if day.used_wh is not None]
    income = [day.income_wh for day in days if day.income_wh is not None]
    known = [day for day in days if day.lowest is not None and day.income_wh is not None]
    full_wh = plan.storage.chosen.installed_wh
    room = [day for day in known if (1 - (day.lowest or 0.0)) * full_wh > (day.income_wh or 0.0)]
    lowest = [day.lowest for day in days if day.lowest is not None]
    planned = planned_income_wh(plan, number)
    return MonthLogged(
        month=number,
        days=len(days),
        use=_compared(used, plan.demand.months[number - 1].energy_wh_per_day, USE_LAG_1),
        income=_compared(income, planned, WEATHER_LAG_1) if planned is not None else None,
        known_days=len(known),
        room_days=len(room),
        lowest=min(lowest, default=None),
    )


def planned_income_wh(plan: Plan, month: int) -> float | None:
    """What sun and other income bring on a mean day of a month by the plan; None where the place has no climate."""
    if plan.supply is None:
        return None
    planned = plan.supply.months[month - 1]
    return planned.harvest_wh_per_day + planned.other_income_wh_per_day


def _compared(values: list[float], planned_wh: float, lag_1: float) -> Compared | None:
    if not values:
        return None
    return Compared(len(values), sum(values) / len(values), planned_wh, mean_error(values, lag_1))


def _factor(pairs: list[Compared], apart_wh: Sequence[float]) -> tuple[float, float] | None:
    """Measured over planned, all months together by their days, and its error; `apart_wh` of each month is no part of it."""
    known = [(one, apart) for one, apart in zip(pairs, apart_wh, strict=True) if one.error_wh is not None]
    planned = sum(one.days * (one.planned_wh - apart) for one, apart in known)
    if planned <= 0 or sum(one.days for one, _ in known) < FEWEST:
        return None
    measured = sum(one.days * (one.measured_wh - apart) for one, apart in known)
    error = sqrt(sum((one.days * (one.error_wh or 0.0)) ** 2 for one, _ in known))
    return max(0.0, measured) / planned, error / planned


def _use_correction(months: tuple[MonthLogged, ...]) -> Correction | None:
    pairs = [month.use for month in months if month.use is not None]
    found = _factor(pairs, [0.0] * len(pairs))
    if found is None or abs(found[0] - 1) <= SURE * found[1]:
        return None
    factor, error = found
    advice = f"Multiply the hours or powers of the loads by {factor:.2f}, or measure the largest of them for a day."
    return Correction("use", factor, error, advice)


def _sun_correction(plan: Plan, months: tuple[MonthLogged, ...]) -> Correction | None:
    """Only from months in which the battery took what came; driving, shore and generator are taken to be as planned."""
    if plan.supply is None:
        return None
    counted = [(month.month, month.income) for month in months if month.income is not None and month.income_counts]
    pairs = [income for _, income in counted]
    found = _factor(pairs, [plan.supply.months[number - 1].other_income_wh_per_day for number, _ in counted])
    if found is None or abs(found[0] - 1) <= SURE * found[1]:
        return None
    factor, error = found
    shading = plan.design.array.shading
    shade = 1 - (1 - shading) * factor
    if 0 <= shade <= MOST_SHADE:
        advice = (
            f"Set the loss by shade from {percent(shading)} to {percent(shade)}, dirt included: it then fits the log."
        )
    elif shade < 0:
        advice = (
            "Even without shade the plan gives less: a brighter spell than usual, or a sunnier place; keep the plan."
        )
    else:
        advice = (
            "Hardly anything came in: look for a fault, deep shade or a tripped controller before you change the plan."
        )
    return Correction("sun", factor, error, advice)


def in_words(found: Logged) -> tuple[str, ...]:
    """Month by month and then what would mend the plan, a sentence each."""
    return (*(line for month in found.months for line in month_in_words(month)), *what_follows(found))


def what_follows(found: Logged) -> tuple[str, ...]:
    """What would mend the plan, a sentence each, or that nothing asks for it."""
    if not found.corrections:
        return ("Nothing that the log shows for sure asks for another plan.",)
    return tuple(
        f"{'Use' if one.what == 'use' else 'Sun'}, all months together: {one.factor:.2f} (± {one.error:.2f}) times the plan."
        f" {one.advice}"
        for one in found.corrections
    )


def month_in_words(month: MonthLogged) -> list[str]:
    """What was used, what came in, the lowest charge, a sentence each."""
    said = []
    if month.use is not None:
        said.append(f"{_counted(month.use.days, month.month)}: used {_against(month.use)}.")
    if month.income is not None:
        line = f"{_counted(month.income.days, month.month)}: came in {_against(month.income)}."
        if not month.known_days:
            line += " The log has no lowest charge: a full battery may have refused some, so nothing follows from less."
        elif not month.income_counts:
            line += (
                f" On {month.room_days} of {month.known_days} days the battery had room for more: it was full too often"
                " to judge the sun."
            )
        said.append(line)
    if month.lowest is not None:
        said.append(f"Lowest charge in {month_name(month.month)}: {percent(month.lowest)}.")
    return said


def _counted(days: int, month: int) -> str:
    return f"{days} day{'' if days == 1 else 's'} of {month_name(month)}"


def _against(one: Compared) -> str:
    """ "1012 Wh a day, planned 1230: 18 % less (± 5 %)"."""
    figures = f"{one.measured_wh:.0f} Wh a day, planned {one.planned_wh:.0f}"
    if one.error_wh is None or one.days < FEWEST:
        return f"{figures}; less than a week says little"
    if one.planned_wh <= 0:
        return figures
    share, error = one.residual_wh / one.planned_wh, one.error_wh / one.planned_wh
    if not one.sure:
        return f"{figures}: no difference that so many days can show (± {percent(error)})"
    return f"{figures}: {percent(abs(share))} {'more' if share > 0 else 'less'} (± {percent(error)})"
