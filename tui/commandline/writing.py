"""The commands that write files."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from tui.commandline.designs import asked_design, file_of, measured_days
from tui.commandline.opening import on_screen
from tui.commandline.status import Trouble


def write_new(parsed: argparse.Namespace) -> int:
    """A new design file; on a terminal it is opened."""
    from model.record.files import NotSaved, save, untitled
    from model.record.start import starter

    try:
        save(untitled(starter()), starter(), Path(parsed.file))
    except NotSaved as refusal:
        raise Trouble(str(refusal)) from refusal
    if sys.stdout.isatty() and sys.stdin.isatty():
        return on_screen(Path(parsed.file), begin=True)
    print(f"{parsed.file} written; `ampledger {parsed.file}` opens it")
    return 0


def write_export(parsed: argparse.Namespace) -> int:
    """A report, spreadsheet, diagram or tables."""
    from model.plan import plan
    from model.record.export import REPORTS, NotWritten, Subject, check, export

    try:
        check(parsed.out, force=parsed.force)
        if parsed.sections is not None and Path(parsed.out).suffix.lower() not in REPORTS:
            raise Trouble(f"--sections chooses within a report; take one of {', '.join(REPORTS)}")
        paper = _paper(parsed.paper)
        design = asked_design(parsed)
        measured = measured_days(design, file_of(parsed))
        subject = Subject(plan(design), measured, paper=paper)
        if parsed.sections is not None:
            subject = subject.only(parsed.sections.split(","))
        written = export(subject, parsed.out, force=parsed.force)
    except NotWritten as refusal:
        raise Trouble(str(refusal)) from refusal
    for path in written:
        print(f"{path} written")
    return 0


def _paper(asked: str | None) -> str:
    """The paper of a PDF: what was asked for, else what the settings say."""
    from model import entry
    from tui.settings import Settings, load

    return load()[0].paper if asked is None else str(entry.read(Settings, "paper", asked))
