"""How many modules fit on the roof, and where: a rectangle with margins, gaps and obstacles.

All lengths are turned into whole tenths of a millimetre first, so that touching rectangles never overlap by rounding.
Any layout can be pushed to the front and to the left until every module touches a margin, an obstacle or another
module; so only the positions reachable in that way are tried, lengthwise and crosswise mixed ("normal patterns",
Christofides & Whitlock 1977). Positions that another can replace are left out; a largest set without overlap
among the rest is found as an integer program, which the few positions left make small.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from model.design import Module, Obstacle, Roof
from model.supply.sun import KLEIN_DAYS, declination_rad

Ints: TypeAlias = NDArray[np.int64]

PER_METRE = 10_000
LARGEST_SEARCH = 1_500
"""Positions up to which the best layout is searched; with more, rows and columns from the front must do."""
LARGEST_EFFORT = 200
"""Nodes of the solver's search; on roofs it ends within five. Unlike a limit on time, it is the same on every machine."""
MOST_MODULES = 100


@dataclass(frozen=True, slots=True)
class Placed:
    """One module on the roof: x from the front and y from the left edge to its nearer edges, all in metres.

    `length_m` runs along the van, `width_m` across it; `turned` says that the module's long side lies across.
    """

    x_m: float
    y_m: float
    length_m: float
    width_m: float
    turned: bool


@dataclass(frozen=True, slots=True)
class Fit:
    """The layout with the most modules. `proven`: the search came to its end, no layout holds more."""

    modules: tuple[Placed, ...]
    left_over_m2: float
    proven: bool


@lru_cache(maxsize=128)
def fit(roof: Roof, length_m: float, width_m: float) -> Fit:
    """As many modules of this length and width as the roof holds, ordered from the front, then from the left."""
    tracks = _Tracks.of(roof, length_m, width_m)
    positions = tracks.positions()
    if positions is None:
        rows, proven = tracks.grid(), False
    elif len(positions) <= LARGEST_SEARCH:
        rows, proven = _largest_set(_without_dominated(positions))
    else:
        rows, proven = max(tracks.grid(), _one_after_the_other(positions), key=len), False
    placed = [_placed(row, length_m, width_m) for row in rows.tolist()]
    modules = tuple(sorted(placed, key=lambda one: (one.x_m, one.y_m)))
    covered = len(modules) * length_m * width_m + _obstacle_area_m2(roof)
    return Fit(modules, max(roof.length_m * roof.width_m - covered, 0.0), proven)


def fit_modules(roof: Roof, module: Module) -> Fit:
    """As `fit`, for a module of the design."""
    return fit(roof, module.length_m, module.width_m)


def distance_m(module: Placed, obstacle: Obstacle) -> float:
    """Distance between the nearest edges of a module and an obstacle, in the plan view."""
    along = max(obstacle.x_m - module.x_m - module.length_m, module.x_m - obstacle.x_m - obstacle.length_m, 0.0)
    across = max(obstacle.y_m - module.y_m - module.width_m, module.y_m - obstacle.y_m - obstacle.width_m, 0.0)
    return float(np.hypot(along, across))


def noon_elevation_deg(latitude_deg: float, month: int) -> float:
    """How high the sun stands at noon on the month's mean day; negative in the polar night."""
    declination = float(np.rad2deg(declination_rad(float(KLEIN_DAYS[month - 1]))))
    return 90.0 - abs(latitude_deg - declination)


def shadow_m(height_m: float, sun_elevation_deg: float) -> float:
    """Length of a shadow on the flat, height / tan(elevation); infinite while the sun is down."""
    if sun_elevation_deg <= 0:
        return float("inf") if height_m > 0 else 0.0
    return height_m / float(np.tan(np.deg2rad(sun_elevation_deg)))


def shaded(modules: tuple[Placed, ...], obstacle: Obstacle, sun_elevation_deg: float) -> tuple[int, ...]:
    """Indices of the modules that the obstacle's shadow can reach, whichever way the van stands."""
    reach = shadow_m(obstacle.height_m, sun_elevation_deg)
    return tuple(index for index, module in enumerate(modules) if distance_m(module, obstacle) < reach)


@dataclass(frozen=True, slots=True)
class _Tracks:
    """The roof in tenths of a millimetre; the limits that hold for a module's edges."""

    near: int  # margin: the least near edge, along and across
    far: tuple[int, int]  # the largest far edge
    gap: int
    sizes: tuple[tuple[int, int], ...]  # the module lengthwise, and crosswise where that differs
    obstacles: Ints  # near x, near y, far x, far y

    @staticmethod
    def of(roof: Roof, length_m: float, width_m: float) -> _Tracks:
        length, width, margin = _tenths(length_m), _tenths(width_m), _tenths(roof.margin_m)
        corners = [
            (_tenths(o.x_m), _tenths(o.y_m), _tenths(o.x_m + o.length_m), _tenths(o.y_m + o.width_m))
            for o in roof.obstacles
        ]
        return _Tracks(
            near=margin,
            far=(_tenths(roof.length_m) - margin, _tenths(roof.width_m) - margin),
            gap=_tenths(roof.gap_m),
            sizes=((length, width),) if length == width else ((length, width), (width, length)),
            obstacles=np.array(corners, dtype=np.int64).reshape(-1, 4),
        )

    def positions(self) -> Ints | None:
        """Every place where a module may lie after pushing it forward and left, by x, then y.

        None where even listing them takes long (hundreds of modules).
        """
        sides = [sorted({size[axis] for size in self.sizes}) for axis in (0, 1)]
        origins = [{self.near, *(int(far) + self.gap for far in self.obstacles[:, axis + 2])} for axis in (0, 1)]
        starts = [self._starts(origins[axis], sides[axis], axis) for axis in (0, 1)]
        if len(starts[0]) * len(starts[1]) > 20 * LARGEST_SEARCH:
            return None
        found = np.vstack([self._free(starts[0], starts[1], size) for size in self.sizes])
        return np.asarray(found[np.lexsort((found[:, 1], found[:, 0]))])

    def grid(self) -> Ints:
        """Rows and columns from the margins, all modules the same way, the way that gives more of them."""
        ways = []
        for size in self.sizes:
            starts = [self._starts({self.near}, [size[axis]], axis) for axis in (0, 1)]
            ways.append(self._free(starts[0], starts[1], size))
        return max(ways, key=len)[:MOST_MODULES]

    def _starts(self, origins: set[int], sides: list[int], axis: int) -> list[int]:
        """Where a near edge may lie: at the origins, and behind any row of modules that starts there."""
        last = self.far[axis] - sides[0]
        starts: set[int] = set()
        fresh = {origin for origin in origins if self.near <= origin <= last}
        while fresh:
            starts |= fresh
            behind = {start + side + self.gap for start in fresh for side in sides}
            fresh = {start for start in behind if start <= last} - starts
        return sorted(starts)

    def _free(self, along: list[int], across: list[int], size: tuple[int, int]) -> Ints:
        """Rectangles of this size, gap included on the far sides, that keep clear of the margins and the obstacles."""
        x, y = (np.asarray(grid).ravel() for grid in np.meshgrid(along, across, indexing="ij"))
        found = np.stack([x, y, x + size[0] + self.gap, y + size[1] + self.gap], axis=1).astype(np.int64)
        inside = (found[:, 2] - self.gap <= self.far[0]) & (found[:, 3] - self.gap <= self.far[1])
        around = self.obstacles + np.array([0, 0, self.gap, self.gap])
        return found[inside & ~_overlaps(found, around).any(axis=1)]


def _tenths(length_m: float) -> int:
    return round(length_m * PER_METRE)


def _placed(row: list[int], length_m: float, width_m: float) -> Placed:
    near_x, near_y, far_x, far_y = row
    turned = (far_x - near_x < far_y - near_y) == (length_m > width_m)
    turned = turned and length_m != width_m
    along, across = (width_m, length_m) if turned else (length_m, width_m)
    return Placed(near_x / PER_METRE, near_y / PER_METRE, along, across, turned)


def _overlaps(these: Ints, those: Ints) -> NDArray[np.bool_]:
    """Which rectangles of the first table (rows) overlap which of the second (columns); touching is no overlap."""
    one, other = these[:, None, :], those[None, :, :]
    along = (one[..., 0] < other[..., 2]) & (other[..., 0] < one[..., 2])
    return np.asarray(along & (one[..., 1] < other[..., 3]) & (other[..., 1] < one[..., 3]))


def _without_dominated(positions: Ints) -> Ints:
    """Leave out every position that a neighbour can replace: one that overlaps it and nothing beyond what it overlaps.

    The usual reduction for independent sets; it keeps at least one of the largest, and on a roof it leaves few positions.
    """
    while len(positions):
        overlaps = _overlaps(positions, positions)
        counts = overlaps.astype(np.float32)
        within = (counts @ counts.T) >= counts.sum(axis=1)[:, None]  # [i, j]: all that i overlaps, j overlaps too
        earlier = np.triu(np.ones_like(overlaps), 1)
        dominated = (within & overlaps & (~within.T | earlier)).any(axis=0)
        if not dominated.any():
            break
        positions = positions[~dominated]
    return positions


def _largest_set(positions: Ints) -> tuple[Ints, bool]:
    """A largest set of positions without overlap, and whether it is proven; by the HiGHS solver that comes with scipy.

    Each point of the roof lies under at most one module. It is enough to ask this of the points where a position's near x meets
    a position's near y: rectangles that all overlap each other share such a point.
    """
    points = [grid.ravel() for grid in np.meshgrid(*(np.unique(positions[:, axis]) for axis in (0, 1)))]
    covers = np.ones((len(points[0]), len(positions)), dtype=bool)
    for axis in (0, 1):
        at = points[axis][:, None]
        covers &= (positions[:, axis] <= at) & (at < positions[:, axis + 2])
    contested = np.unique(covers[covers.sum(axis=1) > 1], axis=0)
    if not len(contested):
        return positions, True
    from scipy import optimize, sparse

    answer = optimize.milp(
        -np.ones(len(positions)),
        constraints=optimize.LinearConstraint(sparse.csr_array(contested.astype(float)), ub=1),
        integrality=np.ones(len(positions)),
        bounds=optimize.Bounds(0, 1),
        options={"node_limit": LARGEST_EFFORT},
    )
    if answer.x is None:
        return _one_after_the_other(positions), False
    return positions[answer.x > 0.5], bool(answer.status == 0)


def _one_after_the_other(positions: Ints) -> Ints:
    """Positions in their order, each that is still free, up to the most modules that a design holds."""
    taken = positions[:0]
    while len(positions) and len(taken) < MOST_MODULES:
        taken = np.vstack([taken, positions[:1]])
        positions = positions[~_overlaps(positions, positions[:1])[:, 0]]
    return taken


def _obstacle_area_m2(roof: Roof) -> float:
    """Area of the roof under obstacles, overlapping ones counted once."""
    if not roof.obstacles:
        return 0.0
    xs = sorted({np.clip(x, 0, roof.length_m) for o in roof.obstacles for x in (o.x_m, o.x_m + o.length_m)})
    ys = sorted({np.clip(y, 0, roof.width_m) for o in roof.obstacles for y in (o.y_m, o.y_m + o.width_m)})
    return float(
        sum(
            (x2 - x1) * (y2 - y1)
            for x1, x2 in pairwise(xs)
            for y1, y2 in pairwise(ys)
            if any(
                o.x_m <= x1 and x2 <= o.x_m + o.length_m and o.y_m <= y1 and y2 <= o.y_m + o.width_m
                for o in roof.obstacles
            )
        )
    )
