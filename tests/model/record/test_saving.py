"""Saving leaves the old file or the new one, whole, whatever the disk does."""

from __future__ import annotations

import errno
import os
import random
import signal
from collections.abc import Callable
from pathlib import Path

import pytest

from model.design import Design
from model.record import disk
from model.record.files import (
    ChangedOnDisk,
    Damaged,
    DiskTrouble,
    NotOurs,
    Opened,
    backup_of,
    changed_on_disk,
    open_design,
    save,
    untitled,
)
from tests.model.record.killing import fork, kill_while_saving, numbered

KILLS = 20  # `make prove` runs many more


@pytest.fixture
def opened(tmp_path: Path) -> Opened:
    path = tmp_path / "van.toml"
    path.write_text("# mine\nformat = 1\nname = '0'\n")
    return open_design(path)


def content(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in folder.iterdir()}


def test_mode_and_backup_are_kept(opened: Opened, tmp_path: Path) -> None:
    path = tmp_path / "van.toml"
    before = path.read_bytes()
    path.chmod(0o640)
    again = save(opened, numbered(1))
    assert path.stat().st_mode & 0o777 == 0o640
    assert backup_of(path).read_bytes() == before
    second = path.read_bytes()
    save(again, numbered(2))
    assert backup_of(path).read_bytes() == second
    assert sorted(content(tmp_path)) == ["van.toml", "van.toml~"]


def test_a_new_file_has_the_mode_of_any_new_file(tmp_path: Path) -> None:
    save(untitled(Design()), Design(), tmp_path / "new.toml")
    (tmp_path / "other").touch()
    assert (tmp_path / "new.toml").stat().st_mode == (tmp_path / "other").stat().st_mode
    with pytest.raises(ValueError, match="path"):
        save(untitled(Design()), Design())


def test_an_untouched_design_is_not_written_at_all(opened: Opened, tmp_path: Path) -> None:
    before = (tmp_path / "van.toml").stat()
    save(opened, opened.design)
    after = (tmp_path / "van.toml").stat()
    assert (before.st_mtime_ns, before.st_ino) == (after.st_mtime_ns, after.st_ino)
    assert sorted(content(tmp_path)) == ["van.toml"]


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").mkdir()
    target = tmp_path / "real" / "van.toml"
    target.write_text("format = 1\n")
    link = tmp_path / "link.toml"
    link.symlink_to(target)
    save(open_design(link), numbered(3))
    assert link.is_symlink()
    assert open_design(target).design == numbered(3)


def test_a_change_by_somebody_else_is_not_overwritten(opened: Opened, tmp_path: Path) -> None:
    path = tmp_path / "van.toml"
    os.utime(path, (1, 1))
    assert not changed_on_disk(opened), "only touched"
    path.write_text("# theirs\nformat = 1\n")
    assert changed_on_disk(opened)
    with pytest.raises(ChangedOnDisk, match="since it was opened"):
        save(opened, numbered(4))
    assert path.read_text() == "# theirs\nformat = 1\n"
    save(opened, numbered(4), overwrite_changed=True)
    assert open_design(path).design == numbered(4)
    assert backup_of(path).read_text() == "# theirs\nformat = 1\n"


def test_a_file_that_is_not_ours_is_not_overwritten(opened: Opened, tmp_path: Path) -> None:
    other = tmp_path / "other.toml"
    other.write_bytes(b"\xff damaged")
    with pytest.raises(Damaged):
        open_design(other)
    for mine in (opened, untitled(Design())):
        with pytest.raises(NotOurs, match="already"):
            save(mine, numbered(5), other)
    assert other.read_bytes() == b"\xff damaged"
    save(opened, numbered(5), other, overwrite_changed=True)
    assert backup_of(other).read_bytes() == b"\xff damaged"


def test_a_file_removed_meanwhile_is_written_again(opened: Opened, tmp_path: Path) -> None:
    (tmp_path / "van.toml").unlink()
    assert changed_on_disk(opened)
    save(opened, numbered(6))
    assert open_design(tmp_path / "van.toml").design == numbered(6)


def _full(handle: int, data: bytes) -> int:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


def _half(write: Callable[[int, bytes], int]) -> Callable[[int, bytes], int]:
    """A disk that takes some bytes and is full then."""
    room = [1000]

    def limited(handle: int, data: bytes) -> int:
        if not room[0]:
            return _full(handle, data)
        taken = write(handle, bytes(data)[: room[0]])
        room[0] -= taken
        return taken

    return limited


@pytest.mark.parametrize("trouble", ["full at once", "full half-way", "no flush", "no rename", "no create"])
def test_a_disk_that_refuses_leaves_the_old_file_and_nothing_else(
    opened: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, trouble: str
) -> None:
    before = content(tmp_path)

    def refuse(*_: object, **__: object) -> int:
        raise OSError(errno.EIO, os.strerror(errno.EIO))

    with monkeypatch.context() as patched:
        match trouble:
            case "full at once":
                patched.setattr(disk.os, "write", _full)
            case "full half-way":
                patched.setattr(disk.os, "write", _half(os.write))
            case "no flush":
                patched.setattr(disk.os, "fsync", refuse)
            case "no rename":
                patched.setattr(Path, "replace", refuse)
            case "no create":
                real = os.open
                patched.setattr(
                    disk.os, "open", lambda path, flags, *rest: refuse() if flags & os.O_CREAT else real(path, flags)
                )
        with pytest.raises(DiskTrouble, match=r"^van\.toml.*: cannot be written: ") as caught:
            save(opened, numbered(7))
    assert "\n" not in str(caught.value)
    assert content(tmp_path) == before
    save(opened, numbered(7))
    assert open_design(tmp_path / "van.toml").design == numbered(7)


def test_a_truly_full_disk(tmp_path: Path) -> None:
    """The kernel's own limit on file size stands for the full disk: it also takes a part of the write and refuses the rest."""
    path = tmp_path / "van.toml"
    mine = save(untitled(numbered(1)), numbered(1), path)
    before = content(tmp_path)
    child = fork()
    if not child:
        import resource

        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (2000, 2000))
        try:
            save(mine, numbered(2))
        except DiskTrouble as trouble:
            os._exit(0 if "too large" in str(trouble) else 2)
        os._exit(3)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
    assert content(tmp_path) == before


def test_a_protected_file_and_folder(opened: Opened, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(DiskTrouble, match="cannot be written: no such file"):
        save(opened, numbered(8), tmp_path / "nowhere" / "x.toml")
    monkeypatch.setattr(disk.os, "access", lambda path, mode: False)  # an administrator may write everywhere
    with pytest.raises(DiskTrouble, match="write-protected"):
        save(opened, numbered(8))
    assert open_design(tmp_path / "van.toml").design == opened.design


def test_what_a_killed_save_left_is_swept_later(opened: Opened, tmp_path: Path) -> None:
    old, young, foreign = (tmp_path / name for name in (".ampledger-9-0.part", ".ampledger-9-1.part", ".other-9.part"))
    for file in (old, young, foreign):
        file.touch()
    for file in (old, foreign):
        os.utime(file, (1, 1))
    save(opened, numbered(9))
    assert (old.exists(), young.exists(), foreign.exists()) == (False, True, True)


def test_kill_9_while_saving_leaves_a_whole_file(tmp_path: Path) -> None:
    chance = random.Random(1)
    for _ in range(KILLS):
        kill_while_saving(tmp_path, chance)
