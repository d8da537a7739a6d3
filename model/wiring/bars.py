"""Bus bars: where they stand, how many cables end on each, what they pass, and whether they bear it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from model.quantities import percent
from model.wiring.ampacity import AMBIENT_C, allowable_a
from model.wiring.automatic import CHARGING
from model.wiring.conductors import Conductor, Family, conductors
from model.wiring.entered import same
from model.wiring.findings_contacts import HOLDER_SHARE
from model.wiring.protection import devices
from model.wiring.table import CircuitPlan, WiringInput
from model.wiring.wired import feed_current_a
from model.wiring.wording import amps
from model.working import Finding

SHUNT = "the shunt"
NO_BAR = 2  # studs: what comes in and the one that goes out need no bar


@dataclass(frozen=True, slots=True)
class Bar:
    """A bus bar of each pole at a point of the main feed, or the negative one behind the shunt. studs: cables on one pole.

    current_a: the largest lasting current through it, with all loads on or while everything charges; None where no voltage
    carries the loads. fuse_a: the fuse in front of it, None where there is none or, at the shunt, one for each cable.
    """

    point: str
    poles: int
    studs: int
    current_a: float | None
    fuse_a: float | None


def bars(circuits: Sequence[CircuitPlan]) -> tuple[Bar, ...]:
    """Those of the main feed that other circuits name, from the battery on; then the negative one behind the shunt."""
    main = next((one for one in circuits if one.entered.kind == "main"), None)
    found = [] if main is None else [_on_main(main, place, circuits) for place in _bar_places(main, circuits)]
    at_battery = cables_at_battery(circuits)
    if at_battery:
        found.append(Bar(SHUNT, 1, len(at_battery) + 1, _through_shunt_a(at_battery), None))
    return tuple(found)


def cables_at_battery(circuits: Sequence[CircuitPlan]) -> list[CircuitPlan]:
    """The circuits with an end at the house battery itself, not at a bar that the main feed has."""
    there = [one for one in circuits if has_battery_end(one)]
    on_bars = {same(point) for one in there if one.entered.kind == "main" for point in one.wired.shape.points[1:]}
    return [one for one in there if not any(same(point) in on_bars for point in _ends(one))]


def has_battery_end(one: CircuitPlan) -> bool:
    """Whether a circuit has an end at the house battery, or at a bus bar that the main feed has."""
    on_its_own = one.entered.kind == "loads" and one.entered.feed == "battery"
    return on_its_own or one.entered.kind in ("main", "inverter", *CHARGING)


def _ends(one: CircuitPlan) -> Iterator[str]:
    """The points of all that feeds a circuit, from either end."""
    yield from (source.point for source in (one.wired.circuit.source, *one.wired.circuit.others))


def _bar_places(main: CircuitPlan, circuits: Sequence[CircuitPlan]) -> list[int]:
    """The places of the main feed at which other circuits than those of the panel's ways end."""
    named = {
        same(source.point)
        for one in circuits
        if one is not main
        for source in (one.wired.circuit.source, *one.wired.circuit.others)
        if source.kind == "bus bar"
    }
    return [at for at, point in enumerate(main.wired.shape.points) if at and same(point) in named]


def _on_main(main: CircuitPlan, place: int, circuits: Sequence[CircuitPlan]) -> Bar:
    wired, point = main.wired, main.wired.shape.points[place]
    before = wired.shape.order[place - 1]
    own = sum(1 for run in wired.circuit.runs if point in (run.start, run.end))
    others = sum(1 for one in circuits if one is not main and any(same(end) == same(point) for end in _ends(one)))
    fuses = [
        device.rating_a
        for index in wired.shape.path(place)
        for _, device in devices(wired.circuit.runs[index])
        if device.rating_a is not None
    ]
    return Bar(point, 2, own + others, wired.lasting_a(before), min(fuses, default=None))


def _through_shunt_a(there: list[CircuitPlan]) -> float | None:
    """All that the cables at the battery draw together, or all that they charge, whichever is more."""
    draws = drawn_a(there)
    charges = 0.0
    for one in there:
        running, charging = one.wired.running, one.wired.charging
        if running is None:
            return None
        if one.entered.kind in CHARGING:
            ends = {other.point for other in one.wired.circuit.others}
            last = [index for index in one.wired.shape.order if one.wired.circuit.runs[index].end in ends]
            charges += sum(running.current_a[index] for index in last)
        else:
            charges += 0.0 if charging is None else max(charging.current_a, default=0.0)
    return None if draws is None else max(draws, charges)


def drawn_a(there: Sequence[CircuitPlan]) -> float | None:
    """All that these circuits at the battery draw together for long; None where no voltage carries one of them."""
    loads = [one for one in there if one.entered.kind not in CHARGING]
    if any(one.wired.running is None for one in loads):
        return None
    return sum(feed_current_a(one.wired, one.wired.running) for one in loads)


def shunt_bears_a(there: Sequence[CircuitPlan]) -> float | None:
    """What the one cable from the battery's negative over the shunt to the bar must bear: no fuse stands in it, and a short
    circuit of one circuit flows in it beside what the others draw. None where no voltage carries one of them.

    The largest over the circuits of its fuse and the lasting current of all others.
    """
    drawn = drawn_a(there)
    if drawn is None:
        return None
    most = drawn
    for one in there:
        fuses = [
            device.rating_a or 0.0
            for index in roots_at_battery(one)
            for _, device in devices(one.wired.circuit.runs[index])
        ]
        own = 0.0 if one.entered.kind in CHARGING else feed_current_a(one.wired, one.wired.running)
        most = max(most, drawn - own + max(fuses, default=0.0))
    return most


def roots_at_battery(one: CircuitPlan) -> list[int]:
    """The runs of a circuit that end at the battery itself."""
    points = {
        source.point for source in (one.wired.circuit.source, *one.wired.circuit.others) if source.kind == "battery"
    }
    return [index for index, run in enumerate(one.wired.circuit.runs) if points & {run.start, run.end}]


def shunt_link(
    plan_circuits: Sequence[CircuitPlan], family: Family, tinned: bool, insulation_c: float
) -> Conductor | None:
    """The conductor of that cable: the thinnest that bears it in the cabin, and not thinner than the thickest that ends there;
    None where even the thickest does not, or where there is no shunt."""
    there = cables_at_battery(plan_circuits)
    bears_a = shunt_bears_a(there)
    if len(there) < 2 or bears_a is None:
        return None
    ends = [one.wired.runs[index].conductor for one in there for index in roots_at_battery(one)]
    least_mm2 = max((each.conducting_area_mm2 for each in ends), default=0.0)
    for each in conductors(family, tinned):
        if each.conducting_area_mm2 >= least_mm2 and allowable_a(each, insulation_c, AMBIENT_C["cabin"], 2) >= bears_a:
            return each
    return None


def bar_findings(inputs: WiringInput, found: Sequence[Bar]) -> list[Finding]:
    """Every bar against its rating, where one is typed, and against the fuse in front of it."""
    rating_a = inputs.settings.bus_bar_a
    if rating_a is None:
        return []
    said: list[Finding] = []
    where, advice = "wiring/bus_bar_a", "A heavier bar, or two of them with the cables shared out."
    for one in found:
        if one.studs <= NO_BAR:
            continue
        name = f"The negative bar behind {SHUNT}" if one.point == SHUNT else f"{one.point}: the bar"
        if one.current_a is not None and one.current_a > HOLDER_SHARE * rating_a:
            above = one.current_a > rating_a
            message = f"{name} passes {amps(one.current_a)}; rated are {rating_a:g} A ({percent(HOLDER_SHARE)} of that for long)."
            said.append(Finding("danger" if above else "warning", where, message, advice))
        elif one.fuse_a is not None and one.fuse_a > rating_a:
            message = f"{name} is rated for {rating_a:g} A; the fuse in front of it lets {one.fuse_a:g} A pass."
            said.append(Finding("danger", where, message, "A smaller fuse, or a heavier bar."))
    return said
