"""A circuit that a converter cuts in two: what lies before it and what lies beyond, each a circuit with its own source.

A DC-DC charger takes current on one side and gives another on the other. No voltage, no load and no short circuit gets through
it, so each part has its own drop, its own fuses and its own short circuits.
"""

from __future__ import annotations

from dataclasses import replace

from model.wiring.circuit import Circuit, Tree

Part = tuple[Circuit, Tree]


def parts(circuit: Circuit, shape: Tree) -> tuple[Part, ...]:
    """The circuit with its tree; or, where a converter stands between two of its points, the circuit before it and the one that
    it feeds. Runs and loads keep their indices in both; each tree has those of its own part alone."""
    converter = circuit.converter
    cut = 0 if converter is None else shape.place.get(converter.point, 0)
    if converter is None or cut == 0 or cut not in shape.parent:
        return ((replace(circuit, converter=None), shape),)
    beyond = {cut}
    for place, before in enumerate(shape.parent):  # a place comes after the one before it
        if before in beyond:
            beyond.add(place)
    before_it = [place for place in range(len(shape.points)) if place == cut or place not in beyond]
    first = replace(circuit, converter=None)
    second = replace(circuit, source=converter, converter=None)
    return (first, _cut_out(shape, before_it)), (second, _cut_out(shape, sorted(beyond)))


def _cut_out(shape: Tree, kept: list[int]) -> Tree:
    """The tree of some places, the first of which is its source."""
    new = {place: at for at, place in enumerate(kept)}
    points = tuple(shape.points[place] for place in kept)
    return Tree(
        tuple(shape.order[place - 1] for place in kept[1:]),
        (-1, *(new[shape.parent[place]] for place in kept[1:])),
        points,
        {name: at for at, name in enumerate(points)},
        (),
    )
