"""The smallest conductor of every run, and the protection in front of it, with what decided."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import inf

from model.wiring.ampacity import allowable_a
from model.wiring.circuit import Circuit, End, Run, Tree, tree
from model.wiring.conductors import Conductor, Family, conductors
from model.wiring.contacts import derated_a
from model.wiring.flow import Flow, Line, allowed_a, starts, worst_start
from model.wiring.growing import Trial
from model.wiring.network import currents_a
from model.wiring.protection import chosen, devices, guards, needed_a
from model.wiring.short_circuit import at_devices

FAMILY_ROUNDS = 4  # a start or another family may ask for another rating, and that for another conductor

THINNEST_MM2 = 1.309 * 0.99
THINNEST_SHEATHED_MM2 = 0.823 * 0.99
"""16 AWG alone, 18 AWG in a sheath: 33 CFR 183.425; one per cent for the rounding of areas."""
THINNEST_MM2_FAMILY, THINNEST_SHEATHED_MM2_FAMILY = 1.0, 0.75
"""The same by nominal mm2: ISO 10133:2012, clause 7, in an extract."""
THINNEST_MAINS_MM2, THINNEST_MAINS_AWG_MM2 = 1.5, 2.081 * 0.99
"""Of alternating current: 1.5 mm2, IEC 60364-7-721; 14 AWG, the smallest branch circuit of NEC 210.19; both from memory, to be
checked against the standards."""


@dataclass(frozen=True, slots=True)
class SizedRun:
    """governs: "drop", "cut-out", "ampacity", "mechanical minimum" or "typed". needed_a: what the conductor must bear, the rating
    of its protection, or 1.25 x load where there is none. enough: whether a chosen conductor is thick enough, False past the
    thickest."""

    conductor: Conductor
    governs: str
    needed_a: float
    allowed_a: float
    enough: bool


@dataclass(frozen=True, slots=True)
class Sized:
    """The circuit with every conductor and rating filled in, its tree, and how each run (as in the circuit) came to its size.

    lines: the runs of the tree as resistances, in the order of its places. starting_a: for each run the largest current while a
    load starts, as the fuses were chosen by it; 0 where nothing starts or no fuse is wanted. start: that worst start, where it
    was worked out for the fuses.
    """

    circuit: Circuit
    shape: Tree
    runs: tuple[SizedRun, ...]
    lines: tuple[Line, ...]
    starting_a: tuple[float, ...]
    start: Flow | None = None


@cache
def allowables_a(
    family: Family, tinned: bool, insulation_c: float, ambient_c: float, bundled: int, mains: bool = False
) -> tuple[float, ...]:
    """What every size of a family bears, thin first."""
    return tuple(allowable_a(one, insulation_c, ambient_c, bundled, mains) for one in conductors(family, tinned))


@cache
def thinnest(family: Family, tinned: bool, sheathed: bool, mains: bool = False) -> int:
    """Index of the thinnest size that is strong enough to be pulled and crimped."""
    return next(at for at, one in enumerate(conductors(family, tinned)) if is_strong(one, sheathed, mains))


def is_strong(one: Conductor, sheathed: bool, mains: bool = False) -> bool:
    """Whether a conductor meets the mechanical minimum; SAE sizes go by their number, as the rule does for AWG."""
    if mains:
        return one.nominal_area_mm2 >= (THINNEST_MAINS_MM2 if one.family == "mm2" else THINNEST_MAINS_AWG_MM2)
    if one.family == "mm2":
        return one.nominal_area_mm2 >= (THINNEST_SHEATHED_MM2_FAMILY if sheathed else THINNEST_MM2_FAMILY)
    least_mm2 = THINNEST_SHEATHED_MM2 if sheathed else THINNEST_MM2
    if one.family == "SAE":  # SAE 16 is taken for 16 AWG here, though it has a tenth less copper
        least_mm2 *= 0.89
    return one.nominal_area_mm2 >= least_mm2


def size(circuit: Circuit, shape: Tree | None = None) -> Sized:
    """Conductors and protection: what is typed stays and is checked elsewhere, the rest is the smallest that will do.

    First the protection (1.25 x continuous load, and behind some conductors the starts), then conductors that bear its rating
    and are strong enough. Where a load then loses too much voltage, the untyped runs on the way to the worst of them become
    thicker, all to one size; the next worst follows with what is left; then the same where a load would cut out while one
    starts on a low battery (a load that no cable helps is left to a finding). Fuse families and starts are judged behind the
    conductors, for they need the short circuit and the starting current there; where that changes a rating, once more. A start
    never makes a fuse larger than what lies behind it can bear. shape: the runs that count, where they are not all.
    """
    shape = tree(circuit) if shape is None else shape
    passing_a = needed_a(circuit, shape)
    system_v = circuit.fused_v
    starting_a = [0.0] * len(circuit.runs)
    protected = _protected(circuit, passing_a, starting_a, system_v, {}, {})
    if not any(True for run in circuit.runs for _ in devices(run)):
        return _conductors(protected, shape, passing_a)
    anything_starts = any(load.start_a for load in circuit.loads)
    bearable_a = _bearable(protected, shape)
    if anything_starts:  # not yet behind conductors
        protected = _protected(circuit, passing_a, _bare_starts_a(circuit, shape), system_v, {}, bearable_a)
    sized = _conductors(protected, shape, passing_a)
    for _ in range(FAMILY_ROUNDS):
        flow = worst_start(sized.circuit, shape, sized.lines) if anything_starts else None
        if flow is not None:
            starting_a = list(map(max, starting_a, flow.current_a))
        prospective_a = at_devices(sized.circuit, shape, sized.lines)
        again = _protected(circuit, passing_a, starting_a, system_v, prospective_a, bearable_a)
        if [(run.protection, run.end_protection) for run in again.runs] == [
            (run.protection, run.end_protection) for run in sized.circuit.runs
        ]:
            break
        sized, flow = _conductors(again, shape, passing_a), None
    return replace(sized, starting_a=tuple(starting_a), start=flow)


def _bare_starts_a(circuit: Circuit, shape: Tree) -> list[float]:
    """For each run the largest current while a load starts, as if no conductor lost anything: a low battery, all others on."""
    volts, found = [circuit.source.low_v] * len(shape.points), [0.0] * len(circuit.runs)
    for loads in starts(circuit, shape):
        amps = currents_a(shape.parent, loads, volts)
        for place, index in enumerate(shape.order, start=1):
            found[index] = max(found[index], amps[place])
    return found


def _bearable(circuit: Circuit, shape: Tree) -> dict[tuple[int, End], float]:
    """(run, end) -> what the device there may be rated for at most: the least of what lies behind it, up to the next fuse, bears.

    A run that is left to the program bears what the thickest conductor does. Ratings must be filled in.
    """
    found: dict[tuple[int, End], float] = {}
    for guard in guards(circuit, shape)[0]:
        if guard.device is not None:
            found[guard.device] = min(found.get(guard.device, inf), _bears_at_most(circuit, circuit.runs[guard.run]))
    return found


def _bears_at_most(circuit: Circuit, run: Run) -> float:
    """What a run may be made to bear: its conductor, its contacts, and what stands at its end."""
    thickest = conductors(circuit.family, circuit.tinned)[-1]
    bears_a = allowed_a(run, run.conductor or thickest)
    return min(bears_a, inf if run.end_bears_a is None else run.end_bears_a, *map(derated_a, run.contacts), inf)


def _protected(
    circuit: Circuit,
    passing_a: Sequence[float],
    starting_a: Sequence[float],
    system_v: float,
    prospective_a: dict[tuple[int, str], float],
    bearable_a: dict[tuple[int, End], float],
) -> Circuit:
    """The circuit with its protections filled in; without a prospective current every family will do."""
    at_battery = {one.point for one in (circuit.source, *circuit.others) if one.kind == "battery"}
    runs = list(circuit.runs)
    for index, run in enumerate(runs):
        if run.protection is None and run.end_protection is None:
            continue
        filled = {
            end: chosen(
                one,
                passing_a[index],
                system_v,
                prospective_a.get((index, end), 0.0),
                (run.start if end == "start" else run.end) in at_battery,
                starting_a[index],
                min(bearable_a.get((index, end), inf), inf if one.holder_a is None else one.holder_a),
                circuit.source.kind == "panel" and end == "start" and run.start == circuit.source.point,
            )
            for end, one in devices(run)
        }
        runs[index] = replace(run, protection=filled.get("start"), end_protection=filled.get("end"))
    return replace(circuit, runs=tuple(runs))


def _conductors(circuit: Circuit, shape: Tree, passing_a: Sequence[float]) -> Sized:
    """Conductors for a circuit whose protections are filled in."""
    needed = _must_bear(circuit, shape, passing_a)
    allowed = [
        allowables_a(circuit.family, circuit.tinned, run.insulation_c, run.ambient_c, run.bundled, run.mains)
        for run in circuit.runs
    ]
    by_ampacity = [  # where no conductor bears anything (too hot), a finding says so and the thickest helps nobody
        bisect_left(bears, must - 1e-9) if bears[-1] > 0 else 0 for bears, must in zip(allowed, needed, strict=True)
    ]
    by_strength = [thinnest(circuit.family, circuit.tinned, run.sheathed, run.mains) for run in circuit.runs]
    trial = Trial(circuit, shape, allowed)
    last = len(trial.choice) - 1
    least = [min(max(pair), last) for pair in zip(by_ampacity, by_strength, strict=True)]
    by_drop, met = trial.by_drop(least)
    if circuit.charges:
        by_drop, kept = Trial(circuit.charged, shape, allowed).by_drop(by_drop)
        met = met and kept
    final = trial.by_cut_out(by_drop) if met else by_drop
    sized: list[SizedRun] = []
    runs = list(circuit.runs)
    for index, run in enumerate(runs):
        if run.conductor is not None:
            bears = allowed_a(run, run.conductor)
            sized.append(SizedRun(run.conductor, "typed", needed[index], bears, True))
            continue
        at = final[index]
        governs = "ampacity" if by_ampacity[index] > by_strength[index] else "mechanical minimum"
        if at > least[index]:
            governs = "cut-out" if at > by_drop[index] else "drop"
        enough = by_ampacity[index] <= last and (met or governs != "drop")
        sized.append(SizedRun(trial.choice[at], governs, needed[index], allowed[index][at], enough))
        runs[index] = replace(run, conductor=trial.choice[at])
    nothing_starts = (0.0,) * len(runs)
    return Sized(replace(circuit, runs=tuple(runs)), shape, tuple(sized), tuple(trial.lines(final)), nothing_starts)


def _must_bear(circuit: Circuit, shape: Tree, passing_a: Sequence[float]) -> list[float]:
    """For each run the largest rating that protects it from any source; where one does not, 1.25 x load.

    A limited source needs no protection where the conductor bears all it can give.
    """
    found = list(passing_a)
    for guard in guards(circuit, shape)[0]:
        amps = guard.rating_a if guard.rating_a is not None else guard.source.limited_a or 0.0
        found[guard.run] = max(found[guard.run], amps)
    return found
