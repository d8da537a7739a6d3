"""The battery: chemistries side by side, how the chosen one is put together, and its odds through the year."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

from model import names
from model.calendar import month_name
from model.quantities import percent, show, whole_figures
from model.record.as_text import VOLTS_ARE_AN_AID, units_text
from model.record.report.document import (
    Block,
    Column,
    Drawing,
    Listing,
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
from model.record.report.plots import fan_plot
from model.record.words import ODDS_MEAN, years_in_words
from model.storage.chemistry import chemistries
from model.storage.handing_over import links, monitor_settings
from model.storage.standby import freezing_point_c
from model.year.working import in_words

if TYPE_CHECKING:
    from model.plan import Plan
    from model.storage.odds import Odds
    from model.storage.options import Option
    from model.year import Year

NUMBER = True
FAN_WORDS = ("the middle year", "half of all years", "8 of 10 years")


def battery(plan: Plan) -> Section:
    """All chemistries for the same task; then the papers of the chosen one."""
    asked = plan.design.battery.autonomy_days
    said = text(
        f"Each chemistry is sized for {asked:g} {names.AUTONOMY_ASKED.small}."
        " Ampere-hours count at the battery's own nominal voltage."
    )
    sections: tuple[Section, ...] = (
        Section("Putting the battery together", "battery-links", (_links(plan.storage.chosen),)),
        Section("Settings of a battery monitor", "battery-monitor", _monitor(plan)),
    )
    if plan.storage.chosen.storage_months < inf:
        sections += (Section("Putting it away for the season", "battery-storage", (_put_away(plan),)),)
    blocks: tuple[Block, ...] = (Paragraph(said), _options(plan), _reasons(plan))
    return Section("Battery: chemistries side by side", "battery", blocks, sections, fresh_page=True)


def _options(plan: Plan) -> Table:
    columns = (
        Column("Chemistry"),
        Column(f"{names.CAPACITY_NEEDED.full} (Ah)", NUMBER),
        Column(f"{names.NOMINAL.full} (V)", NUMBER),
        Column("Units"),
        Column(f"{names.USABLE.full} (Wh)", NUMBER),
        Column(f"{names.MASS.full} (kg)", NUMBER),
        Column(f"{names.VOLUME.full} (l)", NUMBER),
        Column(f"{names.LIFE.full} (years)", NUMBER),
        Column("Price", NUMBER),
    )
    priced = any(option.price is not None for option in plan.storage.options)
    rows = []
    for index, one in enumerate(plan.storage.options):
        at = f"storage.options.{index}"
        chosen = one is plan.storage.chosen
        rows.append(
            (
                (Span(one.chemistry + (", chosen" if chosen else ""), strong=chosen),),
                (figure(f"{at}.capacity_needed_ah", one.capacity_needed_ah, "charge", unit=False),),
                (counted("", one.bank_v, digits=1),),
                text(units_text(one.units_series, one.units_parallel, one.unit_v, one.unit_ah)),
                (figure(f"{at}.usable_wh", one.usable_wh, "energy", unit=False),),
                (figure(f"{at}.mass_kg", one.mass_kg, "mass", unit=False),),
                (counted(f"{at}.volume_l", one.volume_l),),
                (counted(f"{at}.life_years", one.life_years),),
                *(((counted(f"{at}.price", one.price),),) if priced else ()),
            )
        )
    return Table("Chemistries side by side", columns if priced else columns[:-1], tuple(rows), "chemistries")


def _reasons(plan: Plan) -> Table:
    columns = (
        Column("Chemistry"),
        Column(names.DECIDED_BY.full),
        Column("Ruled out here"),
        Column("Against it"),
    )
    rows = tuple(
        (text(one.chemistry), text(one.governs), text(one.ruled_out or "-"), text(one.against or "-"))
        for one in plan.storage.options
    )
    return Table("Why, and why not", columns, rows)


def _links(chosen: Option) -> Listing:
    return Listing(tuple(text(step) for step in links(chosen)), ordered=True)


def _monitor(plan: Plan) -> tuple[Block, ...]:
    chosen = plan.storage.chosen
    rows: tuple[tuple[Text, ...], ...] = tuple(
        (text(one.label), text(f"{one.value:.4g} {one.unit}".rstrip()), text(one.source))
        for one in monitor_settings(chosen, chemistries()[chosen.chemistry], plan.design.system.nominal_v)
    )
    columns = (Column("Setting"), Column("Value", NUMBER), Column("On whose word"))
    table = Table(f"For {chosen.installed_ah:g} Ah of {chosen.chemistry}", columns, rows)
    return table, Paragraph(text(VOLTS_ARE_AN_AID), aside=True)


def _put_away(plan: Plan) -> Listing:
    """How long a full battery waits, and what it asks for meanwhile."""
    chosen, standing = plan.storage.chosen, plan.demand.standing_wh_per_day
    said = [
        f"With everything switched off ({standing:.0f} Wh a day) and by itself, a full battery is empty after"
        f" {chosen.storage_months:.1f} months. Disconnect it behind the main switch, or look after it sooner."
    ]
    if chemistries()[chosen.chemistry].lead:
        kept = ", ".join(
            f"{percent(state)} charged {freezing_point_c(state):.0f} °C" for state in (1.0, 0.75, 0.5, 0.25)
        )
        said.append(
            f"Charge it full first: its acid freezes at these temperatures (handbook values, from memory): {kept}."
        )
    if chosen.upkeep:
        said.append(f"Upkeep: {chosen.upkeep}.")
    return Listing(tuple(text(sentence) for sentence in said))


def odds(plan: Plan, year: Year | None) -> Section:
    """How often the battery is empty, month by month, and the darkest week of the month looked at."""
    if year is None:
        return Section("The year and its odds", "odds")
    found, name = year.odds, month_name(plan.design.month)
    empty = 1 - plan.storage.chosen.depth_of_discharge
    week = year.month.darkest_week
    title = f"State of charge in the darkest week of {name}"
    told = (
        f"The middle year begins the week at {100 * week[2][0]:.0f} % and is lowest at {100 * min(week[2]):.0f} %;"
        f" one year in ten falls to {100 * min(week[0]):.0f} %. Empty is {100 * empty:.0f} %."
    )
    days = [f"day {day}" for day in range(1, 8)]
    summary = text(
        f"{found.empty_days_per_year:.1f} ± {found.empty_days_error:.1f} empty days a year over {years_in_words(year)};"
        f" the longest dark spell survived was {found.longest_spell_survived} days;{_refill(found)}"
        f" {found.full_cycles_per_year:.0f} full cycles a year."
    )
    blocks: tuple[Block, ...] = (
        Paragraph(summary),
        _odds_table(year),
        Drawing(title, told, fan_plot(week, empty, days, FAN_WORDS, ("darkest-week", title, told))),
        Listing(tuple(text(sentence) for sentence in ODDS_MEAN[bool(year.measured_years) :])),
    )
    return Section("The year and its odds", "odds", blocks, fresh_page=True)


def _refill(found: Odds) -> str:
    if found.refill_days_mean is None:
        return ""
    return f" after an empty day it takes {found.refill_days_mean:.0f} days on the average until it is full again;"


def _odds_table(year: Year) -> Table:
    columns = (
        Column("Month"),
        Column("How often"),
        Column(f"{names.CHANCE.full} (%)", NUMBER),
        Column(f"{names.CHANCE_ERROR.full} (1σ, %)", NUMBER),
        Column(f"{names.UNMET.full} (%)", NUMBER),
        Column(f"{names.GIVEN_UP.full} of what can wait (%)", NUMBER),
        Column(f"{names.LEFT_OVER.full} (Wh a day)", NUMBER),
        Column("Charging refused for cold or heat (days)", NUMBER),
        Column("Days since full, mean", NUMBER),
    )
    rows = []
    for index, one in enumerate(year.odds.months):
        at, left_over_wh = f"storage.months.{index}", max(0.0, one.curtailed_wh_per_day)
        rows.append(
            (
                text(month_name(one.month)),
                text(in_words(one, year.years)),
                (share(f"{at}.chance_of_empty_day", one.chance_of_empty_day, 1, unit=False),),
                (share(f"{at}.chance_error", one.chance_error, 1, unit=False),),
                (share(f"{at}.unmet_fraction", one.unmet_fraction, 1, unit=False),),
                (share("", one.forgone_fraction, unit=False),),
                (
                    Span(
                        show(float(round(left_over_wh)), "energy", figures=whole_figures(left_over_wh), unit=False),
                        value=left_over_wh,
                    ),
                ),
                (counted(f"{at}.locked_days", one.locked_days),),
                (counted(f"{at}.days_since_full_mean", one.since_full_mean),),
            )
        )
    return Table("Odds of an empty battery", columns, tuple(rows), "odds")
