"""Report: what leaves the program. What goes in is chosen on the left and looked at on the right; then it is written."""

from __future__ import annotations

from time import sleep
from typing import TYPE_CHECKING, ClassVar, cast

from rich.text import Text
from textual import on, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.widgets import OptionList
from textual.widgets.option_list import Option
from textual.worker import get_current_worker

from model.design import Design
from tui.screens.place import REST_S, Place, tell
from tui.widgets.options import Options
from tui.widgets.pages import Pages
from tui.widgets.parts import Parts

if TYPE_CHECKING:
    from model.plan import Plan
    from model.record.report.document import Document, Section
    from model.working import Finding
    from tui.app import Ampledger

KINDS = {
    ".html": ("page for a browser", "The chosen sections as one page: no network, no script, light or dark, to be printed too."),
    ".pdf": ("PDF for paper", "The chosen sections on A4 or Letter (see settings); answers on the first page. Takes seconds."),
    ".md": ("Markdown", "The chosen sections as text with tables, for a wiki or a letter; without the drawings."),
    ".xlsx": ("spreadsheet", "Loads, months, chemistries, circuits, schedule and shopping list; totals are formulas."),
    ".svg": ("wiring diagram", "One drawing of the whole system and of every circuit, with standard signs."),
    "": ("tables, in a folder", "Every table and paper as a CSV file of its own, in a folder that is made for them."),
    ".txt": ("plain text", "The plan as text, as `ampledger plan` prints it."),
    ".json": ("for other programs", "Every figure with its unit in its name: the contract of `ampledger plan --json`."),
}  # fmt: skip
"""Ending, what it is called, what is said of it. All but the first three, and the folder, hold what they hold."""
PAPERS = "papers"  # the section whose parts can be taken one by one
LEAST_PREVIEW = 24


class Choices(Options):
    """Sections to take or leave, then kinds of file to write."""

    DEFAULT_CSS = "Choices { scrollbar-size-vertical: 1; }"
    BINDINGS: ClassVar[list[BindingType]] = [Binding("space", "select", show=False)]


class ReportPlace(Place):
    place = "report"

    def __init__(self, id: str | None = None) -> None:
        super().__init__(id=id)
        self.left_out: set[str] = set()
        """Anchors of the sections that stay out."""
        self.document: Document | None = None
        self._plan: Plan | None = None
        self._further: tuple[Finding, ...] = ()
        self._apart = False  # whether each paper is chosen by itself

    def compose(self) -> ComposeResult:
        with Horizontal(id="report-sides"):
            yield Choices(id="report-choices", compact=True, markup=False)
            yield Pages(id="report-preview")
        yield Parts(id="report-state")

    @property
    def choices(self) -> Choices:
        return self.query_one(Choices)

    def on_mount(self) -> None:
        self._show_choices()
        self.say("~ put together …")

    def on_resize(self) -> None:
        self.call_after_refresh(self._show_preview)

    # -- what the app asks --------------------------------------------------------------------------------------

    def show_design(self, design: Design) -> None:
        pass  # the report shows figures only

    def show_plan(self, plan: Plan) -> None:
        if self.document is not None and self._plan is not None and self._plan.design == plan.design:
            return
        self._plan, self._further = plan, ()
        self.say("~ put together …")
        self._put_together(plan)

    def more_findings(self, plan: Plan) -> tuple[Finding, ...]:
        """Those of the odds and of the trip, which the report holds too."""
        known = self._plan is not None and self.document is not None and self._plan.design == plan.design
        return self._further if known else ()

    def figure_key(self) -> str | None:
        return None

    def take_focus(self) -> None:
        self.choices.focus()

    def go_to(self, path: str) -> bool:
        return False

    def next_view(self) -> str:
        """Papers one by one, for a shop or for the bench; or as one."""
        self._apart = not self._apart
        what, which = self._chosen
        self._show_choices()
        wanted = f"{what}:{which}"
        if all(option.id != wanted for option in self.choices.options):
            wanted = f"section:{PAPERS}"
        if any(option.id == wanted for option in self.choices.options):
            self.choices.highlighted = self.choices.get_option_index(wanted)
        return "each paper by itself" if self._apart else "the papers as one"

    def say(self, words: str) -> None:
        """One line below: what was written where, or what is being done."""
        self.query_one("#report-state", Parts).update(words)

    # -- the document -------------------------------------------------------------------------------------------

    @work(thread=True, exclusive=True, group="report")
    def _put_together(self, plan: Plan) -> None:
        """The document with its odds and its trip, in a thread: both take longer than an edit may."""
        worker = get_current_worker()
        sleep(REST_S)
        if worker.is_cancelled:
            return
        from model.record.export import Subject

        app = cast("Ampledger", self.app)
        subject = Subject(plan, app.session.measured(plan.design))
        document = subject.document
        further = tuple(one for part in (subject.year, subject.trip) if part is not None for one in part.findings)
        tell(worker, self._deliver, plan, document, further)

    def _deliver(self, plan: Plan, document: Document, further: tuple[Finding, ...]) -> None:
        if self._plan is not plan:
            return
        self.document, self._further = document, further
        self.left_out &= {one.anchor for one in (*document.sections, *document.sections_of(PAPERS))}
        self._show_choices()
        self.say("Space takes a section or leaves it · v parts the papers · Enter writes a kind of file")
        self.post_message(self.Learned())

    def _show_choices(self) -> None:
        """Keeps the cursor where it is."""
        at = self.choices.highlighted
        sections = self._sections()
        rows: list[Option | None] = [Option(Text(" What goes in", "bold"), id="in", disabled=True)]
        for one, inner in sections:
            taken = one.anchor not in self.left_out and not (inner and PAPERS in self.left_out)
            words = f" {'  ' * inner}{'✓' if taken else '–'} {one.title.partition(':')[0]}"
            rows.append(Option(Text(words, "" if taken else "dim"), id=f"section:{one.anchor}"))
        rows += [None, Option(Text(" Write it as", "bold"), id="as", disabled=True)]
        for ending, (name, _) in KINDS.items():
            rows.append(Option(Text.assemble(f" {name} ", (ending, "dim")), id=f"kind:{ending}"))
        self.choices.set_options(rows)
        self.choices.highlighted = at if at and at < len(rows) else (1 if sections else None)
        self._show_preview()

    def _sections(self) -> list[tuple[Section, bool]]:
        """The sections to choose from, and whether each lies within another one: papers do, once they were asked for."""
        found = []
        for one in self.document.sections if self.document is not None else ():
            found.append((one, False))
            if one.anchor == PAPERS and self._apart:
                found += [(paper, True) for paper in one.sections]
        return found

    @property
    def _chosen(self) -> tuple[str, str]:
        """What the cursor is on: "section" or "kind", and which."""
        if self.choices.highlighted is None:
            return "", ""
        what, _, which = (self.choices.get_option_at_index(self.choices.highlighted).id or "").partition(":")
        return what, which

    @on(OptionList.OptionHighlighted)
    def _show_preview(self) -> None:
        what, which = self._chosen
        pages = self.query_one(Pages)
        width = max(LEAST_PREVIEW, pages.scrollable_content_region.width)
        if what == "section" and self.document is not None:
            from tui.screens.report_preview import preview

            pages.show(preview(self.document.section(which), width))
        elif what == "kind":
            from tui.screens.report_preview import wrapped

            name, words = KINDS[which]
            how = (
                "Enter asks for a name and writes it; shift+O does so from every place, and the ending says what it is."
            )
            heading = (f"{name[0].upper()}{name[1:]} {which}", "bold")
            said = [(line, "") for line in wrapped(words, width)]
            pages.show((heading, ("", ""), *said, ("", ""), *((line, "dim") for line in wrapped(how, width))))

    @on(OptionList.OptionSelected)
    async def _select(self, event: OptionList.OptionSelected) -> None:
        what, _ = self._chosen
        if what == "section":
            self.toggle()
        elif what == "kind":
            await cast("Ampledger", self.app).action_do("writing.write_this")

    def toggle(self) -> str:
        """Take the section under the cursor or leave it out; answers what was done."""
        what, which = self._chosen
        if what != "section" or self.document is None:
            return "Put the cursor on a section: this takes it into the report or leaves it out."
        papers = {one.anchor for one in self.document.sections_of(PAPERS)}
        if which in papers and PAPERS in self.left_out:  # this one, of papers that were all out
            self.left_out = (self.left_out | papers) - {PAPERS}
        self.left_out ^= {which}
        self._show_choices()
        title = self.document.section(which).title
        return f"{title}: {'left out' if which in self.left_out else 'goes in'}"

    def only(self) -> str:
        """Take the section under the cursor alone, or all where it is alone already; answers what was done."""
        what, which = self._chosen
        if what != "section" or self.document is None:
            return "Put the cursor on a section: this leaves out all others."
        papers = {one.anchor for one in self.document.sections_of(PAPERS)}
        others = {one.anchor for one in self.document.sections} - {which}
        if which in papers:
            others = (others | papers) - {PAPERS, which}
        alone = self.left_out == others
        self.left_out = set() if alone else others
        self._show_choices()
        return "Every section goes in" if alone else f"{self.document.section(which).title}: nothing else goes in"

    @property
    def nothing(self) -> bool:
        """Whether every section is left out."""
        return self.document is not None and not self.document.without(self.left_out).sections

    def ending(self) -> str | None:
        """Ending of the kind of file under the cursor, "" for the folder, None elsewhere."""
        what, which = self._chosen
        return which if what == "kind" else None
