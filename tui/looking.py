"""The commands that show something and change nothing: places, working, findings, views, help, text."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model.record import as_text
from model.working import by_severity
from tui import display
from tui.commands import PLACES
from tui.edits import marked
from tui.widgets.verdict import Verdict

if TYPE_CHECKING:
    from tui.app import Ampledger


async def go(app: Ampledger, place: str) -> None:
    """Go to a place."""
    await app.go(place)


async def go_to(app: Ampledger, path: str) -> None:
    """Put the cursor on the field at `path`, in whichever place shows it; in its form, where only a form does."""
    from tui.screens.fields import DESIGN_FIELDS, FORM_ONLY
    from tui.screens.form import Form

    if path in FORM_ONLY:
        await app.push_screen_wait(Form(app, "", DESIGN_FIELDS, at=path))
        return
    came_from = app.place
    first = "circuits" if path.split("/")[0] in ("circuits", "wiring") else app.place
    for place in (first, *PLACES):
        await app.go(place)
        if app.here.go_to(path):
            if row := _row_with_form(path):
                await app.push_screen_wait(Form(app, row, at=path))
            return
    await app.go(came_from)
    app.say(f"{path} is edited in the design file.")


def _row_with_form(path: str) -> str:
    """The row of the load table whose form shows the field at `path`, where the table has no column for it; or ""."""
    from tui.screens.load_rows import SHOWN_FIELDS

    row, _, field = path.rpartition("/")
    known = row == "inverter" or (row.startswith("loads/") and row.count("/") == 1)
    return row if known and field not in SHOWN_FIELDS else ""


async def working(app: Ampledger) -> None:
    """The chain of steps behind the figure under the cursor, or behind the one chosen on the verdict line."""
    key = app.query_one(Verdict).chosen or app.here.figure_key()
    if key == "findings":
        await app.action_do("looking.findings")
        return
    steps = (app.here.chain_of(key) or app.plan.chain(key)) if app.plan is not None and key else ()
    if not steps:
        app.say("No working here: put the cursor on a figure that was worked out.")
        return
    from tui.screens.working import Working

    app.push_screen(Working(steps, app.plan))


async def findings(app: Ampledger) -> None:
    """The list of findings; choosing one goes to its cause."""
    from tui.screens.findings import Findings

    if app.plan is None:
        return
    path = await app.push_screen_wait(Findings(by_severity((*app.plan.findings, *app.more_findings()))))
    if path is not None:
        await go_to(app, path)


async def log(app: Ampledger) -> None:
    """A log of real days beside the plan; why it is not taken where it cannot be read."""
    import asyncio

    from rich.text import Text

    from model.logged import compare
    from model.record.log_files import read_log
    from tui.file_dialogs import ask_path
    from tui.screens.log_view import LogView, log_text

    if app.plan is None:
        return
    path = await ask_path(app, "Read a log of real days (CSV: day, Wh in, Wh out, min %)")
    if path is None:
        return
    plan = app.plan
    try:
        days = await asyncio.to_thread(read_log, path)
    except (OSError, ValueError) as trouble:
        dialog = LogView("The log was not taken", Text(str(trouble)))
    else:
        dialog = LogView(f"{path.name}: {len(days)} real days beside the plan", log_text(compare(plan, days)))
    await app.push_screen_wait(dialog)


def stop(app: Ampledger) -> None:
    """Stop the simulation of the year."""
    from tui.screens.year import YearPlace

    app.query_one(YearPlace).stop()


def target(app: Ampledger) -> None:
    """Aim at another chance of an empty day."""
    from tui.screens.year import YearPlace

    app.say(app.query_one(YearPlace).next_target())


def view(app: Ampledger) -> None:
    """The next picture or table of this place."""
    app.say(app.here.next_view())


def hide_chemistry(app: Ampledger) -> None:
    """Put the chemistry under the cursor away from the comparison."""
    from tui.screens.battery import BatteryPlace

    option = app.query_one(BatteryPlace).option()
    if option is None or app.plan is None or option is app.plan.storage.chosen:
        app.say("The chosen chemistry stays: put the cursor into the column of another one.")
        return
    app.take_settings(replace(app.settings, hidden=(*app.settings.hidden, option.chemistry)))
    app.say(f"{option.chemistry} put away · shift+H shows every chemistry again")


def every_chemistry(app: Ampledger) -> None:
    """Show every chemistry again."""
    app.take_settings(replace(app.settings, hidden=()))
    app.say("every chemistry")


async def settings(app: Ampledger) -> None:
    """Units, decimal sign, theme."""
    from tui.screens.settings_form import SettingsForm

    await app.push_screen_wait(SettingsForm(app))


def help_here(app: Ampledger) -> None:
    """What this place is for, and its keys."""
    from tui.screens.help import Help

    app.push_screen(Help(app.place))


def copy_text(app: Ampledger) -> None:
    """This place as plain text, to the clipboard of the terminal."""
    if app.plan is None:
        return
    if rows := marked.text(app):
        app.copy_to_clipboard(rows)
        app.say("The marked rows are copied, where the terminal allows it; they can be pasted into a table again.")
        return
    if app.place == "circuits":
        from tui.screens.circuits import CircuitsPlace

        if paper := app.query_one(CircuitsPlace).text():
            app.copy_to_clipboard(paper)
            app.say("The paper is copied, cells between tabs, where the terminal allows it.")
            return
    if app.place == "report":
        from model.record.report.markdown import markdown
        from tui.screens.report import ReportPlace

        place = app.query_one(ReportPlace)
        if place.document is not None:
            app.copy_to_clipboard(markdown(place.document.without(place.left_out)))
            app.say("The report is copied as Markdown, where the terminal allows it.")
            return
    texts = {
        "report": as_text.as_text,
        "year": as_text.as_text,
        "loads": as_text.loads_text,
        "sun": as_text.sun_text,
        "battery": as_text.battery_text,
        "circuits": as_text.circuits_text,
    }
    app.copy_to_clipboard(display.local(texts[app.place](app.plan)))
    app.say("Copied as text, where the terminal allows it; `ampledger plan FILE` prints it with all the rest.")
