"""One circuit as a drawing: its runs lead down from the source, branches stand to the right, loads hang on their points."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from model.quantities import show
from model.record.diagram import symbols
from model.record.diagram.facts import cables_of, colour, fuse
from model.record.diagram.sheet import MARGIN, SIZE, SMALL, WIDTH, Sheet
from model.record.diagram.symbols import Symbol, load_symbol
from model.wiring.papers.cables import Cable, named
from model.wiring.wired import feed_current_a

if TYPE_CHECKING:
    from model.wiring.circuit import Contact, Protection, Tree
    from model.wiring.table import CircuitPlan

RIGHT = WIDTH - MARGIN
TRUNK, BRANCH, BESIDE = 40.0, 26.0, 20.0  # x of the trunk, from column to column, from a wire to its words
MOST_COLUMNS = 9
TAPS = 470.0  # x where the wire to a point's loads ends
LINE, LOAD_PITCH = 15.0, 19.0
SOURCES = {
    "battery": symbols.BATTERY,
    "alternator": symbols.BATTERY,
    "charger": symbols.AC_DC,
    "controller": symbols.DC_DC,
    "inverter": symbols.DC_AC,
    "array": symbols.SOLAR,
    "panel": symbols.PANEL,
    "bus bar": symbols.PANEL,
}


def draw(sheet: Sheet, circuit: CircuitPlan, top: float) -> float:
    """The circuit below `top`; answers where it ends."""
    y = _head(sheet, circuit, top)
    columns, shape = _columns(circuit.wired.shape), circuit.wired.shape
    cables = cables_of(circuit)
    begins = {0: y}
    sheet.symbol(TRUNK, y, SOURCES[circuit.wired.circuit.source.kind], upright=True)
    half = SOURCES[circuit.wired.circuit.source.kind].half
    y = _taps(sheet, circuit, 0, TRUNK, y) if _loads_at(circuit, 0) else y
    y = max(y, begins[0] + half)
    for place in _walk(shape):
        if place == 0:
            continue
        parent = shape.parent[place]
        x, from_x = _x(columns[place]), _x(columns[parent])
        start = begins[parent] + (half if parent == 0 else 0)
        if x != from_x:  # a branch: from its point's wire sideways, then down
            sheet.line((from_x, start), (from_x, y + 6), (x, y + 6))
            start = y + 6
        y = _run(sheet, cables[shape.order[place - 1]], x, start, max(y, start))
        begins[place] = y
        y = _point(sheet, circuit, place, x, y)
    for fault in shape.faults:
        y += LINE
        sheet.words(TRUNK, y, f"Not drawn: {fault.message}", size=SMALL, room=RIGHT - TRUNK)
    return y + 14


def _x(column: int) -> float:
    return TRUNK + BRANCH * min(column, MOST_COLUMNS)


def _head(sheet: Sheet, circuit: CircuitPlan, top: float) -> float:
    """Title, what feeds it and what it carries; answers the height of the source."""
    wired, source = circuit.wired, circuit.wired.circuit.source
    sheet.words(MARGIN, top + 14, f"{circuit.key} · {circuit.name}", size=13, bold=True, room=RIGHT - MARGIN)
    way = f", way {circuit.entered.way:g}" if circuit.entered.way is not None and source.kind == "panel" else ""
    facts = [f"from {source.point}{way}"]
    if wired.running is None:
        facts.append("no voltage carries these loads: see the findings")
    else:
        facts.append(f"{source.running_v:.2f} V there while running")
        when = "with everything on" if circuit.entered.kind in ("loads", "main", "inverter") else "while charging fully"
        facts.append(f"{show(feed_current_a(wired, wired.running), 'current')} {when}")
    sheet.words(MARGIN, top + 29, " · ".join(facts), size=SMALL, room=RIGHT - MARGIN)
    sheet.words(TRUNK + BESIDE + 4, top + 53, source.point, bold=True, room=TAPS - TRUNK - BESIDE)
    return top + 56


def _walk(shape: Tree) -> Sequence[int]:
    """The places, a whole branch before the trunk goes on: each point's children with the longest last."""
    children: list[list[int]] = [[] for _ in shape.points]
    size = _sizes(shape)
    for place in range(1, len(shape.points)):
        children[shape.parent[place]].append(place)
    order, waiting = [], [0]
    while waiting:
        place = waiting.pop()
        order.append(place)
        waiting += sorted(children[place], key=lambda one: (-size[one], one))  # the smallest is popped first
    return order


def _sizes(shape: Tree) -> list[int]:
    """How many points lie at and beyond each place; children stand behind their parents."""
    size = [1] * len(shape.points)
    for place in range(len(shape.points) - 1, 0, -1):
        size[shape.parent[place]] += size[place]
    return size


def _columns(shape: Tree) -> list[int]:
    """The column of each place: the longest child goes on in that of its parent, the others stand one to the right."""
    size = _sizes(shape)
    straight: dict[int, int] = {}
    for place in range(len(shape.points) - 1, 0, -1):
        parent = shape.parent[place]
        if parent not in straight or size[place] >= size[straight[parent]]:
            straight[parent] = place
    columns = [0] * len(shape.points)
    for place in range(1, len(shape.points)):
        parent = shape.parent[place]
        columns[place] = columns[parent] + (straight[parent] != place)
    return columns


def _run(sheet: Sheet, cable: Cable, x: float, start: float, y: float) -> float:
    """The wire of a run with what sits on it, down from `start`, its words below y; answers where its end is."""
    run, words_x = cable.run, x + BESIDE
    devices: list[tuple[float, Symbol]] = []
    y += 4

    def said(words: str, symbol: Symbol | None = None, bold: bool = False) -> None:
        nonlocal y
        y += 30 if symbol is not None else LINE
        if symbol is not None:
            devices.append((y - 8, symbol))
        baseline = y - 4 if symbol is not None else y
        sheet.words(words_x, baseline, words, size=SMALL, bold=bold, room=RIGHT - words_x)

    def ends(device: Protection | None, contacts: Sequence[Contact], at_start: bool) -> None:
        here = [_contact(one) for one in contacts]
        lines = [(f"fuse {fuse(device)}", symbols.FUSE)] if fuse(device) else []
        lines += here if at_start else []
        for words, symbol in lines if at_start else [*here, *lines]:
            said(words, symbol, symbol is symbols.FUSE)

    ends(run.protection, [one for one in run.contacts if one.end == "start"], True)
    amps = f"{cable.load_a:.3g} A" if cable.load_a is not None else ""
    chassis = "returns through the chassis" if run.returns == "chassis" else ""
    told = (f"{run.length_m:.2f} m", named(cable.conductor), colour(cable), amps, chassis)
    y += LINE
    taken = sheet.words(words_x, y, cable.id, size=SIZE, bold=True, room=200)
    told_x = words_x + taken + 8
    sheet.words(told_x, y, " · ".join(one for one in told if one), room=RIGHT - told_x)
    ends(run.end_protection, [one for one in run.contacts if one.end == "end"], False)
    y += 26
    sheet.drop(x, start, y, *devices)
    return y


def _contact(one: Contact) -> tuple[str, Symbol]:
    pins = f"; {one.pins}" if one.pins else ""
    symbol = symbols.BREAK_PLUG
    if any(word in one.name.lower() for word in ("switch", "isolator")):
        symbol = symbols.SWITCH
    return f"{one.name}: {one.rating_a:g} A, {one.loaded} of {one.poles} contacts carry{pins}", symbol


def _loads_at(circuit: CircuitPlan, place: int) -> list[tuple[Symbol, str]]:
    """What hangs on a point: loads, and sources that it leads to."""
    wired = circuit.wired
    name = wired.shape.points[place]
    others = [one for one in wired.circuit.others if one.point == name]
    found = [(SOURCES[one.kind], f"to the {'house battery' if one.kind == 'battery' else one.kind}") for one in others]
    for load in wired.circuit.loads:
        if load.point != name or (others and load.law == "current"):
            continue
        at_v = wired.running.volts[place] if wired.running is not None else load.rated_v
        told = f"{load.name} · {show(load.power_w, 'power')} · {show(load.current_a(at_v), 'current')}"
        if circuit.entered.kind == "main":
            symbol = symbols.FUSE
        elif circuit.entered.kind == "loads":
            symbol = load_symbol(load.name, load.law == "resistance")
        else:
            symbol = {"inverter": symbols.DC_AC}.get(circuit.entered.kind, symbols.DC_DC)
        found.append((symbol, told))
    return found


def _point(sheet: Sheet, circuit: CircuitPlan, place: int, x: float, y: float) -> float:
    """A point: its dot, name and volts, and its loads; answers where it ends."""
    wired = circuit.wired
    sheet.symbol(x, y, symbols.JOINT)
    share = wired.drop_share(place)
    words_x = x + BESIDE
    volts = ""
    if wired.running is not None and share is not None:
        volts = f"{wired.running.volts[place]:.2f} V, {share * 100:.1f} % lost"
    taken = 0.0
    if volts:
        taken = sheet.words(TAPS - 10, y - 6, volts, size=SMALL, anchor="end") + 16
    sheet.words(words_x, y - 6, wired.shape.points[place], size=SIZE, bold=True, room=TAPS - 10 - words_x - taken)
    return _taps(sheet, circuit, place, x, y)


def _taps(sheet: Sheet, circuit: CircuitPlan, place: int, x: float, y: float) -> float:
    """The wire to the loads of a point, one below the other."""
    found = _loads_at(circuit, place)
    if not found:
        return y
    last = y + LOAD_PITCH * (len(found) - 1)
    sheet.line((x, y), (TAPS + 12, y))
    sheet.line((TAPS, y), (TAPS, last))
    for at, (symbol, words) in enumerate(found):
        here = y + LOAD_PITCH * at
        if at:
            sheet.line((TAPS, here), (TAPS + 12, here))
        sheet.symbol(TAPS + 12 + symbol.half, here, symbol)
        sheet.words(TAPS + 48, here + 4, words, size=SMALL, room=RIGHT - TAPS - 48)
    return last + 4
