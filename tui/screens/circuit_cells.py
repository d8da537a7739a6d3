"""What a cell of a circuit's table does to the circuit. Rows are paths within it: "runs/2", "taps/0", "readings/1"."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from model import edit, entry
from model.design import Circuit, Reading, Run, Tap
from model.quantities import Refusal
from model.wiring.entered import same
from model.wiring.reshape import named, renamed
from tui import display
from tui.screens.circuit_rows import SOURCE, Opened

AUTO, NONE = ("auto", "automatic"), ("none", "no")


def with_text(opened: Opened, row: str, column: str, text: str) -> Circuit:
    """The circuit with one cell as typed; Refusal where it does not fit."""
    circuit = opened.entered
    if column == "note" and not row.startswith("readings"):
        path = "note" if row == SOURCE else f"{row}/note"
        return _put(circuit, path, entry.read(Circuit if row == SOURCE else Run, "note", text))
    if column == "jacket":
        return _put(circuit, f"{row}/jacket", entry.read(Run, "jacket", text))
    if row == SOURCE:
        return renamed(circuit, opened.points[0][0], text)
    head, _, index = row.partition("/")
    if head == "taps":
        return _with_tap(circuit, int(index), column, text)
    if head == "readings":
        value = entry.read(Reading, column, text)
        return _put(circuit, f"{row}/{column}", value)
    if column == "to":
        return renamed(circuit, opened.points[int(index)][1], text)
    if column == "length":
        return _put(circuit, f"{row}/length_m", entry.read(Run, "length_m", display.typed_length(text)))
    if column == "conductor":
        return _put(circuit, f"{row}/conductor", entry.read(Run, "conductor", _not_auto(text)))
    return _put(circuit, row, _with_fuse(opened, int(index), text))


def _put(circuit: Circuit, path: str, value: Any) -> Circuit:
    return edit.put(circuit, path, value)


def _not_auto(text: str) -> str:
    """What is left to the program is an empty field."""
    return "" if text.strip().lower() in AUTO else text


def _with_tap(circuit: Circuit, index: int, column: str, text: str) -> Circuit:
    """Load, pieces or point of a tap; "2 x" is two pieces, "at lamp 2" is lamp 2."""
    whole = named(circuit)
    tap = whole.taps[index]
    if column == "to":
        return _put(whole, f"taps/{index}", replace(tap, load=entry.read(Tap, "load", text)))
    if column == "length":
        pieces = text.strip().removesuffix("x").strip()
        return _put(whole, f"taps/{index}", replace(tap, quantity=entry.read(Tap, "quantity", pieces)))
    point = entry.read(Tap, "point", text.strip().removeprefix("at ").strip())
    points = {same(name): name for run in whole.runs for name in (run.start, run.end)}
    if point and same(point) not in points:
        raise Refusal(f"there is no point “{point}” here; there are {', '.join(points.values())}")
    return _put(whole, f"taps/{index}", replace(tap, point=points.get(same(point), "")))


def _with_fuse(opened: Opened, index: int, text: str) -> Run:
    """The run with a fuse of that rating; at its start where it has none yet; "auto" leaves it to the program."""
    run, wanted = opened.entered.runs[index], text.strip().lower()
    if wanted in NONE:
        return replace(run, fuse="none", fuse_a=None)
    if wanted in ("", *AUTO):
        return replace(run, fuse="where needed" if run.fuse == "none" else run.fuse, fuse_a=None)
    rating_a = entry.read(Run, "fuse_a", text)
    made = opened.figures
    full = made.wired.circuit.runs[index] if made is not None else None
    missing = run.fuse == "none" or (full is not None and full.protection is None and full.end_protection is None)
    return replace(run, fuse_a=rating_a, fuse="at start" if missing else run.fuse)
