"""Open, save, save as, new, and the question before unsaved edits are left."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from tui.reach import is_within, within
from tui.screens.ask import Ask
from tui.screens.picker import Choice, Picker
from tui.session import Session
from tui.widgets.edit_table import EditTable

if TYPE_CHECKING:
    from model.design import Design
    from tui.app import Ampledger

MOST_SHOWN = 40
HEAD_CHARACTERS = 4_000  # of a file, to see whether it is a design
_OURS = re.compile(r"^\s*(?:format\s*=|\[\[load\]\])", re.MULTILINE)


async def save(app: Ampledger) -> bool:
    """Write the design to its file; asks for a name where it has none. Answers whether it is saved."""
    if app.document is None:
        return False
    if app.session.path is None:
        return await save_as(app)
    return await _write(app, None)


async def save_as(app: Ampledger) -> bool:
    """Write the design to a file that the person names."""
    start = app.session.path or Path("my-van.toml")
    path = await ask_path(app, f"Save the design as (in {Path.cwd()})", start=str(start), ending=".toml")
    return await _write(app, path) if path is not None else False


async def _write(app: Ampledger, path: Path | None, *, overwrite: bool = False) -> bool:
    from model.record.files import NotSaved

    assert app.document is not None
    try:
        app.session.save(app.document, path, overwrite=overwrite)
    except NotSaved as question:
        answer = await app.push_screen_wait(
            Ask("Not saved yet", str(question), (("r", "replace the file"), ("a", "save under another name")))
        )
        if answer == "r":
            return await _write(app, path, overwrite=True)
        return await save_as(app) if answer == "a" else False
    except OSError as trouble:
        app.say(str(trouble))
        return False
    app.show_design()
    notes = app.session.notes
    app.say(notes[0] if notes else f"Saved to {app.session.path}")
    return True


async def open_file(app: Ampledger) -> None:
    """Open another design file, after the question about unsaved edits."""
    from model.record.files import Damaged

    if not await may_leave(app):
        return
    path = await ask_path(app, "Open a design file", ending=".toml", find=partial(designs, app))
    if path is None:
        return
    new = Session(path)
    try:
        document = new.read()
    except (Damaged, OSError) as trouble:
        app.say(str(trouble))
        return
    app.session.close()
    app.take_session(new, document)
    app.say(new.notes[0] if new.notes else f"Opened {path}")


async def new_design(app: Ampledger) -> None:
    """Ask what a new design begins with, begin it with the answers, and go on to its loads. Answers that Escape left are kept."""
    from tui.screens.new_design import NewDesign

    if not await may_leave(app):
        return
    dialog = NewDesign(app.unfinished or blank(app))
    design = await app.push_screen_wait(dialog)
    if design is None:
        app.unfinished = dialog.answers or app.unfinished
        if app.unfinished is not None:
            app.say("No new design begun. Your answers are kept: shift+N goes on with them.")
        return
    app.unfinished = None
    app.session.close()
    new = Session()
    app.take_session(new, new.begin(design))
    app.say("")  # what was said of the design before does not hold for this one
    await _first_loads(app)


async def begin_file(app: Ampledger) -> None:
    """The questions of a new design for a file that was just made."""
    from tui.screens.new_design import NewDesign

    design = await app.push_screen_wait(NewDesign(blank(app)))
    if design is not None:
        app.edit(design, "the first answers")
        await _first_loads(app)


def blank(app: Ampledger) -> Design:
    """What a new design begins with: no loads yet, and what the settings say of new designs."""
    from model.record.start import starter

    start = starter()
    return replace(
        start,
        loads=(),
        battery=replace(start.battery, chemistry=app.settings.chemistry),
        wiring=replace(start.wiring, conductors=app.settings.conductors),
    )


async def _first_loads(app: Ampledger) -> None:
    """Typical loads to pick from, one after the other, until Escape."""
    from tui.edits.typical import pick_loads

    await app.go("loads")
    await pick_loads(app)
    app.say("Type over the figures with your own · a adds a load · b shows the battery")


async def leave(app: Ampledger) -> None:
    """End the program, after the question about unsaved edits."""
    if await may_leave(app):
        app.session.close()
        app.exit()


async def may_leave(app: Ampledger) -> bool:
    """Whether the design in hand may be left: it is saved, and no typed text waits to be put right; or the person says so."""
    if app.document is None:
        return True
    held = [text for table in app.query(EditTable) for _, _, text, _ in table.pending]
    if not app.document.dirty and not held:
        return True
    parts = [f"{app.session.title} has edits that are not saved."] if app.document.dirty else []
    parts += [f"“{held[0]}” was typed into a cell and not accepted; it would be lost."] if held else []
    answers = (("s", "save first"), ("d", "leave without saving"))
    answer = await app.push_screen_wait(Ask("Unsaved edits", " ".join(parts), answers))
    if answer == "s":
        return await save(app)
    return answer == "d"


async def ask_path(
    app: Ampledger, title: str, *, start: str = "", ending: str = "", find: Callable[[str], list[Choice]] | None = None
) -> Path | None:
    """A path that the person types or picks from the folder, or from what `find` finds."""

    def read(text: str) -> Path:
        if not text.strip():
            raise ValueError("type a file name")
        path = within(Path(text.strip()).expanduser())
        if not path.parent.is_dir():
            raise ValueError(f"there is no folder {path.parent}")
        return path if path.suffix or not ending else path.with_suffix(ending)

    return await app.push_screen_wait(Picker(title, find or (lambda text: paths(text, ending)), text=start, read=read))


def designs(app: Ampledger, text: str) -> list[Choice]:
    """Design files that begin like the typed path; while nothing is typed those beside the open one, then those of the folder
    in which the program was started."""
    beside = app.session.path
    found = {choice.value.resolve(): choice for choice in paths(text, ".toml")}
    if beside is not None and not text and is_within(beside.parent):
        near = [choice.value for choice in paths(f"{beside.parent}/", ".toml")]
        found = {path.resolve(): Choice(f"{path.name}   beside the open file", path) for path in near} | found
    return [choice for path, choice in found.items() if _is_design(path)]


def _is_design(path: Path) -> bool:
    """Whether a file looks like a design, by its first lines."""
    try:
        with path.open(encoding="utf-8", errors="replace") as file:
            return bool(_OURS.search(file.read(HEAD_CHARACTERS)))
    except OSError:
        return False


def paths(text: str, ending: str = "") -> list[Choice]:
    """Files that begin like the typed path, with `ending` where one is asked for; folders are typed on.

    Raises `tui.reach.Outside`, whose text is for the person.
    """
    typed = Path(text).expanduser()
    folder, begin = (typed, "") if text.endswith("/") or not text else (typed.parent, typed.name)
    within(folder)
    try:
        entries = sorted(folder.iterdir())
    except OSError:
        return []
    fits = [
        one
        for one in entries
        if one.name.startswith(begin) and one.name[0] != "." and one.suffix == (ending or one.suffix)
    ]
    return [Choice(str(one), one) for one in fits if one.is_file() and is_within(one)][:MOST_SHOWN]
