"""What all dialogs share: a frame with a title above and one line of keys below, closed by Escape."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widget import Widget
from textual.widgets import Static

from tui.widgets.parts import Parts

if TYPE_CHECKING:
    from model.plan import Plan

Answer = TypeVar("Answer")


class Dialog(ModalScreen[Answer | None]):
    """A frame around `body()`; Escape answers None."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss(None)", show=False)]
    title_text = ""
    keys_text = "Esc back"

    def compose(self) -> ComposeResult:
        with Vertical(id="dialog"):
            yield Static(self.title_text, id="dialog-title", markup=False)
            yield from self.body()
            yield Parts(self.keys_text, id="dialog-keys")

    def body(self) -> list[Widget]:
        """The widgets between title and keys."""
        raise NotImplementedError

    def show_plan(self, plan: Plan) -> None:
        """A plan was worked out while the dialog is open; most dialogs show no figures."""
