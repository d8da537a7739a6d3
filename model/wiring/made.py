"""From the design to circuits worked out: wiring(input) -> WiringPlan. The room's way in.

Every circuit is worked out once and remembered by what it depends on; the main feed comes last, for it carries the others.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import cast

from model import design
from model.design import Circuit
from model.wiring.across import across, merged
from model.wiring.across_battery import others_drive_a
from model.wiring.across_panel import is_backed_up
from model.wiring.across_spare import panel_spare, spare_findings, spare_steps
from model.wiring.automatic import CHARGING, KINDS, automatic, fuses_of_strings
from model.wiring.bank import bank
from model.wiring.circuit import PointLoad, Source
from model.wiring.conductors import Family
from model.wiring.ends import FEEDER_DROP, Ends, charge_at, ends_of, onto_bar, source_behind
from model.wiring.entered import Defaults, panel_point, run_points, same
from model.wiring.hanging import Hung, Placing, mains_load, place_loads, point_load
from model.wiring.keys import circuit_keys
from model.wiring.surge import limits, surge_findings, surge_steps
from model.wiring.table import CircuitPlan, WiringInput, WiringPlan
from model.wiring.wired import feed_current_a, solved
from model.wiring.worked import Asked, circuit_of, circuit_plan
from model.wiring.working_across import own_steps

PANEL_ROUNDS = 4  # feed and circuits hang on each other; two rounds are usual
FIRST_GUESS_OHM = 0.005  # behind the panel while its voltage is only guessed
SOURCE_OF_KIND = {
    "main": "battery",
    "inverter": "battery",
    "alternator": "starter battery",
    "array": "array",
    "controller": "charge controller",
    "charger": "charger",
}
LOSSES_COUNT = ("loads", "main", "inverter")
"""Kinds whose loss in a day is use; what charging cables lose is lost before the battery and counted in the supply."""


@dataclass(frozen=True, slots=True)
class _Entry:
    """One circuit on its way: entered or made, with what the load table hangs on it."""

    key: str
    path: str | None
    circuit: Circuit
    hung: tuple[Hung, ...] = ()


def wiring(inputs: WiringInput) -> WiringPlan:
    """All circuits of a design with their figures, findings and working, and what is on none."""
    settings = inputs.settings
    whole = bank(
        inputs.chemistry, inputs.installed_ah, inputs.units_parallel, inputs.system_v, settings, inputs.battery_c
    )
    battery = whole.source
    firsts = tuple(first_point(one) for one in inputs.circuits)
    placing = place_loads(inputs.circuits, firsts, inputs.loads)
    entries = _entries(inputs, placing)
    main = next((one for one in entries if one.circuit.kind == "main"), None)
    made: dict[str, CircuitPlan] = {}
    panel = replace(battery, point="fuse panel", kind="panel")
    if main is not None:
        made, panel = _main_and_what_hangs_on_it(inputs, battery, main, entries, placing)
    others = [one for one in entries if one.key not in made]
    for one in others:
        made[one.key] = _plan(inputs, one, ends_of(one.circuit.kind, one.circuit.feed, inputs, battery, panel))
    ordered = tuple(made[one.key] for one in sorted(entries, key=_order))
    panel_a = sum(feed_current_a(one.wired, one.wired.running) for one in ordered if one.takes_a_way)
    loss_wh = sum(one.wired.loss_wh_per_day or 0.0 for one in ordered if one.entered.kind in LOSSES_COUNT)
    unplaced = tuple(inputs.loads[at].name for at in placing.unplaced)
    left = panel_spare(inputs, ordered, panel_a)
    starts = limits(inputs, ordered, battery.low_v, whole.shares)
    together = (
        *across(inputs, whole, ordered, placing, panel_a),
        *spare_findings(inputs, ordered, left),
        *surge_findings(inputs, starts),
    )
    own = (said for one in ordered for said in one.findings if not is_backed_up(said))
    told = dict.fromkeys((*placing.findings, *own, *together))
    return WiringPlan(
        settings,
        inputs.system_v,
        ordered,
        unplaced,
        loss_wh,
        panel_a,
        merged(told),
        (
            *own_steps(inputs, whole, panel, ordered, panel_a, loss_wh),
            *spare_steps(ordered, left),
            *surge_steps(inputs, starts),
        ),
        string_fuses=fuses_of_strings(inputs),
        panel_spare=left,
        batteries=len(whole.shares),
        battery_fuse_breaks_a=others_drive_a(whole),
    )


def first_point(circuit: Circuit) -> str:
    """The point at which a circuit begins where nobody named it."""
    if circuit.kind == "loads":
        return {"panel": "fuse panel", "battery": "battery"}.get(circuit.feed, "inverter")
    return SOURCE_OF_KIND[circuit.kind]


def is_on_panel(circuit: Circuit) -> bool:
    """Whether a circuit takes a way of the panel."""
    return circuit.kind == "loads" and circuit.feed == "panel"


def _entries(inputs: WiringInput, placing: Placing) -> list[_Entry]:
    """The entered circuits, then those made from the design for each kind of which none is entered."""
    keys = circuit_keys(inputs.circuits)
    found = [
        _Entry(key, f"circuits/{at}", one, tuple(placing.hung[at]))
        for at, (key, one) in enumerate(zip(keys, inputs.circuits, strict=True))
    ]
    entered = {one.kind for one in inputs.circuits}
    feeds_something = placing.unplaced or any(is_on_panel(one) for one in inputs.circuits)
    for kind in KINDS:
        made = automatic(kind, inputs) if kind not in entered else None
        if made is not None and (kind != "main" or feeds_something):
            found.append(_Entry(kind, None, made))
    return found


def _order(one: _Entry) -> tuple[int, float]:
    """The battery's side first, then the panel's circuits by way."""
    circuit = one.circuit
    if circuit.kind != "loads":
        return KINDS.index(circuit.kind), 0.0
    if circuit.feed == "battery":
        return len(KINDS), 0.0
    if circuit.feed == "panel":
        return len(KINDS) + 1, float("inf") if circuit.way is None else circuit.way
    return len(KINDS) + 2, 0.0


def _point_on_main(one: _Entry, points: tuple[tuple[str, str], ...], panel: str) -> str:
    """Where a circuit hangs on the main one: at the point from which its first run is said to start, else at the panel for those
    on one of its ways; "" for those that start at the battery or elsewhere."""
    circuit = one.circuit
    if circuit.kind not in ("loads", "inverter") or (circuit.kind == "loads" and circuit.feed == "inverter"):
        return ""
    start = same(circuit.runs[0].start) if circuit.runs else ""
    named = next((end for _, end in points if start and same(end) == start and end != points[0][0]), "")
    return named or (panel if is_on_panel(circuit) else "")


def _end_on_main(one: _Entry, points: tuple[tuple[str, str], ...]) -> str:
    """The point of the main circuit where a charging circuit ends; "" for those that end at the battery or elsewhere."""
    circuit = one.circuit
    if circuit.kind not in CHARGING or not circuit.runs:
        return ""
    last = same(run_points(circuit.runs, first_point(circuit))[-1][1])
    return next((end for _, end in points if same(end) == last and end != points[0][0]), "")


def _main_and_what_hangs_on_it(
    inputs: WiringInput, battery: Source, main: _Entry, entries: list[_Entry], placing: Placing
) -> tuple[dict[str, CircuitPlan], Source]:
    """The main feed with the circuits of the panel and of its bus bars, and the panel as a source.

    Each hangs on the other: the feed's loss is the circuits' voltage, their current is its load. The first round takes the loss
    for what a feed may lose: it sizes the circuits as they will be, and does not depend on the battery's capacity and the
    feed, so that an edit of these finds it remembered. From what the feed then loses, rounds upwards settle, for losses only
    grow with less voltage. What charges at a bus bar is the same at every voltage: it comes
    into the feed with its current, and meets what all of them lose there afterwards.
    """
    points = run_points(main.circuit.runs, "battery")
    point = panel_point(points) if points else "battery"
    loose = tuple(
        _point_load(inputs, Hung(at, placing.left[at], point, ""), main.circuit.system) for at in placing.unplaced
    )
    if inputs.always_on_w > 0:
        loose = (*loose, PointLoad("always on", point, inputs.always_on_w, inputs.system_v, hours_per_day=24.0))
    loose = tuple(replace(one, drop_limit=FEEDER_DROP) for one in loose)
    hanging = [(one, at) for one in entries if one is not main and (at := _point_on_main(one, points, point))]
    charging = [(one, at) for one in entries if (at := _end_on_main(one, points))]
    charging_ends = [ends_of(one.circuit.kind, one.circuit.feed, inputs, battery, battery) for one, _ in charging]
    charges = tuple(
        charge
        for (one, at), ends in zip(charging, charging_ends, strict=True)
        for charge in charge_at(ends, one.circuit.name.strip() or one.key, at)
    )
    unlost = {
        at: replace(battery, point=at, kind="panel" if at == point else "bus bar")
        for at in dict.fromkeys((point, *(at for _, at in hanging)))
    }
    sources = {at: _guessed(one) for at, one in unlost.items()}
    plain = [
        (_asked(inputs, one, ends_of(one.circuit.kind, one.circuit.feed, inputs, unlost[at], unlost[at])), at)
        for one, at in hanging
    ]
    for number in range(PANEL_ROUNDS):
        asked = [
            (replace(one, ends=ends_of(one.entered.kind, one.entered.feed, inputs, sources[at], sources[at])), at)
            for one, at in plain
        ]
        carried = tuple(_carried(one, at) for one, at in asked)
        feed = _plan(inputs, main, Ends(battery, charges=charges), (*loose, *carried))
        least = sources if number > 1 else unlost  # what the guess gave may still go down
        settled = {at: source_behind(battery, feed.wired, before) for at, before in least.items()}
        if settled == sources:
            break
        sources = settled
    made = {main.key: feed, **{one.key: circuit_plan(one) for one, _ in asked}}
    for (one, at), ends in zip(charging, charging_ends, strict=True):
        bar = source_behind(battery, feed.wired, replace(battery, point=at, kind="bus bar"))
        made[one.key] = _plan(inputs, one, onto_bar(ends, bar, feed.wired))
    return made, sources[point]


def _guessed(source: Source) -> Source:
    """A panel or bus bar before anything is known of the feed: it loses its share, behind some resistance."""
    lost_v = FEEDER_DROP * source.nominal_v
    return replace(
        source,
        running_v=source.running_v - lost_v,
        low_v=source.low_v - lost_v,
        ohm_least=FIRST_GUESS_OHM,
        ohm_most=FIRST_GUESS_OHM,
        ohm_cold=FIRST_GUESS_OHM,
        upstream_drop_v=lost_v,
    )


@lru_cache(maxsize=2048)
def _carried(asked: Asked, point: str) -> PointLoad:
    """A panel circuit as the feed meets it: the power that it takes at the panel, its own losses with it."""
    circuit = circuit_of(asked)
    one, volts = solved(circuit), circuit.source.running_v
    running_a, starting_a = one.feed_a(one.running), one.feed_a(one.starting)
    watts = sum(load.power_w for load in circuit.loads)
    hours = sum(load.power_w * load.hours_per_day for load in circuit.loads) / watts if watts > 0 else 0.0
    starts = any(load.start_a for load in circuit.loads) and starting_a > running_a
    return PointLoad(
        circuit.name,
        point,
        running_a * volts,
        circuit.source.nominal_v,
        start_a=starting_a if starts else None,
        standby_w=one.feed_a(one.standby) * volts,
        hours_per_day=hours,
        drop_limit=FEEDER_DROP,
    )


def _point_load(inputs: WiringInput, hung: Hung, system: str) -> PointLoad:
    load, hours = inputs.loads[hung.index], inputs.load_hours[hung.index]
    if load.supply == "AC":
        return mains_load(load, hung.pieces, hung.point, inputs.inverter.output_v, inputs.system_v, hours)
    return point_load(load, hung.pieces, hung.point, system, inputs.system_v, hours)


def _plan(inputs: WiringInput, one: _Entry, ends: Ends, carried: tuple[PointLoad, ...] = ()) -> CircuitPlan:
    """The plan of one circuit, remembered."""
    return circuit_plan(_asked(inputs, one, ends, carried))


def _asked(inputs: WiringInput, one: _Entry, ends: Ends, carried: tuple[PointLoad, ...] = ()) -> Asked:
    """Everything that one circuit's figures depend on."""
    loads = tuple(_point_load(inputs, hung, one.circuit.system) for hung in one.hung)
    settings = inputs.settings
    names = [inputs.loads[hung.index].name for hung in one.hung] or list(ends.feeds)
    names += [load.name for load in carried]
    return Asked(
        one.key,
        one.path,
        one.circuit,
        ends,
        (*loads, *carried),
        tuple((hung.where, f"loads/{hung.index}") for hung in one.hung),
        Defaults(
            cast(Family, settings.conductors),
            settings.tinned,
            settings.insulation_c,
            settings.panel_fuses,
            settings.panel_a if one.circuit.kind == "main" else None,
        ),
        _colour(settings, one.circuit.system),
        tuple(dict.fromkeys(names)),
    )


def _colour(settings: design.Wiring, system: str) -> str:
    """The jacket colour of a system, "" where nobody said."""
    wanted = same(system)
    return next((one.colour.strip() for one in settings.jackets if wanted and same(one.system) == wanted), "")
