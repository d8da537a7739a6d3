"""The recovery journal: no accepted edit is lost, none is invented, and two programs do not disturb each other."""

from __future__ import annotations

import errno
import os
import random
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from model.design import Design
from model.record import disk, journal
from model.record.files import DiskTrouble, open_design, save, untitled
from model.record.journal import Journal, discard, in_use, pending, state_folder
from tests.model.record.killing import kill_while_editing, numbered

KILLS = 20  # `make prove` runs many more


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "van.toml"
    save(untitled(numbered(0)), numbered(0), path)
    return path


@pytest.fixture
def state(tmp_path: Path) -> Path:
    return tmp_path / "state"


def die(one: Journal) -> Path:
    """What the system does when the process is killed: the handle is closed, the lock is dropped, the file stays."""
    assert one._file is not None
    os.close(one._handle)
    return one._file


def test_the_last_edit_of_a_dead_program_is_offered_once(path: Path, state: Path) -> None:
    dead = Journal(path, folder=state)
    for number in (1, 2, 3):
        dead.append(numbered(number))
    assert pending(path, folder=state) is None, "the program still lives"
    file = die(dead)
    found = pending(path, folder=state)
    assert found is not None
    assert (found.design, found.older_than_file, found.time_s) == (numbered(3), False, file.stat().st_mtime)
    assert pending(path.with_name("other.toml"), folder=state) is None
    discard(found)
    assert pending(path, folder=state) is None
    assert list(state.iterdir()) == []


def test_nothing_is_offered_after_a_save_even_where_the_kill_came_before_the_clearing(path: Path, state: Path) -> None:
    mine = Journal(path, folder=state)
    mine.append(numbered(1))
    save(open_design(path), numbered(1))
    die(mine)
    assert pending(path, folder=state) is None
    assert list(state.iterdir()) == []
    again = Journal(path, folder=state)
    again.append(numbered(2))
    again.clear()
    again.clear()
    assert list(state.iterdir()) == []
    again.append(numbered(3))
    die(again)
    found = pending(path, folder=state)
    assert found is not None
    assert found.design == numbered(3)


def test_edits_older_than_the_file_are_offered_and_said_to_be_so(path: Path, state: Path) -> None:
    mine = Journal(path, folder=state)
    mine.append(numbered(1))
    os.utime(die(mine), (1000, 1000))
    found = pending(path, folder=state)
    assert found is not None
    assert (found.older_than_file, found.time_s) == (True, 1000)


def test_a_damaged_or_missing_file_is_recovered_too(path: Path, state: Path) -> None:
    mine = Journal(path, folder=state)
    mine.append(numbered(1))
    die(mine)
    path.write_bytes(b"\xff")
    assert (found := pending(path, folder=state)) is not None
    assert found.saved is None
    assert found.file_time_s is not None
    path.unlink()
    assert pending(path, folder=state) == replace(found, file_time_s=None)


def test_two_dead_programs_one_after_the_other(path: Path, state: Path) -> None:
    first, second = Journal(path, folder=state), Journal(path, folder=state)
    first.append(numbered(1))
    second.append(numbered(2))
    os.utime(die(first), (1000, 1000))
    os.utime(die(second), (2000, 2000))
    mine = Journal(path, folder=state)
    for number in (2, 1):
        found = pending(path, folder=state)
        assert found is not None
        assert found.design == numbered(number)
        mine.take_over(found)
        assert not found.journal.exists()
    assert pending(path, folder=state) is None, "what was taken over is in a living journal"
    die(mine)
    assert (left := pending(path, folder=state)) is not None
    assert left.design == numbered(1)


def test_a_design_without_a_file_and_the_folder_of_the_environment(
    state: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(journal.ENVIRONMENT, str(state))
    assert state_folder() == state
    mine = Journal(None)
    mine.append(numbered(1))
    file = die(mine)
    assert file.parent == state
    assert file.stat().st_mode & 0o777 == 0o600
    assert (found := pending(None)) is not None
    assert found.design == numbered(1)
    monkeypatch.delenv(journal.ENVIRONMENT)
    assert state_folder().name == "ampledger"


def test_a_link_and_its_target_share_their_edits(path: Path, state: Path) -> None:
    link = path.with_name("link.toml")
    link.symlink_to(path)
    mine = Journal(link, folder=state)
    mine.append(numbered(1))
    die(mine)
    assert pending(path, folder=state) is not None


@given(st.integers(0, 30_000), st.binary(max_size=20))
@settings(deadline=None, max_examples=60)
def test_a_torn_tail_is_left_out(tmp_path_factory: pytest.TempPathFactory, cut: int, junk: bytes) -> None:
    folder = tmp_path_factory.mktemp("torn")
    mine = Journal(None, folder=folder)
    ends = []
    for number in (1, 2, 3):
        mine.append(numbered(number))
        ends.append(mine._size)
    file = die(mine)
    whole = file.read_bytes()
    torn = whole[: cut % (len(whole) + 1)]
    file.write_bytes(torn + junk)
    complete = sum(len(torn) >= end for end in ends)
    found = pending(None, folder=folder)
    assert (int(found.design.name) if found else 0) == complete
    first_cut_short = b"\n" in torn and len(torn + junk) < ends[0]  # no edit was accepted yet
    kept = found is not None or file.exists()
    assert kept or first_cut_short or not torn + junk, "what cannot be read is not thrown away"


def test_a_first_record_cut_short_leaves_no_litter(path: Path, state: Path) -> None:
    """A kill can come in the midst of a write, at the end of a page of memory: that edit was not accepted yet."""
    mine = Journal(path, folder=state)
    mine.append(numbered(1))
    file = die(mine)
    file.write_bytes(file.read_bytes()[:4096])
    assert pending(path, folder=state) is None
    assert list(state.iterdir()) == []


@pytest.mark.parametrize("at", [0.1, 0.4, 0.9])
def test_a_flipped_bit_costs_the_records_from_there_and_invents_nothing(state: Path, at: float) -> None:
    mine = Journal(None, folder=state)
    for number in (1, 2, 3):
        mine.append(numbered(number))
    file = die(mine)
    content = bytearray(file.read_bytes())
    content[int(len(content) * at)] ^= 4
    file.write_bytes(content)
    found = pending(None, folder=state)
    assert (int(found.design.name) if found else 0) == int(at * 3)


def test_the_journal_stays_small(state: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(journal, "COMPACT_ABOVE_BYTES", 20_000)
    mine = Journal(None, folder=state)
    for number in range(50):
        mine.append(numbered(number))
        assert sum(file.stat().st_size for file in state.iterdir()) <= 20_000
    assert len(list(state.iterdir())) == 1
    die(mine)
    assert (found := pending(None, folder=state)) is not None
    assert found.design == numbered(49)


@pytest.mark.parametrize("room", [0, 1000])
def test_a_full_disk_keeps_what_was_kept(state: Path, monkeypatch: pytest.MonkeyPatch, room: int) -> None:
    mine = Journal(None, folder=state)
    mine.append(numbered(1))
    write = os.write

    def full(handle: int, data: bytes) -> int:
        nonlocal room
        if not room:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        taken = write(handle, bytes(data)[:room])
        room -= taken
        return taken

    with monkeypatch.context() as patched:
        patched.setattr(disk.os, "write", full)
        with pytest.raises(DiskTrouble, match="cannot be kept for recovery: no space"):
            mine.append(numbered(2))
    mine.append(numbered(3))
    file = die(mine)
    assert len(list(journal._records(file.read_bytes()))) == 2
    assert (found := pending(None, folder=state)) is not None
    assert found.design == numbered(3)


def test_a_folder_that_cannot_be_made_is_one_line(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(DiskTrouble, match="cannot be kept for recovery") as caught:
        Journal(None, folder=tmp_path / "file" / "state").append(Design())
    assert "\n" not in str(caught.value)
    assert pending(None, folder=tmp_path / "file" / "state") is None


def test_a_journal_that_was_tidied_away_begins_anew(state: Path) -> None:
    mine = Journal(None, folder=state)
    mine.append(numbered(1))
    for file in state.iterdir():
        file.unlink()
    mine.append(numbered(2))
    die(mine)
    assert (found := pending(None, folder=state)) is not None
    assert found.design == numbered(2)


def test_another_process_that_lives_is_left_alone(path: Path, state: Path) -> None:
    code = (
        "import sys; from pathlib import Path; from model.design import Design; from model.record.journal import Journal\n"
        "journal = Journal(sys.argv[1], folder=Path(sys.argv[2])); journal.append(Design(name='other'))\n"
        "print('kept', flush=True); sys.stdin.read()"
    )
    root = Path(journal.__file__).parents[2]
    command = [sys.executable, "-c", code, str(path), str(state)]
    with subprocess.Popen(command, cwd=root, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as other:
        assert other.stdout is not None
        assert other.stdout.readline() == b"kept\n"
        mine = Journal(path, folder=state)
        mine.append(numbered(1))
        assert pending(path, folder=state) is None
        assert in_use(path, folder=state, but=mine)
        other.kill()
        other.wait()
        assert not in_use(path, folder=state, but=mine)
        assert in_use(path, folder=state)
        assert (found := pending(path, folder=state)) is not None
        assert found.design == Design(name="other")


def test_kill_9_while_editing_loses_no_accepted_edit(tmp_path: Path) -> None:
    chance = random.Random(2)
    for _ in range(KILLS):
        kill_while_editing(tmp_path, chance)


def test_edits_of_other_designs_are_named(tmp_path: Path) -> None:
    state = tmp_path / "state"
    for path in (tmp_path / "myvan.toml", None):
        left = journal.Journal(path, folder=state)
        left.append(Design())
        die(left)
    assert journal.left_elsewhere(tmp_path / "other.toml", folder=state) == ["a van without a file", "myvan"]
    assert journal.left_elsewhere(None, folder=state) == ["myvan"]
    living = journal.Journal(tmp_path / "open.toml", folder=state)
    living.append(Design())
    assert "open" not in journal.left_elsewhere(None, folder=state)
