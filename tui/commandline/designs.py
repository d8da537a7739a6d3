"""The design that a command is about: its file, with place and month as asked for."""

from __future__ import annotations

import argparse
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commandline.status import Trouble

if TYPE_CHECKING:
    from model.design import Design
    from model.supply.weather_file import MeasuredDays


def file_of(parsed: argparse.Namespace) -> Path | None:
    """The file that was named; None means the demonstration."""
    return Path(parsed.file) if parsed.file else None


def existing(path: Path | None) -> Path | None:
    """That path, if it leads to a file."""
    if path is not None and not path.exists():
        raise Trouble(f"{path}: there is no such file; `ampledger new {path}` makes one")
    return path


def read_design(path: Path | None) -> Design:
    """The design in a file, or the demonstration; what is odd about the file is told on standard error."""
    from model import shelf
    from model.record.files import Damaged, open_design

    try:
        opened = open_design(path if path is not None else shelf.path("heron.toml"))
    except Damaged as damaged:
        raise Trouble(str(damaged)) from damaged
    for note in opened.notes:
        print(f"ampledger: {note}", file=sys.stderr)
    return opened.design


def asked_design(parsed: argparse.Namespace) -> Design:
    """The design of the file, with place and month as asked for on the command line."""
    design = read_design(file_of(parsed))
    if parsed.month is not None:
        from model.calendar import read_month

        design = replace(design, month=read_month(parsed.month))
    if parsed.place is not None:
        from model.supply.places import as_entered, resolve

        place = replace(design.place, **as_entered(resolve(parsed.place)))
        # own weather belongs to the place it was typed for
        design = replace(design, place=place, weather=None)
    return design


def measured_days(design: Design, path: Path | None) -> MeasuredDays | None:
    """The days of the design's weather file; a file that cannot be used is told on standard error."""
    from tui.session import measured_beside

    days, note = measured_beside(design.weather, path)
    if note:
        print(f"ampledger: {note}", file=sys.stderr)
    return days
