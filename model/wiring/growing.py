"""Thicker conductors until every load has the voltage that it needs: while all run, and while one starts on a low battery."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from typing import NamedTuple

from model.wiring.circuit import Circuit, PointLoad, Tree
from model.wiring.conductors import Conductor, conductors
from model.wiring.flow import Line, allowed_a, draws, line_of, running_w, solve, starts

SEARCH_TOLERANCE = 1e-6  # of the source's voltage, while sizes are tried

Sizes = list[int]
"""The size of every run, as its index in the family, thin first."""


class Short(NamedTuple):
    """A load that does not have the volts it needs. volts: of all places, None without an operating point; allowed_v: what may
    be lost between the source's terminals and the load."""

    load: PointLoad
    volts: Sequence[float] | None = None
    allowed_v: float = 0.0


class Trial:
    """Tries sizes on one circuit: what does not change is prepared once."""

    def __init__(self, circuit: Circuit, shape: Tree, allowed: Sequence[Sequence[float]]) -> None:
        """allowed: for each run what every size of the circuit's family bears there."""
        self.circuit, self.shape, self.allowed = circuit, shape, allowed
        self.choice: tuple[Conductor, ...] = conductors(circuit.family, circuit.tinned)
        self.free = frozenset(index for index in shape.order if circuit.runs[index].conductor is None)
        self.draws = draws(circuit, shape, running_w)
        self.loads = [
            (shape.place[load.point], load.drop_limit * circuit.source.nominal_v, load)
            for load in circuit.loads
            if load.point in shape.place and load.power_w > 0
        ]
        self._every = tuple(self.loads)  # those that no copper helps still decide whether there is an operating point
        self.cut_outs = [(place, load.cut_out_v, load) for place, _, load in self.loads if load.cut_out_v is not None]
        self._starts = starts(circuit, shape) if self.cut_outs else []
        self._lines: dict[tuple[int, int], Line] = {}
        self._bare = [line_of(run, 0.0, 0.0) for run in circuit.runs]

    def line(self, index: int, at: int) -> Line:
        """Run `index` with size `at`, or with the conductor that is typed."""
        found = self._lines.get((index, at))
        if found is not None:
            return found
        run, bare = self.circuit.runs[index], self._bare[index]
        one, bears_a = self.choice[at], self.allowed[index][at]
        if run.conductor is not None:
            one, bears_a = run.conductor, allowed_a(run, run.conductor)
        found = Line(one.resistance_20c_ohm_per_m * run.loop_m, bare.fixed_ohm, bare.ambient_c, bare.hottest_c, bears_a)
        self._lines[index, at] = found
        return found

    def lines(self, sizes: Sequence[int]) -> list[Line]:
        """The runs in the order of the tree's places."""
        return [self.line(index, sizes[index]) for index in self.shape.order]

    def by_drop(self, sizes: Sizes) -> tuple[Sizes, bool]:
        """Sizes with which every load keeps its limit of drop, and whether that could be had.

        A load behind a typed conductor that exceeds its limit even behind the thickest others counts no more: copper elsewhere
        does not help it, and a finding tells.
        """
        mixed = self.free and len(self.free) < len(self.shape.order)
        if mixed and not self._without_hopeless(sizes):
            return sizes, False
        return self._grown(sizes, self._most_dropped)

    def _without_hopeless(self, sizes: Sizes) -> bool:
        """Leave them out; False where the typed conductors leave no operating point at all."""
        source = self.circuit.source
        lines = self.lines(_thickened(sizes, self.free, len(self.choice) - 1))
        answer = solve(self.shape.parent, lines, self.draws, source.running_v, tolerance=SEARCH_TOLERANCE)
        if answer is None:
            return False
        volts = answer[0]
        self.loads = [
            (place, limit_v, load)
            for place, limit_v, load in self.loads
            if self.free.issuperset(self.shape.path(place))
            or source.running_v - volts[place] + source.upstream_drop_v <= limit_v
        ]
        return True

    def by_cut_out(self, sizes: Sizes) -> Sizes:
        """Sizes with which no load falls below its cut-out while one starts on a low battery; those that do so even behind the
        thickest conductors count no more: no cable helps them, and a finding tells."""
        if not self.cut_outs:
            return sizes
        thick = _thickened(sizes, self.free, len(self.choice) - 1)
        volts = self._starting(self.lines(thick))
        if volts is None:
            return sizes
        self.cut_outs = [(place, least_v, load) for place, least_v, load in self.cut_outs if volts[place] >= least_v]
        return self._grown(sizes, self._farthest_below)[0]

    def _grown(self, sizes: Sizes, fails: Callable[[Sequence[int]], Short | None]) -> tuple[Sizes, bool]:
        """The untyped runs on the way to the load that fails most become thicker, all to one size, the smallest with which
        nobody would fail if all untyped runs had it; the next worst follows with what is left. fails: who fails with some
        sizes, None where all have what they need. Whether everybody has it in the end is the second answer."""
        found, free, last = list(sizes), set(self.free), len(self.choice) - 1
        worst = fails(found)
        while worst is not None:
            if not free:
                return found, False
            low, high = 0, last + 1  # low does not do; nothing is known of high, or it does
            while high - low > 1:
                at = min(max(self._guess(worst, found, free, low, high), low + 1), high - 1)
                worse = fails(_thickened(found, free, at))
                if worse is None:
                    high = at
                else:
                    low, worst = at, worse
            if high > last:
                return _thickened(found, free, last), False
            on_the_way = free.intersection(self.shape.path(self.shape.place[worst.load.point]))
            if not on_the_way:  # nothing of its own is free: what is shared must be thick enough for it
                on_the_way = set(free)
            found = _thickened(found, on_the_way, high)
            if on_the_way == free:
                break
            free -= on_the_way
            worst = fails(found)
        return found, True

    def _guess(self, short: Short, found: Sizes, free: set[int], low: int, high: int) -> int:
        """The first size that would do if the currents stayed: drops in proportion to the resistances. The middle without it."""
        if short.volts is None or short.allowed_v <= 0:
            return (low + high) // 2
        ends = {index: place for place, index in enumerate(self.shape.order, start=1)}
        now = _thickened(found, free, low)
        drops = []
        for index in self.shape.path(self.shape.place[short.load.point]):
            place = ends[index]
            lost_v, one = short.volts[self.shape.parent[place]] - short.volts[place], self.line(index, now[index])
            ohm = one.ohm_20c + one.fixed_ohm
            if ohm > 0:
                drops.append((index, lost_v / ohm))

        def lost_v_with(at: int) -> float:
            lines = (
                (self.line(index, max(now[index], at) if index in free else now[index]), amps) for index, amps in drops
            )
            return sum(amps * (one.ohm_20c + one.fixed_ohm) for one, amps in lines)

        return bisect_left(range(low + 1, high), True, key=lambda at: lost_v_with(at) <= short.allowed_v) + low + 1

    def _most_dropped(self, sizes: Sequence[int]) -> Short | None:
        """The load that exceeds its limit of drop by the largest factor; None where all keep theirs."""
        lines, source = self.lines(sizes), self.circuit.source
        answer = solve(self.shape.parent, lines, self.draws, source.running_v, tolerance=SEARCH_TOLERANCE)
        if answer is None:  # no operating point: the farthest in resistance is as good a guess as any
            return Short(self._farthest(lines))
        volts = answer[0]
        worst, most = None, 1.0
        for place, limit_v, load in self.loads:
            drop_v = source.running_v - volts[place] + source.upstream_drop_v
            if drop_v > limit_v * most:
                worst = Short(load, volts, limit_v - source.upstream_drop_v)
                most = drop_v / limit_v if limit_v > 0 else most
        return worst

    def _farthest_below(self, sizes: Sequence[int]) -> Short | None:
        """The load that falls farthest below its cut-out while one starts; None where all stay on."""
        lines = self.lines(sizes)
        volts = self._starting(lines)
        if volts is None:
            return Short(self._farthest(lines))
        below = [(least_v - volts[place], load) for place, least_v, load in self.cut_outs if volts[place] < least_v]
        if not below:
            return None
        missing_v, load = max(below, key=lambda one: one[0])
        return Short(load, volts, volts[0] - volts[self.shape.place[load.point]] - missing_v)

    def _starting(self, lines: Sequence[Line]) -> list[float] | None:
        """The lowest voltage of every place over the starts of all loads one by one, as in `flow.worst_start`."""
        source, lowest = self.circuit.source, list[float]()
        for loads in self._starts:
            answer = solve(self.shape.parent, lines, loads, source.low_v, source.start_ohm, SEARCH_TOLERANCE)
            if answer is None:
                return None
            lowest = list(map(min, lowest, answer[0])) if lowest else answer[0]
        return lowest

    def _farthest(self, lines: Sequence[Line]) -> PointLoad:
        ohm = [0.0] * (len(lines) + 1)
        for place in range(1, len(ohm)):
            ohm[place] = ohm[self.shape.parent[place]] + lines[place - 1].ohm_20c
        return max(self._every, key=lambda one: ohm[one[0]])[2]


def _thickened(sizes: Sequence[int], which: set[int] | frozenset[int], least: int) -> Sizes:
    return [max(at, least) if index in which else at for index, at in enumerate(sizes)]
