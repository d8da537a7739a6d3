"""Whether a table takes a text, found by trying it."""

from __future__ import annotations

from collections.abc import Callable

from model.quantities import Refusal


def tried(attempt: Callable[[str, str, str], object]) -> Callable[[str, str, str], str | None]:
    """A table's check that makes the attempt (row key, column key, text), and answers with what that refuses."""

    def check(row_key: str, column_key: str, text: str) -> str | None:
        try:
            attempt(row_key, column_key, text)
        except Refusal as refusal:
            return str(refusal)
        return None

    return check
