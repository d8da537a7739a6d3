"""Texts for both ends of every conductor, short enough to read on the wire."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from model.wiring.papers.cables import Cable, cables
from model.wiring.papers.paper import HABIT, Column
from model.wiring.table import WiringPlan

LONGEST = 16
LONGEST_KEY, SHORT_STEM = 5, 3

REMARKS = (
    f"Key and number of the run, then > and the point it goes to, or < and the point it comes from: {HABIT}.",
    f"At most {LONGEST} characters; longer names are shortened and keep their last number.",
    f"Keys of more than {LONGEST_KEY} letters stand by their first {SHORT_STEM}: alt is alternator.",
    "+ or - stands behind single conductors only.",
)


@dataclass(frozen=True, slots=True)
class Label:
    """One label. at: the point where it is stuck on."""

    text: str
    cable: str
    at: str
    count: int = 1


COLUMNS = (
    Column("text", "Label"),
    Column("count", "Count"),
    Column("cable", "Cable"),
    Column("at", "At"),
)


def labels(plan: WiringPlan) -> tuple[Label, ...]:
    """Two for every conductor or jacketed cable, all different."""
    found: list[Label] = []
    taken: set[str] = set()
    short = short_keys(tuple(circuit.key for circuit in plan.circuits))
    for cable in cables(plan):
        name = f"{short[cable.circuit.key]}-{cable.index + 1}"
        for at, arrow, far in _ends(cable):
            for piece in cable.pieces:
                text = _free(label_text(name, arrow, far, piece.pole), taken)
                taken.add(text)
                found.append(Label(text, cable.id, at))
    return tuple(found)


def label_lines(plan: WiringPlan) -> tuple[str, ...]:
    """What a label printer takes: one text a line."""
    return tuple(label.text for label in labels(plan) for _ in range(label.count))


def short_keys(keys: tuple[str, ...]) -> dict[str, str]:
    """Each key as labels have it: long ones by their first letters and their number, "alternator2" as "alt2"."""
    found: dict[str, str] = {}
    taken = {key for key in keys if len(key) <= LONGEST_KEY}
    for key in keys:
        stem = key.rstrip("0123456789")
        short = key if len(key) <= LONGEST_KEY else f"{stem[:SHORT_STEM]}{key[len(stem) :]}"
        found[key] = key if short != key and short in taken else short
        taken.add(found[key])
    return found


def label_text(cable: str, arrow: str, far: str, pole: str) -> str:
    """The text of one label: "L1-2>Lamp 3", "main-1<Battery +"; at most `LONGEST` characters."""
    head, tail = f"{cable}{arrow}", f" {pole}" if pole else ""
    if len(head) + len(tail) > LONGEST:  # a key this long leaves no room for a name
        return f"{head[: LONGEST - len(tail)]}{tail}"
    return f"{head}{shortened(far, LONGEST - len(head) - len(tail))}{tail}"


def shortened(name: str, room: int) -> str:
    """The name in `room` characters; a short last word, such as a number, is kept, for it tells neighbours apart."""
    words = "".join(sign if sign.isprintable() else " " for sign in name).split()
    whole = " ".join(words)
    if len(whole) <= room:
        return whole
    last = words[-1]
    if len(words) > 1 and len(last) <= 3 and room >= len(last) + 3:
        first = " ".join(words[:-1])[: room - len(last) - 1].rstrip()
        return f"{first} {last}"
    return whole[:room].rstrip()


def _ends(cable: Cable) -> Iterator[tuple[str, str, str]]:
    """(where, arrow, what stands at the other end): > leads away from the source, < towards it."""
    yield cable.run.start, ">", cable.run.end
    yield cable.run.end, "<", cable.run.start


def _free(text: str, taken: set[str]) -> str:
    """The text, numbered where it is taken: only keys of a dozen characters ever come to that."""
    found, number = text, 2
    while found in taken:
        mark = f"~{number}"
        found, number = f"{text[: LONGEST - len(mark)]}{mark}", number + 1
    return found
