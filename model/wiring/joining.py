"""The figures of the parts of a circuit, put together again: per run and per place, as if it were one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, TypeVar

from model.wiring.circuit import Circuit, Tree
from model.wiring.flow import Flow

if TYPE_CHECKING:
    from model.wiring.wired import Wired

_T = TypeVar("_T")


def joined(circuit: Circuit, shape: Tree, parts: Sequence[Wired]) -> Wired:
    """One Wired for the whole circuit. At the converter's own point stands what it is given, not what it gives; the short
    circuit at a place is the one from the source that feeds its part."""
    first = parts[0]
    of_run = {index: one for one in parts for index in one.shape.order}
    of_place = [next(one for one in parts if point in one.shape.place) for point in shape.points]

    def per_run(values: Callable[[Wired], Sequence[_T]]) -> tuple[_T, ...]:
        return tuple(values(of_run.get(index, first))[index] for index in range(len(circuit.runs)))

    def flows(state: Callable[[Wired], Flow | None]) -> Flow | None:
        found = {id(one): state(one) for one in parts}
        if None in found.values():
            return None

        def flow(one: Wired) -> Flow:
            there = found[id(one)]
            assert there is not None
            return there

        return Flow(
            flow(first).state,
            flow(first).emf_v,
            tuple(flow(one).volts[one.shape.place[point]] for one, point in zip(of_place, shape.points, strict=True)),
            per_run(lambda one: flow(one).current_a),
            per_run(lambda one: flow(one).ohm),
            per_run(lambda one: flow(one).temperature_c),
        )

    losses = [one.loss_wh_per_day for one in parts]
    guards = [replace(one, far=shape.place[part.shape.points[one.far]]) for part in parts for one in part.guards]
    return replace(
        first,
        typed=circuit,
        circuit=replace(circuit, runs=per_run(lambda one: one.circuit.runs)),
        shape=shape,
        runs=per_run(lambda one: one.runs),
        passing_a=per_run(lambda one: one.passing_a),
        starting_a=per_run(lambda one: one.starting_a),
        running=flows(lambda one: one.running),
        starting=flows(lambda one: one.starting),
        standby=flows(lambda one: one.standby),
        guards=tuple(guards),
        exposures=tuple(one for part in parts for one in part.exposures),
        short=tuple(one.short[one.shape.place[point]] for one, point in zip(of_place, shape.points, strict=True)),
        at_devices_a={where: amps for part in parts for where, amps in part.at_devices_a.items()},
        loss_wh_per_day=None if None in losses else sum(loss for loss in losses if loss is not None),
        parts=tuple(parts),
    )
