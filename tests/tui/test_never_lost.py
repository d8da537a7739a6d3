"""Whatever ends the program or meddles with its file: it is said in words, and no accepted edit is lost."""

from __future__ import annotations

import errno
import os
import pty
import select
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from model import edit, shelf
from model.record import files, journal
from tests.tui.conftest import opened, press, screen_text
from tui import recovery
from tui.app import Ampledger
from tui.commandline.opening import on_screen

ROOT = Path(files.__file__).parents[2]


@pytest.fixture
def van(tmp_path: Path) -> Path:
    """A design file of a person's own."""
    target = tmp_path / "van.toml"
    design = files.open_design(shelf.path("heron.toml")).design
    files.save(files.untitled(design), design, target)
    return target


def left_behind(van: Path) -> None:
    """What a program that died over `van` leaves: two edits in a journal that nobody holds any more."""
    design = files.open_design(van).design
    dead = journal.Journal(van)
    dead.append(edit.put(edit.put(design, "loads/0/hours_per_day", 12.0), "battery/autonomy_days", 5.0))
    os.close(dead._handle)  # as the system does when a process is killed


@pytest.mark.parametrize(("width", "height"), [(80, 24), (60, 20)])
async def test_recovery_asks_with_both_dates_and_the_differences(van: Path, width: int, height: int):
    os.utime(van, (1_000_000_000, 1_000_000_000))
    left_behind(van)
    async with opened(van, size=(width, height)) as pilot:
        await pilot.pause(0.2)
        text = " ".join(screen_text(pilot.app).replace("│", " ").split())
        when = time.strftime("%Y-%m-%d", time.localtime())
        assert f"Edits kept {when}" in text
        assert f"File written {time.strftime('%Y-%m-%d %H:%M', time.localtime(1_000_000_000))}" in text
        assert "Compressor fridge: Hours a day: 12 h, was 24 h" in text
        assert "Battery: Days of autonomy: 5, was 2" in text
        await press(pilot, "r")
        assert pilot.app.document.design.loads[0].hours_per_day == 12
        await press(pilot, "u")
        assert not pilot.app.document.dirty


async def test_recovery_that_is_put_off_is_offered_again(van: Path):
    left_behind(van)
    async with opened(van) as pilot:
        await pilot.pause(0.2)
        await press(pilot, "escape")
        assert "the next start asks again" in screen_text(pilot.app)
    assert journal.pending(van) is not None


async def test_dropped_edits_are_gone(van: Path):
    left_behind(van)
    async with opened(van) as pilot:
        await pilot.pause(0.2)
        await press(pilot, "d")
        assert not pilot.app.document.dirty
    assert journal.pending(van) is None


def test_many_differences_are_counted_and_a_file_written_later_is_said_to_be(van: Path):
    design = files.open_design(van).design
    other = replace(design, loads=tuple(replace(load, hours_per_day=1.5) for load in design.loads))
    words = recovery.question(journal.Recovery(other, 0.0, van, design, 60.0), 6)
    assert "after the edits" in words
    assert words.splitlines()[-1] == f"  … and {len(design.loads) - 5} more"


async def test_a_file_that_another_program_changed_is_told_at_the_next_edit_and_not_replaced_unasked(van: Path):
    async with opened(van) as pilot:
        theirs = van.read_text("utf-8").replace('name = "Router"', 'name = "Radio"')
        van.write_text(theirs, "utf-8")
        await press(pilot, "right", "2", "enter")
        assert "van.toml was changed by another program" in screen_text(pilot.app)
        await pilot.press("S")
        await pilot.pause(0.2)
        assert "somebody changed this file" in " ".join(screen_text(pilot.app).replace("│", " ").split())
        await press(pilot, "escape")
        assert van.read_text("utf-8") == theirs
        assert pilot.app.document.dirty


async def test_a_file_opened_twice_is_told(van: Path):
    design = files.open_design(van).design
    elsewhere = journal.Journal(van)
    elsewhere.append(replace(design, name="theirs"))
    try:
        async with opened(van) as pilot:
            assert "unsaved edits in another window" in screen_text(pilot.app)
    finally:
        elsewhere.clear()


async def test_a_full_disk_takes_no_edit_and_says_so(van: Path, monkeypatch: pytest.MonkeyPatch):
    def full(_handle: int, _content: bytes) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    async with opened(van) as pilot:
        before = pilot.app.document.design
        monkeypatch.setattr("model.record.disk.write_all", full)
        await press(pilot, "right", "2", "enter")
        told = screen_text(pilot.app)
        assert "Not accepted: no space left" in told and "to keep it in" in told
        assert pilot.app.document.design == before


async def test_a_full_disk_while_saving_leaves_the_file_and_the_edits(van: Path, monkeypatch: pytest.MonkeyPatch):
    before = van.read_bytes()

    def full(*_arguments: object, **_named: object) -> None:
        raise files.DiskTrouble("van.toml: cannot be written: no space left on device")

    async with opened(van) as pilot:
        await press(pilot, "right", "2", "enter")
        monkeypatch.setattr("model.record.disk.replace", full)
        await press(pilot, "S")
        assert "no space left" in screen_text(pilot.app)
        assert pilot.app.document.dirty
        assert van.read_bytes() == before


def test_a_fault_of_the_program_is_said_with_the_way_back(van: Path, monkeypatch: pytest.MonkeyPatch, capsys):
    class Broken(Ampledger):
        CSS_PATH = str(ROOT / "tui" / "app.tcss")

        def run(self) -> None:
            super().run(headless=True)

        def show_design(self) -> None:
            raise ZeroDivisionError

    monkeypatch.setattr("tui.app.Ampledger", Broken)
    assert on_screen(van) == 1
    assert f"`ampledger {van}` offers your edits again" in capsys.readouterr().err


@pytest.mark.parametrize("end", ["hang up", "kill"])
def test_a_terminal_that_closes_and_a_kill_lose_no_edit(van: Path, state_folder: Path, end: str):
    """A process of its own in a pseudo-terminal; closing the other end is what closing a window does."""
    mine, theirs = pty.openpty()
    program = subprocess.Popen(
        [sys.executable, "-m", "tui", str(van)],
        cwd=ROOT,
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        env={
            **os.environ,
            "TERM": "xterm-256color",
            "AMPLEDGER_STATE": str(state_folder),
            "COLUMNS": "80",
            "LINES": "24",
        },
        preexec_fn=_own_terminal,
    )
    os.close(theirs)
    try:
        seen = _read_until(mine, b"autonomy", b"")
        os.write(mine, b"\x1b[C")
        _read_until(mine, b"", seen, 0.3)
        os.write(mine, b"7\r")
        _read_until(mine, b"u undoes", seen)
    finally:
        if end == "kill":
            program.kill()
        os.close(mine)
        program.wait(20)
    found = journal.pending(van)
    assert found is not None
    assert found.design.loads[0].quantity == 7
    assert files.open_design(van).design.loads[0].quantity == 1


def _own_terminal() -> None:
    """Make standard input the terminal that hangs the process up when it closes."""
    import fcntl
    import termios

    os.setsid()
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


def _read_until(screen: int, wanted: bytes, seen: bytes, longest_s: float = 60) -> bytes:
    until = time.monotonic() + longest_s
    seen = b""
    while time.monotonic() < until:
        if select.select([screen], [], [], 0.1)[0]:
            seen += os.read(screen, 65536)
        if wanted and wanted in seen:
            return seen
    assert not wanted, f"{wanted!r} did not come; last: {seen[-400:]!r}"
    return seen
