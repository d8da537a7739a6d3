"""The plan as plain text: for people without a screen, for screen readers, for a terminal that is no terminal."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from textwrap import fill
from typing import TYPE_CHECKING

from model import names
from model.calendar import SHORT_MONTHS, month_name
from model.quantities import percent, show
from model.record.wiring_text import HEADS, circuit_rows, point_lines, start_lines, wiring_lines
from model.record.words import CAUTIONS, verdict
from model.storage.chemistry import chemistries
from model.storage.handing_over import links, monitor_settings
from model.working import Finding

if TYPE_CHECKING:
    from model.plan import Plan
    from model.supply.table import MonthSupply
    from model.supply.weather_file import MeasuredDays


def as_text(plan: Plan, measured: MeasuredDays | None = None) -> str:
    """The whole plan, a section for each place of the program. `measured`: days of its weather file, for the trip."""
    sections = (
        _head(plan),
        loads_text(plan),
        sun_text(plan),
        battery_text(plan),
        handing_over_text(plan),
        circuits_text(plan),
        *_trip(plan, measured),
        findings_text(plan),
        cautions_text(),
    )
    return "\n\n".join(sections)


def _trip(plan: Plan, measured: MeasuredDays | None) -> tuple[str, ...]:
    """The section of the trip, where the design has stops; without what would mend it, which takes longer to find."""
    if not plan.design.stops:
        return ()
    from model.record.trip_text import trip_text
    from model.trip import NoTrip, trip

    try:
        return (trip_text(trip(plan, cures=False, measured=measured)),)
    except NoTrip as refusal:
        return (f"TRIP\n{refusal}",)


def _head(plan: Plan) -> str:
    design = plan.design
    where = f"{design.place.name} ({design.place.latitude_deg:.2f}, {design.place.longitude_deg:.2f})"
    title = f"{design.name} · {design.system.nominal_v:g} V · {where} · {month_name(design.month)}"
    return f"{title}\n{' · '.join(figure.text for figure in verdict(plan))}"


def cautions_text(width: int = 100) -> str:
    """The usual cautions, a paragraph each."""
    return "CAUTIONS\n" + "\n".join(fill(caution, width, subsequent_indent="  ") for caution in CAUTIONS)


def loads_text(plan: Plan) -> str:
    """The load table with what each row takes a day."""
    month = plan.demand.month
    rows = [
        (
            load.name,
            show(load.energy_wh_per_day, "energy", unit=False),
            show(load.charge_ah_per_day, "charge", unit=False),
            _percent(load.share),
        )
        for load in plan.demand.loads
    ]
    total = (
        "Total",
        show(month.energy_wh_per_day, "energy", unit=False),
        show(month.charge_ah_per_day, "charge", unit=False),
        _percent(1),
    )
    heads = ("Load", f"{names.USE.small} Wh", f"{names.USE.small} Ah", "share %")
    table = _table(heads, [*rows, total])
    peak = f"{names.PEAK.full} {show(month.peak_w, 'power')}, {names.SURGE.small} {show(month.surge_w, 'power')}."
    kinds = "".join(
        f"\n{one.kind.name}, {one.kind.how_often}: "
        f"{show(one.months[month.month - 1].energy_wh_per_day, 'energy')} a day."
        for one in plan.demand.kinds
    )
    return f"LOADS in {month_name(month.month)}, per day\n{table}\n{peak}{kinds}"


def sun_text(plan: Plan) -> str:
    """Month by month: irradiation, yield, harvest and use; then what the array would have to be."""
    supply = plan.supply
    if supply is None:
        lost = f"There is no climate data for {plan.design.place.name or 'this place'}: the finding below says the way out."
        return "\n".join(line for line in ("SUN", lost, _other_income(plan, None)) if line)
    rows = [
        (
            SHORT_MONTHS[one.month - 1],
            show(one.ghi_kwh_per_m2_day, "number"),
            show(one.ghi_cautious_kwh_per_m2_day, "number"),
            show(one.poa_kwh_per_m2_day, "number"),
            show(one.yield_wh_per_w_day, "number"),
            f"{one.temperature_c:.1f}",
            show(one.harvest_wh_per_day, "energy", unit=False),
            *((show(one.other_income_wh_per_day, "energy", unit=False),) if plan.income.sources else ()),
            show(one.use_wh_per_day, "energy", unit=False),
        )
        for one in supply.months
    ]
    figures = [names.FLAT, names.FLAT_CAUTIOUS, names.PANEL, names.YIELD, names.TEMPERATURE, names.HARVEST, names.USE]
    if plan.income.sources:
        figures.insert(-1, names.OTHER_INCOME)
    heads = ("Month", *(each.small_head for each in figures))
    month, worst = supply.month, supply.worst
    lines = (
        f"{names.ARRAY.full}: {show(supply.array_w, 'power')}, {supply.wiring.count} modules;"
        f" {names.MODULES_FIT.small}: {len(supply.fit.modules)}.",
        f"{names.ARRAY_NEEDED.full} in {month_name(month.month)}, sun alone: {_needed(month)}.",
        f"{names.ARRAY_NEEDED.full} in the {names.WORST_MONTH.small}, {month_name(worst.month)}: {_needed(worst)}.",
        _other_income(plan, month),
        plan.climate.uncertainty if plan.climate is not None else "",
    )
    return "SUN, per day\n" + _table(heads, rows) + "\n" + "\n".join(line for line in lines if line)


def _other_income(plan: Plan, month: MonthSupply | None) -> str:
    """What comes in besides the sun and the array for the rest; "" where nothing does."""
    if not plan.income.sources:
        return ""
    looked_at = plan.design.month
    each = ", ".join(f"{one.name} {show(one.wh_per_day[looked_at - 1], 'energy')}" for one in plan.income.sources)
    hours = ", ".join(f"{one.name} {show(one.ah_per_h, 'charge')}" for one in plan.income.sources)
    an_hour = f"Charged in an hour, while there is room: {hours}."
    told = f"{names.OTHER_INCOME.full} a day in {month_name(looked_at)}: {each}"
    if month is None:
        return f"{told}. {an_hour}"
    if month.left_for_sun_wh_per_day <= 0:
        return f"{told}; nothing is left for the sun.\n{an_hour}"
    left = show(month.left_for_sun_wh_per_day, "energy")
    rest = _watts(month.needed_for_rest_w, month.needed_for_rest_cautious_w)
    return f"{told}; {names.LEFT_FOR_SUN.small}: {left}.\n{an_hour}\n{names.ARRAY_NEEDED_FOR_REST.full}: {rest}."


def _needed(month: MonthSupply) -> str:
    """The array that a month asks for by the sun alone, in words."""
    return _watts(month.needed_w, month.needed_cautious_w)


def _watts(needed_w: float, needed_cautious_w: float) -> str:
    if not isfinite(needed_w):
        return "no array is enough, there is no sun"
    cautious = show(needed_cautious_w, "power") if isfinite(needed_cautious_w) else "no array"
    return f"{show(needed_w, 'power')} in a typical year, {cautious} cautious (9 years of 10)"


def battery_text(plan: Plan) -> str:
    """The chemistries side by side, one line each, and why one is ruled out."""
    rows = [
        (
            option.chemistry + (" (chosen)" if option is plan.storage.chosen else ""),
            show(option.capacity_needed_ah, "charge", unit=False),
            f"{option.bank_v:.1f}",
            units_text(option.units_series, option.units_parallel, option.unit_v, option.unit_ah),
            show(option.usable_wh, "energy", unit=False),
            f"{option.autonomy_days:.1f}",
            show(option.mass_kg, "mass", unit=False),
            f"{option.life_years:.0f}",
            option.governs,
            option.ruled_out,
        )
        for option in plan.storage.options
    ]
    figures = (names.CAPACITY_NEEDED, names.NOMINAL, None, names.USABLE, names.AUTONOMY, names.MASS, names.LIFE)
    heads = (
        "Chemistry",
        *("units" if each is None else each.small_head for each in figures),
        names.DECIDED_BY.small,
        "ruled out",
    )
    asked = f"{plan.design.battery.autonomy_days:g} {names.AUTONOMY_ASKED.small}"
    return f"BATTERY for {asked}; Ah at the battery's own nominal voltage\n{_table(heads, rows)}"


def handing_over_text(plan: Plan, width: int = 100) -> str:
    """How the chosen battery is put together, and what its monitor is set to."""
    option, system_v = plan.storage.chosen, plan.design.system.nominal_v
    joined = [f"  {number}. {step}" for number, step in enumerate(links(option), 1)]
    rows = [
        (setting.label, f"{setting.value:.4g} {setting.unit}".rstrip(), setting.source)
        for setting in monitor_settings(option, chemistries()[option.chemistry], system_v)
    ]
    heads = ("Setting", "value", "on whose word")
    wrapped = [fill(line, width, subsequent_indent="     ") for line in joined]
    return "\n".join(
        (
            "PUTTING THE BATTERY TOGETHER",
            *wrapped,
            "",
            "SETTINGS OF A BATTERY MONITOR",
            _table(heads, rows),
            VOLTS_ARE_AN_AID,
        )
    )


def circuits_text(plan: Plan, width: int = 100) -> str:
    """One line for each circuit, then the voltage at every point with everything on."""
    wiring = plan.wiring
    if not wiring.circuits:
        return "CIRCUITS\nNone yet."
    points = [fill(line, width, subsequent_indent="  ") for line in point_lines(wiring)]
    started = [fill(line, width, subsequent_indent="  ") for line in start_lines(wiring)]
    starts = ("", "VOLTS WHILE A LOAD STARTS on a low battery, everything else of its circuit on", *started)
    table = _table(HEADS, circuit_rows(wiring))
    volts = ("", "VOLTS AT EVERY POINT, everything on", *points)
    return "\n".join(("CIRCUITS", table, *wiring_lines(wiring), *volts, *(starts if started else ())))


NO_FIGURE = ("", "none", "no voltage")
"""What stands in a column of figures where there is none."""

VOLTS_ARE_AN_AID = (
    "Volts are no gauge of charge: a lithium battery shows nearly the same from 40 to 90 %,"
    " a lead one only after hours of rest."
)


def units_text(series: int, parallel: int, unit_v: float, unit_ah: float) -> str:
    """Number and wiring of the units to buy: "2s3p of 6 V 220 Ah"."""
    wired = f"{parallel} x" if series == 1 else f"{series}s{parallel}p of {unit_v:g} V"
    return f"{wired} {unit_ah:g} Ah"


def findings_text(plan: Plan) -> str:
    """The findings, dangers first, each with a way out."""
    if not plan.findings:
        return "FINDINGS\nNone: the design meets the checks listed."
    return "FINDINGS\n" + "\n".join(finding_text(finding) for finding in plan.findings)


def finding_text(finding: Finding) -> str:
    """One finding and its way out, on two lines."""
    return f"{finding.severity.upper():>8}  {finding.message}\n          {finding.advice}  [{finding.where}]"


def _percent(share: float) -> str:
    """A share for a column that has the sign in its head."""
    return percent(share).removesuffix(" %")


def _is_figure(cell: str) -> bool:
    return cell in NO_FIGURE or cell[:1].isdigit() or cell[:1] in ("-", "∞")


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Columns padded to their widest cell; the first and any that holds words to the left, figures to the right."""
    widths = [max(len(row[column]) for row in (heads, *rows)) for column in range(len(heads))]
    words = [
        column == 0 or not all(_is_figure(row[column]) for row in rows) or all(row[column] in NO_FIGURE for row in rows)
        for column in range(len(heads))
    ]

    def line(cells: Sequence[str]) -> str:
        padded = (
            cell.ljust(width) if word else cell.rjust(width)
            for cell, width, word in zip(cells, widths, words, strict=True)
        )
        return "  ".join(padded).rstrip()

    return "\n".join(line(cells) for cells in (heads, *rows))
