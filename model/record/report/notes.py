"""What stands behind the figures: the working of each, the cautions, what they leave out, whose data they use."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

from model.record.report.document import Block, Column, Listing, Paragraph, Section, Span, Table, text
from model.record.words import (
    ASSUMPTIONS,
    ATTRIBUTION,
    CAUTIONS,
    CHECKED,
    NOT_CHECKED,
    ODDS_LEAVE_OUT,
    PLAN_LEAVES_OUT,
    SUN_LEAVES_OUT,
)
from model.working import Step

if TYPE_CHECKING:
    from model.plan import Plan
    from model.trip import Trip
    from model.year import Year

STAGES = {"demand": "use", "supply": "sun and other income", "storage": "battery", "wiring": "wiring"}


def working(plan: Plan, year: Year | None, trip: Trip | None) -> Section:
    """The working of every figure, a table for each stage."""
    steps = (*plan.steps, *(year.steps if year is not None else ()), *(trip.steps if trip is not None else ()))
    order = list(STAGES)
    numbered = sorted(
        enumerate(steps), key=lambda pair: order.index(pair[1].stage) if pair[1].stage in STAGES else len(order)
    )
    sections = tuple(
        Section(
            f"Working of the {STAGES.get(stage, stage)}",
            f"working-{number}",
            (_steps(STAGES.get(stage, stage), list(group)),),
            fold=True,
        )
        for number, (stage, group) in enumerate(groupby(numbered, key=lambda pair: pair[1].stage), 1)
    )
    said = Paragraph(text("Each line is a figure: how it was made, with its numbers, and on whose word."))
    return Section("The working of every figure", "working", (said,), sections, fresh_page=True)


def _steps(stage: str, numbered: list[tuple[int, Step]]) -> Table:
    columns = (Column("Figure"), Column("Value", True), Column("Unit"), Column("How it was made"), Column("Source"))
    rows = tuple(
        (
            text(step.label),
            (Span(value_text(step.value), f"steps.{index}.value", step.value),),
            text(step.unit),
            text(step.formula),
            text(step.source),
        )
        for index, step in numbered
    )
    return Table(f"{stage.capitalize()}: {len(rows)} figures", columns, rows)


def value_text(value: float | str) -> str:
    """The value with every digit that means something."""
    return value if isinstance(value, str) else f"{value:.6g}"


def about(plan: Plan) -> Section:
    """Cautions, assumptions, what is left out, and the data's attribution."""
    built_in = plan.climate is not None and plan.design.weather is None
    sections = (
        Section("Cautions", "cautions", (_list(CAUTIONS),)),
        Section("What was checked", "checked", (Paragraph(text(_checks(plan))), _list(CHECKED))),
        Section("Not checked", "not-checked", (_list(NOT_CHECKED),)),
        Section("What the figures rest on", "assumptions", (_list((*ASSUMPTIONS, *_climate(plan))),)),
        Section(
            "What the figures leave out", "left-out", (_list((*SUN_LEAVES_OUT, *ODDS_LEAVE_OUT, *PLAN_LEAVES_OUT)),)
        ),
        Section("Whose data these are", "data", (_list(ATTRIBUTION if built_in else ATTRIBUTION[1:]),)),
    )
    return Section("What to keep in mind", "keep-in-mind", (), sections, fresh_page=True)


def _checks(plan: Plan) -> str:
    if any(one.severity != "note" for one in plan.findings):
        return "The design was held against the checks listed here; what they found stands on the first page."
    return "The design meets the checks listed here."


def _climate(plan: Plan) -> tuple[str, ...]:
    climate = plan.climate
    if climate is None:
        return ()
    return (
        f"Climate: {climate.label}; irradiation: {climate.source}; days: {climate.spread_source};"
        f" temperature: {climate.temperature_source}.",
    )


def _list(sentences: tuple[str, ...]) -> Block:
    return Listing(tuple(text(sentence) for sentence in sentences))
