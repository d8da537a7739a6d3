"""What the load table shows: its columns, a row for each load, and the rows that the program makes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from model import names
from model.design import Day, Design, Load
from tui import display
from tui.display import percent, show
from tui.screens.load_cells import days_offered
from tui.screens.paste import PASTE_ORDER
from tui.widgets.table_rows import Column, Row

if TYPE_CHECKING:
    from model.plan import Plan

COLUMNS = (
    Column("name", "Load", 15, editable=True, kind_hint="any name; Enter edits it", takes_letters=True, flex=True),
    Column("quantity", "Qty", 3, "right", editable=True, kind_hint="how many, such as 6"),
    Column("power", "Power", 8, "right", editable=True, kind_hint="of one while it runs, such as 45 W, 0.8 kW, or 20 mA"),
    Column("hours_per_day", "Hours", 7, "right", editable=True, kind_hint="hours a day, such as 3.5 h, 3h30, 210 min"),
    Column("duty", "Duty", 5, "right", editable=True, kind_hint="share of these hours in which it draws power, such as 35 %"),
    Column(
        "when", "When", 8, editable=True, kind_hint="space goes on: all day, day, evening, night, dark; or hours like 7-9, 18-23",
        choices=("all day", "day", "evening", "night", "dark"), takes_letters=True,
    ),
    Column("months", "Months", 8, editable=True, kind_hint="months of use: all, Oct-Apr, or Jan, Mar, Jul", takes_letters=True),
    Column("charge", f"{names.USE.short} Ah", 6, "right"),
    Column("share", "Share %", 7, "right"),
)  # fmt: skip
SHOWN_FIELDS = {column.key for column in COLUMNS} | {"power_w", "current_a", "idle_w", "hours_on"}
"""Fields of a load and of the inverter that have a cell in the table; the others stand in the row's form."""
INVERTER, ALWAYS_ON, TOTAL = "inverter", "always on", "total"
DAYS_WIDTH = 14
ROOM = sum(column.width + 1 for column in COLUMNS)
"""Cells that the columns need, with the gap before each."""


def columns_for(days: tuple[Day, ...], room: int) -> tuple[Column, ...]:
    """The columns in `room` cells: with the kinds of day on which a load runs, where there are kinds and it is wide enough."""
    if not days or room < ROOM + DAYS_WIDTH + 1:
        return COLUMNS
    offered = days_offered(days)
    hint = "space goes on; or type several kinds of day with commas; empty: every day"
    at = [column.key for column in COLUMNS].index("months")
    extra = Column("days", "Days", DAYS_WIDTH, editable=True, kind_hint=hint, choices=offered, takes_letters=True)
    return (*COLUMNS[:at], extra, *COLUMNS[at:])


def load_figures(plan: Plan | None, design: Design) -> dict[str, dict[str, str]]:
    """Ah a day and share for each row key; empty where the plan has other rows than the design."""
    if plan is None or len(plan.design.loads) != len(design.loads):
        return {}
    keys = [str(index) for index in range(len(design.loads))]
    keys += [INVERTER] if plan.design.inverter.fitted else []
    cells = {
        key: _figures(line.charge_ah_per_day, line.share)
        for key, line in zip([*keys, ALWAYS_ON], plan.demand.loads, strict=True)
    }
    return {**cells, TOTAL: _figures(plan.demand.month.charge_ah_per_day, 1.0)}


def _figures(charge_ah: float, share: float) -> dict[str, str]:
    return {"charge": show(charge_ah, "charge", unit=False), "share": percent(share).removesuffix(" %")}


def load_texts(load: Load) -> dict[str, str]:
    """What was entered, cell by cell."""
    by_current = load.power_w is None and load.current_a is not None
    power = (
        display.write(Load, "current_a", load.current_a) if by_current else display.write(Load, "power_w", load.power_w)
    )
    if by_current and load.current_a is not None and load.current_a < 1:
        power = display.local(f"{load.current_a * 1000:g} mA")
    texts = {name: display.write(Load, name, getattr(load, name)) for name in PASTE_ORDER if name != "power"}
    return {**texts, "power": power}


def load_row(index: int, load: Load, figures: Mapping[str, str], *, marked: bool) -> Row:
    return Row(
        str(index),
        {**load_texts(load), "days": load.days or "every day", "charge": "…", "share": "…", **figures},
        kind="plain" if load.on else "off",
        edit_texts={"days": load.days},
        word="AC" if load.on and load.supply == "AC" else "",
        marked=marked,
    )


def inverter_row(design: Design, figures: Mapping[str, str]) -> Row:
    inverter = design.inverter
    cells = {
        "name": "Inverter, idle",
        "power": display.write(type(inverter), "idle_w", inverter.idle_w),
        "hours_per_day": display.write(type(inverter), "hours_on", inverter.hours_on),
        **figures,
    }
    editable = frozenset({"power", "hours_per_day"})
    return Row(INVERTER, cells, kind="derived", editable=editable, word="" if inverter.fitted else "none")


def always_on_row(design: Design, figures: Mapping[str, str]) -> Row:
    power = display.write(type(design.system), "always_on_w", design.system.always_on_w)
    cells = {"name": "Always on", "power": power, "hours_per_day": "24 h", **figures}
    return Row(ALWAYS_ON, cells, kind="derived", editable=frozenset({"power"}))


def governs(plan: Plan) -> str:
    """Which kind of day takes most, and how much: " · work day governs: 105 Ah"; nothing where days are alike."""
    from model.demand.week import governing

    kind = governing(plan.demand, plan.demand.month.month)
    if kind is None:
        return ""
    charge = kind.months[plan.demand.month.month - 1].charge_ah_per_day
    return f" · {kind.kind.name} governs: {show(charge, 'charge')}"
