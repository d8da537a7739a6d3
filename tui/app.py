"""The terminal program: one design, its places, and a thread that works out the plan.

Nothing heavy is imported here: the first paint shows the load table as it stands in the file; reading the design properly
(pint) and planning it (numpy, pvlib) follow in a thread.
"""

from __future__ import annotations

from contextlib import ExitStack
from functools import partial
from importlib import import_module
from inspect import isawaitable
from pathlib import Path
from typing import TYPE_CHECKING

from textual import events, on, work
from textual.app import App, ComposeResult
from textual.command import CommandPalette
from textual.widgets import ContentSwitcher, Static

from model.design import Design
from tui import display, frame, session, settings
from tui.commands import EVERY_COMMAND, take_keys
from tui.document import Document
from tui.palette import Commands, Palette
from tui.screens.dialog import Dialog
from tui.screens.loads import LoadsPlace
from tui.screens.made import made
from tui.screens.place import Place
from tui.typed import NEEDS_NO_DESIGN, TypedKeys
from tui.widgets.verdict import Verdict

if TYPE_CHECKING:
    from textual.timer import Timer

    from model.plan import Plan
    from model.record.journal import Recovery
    from model.working import Finding

PATIENCE_S = 0.05  # so long an edit waits for its figures before it is painted with the old ones


WELCOME = "A demonstration: type over any number and watch. shift+N begins your own van."


class Ampledger(App[None]):
    """The program. `path` None opens the demonstration."""

    CSS_PATH = "app.tcss"
    TITLE = "Ampledger"
    COMMANDS = {Commands}  # noqa: RUF012 - so declared by Textual
    HORIZONTAL_BREAKPOINTS = [(0, "-slim"), (78, "-usual"), (110, "-wide")]  # noqa: RUF012 - so declared by Textual

    def __init__(self, path: Path | None = None, *, begin: bool = False) -> None:
        """With `begin` the five questions of a new design are asked first; `path` is a file that was just made for it."""
        super().__init__()
        self._begin = begin
        self.settings, self._notes = settings.load()
        self._notes += take_keys(dict(self.settings.keys))
        self._look()
        for command in EVERY_COMMAND:
            self.bind(command.keys_now, command.action, description=command.title, show=False)
        self.session = session.Session(path)
        self.document: Document | None = None
        self.plan: Plan | None = None
        self.place = "loads"
        self._painting = ExitStack()  # holds the painting back while it is not empty
        self._patience: Timer | None = None
        self.unfinished: Design | None = None  # answers to the questions of a new design that was not begun
        self._wanted: Design | None = None  # the design whose plan is awaited
        self._typed = TypedKeys(self, super().on_event)

    def _look(self) -> None:
        """Have numbers and colours as the settings say; the theme named in the environment stays where they name none."""
        display.use(self.settings.preferences)
        if self.settings.theme != settings.Settings().theme:
            self.theme = settings.THEMES[self.settings.theme]

    def take_settings(self, new: settings.Settings) -> None:
        """Go on with other settings, and keep them."""
        if new.theme != self.settings.theme:
            self.theme = settings.THEMES[new.theme]
        self.settings = new
        display.use(new.preferences)
        try:
            settings.save(new)
        except OSError as trouble:
            self.say(f"Set for now, but not kept: {trouble}")
        self.show_design()

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
        line = frame.heading(self.size, self.session.title, self.document)
        self.query_one("#heading", Static).update(line, layout=False)

    def _show_keys(self) -> None:
        self.query_one("#keys", Static).update(frame.keys(self.place, self.size.width - 2), layout=False)

    def on_resize(self) -> None:
        # The app still has its old size while it hears of the new one.
        self.call_after_refresh(self._show_heading)
        self.call_after_refresh(self._show_keys)

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
            if elsewhere := self.session.left_elsewhere():
                self._notes = (*self._notes, elsewhere)
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
        others = self.session.others()
        if notes := (*((others,) if others else ()), *self.session.notes, *self._notes):
            self.say(notes[0] + (f" (1 of {len(notes)})" if len(notes) > 1 else ""))
        elif self.session.path is None:
            self.say(WELCOME)
        if self._begin:
            self._ask_first()
        if self._begin or recovery is not None:
            self._typed.drop()
        else:
            self.call_after_refresh(self._typed.go_on)

    async def on_event(self, event: events.Event) -> None:
        """What is typed is done in its order."""
        if not await self._typed.take(event):
            await super().on_event(event)

    @work
    async def _ask_first(self) -> None:
        from tui.file_dialogs import begin_file

        await begin_file(self)

    @work
    async def _offer_recovery(self, recovery: Recovery) -> None:
        from tui.recovery import offer

        await offer(self, recovery)

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
        display.keep(design)
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
        self.plan = plan
        self.here.show_plan(plan)
        if isinstance(self.screen, Dialog):
            self.screen.show_plan(plan)
        self._show_verdict()
        self._painting.close()

    def _show_verdict(self) -> None:
        """The plan in a few figures. Its findings count with those that places know beside it, as the list has them."""
        assert self.plan is not None
        self.query_one(Verdict).show(frame.figures(self.plan, len(self.more_findings())))

    def more_findings(self) -> tuple[Finding, ...]:
        """What the places made so far know beside the plan, each thing once."""
        if self.plan is None:
            return ()
        found = (finding for place in self.query(Place) for finding in place.more_findings(self.plan))
        return tuple(dict.fromkeys(found))

    @on(Place.Learned)
    def _learned(self) -> None:
        if self.plan is not None and self.plan.design == self._wanted:
            self._show_verdict()

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
            reason = getattr(trouble.__cause__ or trouble, "strerror", None) or str(trouble)
            self.say(f"Not accepted: {reason[:1].lower()}{reason[1:]} to keep it in {self.session.kept_in()}")
            self.show_design()  # the screen shows what was typed
            return
        if changed:
            others = self.session.others()
            self.say((f"{others} · " if others else "") + f"{title} · u undoes")
        self.show_design()

    # -- commands -----------------------------------------------------------------------------------------------

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Commands of other places do not listen here, and none before the design is read or under a dialog."""
        if action != "do":
            return True
        command = next(one for one in EVERY_COMMAND if (one.does, *one.arguments) == parameters)
        if len(self.screen_stack) > 1 or (self.document is None and command.does not in NEEDS_NO_DESIGN):
            return False
        return not command.places or self.place in command.places

    async def action_do(self, does: str, *arguments: str | int) -> None:
        """Run the function behind a command; one that waits for a dialog runs beside the program."""
        module, _, function = does.rpartition(".")
        run = partial(getattr(import_module(f"tui.{module}"), function), self, *arguments)
        if any(command.does == does and command.asks for command in EVERY_COMMAND):
            self._typed.asks(
                self.run_worker(run)
            )  # not begun here: a key behind the one that leaves would leave it unawaited
        elif isawaitable(done := run()):
            await done

    def action_command_palette(self) -> None:
        if not isinstance(self.screen, CommandPalette):
            self.push_screen(Palette(id="--command-palette"))

    async def action_quit(self) -> None:
        """Textual's own way out, which its palette offers, asks like ours."""
        await self.action_do("file_dialogs.leave")

    @on(Verdict.Asked)
    async def _asked(self) -> None:
        await self.action_do("looking.working")

    async def go(self, place: str) -> None:
        """Go to a place; it is made on the first visit."""
        if not self.query(f"#{place}"):
            await self.query_one("#places", ContentSwitcher).mount(made(place))
        if place != self.place:
            self.say("")
        self.place = place
        # What is out of sight is not kept up to date: it is shown anew here.
        if self.document is not None:
            self.here.show_design(self.document.design)
        if self.plan is not None:
            self.here.show_plan(self.plan)
        self.query_one("#places", ContentSwitcher).current = place
        self.here.take_focus()
        self._show_keys()

    def take_session(self, new: session.Session, document: Document) -> None:
        """Go on with another design file."""
        self.session, self.document, self.plan = new, document, None
        self.show_design()
