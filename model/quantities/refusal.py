"""What is said where a text does not fit."""

from __future__ import annotations


class Refusal(ValueError):
    """A text that a field does not take; str is one plain sentence for the person who typed it."""


def quoted(text: str) -> str:
    """The text as it may stand in a message: short, on one line, printable."""
    shown = "".join(character if character.isprintable() else "?" for character in text.strip())
    return f"“{shown[:40]}…”" if len(shown) > 40 else f"“{shown}”"
