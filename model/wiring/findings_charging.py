"""What a careful friend would say about bars that the battery and chargers feed together: no one fuse limits what leaves them."""

from __future__ import annotations

from model.wiring.circuit import Tree
from model.wiring.protection import ROUNDING_A, Guard
from model.wiring.wired import Wired
from model.wiring.wording import amps, name_of, run_name, where_of
from model.working import Finding


def charging_findings(one: Wired) -> list[Finding]:
    """Runs beyond a bar where chargers end, behind a fuse that stands before that bar: an overload draws what that fuse lets pass
    and what the chargers give besides."""
    found: list[Finding] = []
    for guard in one.guards:
        sized, rating_a = one.runs[guard.run], guard.rating_a
        if guard.source is not one.circuit.source or rating_a is None or rating_a > sized.allowed_a + ROUNDING_A:
            continue  # the last is a danger by itself
        besides_a = joined_a(one, guard)
        if besides_a <= 0 or rating_a + besides_a <= sized.allowed_a + ROUNDING_A:
            continue
        assert guard.device is not None
        found.append(
            Finding(
                "warning",
                where_of(one, guard.run, "protection"),
                f"{name_of(one, guard.run)}: {sized.conductor.name} bears {amps(sized.allowed_a)} here; the fuse"
                f" in front of it ({run_name(one.circuit.runs[guard.device[0]])}) lets {rating_a:g} A pass, and chargers give"
                f" {amps(besides_a)} behind that fuse.",
                f"A fuse of its own at its start, of {amps(sized.allowed_a)} at most.",
            )
        )
    return found


def joined_a(one: Wired, guard: Guard) -> float:
    """What chargers give between the fuse in front of a run and the run's start: it can meet there what the fuse lets pass, A."""
    if guard.device is None or not one.circuit.charges:
        return 0.0
    shape, (before, end) = one.shape, guard.device
    fused = shape.order.index(before) + 1
    beyond_own = _beyond(shape, shape.order.index(guard.run) + 1)
    behind = _beyond(shape, fused)
    if guard.run == before and end == "start":
        return 0.0
    return sum(
        load.current_a(load.rated_v)
        for load in one.circuit.charges
        if (place := shape.place.get(load.point)) in behind and place not in beyond_own
    )


def _beyond(shape: Tree, place: int) -> set[int]:
    """A place and all beyond it."""
    found = {place}
    for here in range(place + 1, len(shape.points)):  # a point comes before all beyond it
        if shape.parent[here] in found:
            found.add(here)
    return found
