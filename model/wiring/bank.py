"""The house battery as the wiring meets it: voltages, resistance, short-circuit current, and how paralleled ones share."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import cast

from model.design import Wiring
from model.storage.chemistry import chemistries
from model.wiring.circuit import Source
from model.wiring.conductors import conductor
from model.wiring.parallel import TakeOff, shares, together_ohm
from model.wiring.short_circuit import WARM_C, bank_ohm, cell, cold_factor

LOW_V_PER_12_V = 11.0
"""A low battery that inverters and refrigerators still run on: 22 V of 24 V in an inverter example after Wiles and Sandia."""

DOUBTED = 0.5
"""Of the least that a battery's cells give into a short circuit: a typed current below that is not believed. Common practice, no
source; what is published of cells spreads by a factor of three."""

LINK_MM2, LINK_M, LUGS_OHM = "50", 0.25, 0.0001
"""A link between paralleled batteries where nobody measured it: short and thick, with two lugs. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Bank:
    """source: all batteries together. one_least_ohm, one_most_ohm: each of them, 0 where its capacity is not known; the least is
    the maker's where it is typed. shares: of each in the common current. disbelieved_a: a typed short-circuit current that is
    below what even warm and worn cells of that capacity give, which is reckoned with in its place; else None."""

    source: Source
    cells: int
    one_least_ohm: float
    one_most_ohm: float
    shares: tuple[float, ...]
    disbelieved_a: float | None = None


@lru_cache(maxsize=64)
def bank(
    chemistry: str, installed_ah: float, parallel: int, system_v: float, settings: Wiring, temperature_c: float = WARM_C
) -> Bank:
    """The battery of `parallel` equal strings of that chemistry.

    Running at nominal voltage, as sizing does; low: as empty as it gets, but not below what devices still run on. With a
    short-circuit current of one battery by its maker its least resistance follows from that, but not from less than
    `DOUBTED` of what its cells give at least: nothing in front of a fuse may be taken for harmless by a slip of the keyboard.
    temperature_c: at its cells on a cold evening; what starts then meets their resistance in the cold.
    """
    kind, one = chemistries()[chemistry], cell(chemistry)
    cells, count = kind.cells(system_v), max(1, parallel)
    running_v, full_v = cells * kind.cell_nominal_v, cells * one.full_v
    low_v = min(max(cells * kind.cell_empty_v, system_v / 12 * LOW_V_PER_12_V), running_v)
    least: float | None = None
    most: float | None = None
    cold: float | None = None
    one_least = one_most = 0.0
    typed_a, disbelieved_a = settings.short_circuit_a, None
    parts = [1.0]
    if installed_ah > 0:
        take_off, copper = cast(TakeOff, settings.take_off), conductor("mm2", LINK_MM2)
        link_least = copper.resistance_20c_ohm_per_m * LINK_M if settings.link_ohm is None else settings.link_ohm
        link_most = link_least + LUGS_OHM if settings.link_ohm is None else settings.link_ohm
        links_ohm = one.link_mohm / 1000 * cells
        one_least = bank_ohm(one.least_mohm_ah, cells, installed_ah / count, 1, links_ohm)
        one_most = bank_ohm(one.most_mohm_ah, cells, installed_ah / count, 1, links_ohm)
        if typed_a is not None and typed_a < DOUBTED * full_v / one_most:
            typed_a, disbelieved_a = None, typed_a
        if typed_a is not None:
            one_least = full_v / typed_a
            one_most = max(one_most, one_least)
        least = together_ohm([one_least] * count, link_least, take_off)
        most = together_ohm([one_most] * count, link_most, take_off)
        cold = together_ohm([one_most * cold_factor(one.at_0c, temperature_c)] * count, link_most, take_off)
        parts = shares([one_least] * count, link_most, take_off)
    elif typed_a is not None:  # no capacity to hold it against
        one_least = one_most = full_v / typed_a
        least = most = one_least / count
    source = Source("battery", "battery", system_v, running_v, low_v, full_v, least, most, ohm_cold=cold)
    return Bank(source, cells, one_least, one_most, tuple(parts), disbelieved_a)
