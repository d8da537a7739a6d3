"""Every command of the program, declared once: footer, palette, help and the table in README are made from this list.

Keys are letters, because function keys and most control keys are eaten by one terminal, browser or multiplexer or another.
Digits are left to the table cells, where typing a number begins an edit. While a cell is being edited no command listens.
"""

from __future__ import annotations

from dataclasses import dataclass

PLACES = ("loads", "sun", "battery", "year")
PLACE_TITLES = {"loads": "Loads", "sun": "Sun", "battery": "Battery", "year": "Year"}


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
    def key_text(self) -> str:
        """The key as a person reads it."""
        return self.shown_key or self.keys.split(",")[0]


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
    Command("looking.working", "w", "why", "Show how the figure under the cursor was made.", footer=7),
    Command(
        "looking.findings",
        "f",
        "findings",
        "List what a careful friend would say; Enter goes to the cause.",
        footer=12,
        asks=True,
    ),
    Command(
        "edits.choose_place",
        "p",
        "place",
        "Change the place: search by name, or type coordinates.",
        footer=8,
        asks=True,
    ),
    Command("edits.change_month", "m", "month", "Look at the next month.", footer=9, arguments=(1,)),
    Command("edits.change_month", "M", "month back", "Look at the month before.", shown_key="shift+M", arguments=(-1,)),
    Command("edits.undo", "u,ctrl+z", "undo", "Take the last edit back.", footer=11),
    Command("edits.redo", "U,ctrl+y", "redo", "Make the edit again that was taken back.", shown_key="shift+U"),
    Command("edits.pick_load", "a", "add", "Pick a typical load from a list.", ("loads",), footer=6, asks=True),
    Command("edits.new_row", "n", "new", "Add an empty row below the cursor.", ("loads", "sun"), footer=10),
    Command("edits.duplicate_row", "d", "double", "Copy the row below itself.", ("loads", "sun")),
    Command(
        "edits.remove_row",
        "delete",
        "remove",
        "Remove the row; undo brings it back.",
        ("loads", "sun"),
        shown_key="Del",
    ),
    Command(
        "edits.move_row",
        "K,shift+up",
        "move up",
        "Move the row up.",
        ("loads", "sun"),
        shown_key="shift+up",
        arguments=(-1,),
    ),
    Command(
        "edits.move_row",
        "J,shift+down",
        "move down",
        "Move the row down.",
        ("loads", "sun"),
        shown_key="shift+down",
        arguments=(1,),
    ),
    Command("edits.switch_row", "x", "off/on", "Count the row or leave it out, without losing it.", ("loads",)),
    Command(
        "edits.details",
        "e",
        "details",
        "Edit every field of the row, also the rarely used ones.",
        ("loads",),
        footer=13,
        asks=True,
    ),
    Command("looking.view", "v", "view", "Show the next picture or table of this place.", footer=13),
    Command("edits.choose_chemistry", "c", "choose", "Take the chemistry under the cursor.", ("battery",), footer=6),
    Command(
        "edits.typed_weather",
        "t",
        "own weather",
        "Type twelve monthly values instead of the built-in climate.",
        ("sun",),
        asks=True,
    ),
    Command(
        "edits.weather_file", "r", "weather file", "Read a weather file: TMY3, TMY2, EPW or PVGIS.", ("sun",), asks=True
    ),
    Command(
        "file_dialogs.save",
        "ctrl+s,S",
        "save",
        "Write the design to its file.",
        footer=14,
        shown_key="shift+S",
        asks=True,
    ),
    Command(
        "file_dialogs.save_as", "A", "save as", "Write the design to another file.", shown_key="shift+A", asks=True
    ),
    Command("file_dialogs.open_file", "o", "open", "Open a design file.", asks=True),
    Command("file_dialogs.new_design", "N", "new design", "Begin an empty design.", shown_key="shift+N", asks=True),
    Command("looking.copy_text", "C", "copy", "Copy the plan of this place as plain text.", shown_key="shift+C"),
    Command("looking.stop", "k", "stop", "Stop the simulation that is running.", ("year",), footer=6),
    Command(
        "looking.help_here",
        "question_mark,f1",
        "help",
        "What this place is for, and its keys.",
        footer=5,
        shown_key="?",
    ),
    Command("file_dialogs.leave", "q,ctrl+q", "quit", "Leave; unsaved edits are asked about first.", asks=True),
)


def active(place: str) -> tuple[Command, ...]:
    """The commands that listen in `place`."""
    return tuple(command for command in EVERY_COMMAND if not command.places or place in command.places)


def footer(place: str, width: int) -> tuple[Command, ...]:
    """The commands that the footer of `place` has room for at `width` columns, in their order."""
    shown: list[Command] = []
    used = 0
    for command in sorted((one for one in active(place) if one.footer), key=lambda one: one.footer):
        needed = len(command.key_text) + len(command.title) + 3
        if used + needed <= width:
            shown.append(command)
            used += needed
    return tuple(shown)
