"""The other income of a design, month by month: which sources are in use and what they bring."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from model.design import Alternator, Generator, Shore
from model.supply import other_income as formulas
from model.supply.module_yield import charging_v
from model.supply.other_income_findings import findings
from model.supply.other_income_table import IncomeInput, OtherIncome, Source
from model.supply.other_income_working import steps

EVERY_DAY = 7.0  # driving and generator hours are taken as spread over the days of the week


@lru_cache(maxsize=64)
def other_income(inputs: IncomeInput) -> OtherIncome:
    """What comes in besides the sun, with its working and what a careful friend says of it; all zero where nothing is set."""
    sources = tuple(source for source in _sources(inputs) if source.hours_per_week > 0)
    sums = tuple(sum(source.wh_per_day[month] for source in sources) for month in range(12))
    answer = OtherIncome(sources, sums, (), ())
    return replace(answer, steps=steps(inputs, answer), findings=findings(inputs, answer))


def hours_per_week(car: Alternator, shore: Shore, generator: Generator) -> tuple[float, float, float]:
    """How long each charges; 0 for one that is not fitted or has no current."""
    return (
        car.driving_hours_per_week if car.fitted and car.charger_a > 0 else 0.0,
        shore.nights_per_week * shore.hours_per_night if shore.charger_a > 0 else 0.0,
        generator.hours_per_week if generator.charger_a > 0 else 0.0,
    )


def chargers_a(car: Alternator, shore: Shore, generator: Generator) -> float:
    """Current of the chargers in use, all at once."""
    currents = car.charger_a, shore.charger_a, generator.charger_a
    hours = hours_per_week(car, shore, generator)
    return sum(amps for amps, used_h in zip(currents, hours, strict=True) if used_h > 0)


def _sources(inputs: IncomeInput) -> tuple[Source, ...]:
    car, shore, generator = inputs.alternator, inputs.shore, inputs.generator
    driving_h, shore_h, generator_h = hours_per_week(car, shore, generator)
    return (
        _source(inputs, "alternator", "driving", driving_h, car.charger_a, EVERY_DAY, inputs.link_share),
        _source(inputs, "shore", "shore power", shore_h, shore.charger_a, shore.nights_per_week),
        _source(inputs, "generator", "generator", generator_h, generator.charger_a, EVERY_DAY),
    )


def _source(
    inputs: IncomeInput, key: str, name: str, hours: float, charger_a: float, fillings: float, link: float = 1.0
) -> Source:
    current_a = min(charger_a, inputs.charge_limit_a)
    share = link * (formulas.LEAD_ACCEPTANCE if inputs.lead else 1.0)
    volts = charging_v(inputs.system_v)
    months = []
    for month, use in enumerate(inputs.use_wh_per_day, 1):
        room = formulas.room_wh_per_week(inputs.usable_wh, fillings, use, hours, inputs.battery_efficiency)
        wh = formulas.charged_wh_per_day(hours, current_a, volts, share, room)
        months.append(wh if inputs.takes_charge(month) else 0.0)
    return Source(
        key=key,
        name=name,
        hours_per_week=hours,
        charger_a=charger_a,
        current_a=current_a,
        share=share,
        fillings=fillings,
        without_limits_wh_per_day=hours * current_a * volts * share / formulas.DAYS_PER_WEEK,
        wh_per_day=tuple(months),
    )
