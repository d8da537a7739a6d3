"""Every command of the program, declared once: footer, palette, help and the table in README are made from this list.

Keys are letters, because function keys and most control keys are eaten by one terminal, browser or multiplexer or another.
Digits are left to the table cells, where typing a number begins an edit. While a cell is being edited no command listens.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

PLACES = ("loads", "sun", "battery", "year", "circuits", "report")
PLACE_TITLES = {
    "loads": "Loads",
    "sun": "Sun",
    "battery": "Battery",
    "year": "Year",
    "circuits": "Circuits",
    "report": "Report",
}


@dataclass(frozen=True, slots=True)
class Command:
    """One command. `does` names the function behind it, "module.function" below tui, called with the app and `arguments`.

    `places` says where it is active, empty for everywhere; `footer` is the order in which the footer shows it, 0 for never;
    `asks`: it opens a dialog and waits for the answer, while the program goes on.
    """

    does: str
    keys: str
    title: str
    sentence: str
    places: tuple[str, ...] = ()
    footer: int = 0
    shown_key: str = ""
    arguments: tuple[str | int, ...] = ()
    asks: bool = False

    @property
    def action(self) -> str:
        """The app's action, as bindings and the palette name it."""
        return f"do({', '.join(repr(part) for part in (self.does, *self.arguments))})"

    @property
    def name(self) -> str:
        """What the command is called in the table of keys of the settings: "move-up"."""
        return re.sub("[ /]", "-", self.title.lower())

    @property
    def keys_now(self) -> str:
        """The keys as Textual names them, those of the settings first."""
        return _own_keys.get(self.name, self.keys)

    @property
    def key_text(self) -> str:
        """The key as a person reads it."""
        if self.name in _own_keys:
            return _spelled(_own_keys[self.name])
        return self.shown_key or self.keys.split(",")[0]


_own_keys: dict[str, str] = {}  # name of a command -> the key that the settings give it


EVERY_COMMAND: tuple[Command, ...] = (
    Command(
        "looking.go",
        "l",
        "Loads",
        "Go to the load table: what runs, how much and how long.",
        footer=1,
        arguments=("loads",),
    ),
    Command(
        "looking.go",
        "s",
        "Sun",
        "Go to place, month, roof and array: what the sun gives there.",
        footer=2,
        arguments=("sun",),
    ),
    Command("looking.go", "b", "Battery", "Go to the chemistries side by side.", footer=3, arguments=("battery",)),
    Command(
        "looking.go",
        "y",
        "Year",
        "Go to the year: income against use, and how often the battery is empty.",
        footer=4,
        arguments=("year",),
    ),
    Command(
        "looking.go",
        "i",
        "Circuits",
        "Go to the cables: circuits, fuses, volts at every point, papers, the bench.",
        footer=5,
        arguments=("circuits",),
    ),
    Command(
        "looking.go",
        "r",
        "Report",
        "Go to the report: choose what goes in, look at it, write it.",
        footer=6,
        arguments=("report",),
    ),
    Command("looking.working", "w", "why", "Show how the figure under the cursor was made.", footer=8),
    Command(
        "looking.findings",
        "f",
        "findings",
        "List what a careful friend would say; Enter goes to the cause.",
        footer=13,
        asks=True,
    ),
    Command(
        "edits.choose_place",
        "p",
        "place",
        "Change the place: search by name, or type coordinates.",
        asks=True,
    ),
    Command("edits.change_month", "m", "month", "Look at the next month.", arguments=(1,)),
    Command("edits.change_month", "M", "month back", "Look at the month before.", shown_key="shift+M", arguments=(-1,)),
    Command("edits.undo", "u,ctrl+z", "undo", "Take the last edit back.", footer=12),
    Command("edits.redo", "U,ctrl+y", "redo", "Make the edit again that was taken back.", shown_key="shift+U"),
    Command("edits.pick_load", "a", "add", "Pick a typical load from a list.", ("loads",), footer=7, asks=True),
    Command(
        "edits.new_row",
        "n",
        "new",
        "Add an empty row below the cursor; in a circuit a run from there.",
        ("loads", "sun", "circuits"),
        footer=11,
    ),
    Command(
        "edits.new_stop", "n", "new stop", "Add a stop to the trip: search its place.", ("year",), footer=16, asks=True
    ),
    Command("edits.duplicate_row", "d", "double", "Copy the row below itself.", ("loads", "sun", "year", "circuits")),
    Command(
        "edits.remove_row",
        "delete",
        "remove",
        "Remove the row; undo brings it back.",
        ("loads", "sun", "year", "circuits"),
        shown_key="Del",
    ),
    Command(
        "edits.move_row",
        "K,shift+up",
        "move up",
        "Move the row up; a circuit swaps ways, a load hangs one point nearer.",
        ("loads", "sun", "year", "circuits"),
        shown_key="shift+up",
        arguments=(-1,),
    ),
    Command(
        "edits.move_row",
        "J,shift+down",
        "move down",
        "Move the row down; a circuit swaps ways, a load hangs one point further.",
        ("loads", "sun", "year", "circuits"),
        shown_key="shift+down",
        arguments=(1,),
    ),
    Command(
        "marked_rows.mark_row",
        "asterisk",
        "mark",
        "Mark the row and go down: copying, removing, moving, off/on take all marked rows.",
        ("loads",),
        shown_key="*",
    ),
    Command("edits.switch_row", "x", "off/on", "Count the row or leave it out, without losing it.", ("loads",)),
    Command(
        "edits.details",
        "e",
        "details",
        "Edit every field of the row, also the rarely used ones.",
        ("loads", "year", "circuits"),
        footer=14,
        asks=True,
    ),
    Command(
        "edits.kinds_of_day",
        "k",
        "kinds of day",
        "Work day, rain day, away: how many a week, and what is used on each.",
        ("loads",),
        asks=True,
    ),
    Command(
        "edits.design_form",
        "E",
        "the design",
        "Edit the design's name, its months, and what holds for the whole van.",
        shown_key="shift+E",
        asks=True,
    ),
    Command("looking.view", "v", "view", "Show the next picture or table of this place.", footer=14),
    Command(
        "circuit_loads.add_load",
        "a",
        "load",
        "Hang a load of the load table on the point under the cursor.",
        ("circuits",),
        footer=7,
        asks=True,
    ),
    Command(
        "circuit_edits.settings",
        "g",
        "all cables",
        "Edit what holds for all cables: sizes, panel, spool, jacket colours.",
        ("circuits",),
        asks=True,
    ),
    Command(
        "circuit_edits.take_measured",
        "t",
        "take measured",
        "Take the measured current of the reading under the cursor into the load table.",
        ("circuits",),
    ),
    Command(
        "circuit_loads.jump",
        "j",
        "load and circuit",
        "Go from a load to its circuit, and from a circuit to its loads.",
        ("loads", "circuits"),
    ),
    Command("edits.choose_chemistry", "c", "choose", "Take the chemistry under the cursor.", ("battery",), footer=7),
    Command(
        "looking.hide_chemistry", "h", "hide", "Put the chemistry under the cursor away, for all designs.", ("battery",)
    ),
    Command(
        "looking.every_chemistry", "H", "show all", "Show every chemistry again.", ("battery",), shown_key="shift+H"
    ),
    Command(
        "edits.typed_weather",
        "t",
        "own weather",
        "Type twelve monthly values instead of the built-in climate.",
        ("sun",),
        asks=True,
    ),
    Command(
        "edits.weather_file",
        "T",
        "weather file",
        "Read a weather file: TMY3, TMY2, EPW or PVGIS.",
        ("sun",),
        shown_key="shift+T",
        asks=True,
    ),
    Command(
        "writing.toggle_section",
        "x",
        "in/out",
        "Take the section into the report, or leave it out.",
        ("report",),
        footer=8,
    ),
    Command(
        "writing.only_section",
        "X",
        "only this",
        "Take this section alone into the report; once more takes all.",
        ("report",),
        shown_key="shift+X",
    ),
    Command(
        "writing.write_this", "e", "write", "Write the kind of file under the cursor.", ("report",), footer=7, asks=True
    ),
    Command(
        "writing.write",
        "O",
        "write a file",
        "Write a report, spreadsheet, diagram or tables; the ending of the name says which.",
        shown_key="shift+O",
        asks=True,
    ),
    Command(
        "file_dialogs.save",
        "ctrl+s,S",
        "save",
        "Write the design to its file.",
        footer=15,
        shown_key="shift+S",
        asks=True,
    ),
    Command(
        "file_dialogs.save_as", "A", "save as", "Write the design to another file.", shown_key="shift+A", asks=True
    ),
    Command("file_dialogs.open_file", "o", "open", "Open a design file.", asks=True),
    Command(
        "file_dialogs.new_design",
        "N",
        "new design",
        "Begin a new design: five questions, then its loads.",
        shown_key="shift+N",
        asks=True,
    ),
    Command(
        "comparing.compare",
        "D",
        "compare",
        "Put another design beside this one: as last saved, an earlier state, a file.",
        shown_key="shift+D",
        asks=True,
    ),
    Command(
        "comparing.voltages",
        "V",
        "voltages",
        "Put this van at 12, 24 and 48 V side by side: copper, fuses, drops, battery, what needs a converter.",
        ("circuits", "battery"),
        shown_key="shift+V",
        asks=True,
    ),
    Command("looking.copy_text", "C", "copy", "Copy the plan of this place as plain text.", shown_key="shift+C"),
    Command("looking.stop", "k", "stop", "Stop the simulation that is running.", ("year",), footer=7),
    Command(
        "looking.target", "t", "target", "Aim at another chance of an empty day, on the map and the trip.", ("year",)
    ),
    Command(
        "looking.log",
        "L",
        "log",
        "Put a log of real days (CSV) beside the plan, month by month.",
        ("year",),
        shown_key="shift+L",
        asks=True,
    ),
    Command(
        "looking.settings",
        "P",
        "settings",
        "Units, decimal sign, theme: for all designs.",
        shown_key="shift+P",
        asks=True,
    ),
    Command(
        "looking.help_here",
        "question_mark,f1",
        "help",
        "What this place is for, and its keys.",
        footer=6,
        shown_key="?",
    ),
    Command("file_dialogs.leave", "q,ctrl+q", "quit", "Leave; unsaved edits are asked about first.", asks=True),
)


_NAMED_KEYS = re.compile(r"ctrl\+[a-z]|f[1-9]|f1[0-2]|delete|insert")
_TEXTUAL_NAMES = {"/": "slash", "\\": "backslash", "@": "at", "_": "underscore"}


def take_keys(wanted: Mapping[str, str]) -> tuple[str, ...]:
    """Give commands (by name) the keys of the settings; answers what could not be done, in words.

    Digits and signs stay with the cells. A key that another command of the same place has is not taken from it.
    """
    _own_keys.clear()
    notes = []
    known = {command.name for command in EVERY_COMMAND}
    for name, text in wanted.items():
        key = _key(text)
        if name not in known:
            notes.append(f"Settings, keys: there is no command {name}")
        elif key is None:
            notes.append(f"Settings, keys: {name} cannot be on {text!r}; letters, signs and F keys can carry commands")
        else:
            _own_keys[name] = key
    while clash := _clash():
        mine, other = clash
        key = _spelled(_own_keys.pop(mine.name))
        notes.append(f"Settings, keys: {key} belongs to {other.name} already, not to {mine.name}")
    return tuple(notes)


def _clash() -> tuple[Command, Command] | None:
    """A command whose own key another one has in the same place."""
    for mine in EVERY_COMMAND:
        for other in EVERY_COMMAND:
            together = not mine.places or not other.places or set(mine.places) & set(other.places)
            changed = mine is not other and mine.name in _own_keys
            if changed and together and _own_keys[mine.name] in other.keys_now.split(","):
                return mine, other
    return None


def _key(text: str) -> str | None:
    """Textual's name of a key as a person writes it ("z", "shift+Z", "Del", "/"); None for what cannot carry a command."""
    text = text.strip()
    if match := re.fullmatch("shift\\+([A-Za-z])", text):
        return match[1].upper()
    if len(text) == 1 and text.isprintable() and not (text.isspace() or text.isdigit() or text in ".,+-"):
        named = _TEXTUAL_NAMES.get(text) or re.sub("[ -]", "_", unicodedata.name(text, "").lower())
        return text if text.isalpha() else named
    text = "delete" if text.lower() == "del" else text.lower()
    return text if _NAMED_KEYS.fullmatch(text) else None


def _spelled(key: str) -> str:
    """A key as a person reads it."""
    if len(key) == 1:
        return f"shift+{key}" if key.isupper() else key
    signs = {name: sign for sign, name in _TEXTUAL_NAMES.items()}
    try:
        return signs.get(key) or unicodedata.lookup(key.replace("_", " "))
    except KeyError:
        return key


def key_text(name: str) -> str:
    """The key of a command by its name, as a person reads it."""
    return next(command.key_text for command in EVERY_COMMAND if command.name == name)


def active(place: str) -> tuple[Command, ...]:
    """The commands that listen in `place`."""
    return tuple(command for command in EVERY_COMMAND if not command.places or place in command.places)


def footer(place: str, width: int) -> tuple[Command, ...]:
    """The commands that the footer of `place` has room for at `width` columns, in their order."""
    shown: list[Command] = []
    used = 0
    for command in sorted((one for one in active(place) if one.footer), key=lambda one: one.footer):
        needed = len(command.key_text) + 1 + len(command.title)
        if used + needed <= width:
            shown.append(command)
            used += needed + 2
    return tuple(shown)
