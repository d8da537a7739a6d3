"""The editable table by keyboard alone, at 80 x 24. What is expected here is what a person who knows a spreadsheet expects."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, ClassVar

import pytest
from textual import events
from textual.app import App, ComposeResult
from textual.binding import BindingType
from textual.widgets import Button

from tui.widgets.edit_buffer import LONGEST, EditBuffer, completion, next_choice
from tui.widgets.edit_line import EditLine
from tui.widgets.edit_table import EditTable
from tui.widgets.table_rows import Column, Row, fit, widths

COLUMNS = (
    Column("name", "Load", 16, editable=True, takes_letters=True, flex=True, kind_hint="any name"),
    Column("quantity", "Qty", 4, align="right", editable=True, kind_hint="a count: 1 to 999"),
    Column("power", "Power", 8, align="right", editable=True, kind_hint="45 W, 0.9 A, 20 mA"),
    Column("hours", "Hours", 7, align="right", editable=True, kind_hint="hours a day: 3.5 h, 3h30, 210 min"),
    Column("when", "When", 8, editable=True, choices=("all day", "day", "evening", "night")),
    Column("charge", "Ah/day", 7, align="right"),
)


def row(key: str, name: str, hours: str = "3.5 h", **more: Any) -> Row:
    cells = {"name": name, "quantity": "2", "power": "18 W", "hours": hours, "when": "evening", "charge": "10.5"}
    return Row(key, cells, **more)


ROWS = [
    row("fridge", "Compressor fridge"),
    row("heater", "Diesel air heater"),
    row("lamps", "Ceiling lamps"),
    row("idle", "Inverter, idle", kind="derived", word="automatic", editable=frozenset({"hours"})),
    row("radio", "Marine radio", kind="off"),
    Row("total", {"name": "5 loads", "charge": "96.1"}, kind="footer"),
]


def check(row_key: str, column_key: str, text: str) -> str | None:
    """Takes numbers with point or comma in the number columns, as a field parser would."""
    if column_key in ("name", "when"):
        return None if text else "a name is needed"
    try:
        float(text.split()[0].replace(",", "."))
    except (ValueError, IndexError):
        return f"{text!r} is not understood"
    return None


class Bench(App[None]):
    """A table, its line, a button to go to, and program keys that must never see a letter typed into a cell."""

    BINDINGS: ClassVar[list[BindingType]] = [
        (key, f"pressed('{key}')", key) for key in ("x", "n", "3", "ctrl+s", "delete", "enter", "u", "space")
    ]

    def __init__(self, checking: bool = True, rows: list[Row] | None = None) -> None:
        super().__init__()
        self.table = EditTable(COLUMNS, check=check if checking else None)
        self.rows = ROWS if rows is None else rows
        self.log_: list[Any] = []
        self.answer: Callable[[EditTable.CellEdited], None] = lambda event: None

    def compose(self) -> ComposeResult:
        yield self.table
        yield EditLine(self.table)
        yield Button("elsewhere")

    def on_mount(self) -> None:
        self.table.set_rows(self.rows)
        self.table.focus()

    def action_pressed(self, key: str) -> None:
        self.log_.append(key)

    def on_edit_table_cell_edited(self, event: EditTable.CellEdited) -> None:
        self.log_.append((event.row_key, event.column_key, event.text))
        self.answer(event)

    def on_edit_table_pasted(self, event: EditTable.Pasted) -> None:
        self.log_.append(("pasted", event.rows, event.row_key, event.column_key))

    def on_edit_table_typing(self, event: EditTable.Typing) -> None:
        self.typing = event.text

    def shown(self) -> list[str]:
        """The table as it stands on the screen, line by line."""
        return [self.table.render_line(y).text for y in range(self.table.size.height)]

    def cell(self, row_key: str, column_key: str) -> str:
        return self.table.get_cell(row_key, column_key).plain.strip()


def at(app: Bench, row_key: str, column_key: str) -> None:
    assert app.table.put_cursor(row_key, column_key)


async def test_typing_replaces_enter_keeps_and_goes_down() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("1", "2", "comma", "5", "enter")
        assert app.log_ == [("fridge", "hours", "12,5")]
        assert app.cell("fridge", "hours") == "12,5"
        assert app.table.cursor == ("heater", "hours")
        assert not app.table.editing


async def test_f2_and_enter_edit_what_is_there() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("f2", "left", "left", "backspace", "2", "enter")
        assert app.log_ == [("fridge", "hours", "3.2 h")]
        await pilot.press("enter", "home", "delete", "4", "end", "x", "left", "delete", "tab")
        assert app.log_[1:] == [("heater", "hours", "4.5 h")]


async def test_refused_text_stays_with_its_message_and_escape_restores() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("4", "4", "backspace", "backspace", "minus", "minus", "enter")
        assert app.table.editing and app.table.cursor == ("fridge", "hours")
        assert app.cell("fridge", "hours") == "!    --"
        assert app.table.message == "'--' is not understood"
        assert "! '--' is not understood" in _screen(app)
        assert app.log_ == []
        await pilot.press("tab")
        assert app.table.editing
        await pilot.press("escape")
        assert app.cell("fridge", "hours") == "3.5 h"
        assert app.table.message == "" and not app.table.editing and app.log_ == []


async def test_the_message_follows_the_typing_and_good_text_is_offered() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("minus")
        assert app.table.message
        await pilot.press("5")
        assert app.table.message == "" and app.typing == "-5"
        await pilot.press("escape")
        assert app.typing is None


async def test_tab_goes_over_the_cells_that_take_an_edit() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "quantity")
        await pilot.press("3", "tab", "4", "5", "tab", "tab")  # the last Tab passes a cell untouched
        assert app.table.cursor == ("fridge", "when")
        await pilot.press("tab")
        assert app.table.cursor == ("heater", "name")  # the figure of charge takes no edit
        await pilot.press("shift+tab", "shift+tab")
        assert app.table.cursor == ("fridge", "hours")
        assert app.log_ == [("fridge", "quantity", "3"), ("fridge", "power", "45")]
        await pilot.press("up", "tab")
        assert isinstance(app.focused, Button)  # without an edit before it, Tab leaves the table as everywhere


async def test_letters_belong_to_the_program_unless_a_cell_takes_them() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("x", "n", "delete")
        assert app.log_ == ["x", "n", "delete"]
        await pilot.press("1", "x", "n", "u", "delete", "space", "escape")
        assert app.log_ == ["x", "n", "delete"]
        at(app, "lamps", "name")
        await pilot.pause()
        await pilot.press("x", "n", "space", "3", "enter")
        assert app.log_[3:] == [("lamps", "name", "xn 3")]


async def test_other_keys_arrive_behind_the_edit() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("7", "ctrl+s")
        await pilot.pause()
        assert app.log_ == [("fridge", "hours", "7"), "ctrl+s"]
        await pilot.press("minus", "ctrl+s")
        await pilot.pause()
        # nobody is held in a cell: the key goes on, the refused text stays where it was typed, marked
        assert app.log_[2:] == ["ctrl+s"] and not app.table.editing
        assert [text for _, _, text, _ in app.table.pending] == ["-"]


async def test_up_and_down_take_the_text_and_move() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "heater", "hours")
        await pilot.press("7", "up")
        await pilot.pause()
        assert app.log_ == [("heater", "hours", "7")] and app.table.cursor == ("fridge", "hours")


async def test_a_choice_by_space_by_letter_and_by_arrow() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "when")
        await pilot.press("space")
        assert app.log_ == [("fridge", "when", "night")]
        await pilot.press("space")
        assert app.log_[1:] == [("fridge", "when", "all day")]
        await pilot.press("n")
        assert app.table.editing and app.cell("fridge", "when") == "night"  # the rest of the choice is shown
        await pilot.press("enter")
        assert app.log_[2:] == [("fridge", "when", "night")]
        await pilot.press("x")
        assert app.log_[3:] == ["x"]  # begins no choice
        await pilot.press("a", "l", "l", "space", "d", "enter")
        assert app.log_[4:] == [("heater", "when", "all day")]
        await pilot.press("enter", "down", "down", "enter")
        assert app.log_[5:] == [("lamps", "when", "all day")]


async def test_pasting_one_value_replaces_and_a_column_is_handed_over() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        app.table.post_message(events.Paste("6,5\n"))
        await pilot.pause()
        assert app.table.editing
        await pilot.press("enter")
        assert app.log_ == [("fridge", "hours", "6,5")]
        app.table.post_message(events.Paste("1\t2\r\n3\t4\r\n"))
        await pilot.pause()
        assert app.log_[1:] == [("pasted", [["1", "2"], ["3", "4"]], "heater", "hours")]
        await pilot.press("f2", "home")
        app.table.post_message(events.Paste("1\x1b2"))
        await pilot.pause()
        await pilot.press("enter")
        assert app.log_[2:] == [("heater", "hours", "123.5 h")]


async def test_a_paste_that_is_too_long_is_refused_whole() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        app.table.post_message(events.Paste("1" * (LONGEST + 1)))
        await pilot.pause()
        assert not app.table.editing and str(LONGEST) in app.table.message
        assert app.cell("fridge", "hours") == "3.5 h"


async def test_leaving_keeps_good_text_and_holds_refused_text() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("8")
        app.query_one(Button).focus()
        await pilot.pause()
        assert app.log_ == [("fridge", "hours", "8")]
        app.table.focus()
        await pilot.press("minus")
        app.query_one(Button).focus()
        await pilot.pause()
        assert app.log_[1:] == []
        assert app.table.pending == [("fridge", "hours", "-", "'-' is not understood")]
        app.table.set_rows([replace(one) for one in ROWS])  # figures that arrive meanwhile do not wipe it
        assert app.cell("fridge", "hours").startswith("!")
        app.table.focus()
        await pilot.press("down", "up")
        assert app.table.message == "'-' is not understood"
        await pilot.press("f2", "2", "enter")
        assert app.log_[1:] == [("fridge", "hours", "-2")] and app.table.pending == []


async def test_a_click_elsewhere_is_leaving_too() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("9")
        await pilot.click(EditTable, offset=(3, 3))
        await pilot.pause()
        assert app.log_ == [("fridge", "hours", "9")] and app.table.cursor == ("lamps", "name")
        await pilot.click(EditTable, offset=(3, 3))
        await pilot.pause()
        assert app.table.editing  # a click on the cell under the cursor edits it


async def test_an_unfocused_terminal_does_not_enter_half_a_number() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("1")
        app.post_message(events.AppBlur())
        await pilot.pause()
        assert app.log_ == [] and app.table.editing
        app.post_message(events.AppFocus())
        await pilot.pause()
        await pilot.press("2", "enter")
        assert app.log_ == [("fridge", "hours", "12")]


async def test_the_owner_may_answer_instead_of_a_check() -> None:
    app = Bench(checking=False)
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        app.answer = lambda event: event.table.refuse("hours are at most 24")
        await pilot.press("2", "5", "enter")
        await pilot.pause()
        assert app.table.editing and app.table.cursor == ("fridge", "hours")
        assert app.table.message == "hours are at most 24" and "25" in app.cell("fridge", "hours")
        app.answer = lambda event: event.table.accept("20 h")
        await pilot.press("backspace", "0", "enter")
        await pilot.pause()
        assert app.cell("fridge", "hours") == "20 h" and not app.table.editing
        app.answer = lambda event: event.table.refuse("no")
        await pilot.press("9")
        app.query_one(Button).focus()
        await pilot.pause()
        assert app.table.pending == [("heater", "hours", "9", "no")]


async def test_unchanged_text_is_no_edit() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.press("f2", "enter")
        assert app.log_ == [] and app.table.cursor == ("heater", "hours")


async def test_what_takes_no_edit() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "idle", "quantity")
        await pilot.press("5")
        assert not app.table.editing and "worked out" in app.table.message
        at(app, "total", "name")
        await pilot.press("f2", "a")
        assert not app.table.editing
        at(app, "idle", "hours")
        await pilot.pause()
        await pilot.press("5", "enter")
        assert app.log_[-1] == ("idle", "hours", "5")


async def test_the_kind_of_a_row_is_said_in_words_and_numbers_stand_right() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        shown = app.shown()
        assert shown[0].startswith(" Load") and "   Qty" in shown[0]
        assert " off " in shown[5] and shown[5].startswith(" Marine radio")
        assert "automatic" in shown[4]
        edge = shown[0].index("Hours") + len("Hours")
        assert {line[edge - 1] for line in shown[1:6]} == {"h"}
        assert all(len(line) <= 80 for line in shown)


async def test_the_hint_says_which_spellings_the_cell_takes() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.pause()
        assert "hours a day: 3.5 h, 3h30, 210 min" in _screen(app)
        at(app, "fridge", "when")
        await pilot.pause()
        assert app.table.hint == "all day · day · evening · night"
        at(app, "fridge", "charge")
        await pilot.pause()
        assert app.table.hint == ""


async def test_rows_may_come_go_and_change_places_under_the_cursor() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "lamps", "hours")
        await pilot.press("4")
        new = [row("pump", "Water pump"), ROWS[2], ROWS[1], replace(ROWS[0], cells={**ROWS[0].cells, "charge": "31.5"})]
        app.table.set_rows(new)
        await pilot.pause()
        assert app.table.editing and app.table.cursor == ("lamps", "hours")
        assert [line.split("  ")[0].strip() for line in app.shown()[1:5]] == [
            "Water pump",
            "Ceiling lamps",
            "Diesel air heater",
            "Compressor fridge",
        ]
        assert "31.5" in app.shown()[4]
        await pilot.press("enter")
        assert app.log_ == [("lamps", "hours", "4")]
        app.table.set_rows([])
        await pilot.press("5", "enter", "f2", "tab")
        assert app.table.cursor is None
        with pytest.raises(ValueError, match="pump"):
            app.table.set_rows([new[0], new[0]])


async def test_totals_stay_in_sight_and_never_hide_the_cursor() -> None:
    rows = [row(f"r{number}", f"Load {number}") for number in range(60)]
    app = Bench(rows=[*rows, ROWS[-1]])
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        for _ in range(40):
            assert app.shown()[-1].startswith(" 60 loads") or app.shown()[-1].startswith(" 5 loads")
            name = f"Load {app.table.cursor_row} "
            assert any(name in line for line in app.shown()[:-1]), name
            await pilot.press("down")
        await pilot.press("ctrl+end")
        await pilot.pause()
        assert app.table.cursor is not None and app.table.cursor.row_key == "total"
        assert "Load 59 " in app.shown()[-2]


async def test_the_flex_column_grows_with_the_terminal() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        narrow = app.shown()[0].rstrip()
        await pilot.resize_terminal(120, 24)
        await pilot.pause()
        wide = app.shown()[0].rstrip()
        assert len(wide) - len(narrow) == 40
        await pilot.resize_terminal(40, 24)
        await pilot.pause()
        assert app.shown()[0].startswith(" Load             ")


async def test_cursor_and_caret_need_no_colour() -> None:
    app = Bench()
    async with app.run_test(size=(80, 24)) as pilot:
        at(app, "fridge", "hours")
        await pilot.pause()
        assert [text.strip() for text in _reversed(app)] == ["3.5 h"]
        await pilot.press("1", "2")
        assert _reversed(app) == [" "]
        await pilot.press("left")
        assert _reversed(app) == ["2"]


def test_the_buffer_keeps_the_caret_in_its_window() -> None:
    buffer = EditBuffer.at_end("a long name of a load")
    assert buffer.window(6) == (" load", " ", "")
    assert EditBuffer("a long name", 0).window(6) == ("", "a", " long")
    assert EditBuffer.at_end("冷蔵庫").window(4) == ("庫", " ", "")
    assert buffer.key("f5") is None


def test_choices() -> None:
    choices = ("all day", "day", "dayshift")
    assert completion("DAY", choices) == "day" and completion("days", choices) == "dayshift"
    assert completion("", choices) is None and completion("z", choices) is None
    assert [next_choice(text, choices) for text in ("", "all", "dayshift")] == ["all day", "day", "all day"]


def test_layout() -> None:
    assert fit("Compressor fridge", 8) == "Compres…" and fit("9", 3, "right") == "  9" and fit("ab", 0) == ""
    assert widths(COLUMNS, 100) == [16 + 100 - 56, 4, 8, 7, 8, 7]
    assert widths(COLUMNS, 10) == [16, 4, 8, 7, 8, 7]


def _screen(app: App[Any]) -> str:
    width, height = app.size
    return "\n".join(
        "".join(segment.text for segment in line)
        for line in app.console.render_lines(
            app.screen._compositor, app.console.options.update(width=width, height=height)
        )
    )


def _reversed(app: Bench) -> list[str]:
    """The stretches of the table that are drawn in reverse."""
    return [
        segment.text
        for y in range(app.table.size.height)
        for segment in app.table.render_line(y)
        if segment.style is not None and segment.style.reverse
    ]
