"""How batteries in parallel share the current, by their own resistance and that of the links between them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

TakeOff = Literal["one end", "opposite ends", "bus bars"]


def shares(battery_ohm: Sequence[float], link_ohm: float, take_off: TakeOff) -> list[float]:
    """Share of each battery in the common current, their sum 1; equal open-circuit voltages.

    Battery 1 is the one at the positive take-off. link_ohm: one link between neighbours, the same on either side; with bus
    bars the lead of each battery, both ways. Kirchhoff's rules around each pair of neighbours:
    R_k I_k - R_(k+1) I_(k+1) = r (sum of I beyond k) + r (the same again, or less the sum up to k at opposite ends).
    """
    if take_off == "bus bars":
        conductances = [1 / (ohm + link_ohm) for ohm in battery_ohm]
        return [one / sum(conductances) for one in conductances]
    # From the last battery back, each current as (a, b) in I = a x + b with x that of the last and the sum of all 1.
    last = (1.0, 0.0)
    found, beyond = [last], last
    for near_ohm, far_ohm in zip(reversed(battery_ohm[:-1]), reversed(battery_ohm[1:]), strict=True):
        uneven = 0.0 if take_off == "one end" else -link_ohm
        near = (
            (far_ohm * found[-1][0] + 2 * link_ohm * beyond[0]) / near_ohm,
            (far_ohm * found[-1][1] + 2 * link_ohm * beyond[1] + uneven) / near_ohm,
        )
        found.append(near)
        beyond = beyond[0] + near[0], beyond[1] + near[1]
    x = (1 - beyond[1]) / beyond[0]
    return [a * x + b for a, b in reversed(found)]
