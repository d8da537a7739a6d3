"""The first page: the answers, and what a careful friend says about them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.calendar import month_name
from model.record.as_text import units_text
from model.record.report.cabling import drop_span, worst_circuit
from model.record.report.document import (
    Block,
    Column,
    Paragraph,
    Section,
    Span,
    Table,
    Text,
    counted,
    figure,
    rating,
    share,
    text,
    word,
)
from model.record.words import verdict, years_in_words
from model.wiring.wired import feed_current_a, first_fuse
from model.working import Finding, by_severity

if TYPE_CHECKING:
    from model.plan import Plan
    from model.supply.table import MonthSupply
    from model.trip import Trip
    from model.year import Year

Row = tuple[Text, ...]


def answers(plan: Plan, year: Year | None, trip: Trip | None) -> Section:
    """Use, battery, array, odds, the weak month, and the open findings."""
    further = tuple(finding for part in (year, trip) if part is not None for finding in part.findings)
    said = by_severity((*plan.findings, *further))
    rows = (*_use(plan), *_battery(plan), *_array(plan), *_odds(plan, year), *_trip(trip), *_wiring(plan))
    caption = f"In figures, for {month_name(plan.design.month)}"
    columns = (Column("What"), Column("Figure", number=True), Column("Beside it"))
    blocks: list[Block] = [
        Paragraph((Span(" · ".join(one.text for one in verdict(plan, further)) + ".", strong=True),)),
        Table(caption, columns, rows, large=True),
    ]
    if said:
        blocks.append(findings_table(said))
    else:
        blocks.append(Paragraph(text("No open findings: the design meets the checks listed.")))
    return Section("The answers", "answers", tuple(blocks))


def findings_table(said: tuple[Finding, ...]) -> Table:
    """Findings, dangers first, each with its way out."""
    rows = tuple(
        ((Span(one.severity, strong=one.severity == "danger"),), text(one.message), text(one.advice)) for one in said
    )
    return Table(
        "Open findings, dangers first, those of year and trip among them",
        (Column("How grave"), Column("What is the matter"), Column("A way out")),
        rows,
    )


def _use(plan: Plan) -> tuple[Row, ...]:
    month = plan.demand.month
    name = month_name(month.month)
    return (
        (
            text(f"{names.USE.full} a day in {name}"),
            (figure("demand.charge_ah_per_day", month.charge_ah_per_day, "charge"),),
            (figure("demand.energy_wh_per_day", month.energy_wh_per_day, "energy"),),
        ),
        (
            text(names.PEAK.full),
            (figure("demand.peak_w", month.peak_w, "power"),),
            text(
                f"{names.SURGE.small}: ", figure("demand.surge_w", month.surge_w, "power"), ", while something starts"
            ),
        ),
    )


def _battery(plan: Plan) -> tuple[Row, ...]:
    chosen = plan.storage.chosen
    at = f"storage.options.{plan.storage.options.index(chosen)}"
    units = units_text(chosen.units_series, chosen.units_parallel, chosen.unit_v, chosen.unit_ah)
    return (
        (
            text(f"{names.INSTALLED.full}, ", word("storage.chosen", chosen.chemistry)),
            (figure(f"{at}.installed_ah", chosen.installed_ah, "charge"),),
            text(
                f"{units}; {names.CAPACITY_NEEDED.short.lower()}: ",
                figure(f"{at}.capacity_needed_ah", chosen.capacity_needed_ah, "charge"),
                f"; {names.USABLE.small}: ",
                figure(f"{at}.usable_wh", chosen.usable_wh, "energy"),
                f"; {names.MASS.small}: ",
                figure(f"{at}.mass_kg", chosen.mass_kg, "mass"),
                *((f"; ruled out: {chosen.ruled_out}",) if chosen.ruled_out else ()),
            ),
        ),
        (
            text(f"{names.AUTONOMY.full}, without any income"),
            (counted("storage.autonomy_days", chosen.autonomy_days, "days", digits=1),),
            text(counted("storage.autonomy_days_asked", plan.design.battery.autonomy_days, "days", digits=1), " asked"),
        ),
    )


def _array(plan: Plan) -> tuple[Row, ...]:
    supply = plan.supply
    if supply is None:
        return ((text("Array"), text("-"), text("no climate data for this place: see the findings")),)
    month, worst = supply.month, supply.worst
    rows: list[Row] = [
        (
            text(names.ARRAY.full),
            (figure("supply.array_w", supply.array_w, "power"),),
            text(
                f"{supply.wiring.count} modules; ",
                f"{names.MODULES_FIT.small}: ",
                counted("supply.modules_that_fit", len(supply.fit.modules)),
            ),
        ),
        (
            text(f"{names.HARVEST.full} a day in {month_name(month.month)}"),
            (figure("supply.harvest_wh_per_day", month.harvest_wh_per_day, "energy"),),
            text(
                f"{names.OTHER_INCOME.small}: ",
                figure("supply.other_income_wh_per_day", month.other_income_wh_per_day, "energy"),
            ),
        ),
        _needed(text(f"{names.ARRAY_NEEDED.full} in {month_name(month.month)}, sun alone"), month, "array_needed"),
    ]
    if plan.income.sources:
        rows.append(
            (
                text(f"{names.ARRAY_NEEDED_FOR_REST.full} in {month_name(month.month)}"),
                (figure("supply.array_needed_for_rest_w", month.needed_for_rest_w, "power"),),
                text(
                    figure("supply.array_needed_for_rest_cautious_w", month.needed_for_rest_cautious_w, "power"),
                    " cautious (9 years of 10)",
                ),
            )
        )
    weakest = text(
        f"{names.ARRAY_NEEDED.full} in the {names.WORST_MONTH.small}, ",
        Span(month_name(worst.month), "supply.worst_month", worst.month),
    )
    return (*rows, _needed(weakest, worst, "worst_month_array_needed"))


def _needed(head: Text, month: MonthSupply, key: str) -> Row:
    return (
        head,
        (figure(f"supply.{key}_w", month.needed_w, "power"),),
        text(figure(f"supply.{key}_cautious_w", month.needed_cautious_w, "power"), " cautious (9 years of 10)"),
    )


def _odds(plan: Plan, year: Year | None) -> tuple[Row, ...]:
    if year is None:
        return ()
    months = year.odds.months
    looked_at = plan.design.month - 1
    worst = max(range(12), key=lambda index: months[index].chance_of_empty_day)
    rows = [_chance(year, looked_at, "")]
    if worst != looked_at:
        rows.append(_chance(year, worst, ", the worst month"))
    return tuple(rows)


def _chance(year: Year, index: int, words: str) -> Row:
    month, at = year.odds.months[index], f"storage.months.{index}"
    return (
        text(f"{names.CHANCE.full} in {month_name(month.month)}{words}"),
        (share(f"{at}.chance_of_empty_day", month.chance_of_empty_day, 1),),
        text(
            f"{names.CHANCE_ERROR.small} ± ",
            share(f"{at}.chance_error", month.chance_error, 1),
            f"; {names.EMPTY_DAYS.small} of that month: ",
            counted(f"{at}.empty_days", month.empty_days, digits=1),
            f", over {years_in_words(year)}",
        ),
    )


def _trip(trip: Trip | None) -> tuple[Row, ...]:
    if trip is None:
        return ()
    worst = trip.worst_stop
    return (
        (
            text(f"{names.CHANCE.full} on the trip"),
            (share("trip.chance_of_empty_day", trip.chance_of_empty_day, 1),),
            text(
                f"{names.CHANCE_ERROR.small} ± ",
                share("trip.chance_error", trip.chance_error, 1),
                *(("; worst stop: ", word("trip.worst_stop", worst.name)) if worst is not None else ()),
            ),
        ),
    )


def _wiring(plan: Plan) -> tuple[Row, ...]:
    """The main fuse, and the load circuit that loses most on the way."""
    rows: list[Row] = []
    for index, one in enumerate(plan.wiring.circuits):
        fuse = first_fuse(one.wired)
        if one.entered.kind == "main" and fuse is not None:
            current = feed_current_a(one.wired, one.wired.running)
            rows.append(
                (
                    text("Main fuse"),
                    (rating(f"wiring.circuits.{index}.fuse_a", fuse.rating_a, "A"),),
                    text(
                        f"{names.CURRENT.small}: ",
                        figure(f"wiring.circuits.{index}.current_a", current, "current"),
                        ", all loads on",
                    ),
                )
            )
    worst = worst_circuit(plan.wiring)
    if worst is not None:
        index, place, _ = worst
        one = plan.wiring.circuits[index]
        at = f"wiring.circuits.{index}.points.{place}"
        rows.append(
            (
                text(f"{names.LARGEST_DROP.full} from the battery"),
                (drop_span(at, place, one.wired, "%"),),
                text(f"at {one.wired.shape.points[place]} of {one.key}, {one.name}"),
            )
        )
    return tuple(rows)
