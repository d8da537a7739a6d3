"""Families of fuses: their standard ratings, and the short-circuit current that each can break."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from model import shelf

TABLE, BREAKERS = "fuses.csv", "breakers.csv"
FULL_V_PER_NOMINAL = 14 / 12
"""A fuse for a 12, 24 or 48 V system is rated for 14, 28 or 56 V at least. Common practice, no source."""

START_S = 0.75
"""A start is taken to be over by then: of a motor, a compressor, an empty capacitor. Common practice, no source."""

BLADES = ("Type F", "Type C", "Type E")
BLADE_START, SLOW_START = 1.35, 2.0
"""Starting current over rating that is let pass for `START_S`. A blade lasts at least 0.75 s at 135 %: ISO 8820-3, from memory,
to be checked against the standard. Large bolted fuses, cartridges and breakers last seconds at 200 %: common practice, no
source."""


@dataclass(frozen=True, slots=True)
class FuseFamily:
    """One kind of fuse. interrupting_a: rated voltage in V -> largest current in A that it breaks at that voltage, rising V.

    alternating_v: the lowest voltage of breakers for alternating current, which break no direct current; else None.
    """

    name: str
    form: str
    ratings_a: tuple[float, ...]
    interrupting_a: Mapping[float, float]
    source: str
    alternating_v: float | None = None

    def breaks_a(self, system_v: float) -> float:
        """Short-circuit current that it can break in a system of that nominal voltage, A; 0 where its voltage is too low."""
        if self.alternating_v is not None and system_v < self.alternating_v:
            return 0.0
        full_v = system_v * (FULL_V_PER_NOMINAL if self.alternating_v is None else 1.0)
        return next((amps for volts, amps in self.interrupting_a.items() if volts >= full_v - 1e-9), 0.0)

    @property
    def start_share(self) -> float:
        """Starting current over rating that it lets pass."""
        return BLADE_START if self.name in BLADES else SLOW_START

    @property
    def start_source(self) -> str:
        """Where `start_share` comes from."""
        lasts = "blade at 135 %: ISO 8820-3, from memory, to be checked against the standard"
        return f"{lasts if self.name in BLADES else 'at 200 %'}; starts of {START_S:g} s: common practice, no source"

    def rating_a(self, least_a: float, start_a: float = 0.0) -> float | None:
        """The smallest standard rating that is not below `least_a` and lets a start of `start_a` pass; None where the family
        ends before."""
        at = bisect_left(self.ratings_a, max(least_a, start_a / self.start_share) - 1e-9)
        return self.ratings_a[at] if at < len(self.ratings_a) else None


@cache
def families() -> dict[str, FuseFamily]:
    """Name -> family, the small and cheap ones first. Treat the answer as read-only: it is shared."""
    found: dict[str, FuseFamily] = {}
    for row in shelf.rows(TABLE):
        name = row["family"]
        before = dict(found[name].interrupting_a) if name in found else {}
        found[name] = FuseFamily(
            name,
            row["form"],
            tuple(float(rating) for rating in row["ratings_a"].split()),
            MappingProxyType({**before, float(row["rated_v"]): float(row["interrupting_a"])}),
            f"{row['source']} ({row['certainty']})",
        )
    return found


@cache
def breakers() -> dict[str, FuseFamily]:
    """Name -> breakers for alternating current, by the voltage that they are made for. Read-only: it is shared."""
    return {
        row["family"]: FuseFamily(
            row["family"],
            "breaker",
            tuple(float(rating) for rating in row["ratings_a"].split()),
            MappingProxyType({float(row["rated_v"]): float(row["interrupting_a"])}),
            f"{row['source']} ({row['certainty']})",
            float(row["least_v"]),
        )
        for row in shelf.rows(BREAKERS)
    }


def breaker_at(volts: float) -> FuseFamily:
    """The breakers that are usual at an alternating voltage from 100 V on."""
    return next(one for one in breakers().values() if one.breaks_a(volts) > 0)


def family_named(name: str | None) -> FuseFamily | None:
    """The family of fuses or breakers of that name."""
    return families().get(name or "") or breakers().get(name or "")


@cache
def _breaking(system_v: float, in_panel: bool = False) -> tuple[tuple[FuseFamily, float], ...]:
    """The families that may be taken, each with what it breaks; in a panel's way those that are pushed in, blades."""
    there = (family for family in families().values() if not in_panel or family.name in BLADES)
    return tuple((family, family.breaks_a(system_v)) for family in there)


def smallest_family(
    least_a: float, system_v: float, prospective_a: float, start_a: float = 0.0, in_panel: bool = False
) -> tuple[FuseFamily, float] | None:
    """Of the families that can break `prospective_a`, the one with the smallest rating >= `least_a` that lets a start of
    `start_a` pass, the first of equals.

    A family whose rated voltage is too low for the system is never taken; None where there is none. in_panel: of blades alone.
    """
    best: tuple[FuseFamily, float] | None = None
    for family, breaks_a in _breaking(system_v, in_panel):
        if breaks_a >= prospective_a and breaks_a > 0:
            rating_a = family.rating_a(least_a, start_a)
            if rating_a is not None and (best is None or rating_a < best[1]):
                best = family, rating_a
    return best


def strongest_family(least_a: float, system_v: float, start_a: float = 0.0) -> tuple[FuseFamily, float] | None:
    """Of the families that have such a rating, the one that breaks the largest current; None where there is none."""
    most_a = max(
        (breaks_a for family, breaks_a in _breaking(system_v) if family.rating_a(least_a, start_a) is not None),
        default=0.0,
    )
    return smallest_family(least_a, system_v, most_a, start_a) if most_a > 0 else None
