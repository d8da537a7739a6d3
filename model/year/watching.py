"""To hear how far a simulation is, and to stop it."""

from __future__ import annotations

from collections.abc import Callable


class Cancelled(Exception):
    """The simulation was told to stop."""


def watched(progress: Callable[[float], None] | None, cancelled: Callable[[], bool] | None) -> Callable[[float], None]:
    """Asks and tells, in that order, whenever a part is done."""

    def watch(share: float) -> None:
        if cancelled is not None and cancelled():
            raise Cancelled
        if progress is not None:
            progress(share)

    return watch
