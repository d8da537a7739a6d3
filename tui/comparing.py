"""The commands that compare: another design beside this one, as last saved, an earlier state, or a file; other voltages."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import TYPE_CHECKING, Any

from model.design import Design
from tui.file_dialogs import designs
from tui.reach import within
from tui.screens.picker import Choice, Picker

if TYPE_CHECKING:
    from tui.app import Ampledger

MOST_STATES = 50
Other = tuple[str, Design | Path]


async def compare(app: Ampledger) -> None:
    """Ask for another design and show it beside this one."""
    from model.compare import compare as compared
    from model.plan import plan
    from model.record.files import Damaged, open_design
    from tui.screens.comparison import Comparison

    assert app.document is not None
    states = earlier(app)

    def find(text: str) -> list[Choice]:
        fits = [state for state in states if text.lower() in state.label.lower()]
        return [*fits, *(Choice(f"file {one.label}", (one.label, one.value)) for one in designs(app, text))]

    def read(text: str) -> Other:
        if not text.strip():
            raise ValueError("down chooses a state or a file; or type a file name")
        return text.strip(), within(Path(text.strip()).expanduser())

    chosen: Any = await app.push_screen_wait(Picker("Compare this design with", find, read=read))
    if chosen is None:
        return
    name, other = chosen
    try:
        design = open_design(other).design if isinstance(other, Path) else other
    except (Damaged, OSError) as trouble:
        app.say(str(trouble))
        return
    here = app.document.design
    rows = await asyncio.to_thread(lambda: compared(plan(here), plan(design)))
    await app.push_screen_wait(Comparison(rows, name))


async def voltages(app: Ampledger) -> None:
    """Show this design at 12, 24 and 48 V."""
    from model.plan import plan
    from model.voltages import voltages as at_each
    from tui.screens.voltages import Voltages

    assert app.document is not None
    design = app.document.design
    found = await asyncio.to_thread(lambda: at_each(plan(design)))
    await app.push_screen_wait(Voltages(found))


def earlier(app: Ampledger) -> list[Choice]:
    """The design as last saved, the file before that, and the states that undo leads back to, the latest first."""
    from model.record.files import backup_of

    assert app.document is not None
    document, path = app.document, app.session.path
    found = [Choice("as last saved", ("as last saved", document.saved))] if document.dirty else []
    if path is not None and backup_of(path).exists():
        name = backup_of(path).name
        found.append(Choice(f"the file before the last save ({name})", (name, backup_of(path))))
    for title, design in list(reversed(document.past))[:MOST_STATES]:
        found.append(Choice(f"before “{title}”", (f"before “{title}”", design)))
    return found
