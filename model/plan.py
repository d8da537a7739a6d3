"""The whole chain on one page: plan(design) -> Plan. The table of contents that you can run.

Each stage is a function of the part of the design that it reads, and remembers its last answers, so what an edit did not
touch is not computed again.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from math import floor

from model.calendar import month_name
from model.demand.inverter import efficiency
from model.demand.load import running_current_a
from model.demand.table import Demand, DemandInput
from model.demand.total import demand
from model.design import Battery, Design, Place, System, Weather
from model.storage.chemistry import chemistries
from model.storage.handing_over import tail_current_a
from model.storage.options import Option, Storage, StorageInput, storage
from model.storage.worst_run import DaysAlike
from model.supply.budget import supply, supply_besides
from model.supply.climate import Climate, NoClimate, climate_of
from model.supply.other_income_budget import chargers_a, other_income
from model.supply.other_income_table import IncomeInput, OtherIncome
from model.supply.sun import monthly_daylight_h
from model.supply.table import Supply, SupplyInput
from model.wiring.made import wiring
from model.wiring.table import WiringInput, WiringPlan
from model.wiring.working_across import counted_efficiency
from model.working import Finding, Step, by_severity, chain

UNKNOWN_C = (15.0,) * 12  # taken where a place has no climate data, so that the load table still adds up
NIGHT_COLD_K = 5.0  # below the month's mean; common practice, no source
COLD_STEP_K = (
    5.0  # downwards, for the cells' resistance: half a kelvin elsewhere must not set every circuit to work again
)


@dataclass(frozen=True)
class Plan:
    """Everything that was worked out for one design. `supply` and `climate` are None where there is no climate data."""

    design: Design
    climate: Climate | None
    demand: Demand
    supply: Supply | None
    income: OtherIncome  # besides the sun
    storage: Storage
    wiring: WiringPlan
    findings: tuple[Finding, ...]

    @property
    def steps(self) -> tuple[Step, ...]:
        """The working of every figure, stage after stage."""
        return tuple(self.working.values())

    @cached_property
    def working(self) -> dict[str, Step]:
        """Key of a figure -> the step that made it."""
        sunny = self.supply.steps if self.supply else ()
        stages = (self.demand.steps, self.income.steps, sunny, self.storage.steps, self.wiring.steps)
        return {step.key: step for steps in stages for step in steps}

    def chain(self, key: str) -> tuple[Step, ...]:
        """The steps that lead to the figure `key`, first causes first."""
        return chain(self.working, key)


def plan(design: Design) -> Plan:
    """Demand, supply (the sun's and the other), storage and wiring of `design`, with findings and the working of each figure.

    Where the cables' losses are counted as use, twice: the second time with the efficiency that the cables of the first have.
    """
    made = _chain(design)
    if not design.wiring.losses_counted:
        return made
    use_wh = made.demand.month.energy_wh_per_day * design.system.wiring_efficiency
    efficiency, step = counted_efficiency(use_wh, made.wiring.loss_wh_per_day)
    again = _chain(_with_efficiency(design, efficiency))
    cables = replace(again.wiring, efficiency=efficiency, own_steps=(*again.wiring.own_steps, step))
    return replace(again, design=design, wiring=cables)


def _with_efficiency(design: Design, efficiency: float | None) -> Design:
    """The design with what its cables pass on in place of what was typed; None leaves what was typed."""
    if efficiency is None:
        return design
    return replace(design, system=replace(design.system, wiring_efficiency=efficiency))


def _chain(design: Design) -> Plan:
    """The rooms one after the other."""
    climate, no_climate = _climate(design.place, design.weather)
    outside_c = climate.temperature_c if climate is not None else UNKNOWN_C
    used = _demand(_demand_input(design, outside_c))
    sun_input = _supply_input(design, climate, used) if climate is not None else None
    sunny = supply(sun_input) if sun_input is not None else None
    kept = storage(_storage_input(design, used, sunny, outside_c))
    besides = other_income(_income_input(design, used, sunny, kept.chosen, outside_c))
    if sun_input is not None:
        sunny = supply_besides(sun_input, besides.wh_per_day)
    cables = _wiring(_wiring_input(design, used, sunny, kept.chosen, outside_c))
    findings = (
        *no_climate,
        *used.findings,
        *(sunny.findings if sunny is not None else ()),
        *besides.findings,
        *kept.findings,
        *_everything_off(used, kept.chosen),
        *(_weak_sun(sunny, kept.chosen, design) if sunny is not None else ()),
        *cables.findings,
    )
    return Plan(design, climate, used, sunny, besides, kept, cables, by_severity(findings))


def elsewhere(made: Plan, design: Design) -> Plan:
    """The van of `made`, its array and battery as they are, at the place and with the loads of `design`.

    Climate, demand and other income are the new place's; `supply`, `storage` and findings stay those of `made`. Raises
    NoClimate.
    """
    climate = climate_of(design.place, design.weather)
    used = _demand(_demand_input(_with_efficiency(design, made.wiring.efficiency), climate.temperature_c))
    besides = other_income(_income_input(design, used, made.supply, made.storage.chosen, climate.temperature_c))
    return replace(made, design=design, climate=climate, demand=used, income=besides)


_demand = lru_cache(maxsize=8)(demand)
_wiring = lru_cache(maxsize=8)(wiring)


@lru_cache(maxsize=16)
def _climate(place: Place, weather: Weather | None) -> tuple[Climate | None, tuple[Finding, ...]]:
    try:
        return climate_of(place, weather), ()
    except NoClimate as refusal:
        advice = (
            "Type twelve monthly values of irradiation, read a weather file, or choose a place on the mainland nearby."
        )
        return None, (Finding("warning", "place/name", str(refusal), advice),)


def _demand_input(design: Design, outside_c: tuple[float, ...]) -> DemandInput:
    return DemandInput(
        loads=design.loads,
        system=design.system,
        inverter=design.inverter,
        month=design.month,
        months_of_use=design.months_of_use,
        outside_c=outside_c,
        days=design.days,
        daylight_h=monthly_daylight_h(design.place.latitude_deg),
    )


def _supply_input(design: Design, climate: Climate, used: Demand) -> SupplyInput:
    return SupplyInput(
        climate=climate,
        module=design.module,
        array=design.array,
        controller=design.controller,
        roof=design.roof,
        system_v=design.system.nominal_v,
        month=design.month,
        months_of_use=design.months_of_use,
        use_wh_per_day=tuple(month.energy_wh_per_day for month in used.months),
        battery_efficiency=chemistries()[design.battery.chemistry].round_trip_efficiency,
        lowest_c=design.weather.lowest_c if design.weather is not None else None,
    )


def _income_input(
    design: Design, used: Demand, sunny: Supply | None, chosen: Option, outside_c: tuple[float, ...]
) -> IncomeInput:
    chemistry, system_v = chemistries()[chosen.chemistry], design.system.nominal_v
    return IncomeInput(
        alternator=design.alternator,
        shore=design.shore,
        generator=design.generator,
        system_v=system_v,
        month=design.month,
        months_of_use=design.months_of_use,
        use_wh_per_day=tuple(month.energy_wh_per_day for month in used.months),
        chemistry=chemistry.name,
        lead=chemistry.lead,
        bank_v=chosen.bank_v,
        full_v=chemistry.cells(system_v) * chemistry.cell_full_v,
        installed_ah=chosen.installed_ah,
        usable_wh=chosen.usable_wh,
        charge_limit_a=chosen.charge_limit_a,
        charge_min_c=chemistry.charge_temperature_min_c,
        charge_max_c=chemistry.charge_temperature_max_c,
        battery_efficiency=chemistry.round_trip_efficiency,
        battery_temperature_c=battery_temperature_c(design.battery, design.system, outside_c),
        solar_a=sunny.wiring.controller_a if sunny is not None else 0.0,
    )


def _storage_input(design: Design, used: Demand, sunny: Supply | None, outside_c: tuple[float, ...]) -> StorageInput:
    battery = design.battery
    return StorageInput(
        chosen=battery.chemistry,
        system_v=design.system.nominal_v,
        energy_wh_per_day=used.month.energy_wh_per_day,
        peak_running_a=used.running_a,
        surge_running_a=running_current_a(used.month.surge_w, design.system.nominal_v),
        charge_current_a=sunny.wiring.controller_a if sunny is not None else 0.0,
        autonomy_days=battery.autonomy_days,
        depth_of_discharge=battery.depth_of_discharge,
        margin=battery.margin,
        end_of_life=battery.end_of_life,
        battery_temperature_c=battery_temperature_c(battery, design.system, outside_c),
        month=design.month,
        months_of_use=design.months_of_use,
        in_cabin=battery.place == "heated cabin",
        other_charge_a=chargers_a(design.alternator, design.shore, design.generator),
        unit_v=battery.unit_v,
        unit_ah=battery.unit_ah,
        installed_ah=battery.installed_ah,
        charge_a=battery.charge_a,
        discharge_a=battery.discharge_a,
        peak_a=battery.peak_a,
        standing_wh_per_day=used.standing_wh_per_day,
        prices=tuple((price.chemistry, price.per_kwh) for price in battery.prices),
        week=tuple(
            DaysAlike(one.kind.name, one.kind.days_per_week, one.months[design.month - 1].energy_wh_per_day)
            for one in used.kinds
        ),
    )


def _wiring_input(
    design: Design, used: Demand, sunny: Supply | None, chosen: Option, outside_c: tuple[float, ...]
) -> WiringInput:
    month = design.month - 1
    cold_c = battery_temperature_c(design.battery, design.system, outside_c)[chosen.coldest_month - 1]
    return WiringInput(
        settings=design.wiring,
        circuits=design.circuits,
        loads=design.loads,
        load_hours=tuple(part.full_hours[month] for part in used.parts),
        system_v=design.system.nominal_v,
        always_on_w=design.system.always_on_w,
        inverter=design.inverter,
        inverter_efficiency=efficiency(design.inverter, design.inverter.rated_w),
        ac_wh_per_day=sum(part.ac_w * part.full_hours[month] for part in used.parts),
        alternator=design.alternator,
        shore=design.shore,
        generator=design.generator,
        module=design.module,
        controller=design.controller,
        strings=sunny.wiring.strings if sunny is not None else 0,
        in_series=sunny.wiring.in_series if sunny is not None else 0,
        cold_voc_v=sunny.wiring.cold_voc_v if sunny is not None else 0.0,
        chemistry=chosen.chemistry,
        installed_ah=chosen.installed_ah,
        units_parallel=chosen.units_parallel,
        ac_surge_w=used.month.ac_surge_w if design.inverter.fitted else 0.0,
        battery_peak_a=_battery_peak_a(design.battery, chosen),
        peak_known=design.battery.peak_a is not None,
        battery_lasting_a=chosen.discharge_limit_a or None,
        battery_c=floor(cold_c / COLD_STEP_K) * COLD_STEP_K,
    )


def _battery_peak_a(battery: Battery, chosen: Option) -> float | None:
    """What a pack's electronics let pass for seconds: as its maker says, else what is usual for long. Lead has none."""
    if battery.peak_a is not None:
        return battery.peak_a
    return None if chemistries()[chosen.chemistry].lead else chosen.discharge_limit_a


def battery_temperature_c(battery: Battery, system: System, outside_c: tuple[float, ...]) -> tuple[float, ...]:
    """Temperature at the battery in a cold night of each month, °C, by the place where it stands.

    In the heated cabin: what the heater holds at least, else as in a locker; in an unheated locker the month's mean, which
    the thickness of walls and the battery's mass smooth; outside the night's cold. Source: common practice, no source.
    """
    if battery.place == "heated cabin" and system.cabin_heated_to_c is not None:
        return tuple(max(mean, system.cabin_heated_to_c) for mean in outside_c)
    if battery.place == "outside":
        return tuple(mean - NIGHT_COLD_K for mean in outside_c)
    return outside_c


def _everything_off(used: Demand, chosen: Option) -> tuple[Finding, ...]:
    """How long the chosen battery lasts with everything switched off: what always runs is forgotten most easily."""
    if used.standing_wh_per_day <= 0 or chosen.usable_wh <= 0:
        return ()
    days = chosen.usable_wh / used.standing_wh_per_day
    return (
        Finding(
            "note",
            "system/always_on_w",
            f"With everything switched off the van still uses {used.standing_wh_per_day:.0f} Wh a day:"
            f" a full battery is empty after {days:.0f} days.",
            "Fit a main switch for the months without use, and know what stays on behind it.",
        ),
    )


def _weak_sun(sunny: Supply, chosen: Option, design: Design) -> tuple[Finding, ...]:
    """A monitor takes a battery for full when little current flows at high voltage; a weak sun looks just like that."""
    noon_a = max(sunny.month.hourly_harvest_w) / design.system.nominal_v
    tail_a = tail_current_a(chosen.installed_ah)
    if not 0 < noon_a < tail_a:
        return ()
    return (
        Finding(
            "note",
            "array/count",
            f"At noon on an average day of {month_name(design.month)} the sun gives {noon_a:.1f} A, less than the usual tail"
            f" current of {tail_a:.1f} A: a battery monitor may call the battery full when it is not.",
            "Have the monitor call it full at a smaller current and more volts only.",
        ),
    )
