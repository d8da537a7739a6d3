"""Type and pick: one dialog for places, typical loads and files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, ClassVar

from textual import on
from textual.binding import Binding, BindingType
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from tui.screens.dialog import Dialog


@dataclass(frozen=True, slots=True)
class Choice:
    """One line to pick: what it says, and what picking it answers."""

    label: str
    value: Any


Find = Callable[[str], Sequence[Choice]]


class Picker(Dialog[Any]):
    """An input over a list that follows it. Enter takes the marked line, or the typed text where no line fits.

    `find` gives the lines for a text and may raise ValueError, whose text is shown in place; `read` turns a typed text
    into an answer where no line is picked (None: only lines can be picked), with ValueError likewise. `nothing` is said
    where a text finds no line.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "mark(1)", show=False, priority=True),
        Binding("up", "mark(-1)", show=False, priority=True),
        Binding("pagedown", "mark(8)", show=False, priority=True),
        Binding("pageup", "mark(-8)", show=False, priority=True),
    ]
    keys_text = "type to search · up, down choose · Enter takes it · Esc back"

    def __init__(
        self,
        title: str,
        find: Find,
        *,
        text: str = "",
        prompt: str = "",
        nothing: str = "",
        read: Callable[[str], Any] | None = None,
    ) -> None:
        super().__init__()
        self.title_text = title
        if read is not None:
            self.keys_text = "type a name · up, down choose · Enter takes it · Esc back"
        self._nothing = nothing
        self._find = find
        self._read = read
        self._text = text
        self._prompt = prompt
        self._choices: tuple[Choice, ...] = ()

    def body(self) -> list[Widget]:
        return [
            # a text that stands there already goes as soon as another is typed, like that of a cell
            Input(
                self._text, placeholder=self._prompt, id="picker-text", compact=True, select_on_focus=bool(self._text)
            ),
            Static("", id="picker-message", markup=False),
            OptionList(id="picker-list", compact=True, markup=False),
        ]

    def on_mount(self) -> None:
        self.query_one(OptionList).can_focus = False
        self.query_one(Input).focus()
        self._refill(self._text)

    @on(Input.Changed)
    def _follow(self, event: Input.Changed) -> None:
        self._refill(event.value)

    @on(Input.Submitted)
    def _take(self, event: Input.Submitted) -> None:
        options = self.query_one(OptionList)
        if options.highlighted is not None and self._choices:
            self.dismiss(self._choices[options.highlighted].value)
        elif self._read is not None:
            try:
                self.dismiss(self._read(event.value))
            except ValueError as refusal:
                self._say(str(refusal))

    @on(OptionList.OptionSelected)
    def _take_line(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(self._choices[event.option_index].value)

    def action_mark(self, by: int) -> None:
        options = self.query_one(OptionList)
        if not self._choices:
            return
        here = options.highlighted
        options.highlighted = 0 if here is None else max(0, min(len(self._choices) - 1, here + by))

    def _refill(self, text: str) -> None:
        options = self.query_one(OptionList)
        try:
            self._choices = tuple(self._find(text))
            self._say(self._nothing if text.strip() and not self._choices else "")
        except ValueError as refusal:
            self._choices = ()
            self._say(str(refusal))
        options.clear_options()
        options.add_options([Option(choice.label) for choice in self._choices])
        # With free text allowed, Enter must take what was typed until a line is marked on purpose.
        options.highlighted = 0 if self._choices and self._read is None else None

    def _say(self, message: str) -> None:
        self.query_one("#picker-message", Static).update(message)
