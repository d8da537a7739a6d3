"""Edits that a program which died has left behind: both versions with their dates, and in what they differ."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from tui import display

if TYPE_CHECKING:
    from model.design import Design
    from model.record.journal import Recovery
    from tui.app import Ampledger

OTHER_LINES = 18  # of the question: what stands around the differences
ANSWERS = (("r", "take the edits up again; undo goes back"), ("d", "drop them for good"))
KEPT = "The edits are kept: the next start asks again."


async def offer(app: Ampledger, recovery: Recovery) -> None:
    """Ask what is to become of them. Escape leaves them for the next start."""
    from model.record.journal import discard
    from tui.screens.ask import Ask

    room = max(2, app.size.height - OTHER_LINES)
    answer = await app.push_screen_wait(Ask("Unsaved edits", question(recovery, room), ANSWERS))
    if answer == "r" and app.document is not None:
        app.session.recover(app.document, recovery)
        app.show_design()
        there = "the file" if recovery.file_time_s is not None else "the demonstration"
        app.say(f"Edits recovered; undo leads back to {there}.")
    elif answer == "d":
        discard(recovery)
    else:
        app.say(KEPT)


def question(recovery: Recovery, room: int) -> str:
    """Both versions with their dates, and what was entered otherwise in the edits than in the file, in `room` lines."""
    lines = ["The program stopped without saving.", f"Edits kept    {_when(recovery.time_s)}"]
    if recovery.file_time_s is None:
        lines.append(f"Never saved in a file: {_what(recovery.design)}")
    else:
        after = ", after the edits" if recovery.older_than_file else ""
        lines.append(f"File written  {_when(recovery.file_time_s)}{after}")
    if recovery.saved is not None:
        from model.compare import entered

        rows = entered(recovery.design, recovery.saved)
        lines += ["", "In the edits, and in the file:"]
        shown = rows if len(rows) <= room else rows[: room - 1]
        for row in shown:
            both = row.difference if {row.here, row.there} <= {"row", "-"} else f"{row.here}, was {row.there}"
            lines.append(f"  {row.label}: {display.local(both)}")
        if len(rows) > len(shown):
            lines.append(f"  … and {len(rows) - len(shown)} more")
    return "\n".join(lines)


def _what(design: Design) -> str:
    """What a design without a file is known by."""
    count = len(design.loads)
    return f"{design.place.name or 'a van without a place'}, {count} load{'' if count == 1 else 's'}"


def _when(time_s: float) -> str:
    return datetime.fromtimestamp(time_s).strftime("%Y-%m-%d %H:%M")
