"""Design files: TOML that a person can read and edit.

    format = 1
    name = "Heron"
    [battery]
    chemistry = "LFP"
    [[load]]
    name = "Fridge"
    power = "45 W"       # values are texts with their unit, as they are typed into a table cell

The keys are those of `model.design`. What the owner wrote (comments, order, spelling, keys this program does not know)
survives every save; a file that is damaged is never overwritten.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from model.design import Design
from model.record import disk
from model.record.disk import DiskTrouble, Fingerprint

__all__ = [
    "ChangedOnDisk", "Damaged", "DiskTrouble", "NotOurs", "NotSaved", "Opened",
    "new_text", "open_design", "peek", "save", "untitled",
]  # fmt: skip


class Damaged(Exception):
    """A file that holds no design. str: one line naming file, line, field and the way out.

    `problems` holds everything found wrong (`model.record.reading.Problem`); `line` and `field` are those of the first.
    """

    def __init__(self, path: Path, problems: Sequence[Any]) -> None:
        first = problems[0]
        self.path, self.line, self.field, self.problems = path, first.line, first.field, tuple(problems)
        more = len(problems) - 1
        rest = (
            f" (and {more} more: line {', '.join(str(one.line) for one in problems[1:6])}{', …' * (more > 5)})"
            if more
            else ""
        )
        out = "; correct it in a text editor"
        backup = backup_of(path)
        if backup.exists():
            out += f", or go back to {backup.name}, the state before the last save"
        super().__init__(f"{_sentence(path, first)}{rest}{out}")


class NotSaved(Exception):
    """Nothing was written; one line says why and what to do. `overwrite_changed=True` writes all the same."""


class ChangedOnDisk(NotSaved):
    """Somebody else wrote the file since it was opened."""


class NotOurs(NotSaved):
    """A file of that name is there already and is not the one that was opened."""


@dataclass(frozen=True, slots=True)
class Opened:
    """A design as it stands on the disk. `document` is the text of the file, for `save` alone."""

    design: Design
    document: str | None
    path: Path | None
    fingerprint: Fingerprint | None
    notes: tuple[str, ...] = ()


def untitled(design: Design) -> Opened:
    """A design that has no file yet."""
    return Opened(design, None, None, None)


def peek(path: str | Path) -> list[dict[str, str]]:
    """The loads of a file as raw texts by key, unchecked, for the first paint; [] where the file cannot be read."""
    try:
        content, _ = disk.read(Path(path))
        rows = tomllib.loads(content.decode("utf-8-sig")).get("load", [])
        return [
            {key: _raw(value) for key, value in row.items() if isinstance(value, str | int | float)} for row in rows
        ]
    except (OSError, ValueError, RecursionError, TypeError, AttributeError):
        return []


def _raw(value: str | bool | int | float) -> str:
    return str(value) if not isinstance(value, bool) else "yes" if value else "no"


def open_design(path: str | Path) -> Opened:
    """Read a design file.

    Raises Damaged for a content that is no design, DiskTrouble (an OSError) where there is no file that can be read.
    """
    path = Path(path)
    content, fingerprint = disk.read(path)
    return _opened(path, content, fingerprint)


def read_text(text: str, name: str = "text") -> Design:
    """The design that a text describes. Raises Damaged, in which the text goes by `name`."""
    from model.record import reading

    try:
        return reading.read(text).design
    except reading.Wrong as wrong:
        raise Damaged(Path(name), wrong.problems) from wrong


def new_text(design: Design) -> str:
    """The text of a fresh file."""
    from model.record import fresh

    return fresh.new_text(design)


def save(opened: Opened, design: Design, path: str | Path | None = None, *, overwrite_changed: bool = False) -> Opened:
    """Write `design` to `path`, or to where it was opened from; returns what stands on the disk then.

    The text the owner wrote is patched, read again and compared with the design; where that fails the file is written anew
    and `notes` says so. A design equal to the file's leaves every byte as it is. The content before the save stays in
    NAME.toml~. Raises ChangedOnDisk or NotOurs unless `overwrite_changed`, ValueError where there is no path, DiskTrouble where
    the disk refuses; the old file is then as it was.
    """
    target = Path(path) if path is not None else opened.path
    if target is None:
        raise ValueError("a design without a file needs a path to be saved to")
    real = _real(target)
    before = disk.look(real)
    if before is not None and not overwrite_changed:
        _refuse_foreign(opened, target, real, before[1])
    text, notes = _text_for(opened, design, target)
    content = text.encode("utf-8", "replace")
    if before is None or before[0] != content:
        if before is not None:
            disk.require_writable(real)
        disk.replace(real, content, backup=(backup_of(real), before[0]) if before else None)
    written, fingerprint = disk.read(real)
    if written != content:
        raise ChangedOnDisk(
            f"{target.name}: somebody else wrote this file while it was being saved; look at both ({real})"
        )
    return Opened(design, text, target, fingerprint, notes)


def changed_on_disk(opened: Opened) -> bool:
    """Whether somebody else wrote, or removed, the file since it was opened or saved."""
    if opened.path is None or opened.fingerprint is None:
        return False
    now = disk.look(opened.path)
    return now is None or not now[1].same_content(opened.fingerprint)


def backup_of(path: Path) -> Path:
    """Where `save` keeps the content before it."""
    return path.with_name(path.name + "~")


def _opened(path: Path, content: bytes, fingerprint: Fingerprint) -> Opened:
    from model.record import reading

    try:
        text = reading.decode(content)
        found = reading.read(text)
    except reading.Wrong as wrong:
        raise Damaged(path, wrong.problems) from wrong
    return Opened(found.design, text, path, fingerprint, tuple(_sentence(path, one) for one in found.unknown))


def _refuse_foreign(opened: Opened, target: Path, real: Path, now: Fingerprint) -> None:
    if opened.path is None or opened.fingerprint is None or _real(opened.path) != real:
        raise NotOurs(
            f"{target.name}: there is a file of this name already; choose another name, or say to replace it ({real})"
        )
    if not now.same_content(opened.fingerprint):
        raise ChangedOnDisk(
            f"{target.name}: somebody changed this file since it was opened; open it again, save under another name, "
            f"or say to replace it ({real})"
        )


def _text_for(opened: Opened, design: Design, target: Path) -> tuple[str, tuple[str, ...]]:
    """The text to write, and what is to be said about it."""
    from model.record import fresh, patch, reading

    kept = opened.document
    if kept is not None:
        if design == opened.design:
            return kept, opened.notes
        mark = reading.MARK if kept.startswith(reading.MARK) else ""
        try:
            text = mark + patch.patch(kept.removeprefix(reading.MARK), opened.design, design)
            found = reading.read(text)
            if found.design == design:
                return text, tuple(_sentence(target, one) for one in found.unknown)
        except (patch.Unpatchable, reading.Wrong):
            pass
    text = fresh.new_text(design)
    notes = []
    if kept is not None:
        notes.append(
            f"{target.name}: the text could not be changed in place and was written anew; "
            f"your comments are in {backup_of(target).name}"
        )
    try:
        if reading.read(text).design != design:
            notes.append(
                f"{target.name}: not every value reads back as it was entered; compare the file with the screen"
            )
    except reading.Wrong as wrong:
        notes.append(f"{_sentence(target, wrong.problems[0])}; the file was written all the same")
    return text, tuple(notes)


def _real(path: Path) -> Path:
    """What a link points to: the link stays, the file behind it is replaced."""
    with disk.in_words(path, "saved"):
        return Path(os.path.realpath(path))


def _sentence(path: Path, problem: Any) -> str:
    line = f", line {problem.line}" if problem.line else ""
    field = f", {problem.field}" if problem.field else ""
    return f"{path.name}{line}{field}: {problem.message}"
