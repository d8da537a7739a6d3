"""A question with a few answers, each on one key."""

from __future__ import annotations

from typing import ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.events import Key
from textual.widget import Widget
from textual.widgets import OptionList, Static

from tui.screens.dialog import Dialog
from tui.widgets.options import Options


class Ask(Dialog[str]):
    """Shows `question` and the `answers` (key, words); answers the key chosen, None for Escape."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("tab", "ignore", show=False)]

    def __init__(self, title: str, question: str, answers: tuple[tuple[str, str], ...]) -> None:
        super().__init__()
        self.title_text = title
        self.keys_text = "a letter, or up, down and Enter · Esc back"
        self._question = question
        self._answers = answers

    def body(self) -> list[Widget]:
        return [
            Static(self._question, id="ask-question", markup=False),
            Options(*[f"{key}  {words}" for key, words in self._answers], id="ask-list", compact=True, markup=False),
        ]

    def on_mount(self) -> None:
        self.query_one(OptionList).focus()

    def on_key(self, event: Key) -> None:
        character = event.character
        if character and character.lower() in {key.lower() for key, _ in self._answers}:
            event.stop()  # the same letter is a command of the place below
            event.prevent_default()
            self.dismiss(next(key for key, _ in self._answers if key.lower() == character.lower()))

    @on(OptionList.OptionSelected)
    def _take(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._answers[event.option_index][0])
