"""What a careful friend would say about the array: its place on the roof, its size against the use, its tilt."""

from __future__ import annotations

import math

from model.calendar import month_name
from model.design import Obstacle, Roof
from model.quantities import percent
from model.supply.array import share_covered
from model.supply.array_yield import array_yields
from model.supply.findings_electric import electric_findings
from model.supply.roof import noon_elevation_deg, shaded, shadow_m
from model.supply.sun import monthly_extraterrestrial_kwh_per_m2_day
from model.supply.table import MonthSupply, Supply, SupplyInput
from model.working import Finding

OTHER_SOURCES = "The rest must come from driving, shore power or a generator, or from using less."
MORE_SOURCES = "The rest must come from more driving, shore power or generator hours, or from using less."
DARK_MONTHS = {True: (11, 12, 1), False: (5, 6, 7)}  # by hemisphere, north first
FAR_FROM_EQUATOR_DEG = 55.0
TILT_STEP_DEG = 5.0

ROUNDING_M = 1e-6


def findings(inputs: SupplyInput, answer: Supply) -> tuple[Finding, ...]:
    """Everything about sun, roof, array and controller, in the order of the design."""
    return (
        *_climate(inputs, answer),
        *_roof(inputs, answer),
        *_count(inputs, answer),
        *_coverage(inputs, answer),
        *_tilt(inputs, answer),
        *electric_findings(inputs, answer),
    )


def _climate(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    climate = inputs.climate
    found = [
        Finding(
            "note",
            "place/name",
            climate.uncertainty,
            "Plan with the cautious figures (9 years of 10 bring more); type monthly values or read a weather file"
            " if you have better ones.",
        )
    ]
    above_air = monthly_extraterrestrial_kwh_per_m2_day(climate.latitude_deg)
    impossible = [
        month_name(month.month)
        for month, most in zip(answer.months, above_air, strict=True)
        if month.ghi_kwh_per_m2_day > max(most, 0.2)  # a mean day near the polar night says little of its month
    ]
    if impossible:
        found.append(
            Finding(
                "warning",
                "weather/ghi_kwh_per_m2_day",
                f"More sun than there is above the clouds at this latitude: {', '.join(impossible)}.",
                "Check the unit (kWh/m2 and day), the order of the months and the place.",
            )
        )
    return found


def _beyond(roof: Roof, one: Obstacle) -> str:
    """The field by which an obstacle lies, at least partly, beyond the roof; "" where it lies on it."""
    if one.x_m + one.length_m > roof.length_m + ROUNDING_M:
        return "x_m"
    return "y_m" if one.y_m + one.width_m > roof.width_m + ROUNDING_M else ""


def _roof(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    fits = len(answer.fit.modules)
    if fits == 0:
        found.append(
            Finding(
                "warning",
                "roof/length_m",
                f"No module of {_size(inputs)} fits on the roof between margins and obstacles.",
                "Take a smaller module, move an obstacle, or lay panels out beside the van.",
            )
        )
    elif not answer.fit.proven:
        found.append(
            Finding(
                "note",
                "roof/length_m",
                f"At least {fits} modules fit; so many small ones were laid out row by row, more may fit.",
                "Draw the roof by hand if it matters.",
            )
        )
    elevation = noon_elevation_deg(inputs.climate.latitude_deg, inputs.month)
    for index, obstacle in enumerate(inputs.roof.obstacles):
        if beyond := _beyond(inputs.roof, obstacle):
            found.append(
                Finding(
                    "warning",
                    f"roof/obstacles/{index}/{beyond}",
                    f"{_named(obstacle.name, index)} lies beyond the roof, {inputs.roof.length_m:g} x {inputs.roof.width_m:g} m.",
                    "From the front and from the left are counted on the roof; correct them, or the roof's size.",
                )
            )
            continue
        hit = shaded(answer.modules, obstacle, elevation)
        if not hit:
            continue
        reach = shadow_m(obstacle.height_m, elevation)
        length = f"{reach:.2f} m long" if math.isfinite(reach) else "endless: the sun does not rise"
        names = _listed([number + 1 for number in hit])
        found.append(
            Finding(
                "note",
                f"roof/obstacles/{index}/height_m",
                f"{_named(obstacle.name, index)} can shade {names}: at noon in {month_name(inputs.month)}"
                f" its shadow is {length}, in the morning and evening longer.",
                "A few shaded cells cost far more than their area: keep the distance, or move the module.",
            )
        )
    return found


def _count(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    wiring, fits = answer.wiring, len(answer.fit.modules)
    if inputs.array.count is not None and answer.fit.proven and wiring.count > fits:
        found.append(
            Finding(
                "warning",
                "array/count",
                f"{wiring.count} modules of {_size(inputs)} do not fit on the roof: at most {fits} do.",
                f"Plan with {fits}, take other modules, or carry the rest and lay them out beside the van.",
            )
        )
    if wiring.count and wiring.idle:
        found.append(
            Finding(
                "warning" if inputs.array.count is not None else "note",
                "array/in_series",
                f"{wiring.count} modules do not make whole strings of {wiring.in_series}:"
                f" {wiring.idle} stay{'s' if wiring.idle == 1 else ''} out and {_is(wiring.idle)} not counted.",
                "Change the number of modules or the number in series.",
            )
        )
    return found


def _coverage(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    chosen, worst = answer.month, answer.worst
    if chosen.use_wh_per_day > 0:
        found += _one_coverage(inputs, answer, chosen)
    if worst.month != chosen.month and worst.use_wh_per_day > 0:
        found += _one_coverage(inputs, answer, worst, "the worst month on the road")
    return found


def _one_coverage(inputs: SupplyInput, answer: Supply, month: MonthSupply, why: str = "") -> list[Finding]:
    name = f"{month_name(month.month)}, {why}," if why else month_name(month.month)
    efficiency, other = inputs.battery_efficiency, month.other_income_wh_per_day
    typical = share_covered(month.harvest_wh_per_day + other, efficiency, month.use_wh_per_day)
    cautious = share_covered(month.harvest_cautious_wh_per_day + other, efficiency, month.use_wh_per_day)
    if typical >= 1 and cautious >= 1:
        return []
    if typical >= 1:
        return [
            Finding(
                "note",
                "array/count",
                f"{name} is covered in a typical year, but the cautious sun (9 years of 10 bring more)"
                f" {'and other income cover' if other else 'covers'} only {percent(cautious)} of the use.",
                f"It takes {month.needed_for_rest_cautious_w:.0f} W cautious instead of {answer.array_w:.0f} W.",
            )
        ]
    on_the_road = month.month in inputs.months_of_use
    if answer.array_w <= 0 or not math.isfinite(month.needed_for_rest_w):
        return [
            Finding(
                "warning" if on_the_road else "note",
                "array/count",
                f"In {name} the sun brings nothing." if answer.array_w > 0 else f"There is no array to cover {name}.",
                MORE_SOURCES if other else OTHER_SOURCES,
            )
        ]
    times = month.needed_for_rest_w / answer.array_w
    who = f"Sun and other income of {name} cover" if other else f"The sun of {name} covers"
    roof_w = len(answer.fit.modules) * inputs.module.rated_w
    needs = f"{times:.1f} times as much" if times >= 1.5 else f"{percent(times - 1)} more"
    return [
        Finding(
            "warning" if on_the_road else "note",
            "array/count",
            f"{who} {percent(typical)} of the use: it needs {needs} array ({month.needed_for_rest_w:.0f} W,"
            f" {month.needed_for_rest_cautious_w:.0f} W cautious, instead of {answer.array_w:.0f} W).",
            (MORE_SOURCES if other else OTHER_SOURCES)
            if month.needed_for_rest_w > roof_w
            else f"The roof holds {roof_w:.0f} W of this module: add modules, or use less.",
        )
    ]


def _tilt(inputs: SupplyInput, answer: Supply) -> list[Finding]:
    found: list[Finding] = []
    latitude, chosen, tilt = inputs.climate.latitude_deg, answer.month, inputs.array.tilt_deg
    if tilt > 0 and abs(latitude) > FAR_FROM_EQUATOR_DEG and inputs.month in DARK_MONTHS[latitude > 0]:
        found.append(
            Finding(
                "note",
                "array/tilt_deg",
                f"Tilted modules at {abs(latitude):.0f} degrees of latitude in {month_name(inputs.month)}:"
                " the figures give only the order of magnitude.",
                "Hills, trees and fog decide there; count on the flat figure at most.",
            )
        )
    if answer.array_w <= 0 or chosen.yield_wh_per_w_day <= 0:
        return found
    steep = tilt if tilt > 0 else _suggested_tilt_deg(latitude)
    flat = array_yields(inputs, tilt_deg=0.0)[inputs.month - 1].yield_wh_per_w_day
    tilted = chosen if tilt > 0 else None
    raised = (
        tilted.yield_wh_per_w_day
        if tilted
        else array_yields(inputs, tilt_deg=steep)[inputs.month - 1].yield_wh_per_w_day
    )
    if flat <= 0 or raised <= flat * 1.05:
        return found
    more_w = answer.array_w * (raised / flat - 1)
    found.append(
        Finding(
            "note",
            "array/tilt_deg",
            f"In {month_name(inputs.month)} {answer.array_w:.0f} W tilted by {steep:.0f} degrees"
            f" bring{'' if tilt > 0 else ' (facing the noon sun)'} {raised / flat:.1f} times what they bring lying flat.",
            f"{more_w:.0f} W more lying flat bring the same, whichever way the van is parked.",
        )
    )
    return found


def _suggested_tilt_deg(latitude_deg: float) -> float:
    """Tilt equal to the latitude, the usual choice for winter and year alike (Duffie & Beckman section 2.20)."""
    return min(round(abs(latitude_deg) / TILT_STEP_DEG) * TILT_STEP_DEG, 60.0)


def _size(inputs: SupplyInput) -> str:
    return f"{inputs.module.length_m:g} x {inputs.module.width_m:g} m"


def _named(name: str, index: int) -> str:
    return name.capitalize() if name else f"Obstacle {index + 1}"


def _listed(numbers: list[int]) -> str:
    *rest, last = (str(number) for number in numbers)
    return f"modules {', '.join(rest)} and {last}" if rest else f"module {last}"


def _is(count: int) -> str:
    return "is" if count == 1 else "are"
