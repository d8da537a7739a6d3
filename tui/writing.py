"""Write a report, spreadsheet, diagram or tables: ask where to, ask before anything is replaced, tell how long it takes."""

from __future__ import annotations

import asyncio
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from tui.file_dialogs import ask_path
from tui.reach import within
from tui.screens.ask import Ask
from tui.screens.picker import Picker

if TYPE_CHECKING:
    from model.design import Design
    from model.plan import Plan
    from model.record.export import Subject
    from model.supply.weather_file import MeasuredDays
    from tui.app import Ampledger

TICK_S = 0.25


def toggle_section(app: Ampledger) -> None:
    """Take the section under the cursor into the report, or leave it out."""
    from tui.screens.report import ReportPlace

    app.say(app.query_one(ReportPlace).toggle())


def only_section(app: Ampledger) -> None:
    """Take the section under the cursor alone; once more takes all again."""
    from tui.screens.report import ReportPlace

    app.say(app.query_one(ReportPlace).only())


async def write_this(app: Ampledger) -> None:
    """Write the kind of file under the cursor of the report."""
    from tui.screens.report import ReportPlace

    ending = app.query_one(ReportPlace).ending()
    await write(app, ".html" if ending is None else ending)


async def write(app: Ampledger, ending: str = ".html") -> None:
    """Ask for a file and write it; its own ending says what it holds. `ending` "": every table, in a folder."""
    from model.record.disk import DiskTrouble
    from model.record.export import REPORTS, NotWritten, check
    from model.record.report.pdf import NotSet

    if app.document is None:
        return
    out = await _ask_folder(app) if not ending else await _ask_file(app, ending)
    if out is None:
        return
    if Path(out).suffix.lower() in REPORTS and _nothing_goes_in(app):
        _tell(app, "Not written: every section is left out. Take one in first: space, or x.")
        return
    try:
        check(out, force=True)  # what cannot be written is said before anything is asked or worked out
        there = _in_the_way(out)
        if there and not await _may_replace(app, out):
            return
        files = await _in_a_thread(app, out, replace=there)
    except (NotWritten, DiskTrouble, NotSet, OSError, MemoryError) as trouble:
        _tell(app, f"Not written: {trouble or 'too little memory'}")
        return
    target = Path(out).resolve() if len(files) > 1 or out.endswith("/") else files[0].resolve()
    app.copy_to_clipboard(str(target))
    many = f"{len(files)} files in " if len(files) > 1 else ""
    _tell(app, f"Written: {many}{target} · its path is copied, where the terminal allows it")


async def _ask_file(app: Ampledger, ending: str) -> str | None:
    start = (app.session.path.stem if app.session.path else "plan") if ending != ".svg" else "wiring"
    title = f"Write to a file (in {Path.cwd()}); its ending says what it holds"
    path = await ask_path(app, title, start=f"{start}{ending}", ending=ending)
    return str(path) if path is not None else None


async def _ask_folder(app: Ampledger) -> str | None:
    def read(text: str) -> str:
        if not text.strip():
            raise ValueError("type the name of a folder")
        return f"{within(Path(text.strip()).expanduser())}/"

    start = f"{app.session.path.stem if app.session.path else 'plan'}-tables"
    answer = await app.push_screen_wait(
        Picker(f"Write every table to a folder (in {Path.cwd()})", lambda text: [], text=start, read=read)
    )
    return str(answer) if answer is not None else None


def _in_the_way(out: str) -> bool:
    """Whether something is there already that writing would replace."""
    path = Path(out)
    if not path.is_dir():
        return path.exists()
    tables = [within(one) for one in path.glob("*.csv")]  # a link among them must not lead out of reach
    return bool(tables)


async def _may_replace(app: Ampledger, out: str) -> bool:
    what = "files of these names are" if Path(out).is_dir() else "a file of this name is"
    question = f"{out}: {what} there already."
    answer = await app.push_screen_wait(Ask("Replace it?", question, (("r", "replace"), ("k", "keep what is there"))))
    return answer == "r"


async def _in_a_thread(app: Ampledger, out: str, *, replace: bool) -> tuple[Path, ...]:
    """The file, while the program goes on; a line says for how long already."""
    from model.record.export import export

    assert app.document is not None
    design, plan = app.document.design, app.plan
    left_out = _left_out(app)
    measured = app.session.measured(design)
    paper = app.settings.paper

    def work() -> tuple[Path, ...]:
        return export(_subject(design, plan, measured, left_out, paper), out, force=replace)

    begun = monotonic()
    task = asyncio.create_task(asyncio.to_thread(work))
    while not (await asyncio.wait({task}, timeout=TICK_S))[0]:
        _tell(app, f"~ writing {Path(out).name} … {monotonic() - begun:.0f} s")
    return task.result()


def _subject(
    design: Design, plan: Plan | None, measured: MeasuredDays | None, left_out: frozenset[str], paper: str
) -> Subject:
    """What is written about: the plan on the screen, or a new one where that is not yet worked out."""
    from model.plan import plan as plan_of
    from model.record.export import Subject

    made = plan if plan is not None and plan.design == design else plan_of(design)
    return Subject(made, measured, left_out, paper)


def _left_out(app: Ampledger) -> frozenset[str]:
    """The sections that stay out, where the report was looked at."""
    found = app.query("#report")
    return frozenset(getattr(found.first(), "left_out", ())) if found else frozenset()


def _nothing_goes_in(app: Ampledger) -> bool:
    found = app.query("#report")
    return bool(found) and bool(getattr(found.first(), "nothing", False))


def _tell(app: Ampledger, words: str) -> None:
    """On the message line, and in the report where it is shown: a long path wraps there."""
    from tui.screens.report import ReportPlace

    app.say("" if app.place == "report" else words)
    for place in app.query(ReportPlace):
        place.say(words)
