"""The first page: the answers, and what a careful friend says about them."""

from __future__ import annotations

from typing import TYPE_CHECKING

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
            text(f"Use a day in {name}"),
            (figure("demand.charge_ah_per_day", month.charge_ah_per_day, "charge"),),
            (figure("demand.energy_wh_per_day", month.energy_wh_per_day, "energy"),),
        ),
        (
            text("Largest power"),
            (figure("demand.peak_w", month.peak_w, "power"),),
            text(figure("demand.surge_w", month.surge_w, "power"), " for a moment, while something starts"),
        ),
    )


def _battery(plan: Plan) -> tuple[Row, ...]:
    chosen = plan.storage.chosen
    at = f"storage.options.{plan.storage.options.index(chosen)}"
    units = units_text(chosen.units_series, chosen.units_parallel, chosen.unit_v, chosen.unit_ah)
    return (
        (
            text("Battery, ", word("storage.chosen", chosen.chemistry)),
            (figure(f"{at}.installed_ah", chosen.installed_ah, "charge"),),
            text(
                f"{units}; needed: ",
                figure(f"{at}.capacity_needed_ah", chosen.capacity_needed_ah, "charge"),
                "; usable: ",
                figure(f"{at}.usable_wh", chosen.usable_wh, "energy"),
                "; ",
                figure(f"{at}.mass_kg", chosen.mass_kg, "mass"),
                *((f"; ruled out: {chosen.ruled_out}",) if chosen.ruled_out else ()),
            ),
        ),
        (
            text("Lasts without any sun"),
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
            text("Array"),
            (figure("supply.array_w", supply.array_w, "power"),),
            text(
                f"{supply.wiring.count} modules; ",
                counted("supply.modules_that_fit", len(supply.fit.modules)),
                " fit on the roof",
            ),
        ),
        (
            text(f"Sun a day in {month_name(month.month)}, at the battery"),
            (figure("supply.harvest_wh_per_day", month.harvest_wh_per_day, "energy"),),
            text(
                "other income: ",
                figure("supply.other_income_wh_per_day", month.other_income_wh_per_day, "energy"),
            ),
        ),
        _needed(text(f"Array that the sun alone needs in {month_name(month.month)}"), month, "array_needed"),
    ]
    if plan.income.sources:
        rows.append(
            (
                text(f"Array for what other income leaves in {month_name(month.month)}"),
                (figure("supply.array_needed_for_rest_w", month.needed_for_rest_w, "power"),),
                text(
                    figure("supply.array_needed_for_rest_cautious_w", month.needed_for_rest_cautious_w, "power"),
                    " cautious (nine years of ten)",
                ),
            )
        )
    weakest = text("Weakest month on the road: ", Span(month_name(worst.month), "supply.worst_month", worst.month))
    return (*rows, _needed(weakest, worst, "worst_month_array_needed"))


def _needed(head: Text, month: MonthSupply, key: str) -> Row:
    return (
        head,
        (figure(f"supply.{key}_w", month.needed_w, "power"),),
        text(figure(f"supply.{key}_cautious_w", month.needed_cautious_w, "power"), " cautious (nine years of ten)"),
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
        text(f"Chance that a day in {month_name(month.month)} is empty{words}"),
        (share(f"{at}.chance_of_empty_day", month.chance_of_empty_day, 1),),
        text(
            "± ",
            share(f"{at}.chance_error", month.chance_error, 1),
            "; ",
            counted(f"{at}.empty_days", month.empty_days, "days", digits=1),
            f" of that month, over {years_in_words(year)}",
        ),
    )


def _trip(trip: Trip | None) -> tuple[Row, ...]:
    if trip is None:
        return ()
    worst = trip.worst_stop
    return (
        (
            text("Chance that the battery is empty on the trip"),
            (share("trip.chance_of_empty_day", trip.chance_of_empty_day, 1),),
            text(
                "± ",
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
                    text(figure(f"wiring.circuits.{index}.current_a", current, "current"), " with all loads on"),
                )
            )
    worst = worst_circuit(plan.wiring)
    if worst is not None:
        index, place, _ = worst
        one = plan.wiring.circuits[index]
        at = f"wiring.circuits.{index}.points.{place}"
        rows.append(
            (
                text("Largest voltage drop from the battery"),
                (drop_span(at, place, one.wired, "%"),),
                text(f"at {one.wired.shape.points[place]} of {one.key}, {one.name}"),
            )
        )
    return tuple(rows)
