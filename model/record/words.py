"""The verdict in words: the same sentence on the screen, on the command line and in the report."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from model import names
from model.calendar import month_name
from model.quantities import percent, show
from model.wiring import cautions

if TYPE_CHECKING:
    from model.plan import Plan
    from model.working import Finding
    from model.year import Year


CAUTIONS = (
    "Fire: a battery drives thousands of amperes through a short. A fuse belongs close to every source.",
    "Shock: the 230 V or 120 V of an inverter or of shore power kills.",
    "Gas: lead-acid batteries give off hydrogen while charging. Ventilate, and keep sparks away.",
    cautions.BATTERY,
    cautions.VEHICLE,
    cautions.CHASSIS,
    cautions.MAINS,
    cautions.LICENSED,
    cautions.CODES,
    "The program checks what it lists and nothing else, and approves nothing.",
)

ODDS_MEAN = (
    "A synthetic year is no forecast and no year that was. Each day draws its sun from the distribution of its month at the"
    " place; a dark day is likelier after a dark day. All plans and all chemistries meet the same weather.",
    "An empty day is a day on which something that cannot wait went without, be it for an hour. Unmet is how much: its share"
    " of the use. Given up is what could wait and never got its turn."
    " Left over is sun that came when the battery was full and nothing waited.",
    "The error beside a chance is one standard deviation of a mean over so many years and not more. No empty day in a hundred"
    " Mays is no promise: up to three bad ones would still fit (rule of three, 95 %).",
    "The place is the larger error: the built-in irradiation of a place is known to ±10.5 % (one standard deviation), and the"
    " odds take it as exact. Read a chance as half to double; it is good for its order and for comparing plans.",
)

SUN_LEAVES_OUT = (
    "Horizon, trees, houses, snow on the panel, fog in the valley: nothing smaller than a cell of some 300 km is seen. The"
    " shade and the dirt that you expect are percentages that you type.",
    "A climate other than that of the years 2011 to 2015, from which the built-in irradiation comes.",
    "Tilted panels above 55 degrees of latitude from November to January: only the order of magnitude is known.",
)
ODDS_LEAVE_OUT = (
    "Winters far darker than the spread of their days tells.",
    "Ageing: the battery is new. Peukert's law, and devices that stay off after a low-voltage cut-out.",
    "People: nobody saves because it is dark, nobody drives more.",
)
PLAN_LEAVES_OUT = (
    "Loads are the same on each day of their kind; for the peak, all that can run together runs together.",
    "The first modules stand for all: one kind, one tilt, one direction, one controller.",
    "Life in years comes from tables of cycles and of calendar life, on which sources differ by a factor of two and more.",
)
"""What the figures do not know. The README says it at greater length, with measurements."""

CHECKED = (
    "Loads: hours and duty that fit into a day, power against current, surge and rating of the inverter, its idling.",
    "Array: place on the roof, shade of what stands there, size against the use of each month on the road.",
    "Controller: open-circuit voltage in the cold, voltage in the heat, charge current, fuses of strings.",
    "Other income: current against what the alternator spares and the battery takes, relay against smart alternator.",
    "Battery: depth, units in series and parallel, charge and discharge current, cold, frost and heat, battery gas.",
    "Cables: voltage at every point while running, and while one load starts on a low battery, against the cut-out of each"
    " device; current that each conductor bears in its bundle and heat.",
    "Behind the inverter, where such circuits are entered: volts, conductors and breakers, nothing else.",
    "Protection: load below fuse below the weakest part beyond it, distance from the source, holder, what the fuse can break,"
    " whether the weakest short circuit opens it. Connectors: current of each contact.",
    "Year and trip: how often the battery is empty.",
)
NOT_CHECKED = (
    "Alternating current: sockets, residual-current devices, protective earth, shore inlet, changeover.",
    "Gas appliances, heating, exhaust, and how battery gas leaves the van in fact.",
    "How things are fastened, sealed, crimped and led; water, vibration, chafing, edges.",
    "Interference, lightning, cathodic protection of boats.",
    "The vehicle: weight on each axle, its own wiring, its warranty, what an inspection or an insurer asks for.",
    "What the makers of the parts demand beyond the figures entered here.",
)
"""What stands under the words "meets the checks listed" and "not checked"."""

ASSUMPTIONS = (
    "Typical is the long-term mean of a month; cautious is reached in nine years of ten.",
    "A source marked “from memory, to be checked against the standard” was not read for this figure; “common practice, no"
    " source” is habit or our own estimate.",
)

ATTRIBUTION = (
    "Irradiation: NASA MERRA-2, Gelaro et al. 2017, https://doi.org/10.1175/JCLI-D-16-0758.1; daily distributions by"
    " Pfenninger & Staffell 2016, https://doi.org/10.1016/j.energy.2016.08.060; changed.",
    "Temperature: ERA5, Hersbach et al. 2023, https://doi.org/10.24381/cds.f17050d7, CC BY 4.0. Contains modified Copernicus"
    " Climate Change Service information 2026. Neither the European Commission nor ECMWF is responsible for any use that may"
    " be made of the Copernicus information or data it contains.",
    "Place names and coordinates: GeoNames (https://www.geonames.org), CC BY 4.0, changed.",
    "Elevation: the altitude grid of pvlib, aggregated by Mapzen from open sources; their attributions stand in"
    " data/SOURCES.md.",
)
"""What the licences of the shipped data ask of a paper that shows figures made with them."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of the verdict: its key for the working view, in full and for narrow screens."""

    key: str
    text: str
    short: str


def years_in_words(year: Year) -> str:
    """Where the weather of the years comes from: "100 synthetic years"."""
    if year.measured_years == 1:
        return "one measured year, as it was"
    if year.measured_years:
        return f"{year.years} years drawn from {year.measured_years} measured ones"
    return f"{year.years} synthetic years"


def verdict(plan: Plan, further: Sequence[Finding] = ()) -> tuple[Figure, ...]:
    """Use per day, days of autonomy, array against need in the chosen month, open findings.

    further: findings of odds and trip, which count too.
    """
    design, month = plan.design, plan.demand.month
    chosen = plan.storage.chosen
    use = show(month.charge_ah_per_day, "charge")
    days = f"{chosen.autonomy_days:.1f} days"
    asked = f"{design.battery.autonomy_days:g} asked"
    figures = [
        Figure("demand.charge_ah_per_day", f"{names.USE.full} {use} a day", f"{use}/day"),
        Figure(
            f"storage.{chosen.chemistry}.autonomy_days",
            f"{names.AUTONOMY.small} {days} ({asked})",
            f"{names.AUTONOMY.small} {days}",
        ),
        _sun(plan),
    ]
    said = (*plan.findings, *further)
    count = len(said)
    dangers = sum(finding.severity == "danger" for finding in said)
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
