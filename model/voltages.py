"""The same van at 12, 24 and 48 V: what its cables, fuses and battery become, and what the loads then need.

The watts stay, and so do routes and typed conductors; what was made for one voltage (chargers, typed fuses, cut-outs) follows it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from model.demand.load import device_power_w
from model.design import Circuit, Design, Load
from model.plan import Plan, plan
from model.storage.sizing import units_in_series
from model.wiring.ampacity import AMBIENT_C, allowable_a
from model.wiring.conductors import Conductor, Family, conductors
from model.wiring.fuses import families
from model.wiring.papers.cables import Cable, cables
from model.wiring.papers.copper import copper_kg
from model.wiring.protection import CONTINUOUS, devices
from model.wiring.table import CircuitPlan, WiringPlan
from model.working import Finding

VOLTAGES = (12.0, 24.0, 48.0)

CONVERTER_EFFICIENCY = 0.90
CONVERTER_IDLE_W = 1.0
"""Of a converter that makes another direct voltage for some loads. Common practice, no source: its sheet knows better."""

NEAR_LEAST, NEAR_MOST = 0.8, 1.25
"""Rated voltage over a system's for which a device is meant for that system: "12.8 V", "14 V" and "28 V" are printed on many.
Common practice, no source."""

HEAVY = ("main", "inverter", "alternator", "controller", "charger")
"""Kinds of circuits between battery, panel, inverter and chargers: those with the thick cables."""


@dataclass(frozen=True, slots=True)
class Most:
    """The largest figure of its kind and where it is, as people read it: "Inverter, battery to inverter"."""

    value: float
    where: str


@dataclass(frozen=True)
class AtVoltage:
    """The van at one system voltage. Cables of the vehicle's side, of the panels and behind the inverter have voltages of their
    own: they count in `copper_kg` alone.

    entered: whether it is the design as entered. heavy_kg: copper between battery, panel, inverter and chargers. conductor: the
    thickest, with its place. fuse_a, current_a, drop: the largest rating, current and share of voltage lost on the way to a load,
    None where there is none. feed_w: what one feed can carry for long (`feed_w`). converter_names, converter_w: loads made for
    another system voltage, and what they draw together; converter_wh_per_day: what their converter loses. unknown: loads of
    which nobody typed a voltage. against: dangers and warnings that the design as entered has not. batteries_fit: whether the
    units already there make a battery of this voltage, None where none are there.
    """

    system_v: float
    entered: bool
    plan: Plan
    copper_kg: float
    heavy_kg: float
    conductor: tuple[Conductor, str] | None
    fuse_a: Most | None
    current_a: Most | None
    drop: Most | None
    feed_w: float | None
    converter_names: tuple[str, ...]
    converter_w: float
    converter_wh_per_day: float
    unknown: tuple[str, ...]
    against: tuple[Finding, ...]
    batteries_fit: bool | None

    @property
    def controller_a(self) -> float | None:
        """Current of the array into the battery; None where there is no climate or no array."""
        supply = self.plan.supply
        return supply.wiring.controller_a if supply is not None and supply.wiring.count else None


def voltages(made: Plan) -> tuple[AtVoltage, ...]:
    """The design of `made` at 12, 24 and 48 V, the voltage as entered among them."""
    own_v = made.design.system.nominal_v
    return tuple(
        _at(made if volts == own_v else plan(at_voltage(made.design, volts)), made, volts) for volts in VOLTAGES
    )


def system_of(load: Load) -> float | None:
    """The system voltage that a load is made for, by its rated voltage; None where it is not typed, or no system's (5 V)."""
    rated_v = load.rated_v
    if rated_v is None:
        return None
    return next((volts for volts in VOLTAGES if NEAR_LEAST <= rated_v / volts <= NEAR_MOST), None)


def needs_converter(load: Load, system_v: float) -> bool:
    """Whether a load of direct current is made for another system voltage."""
    return _counts(load) and system_of(load) not in (None, system_v)


def at_voltage(design: Design, system_v: float) -> Design:
    """The same van with another system voltage: every watt stays.

    Chargers give as many watts, so other amperes; a relay becomes a DC-DC charger where the vehicle has another voltage. Loads
    made for another voltage sit behind a converter, which is always on. Cut-outs and a battery already there scale with the
    voltage. Typed fuses go, for they were chosen for other currents; typed conductors, holders and connectors stay. Readings go.
    """
    own_v = design.system.nominal_v
    ratio = system_v / own_v
    car = design.alternator
    link = "DC-DC charger" if car.vehicle_v != system_v else car.kind
    converter = any(needs_converter(load, system_v) for load in design.loads)
    idle_w = CONVERTER_IDLE_W if converter else 0.0
    installed_ah, cut_out_v = design.battery.installed_ah, design.inverter.cut_out_v
    return replace(
        design,
        system=replace(design.system, nominal_v=system_v, always_on_w=design.system.always_on_w + idle_w),
        loads=tuple(_load_at(load, system_v, own_v) for load in design.loads),
        inverter=replace(design.inverter, cut_out_v=None if cut_out_v is None else cut_out_v * ratio),
        alternator=replace(car, kind=link, charger_a=car.charger_a / ratio),
        shore=replace(design.shore, charger_a=design.shore.charger_a / ratio),
        generator=replace(design.generator, charger_a=design.generator.charger_a / ratio),
        battery=replace(design.battery, installed_ah=None if installed_ah is None else installed_ah / ratio),
        circuits=tuple(_without_fuses(one) for one in design.circuits),
    )


def feed_w(wiring: WiringPlan) -> float | None:
    """What one feed from the battery carries for long, W: system voltage x largest fuse / 1.25.

    The largest fuse is the largest rating that the thickest conductor of the design's sizes bears, in the cabin and alone, of the
    families that break the battery's short circuit at this voltage. None where none does. Voltage drop is not looked at.
    """
    settings = wiring.settings
    thickest = conductors(_family(settings.conductors), settings.tinned)[-1]
    bears_a = allowable_a(thickest, settings.insulation_c, AMBIENT_C["cabin"], bundled=2)
    short_a = next((step.value for step in wiring.own_steps if step.key == "wiring.battery.short_circuit_a"), None)
    if not isinstance(short_a, int | float):
        return None
    fused_v = max(
        (one.wired.circuit.fused_v for one in wiring.circuits if one.entered.kind == "main"), default=wiring.system_v
    )
    ratings = [
        rating_a
        for family in families().values()
        if family.breaks_a(fused_v) >= short_a
        for rating_a in family.ratings_a
        if rating_a <= bears_a
    ]
    return wiring.system_v * max(ratings) / CONTINUOUS if ratings else None


def on_system(circuit: CircuitPlan, place: int) -> bool:
    """Whether the run that ends at a place works at the system's voltage: not before a DC-DC charger, not the panels' own, not
    behind the inverter."""
    kind, source = circuit.entered.kind, circuit.wired.source_at(place)
    if source.kind in ("array", "inverter"):
        return False
    return kind != "alternator" or not circuit.wired.parts or source.kind == "charger"


def _at(made: Plan, own: Plan, system_v: float) -> AtVoltage:
    wiring, loads = made.wiring, own.design.loads
    known = {(said.severity, said.where) for said in own.findings}
    against = [said for said in made.findings if said.severity != "note" and (said.severity, said.where) not in known]
    behind = [at for at, load in enumerate(loads) if needs_converter(load, system_v)]
    every = cables(wiring)
    lost = 1 / CONVERTER_EFFICIENCY - 1
    month = made.design.month - 1
    converter_wh = sum(own.demand.parts[at].full_hours[month] * _watts(own, at) * lost for at in behind)
    return AtVoltage(
        system_v=system_v,
        entered=made is own,
        plan=made,
        copper_kg=sum(_copper_kg(cable) for cable in every),
        heavy_kg=sum(_copper_kg(one) for one in every if one.circuit.entered.kind in HEAVY and _on_system(one)),
        conductor=_thickest(every),
        fuse_a=_most((one.rating_a, cable) for cable in every if _on_system(cable) for _, one in devices(cable.run)),
        current_a=_most((cable.load_a, cable) for cable in every if _on_system(cable)),
        drop=_worst_drop(wiring),
        feed_w=feed_w(wiring),
        converter_names=tuple(loads[at].name for at in behind),
        converter_w=sum(_watts(own, at) for at in behind),
        converter_wh_per_day=converter_wh + 24 * CONVERTER_IDLE_W if behind else 0.0,
        unknown=tuple(load.name for load in loads if _counts(load) and system_of(load) is None),
        against=tuple(against),
        batteries_fit=_batteries_fit(own, made),
    )


def _watts(own: Plan, at: int) -> float:
    """What all pieces of a load draw while they run."""
    load = own.design.loads[at]
    return load.quantity * device_power_w(load, own.design.system.nominal_v)


def _counts(load: Load) -> bool:
    return load.supply == "DC" and load.on and load.quantity > 0


def _load_at(load: Load, system_v: float, own_v: float) -> Load:
    """A load as it is at another system voltage. Behind a converter it takes its power at every voltage, and the converter keeps
    it from cutting out; without one its cut-out is taken to follow the system, as with devices that know both voltages."""
    power_w = load.power_w
    if power_w is None and load.current_a is not None:
        power_w = device_power_w(load, own_v)
    same = replace(load, power_w=power_w, current_a=None if power_w is not None else load.current_a)
    if load.supply == "AC":
        return same
    if needs_converter(load, system_v):
        efficiency = load.converter_efficiency * CONVERTER_EFFICIENCY
        return replace(same, rated_v=None, behaviour="constant power", converter_efficiency=efficiency, cut_out_v=None)
    cut_out_v = None if load.cut_out_v is None else load.cut_out_v * system_v / own_v
    return replace(same, cut_out_v=cut_out_v)


def _without_fuses(circuit: Circuit) -> Circuit:
    runs = tuple(replace(run, fuse_a=None, fuse_family=None, breaks_a=None) for run in circuit.runs)
    return replace(circuit, runs=runs, readings=())


def _on_system(cable: Cable) -> bool:
    return cable.place is not None and on_system(cable.circuit, cable.place)


def _copper_kg(cable: Cable) -> float:
    area_mm2 = cable.conductor.nominal_area_mm2
    return sum(copper_kg(piece.length_m, area_mm2, piece.material.cores) for piece in cable.pieces)


def _where(cable: Cable) -> str:
    return f"{cable.circuit.name}, {cable.run.start} to {cable.run.end}"


def _most(found: Iterator[tuple[float | None, Cable]]) -> Most | None:
    known = [Most(value, _where(cable)) for value, cable in found if value is not None]
    return max(known, key=lambda one: one.value, default=None)


def _thickest(every: tuple[Cable, ...]) -> tuple[Conductor, str] | None:
    found = [(cable.conductor, _where(cable)) for cable in every if _on_system(cable)]
    return max(found, key=lambda one: one[0].conducting_area_mm2, default=None)


def _worst_drop(wiring: WiringPlan) -> Most | None:
    """The largest share of the voltage that a circuit with loads loses."""
    found = [
        Most(share, f"{one.name}, {one.wired.shape.points[place]}")
        for one in wiring.circuits
        if one.entered.kind == "loads"
        for place in range(1, len(one.wired.shape.points))
        if on_system(one, place) and (share := one.wired.drop_share(place)) is not None
    ]
    return max(found, key=lambda one: one.value, default=None)


def _batteries_fit(own: Plan, made: Plan) -> bool | None:
    """Whether the units that are there already can be put together anew without one left over."""
    if own.design.battery.installed_ah is None:
        return None
    units = own.storage.chosen.units_series * own.storage.chosen.units_parallel
    return units % units_in_series(made.storage.chosen.bank_v, own.storage.chosen.unit_v) == 0


def _family(name: str) -> Family:
    return "AWG" if name == "AWG" else "SAE" if name == "SAE" else "mm2"
