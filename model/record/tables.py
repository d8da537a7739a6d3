"""Every table of a plan with its columns declared once: the spreadsheet, the DataFrames and whoever comes next read them here.

A table is a paper of the whole plan: rows, and columns that say how the fields are called and in which unit they are.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite
from typing import TYPE_CHECKING, Any

from model import names
from model.record import table_rows as rows
from model.record.papers import RENAMED, job_of
from model.wiring.papers import PAPERS, Column, Paper

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.papers.paper import Value
    from model.year import Year


@dataclass(frozen=True, slots=True)
class Rule:
    """How a spreadsheet works a field out from others of its row.

    formula: fields in braces are cells where they are columns of the table, else their figures; {field.total} is the sum of a
    column. value: the same for one row, None where the rule does not hold; the formula is written where it gives the plan's
    figure, and the figure itself where it does not.
    """

    formula: str
    value: Callable[[Any], float | None] | None = None


@dataclass(frozen=True, slots=True)
class Table:
    """name: of the sheet. sums: fields whose column is added up at its foot. to_fill: columns after the others, for a hand."""

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: Callable[[Plan, Year | None], Sequence[Any]]
    rules: Mapping[str, Rule] = field(default_factory=dict)
    sums: tuple[str, ...] = ()
    to_fill: tuple[Column, ...] = ()
    remarks: tuple[str, ...] = ()


def value_of(column: Column, row: object) -> Value:
    """The figure or text of a cell; None for what is not there or is not finite."""
    found = column.value(row)
    return None if isinstance(found, float) and not isfinite(found) else found


def heading(column: Column) -> str:
    """The name of a column for programs: that of its field, which carries the unit."""
    return RENAMED.get(column.field, column.field)


LOADS = Table(
    "loads",
    "Loads in the month looked at",
    (
        Column("name", "Load"),
        Column("supply", "Supply"),
        Column("when", "When"),
        Column("need", "Need"),
        Column("pieces", "Quantity"),
        Column("power_w", "Power of one", "W"),
        Column("hours_per_day", "Hours a day", "h"),
        Column("duty_percent", "Duty", "%", 0),
        Column("efficiency_percent", "Efficiency from the battery", "%", 1),
        Column("days_percent", "On so many of its days", "%", 0),
        Column("standby_wh_per_day", "Standby a day", "Wh", 1),
        Column("energy_wh_per_day", names.USE.full, "Wh a day", 1),
        Column("charge_ah_per_day", names.USE.full, "Ah a day"),
        Column("share_percent", "Share", "%", 1),
        Column("months", "Months"),
        Column("note", "Note"),
    ),
    lambda plan, year: rows.load_rows(plan),
    {
        "energy_wh_per_day": Rule(
            "{days_percent}/100*({pieces}*{power_w}*{hours_per_day}*{duty_percent}/{efficiency_percent}+{standby_wh_per_day})",
            lambda row: row.ruled_wh,
        ),
        "charge_ah_per_day": Rule("{energy_wh_per_day}/{system_v}"),
        "share_percent": Rule(
            "IF({energy_wh_per_day.total}=0,0,{energy_wh_per_day}/{energy_wh_per_day.total}*100)",
        ),
    },
    ("energy_wh_per_day", "charge_ah_per_day"),
    remarks=(
        "Energy = pieces x power x hours x duty / efficiency, and standby: load data of IEEE 1013, 5.2.",
        "A figure without a formula was measured, or follows from more than its row.",
    ),
)

MONTHS = Table(
    "months",
    "A day of each month",
    (
        Column("month", "Month"),
        Column("ghi_kwh_per_m2_day", names.FLAT.full, "kWh/m² a day"),
        Column("ghi_cautious_kwh_per_m2_day", names.FLAT_CAUTIOUS.full, "kWh/m² a day"),
        Column("poa_kwh_per_m2_day", names.PANEL.full, "kWh/m² a day"),
        Column("yield_wh_per_w_day", names.YIELD.full, "Wh a day per W"),
        Column("temperature_c", names.TEMPERATURE.full, "°C", 1),
        Column("harvest_wh_per_day", names.HARVEST.full, "Wh a day", 0),
        Column("other_income_wh_per_day", names.OTHER_INCOME.full, "Wh a day", 0),
        Column("use_wh_per_day", names.USE.full, "Wh a day", 0),
        Column("balance_wh_per_day", "Income less use", "Wh a day", 0),
        Column("chance_of_empty_day_percent", names.CHANCE.full, "%", 1),
        Column("unmet_percent", names.UNMET.full, "%", 2),
    ),
    lambda plan, year: rows.month_rows(plan, year),
    {
        "balance_wh_per_day": Rule(
            "{harvest_wh_per_day}+{other_income_wh_per_day}-{use_wh_per_day}", lambda row: row.ruled_wh
        )
    },
)

CHEMISTRIES = Table(
    "chemistries",
    "Chemistries side by side",
    (
        Column("chemistry", "Chemistry"),
        Column("chosen", "Chosen"),
        Column("depth_of_discharge_percent", names.DEPTH.full, "%", 0),
        Column("capacity_needed_wh", names.CAPACITY_NEEDED.full, "Wh", 0),
        Column("capacity_needed_ah", names.CAPACITY_NEEDED.full, "Ah", 0),
        Column("bank_v", names.NOMINAL.full, "V", 1),
        Column("units_series", "Units in series"),
        Column("units_parallel", "Units in parallel"),
        Column("unit_v", "Unit", "V", 1),
        Column("unit_ah", "Unit", "Ah", 0),
        Column("installed_ah", names.INSTALLED.full, "Ah", 0),
        Column("installed_wh", names.INSTALLED.full, "Wh", 0),
        Column("usable_wh", names.USABLE.full, "Wh", 0),
        Column("autonomy_days", names.AUTONOMY.full, "days", 2),
        Column("mass_kg", names.MASS.full, "kg", 1),
        Column("volume_l", names.VOLUME.full, "l", 1),
        Column("life_years", names.LIFE.full, "years", 1),
        Column("price", "Price", "", 2),
        Column("governs", names.DECIDED_BY.full),
        Column("ruled_out", "Ruled out here"),
        Column("against", "Against it"),
    ),
    lambda plan, year: rows.chemistry_rows(plan),
    {
        "installed_ah": Rule("{units_parallel}*{unit_ah}", lambda row: row.units_parallel * row.unit_ah),
        "installed_wh": Rule("{installed_ah}*{bank_v}", lambda row: row.installed_ah * row.bank_v),
    },
)

CIRCUITS = Table(
    "circuits",
    "Circuits with all their loads on",
    (
        Column("key", "Key"),
        Column("name", "Circuit"),
        Column("kind", "Kind"),
        Column("system", "System"),
        Column("way", "Way"),
        Column("automatic", "Made from the design"),
        Column("feeds", "Feeds"),
        Column("runs", "Runs"),
        Column("length_m", "Length of its runs", "m"),
        Column("thinnest", "Thinnest conductor"),
        Column("current_a", names.CURRENT.full, "A"),
        Column("fuse_a", names.FUSE.full, "A", 1),
        Column("fuse_family", "Family"),
        Column("free_a", "Spare", "A"),
        Column("largest_drop_v", names.LARGEST_DROP.full, "V", 3),
        Column("largest_drop_percent", names.LARGEST_DROP.full, "%"),
        Column("loss_wh_per_day", "Lost a day", "Wh"),
        Column("findings", "Findings"),
    ),
    lambda plan, year: rows.circuit_rows(plan),
    {"largest_drop_percent": Rule("{largest_drop_v}/{nominal_v}*100", lambda row: row.ruled_percent)},
    ("length_m",),
)

FINDINGS = Table(
    "findings",
    "Findings",
    (
        Column("severity", "Severity"),
        Column("where", "Where"),
        Column("message", "What is the matter"),
        Column("advice", "A way out"),
    ),
    lambda plan, year: (*plan.findings, *(year.findings if year is not None else ())),
)

WORKING = Table(
    "working",
    "The working of every figure",
    (
        Column("stage", "Stage"),
        Column("label", "Figure"),
        Column("formula", "How"),
        Column("value", "Value", "", 6),
        Column("unit", "Unit"),
        Column("source", "Source"),
        Column("key", "Key"),
    ),
    lambda plan, year: (*plan.steps, *(year.steps if year is not None else ())),
)

_SUMS = {
    "schedule": ("routed_m", "cut_m"),
    "cut-list": ("used_m", "left_m"),
    "ways": ("load_a",),
    "shopping": ("cost",),
}
_COST = Rule('IF({price}="","",({quantity}+{spare})*{price})')


def _of_paper(paper: Paper) -> Table:
    """A paper of the job; on the shopping list prices are left for whoever buys, on the schedule what was laid in the end."""
    shopping = paper.name == "shopping"
    to_fill = {
        "shopping": (Column("price", "Price of one"), Column("cost", "Cost")),
        "schedule": (Column("as_built", "As built, who, date"),),
    }
    return Table(
        paper.name,
        paper.title,
        paper.columns,
        lambda plan, year: paper.rows(job_of(plan)),
        {"cost": _COST} if shopping else {},
        _SUMS.get(paper.name, ()),
        to_fill.get(paper.name, ()),
        paper.remarks,
    )


_ALL = (LOADS, MONTHS, CHEMISTRIES, CIRCUITS, *map(_of_paper, PAPERS.values()), FINDINGS, WORKING)
TABLES: dict[str, Table] = {table.name: table for table in _ALL}
