"""What a circuit still bears: the amperes that fuse and conductor leave beyond the loads that hang on it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import inf

from model.wiring.protection import CONTINUOUS, needed_a
from model.wiring.wired import Wired


@dataclass(frozen=True, slots=True)
class Spare:
    """What may still be added at a point, decided by the tightest run on the way there. bears_a: continuous current that its fuse
    and its conductor bear; used_a: what its loads take of it, those that run for short counted as 0.8 of themselves."""

    bears_a: float
    used_a: float

    @property
    def free_a(self) -> float:
        """Continuous current that may be added, 0 where there is none left."""
        return max(0.0, self.bears_a - self.used_a)

    @property
    def share(self) -> float:
        """Of what is borne the part that is left."""
        return self.free_a / self.bears_a if self.bears_a > 0 else 0.0


def spare(one: Wired) -> tuple[Spare | None, ...]:
    """For each place of the tree what may be added there: (min(fuse, conductor) - 1.25 x continuous - other loads) / 1.25.

    None at the source, where nothing leads, and where the source gives only so much (chargers, inverter, array). The drop that
    more current makes is not looked at. 1.25: as `CONTINUOUS`.
    """
    found: list[Spare | None] = [None] * len(one.shape.points)
    source = one.circuit.source
    if source.limited_a is not None or one.parts:
        return tuple(found)
    loads_a = needed_a(
        replace(one.circuit, charges=()), one.shape
    )  # what charges comes from the other side: no load more
    fuses_a = {
        guard.run: guard.rating_a for guard in one.guards if guard.source == source and guard.rating_a is not None
    }
    for place in range(1, len(found)):
        run, before = one.shape.order[place - 1], found[one.shape.parent[place]]
        bears_a = min(fuses_a.get(run, inf), one.runs[run].allowed_a) / CONTINUOUS
        here = Spare(bears_a, loads_a[run] / CONTINUOUS)
        found[place] = here if before is None or here.free_a < before.free_a else before
    return tuple(found)
