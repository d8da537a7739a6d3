"""One line of the commissioning sheet: what to do, what the meter should show, and a box for what it shows."""

from __future__ import annotations

from dataclasses import dataclass

from model.wiring.papers.paper import Column


@dataclass(frozen=True, slots=True)
class Check:
    """section: part of the sheet; circuit: key, "" for the whole van. Expected figures are None where there is none to read.

    reading is left blank for the person's pen. why: reason of the figure and of its tolerance.
    """

    section: str
    do: str
    circuit: str = ""
    expected_v: float | None = None
    tolerance_v: float | None = None
    expected_a: float | None = None
    tolerance_a: float | None = None
    reading: str = ""
    why: str = ""
    number: int = 0


COLUMNS = (
    Column("number", "No."),
    Column("section", "Part"),
    Column("circuit", "Circuit"),
    Column("do", "Do"),
    Column("expected_v", "Expected", "V"),
    Column("tolerance_v", "Give or take", "V"),
    Column("expected_a", "Expected", "A"),
    Column("tolerance_a", "Give or take", "A"),
    Column("reading", "Reading"),
    Column("why", "Why"),
)
