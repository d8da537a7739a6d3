"""The rows of those tables that no paper of the wiring holds: a field for each column, with the unit in its name."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from model.calendar import MONTHS, write_months
from model.demand.kinds import row_weights
from model.demand.load import device_power_w
from model.demand.table import ALWAYS_ON_NAME
from model.wiring.wired import feed_current_a, first_fuse

if TYPE_CHECKING:
    from model.demand.load import LoadDemand
    from model.demand.table import LoadShare
    from model.design import Load
    from model.plan import Plan
    from model.storage.options import Option
    from model.wiring.table import CircuitPlan
    from model.year import Year


@dataclass(frozen=True, slots=True)
class LoadRow:
    """A load in the month looked at, at the battery. Fields are None in rows that the program adds and their rule does not
    have. days_percent: of all days, on how many it runs."""

    name: str
    energy_wh_per_day: float
    charge_ah_per_day: float
    share_percent: float
    system_v: float
    supply: str = ""
    when: str = ""
    need: str = ""
    pieces: float | None = None
    power_w: float | None = None
    hours_per_day: float | None = None
    duty_percent: float | None = None
    efficiency_percent: float | None = None
    days_percent: float | None = None
    standby_wh_per_day: float | None = None
    months: str = ""
    note: str = ""

    @property
    def ruled_wh(self) -> float | None:
        """Energy by the rule that the table states; None where a figure is missing."""
        factors = (self.pieces, self.power_w, self.hours_per_day, self.duty_percent)
        if self.days_percent is None or self.standby_wh_per_day is None or not self.efficiency_percent:
            return None
        product = 1.0
        for each in factors:
            if each is None:
                return None
            product *= each
        return self.days_percent / 100 * (product / self.efficiency_percent + self.standby_wh_per_day)


def load_rows(plan: Plan) -> tuple[LoadRow, ...]:
    """The load table, and what the program adds to it."""
    demand, loads = plan.demand, plan.design.loads
    kinds = tuple(one.kind for one in demand.kinds)
    weights = row_weights(kinds) if kinds else (1.0,) * len(loads)
    system_v = plan.design.system.nominal_v
    entered = [
        _load_row(line, load, part, weight, plan.design.month, system_v)
        for line, load, part, weight in zip(demand.loads, loads, demand.parts, weights, strict=False)
    ]
    return (*entered, *(_added(plan, line, system_v) for line in demand.loads[len(loads) :]))


def _load_row(line: LoadShare, load: Load, part: LoadDemand, weight: float, month: int, system_v: float) -> LoadRow:
    measured = load.measured_wh_per_day is not None
    return LoadRow(
        line.name,
        line.energy_wh_per_day,
        line.charge_ah_per_day,
        100 * line.share,
        system_v,
        load.supply,
        load.when,
        load.need,
        load.quantity if load.on else 0.0,
        device_power_w(load, system_v),
        part.hours[month - 1] if month in load.months else 0.0,
        100 * part.duty[month - 1],
        100 * part.path_efficiency,
        100 * weight,
        part.standby_wh_per_day[month - 1],
        write_months(load.months),
        "; ".join(words for words in ("measured" if measured else "", load.days, load.note) if words),
    )


def _added(plan: Plan, line: LoadShare, system_v: float) -> LoadRow:
    system = plan.design.system
    known = (line.name, line.energy_wh_per_day, line.charge_ah_per_day, 100 * line.share, system_v)
    if line.name != ALWAYS_ON_NAME:
        return LoadRow(*known)
    return LoadRow(
        *known,
        pieces=1.0,
        power_w=system.always_on_w,
        hours_per_day=24.0,
        duty_percent=100.0,
        efficiency_percent=100 * system.wiring_efficiency,
        days_percent=100.0,
        standby_wh_per_day=0.0,
    )


@dataclass(frozen=True, slots=True)
class MonthRow:
    """One month, per average day; None where the place has no climate, or nothing was simulated."""

    month: str
    use_wh_per_day: float
    ghi_kwh_per_m2_day: float | None = None
    ghi_cautious_kwh_per_m2_day: float | None = None
    poa_kwh_per_m2_day: float | None = None
    yield_wh_per_w_day: float | None = None
    temperature_c: float | None = None
    harvest_wh_per_day: float | None = None
    other_income_wh_per_day: float | None = None
    chance_of_empty_day_percent: float | None = None
    unmet_percent: float | None = None

    @property
    def balance_wh_per_day(self) -> float | None:
        """Income less use."""
        return self.ruled_wh

    @property
    def ruled_wh(self) -> float | None:
        if self.harvest_wh_per_day is None or self.other_income_wh_per_day is None:
            return None
        return self.harvest_wh_per_day + self.other_income_wh_per_day - self.use_wh_per_day


def month_rows(plan: Plan, year: Year | None) -> tuple[MonthRow, ...]:
    """Twelve months; the odds where a simulated year is given."""
    return tuple(_month_row(plan, year, index) for index in range(12))


def _month_row(plan: Plan, year: Year | None, index: int) -> MonthRow:
    use_wh = plan.demand.months[index].energy_wh_per_day
    odds = year.odds.months[index] if year is not None else None
    chance = 100 * odds.chance_of_empty_day if odds is not None else None
    unmet = 100 * odds.unmet_fraction if odds is not None else None
    if plan.supply is None:
        return MonthRow(MONTHS[index], use_wh, chance_of_empty_day_percent=chance, unmet_percent=unmet)
    one = plan.supply.months[index]
    return MonthRow(
        MONTHS[index],
        use_wh,
        one.ghi_kwh_per_m2_day,
        one.ghi_cautious_kwh_per_m2_day,
        one.poa_kwh_per_m2_day,
        one.yield_wh_per_w_day,
        one.temperature_c,
        one.harvest_wh_per_day,
        one.other_income_wh_per_day,
        chance,
        unmet,
    )


@dataclass(frozen=True, slots=True)
class ChemistryRow:
    """One chemistry: whatever its option says, and whether it is the chosen one."""

    option: Option
    chosen: bool

    def __getattr__(self, name: str) -> object:
        return getattr(self.option, name)

    @property
    def depth_of_discharge_percent(self) -> float:
        return 100 * self.option.depth_of_discharge


def chemistry_rows(plan: Plan) -> tuple[ChemistryRow, ...]:
    """All chemistries, in the order of the catalogue."""
    return tuple(ChemistryRow(option, option is plan.storage.chosen) for option in plan.storage.options)


@dataclass(frozen=True, slots=True)
class CircuitRow:
    """One circuit with everything on it switched on; None where no voltage carries its loads."""

    key: str
    name: str
    kind: str
    system: str
    way: int | None
    automatic: bool
    feeds: str
    runs: int
    length_m: float
    thinnest: str
    current_a: float
    fuse_a: float | None
    fuse_family: str
    free_a: float | None
    largest_drop_v: float | None
    largest_drop_percent: float | None
    loss_wh_per_day: float | None
    findings: int
    nominal_v: float

    @property
    def ruled_percent(self) -> float | None:
        return None if self.largest_drop_v is None else self.largest_drop_v / self.nominal_v * 100


def circuit_rows(plan: Plan) -> tuple[CircuitRow, ...]:
    """All circuits, the battery's side first."""
    return tuple(_circuit_row(one) for one in plan.wiring.circuits)


def _circuit_row(one: CircuitPlan) -> CircuitRow:
    wired, entered = one.wired, one.entered
    fuse, nominal_v = first_fuse(wired), wired.circuit.source.nominal_v
    drops = [drop for place in range(len(wired.shape.points)) if (drop := wired.drop_v(place)) is not None]
    drop_v = max(drops, default=None)
    conductors = sorted((run.conductor for run in wired.runs), key=lambda each: each.conducting_area_mm2)
    return CircuitRow(
        one.key,
        one.name,
        entered.kind,
        entered.system,
        None if entered.way is None else int(entered.way),
        one.automatic,
        ", ".join(one.feeds),
        len(wired.runs),
        sum(run.length_m for run in wired.circuit.runs),
        conductors[0].name if conductors else "",
        feed_current_a(wired, wired.running),
        fuse.rating_a if fuse is not None else None,
        (fuse.family or "") if fuse is not None else "",
        one.free_a,
        drop_v,
        None if drop_v is None else drop_v / nominal_v * 100,
        wired.loss_wh_per_day,
        len(one.findings),
        nominal_v,
    )
