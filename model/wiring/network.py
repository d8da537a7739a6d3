"""Voltages in a tree of resistances with loads of constant power, current and resistance. Plain numbers in and out.

Newton's iteration on the nodal equations. In a tree each step is one sweep to the source, which eliminates point after point,
and one sweep back. Started from the source's voltage it comes down to the operating point from above and never steps over it,
for the equations are convex there and a constant-power load only draws more as the voltage sinks; a pivot that is not positive
therefore means that no voltage carries these loads (Ortega & Rheinboldt, Iterative Solution of Nonlinear Equations, 13.3.4).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple


class Draw(NamedTuple):
    """The loads of one point together: I(V) = current_a + power_w / V + conductance_s x V."""

    power_w: float = 0.0
    current_a: float = 0.0
    conductance_s: float = 0.0


def newton_step(
    parent: Sequence[int], ohm: Sequence[float], draws: Sequence[Draw], emf_v: float, volts: Sequence[float]
) -> tuple[list[float], list[float]] | None:
    """Volts after one step, and the currents into each place by the equations linear at `volts`.

    None where there is no operating point. parent: the place before each, -1 for place 0, which stands behind `ohm[0]` on the
    source; a parent comes before its children.
    """
    draw: list[float] = []
    slope: list[float] = []
    for (power_w, current_a, conductance_s), volt in zip(draws, volts, strict=True):
        if power_w:
            amps = power_w / volt
            draw.append(current_a + amps + amps)
            slope.append(conductance_s - amps / volt)
        else:  # most points have none
            draw.append(current_a)
            slope.append(conductance_s)
    for place in range(len(parent) - 1, -1, -1):
        pivot = 1.0 + slope[place] * ohm[place]
        if pivot <= 0:
            return None
        draw[place] /= pivot
        slope[place] /= pivot
        if place:
            before = parent[place]
            draw[before] += draw[place]
            slope[before] += slope[place]
    found: list[float] = []
    for place, before in enumerate(parent):
        ahead = found[before] if place else emf_v
        draw[place] += slope[place] * ahead
        volt = ahead - ohm[place] * draw[place]
        if volt <= 0:
            return None
        found.append(volt)
    return found, draw


def currents_a(parent: Sequence[int], draws: Sequence[Draw], volts: Sequence[float]) -> list[float]:
    """Current into each place, with all beyond it: what flows in the run that ends there."""
    flow = [
        current_a + power_w / volt + conductance_s * volt
        for (power_w, current_a, conductance_s), volt in zip(draws, volts, strict=True)
    ]
    for place in range(len(parent) - 1, 0, -1):
        flow[parent[place]] += flow[place]
    return flow
