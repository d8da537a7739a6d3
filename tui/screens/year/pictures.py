"""What the pictures of the year show: the income of a plan, and two weeks of a simulated year."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from model import names
from model.calendar import MONTHS, month_name
from tui.display import percent
from tui.widgets.fan_chart import Fan
from tui.widgets.year_chart import Year as YearOfChart

if TYPE_CHECKING:
    from model.plan import Plan
    from model.year import Year

NO_CLIMATE = "No climate data for this place"


def week_of(found: Year | None, which: str) -> Fan:
    """The "darkest" or "typical" week of the month looked at; what it says stands in its title."""
    if found is None:
        return Fan(title=NO_CLIMATE)
    week = found.month.darkest_week if which == "darkest" else found.month.typical_week
    empty = 1 - found.plan.storage.chosen.depth_of_discharge
    return Fan(
        week, empty, week_title(week, empty, f"{which.capitalize()} week of {month_name(found.plan.design.month)}")
    )


def week_title(week: Sequence[Sequence[float]], empty: float, name: str) -> str:
    """What a week of percentiles says: how full the battery still is in the middle of the years, and in the bad tenth."""
    middle, bad = min(week[2]), min(week[0])
    if middle <= empty + 0.005:
        return f"{name}: half of all years run empty"
    if bad <= empty + 0.005:
        return f"{name}: 1 year in 10 runs empty"
    return f"{name}: 9 years of 10 stay above {percent(bad)}; empty is {percent(empty)}"


def income_of(plan: Plan) -> YearOfChart:
    """What comes in, month by month, against what is used."""
    supply = plan.supply
    if supply is None:
        return YearOfChart((), title=NO_CLIMATE)
    income = [one.harvest_wh_per_day + one.other_income_wh_per_day for one in supply.months]
    cautious = [one.harvest_cautious_wh_per_day + one.other_income_wh_per_day for one in supply.months]
    besides = [(one.name, one.wh_per_day) for one in plan.income.sources if any(one.wh_per_day)]
    short = [MONTHS[i] for i, one in enumerate(supply.months) if income[i] < one.use_wh_per_day]
    title = "Income meets use in every month" if not short else f"Income falls short in {_listed(short)}"
    return YearOfChart(
        typical=income,
        low=cautious,
        high=[2 * typical - bad for typical, bad in zip(income, cautious, strict=True)],
        use=[one.use_wh_per_day for one in supply.months],
        besides=besides,
        unit="Wh a day",
        chosen=plan.design.month,
        title=title,
        typical_word=names.HARVEST.small,
        band_word="cautious to bright",
    )


def _listed(names: list[str]) -> str:
    if len(names) > 4:
        return f"{len(names)} months"
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
