"""What stands at the ends of a circuit, by its kind: the battery, the panel, what charges, what is fed."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil, inf

from model.design import Inverter
from model.storage.chemistry import chemistries
from model.supply.array import FULL_V_PER_12_V
from model.supply.other_income import alternator_v, charger_input_a, drop_v
from model.wiring.circuit import CRITICAL_DROP, PointLoad, Source
from model.wiring.conductors import PER_K
from model.wiring.flow import line
from model.wiring.heavy import array_current_a
from model.wiring.protection import breaks_a
from model.wiring.short_circuit import bank_ohm, cell
from model.wiring.table import WiringInput
from model.wiring.wired import Wired, feed_current_a

FEEDER_DROP = 0.01
"""Left to the main feed of the 3 % that panel and circuit may lose together. Common practice, no source."""

CHARGING_DROP_V_PER_12_V = 0.2
"""From a charger to its battery: 0.1 to 0.2 V, common practice, from memory."""

SURGE_OF_UNKNOWN = 2.0
"""Largest output of an inverter over its rated power where nobody typed it. Common practice, no source."""

STARTER_AH = 70.0
"""A van's starter battery, flooded lead-acid. Common practice, no source."""

PANEL_STEP_V = 0.02
"""The panel's voltage is taken in such steps, downwards: a lamp more elsewhere must not set every circuit to work again."""

FULL_OVER_NOMINAL = 14 / 12  # as fuses are rated: see model.wiring.fuses


@dataclass(frozen=True, slots=True)
class Ends:
    """source feeds the first run, far (if any) sits at the end of the last. at_last: what hangs at the end of the last run by
    the circuit's kind. at_converter, converter: what a DC-DC charger between the runs takes, and what it gives. charges: what
    chargers give at points of a main circuit. The points of all but these are filled in by whoever knows the runs."""

    source: Source
    far: Source | None = None
    at_converter: PointLoad | None = None
    converter: Source | None = None
    at_last: tuple[PointLoad, ...] = ()
    charges: tuple[PointLoad, ...] = ()
    feeds: tuple[str, ...] = ()


def source_behind(battery: Source, main: Wired, before: Source) -> Source:
    """What stands at a point of the main circuit, a panel or a bus bar: the battery behind the feed's resistance, less what it
    loses, and not less than `before` lost there. When low, less too what all that hangs on the feed loses inside the battery: a
    circuit's own part of that meets its start once more, on the safe side, and is small."""
    place = main.shape.place.get(before.point, 0)
    lost_v = main.drop_v(place)
    lost_v = battery.running_v / 2 if lost_v is None else min(lost_v, battery.running_v / 2)
    lost_v = max(before.upstream_drop_v, _stepped(lost_v))
    inside_v = _stepped((feed_current_a(main, main.running) if main.running is not None else 0.0) * battery.start_ohm)
    least, most, broken_a = battery.ohm_least, battery.ohm_most, 0.0
    passed_a, cold = inf, battery.ohm_cold
    for index in main.shape.path(place):
        run = main.circuit.runs[index]
        one = line(run)
        least = None if least is None else least + one.ohm_20c
        hot = one.ohm_20c * (1 + PER_K * (one.hottest_c - 20)) + one.fixed_ohm
        most = None if most is None else most + hot
        cold = None if cold is None else cold + hot
        for device in (run.protection, run.end_protection):
            if device is not None and device.rating_a is not None:
                broken_a = max(broken_a, breaks_a(device, battery.fused_v))
                passed_a = min(passed_a, device.rating_a)
    return replace(
        before,
        running_v=battery.running_v - lost_v,
        low_v=max(battery.low_v - lost_v - inside_v, battery.low_v / 2),
        ohm_least=least,
        ohm_most=most,
        ohm_cold=cold,
        backup_breaks_a=broken_a or None,
        upstream_drop_v=lost_v,
        backup_a=passed_a if passed_a < inf else None,
    )


def _stepped(volts: float) -> float:
    return ceil(volts / PANEL_STEP_V - 1e-9) * PANEL_STEP_V


def ends_of(kind: str, feed: str, inputs: WiringInput, battery: Source, panel: Source) -> Ends:
    """The ends of a circuit of that kind; those of kind "loads" and "main" get their loads elsewhere."""
    match kind:
        case "inverter":
            return _inverter(inputs, battery)
        case "alternator":
            return _alternator(inputs, battery)
        case "array":
            return _array(inputs)
        case "controller":
            return _charger(inputs, battery, "controller", inputs.controller.limit_a)
        case "charger":
            largest_a = max(inputs.shore.charger_a, inputs.generator.charger_a)  # entered, it is there, used or not
            return _charger(inputs, battery, "charger", shore_charger_a(inputs) or largest_a)
    if kind == "loads" and feed == "inverter":
        return Ends(mains_source(inputs.inverter))
    return Ends(panel if kind == "loads" and feed == "panel" else battery)


def charge_at(ends: Ends, name: str, point: str) -> tuple[PointLoad, ...]:
    """What a charging circuit with these ends gives at a point of the main circuit."""
    return tuple(replace(one, name=name, point=point, drop_limit=FEEDER_DROP) for one in ends.at_last)


def onto_bar(ends: Ends, bar: Source, main: Wired) -> Ends:
    """The ends of a charging circuit that ends at a bus bar of the main circuit: its current goes on from there to the battery,
    together with that of all others, and loses what they lose."""
    lost_v = _stepped(main.charging_drop_v(main.shape.place.get(bar.point, 0)))
    if ends.converter is not None:  # the volts of a DC-DC charger begin at its output
        return replace(ends, far=bar, converter=replace(ends.converter, upstream_drop_v=lost_v))
    return replace(ends, far=bar, source=replace(ends.source, upstream_drop_v=lost_v))


def mains_source(inverter: Inverter) -> Source:
    """The inverter's output. It holds its voltage, and gives no more than its surge even into a short circuit."""
    volts = inverter.output_v
    most_w = max(inverter.rated_w, inverter.surge_w or SURGE_OF_UNKNOWN * inverter.rated_w)
    return Source("inverter", "inverter", volts, volts, volts, volts, limited_a=most_w / volts)


def shore_charger_a(inputs: WiringInput) -> float:
    """Current of the charger behind the shore inlet or the generator that is used; 0 where neither is."""
    shore, generator = inputs.shore, inputs.generator
    return max(
        shore.charger_a if shore.nights_per_week > 0 else 0.0,
        generator.charger_a if generator.hours_per_week > 0 else 0.0,
    )


def _steady(name: str, amps: float, at_v: float, drop_limit: float) -> PointLoad:
    """What takes the same current at every voltage: a charger's output, an array's."""
    return PointLoad(name, "", amps * at_v, at_v, "current", drop_limit=drop_limit)


def _inverter(inputs: WiringInput, battery: Source) -> Ends:
    inverter, efficiency = inputs.inverter, inputs.inverter_efficiency
    low_v = max(battery.low_v, 1.0)
    load = PointLoad(
        "inverter",
        "",
        inverter.rated_w / efficiency,
        inputs.system_v,
        start_a=inverter.surge_w / (efficiency * low_v) if inverter.surge_w else None,
        standby_w=inverter.idle_w,
        hours_per_day=min(24.0, inputs.ac_wh_per_day / inverter.rated_w),
        drop_limit=CRITICAL_DROP,
        cut_out_v=inverter.cut_out_v,
    )
    behind = tuple(one.name for one in inputs.loads if one.supply == "AC" and one.on and one.quantity)
    return Ends(battery, at_last=(load,), feeds=behind)


def _alternator(inputs: WiringInput, battery: Source) -> Ends:
    """From the starter battery through charger or relay to the house battery: a source at each end.

    A relay joins them; a DC-DC charger parts them, takes more than it gives, and holds its own voltage at its output.
    """
    car = inputs.alternator
    chemistry, one = chemistries()["flooded"], cell("flooded")
    cells = chemistry.cells(car.vehicle_v)
    running_v = alternator_v(car.vehicle_v, car.smart)
    starter = Source(
        "starter battery",
        "battery",
        car.vehicle_v,
        running_v,
        min(running_v, cells * chemistry.cell_nominal_v),
        cells * one.full_v,
        bank_ohm(one.least_mohm_ah, cells, STARTER_AH, 1),
        bank_ohm(one.most_mohm_ah, cells, STARTER_AH, 1),
    )
    if car.kind == "relay":
        limit = CRITICAL_DROP + CHARGING_DROP_V_PER_12_V / 12
        return Ends(starter, battery, at_last=(_steady("house battery", _relay_a(inputs), car.vehicle_v, limit),))
    output_v = inputs.system_v / 12 * FULL_V_PER_12_V
    input_v = max(running_v - drop_v(car.vehicle_v, car.cable_drop_v), running_v / 2)
    input_a = charger_input_a(car.charger_a, output_v, car.efficiency, input_v)
    gives = Source("DC-DC charger", "charger", inputs.system_v, output_v, output_v, output_v, limited_a=car.charger_a)
    into = _steady("house battery", car.charger_a, inputs.system_v, CHARGING_DROP_V_PER_12_V / 12)
    return Ends(starter, battery, _steady("DC-DC charger", input_a, car.vehicle_v, CRITICAL_DROP), gives, (into,))


def _relay_a(inputs: WiringInput) -> float:
    """What a relay lets pass for long: into lead as typed; lithium takes all that the alternator has over, where its rating is
    known, for nothing but the cable holds it back."""
    car = inputs.alternator
    if chemistries()[inputs.chemistry].lead or car.rating_a is None:
        return car.charger_a
    return max(car.charger_a, car.rating_a - car.vehicle_load_a)


def _array(inputs: WiringInput) -> Ends:
    """The strings together; the source's nominal voltage is the one whose 14/12 its fuses must bear: the coldest morning's."""
    module = inputs.module
    amps = array_current_a(module.isc_a, inputs.strings)
    in_series = max(1, inputs.in_series)  # an entered circuit may wait for its modules
    working_v = module.vmp_v * in_series
    cold_v = max(inputs.cold_voc_v, module.voc_v * in_series)
    nominal_v = cold_v / FULL_OVER_NOMINAL
    source = Source("array", "array", nominal_v, working_v, working_v, cold_v, limited_a=amps)
    return Ends(source, at_last=(_steady("charge controller", amps, nominal_v, CRITICAL_DROP),) if amps else ())


def _charger(inputs: WiringInput, battery: Source, kind: str, amps: float) -> Ends:
    full_v = inputs.system_v / 12 * FULL_V_PER_12_V
    source = Source(
        "charge controller" if kind == "controller" else "charger",
        "controller" if kind == "controller" else "charger",
        inputs.system_v,
        full_v,
        full_v,
        full_v,
        limited_a=amps,
    )
    into = _steady("battery", amps, inputs.system_v, CHARGING_DROP_V_PER_12_V / 12)
    return Ends(source, battery, at_last=(into,) if amps else ())
