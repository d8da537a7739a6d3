"""The design in hand: earlier and later versions of it, and whether it is saved. No Textual here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from model.design import Design

Keeper = Callable[[Design], None]


@dataclass(slots=True)
class Document:
    """A design with its undo and redo stacks.

    `keep` is called with every design that becomes the current one, before anything else sees it: that is where the
    recovery journal hangs, so that no accepted edit is lost.
    """

    design: Design
    saved: Design
    keep: Keeper
    past: list[tuple[str, Design]] = field(default_factory=list)
    future: list[tuple[str, Design]] = field(default_factory=list)

    @classmethod
    def of(cls, design: Design, keep: Keeper = lambda _design: None) -> Document:
        return cls(design, design, keep)

    @property
    def dirty(self) -> bool:
        """Whether the design differs from the one in the file."""
        return self.design != self.saved

    def edit(self, design: Design, title: str) -> bool:
        """Make `design` the current one; `title` says in a few words what changed. False where nothing did."""
        if design == self.design:
            return False
        self.keep(design)
        self.past.append((title, self.design))
        self.future.clear()
        self.design = design
        return True

    def undo(self) -> str | None:
        """Back to the version before the last edit; answers that edit's title, None where there is none."""
        return self._turn(self.past, self.future)

    def redo(self) -> str | None:
        """Forward again to the version that was undone last; answers its title, None where there is none."""
        return self._turn(self.future, self.past)

    def mark_saved(self) -> None:
        self.saved = self.design

    def _turn(self, source: list[tuple[str, Design]], target: list[tuple[str, Design]]) -> str | None:
        if not source:
            return None
        title, design = source[-1]
        self.keep(design)
        source.pop()
        target.append((title, self.design))
        self.design = design
        return title
