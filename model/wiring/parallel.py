"""How batteries in parallel share the current, by their own resistance and that of the links between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

TakeOff = Literal["one end", "opposite ends", "bus bars"]


def shares(battery_ohm: Sequence[float], link_ohm: float, take_off: TakeOff) -> list[float]:
    """Share of each battery in the common current, their sum 1; equal open-circuit voltages.

    Battery 1 is the one at the positive take-off. link_ohm: one link between neighbours, the same on either side; with bus
    bars the lead of each battery, both ways. Kirchhoff's rules around each pair of neighbours, S_k the sum of the currents
    beyond battery k: R_k (S_(k-1) - S_k) - R_(k+1) (S_k - S_(k+1)) = 2 r S_k, less r at opposite ends, where the negative links
    carry what is not beyond. S_0 = 1, S_n = 0: three unknowns in a row, the middle one outweighing the others, so that
    elimination stays exact for any number of batteries.
    """
    if take_off == "bus bars":
        conductances = [1 / (ohm + link_ohm) for ohm in battery_ohm]
        return [one / sum(conductances) for one in conductances]
    right = link_ohm if take_off == "opposite ends" else 0.0
    # S_k = a_k S_(k-1) + b_k, from the far end: beyond the last battery flows nothing.
    a, b = 0.0, 0.0
    found: list[tuple[float, float]] = []
    for near_ohm, far_ohm in zip(reversed(battery_ohm[:-1]), reversed(battery_ohm[1:]), strict=True):
        pivot = near_ohm + far_ohm * (1 - a) + 2 * link_ohm
        a, b = near_ohm / pivot, (right + far_ohm * b) / pivot
        found.append((a, b))
    beyond = [1.0]
    for a, b in reversed(found):
        beyond.append(a * beyond[-1] + b)
    return [before - after for before, after in zip(beyond, [*beyond[1:], 0.0], strict=True)]


def together_ohm(battery_ohm: Sequence[float], link_ohm: float, take_off: TakeOff) -> float:
    """Resistance of all of them with their links, between the take-offs: what battery 1 and the links on its way lose of 1 A.

    At one end battery 1 sits at both take-offs; at opposite ends the negative links carry the current of all before them.
    """
    found = shares(battery_ohm, link_ohm, take_off)
    if take_off == "bus bars":
        return found[0] * (battery_ohm[0] + link_ohm)
    lost_v = found[0] * battery_ohm[0]
    if take_off == "opposite ends":
        lost_v += link_ohm * sum(sum(found[: at + 1]) for at in range(len(found) - 1))
    return lost_v
