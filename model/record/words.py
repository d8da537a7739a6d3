"""The verdict in words: the same sentence on the screen, on the command line and in the report."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.calendar import month_name
from model.quantities import percent, show

if TYPE_CHECKING:
    from model.plan import Plan


CAUTIONS = (
    "Fire: a battery drives thousands of amperes through a short. A fuse belongs close to every source.",
    "Shock: the 230 V or 120 V of an inverter or of shore power kills.",
    "Gas: lead-acid batteries give off hydrogen while charging. Ventilate, and keep sparks away.",
    "Vehicles: keep away from airbag wiring, and from the high-voltage system of a hybrid or electric vehicle.",
    "Work on alternating current and on gas appliances belongs to licensed people.",
    "Local codes prevail, for instance ISO 13297 and ABYC E-11 on small craft, EN 1648 in leisure vehicles in Europe,"
    " NFPA 1192 and NEC article 551 in the USA, AS/NZS 3001 in Australia and New Zealand.",
    "The program checks what it lists and nothing else, and approves nothing.",
)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the verdict: its key for the working view, in full and for narrow screens."""

    key: str
    text: str
    short: str


def verdict(plan: Plan) -> tuple[Figure, ...]:
    """Use per day, days of autonomy, array against need in the chosen month, open findings."""
    design, month = plan.design, plan.demand.month
    chosen = plan.storage.chosen
    use = show(month.charge_ah_per_day, "charge")
    days = f"{chosen.autonomy_days:.1f} days"
    asked = f"{design.battery.autonomy_days:g} asked"
    figures = [
        Figure("demand.charge_ah_per_day", f"Use {use} a day", f"{use}/day"),
        Figure(f"storage.{chosen.chemistry}.autonomy_days", f"battery lasts {days} ({asked})", f"lasts {days}"),
        _sun(plan),
    ]
    count = len(plan.findings)
    dangers = sum(finding.severity == "danger" for finding in plan.findings)
    words = f"{count} finding{'' if count == 1 else 's'}" if count else "no findings"
    if dangers:
        words += f", {dangers} DANGER{'' if dangers == 1 else 'S'}"
    return (*figures, Figure("findings", words, words))


def _sun(plan: Plan) -> Figure:
    name = month_name(plan.design.month)
    if plan.supply is None:
        return Figure("supply", "no climate data here", "no climate")
    coverage = plan.supply.coverage_with_other
    if coverage is None:
        return Figure("supply.harvest_wh_per_day", "nothing is used", "no use")
    share = percent(coverage) if coverage < 10 else f"{coverage:.0f} times"
    if plan.supply.month.other_income_wh_per_day > 0:
        sources = plan.income.sources
        other = sources[0].name if len(sources) == 1 else "other income"
        return Figure("supply.coverage", f"sun and {other} cover {share} in {name}", f"income {share}")
    return Figure("supply.coverage", f"sun covers {share} in {name}", f"sun {share}")
