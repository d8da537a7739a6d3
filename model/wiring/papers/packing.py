"""Pieces on spools: bin packing by two known heuristics, the better answer taken."""

from __future__ import annotations

from collections.abc import Callable, Sequence

ROUNDING_M = 1e-9

Choice = Callable[[list[float], float], int | None]


def packed(lengths_m: Sequence[float], spool_m: float) -> tuple[tuple[int, ...], ...]:
    """Indices of the pieces on each spool, the longest first; none may be longer than a spool.

    First fit decreasing and best fit decreasing; of equals the former. Neither needs more than 11/9 of the fewest spools
    plus 6/9 (Johnson 1974; Dósa, The tight bound of first fit decreasing, ESCAPE 2007). Raises ValueError for a piece that
    is longer than a spool.
    """
    if any(length > spool_m + ROUNDING_M for length in lengths_m):
        raise ValueError("a piece is longer than the spool")
    return min((_fill(lengths_m, spool_m, choice) for choice in (_first_fit, _best_fit)), key=len)


def _fill(lengths_m: Sequence[float], spool_m: float, choice: Choice) -> tuple[tuple[int, ...], ...]:
    spools: list[list[int]] = []
    left_m: list[float] = []
    for piece in sorted(range(len(lengths_m)), key=lambda at: (-lengths_m[at], at)):
        spool = choice(left_m, lengths_m[piece])
        if spool is None:
            spool = len(spools)
            spools.append([])
            left_m.append(spool_m)
        spools[spool].append(piece)
        left_m[spool] -= lengths_m[piece]
    return tuple(tuple(spool) for spool in spools)


def _first_fit(left_m: list[float], length_m: float) -> int | None:
    return next((at for at, left in enumerate(left_m) if left >= length_m - ROUNDING_M), None)


def _best_fit(left_m: list[float], length_m: float) -> int | None:
    fits = [(left, at) for at, left in enumerate(left_m) if left >= length_m - ROUNDING_M]
    return min(fits)[1] if fits else None
