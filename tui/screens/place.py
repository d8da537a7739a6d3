"""What all places share: each shows a design and its plan, knows the figure under the cursor, and can go to a field."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, ClassVar

from textual.containers import Container
from textual.message import Message
from textual.worker import Worker

from model.design import Design

if TYPE_CHECKING:
    from model.plan import Plan
    from model.working import Finding, Step


REST_S = 0.3  # what is heavy waits for so long a pause in the typing


def tell(worker: Worker[Any], do: Callable[..., None], *what: object) -> None:
    """From a worker's thread, have something done on the screen's; nothing where the worker was stopped meanwhile.

    Whether it was is asked on the screen's thread: between a question here and the doing there, a key may have stopped it.
    """

    def done() -> None:
        if not worker.is_cancelled:
            do(*what)

    worker.node.app.call_from_thread(done)


class Place(Container):
    """One of the places. Subclasses fill in `show`, `figure_key` and `go_to`."""

    place: ClassVar[str]

    class Edited(Message):
        """The person accepted an edit; `title` says what changed, for undo."""

        def __init__(self, design: Design, title: str) -> None:
            super().__init__()
            self.design = design
            self.title = title

    class Typing(Message):
        """The person is typing and the text so far makes sense: `design` is what it would be; None when given up."""

        def __init__(self, design: Design | None) -> None:
            super().__init__()
            self.design = design

    class Learned(Message):
        """What this place knows beside the plan has changed: its findings count anew."""

    def show_design(self, design: Design) -> None:
        """Put what was entered on the screen; figures stay as they are until `show_plan`."""
        raise NotImplementedError

    def show_plan(self, plan: Plan) -> None:
        """Put the figures on the screen; `plan.design` may be a design still being typed."""
        raise NotImplementedError

    def chain_of(self, key: str) -> tuple[Step, ...]:
        """The working of a figure that this place knows and the plan does not; empty for all others."""
        return ()

    def more_findings(self, plan: Plan) -> tuple[Finding, ...]:
        """Findings on the design of `plan` that this place knows beside the plan's own."""
        return ()

    def figure_key(self) -> str | None:
        """Key of the figure under the cursor, for the working view."""
        raise NotImplementedError

    def take_focus(self) -> None:
        """Put the focus on what is edited most here."""
        raise NotImplementedError

    def next_view(self) -> str:
        """Show the next picture or table where there is room for one only; answers its name."""
        return "There is one view here."

    def go_to(self, path: str) -> bool:
        """Put the cursor on the field at `path`; False where this place does not show it."""
        raise NotImplementedError
