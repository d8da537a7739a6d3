"""The tables of a plan as pandas DataFrames. Columns are called as in `plan --json`, with the unit in the name."""

from __future__ import annotations

from collections.abc import Sequence
from math import nan
from typing import TYPE_CHECKING

from model.record.tables import TABLES, heading, value_of

if TYPE_CHECKING:
    from pandas import DataFrame

    from model.plan import Plan
    from model.wiring.papers import Column
    from model.wiring.papers.paper import Value
    from model.year import Year


def frame(name: str, plan: Plan, year: Year | None = None) -> DataFrame:
    """The table of that name (`model.record.tables.TABLES`), one row for each of its own. Raises KeyError for an unknown name."""
    from pandas import DataFrame

    table = TABLES[name]
    rows = table.rows(plan, year)
    return DataFrame({heading(column): _values(column, rows) for column in table.columns})


def _values(column: Column, rows: Sequence[object]) -> list[Value | float]:
    """What is not there is not a number in a column with a unit, which so stays one of numbers even where all are missing."""
    missing = nan if column.unit else None
    return [missing if (value := value_of(column, row)) is None else value for row in rows]


def frames(plan: Plan, year: Year | None = None) -> dict[str, DataFrame]:
    """All tables by name."""
    return {name: frame(name, plan, year) for name in TABLES}


def loads_frame(plan: Plan) -> DataFrame:
    """The loads in the month looked at; energies in Wh a day at the battery."""
    return frame("loads", plan)


def months_frame(plan: Plan, year: Year | None = None) -> DataFrame:
    """Sun, income and use of twelve months; the odds too where a simulated `year` is given."""
    return frame("months", plan, year)


def chemistries_frame(plan: Plan) -> DataFrame:
    """All chemistries, sized."""
    return frame("chemistries", plan)


def circuits_frame(plan: Plan) -> DataFrame:
    """All circuits with their currents, fuses and drops."""
    return frame("circuits", plan)


def schedule_frame(plan: Plan) -> DataFrame:
    """The cable schedule: one row for each run."""
    return frame("schedule", plan)


def labels_frame(plan: Plan) -> DataFrame:
    """Texts of the labels."""
    return frame("labels", plan)


def cut_list_frame(plan: Plan) -> DataFrame:
    """What to cut from which spool."""
    return frame("cut-list", plan)


def shopping_frame(plan: Plan) -> DataFrame:
    """What to buy."""
    return frame("shopping", plan)


def ways_frame(plan: Plan) -> DataFrame:
    """The ways of the fuse panel."""
    return frame("ways", plan)


def commissioning_frame(plan: Plan) -> DataFrame:
    """The commissioning sheet: what to do and what to read."""
    return frame("commissioning", plan)


def copper_frame(plan: Plan) -> DataFrame:
    """Length and mass of copper by cable."""
    return frame("copper", plan)


def findings_frame(plan: Plan, year: Year | None = None) -> DataFrame:
    """What a careful friend would say."""
    return frame("findings", plan, year)


def working_frame(plan: Plan, year: Year | None = None) -> DataFrame:
    """How every figure was made, and on whose word."""
    return frame("working", plan, year)
