"""The one door to data/: the read-only tables that ship with the program.

Reading them is no more a side effect than an import is: they are part of the program, the same bytes at every start. What
belongs to the user (design files, weather files, settings) is read by `model.record` alone.
"""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).resolve().parent.parent / "data"


def path(name: str) -> Path:
    """Where the shipped file `name` lies.

    Raises FileNotFoundError when the installation is incomplete.
    """
    found = FOLDER / name
    if not found.is_file():
        raise FileNotFoundError(
            f"{found}: this file ships with Ampledger; the installation is incomplete, install it again"
        )
    return found


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of the shipped CSV table `name`, each a dict from column title to text."""
    with path(name).open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))
