"""The battery's working: from a day's use to what to buy, each figure with its formula, numbers and source."""

from __future__ import annotations

from collections.abc import Mapping

from model import names
from model.calendar import month_name, write_months
from model.storage.chemistry import Chemistry, chemistries
from model.storage.maker import ENERGY, IEEE, STAGE, Maker
from model.storage.table import Option, StorageInput
from model.storage.temperature import extrapolated, factor_source
from model.storage.working_use import care_steps, purchase_steps, use_steps
from model.storage.worst_run import worst_run
from model.working import Step

GATES = {"depth": "gate_depth_wh", "daily depth": "gate_daily_wh", "end of life": "gate_end_of_life_wh"}
WORST_RUN = "; of several kinds of day the heaviest come first, each for its days of a week: common practice, no source"


def steps(inputs: StorageInput, options: Mapping[str, Option]) -> tuple[Step, ...]:
    """All figures of all chemistries; every chain begins at the day's use."""
    first = next(iter(options.values()))
    found = [
        Step(
            "storage.unadjusted_wh",
            STAGE,
            f"{names.USE.full} in the days of autonomy",
            _unadjusted(inputs),
            first.sizing.unadjusted_wh,
            "Wh",
            IEEE.format("6.1") + (WORST_RUN if inputs.week else ""),
            (ENERGY,),
        ),
        Step(
            "storage.efficiency",
            STAGE,
            f"{inputs.chosen}: energy out over energy in",
            "the catalogue's",
            chemistries()[inputs.chosen].round_trip_efficiency,
            "",
            chemistries()[inputs.chosen].source("round_trip_efficiency"),
        ),
        Step(
            "storage.coldest_c",
            STAGE,
            f"Battery in {month_name(first.coldest_month)}, the coldest month of use",
            f"coldest of {write_months({*inputs.months_of_use, inputs.month})}, by the place where it stands",
            inputs.battery_temperature_c[first.coldest_month - 1],
            "°C",
            "common practice, no source",
            ("supply.temperature_c",) if first.coldest_month == inputs.month else (),
        ),
    ]
    for name, one in options.items():
        make = Maker(name)
        _gates(make, chemistries()[name], one, inputs)
        purchase_steps(make, one, inputs)
        use_steps(make, chemistries()[name], one, inputs)
        care_steps(make, chemistries()[name], one, inputs)
        found += make.steps
    return tuple(found)


def _unadjusted(inputs: StorageInput) -> str:
    if not inputs.week:
        return f"{inputs.energy_wh_per_day:.5g} Wh x {inputs.autonomy_days:g} days"
    run = worst_run(inputs.week, inputs.autonomy_days)
    return " + ".join(f"{kind.days:.3g} days “{kind.name}” x {kind.wh_per_day:.5g} Wh" for kind in run)


def _gates(make: Maker, chemistry: Chemistry, one: Option, inputs: StorageInput) -> None:
    sizing = one.sizing
    typed = inputs.chosen == chemistry.name and inputs.depth_of_discharge is not None
    make(
        "depth_of_discharge",
        names.DEPTH.small,
        "typed" if typed else "the catalogue's",
        one.depth_of_discharge * 100,
        "%",
        "typed" if typed else chemistry.source("depth_of_discharge"),
    )
    make(
        "gate_depth_wh",
        "not deeper than the depth of discharge",
        f"{sizing.unadjusted_wh:.5g} Wh / {one.depth_of_discharge:g}",
        sizing.depth_wh,
        "Wh",
        IEEE.format("6.3, maximum depth of discharge"),
        "storage.unadjusted_wh",
        "depth_of_discharge",
    )
    if sizing.daily_wh is not None:
        make(
            "gate_daily_wh",
            "an ordinary day not deeper than the daily depth",
            f"{inputs.energy_wh_per_day:.5g} Wh / {chemistry.daily_depth:g}",
            sizing.daily_wh,
            "Wh",
            f"IEEE 1013, 6.3, maximum daily depth; {chemistry.source('daily_depth')}",
            ENERGY,
        )
    make(
        "gate_end_of_life_wh",
        "enough when worn",
        f"{sizing.unadjusted_wh:.5g} Wh / {inputs.end_of_life:g}",
        sizing.end_of_life_wh,
        "Wh",
        IEEE.format("6.3, end of life"),
        "storage.unadjusted_wh",
    )
    gates = [key for gate, key in GATES.items() if gate != "daily depth" or sizing.daily_wh is not None]
    make(
        "largest_wh",
        "the largest gate",
        f"decided by: {one.governs}",
        sizing.largest_wh,
        "Wh",
        IEEE.format("6.3"),
        *gates,
    )
    coldest_c = inputs.battery_temperature_c[one.coldest_month - 1]
    beyond = ", below the table's end: extrapolated" if extrapolated(chemistry.temperature_table, coldest_c) else ""
    make(
        "temperature_factor",
        "more capacity in the cold",
        f"table {chemistry.temperature_table} at {coldest_c:.1f} °C{beyond}",
        sizing.temperature_factor,
        "",
        factor_source(chemistry.temperature_table, coldest_c),
        "storage.coldest_c",
    )
    make(
        "cold_wh",
        "with the cold",
        f"{sizing.largest_wh:.5g} Wh x {sizing.temperature_factor:.4g}",
        sizing.cold_wh,
        "Wh",
        IEEE.format("6.3, temperature"),
        "largest_wh",
        "temperature_factor",
    )
    make(
        "margin_wh",
        "with the design margin",
        f"{sizing.cold_wh:.5g} Wh x {1 + inputs.margin:g}",
        sizing.margin_wh,
        "Wh",
        IEEE.format("6.3, design margin 10 to 25 %"),
        "cold_wh",
    )
