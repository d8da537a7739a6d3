"""What is used, and what the sun gives."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model import names
from model.calendar import MONTHS, month_name, write_months
from model.quantities import show, write
from model.record.report.document import (
    Block,
    Column,
    Drawing,
    Paragraph,
    Section,
    Span,
    Table,
    Text,
    counted,
    figure,
    share,
    text,
)
from model.record.report.plots import Months, day_plot, months_plot

if TYPE_CHECKING:
    from model.design import Load
    from model.plan import Plan
    from model.supply.table import MonthSupply, Supply

NUMBER = True


def loads(plan: Plan) -> Section:
    """The load table: what was entered and what it comes to; the day."""
    month = plan.demand.month
    name = month_name(month.month)
    sunny = plan.supply.month.hourly_harvest_w if plan.supply is not None else ()
    title = f"A day in {name}: load against sun"
    told = f"Bars: mean load of each hour, at most {max(month.profile_w):.0f} W." + (
        f" Line: what the sun gives at the battery, at most {max(sunny):.0f} W." if sunny else ""
    )
    blocks: list[Block] = [
        Paragraph(
            text(f"What leaves the battery on a day in {name}. Power and hours are those entered, of one piece.")
        ),
        _load_table(plan),
        Drawing(title, told, day_plot(month.profile_w, sunny, "day", title, told)),
    ]
    return Section("Loads", "loads", tuple(blocks), fresh_page=True)


def _load_table(plan: Plan) -> Table:
    design, month = plan.design, plan.demand.month
    counted = [load for load in design.loads if load.on]
    columns = (
        Column("Load"),
        Column("Quantity", NUMBER),
        Column("Power or current"),
        Column("Hours a day", NUMBER),
        Column("When and how"),
        Column(f"{names.USE.full} (Wh a day)", NUMBER),
        Column(f"{names.USE.full} (Ah a day)", NUMBER),
        Column("Share (%)", NUMBER),
    )
    rows = []
    for index, line in enumerate(plan.demand.loads):
        at = f"demand.loads.{index}"
        entered = _entered(counted[index]) if index < len(counted) else (text(""),) * 4
        rows.append(
            (
                text(line.name),
                *entered,
                (figure(f"{at}.energy_wh_per_day", line.energy_wh_per_day, "energy", unit=False),),
                (figure(f"{at}.charge_ah_per_day", line.charge_ah_per_day, "charge", unit=False),),
                (share("", line.share, unit=False),),
            )
        )
    total = (
        text("Total"),
        *(text(""),) * 4,
        (figure("demand.energy_wh_per_day", month.energy_wh_per_day, "energy", unit=False),),
        (figure("demand.charge_ah_per_day", month.charge_ah_per_day, "charge", unit=False),),
        (share("", 1.0, unit=False),),
    )
    return Table(f"Loads in {month_name(month.month)}", columns, (*rows, total), "loads", total=True)


def _entered(load: Load) -> tuple[Text, Text, Text, Text]:
    """Quantity, power or current, hours, and the rest in words."""
    if load.measured_wh_per_day is not None:
        power = f"measured {write(load.measured_wh_per_day, 'energy')} a day"
    elif load.power_w is not None:
        power = write(load.power_w, "power")
    else:
        power = write(load.current_a, "current") if load.current_a is not None else "-"
    words = [
        *(("through the inverter",) if load.supply == "AC" else ()),
        *((load.when,) if load.when != "all day" else ()),
        *((f"{write(load.duty, 'percent')} of the time",) if load.duty != 1 else ()),
        *((write_months(load.months),) if len(load.months) < 12 else ()),
        *((load.need,) if load.need != "essential" else ()),
        *((load.days,) if load.days else ()),
        *((load.note,) if load.note else ()),
    ]
    hours = Span(f"{load.hours_per_day:g}", value=load.hours_per_day)
    return (figure("", load.quantity, "count"),), text(power), (hours,), text(", ".join(words))


def sun(plan: Plan) -> Section:
    """Month by month: irradiation, yield, income and use."""
    supply = plan.supply
    if supply is None or plan.climate is None:
        lost = f"There is no climate data for {plan.design.place.name or 'this place'}; the findings say the way out."
        return Section("Sun and other income", "sun", (Paragraph(text(lost)),), fresh_page=True)
    short = [month_name(one.month) for one in supply.months if _falls_short(one)]
    title = f"Income falls short in {_listed(short)}" if short else "Income meets the use in every month"
    told = "; ".join(
        f"{MONTHS[one.month - 1]}: income {_income_wh(one):.0f}, use {one.use_wh_per_day:.0f}" for one in supply.months
    )
    told = f"Watt-hours a day at the battery. {told}."
    blocks: tuple[Block, ...] = (
        Drawing(title, told, months_plot(_months(supply), "months", title, told)),
        _month_table(plan, supply),
        _array_table(plan, supply),
        Paragraph(text(plan.climate.uncertainty), aside=True),
    )
    return Section("Sun and other income", "sun", blocks, fresh_page=True)


def _income_wh(month: MonthSupply) -> float:
    return month.harvest_wh_per_day + month.other_income_wh_per_day


def _falls_short(month: MonthSupply) -> bool:
    return _income_wh(month) < month.use_wh_per_day


def _months(supply: Supply) -> Months:
    """The band is drawn as far above the typical year as the cautious one lies below it."""
    sunny = [one.harvest_wh_per_day for one in supply.months]
    other = [one.other_income_wh_per_day for one in supply.months]
    low = [one.harvest_cautious_wh_per_day for one in supply.months]
    cautious = [less + more for less, more in zip(low, other, strict=True)]
    bright = [2 * mean - less + more for mean, less, more in zip(sunny, low, other, strict=True)]
    return Months(sunny, other, cautious, bright, [one.use_wh_per_day for one in supply.months])


def _month_table(plan: Plan, supply: Supply) -> Table:
    columns = (
        Column("Month"),
        Column(f"{names.FLAT.full} (kWh/m² a day)", NUMBER),
        Column(f"{names.FLAT_CAUTIOUS.full} (kWh/m² a day)", NUMBER),
        Column(f"{names.PANEL.full} (kWh/m² a day)", NUMBER),
        Column(f"{names.YIELD.full} (Wh a day per W)", NUMBER),
        Column(f"{names.TEMPERATURE.full} (°C)", NUMBER),
        Column(f"{names.HARVEST.full} (Wh a day)", NUMBER),
        Column(f"{names.OTHER_INCOME.full} (Wh a day)", NUMBER),
        Column(f"{names.USE.full} (Wh a day)", NUMBER),
    )
    rows = []
    for index, one in enumerate(supply.months):
        at = f"supply.months.{index}"
        name = month_name(one.month) + (", falls short" if _falls_short(one) else "")
        rows.append(
            (
                text(name),
                *(
                    (figure(f"{at}.{key}", value, "number", unit=False),)
                    for key, value in (
                        ("ghi_kwh_per_m2_day", one.ghi_kwh_per_m2_day),
                        ("ghi_cautious_kwh_per_m2_day", one.ghi_cautious_kwh_per_m2_day),
                        ("poa_kwh_per_m2_day", one.poa_kwh_per_m2_day),
                        ("yield_wh_per_w_day", one.yield_wh_per_w_day),
                    )
                ),
                (counted(f"{at}.temperature_c", one.temperature_c, digits=1),),
                *(
                    (figure(f"{at}.{key}", value, "energy", unit=False),)
                    for key, value in (
                        ("harvest_wh_per_day", one.harvest_wh_per_day),
                        ("other_income_wh_per_day", one.other_income_wh_per_day),
                        ("use_wh_per_day", one.use_wh_per_day),
                    )
                ),
            )
        )
    return Table("A day of each month", columns, tuple(rows), "months")


def _array_table(plan: Plan, supply: Supply) -> Table:
    wiring, module = supply.wiring, plan.design.module
    rows: list[tuple[Text, Text]] = [
        (
            text("Modules"),
            text(
                f"{wiring.count} of {show(module.rated_w, 'power')}, {wiring.in_series} in series, {wiring.strings} strings"
            ),
        ),
        (text(names.ARRAY.full), (figure("supply.array_w", supply.array_w, "power"),)),
        (
            text(names.COLD_VOLTAGE.full),
            (figure("supply.cold_open_circuit_v", wiring.cold_voc_v, "voltage"),),
        ),
        (text(names.CONTROLLER.full), (figure("supply.controller_a", wiring.controller_a, "current"),)),
        *(
            (
                text(f"{source.name.capitalize()}, a day in {month_name(plan.design.month)}"),
                (figure("", source.wh_per_day[plan.design.month - 1], "energy"),),
            )
            for source in plan.income.sources
        ),
    ]
    return Table("The array and what else charges", (Column("What"), Column("Figure", NUMBER)), tuple(rows))


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
