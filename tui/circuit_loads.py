"""The commands between the Circuits and the load table: hang a load on a point, and go from a load to its circuit and back."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model.design import Design, Load, Tap
from model.wiring.hanging import is_mains, place_loads
from model.wiring.made import first_point
from model.wiring.reshape import named, root
from tui.circuit_edits import PAPER, called, circuits_place, design_of, take
from tui.screens.circuit_list import UNPLACED
from tui.screens.circuit_rows import hung_on
from tui.screens.circuits import LIST, ONE, PAPERS, CircuitsPlace
from tui.screens.load_rows import INVERTER
from tui.screens.picker import Choice, Picker

if TYPE_CHECKING:
    from tui.app import Ampledger


async def add_load(app: Ampledger) -> None:
    """A load of the load table, picked from a list, onto the point under the cursor; from the list at a circuit's end."""
    place = circuits_place(app)
    if place.level == PAPERS:
        app.say(PAPER)
        return
    design = design_of(app)
    row = place.listing.row
    target = place.made(place.open_path if place.level == ONE else row)
    supply = "AC" if target is not None and is_mains(target.entered) else "DC"
    loads = [load for load in design.loads if load.supply == supply and load.name.strip()]
    if not loads:
        app.say(f"The load table has no {supply} load with a name yet: l leads there.")
        return
    if place.level == LIST and place.made(row) is None and row != UNPLACED:
        app.say("Put the cursor on the circuit that is to carry it.")
        return
    load: Load | None = await app.push_screen_wait(_load_picker(app, design, loads, _target_words(place)))
    if load is None:
        return
    if place.level == ONE:
        _hang(app, place, load)
        return
    key = row if row != UNPLACED else await app.push_screen_wait(_circuit_picker(app, load))
    if key and place.open(key):
        place.one.table.put_cursor(_last_row(place), "to")
        _hang(app, place, load)


def _target_words(place: CircuitsPlace) -> str:
    opened = place.one.opened
    if place.level == ONE and opened is not None:
        return f"Which load hangs at {place.one.point or root(opened.entered)}?"
    made = place.made(place.listing.row)
    return "Which load?" if made is None else f"Which load hangs on {made.name}?"


def _load_picker(app: Ampledger, design: Design, loads: list[Load], title: str) -> Picker:
    """Loads that are on no circuit stand first, marked."""
    left = unplaced(design)
    ordered = sorted(loads, key=lambda one: one not in left)

    def words(one: Load) -> str:
        if one not in left:
            return ""
        return (
            "on no circuit yet" if left[one] >= one.quantity else f"{left[one]:g} of {one.quantity:g} on no circuit yet"
        )

    def find(text: str) -> list[Choice]:
        asked = text.lower().split()
        return [
            Choice(f"{one.name}   {words(one)}".rstrip(), one)
            for one in ordered
            if all(word in one.name.lower() for word in asked)
        ]

    return Picker(title, find, prompt="type part of its name", nothing="No load of the load table is called like this.")


def unplaced(design: Design) -> dict[Load, float]:
    """Loads with pieces that are on no circuit, and how many; those of direct current, for the others find a socket."""
    firsts = tuple(first_point(one) for one in design.circuits)
    left = place_loads(design.circuits, firsts, design.loads).left
    return {load: left[at] for at, load in enumerate(design.loads) if left[at] > 0 and load.supply == "DC"}


def _circuit_picker(app: Ampledger, load: Load) -> Picker:
    circuits = app.plan.wiring.circuits if app.plan is not None else ()

    def find(text: str) -> list[Choice]:
        return [
            Choice(f"{one.key}  {one.name}", one.path)
            for one in circuits
            if one.path is not None
            and one.entered.kind == "loads"
            and not is_mains(one.entered)
            and text.lower() in f"{one.key} {one.name}".lower()
        ]

    nothing = "No circuit is called like this; after Esc, n adds one."
    return Picker(f"Which circuit carries {load.name}?", find, prompt="type part of its name", nothing=nothing)


def _last_row(place: CircuitsPlace) -> str:
    opened = place.one.opened
    return f"runs/{len(opened.entered.runs) - 1}" if opened is not None and opened.entered.runs else "source"


def _hang(app: Ampledger, place: CircuitsPlace, load: Load) -> None:
    opened = place.one.opened
    if opened is None:
        return
    point, circuit = place.one.point or root(opened.entered), named(opened.entered)
    take(
        app,
        place,
        replace(circuit, taps=(*circuit.taps, Tap(load.name, point))),
        f"{called(circuit)}: {load.name} at {point}",
    )
    place.one.table.put_cursor(f"taps/{len(circuit.taps)}", "length")


async def jump(app: Ampledger) -> None:
    """From a load to its circuit; from a circuit to the load under the cursor, or the first that it feeds."""
    if app.place == "loads":
        await _to_circuit(app)
    else:
        await _to_load(app)


async def _to_circuit(app: Ampledger) -> None:
    from tui.screens.loads import LoadsPlace

    loads, design = app.query_one(LoadsPlace), design_of(app)
    index, cell = loads.row_index(), loads.table.cursor
    await app.go("circuits")
    place = circuits_place(app)
    for at in range(len(design.circuits)):
        there = next((one for one in hung_on(design, at) if one.index == index), None)
        if there is not None:
            place.open(f"circuits/{at}")
            row = there.where.removeprefix(f"circuits/{at}/").removesuffix("/circuit")
            place.one.table.put_cursor(row, "to")
            return
    through_inverter = design.loads[index].supply == "AC" if index is not None else cell and cell.row_key == INVERTER
    if through_inverter and place.open("inverter"):
        return
    place.show_list(UNPLACED)
    name = design.loads[index].name if index is not None else ""
    app.say(f"{name or 'This row'} is on no circuit of its own.")


async def _to_load(app: Ampledger) -> None:
    place = circuits_place(app)
    design = design_of(app)
    index: int | None = None
    if place.level == ONE:
        index = place.one.load_index()
    elif place.level == LIST and (made := place.made(place.listing.row)) is not None and made.path is not None:
        hung = hung_on(design, int(made.path.split("/")[1]))
        index = hung[0].index if hung else None
    elif place.level == LIST and place.listing.row == UNPLACED and app.plan is not None:
        names = [load.name for load in design.loads]
        index = next((names.index(name) for name in app.plan.wiring.unplaced if name in names), None)
    if index is None:
        app.say("No load of the load table hangs here.")
        return
    await app.go("loads")
    app.here.go_to(f"loads/{index}/name")
