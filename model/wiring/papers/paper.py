"""What every paper of the job is: rows with a field for each figure, and columns that say how the fields are called."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from model.design import Design
from model.storage.table import Option
from model.wiring.table import WiringPlan

HABIT = "common practice, no source"

Value = str | float | int | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a paper. field: attribute of the row; digits: decimals of a figure that is not whole."""

    field: str
    title: str
    unit: str = ""
    digits: int = 2

    @property
    def heading(self) -> str:
        """The title with its unit: "Cut length (m)"."""
        return f"{self.title} ({self.unit})" if self.unit else self.title

    def value(self, row: object) -> Value:
        """The figure itself, for programs and spreadsheets."""
        found: Value = getattr(row, self.field)
        return found

    def text(self, row: object) -> str:
        """The figure as every paper prints it; "" for what is not there."""
        value = self.value(row)
        if value is None:
            return ""
        if isinstance(value, bool):
            return "yes" if value else "no"
        return f"{value:.{self.digits}f}" if isinstance(value, float) else str(value)


@dataclass(frozen=True)
class Job:
    """What the papers are written from. battery: the chosen one; None where only the cables are known."""

    wiring: WiringPlan
    design: Design
    battery: Option | None = None


@dataclass(frozen=True, slots=True)
class Paper:
    """One paper: its rows come from a job, its columns are the same on screen, in files and in the report.

    name: as people ask for it; file: what it is called on disk; remarks: the habits that it rests on, one sentence each.
    """

    name: str
    title: str
    file: str
    columns: tuple[Column, ...]
    rows: Callable[[Job], Sequence[Any]]
    remarks: tuple[str, ...] = ()

    def table(self, job: Job) -> list[list[str]]:
        """Headings, then the rows, all as text."""
        head = [column.heading for column in self.columns]
        return [head, *([column.text(row) for column in self.columns] for row in self.rows(job))]
