"""Short names of circuits, as they go on labels: a letter for the system and a number, the way of the panel where it has one."""

from __future__ import annotations

from itertools import count
from unicodedata import normalize

from model.design import Circuit

OTHER_LETTER = "C"


def letter(system: str) -> str:
    """The first letter of the system, as a label printer has it; C where there is none."""
    plain = normalize("NFKD", system.strip())[:1].upper()
    return plain if plain.isascii() and plain.isalpha() else OTHER_LETTER


def circuit_keys(circuits: tuple[Circuit, ...]) -> tuple[str, ...]:
    """A key for each circuit, none twice.

    Those of battery, array and chargers are called by their kind. Of the others, a circuit on a way of the panel bears its
    number, so that another order of the list renames none of them; the rest take the smallest numbers that are free.
    """
    found = [""] * len(circuits)
    taken: set[str] = set()

    def take(at: int, key: str) -> None:
        if key not in taken:
            found[at] = key
            taken.add(key)

    for at, one in enumerate(circuits):
        if one.kind != "loads":
            take(at, one.kind)
        elif one.way is not None and one.feed == "panel":
            take(at, f"{letter(one.system)}{one.way:g}")
    for at, one in enumerate(circuits):
        stem = letter(one.system) if one.kind == "loads" else one.kind
        numbers = count(1 if one.kind == "loads" else 2)
        while not found[at]:
            take(at, f"{stem}{next(numbers)}")
    return tuple(found)
