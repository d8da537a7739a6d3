"""The smallest conductor of every run, and the protection in front of it, with what decided."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache

from model.wiring.ampacity import allowable_a
from model.wiring.circuit import Circuit, PointLoad, Tree, tree
from model.wiring.conductors import Conductor, Family, conductors
from model.wiring.flow import Line, allowed_a, draws, line_of, solve
from model.wiring.protection import chosen, devices, guards, needed_a
from model.wiring.short_circuit import at_devices

FAMILY_ROUNDS = 3  # a fuse of another family may have another rating, and that another conductor
SEARCH_TOLERANCE = 1e-6  # of the source's voltage, while sizes are tried

THINNEST_MM2 = 1.309 * 0.99
THINNEST_SHEATHED_MM2 = 0.823 * 0.99
"""16 AWG alone, 18 AWG in a sheath: 33 CFR 183.425; one per cent for the rounding of areas."""
THINNEST_MM2_FAMILY, THINNEST_SHEATHED_MM2_FAMILY = 1.0, 0.75
"""The same by nominal mm2: ISO 10133:2012, clause 7, in an extract."""


@dataclass(frozen=True, slots=True)
class SizedRun:
    """governs: "drop", "ampacity", "mechanical minimum" or "typed". needed_a: what the conductor must bear (its protection's
    rating, or 1.25 x load where there is none). enough: whether a chosen conductor is thick enough, False past the thickest."""

    conductor: Conductor
    governs: str
    needed_a: float
    allowed_a: float
    enough: bool


@dataclass(frozen=True, slots=True)
class Sized:
    """The circuit with every conductor and rating filled in, its tree, and how each run (as in the circuit) came to its size."""

    circuit: Circuit
    shape: Tree
    runs: tuple[SizedRun, ...]


@cache
def allowables_a(
    family: Family, tinned: bool, insulation_c: float, ambient_c: float, bundled: int
) -> tuple[float, ...]:
    """What every size of a family bears, thin first."""
    return tuple(allowable_a(one, insulation_c, ambient_c, bundled) for one in conductors(family, tinned))


@cache
def thinnest(family: Family, tinned: bool, sheathed: bool) -> int:
    """Index of the thinnest size that is strong enough to be pulled and crimped."""
    return next(at for at, one in enumerate(conductors(family, tinned)) if is_strong(one, sheathed))


def is_strong(one: Conductor, sheathed: bool) -> bool:
    """Whether a conductor meets the mechanical minimum; SAE sizes go by their number, as the rule does for AWG."""
    if one.family == "mm2":
        return one.nominal_area_mm2 >= (THINNEST_SHEATHED_MM2_FAMILY if sheathed else THINNEST_MM2_FAMILY)
    least_mm2 = THINNEST_SHEATHED_MM2 if sheathed else THINNEST_MM2
    if one.family == "SAE":  # SAE 16 is taken for 16 AWG here, though it has a tenth less copper
        least_mm2 *= 0.89
    return one.nominal_area_mm2 >= least_mm2


def size(circuit: Circuit) -> Sized:
    """Conductors and protection: what is typed stays and is checked elsewhere, the rest is the smallest that will do.

    First the protection (1.25 x continuous load), then conductors that bear its rating and are strong enough. Where a load
    then loses too much voltage, the untyped runs on the way to the worst of them become thicker, all to one size; the next
    worst follows with what is left. Fuse families are chosen last, for they need the short-circuit current behind the
    conductors; where that changes a rating, once more.
    """
    shape = tree(circuit)
    passing_a = needed_a(circuit, shape)
    system_v = circuit.source.nominal_v
    protected = _protected(circuit, passing_a, system_v, {})
    sized = _conductors(protected, shape, passing_a)
    for _ in range(FAMILY_ROUNDS):
        if not any(True for run in circuit.runs for _ in devices(run)):
            break
        again = _protected(circuit, passing_a, system_v, at_devices(sized.circuit, shape))
        if [(run.protection, run.end_protection) for run in again.runs] == [
            (run.protection, run.end_protection) for run in sized.circuit.runs
        ]:
            break
        sized = _conductors(again, shape, passing_a)
    return sized


def _protected(
    circuit: Circuit, passing_a: Sequence[float], system_v: float, prospective_a: dict[tuple[int, str], float]
) -> Circuit:
    """The circuit with its protections filled in; without a prospective current every family will do."""
    at_battery = {one.point for one in (circuit.source, *circuit.others) if one.kind == "battery"}
    runs = list(circuit.runs)
    for index, run in enumerate(runs):
        filled = {
            end: chosen(
                one,
                passing_a[index],
                system_v,
                prospective_a.get((index, end), 0.0),
                (run.start if end == "start" else run.end) in at_battery,
            )
            for end, one in devices(run)
        }
        if filled:
            runs[index] = replace(run, protection=filled.get("start"), end_protection=filled.get("end"))
    return replace(circuit, runs=tuple(runs))


def _conductors(circuit: Circuit, shape: Tree, passing_a: Sequence[float]) -> Sized:
    """Conductors for a circuit whose protections are filled in."""
    needed = _must_bear(circuit, shape, passing_a)
    choice = conductors(circuit.family, circuit.tinned)
    allowed = [
        allowables_a(circuit.family, circuit.tinned, run.insulation_c, run.ambient_c, run.bundled)
        for run in circuit.runs
    ]
    by_ampacity = [bisect_left(bears, must - 1e-9) for bears, must in zip(allowed, needed, strict=True)]
    by_strength = [thinnest(circuit.family, circuit.tinned, run.sheathed) for run in circuit.runs]
    last = len(choice) - 1
    least = [min(max(pair), last) for pair in zip(by_ampacity, by_strength, strict=True)]
    final, met = _by_drop(circuit, shape, least, allowed)
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
            governs = "drop"
        enough = by_ampacity[index] <= last and (met or governs != "drop")
        sized.append(SizedRun(choice[at], governs, needed[index], allowed[index][at], enough))
        runs[index] = replace(run, conductor=choice[at])
    return Sized(replace(circuit, runs=tuple(runs)), shape, tuple(sized))


def _must_bear(circuit: Circuit, shape: Tree, passing_a: Sequence[float]) -> list[float]:
    """For each run the largest rating that protects it from any source; where one does not, 1.25 x load.

    A limited source needs no protection where the conductor bears all it can give.
    """
    found = list(passing_a)
    for guard in guards(circuit, shape)[0]:
        amps = guard.rating_a if guard.rating_a is not None else guard.source.limited_a or 0.0
        found[guard.run] = max(found[guard.run], amps)
    return found


def _by_drop(
    circuit: Circuit, shape: Tree, least: list[int], allowed: Sequence[Sequence[float]]
) -> tuple[list[int], bool]:
    """Sizes, as indices, with which every load keeps its limit of drop, and whether that could be had."""
    choice = conductors(circuit.family, circuit.tinned)
    trial = _Trial(circuit, shape, choice, allowed)
    found = list(least)
    free = {index for index in shape.order if circuit.runs[index].conductor is None}
    worst = trial.worst(found)
    while worst is not None:
        low, high = 0, len(choice) - 1  # low does not do
        thick = _thickened(found, free, high)
        if thick == found or trial.worst(thick) is not None:
            return thick, False
        while high - low > 1:
            middle = (low + high) // 2
            fails = trial.worst(_thickened(found, free, middle))
            if fails is None:
                high = middle
            else:
                low, worst = middle, fails
        on_the_way = free.intersection(shape.path(shape.place[worst.point]))
        if not on_the_way:  # nothing of its own is free: what is shared must be thick enough for it
            on_the_way = set(free)
        found = _thickened(found, on_the_way, high)
        free -= on_the_way
        worst = trial.worst(found)
    return found, True


def _thickened(sizes: list[int], which: set[int], least: int) -> list[int]:
    return [max(at, least) if index in which else at for index, at in enumerate(sizes)]


class _Trial:
    """Tries sizes on one circuit: what does not change is prepared once."""

    def __init__(
        self, circuit: Circuit, shape: Tree, choice: Sequence[Conductor], allowed: Sequence[Sequence[float]]
    ) -> None:
        self.circuit, self.shape, self.choice, self.allowed = circuit, shape, choice, allowed
        self.draws = draws(circuit, shape, lambda load: load.power_w)
        self.loads = [
            (shape.place[load.point], load.drop_limit * circuit.source.nominal_v, load)
            for load in circuit.loads
            if load.point in shape.place and load.power_w > 0
        ]
        self.lines: dict[tuple[int, int], Line] = {}
        self.bare = [line_of(run, 0.0, 0.0) for run in circuit.runs]

    def line(self, index: int, at: int) -> Line:
        """Run `index` with size `at`, or with the conductor that is typed."""
        found = self.lines.get((index, at))
        if found is not None:
            return found
        run, bare = self.circuit.runs[index], self.bare[index]
        one, bears_a = self.choice[at], self.allowed[index][at]
        if run.conductor is not None:
            one, bears_a = run.conductor, allowed_a(run, run.conductor)
        found = Line(one.resistance_20c_ohm_per_m * run.loop_m, bare.fixed_ohm, bare.ambient_c, bare.hottest_c, bears_a)
        self.lines[index, at] = found
        return found

    def worst(self, sizes: Sequence[int]) -> PointLoad | None:
        """The load that exceeds its limit of drop by the largest factor; None where all keep theirs."""
        lines = [self.line(index, sizes[index]) for index in self.shape.order]
        source = self.circuit.source
        answer = solve(self.shape.parent, lines, self.draws, source.running_v, tolerance=SEARCH_TOLERANCE)
        if answer is None:  # no operating point: the farthest in resistance is as good a guess as any
            return self._farthest(lines)
        volts = answer[0]
        worst, most = None, 1.0
        for place, limit_v, load in self.loads:
            drop_v = source.running_v - volts[place] + source.upstream_drop_v
            if drop_v > limit_v * most:
                worst, most = load, drop_v / limit_v if limit_v > 0 else most
        return worst

    def _farthest(self, lines: Sequence[Line]) -> PointLoad:
        ohm = [0.0] * (len(lines) + 1)
        for place in range(1, len(ohm)):
            ohm[place] = ohm[self.shape.parent[place]] + lines[place - 1].ohm_20c
        return max(self.loads, key=lambda one: ohm[one[0]])[2]
