"""The odds of the year in words and as rows of a table, one for each month."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.calendar import SHORT_MONTHS
from model.quantities import whole_figures
from tui import display
from tui.display import percent, show
from tui.widgets.table_rows import Column, Row

if TYPE_CHECKING:
    from model.storage.odds import MonthOdds, Odds
    from model.year import Year

COLUMNS = (
    Column("month", "Month", 5),
    Column("words", "How often", 33, flex=True),
    Column("chance", names.CHANCE.head, 11, "right"),
    Column("unmet", names.UNMET.head, 7, "right"),
    Column("forgone", names.GIVEN_UP.head, 10, "right"),
    Column("lost", names.LEFT_OVER.head, 7, "right"),
)
NARROW = COLUMNS[:3]
ROOM = sum(column.width + 1 for column in COLUMNS)
"""Cells that all columns need, with the gap before each; in fewer the first three stand alone."""


def key_of(column: str, row: str) -> str:
    """Key of the step behind a cell."""
    return f"storage.{'unmet_fraction' if column == 'unmet' else 'chance_of_empty_day'}.{row}"


def summary(found: Year, *, refill: bool) -> str:
    """The year in one line; with `refill` also how long it takes from empty to full."""
    from model.record.words import years_in_words

    odds = found.odds
    error = f"{odds.empty_days_per_year:.1f} ± {odds.empty_days_error:.1f} empty days a year"
    return (
        f"{error} · {years_in_words(found)} · longest dark spell survived {odds.longest_spell_survived} days"
        f"{_refill(odds) if refill else ''}"
        f" · {found.plan.storage.chosen.chemistry} {names.LIFE.small} {odds.life_years:.0f} years"
    )


def _refill(odds: Odds) -> str:
    """How long it takes from empty to full; nothing where it never is empty."""
    days = odds.refill_days_mean
    return "" if days is None else f" · full {days:.0f} day{'' if round(days) == 1 else 's'} after an empty one"


def rows_of(found: Year) -> list[Row]:
    """The months as rows, January first; the one looked at stands out."""
    from model.year.working import in_words

    years, looked_at = found.odds.years, found.plan.design.month
    return [_row(month, in_words(month, years), month.month == looked_at) for month in found.odds.months]


def _row(month: MonthOdds, words: str, looked_at: bool) -> Row:
    left_over_wh = max(0.0, month.curtailed_wh_per_day)
    cells = {
        "month": SHORT_MONTHS[month.month - 1] + ("◂" if looked_at else ""),
        "words": display.local(words),
        "chance": _chance(month),
        "unmet": bare(month.unmet_fraction, 1),
        "forgone": bare(month.forgone_fraction),
        "lost": show(float(round(left_over_wh)), "energy", figures=whole_figures(left_over_wh), unit=False),
    }
    return Row(str(month.month), cells, strong=frozenset(cells) if looked_at else frozenset())


def _chance(month: MonthOdds) -> str:
    """The chance of an empty day with its error; a chance too small to be told from none says so."""
    if month.chance_of_empty_day + month.chance_error < 0.001:
        return f"< {bare(0.001, 1)}"
    return f"{bare(month.chance_of_empty_day, 1)} ± {bare(month.chance_error, 1)}"


def bare(share: float, digits: int = 0) -> str:
    """A share for a column that has the sign in its head."""
    return percent(share, digits).removesuffix(" %")
