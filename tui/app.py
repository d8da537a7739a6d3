"""The terminal program: one design, its places, and a thread that works out the plan.

Nothing heavy is imported here: the first paint shows the load table as it stands in the file; reading the design properly
(pint) and planning it (numpy, pvlib) follow in a thread.
"""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on, work
from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.widgets import ContentSwitcher, Static

from model.design import Design
from tui import edits, file_dialogs, session
from tui.commands import EVERY_COMMAND, PLACES, active, footer
from tui.document import Document
from tui.screens.loads import LoadsPlace
from tui.screens.place import Place
from tui.widgets.verdict import Verdict

if TYPE_CHECKING:
    from textual.timer import Timer

    from model.plan import Plan
    from model.record.journal import Recovery

PATIENCE_S = 0.05  # so long an edit waits for its figures before it is painted with the old ones


class Commands(Provider):
    """The command palette, filled from the one list of commands."""

    async def discover(self) -> Hits:
        for command, run in self._commands():
            yield DiscoveryHit(command.title, run, help=f"{command.sentence}  [{command.key_text}]")

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        for command, run in self._commands():
            score = max(matcher.match(command.title), matcher.match(command.sentence))
            if score > 0:
                yield Hit(
                    score, matcher.highlight(command.title), run, help=f"{command.sentence}  [{command.key_text}]"
                )

    def _commands(self) -> list[tuple[Any, Any]]:
        app = self.app
        assert isinstance(app, Ampledger)
        return [(command, _runner(app, command.action)) for command in active(app.place)]


def _runner(app: App[None], action: str) -> Any:
    async def run() -> None:
        await app.run_action(action)

    return run


class Ampledger(App[None]):
    """The program. `path` None opens the demonstration."""

    CSS_PATH = "app.tcss"
    TITLE = "Ampledger"
    COMMANDS = {Commands}  # noqa: RUF012 - so declared by Textual
    HORIZONTAL_BREAKPOINTS = [(110, "-wide")]  # noqa: RUF012 - so declared by Textual
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(command.keys, command.action, command.title, show=False) for command in EVERY_COMMAND
    ]

    def __init__(self, path: Path | None = None) -> None:
        super().__init__()
        self.session = session.Session(path)
        self.document: Document | None = None
        self.plan: Plan | None = None
        self.place = "loads"
        self._painting = ExitStack()  # holds the painting back while it is not empty
        self._patience: Timer | None = None
        self._wanted: Design | None = None  # the design whose plan is awaited

    # -- what is on the screen ----------------------------------------------------------------------------------

    def compose(self) -> ComposeResult:
        yield Static(id="heading", markup=False)
        yield Verdict(id="verdict")
        with ContentSwitcher(initial="loads", id="places"):
            yield LoadsPlace(id="loads")
        yield Static(id="message", markup=False)
        yield Static(id="keys")

    def on_mount(self) -> None:
        self._loads.show_texts(self.session.peek())
        self._show_heading()
        self._show_keys()
        self.call_after_refresh(self._read_design)

    @property
    def _loads(self) -> LoadsPlace:
        return self.query_one(LoadsPlace)

    @property
    def here(self) -> Place:
        """The place on the screen."""
        return self.query_one(f"#{self.place}", Place)

    def _show_heading(self) -> None:
        left = self.session.title + (" *" if self.document is not None and self.document.dirty else "")
        right = ""
        if self.document is not None:
            from model.calendar import month_name

            design = self.document.design
            right = f"{design.place.name} · {month_name(design.month)}"
        room = max(10, self.size.width - 2)
        left = left[: max(0, room - len(right) - 1)]
        self.query_one("#heading", Static).update(left + " " * (room - len(left) - len(right)) + right, layout=False)

    def _show_keys(self) -> None:
        from rich.text import Text

        text = Text()
        for command in footer(self.place, self.size.width - 2):
            text.append(command.key_text, style="bold")
            text.append(f" {command.title}  ")
        self.query_one("#keys", Static).update(text, layout=False)

    def on_resize(self) -> None:
        self._show_heading()
        self._show_keys()

    def say(self, message: str) -> None:
        """A routine message, on the line above the keys."""
        self.query_one("#message", Static).update(message, layout=False)

    # -- the design and its plan --------------------------------------------------------------------------------

    @work(thread=True, exclusive=True, group="read")
    def _read_design(self) -> None:
        """Read the design in a thread: it imports what the first paint must not wait for."""
        from model.record.files import Damaged

        try:
            document = self.session.read()
            recovery = self.session.recovery()
        except (Damaged, OSError) as trouble:
            self.call_from_thread(self._not_read, str(trouble))
            return
        self.call_from_thread(self._hold, document, recovery)

    def _not_read(self, message: str) -> None:
        """A damaged file is never written over: the program says what is wrong and stops."""
        self.exit(return_code=2, message=message)

    def _hold(self, document: Document, recovery: Recovery | None = None) -> None:
        self.document = document
        if recovery is not None:
            self._offer_recovery(recovery)
        self.show_design()
        if self.session.notes:
            self.say(self.session.notes[0])

    @work
    async def _offer_recovery(self, recovery: Recovery) -> None:
        from datetime import datetime

        from model.record.journal import discard
        from tui.screens.ask import Ask

        when = datetime.fromtimestamp(recovery.time_s).strftime("%Y-%m-%d %H:%M")
        older = " The file was written after that." if recovery.older_than_file else ""
        question = f"The program stopped without saving. Edits up to {when} were kept.{older}"
        answers = (("r", "take the edits up again"), ("d", "drop them"))
        answer = await self.push_screen_wait(Ask("Unsaved edits", question, answers))
        if answer == "r" and self.document is not None:
            self.session.recover(self.document, recovery)
            self.show_design()
            self.say("Edits recovered; undo leads back to the file.")
        elif answer == "d":
            discard(recovery)

    def show_design(self) -> None:
        """Put the current design on the screen and have its plan worked out."""
        if self.document is None:
            return
        self.here.show_design(self.document.design)
        self._show_heading()
        self.work_out(self.document.design)

    def work_out(self, design: Design) -> None:
        """Have the plan of `design` worked out; the old figures stay, marked as old."""
        self._wanted = design
        if self.plan is None or self.plan.design != design:
            self._hold_painting()
            self.query_one(Verdict).stale = True
            self._work_out(design)
        else:
            self._deliver(self.plan)

    def _hold_painting(self) -> None:
        """Paint once where the plan comes at once: painting what was typed, then the figures, is most of an edit's time."""
        self._painting.close()
        self._painting.enter_context(self.batch_update())
        if self._patience is not None:
            self._patience.stop()
        self._patience = self.set_timer(PATIENCE_S, self._painting.close)

    @work(thread=True, exclusive=True, group="plan")
    def _work_out(self, design: Design) -> None:
        from model.plan import plan

        self.call_from_thread(self._deliver, plan(design))

    def _deliver(self, plan: Plan) -> None:
        """Show a plan, unless its design is no longer the one wanted."""
        if plan.design != self._wanted:
            return
        from model.record.words import verdict

        self.plan = plan
        self.query_one(Verdict).show([(figure.key, figure.text, figure.short) for figure in verdict(plan)])
        self.here.show_plan(plan)
        self._painting.close()

    @on(Place.Edited)
    def _edited(self, event: Place.Edited) -> None:
        self.edit(event.design, event.title)

    @on(Place.Typing)
    def _typing(self, event: Place.Typing) -> None:
        if self.document is not None:
            self.work_out(self.document.design if event.design is None else event.design)

    def edit(self, design: Design, title: str) -> None:
        """Take an edit: it goes to the journal first, then to the screen."""
        if self.document is None:
            return
        try:
            changed = self.document.edit(design, title)
        except OSError as trouble:
            self.say(f"Not accepted, because it could not be kept for recovery: {trouble}")
            return
        if changed:
            self.say(f"{title} · u undoes")
        self.show_design()

    # -- commands: places and figures ---------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Commands of other places do not listen here, and none before the design is read or under a dialog."""
        command = next((one for one in EVERY_COMMAND if one.action.split("(")[0] == action), None)
        if command is None:
            return True
        if len(self.screen_stack) > 1 or (self.document is None and action not in ("help", "leave")):
            return False
        return not command.places or self.place in command.places

    async def action_go(self, place: str) -> None:
        """Go to a place; it is made on the first visit."""
        if not self.query(f"#{place}"):
            await self.query_one("#places", ContentSwitcher).mount(self._made(place))
        self.place = place
        # What is out of sight is not kept up to date: it is shown anew here.
        if self.document is not None:
            self.here.show_design(self.document.design)
        if self.plan is not None:
            self.here.show_plan(self.plan)
        self.query_one("#places", ContentSwitcher).current = place
        self.here.take_focus()
        self._show_keys()

    def _made(self, place: str) -> Place:
        if place == "sun":
            from tui.screens.sun import SunPlace

            return SunPlace(id=place)
        from tui.screens.battery import BatteryPlace

        return BatteryPlace(id=place)

    def action_working(self) -> None:
        key = self.query_one(Verdict).chosen or self.here.figure_key()
        if key == "findings":
            self.action_findings()
        else:
            self.show_working(key)

    @on(Verdict.Asked)
    def _asked(self, event: Verdict.Asked) -> None:
        if event.key == "findings":
            self.action_findings()
        else:
            self.show_working(event.key)

    def show_working(self, key: str | None) -> None:
        """The chain of steps behind the figure `key`."""
        steps = self.plan.chain(key) if self.plan is not None and key else ()
        if not steps:
            self.say("No working here: put the cursor on a figure that was worked out.")
            return
        from tui.screens.working import Working

        self.push_screen(Working(steps))

    @work
    async def action_findings(self) -> None:
        from tui.screens.findings import Findings

        if self.plan is None:
            return
        path = await self.push_screen_wait(Findings(self.plan.findings))
        if path is not None:
            await self.go_to(path)

    async def go_to(self, path: str) -> None:
        """Put the cursor on the field at `path`, in whichever place shows it."""
        for place in (self.place, *PLACES):
            await self.action_go(place)
            if self.here.go_to(path):
                return
        self.say(f"{path} is edited in the design file.")

    def action_view(self) -> None:
        self.say(self.here.next_view())

    def action_help(self) -> None:
        from tui.screens.help import Help

        self.push_screen(Help(self.place))

    def action_copy_text(self) -> None:
        """This place as plain text, to the clipboard of the terminal."""
        from model.record import as_text

        if self.plan is None:
            return
        texts = {"loads": as_text.loads_text, "sun": as_text.sun_text, "battery": as_text.battery_text}
        self.copy_to_clipboard(texts[self.place](self.plan))
        self.say("Copied as text, where the terminal allows it; `ampledger plan FILE` prints the same.")

    # -- commands: edits ----------------------------------------------------------------------------------------

    def action_undo(self) -> None:
        self._turned("undone", self.document.undo if self.document is not None else None)

    def action_redo(self) -> None:
        self._turned("done again", self.document.redo if self.document is not None else None)

    def _turned(self, word: str, turn: Any) -> None:
        title = turn() if turn is not None else None
        self.say(f"{word}: {title}" if title else f"nothing to be {word}")
        self.show_design()

    def action_next_month(self) -> None:
        edits.change_month(self, 1)

    def action_previous_month(self) -> None:
        edits.change_month(self, -1)

    @work
    async def action_place(self) -> None:
        await edits.choose_place(self)

    @work
    async def action_pick_load(self) -> None:
        await edits.pick_load(self)

    def action_new_row(self) -> None:
        edits.new_row(self)

    def action_duplicate_row(self) -> None:
        edits.duplicate_row(self)

    def action_remove_row(self) -> None:
        edits.remove_row(self)

    def action_move_row(self, by: int) -> None:
        edits.move_row(self, by)

    def action_switch_row(self) -> None:
        edits.switch_row(self)

    @work
    async def action_details(self) -> None:
        await edits.details(self)

    def action_choose(self) -> None:
        edits.choose_chemistry(self)

    @work
    async def action_typed_weather(self) -> None:
        await edits.typed_weather(self)

    @work
    async def action_weather_file(self) -> None:
        await edits.weather_file(self)

    # -- commands: files ----------------------------------------------------------------------------------------

    @work
    async def action_save(self) -> None:
        await file_dialogs.save(self)

    @work
    async def action_save_as(self) -> None:
        await file_dialogs.save_as(self)

    @work
    async def action_open(self) -> None:
        await file_dialogs.open_file(self)

    @work
    async def action_new_design(self) -> None:
        await file_dialogs.new_design(self)

    @work
    async def action_leave(self) -> None:
        if await file_dialogs.may_leave(self):
            self.session.close()
            self.exit()

    async def action_quit(self) -> None:
        """Textual's own way out, which its palette offers, asks like ours."""
        self.action_leave()

    def take_session(self, new: session.Session, document: Document) -> None:
        """Go on with another design file."""
        self.session, self.document, self.plan = new, document, None
        self.show_design()
