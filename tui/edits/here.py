"""What the edits ask of the screen: the design in hand, and the place if it is the one on the screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.design import Design
from tui.screens.loads import LoadsPlace

if TYPE_CHECKING:
    from tui.app import Ampledger
    from tui.screens.sun import SunPlace
    from tui.screens.year import YearPlace


def design(app: Ampledger) -> Design:
    """The design in hand; there is one wherever an edit can be asked for."""
    assert app.document is not None
    return app.document.design


def loads(app: Ampledger) -> LoadsPlace:
    """The load table, wherever one is."""
    return app.query_one(LoadsPlace)


def sun(app: Ampledger) -> SunPlace | None:
    """The Sun, where it is the place on the screen; its module waits for the first visit, to keep the start short."""
    if app.place != "sun":
        return None
    from tui.screens.sun import SunPlace

    return app.query_one(SunPlace)


def year(app: Ampledger) -> YearPlace | None:
    """The Year, where it is the place on the screen; its module waits for the first visit, as that of the Sun."""
    if app.place != "year":
        return None
    from tui.screens.year import YearPlace

    return app.query_one(YearPlace)
