"""As built: the cable under the cursor lies where it stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from model import edit
from tui.circuit_edits import called, circuits_place, take
from tui.screens.circuits import ONE

if TYPE_CHECKING:
    from tui.app import Ampledger


def laid(app: Ampledger) -> None:
    """The cable under the cursor lies in the wall from today on, with the conductor that it has now; again: it does not yet.

    The conductor stays typed, for it is what was bought.
    """
    place = circuits_place(app)
    opened = place.one.opened if place.level == ONE and place.one.view != "bench" else None
    here = place.one.row() if opened is not None else None
    if opened is None or here is None or here[0] != "runs":
        app.say("In an open circuit put the cursor on a point: x lays the cable up to it.")
        return
    circuit, index = opened.entered, here[1]
    run, to = circuit.runs[index], opened.points[index][1]
    if run.laid is not None:
        freed = replace(run, laid=None)
        take(
            app, place, edit.put(circuit, f"runs/{index}", freed), f"{called(circuit)}: the run to {to} is not laid yet"
        )
        return
    figures = opened.figures
    if run.conductor is None and figures is None:
        app.say("Its conductor is still being worked out; press x again.")
        return
    conductor = run.conductor or (figures.wired.runs[index].conductor.name if figures is not None else None)
    done = replace(run, laid=date.today().isoformat(), conductor=conductor)
    take(app, place, edit.put(circuit, f"runs/{index}", done), f"{called(circuit)}: {conductor} to {to} laid today")
