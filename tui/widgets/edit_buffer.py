"""The text being typed into a table cell: a string and a caret, with no knowledge of tables or screens."""

from __future__ import annotations

from dataclasses import dataclass, replace

from rich.cells import cell_len

LONGEST = 200
"""Characters a cell takes. A longer paste is refused whole, since half of a number is another number."""


@dataclass(frozen=True, slots=True)
class EditBuffer:
    """Text with a caret, 0 <= caret <= len(text). Every change makes a new buffer."""

    text: str = ""
    caret: int = 0

    @classmethod
    def at_end(cls, text: str) -> EditBuffer:
        """A buffer holding `text` with the caret behind it."""
        return cls(text, len(text))

    def insert(self, text: str) -> EditBuffer | None:
        """The buffer with `text` put in at the caret, unprintable characters left out; None if it grows too long."""
        clean = "".join(character for character in text if character.isprintable())
        if len(self.text) + len(clean) > LONGEST:
            return None
        return EditBuffer(self.text[: self.caret] + clean + self.text[self.caret :], self.caret + len(clean))

    def key(self, key: str) -> EditBuffer | None:
        """The buffer after one of the keys that move the caret or rub out; None for any other key."""
        before, after = self.text[: self.caret], self.text[self.caret :]
        match key:
            case "left":
                return replace(self, caret=max(0, self.caret - 1))
            case "right":
                return replace(self, caret=min(len(self.text), self.caret + 1))
            case "home":
                return replace(self, caret=0)
            case "end":
                return replace(self, caret=len(self.text))
            case "backspace":
                return EditBuffer(before[:-1] + after, max(0, self.caret - 1))
            case "delete":
                return replace(self, text=before + after[1:])
            case "ctrl+u":
                return EditBuffer()
        return None

    def window(self, width: int) -> tuple[str, str, str]:
        """What fits into `width` cells: text before the caret, the character under it (a space at the end), text after.

        The window slides so that the caret is always in it.
        """
        under = self.text[self.caret : self.caret + 1] or " "
        before, after = self.text[: self.caret], self.text[self.caret + 1 :]
        while before and cell_len(before) + cell_len(under) > width:
            before = before[1:]
        while after and cell_len(before) + cell_len(under) + cell_len(after) > width:
            after = after[:-1]
        return before, under, after


def completion(text: str, choices: tuple[str, ...]) -> str | None:
    """The first choice that begins with `text`, case forgiven; None for no text or no such choice."""
    folded = text.strip().casefold()
    if not folded:
        return None
    exact = [choice for choice in choices if choice.casefold() == folded]
    return next(iter(exact + [choice for choice in choices if choice.casefold().startswith(folded)]), None)


def next_choice(text: str, choices: tuple[str, ...], step: int = 1) -> str:
    """The choice `step` places after the one that `text` is or begins; the first when it is none of them."""
    current = completion(text, choices)
    if current is None:
        return choices[0]
    return choices[(choices.index(current) + step) % len(choices)]


def space_is_text(text: str, choices: tuple[str, ...]) -> bool:
    """Whether a space goes on with `text`: some choice continues with one, or none begins with it at all."""
    if completion(text, choices) is None:
        return bool(text)
    return any(choice.casefold().startswith(text.casefold() + " ") for choice in choices)
