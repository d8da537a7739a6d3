"""A bench check in words, a sentence each."""

from __future__ import annotations

from collections.abc import Iterator

from model.design import Reading
from model.wiring.bench_check import BenchCheck, Drop, solved
from model.wiring.table import CircuitPlan

HOT_W = 3.0
"""Heat in one joint that must be found before the walls close. Common practice, no source."""


def explained(circuit: CircuitPlan, reading: Reading, found: BenchCheck) -> tuple[str, ...]:
    """What the reading means: pieces missing or too many, labels, a poor joint and at which end as far as it can be told."""
    if found.planned_a is None:
        return (f"At {reading.supply_v:g} V no voltage carries these loads: there is no current to compare with.",)
    return (*_amps(found, found.planned_a), *_volts(circuit, reading, found))


def suspicion(circuit: CircuitPlan, reading: Reading, found: BenchCheck) -> str:
    """What a reading says of a fault, rather than of labels: the sentence about it; "" where nothing does."""
    said = explained(circuit, reading, found)
    nothing_flows = found.planned_a is not None and not found.amps_agree and found.measured_a <= found.tolerance_a
    if nothing_flows or found.guesses:
        return said[1]
    return said[-1] if found.drop is not None and found.drop.too_much else ""


def _amps(found: BenchCheck, planned_a: float) -> Iterator[str]:
    measured_a = found.measured_a
    if found.amps_agree:
        yield f"{measured_a:.3g} A agrees with the planned {planned_a:.3g} A."
        return
    more = measured_a > planned_a
    share = f" ({abs(measured_a - planned_a) / planned_a * 100:.0f} %)" if planned_a else ""
    yield (
        f"{abs(measured_a - planned_a):.3g} A{share} {'more' if more else 'less'} than the planned {planned_a:.3g} A;"
        f" meter and labels explain {found.tolerance_a:.2g} A."
    )
    if measured_a <= found.tolerance_a:
        yield "Next to nothing flows: a blown fuse, an open switch, a plug or a crimp without contact, or reversed leads."
        return
    for guess in found.guesses:
        yield f"It would fit: {guess.text}; {abs(guess.left_a):.2g} A stay unexplained."
    if found.guesses:
        return
    if more:
        yield "No further pieces explain it: the loads draw more than their labels say, or something else hangs on it."
    else:
        yield f"No missing pieces explain it: the loads draw {measured_a / planned_a * 100:.0f} % of what their labels say."


def _volts(circuit: CircuitPlan, reading: Reading, found: BenchCheck) -> Iterator[str]:
    if reading.far_v is None:
        return
    if not circuit.wired.shape.place.get(reading.point):
        yield f"No run of this circuit leads to {reading.point or 'the point of the volts'}: volts cannot be compared."
    elif reading.far_v > reading.supply_v:
        yield "More volts at the far end than at the supply: one of the two readings is wrong, or another source feeds it."
    elif found.drop is None:
        yield "The plan cannot draw this current, so that the volts cannot be compared."
    elif found.drop.too_much:
        yield from _poor_joint(circuit, reading, found.drop, found.factor or 1.0)
    elif found.drop.too_little:
        yield (
            f"{-found.drop.extra_v:.2f} V less are lost than planned for this current: the route is shorter or the"
            " conductor thicker than entered."
        )
    else:
        yield f"{reading.far_v:.2f} V at {reading.point} agree with the plan for this current."


def _poor_joint(circuit: CircuitPlan, reading: Reading, drop: Drop, factor: float) -> Iterator[str]:
    """One pair of readings cannot tell at which end it is; the next one can."""
    shape, runs = circuit.wired.shape, circuit.wired.circuit.runs
    way = shape.path(shape.place[reading.point])
    first, last = runs[way[0]], runs[way[-1]]
    start = f"{drop.start_ohm * 1000:.0f} milliohm near {first.start}, {drop.start_w:.2g} W of heat"
    yield f"{drop.extra_v:.2f} V more are lost on the way to {reading.point} than planned: a poor crimp, plug or holder."
    if len(way) == 1:
        yield f"It is worth {start}, or as much near {last.end}: volts across each end's joint tell which."
    else:
        yield (
            f"It is worth {start}, if all points are low; or {drop.end_ohm * 1000:.0f} milliohm near {last.end},"
            f" {drop.end_w:.2g} W, if {last.end} alone is."
        )
        state = solved(circuit, reading.supply_v, factor)
        if state is not None:
            middle = runs[way[(len(way) - 1) // 2]].end
            volts = state.volts[shape.place[middle]]
            yield f"Measure at {middle}: {volts:.2f} V puts it beyond {middle}, {volts - drop.extra_v:.2f} V before it."
    if drop.start_w >= HOT_W:
        yield f"{drop.start_w:.2g} W in one joint burn it: find it before the circuit is used."
