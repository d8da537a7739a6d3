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
