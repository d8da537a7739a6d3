"""The solar working: from the sky to the array that is needed, each figure with its formula, numbers and source."""

from __future__ import annotations

from model import names
from model.calendar import month_name
from model.quantities import percent
from model.supply.array import harvest_wh_per_day
from model.supply.module_yield import kept_after_losses
from model.supply.table import MonthSupply, Supply, SupplyInput
from model.supply.working_electric import electric_steps
from model.supply.working_needs import needs_steps
from model.working import Step

STAGE = "supply"
POA_SOURCE = "Collares-Pereira & Rabl 1979, Liu & Jordan 1960, daily Erbs et al. 1982, Perez et al. 1990 (pvlib)"
YIELD_SOURCE = "De Soto 2006 and Marion 2017 (glass), Ross or Faiman (cells), PVWatts 5 (power, losses); pvlib"
TYPED = "typed"


def steps(inputs: SupplyInput, answer: Supply) -> tuple[Step, ...]:
    """All figures of this room; the chain to the array needed ends in `demand.energy_wh_per_day`."""
    return (
        *_sky(inputs, answer.month),
        *_yields(inputs, answer),
        *_array(inputs, answer),
        *needs_steps(inputs, answer),
        *electric_steps(inputs, answer),
    )


def _sky(inputs: SupplyInput, month: MonthSupply) -> list[Step]:
    climate, name = inputs.climate, month_name(month.month)
    facing = "towards the equator" if inputs.array.azimuth_deg is None else f"azimuth {inputs.array.azimuth_deg:g}"
    tilt = f"tilt {inputs.array.tilt_deg:g} degrees, {facing}" if inputs.array.tilt_deg else "lying flat"
    return [
        Step(
            "supply.ghi_kwh_per_m2_day",
            STAGE,
            f"{names.FLAT.full} a day in {name}",
            f"global horizontal irradiation, {climate.label or f'{climate.latitude_deg:g}, {climate.longitude_deg:g}'}",
            month.ghi_kwh_per_m2_day,
            "kWh/m2",
            climate.source,
        ),
        Step(
            "supply.ghi_cautious_kwh_per_m2_day",
            STAGE,
            f"{names.FLAT.full} a day in {name}, cautious",
            f"{month.ghi_kwh_per_m2_day:.3g} x {climate.cautious_factor:g}",
            month.ghi_cautious_kwh_per_m2_day,
            "kWh/m2",
            "reached in nine years of ten: 1 - 1.28 standard deviations of place and year together",
            ("supply.ghi_kwh_per_m2_day",),
        ),
        Step(
            "supply.temperature_c",
            STAGE,
            f"{names.TEMPERATURE.full} in {name}",
            f"at {climate.elevation_m:.0f} m",
            month.temperature_c,
            "°C",
            climate.temperature_source,
        ),
        Step(
            "supply.poa_kwh_per_m2_day",
            STAGE,
            f"{names.PANEL.full} a day in {name}",
            f"8 classes of days x 48 half-hours, {tilt}",
            month.poa_kwh_per_m2_day,
            "kWh/m2",
            POA_SOURCE,
            ("supply.ghi_kwh_per_m2_day",),
        ),
    ]


def _yields(inputs: SupplyInput, answer: Supply) -> list[Step]:
    array, month = inputs.array, answer.month
    losses = (
        *(array.soiling, array.shading, array.mismatch, array.wiring),
        *(array.connections, array.light_induced, array.nameplate),
    )
    formula = (
        f"glass, cells ({array.mounting}) up to {month.cell_max_c:.0f} °C,"
        f" {percent(inputs.module.power_per_k, 2)} a kelvin, {inputs.controller.kind}, losses"
    )
    found = [
        Step(
            "supply.kept_after_losses",
            STAGE,
            "Left after dirt, shade, mismatch, wiring, connections, light-induced loss, nameplate",
            " x ".join(f"{1 - loss:.3g}" for loss in losses),
            kept_after_losses(array),
            "",
            "PVWatts 5 (Dobos 2014, NREL/TP-6A20-62641)",
        )
    ]
    uses = ("supply.poa_kwh_per_m2_day", "supply.temperature_c", "supply.kept_after_losses")
    for key, label, value in (
        ("supply.yield_wh_per_w_day", "", month.yield_wh_per_w_day),
        ("supply.yield_cautious_wh_per_w_day", ", cautious", month.yield_cautious_wh_per_w_day),
    ):
        found.append(
            Step(
                key,
                STAGE,
                f"{names.YIELD.full} of one rated watt in {month_name(month.month)}{label}",
                formula,
                value,
                "Wh/W",
                YIELD_SOURCE,
                uses if not label else (*uses, "supply.ghi_cautious_kwh_per_m2_day"),
            )
        )
    found += [
        Step(
            f"supply.yield_wh_per_w_day.{each.month}",
            STAGE,
            f"{names.YIELD.full} of one rated watt in {month_name(each.month)}",
            f"from {each.poa_kwh_per_m2_day:.3g} kWh/m2 on the module",
            each.yield_wh_per_w_day,
            "Wh/W",
            YIELD_SOURCE,
            ("supply.kept_after_losses",),
        )
        for each in answer.months
    ]
    return found


def _array(inputs: SupplyInput, answer: Supply) -> list[Step]:
    wiring, month = answer.wiring, answer.month
    name = month_name(month.month)
    fits = len(answer.fit.modules)
    found = [
        Step(
            "supply.modules_fit",
            STAGE,
            f"{names.MODULES_FIT.full} on the roof",
            f"{inputs.module.length_m:g} x {inputs.module.width_m:g} m on {inputs.roof.length_m:g} x"
            f" {inputs.roof.width_m:g} m, {len(inputs.roof.obstacles)} obstacles",
            float(fits),
            "",
            "search of all layouts" if answer.fit.proven else "row by row; more may fit",
        ),
        Step(
            "supply.array_w",
            STAGE,
            names.ARRAY.full,
            f"{wiring.strings} strings x {wiring.in_series} in series x {inputs.module.rated_w:g} W",
            answer.array_w,
            "W",
            TYPED if inputs.array.count is not None else "as many as fit",
            () if inputs.array.count is not None else ("supply.modules_fit",),
        ),
    ]
    for key, label, energy, per_watt in (
        ("harvest", "", month.harvest_wh_per_day, month.yield_wh_per_w_day),
        (
            "harvest_cautious",
            ", cautious",
            month.harvest_cautious_wh_per_day,
            month.yield_cautious_wh_per_w_day,
        ),
    ):
        found.append(
            Step(
                f"supply.{key}_wh_per_day",
                STAGE,
                f"{names.HARVEST.full} a day in {name}{label}",
                _harvest(inputs, answer.array_w, per_watt, energy),
                energy,
                "Wh",
                "rated power x yield x controller efficiency",
                ("supply.array_w", f"supply.{key.replace('harvest', 'yield')}_wh_per_w_day"),
            )
        )
    found += [
        Step(
            f"supply.harvest_wh_per_day.{each.month}",
            STAGE,
            f"{names.HARVEST.full} a day in {month_name(each.month)}",
            _harvest(inputs, answer.array_w, each.yield_wh_per_w_day, each.harvest_wh_per_day),
            each.harvest_wh_per_day,
            "Wh",
            "rated power x yield x controller efficiency",
            ("supply.array_w", f"supply.yield_wh_per_w_day.{each.month}"),
        )
        for each in answer.months
    ]
    return found


def _harvest(inputs: SupplyInput, array_w: float, per_watt: float, harvest_wh: float) -> str:
    """How a harvest is made, with what the controller cuts off at noon if it does."""
    efficiency = inputs.controller.efficiency
    whole_wh = harvest_wh_per_day(array_w, per_watt, efficiency)
    formula = f"{array_w:g} W x {per_watt:.3g} Wh/W x {efficiency:g}"
    if harvest_wh >= whole_wh * (1 - 1e-9):
        return formula
    return f"{formula} - {whole_wh - harvest_wh:.3g} Wh above the controller's {inputs.controller.limit_a:g} A"
