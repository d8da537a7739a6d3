"""The commands of the Circuits: rows of the list, of the tree and of the bench, and the forms."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from model import edit
from model.design import Circuit, Design, Reading
from model.wiring.made import is_on_panel
from model.wiring.reshape import enter, named, root, with_run, without_run
from model.wiring.table import CircuitPlan
from tui import display
from tui.screens.circuit_form import CircuitForm
from tui.screens.circuit_rows import Opened
from tui.screens.circuits import LIST, ONE, PAPERS, CircuitsPlace
from tui.screens.form import Form

if TYPE_CHECKING:
    from tui.app import Ampledger

MADE = "The program makes this circuit from the rest of the design; Enter opens it, and an edit there enters it."
PAPER = "The papers follow from the circuits: Esc leads back to them."


def design_of(app: Ampledger) -> Design:
    """The design on the screen."""
    assert app.document is not None
    return app.document.design


def circuits_place(app: Ampledger) -> CircuitsPlace:
    """The Circuits, which are the place on the screen."""
    return app.query_one(CircuitsPlace)


def called(circuit: Circuit) -> str:
    """What a circuit is called in the title of an edit."""
    return circuit.name.strip() or "circuit"


def _listed(app: Ampledger) -> tuple[int, Circuit] | None:
    """Index and circuit under the cursor of the list; says why not where it is none that was entered."""
    row, design = circuits_place(app).listing.row, design_of(app)
    head, _, index = row.partition("/")
    if head == "circuits" and int(index) < len(design.circuits):
        return int(index), design.circuits[int(index)]
    app.say(MADE if circuits_place(app).made(row) is not None else "Put the cursor on a circuit.")
    return None


def take(app: Ampledger, place: CircuitsPlace, circuit: Circuit, title: str) -> None:
    """Take an edit of the open circuit at once, so that the cursor can go to what is new."""
    app.edit(*place.design_with(circuit, title))


def _room(app: Ampledger, count: int, what: str) -> bool:
    """Whether a list takes one more row; says so where it does not."""
    if count >= edit.MOST_ROWS:
        app.say(f"{edit.MOST_ROWS} {what} are the most that a table takes.")
    return count < edit.MOST_ROWS


def free_way(design: Design) -> int | None:
    """The lowest way of the panel that no circuit names; None where all are named."""
    taken = {one.way for one in design.circuits if is_on_panel(one)}
    return next((way for way in range(1, int(design.wiring.panel_ways) + 1) if way not in taken), None)


# -- one more ---------------------------------------------------------------------------------------------------------


def new(app: Ampledger) -> None:
    """One more circuit; inside one a run from the point under the cursor; on the bench a reading."""
    place = circuits_place(app)
    if place.level == LIST:
        _new_circuit(app, place)
    elif place.level == PAPERS:
        app.say(PAPER)
    elif place.one.view == "bench":
        _new_reading(app, place)
    else:
        _new_run(app, place)


def _new_circuit(app: Ampledger, place: CircuitsPlace) -> None:
    """Its form opens at once: name, system, feed and way are the first that one knows."""
    design = design_of(app)
    at = len(design.circuits)
    if not _room(app, at, "circuits"):
        return
    circuit = Circuit(way=free_way(design))
    app.edit(edit.insert(design, "circuits", at, [circuit]), "new circuit")
    place.listing.seek(f"circuits/{at}")
    app.push_screen(CircuitForm(app, f"circuits/{at}"))


def _new_run(app: Ampledger, place: CircuitsPlace) -> None:
    opened = place.one.opened
    if opened is None or not _room(app, len(opened.entered.runs), "runs"):
        return
    point = place.one.point or root(opened.entered)
    circuit, index = with_run(opened.entered, point)
    take(app, place, circuit, f"{called(circuit)}: run from {point}")
    place.one.table.put_cursor(f"runs/{index}", "length")


def _new_reading(app: Ampledger, place: CircuitsPlace) -> None:
    opened = place.one.opened
    if opened is None or not _room(app, len(opened.entered.readings), "readings"):
        return
    readings = opened.entered.readings
    far = opened.points[-1][1] if opened.points else ""
    volts = readings[-1].supply_v if readings else design_of(app).system.nominal_v
    reading = Reading(date=date.today().isoformat(), supply_v=volts, point=far)
    take(
        app,
        place,
        replace(opened.entered, readings=(*readings, reading)),
        f"{called(opened.entered)}: one more reading",
    )
    place.bench.table.put_cursor(f"readings/{len(readings)}", "supply_v")


# -- copies, removals, order ------------------------------------------------------------------------------------------


def double(app: Ampledger) -> None:
    """Copy the circuit with its runs, the run as a branch beside itself, or the reading."""
    place = circuits_place(app)
    if place.level == PAPERS:
        app.say(PAPER)
    elif place.level == LIST:
        _double_circuit(app, place)
    else:
        _double_within(app, place)


def _double_circuit(app: Ampledger, place: CircuitsPlace) -> None:
    """Its loads and readings stay with the one that has them."""
    found, design = _listed(app), design_of(app)
    if found is None or not _room(app, len(design.circuits), "circuits"):
        return
    index, circuit = found
    copied = edit.duplicate(design, "circuits", index)
    way = None if circuit.way is None else free_way(design)
    copy = replace(copied.circuits[index + 1], way=way, taps=(), readings=())
    app.edit(edit.put(copied, f"circuits/{index + 1}", copy), f"{called(circuit)} copied, without its loads")
    place.listing.seek(f"circuits/{index + 1}")


def _double_within(app: Ampledger, place: CircuitsPlace) -> None:
    opened, here = place.one.opened, place.one.row()
    if opened is None or here is None or here[0] == "taps":
        app.say("Put the cursor on a run or a reading; a adds a load.")
        return
    what, index = here
    circuit = opened.entered
    if not _room(app, len(getattr(circuit, what)), what):
        return
    if what == "runs":
        start = opened.points[index][0]
        made, at = with_run(circuit, start, named(circuit).runs[index])
        take(app, place, made, f"{called(circuit)}: one more run from {start}")
        place.one.table.put_cursor(f"runs/{at}", "length")
    else:
        readings = (*circuit.readings[: index + 1], *circuit.readings[index:])
        take(app, place, replace(circuit, readings=readings), f"{called(circuit)}: reading copied")


def remove(app: Ampledger) -> None:
    """Remove the row under the cursor; what hangs beyond a run then hangs where it began."""
    place = circuits_place(app)
    if place.level == PAPERS:
        app.say(PAPER)
    elif place.level == LIST:
        if (found := _listed(app)) is not None:
            index, circuit = found
            app.edit(edit.remove(design_of(app), "circuits", [index]), f"removed {called(circuit)}")
    elif (opened := place.one.opened) is not None:
        _remove_within(app, place, opened)


def _remove_within(app: Ampledger, place: CircuitsPlace, opened: Opened) -> None:
    here, circuit, name = place.one.row(), opened.entered, called(opened.entered)
    if here is None:
        index = place.one.named_load()
        if index is None:
            app.say("The source stays; Del on the list removes the whole circuit.")
            return
        design = design_of(app)
        app.edit(edit.put(design, f"loads/{index}/circuit", ""), f"{design.loads[index].name} taken off {name}")
        return
    what, index = here
    if what == "runs":
        take(app, place, without_run(circuit, index), f"{name}: run to {opened.points[index][1]} removed")
    elif what == "taps":
        taps = (*circuit.taps[:index], *circuit.taps[index + 1 :])
        take(app, place, replace(circuit, taps=taps), f"{name}: {circuit.taps[index].load or 'load'} taken off")
    else:
        readings = (*circuit.readings[:index], *circuit.readings[index + 1 :])
        take(app, place, replace(circuit, readings=readings), f"{name}: reading removed")


def move(app: Ampledger, by: int) -> None:
    """Swap a circuit with its neighbour in the list, its way with it; inside one, hang a load at the point before or after."""
    place = circuits_place(app)
    if place.level == PAPERS:
        app.say(PAPER)
    elif place.level == LIST:
        _move_circuit(app, place, by)
    else:
        _move_within(app, place, by)


def _move_circuit(app: Ampledger, place: CircuitsPlace, by: int) -> None:
    found, design = _listed(app), design_of(app)
    if found is None:
        return
    index, circuit = found
    if circuit.kind != "loads":
        app.say("The battery's side stands first, in the order of the current; the panel's circuits can be moved.")
        return
    other = place.listing.neighbour(by)
    beside = design.circuits[other] if other is not None else None
    if other is None or beside is None or (beside.kind, beside.feed) != (circuit.kind, circuit.feed):
        app.say("There is no circuit of the same feed to swap with.")
        return
    title = f"{called(circuit)} swapped with {called(beside)}"
    if circuit.way != beside.way and is_on_panel(circuit):
        design = edit.put(design, f"circuits/{index}/way", beside.way)
        app.edit(edit.put(design, f"circuits/{other}/way", circuit.way), title)
    else:
        design = edit.put(design, f"circuits/{index}", beside)
        app.edit(edit.put(design, f"circuits/{other}", circuit), title)
        place.listing.seek(f"circuits/{other}")


def _move_within(app: Ampledger, place: CircuitsPlace, by: int) -> None:
    opened, here = place.one.opened, place.one.row()
    if opened is None or here is None or here[0] == "runs":
        app.say("The tree orders its runs itself; put the cursor on a load to hang it elsewhere.")
        return
    what, index = here
    if what == "readings":
        _move_reading(app, place, opened.entered, index, by)
        return
    points = place.one.points_in_order()
    at = points.index(place.one.point) + by if place.one.point in points else -1
    if not 0 <= at < len(points):
        app.say("There is no point further on." if by > 0 else "There is no point before this one.")
        return
    whole = named(opened.entered)
    tap = replace(whole.taps[index], point=points[at])
    take(app, place, edit.put(whole, f"taps/{index}", tap), f"{called(whole)}: {tap.load or 'load'} at {points[at]}")


def _move_reading(app: Ampledger, place: CircuitsPlace, circuit: Circuit, index: int, by: int) -> None:
    readings = list(circuit.readings)
    if 0 <= index + by < len(readings):
        readings.insert(index + by, readings.pop(index))
        take(app, place, replace(circuit, readings=tuple(readings)), f"{called(circuit)}: reading moved")
        place.bench.table.put_cursor(f"readings/{index + by}", "supply_v")


# -- forms and bench ---------------------------------------------------------------------------------


async def details(app: Ampledger) -> None:
    """A form with every field of the row under the cursor."""
    place = circuits_place(app)
    if place.level == PAPERS:
        app.say(PAPER)
        return
    which = place.listing.row if place.level == LIST else place.open_path
    made = place.made(which)
    if made is None and not which.startswith("circuits/"):
        await settings(app)
        return
    path, made = _entered_path(app, made, which)
    here = place.one.row() if place.level == ONE else None
    if here is not None and here[0] == "runs":
        path = f"{path}/runs/{here[1]}"
    elif here is not None and here[0] == "readings":
        await app.push_screen_wait(Form(app, f"{path}/readings/{here[1]}"))
        return
    elif place.level == ONE and (load := place.one.load_under_cursor()) is not None:
        await app.push_screen_wait(Form(app, f"loads/{load}"))
        return
    await app.push_screen_wait(CircuitForm(app, path, made=made))


def _entered_path(app: Ampledger, made: CircuitPlan | None, which: str) -> tuple[str, CircuitPlan | None]:
    """Where a circuit stands once it is entered; and the circuit, where the program made it."""
    if made is None or which.startswith("circuits/"):
        return which, None
    made = replace(made, path=None)  # its figures may still be those of a design in which it is entered
    return enter(design_of(app), made)[1], made


async def settings(app: Ampledger) -> None:
    """What holds for all cables: conductor sizes, panel, spool, jacket colours."""
    await app.push_screen_wait(CircuitForm(app, "wiring"))


async def take_measured(app: Ampledger) -> None:
    """The measured current of a reading into the load table; where the reading looks like a fault, after a question."""
    from model.wiring.bench_check import bench_check
    from model.wiring.bench_check import take_measured as taken
    from model.wiring.bench_words import suspicion

    place = circuits_place(app)
    opened = place.one.opened if place.level == ONE else None
    index = place.bench.reading() if opened is not None and place.one.view == "bench" else None
    if opened is None or opened.figures is None or index is None:
        app.say("Open a circuit, go on with v to its bench, and put the cursor on a reading.")
        return
    try:
        design = taken(design_of(app), opened.figures, index)
    except ValueError as trouble:
        app.say(f"Not taken: {trouble}")
        return
    reading = opened.entered.readings[index]
    amps, found = reading.current_a, bench_check(opened.figures, reading)
    fault = suspicion(opened.figures, reading, found)
    if fault and not await _all_the_same(app, fault, found.factor or 0.0):
        return
    app.edit(design, f"{called(opened.entered)}: its loads draw the measured {amps:g} A")


async def _all_the_same(app: Ampledger, fault: str, factor: float) -> bool:
    """Whether a reading that looks like a fault is taken into the load table after all."""
    from tui.screens.ask import Ask

    words = (
        f"{display.local(fault)}\n\nTaken now, all its loads are planned with {display.percent(factor)} of their power."
    )
    answers = (("f", "find the fault first; nothing changes"), ("t", "take the reading all the same"))
    return await app.push_screen_wait(Ask("This looks like a fault", words, answers)) == "t"
