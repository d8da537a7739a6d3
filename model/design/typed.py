"""How a field of the design is declared: what kind of text it takes, and its name in files and on screens."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

ALL_MONTHS: tuple[int, ...] = tuple(range(1, 13))


@dataclass(frozen=True, slots=True)
class Entry:
    """How one field is typed and named.

    kind: a kind of `model.quantities`, or "text", "months", "when", "choice", "yes/no".
    optional: an empty text means "not given" and is stored as None.
    many: number of values in the field (12 for a value per month), 0 for a single one.
    """

    kind: str
    key: str
    label: str
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    optional: bool = False
    many: int = 0


def typed(
    kind: str,
    key: str,
    label: str,
    default: Any = None,
    *,
    low: float | None = None,
    high: float | None = None,
    choices: Sequence[str] = (),
    many: int = 0,
) -> Any:
    """Declare a dataclass field with its `Entry`; a default of None makes it optional."""
    entry = Entry(kind, key, label, low, high, tuple(choices), default is None, many)
    return field(default=default, metadata={"entry": entry})
