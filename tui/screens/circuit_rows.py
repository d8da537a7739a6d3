"""The rows of one circuit's table: its tree of runs, the loads that hang on it, and the figures of the plan beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isinf

from model import names
from model.design import Circuit, Design
from model.wiring.circuit import PointLoad, Protection
from model.wiring.entered import run_points, same
from model.wiring.hanging import Hung, place_loads
from model.wiring.made import first_point
from model.wiring.reshape import root
from model.wiring.table import CircuitPlan
from model.working import Finding
from tui import display
from tui.screens.circuit_tree import Line, lines
from tui.screens.circuit_words import SIGNS, figure, volts, worst_of, worst_place
from tui.widgets.table_rows import Column, Row

COLUMNS = (
    Column("to", "To", 14, editable=True, kind_hint="name of the point; Enter edits it", takes_letters=True, flex=True),
    Column("length", "Length", 8, "right", editable=True, kind_hint="route, one way, such as 2.6, 2.6 m, 8 ft, 350 mm"),
    Column("conductor", "Conductor", 10, "right", editable=True,
           kind_hint="such as 2.5 mm2, 12 AWG, SAE 12; auto: chosen, in brackets; ✓: laid", takes_letters=True),
    Column("fuse", "Fuse A", 6, "right", editable=True, kind_hint="such as 7.5 A; auto: where and as large as needed; none",
           takes_letters=True),
    Column("amps", names.CURRENT.head, 9, "right"),
    Column("volts", names.VOLTS.short, 5, "right"),
    Column("drop", names.DROP.head, 6, "right"),
    Column("said", "Findings", 8),
)  # fmt: skip
NARROW = (*(one for one in COLUMNS if one.key not in ("amps", "said")), Column("sign", "!", 2))
"""At 60 columns volts are worth more than the word of a finding; its sign stays."""
WIDE = (
    *COLUMNS[:-1],
    Column("governs", "Sized by", 8),
    Column("bears", names.AMPACITY.head, 10, "right"),
    Column("short", "Short A", 7, "right"),
    Column(
        "jacket", "Jacket", 11, editable=True, kind_hint="jacket colour; empty: that of its system", takes_letters=True
    ),
    COLUMNS[-1],
)
WIDEST = (*WIDE, Column("note", "Note", 14, editable=True, kind_hint="any words", takes_letters=True, flex=True))
NAME_ROOM = 8
"""Cells that names get before there is a column of notes: a name that is cut troubles more."""
LOAD_HINTS = {
    "to": "name of the load, as in the load table",
    "length": "how many of them hang here, such as 2; empty: what is left",
    "conductor": "at which point: lamp 2; empty: the last one",
}
SOURCE = "source"
LAID = " ✓"
"""Behind the conductor of a cable that is laid."""
BY = {"mechanical minimum": "strength"}


@dataclass(frozen=True, slots=True)
class Opened:
    """A circuit on the screen. path: None for one that the program made; made: its figures, None while they are awaited.
    hung: what of the load table hangs on it. names: of the loads, by their index."""

    entered: Circuit
    path: str | None
    made: CircuitPlan | None
    hung: tuple[Hung, ...] = ()
    names: tuple[str, ...] = ()

    @property
    def points(self) -> tuple[tuple[str, str], ...]:
        """From and to of every run."""
        return run_points(self.entered.runs, first_point(self.entered))

    @property
    def figures(self) -> CircuitPlan | None:
        """The figures, where they belong to as many runs."""
        fits = self.made is not None and len(self.made.entered.runs) == len(self.entered.runs)
        return self.made if fits else None


def columns_for(width: int) -> tuple[Column, ...]:
    """The columns that `width` cells have room for, with a gap before each and the bar beside them."""
    choices = ((WIDEST, NAME_ROOM), (WIDE, 0), (COLUMNS, 0))
    found = next((one for one, more in choices if sum(column.width + 1 for column in one) + more + 1 <= width), NARROW)
    head = f"Length {display.length_unit()}"
    hint = f"route, one way, in {display.length_unit()} or with its unit, such as 2.6 m, 8 ft, 350 mm"
    return tuple(replace(one, label=head, kind_hint=hint) if one.key == "length" else one for one in found)


def hung_on(design: Design, index: int) -> tuple[Hung, ...]:
    """What of the load table hangs on the circuit at `index`."""
    firsts = tuple(first_point(one) for one in design.circuits)
    return tuple(place_loads(design.circuits, firsts, design.loads).hung[index])


def circuit_rows(one: Opened) -> list[Row]:
    """The source, then every point with its loads, as a tree."""
    loads = _loads(one)
    counts = {point: len(there) for point, there in loads.items()}
    drawn = lines(one.points, root(one.entered), counts)
    return [_row(one, line, loads) for line in drawn]


@dataclass(frozen=True, slots=True)
class _Leaf:
    """A load as a line: row key, name, pieces as shown and as typed, point as typed; editable: an own tap."""

    key: str
    name: str
    pieces: str
    typed: str
    point: str
    editable: bool
    at: int | None = None  # among the loads of the calculation


def _loads(one: Opened) -> dict[str, list[_Leaf]]:
    """The loads of each point, by its name as `same` has it."""
    last = one.points[-1][1] if one.points else root(one.entered)
    known = {same(name): name for pair in one.points for name in pair}
    hung = {each.where: each for each in one.hung}
    found: dict[str, list[_Leaf]] = {}
    at = 0
    for index, tap in enumerate(one.entered.taps):
        there = next((hung[where] for where in hung if where == f"{one.path}/taps/{index}"), None)
        point = there.point if there is not None else known.get(same(tap.point), last)
        pieces = f"{there.pieces:g} x" if there is not None else "none"
        typed = "" if tap.quantity is None else f"{tap.quantity:g}"
        leaf = _Leaf(f"taps/{index}", tap.load, pieces, typed, tap.point, True, at if there is not None else None)
        found.setdefault(same(point), []).append(leaf)
        at += there is not None
    for each in one.hung:
        if each.where.startswith("loads/"):
            leaf = _Leaf(f"loads/{each.index}", one.names[each.index], f"{each.pieces:g} x", "", "", False, at)
            found.setdefault(same(each.point), []).append(leaf)
            at += 1
    if one.figures is not None and not one.hung:
        for index, load in enumerate(one.figures.wired.circuit.loads):
            found.setdefault(same(load.point), []).append(
                _Leaf(f"carried/{index}", load.name, "", "", "", False, index)
            )
    return found


def _row(one: Opened, line: Line, loads: Mapping[str, list[_Leaf]]) -> Row:
    if line.load is not None:
        return _load_row(one, line, loads[same(line.point)][line.load])
    made = one.figures
    place = made.wired.shape.place.get(line.point) if made is not None else None
    figures = _figures(made, place)
    if line.run is None:
        editable = frozenset({"to", "note"}) if one.points else frozenset({"note"})
        cells = {"to": line.strokes + line.point, "note": one.entered.note, **figures}
        return Row(SOURCE, cells, editable=editable, edit_texts={"to": line.point}, strong=frozenset({"to"}))
    run, path = one.entered.runs[line.run], f"runs/{line.run}"
    shown, exact = display.cell(one.entered, f"{path}/length_m")
    typed = display.write(type(run), "conductor", run.conductor)
    cells = {
        "to": line.strokes + line.point,
        "length": _length(shown),
        "conductor": typed or "(…)",
        "fuse": "…",
        "amps": "…",
        "jacket": made.jackets[line.run] if made is not None else run.jacket,
        "note": run.note,
        **figures,
    }
    if made is not None:
        sized, flow = made.wired.runs[line.run], made.wired.running
        cells["conductor"] = typed or f"({display.local(sized.conductor.name)})"
        if run.laid is not None:
            cells["conductor"] += LAID
        cells["fuse"] = fuse_text(made, line.run)
        cells["amps"] = figure(flow.current_a[line.run]) if flow is not None else "-"
        cells["governs"] = "laid" if run.laid is not None else BY.get(sized.governs, sized.governs)
        cells["bears"] = figure(sized.allowed_a)
        cells["said"] = worst_of(_about(one, path))
        cells["sign"] = SIGNS.get(cells["said"], "")
    worst = made is not None and place is not None and place > 0 and place == worst_place(made)
    return Row(
        path,
        cells,
        edit_texts={
            "to": line.point,
            "length": exact,
            "conductor": typed,
            "fuse": display.write(type(run), "fuse_a", run.fuse_a),
            "jacket": run.jacket,
            "note": run.note,
        },
        word="loose" if line.loose else "worst" if worst else "",
        strong=frozenset({"volts", "drop"}) if worst else frozenset(),
    )


def _length(shown: str) -> str:
    """A length as its column shows it: the unit stands in the head, and a whole number gets a decimal too."""
    bare = shown.removesuffix(f" {display.length_unit()}")
    return display.local(f"{bare}.0") if bare.isdigit() else bare


def _load_row(one: Opened, line: Line, leaf: _Leaf) -> Row:
    cells = {"to": line.strokes + (leaf.name or "?"), "length": leaf.pieces}
    load = _point_load(one, leaf, line.point)
    if load is not None and one.figures is not None:
        there_v = one.figures.wired.volts(load.point)
        cells["amps"] = figure(load.current_a(there_v)) if there_v else "-"
        cells["drop"] = f"≤ {display.percent(load.drop_limit).removesuffix(' %')}"
    cells["said"] = worst_of(_about(one, leaf.key))
    return Row(
        leaf.key,
        cells,
        kind="plain" if leaf.editable else "derived",
        editable=frozenset({"to", "length", "conductor"}) if leaf.editable else frozenset(),
        edit_texts={"to": leaf.name, "length": leaf.typed, "conductor": leaf.point},
    )


def _point_load(one: Opened, leaf: _Leaf, point: str) -> PointLoad | None:
    """The load of the calculation behind a line, where the figures still are those of this line."""
    loads = one.figures.wired.circuit.loads if one.figures is not None else ()
    if leaf.at is None or leaf.at >= len(loads):
        return None
    load = loads[leaf.at]
    return load if same(load.point) == same(point) and load.name.endswith(leaf.name) else None


def _figures(made: CircuitPlan | None, place: int | None) -> dict[str, str]:
    """Volts, drop and the largest short-circuit current at a point."""
    if made is None or place is None:
        waiting = "…" if made is None else "-"
        return {"volts": waiting, "drop": waiting, "short": waiting}
    most_a = made.wired.short[place].most_a
    short = "?" if isinf(most_a) else figure(most_a)
    flow, share = made.wired.running, made.wired.drop_share(place)
    if flow is None or share is None:
        return {"volts": "-", "drop": "-", "short": short}
    return {
        "volts": volts(flow.volts[place]),
        "drop": display.local(f"{share * 100:.1f}"),
        "short": short,
    }


def fuse_text(made: CircuitPlan, run: int) -> str:
    """The ratings of the fuses of a run, in brackets where the program chose them; at both ends: "2x40"."""
    typed, full = made.wired.typed.runs[run], made.wired.circuit.runs[run]
    there = [device for device in (full.protection, full.end_protection) if device is not None]
    if not there:
        return ""
    ratings = [_rating(device) for device in there]
    alike = len(set(ratings)) == 1
    text = "/".join(ratings) if not alike else ratings[0] if len(there) == 1 else f"2x{ratings[0]}"
    entered = typed.protection or typed.end_protection
    return f"({text})" if entered is not None and entered.rating_a is None else text


def _rating(device: Protection) -> str:
    return display.local(f"{device.rating_a:g}") if device.rating_a is not None else "?"


def _about(one: Opened, path: str) -> list[Finding]:
    """The findings about a row."""
    if one.made is None or one.path is None:
        return []
    base = f"{one.path}/{path}"
    return [said for said in one.made.findings if said.where == base or said.where.startswith(f"{base}/")]
