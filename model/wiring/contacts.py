"""Connectors with several loaded contacts: each warms its neighbours."""

from __future__ import annotations

from functools import cache

from model import shelf
from model.wiring.ampacity import interpolated
from model.wiring.circuit import Contact

TABLE = "contacts.csv"
FEW = 2
"""A connector of one or two contacts is rated as it is sold, with both loaded. Common practice, no source."""


@cache
def _points() -> tuple[tuple[float, float], ...]:
    return tuple((float(row["loaded_share"]), float(row["factor"])) for row in shelf.rows(TABLE))


def derated_a(contact: Contact) -> float:
    """What each contact bears with as many loaded as there are: rating x factor by the loaded share of the poles."""
    if contact.poles <= FEW or contact.loaded <= 1:
        return contact.rating_a
    return contact.rating_a * interpolated(_points(), min(1.0, contact.loaded / contact.poles))
