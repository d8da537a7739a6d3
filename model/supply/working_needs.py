"""The working of the array that is needed: by the sun alone, and for what other income leaves to it."""

from __future__ import annotations

from model import names
from model.calendar import month_name
from model.supply.table import MonthSupply, Supply, SupplyInput
from model.working import Step

STAGE = "supply"
SIZING_SOURCE = "IEEE 1562, from memory, to be checked: the array replaces use and losses of the average day"


def needs_steps(inputs: SupplyInput, answer: Supply) -> tuple[Step, ...]:
    """Arrays needed in the month looked at, in each month and in the worst; then all income and what is left for the sun."""
    return (*_needs(inputs, answer), *_rest(inputs, answer.month), *_coverage(inputs, answer))


def _needs(inputs: SupplyInput, answer: Supply) -> list[Step]:
    chosen, worst = answer.month, answer.worst
    rows = [
        (
            "supply.array_needed_w",
            f"{names.ARRAY_NEEDED.full} in {month_name(chosen.month)}",
            chosen.needed_w,
            _need(inputs, chosen.use_wh_per_day, chosen.yield_wh_per_w_day),
            ("demand.energy_wh_per_day", "supply.yield_wh_per_w_day", "storage.efficiency"),
        ),
        (
            "supply.array_needed_cautious_w",
            f"{names.ARRAY_NEEDED.full} in {month_name(chosen.month)}, cautious",
            chosen.needed_cautious_w,
            _need(inputs, chosen.use_wh_per_day, chosen.yield_cautious_wh_per_w_day),
            ("demand.energy_wh_per_day", "supply.yield_cautious_wh_per_w_day", "storage.efficiency"),
        ),
        *(
            (
                f"supply.array_needed_w.{each.month}",
                f"{names.ARRAY_NEEDED.full} in {month_name(each.month)}",
                each.needed_w,
                _need(inputs, each.use_wh_per_day, each.yield_wh_per_w_day),
                _month_uses(each),
            )
            for each in answer.months
        ),
        (
            "supply.array_needed_worst_w",
            f"{names.ARRAY_NEEDED.full} in the worst month, {month_name(worst.month)}",
            worst.needed_w,
            "the largest of the months on the road",
            (f"supply.array_needed_w.{worst.month}",),
        ),
        (
            "supply.array_needed_worst_cautious_w",
            f"{names.ARRAY_NEEDED.full} in the worst month, {month_name(worst.month)}, cautious",
            worst.needed_cautious_w,
            _need(inputs, worst.use_wh_per_day, worst.yield_cautious_wh_per_w_day),
            _month_uses(worst),
        ),
    ]
    return [
        Step(key, STAGE, label, formula, value, "W", SIZING_SOURCE, uses) for key, label, value, formula, uses in rows
    ]


def _coverage(inputs: SupplyInput, answer: Supply) -> list[Step]:
    """What share of the month's use all income covers, once through the battery."""
    if answer.coverage_with_other is None:
        return []
    month, efficiency = answer.month, inputs.battery_efficiency
    return [
        Step(
            "supply.coverage",
            STAGE,
            f"{names.COVERAGE.full}, {month_name(month.month)}, of the use",
            f"(sun {month.harvest_wh_per_day:.5g} Wh + other {month.other_income_wh_per_day:.5g} Wh) x {efficiency:g} battery"
            f" / {month.use_wh_per_day:.5g} Wh",
            100 * answer.coverage_with_other,
            "%",
            "energy balance of the average day; all of it is taken to pass through the battery, the cautious case",
            ("supply.income_wh_per_day", "storage.efficiency", "demand.energy_wh_per_day"),
        )
    ]


def _rest(inputs: SupplyInput, month: MonthSupply) -> list[Step]:
    """What other income leaves to the sun, and all income together, in the month looked at."""
    name, other, left = month_name(month.month), month.other_income_wh_per_day, month.left_for_sun_wh_per_day
    income = "supply.other_income_wh_per_day"
    found = [
        Step(
            "supply.income_wh_per_day",
            STAGE,
            f"{names.INCOME.full} a day in {name}",
            f"sun {month.harvest_wh_per_day:.5g} Wh + other {other:.5g} Wh",
            month.harvest_wh_per_day + other,
            "Wh",
            "sum, at the battery's terminals",
            ("supply.harvest_wh_per_day", income),
        ),
        Step(
            "supply.left_for_sun_wh_per_day",
            STAGE,
            f"{names.LEFT_FOR_SUN.full} a day in {name}",
            f"{month.use_wh_per_day:.5g} Wh - {other:.5g} Wh x {inputs.battery_efficiency:g} battery, at least 0",
            left,
            "Wh",
            "use less what the battery gives back of the other income",
            ("demand.energy_wh_per_day", income, "storage.efficiency"),
        ),
    ]
    for key, label, value, per_watt, used in (
        ("supply.array_needed_for_rest_w", "", month.needed_for_rest_w, month.yield_wh_per_w_day, "yield"),
        (
            "supply.array_needed_for_rest_cautious_w",
            ", cautious",
            month.needed_for_rest_cautious_w,
            month.yield_cautious_wh_per_w_day,
            "yield_cautious",
        ),
    ):
        found.append(
            Step(
                key,
                STAGE,
                f"{names.ARRAY_NEEDED_FOR_REST.full} in {name}{label}",
                _need(inputs, left, per_watt),
                value,
                "W",
                SIZING_SOURCE,
                ("supply.left_for_sun_wh_per_day", f"supply.{used}_wh_per_w_day", "storage.efficiency"),
            )
        )
    return found


def _need(inputs: SupplyInput, use_wh: float, per_watt: float) -> str:
    return (
        f"{use_wh:.0f} Wh / ({per_watt:.3g} Wh/W x {inputs.controller.efficiency:g} controller"
        f" x {inputs.battery_efficiency:g} battery)"
    )


def _month_uses(month: MonthSupply) -> tuple[str, ...]:
    return (
        f"demand.energy_wh_per_day.{month.month}",
        f"supply.yield_wh_per_w_day.{month.month}",
        "storage.efficiency",
    )
