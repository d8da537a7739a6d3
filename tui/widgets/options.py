"""A list of options for terminals of any size."""

from __future__ import annotations

from textual.widgets import OptionList


class Options(OptionList):
    """Stays where it is on page keys while the terminal leaves it no line. (Textual 8.2.8 raises KeyError then.)"""

    def action_page_up(self) -> None:
        if self.scrollable_content_region:
            super().action_page_up()  # type: ignore[no-untyped-call]  # as Textual has it

    def action_page_down(self) -> None:
        if self.scrollable_content_region:
            super().action_page_down()  # type: ignore[no-untyped-call]  # as Textual has it
