"""What leaves the program as a file: the ending of its name says what it holds.

A new kind of file takes a line in WRITERS and a function from the subject to the bytes. Nothing is imported before its ending is
asked for; nothing is written before it is complete.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Collection
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from model.record import disk
from model.record.disk import DiskTrouble

if TYPE_CHECKING:
    from model.plan import Plan
    from model.record.report.document import Document
    from model.supply.weather_file import MeasuredDays
    from model.trip import Trip
    from model.year import Year


class NotWritten(Exception):
    """Why nothing was written: one line for a person."""


@dataclass(frozen=True)
class Subject:
    """What is written about: a plan, and what is simulated from it when a writer asks. measured: days of its weather file.

    left_out: anchors of sections that the report does without; the tables for programs are always all of them. paper: of the PDF,
    "A4" or "Letter".
    """

    plan: Plan
    measured: MeasuredDays | None = None
    left_out: frozenset[str] = frozenset()
    paper: str = "A4"

    @cached_property
    def year(self) -> Year | None:
        """The plan's synthetic years; None where the place has no climate."""
        from model.year import NoYear, year

        try:
            return year(self.plan, measured=self.measured)
        except NoYear:
            return None

    @cached_property
    def trip(self) -> Trip | None:
        """The trip through the plan's stops; None where there are none, or none has a climate."""
        from model.trip import NoTrip, trip

        try:
            return trip(self.plan, measured=self.measured)
        except NoTrip:
            return None

    def only(self, names: Collection[str]) -> Subject:
        """The same with these sections of the report alone, by their titles. Raises ValueError for one that it lacks."""
        return replace(self, left_out=self.whole.all_but(names))

    @cached_property
    def whole(self) -> Document:
        """The report with all its sections."""
        from model.record.report.content import document

        return document(self.plan, self.year, self.trip)

    @property
    def document(self) -> Document:
        """The report, without what was left out."""
        return self.whole.without(self.left_out)


@dataclass(frozen=True, slots=True)
class Writer:
    """What an ending stands for, in words, and how its content is made."""

    what: str
    content: Callable[[Subject], bytes]


def _html(subject: Subject) -> bytes:
    from model.record.report.html import html

    return html(subject.document).encode("utf-8", "replace")


def _pdf(subject: Subject) -> bytes:
    from model.record.report.pdf import NotSet, pdf

    try:
        return pdf(subject.document, subject.paper)
    except NotSet as reason:
        raise NotWritten(str(reason)) from reason


def _markdown(subject: Subject) -> bytes:
    from model.record.report.markdown import markdown

    return markdown(subject.document).encode("utf-8", "replace")


def _text(subject: Subject) -> bytes:
    from model.record.as_text import as_text

    return f"{as_text(subject.plan, subject.measured)}\n".encode("utf-8", "replace")


def json_text(subject: Subject) -> str:
    """The contract, with the odds of year and trip."""
    import json

    from model.record.as_json import as_dict

    data = as_dict(subject.plan, subject.year, subject.trip)
    return json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False)


def _json(subject: Subject) -> bytes:
    return f"{json_text(subject)}\n".encode("utf-8", "replace")


def _svg(subject: Subject) -> bytes:
    from model.record.diagram import svg

    return svg(subject.plan).encode("utf-8", "replace")


def _xlsx(subject: Subject) -> bytes:
    from model.record.spreadsheet import xlsx

    return xlsx(subject.plan, subject.year)


WRITERS: dict[str, Writer] = {
    ".html": Writer("the report as one page for a browser", _html),
    ".pdf": Writer("the report on paper", _pdf),
    ".md": Writer("the report as Markdown", _markdown),
    ".txt": Writer("the plan as plain text", _text),
    ".json": Writer("the plan for other programs", _json),
    ".svg": Writer("the wiring diagram", _svg),
    ".xlsx": Writer("a spreadsheet", _xlsx),
}
REPORTS = (".html", ".pdf", ".md")  # what is made of the chosen sections
CSV = ".csv"
ENDINGS = (*WRITERS, CSV)


def tables(subject: Subject) -> dict[str, bytes]:
    """Every table that a spreadsheet takes, as CSV by the stem of its file: "loads", "months", "cable-schedule"."""
    from model.record.papers import job_of
    from model.record.report.csv import as_csv
    from model.record.report.handouts import paper_table, remarks_table
    from model.wiring.papers import PAPERS

    job = job_of(subject.plan)
    made = subject.whole.tables()
    made.update({paper.file.removesuffix(CSV): paper_table(paper, job) for paper in PAPERS.values()})
    made["remarks"] = remarks_table(subject.plan)
    # With the mark of UTF-8: without it a spreadsheet reads "105 °C" in another encoding on a double click.
    return {name: as_csv(table).encode("utf-8-sig", "replace") for name, table in made.items()}


def export(subject: Subject, out: str | Path, *, force: bool = False) -> tuple[Path, ...]:
    """Write `out` by its ending, or every CSV paper where it is a folder or ends in "/"; answers what was written.

    Raises NotWritten for a file that is there already (unless `force`), an unknown ending or paper; DiskTrouble where the disk
    refuses. What was there is then as it was.
    """
    path = Path(out)
    real = check(out, force=force)
    if real is None:
        return _export_folder(subject, path, force)
    if path.suffix.lower() == CSV:
        return _export_paper(subject, path, real)
    disk.replace(real, WRITERS[path.suffix.lower()].content(subject))
    return (path,)


def check(out: str | Path, *, force: bool = False) -> Path | None:
    """Refuse what `export` would refuse before it works anything out; the file to be written, None for a folder.

    Raises as `export`.
    """
    path = Path(out)
    with disk.in_words(path, "written"):
        folder = path.is_dir()
    ending = path.suffix.lower()
    if str(out).endswith(("/", os.sep)) or (folder and ending not in ENDINGS):
        return None
    if folder:
        raise NotWritten(f"{path.name} is a folder; end it in / for all CSV files in it")
    if ending not in ENDINGS:
        told = f"{ending} is no ending that is known here" if ending else "the name has no ending"
        raise NotWritten(
            f"{path.name}: {told}; take one of {', '.join(ENDINGS)}, or a folder, ending in /, for all CSV files"
        )
    return _free(path, force)


def _export_paper(subject: Subject, path: Path, real: Path) -> tuple[Path, ...]:
    made = tables(subject)
    content = made.get(path.stem.lower())
    if content is None:
        raise NotWritten(f"{path.name}: there is no such paper; there are {', '.join(f'{name}.csv' for name in made)}")
    disk.replace(real, content)
    return (path,)


def _export_folder(subject: Subject, folder: Path, force: bool) -> tuple[Path, ...]:
    made = {folder / f"{name}{CSV}": content for name, content in tables(subject).items()}
    fresh = not folder.exists()
    targets = {path: _free(path, force, parent=not fresh) for path in made}
    if fresh:
        folder.mkdir()
    written = []
    try:
        for path, content in made.items():
            disk.replace(targets[path], content)
            written.append(path)
    except OSError:
        if fresh:  # a folder of ours with half of the papers in it is of no use to anybody
            with suppress(OSError):
                for path in written:
                    path.unlink()
                folder.rmdir()
        raise
    return tuple(written)


def _free(path: Path, force: bool, *, parent: bool = True) -> Path:
    """The file behind `path`, found fit to be written before any work is done: a link stays, what it points to is replaced."""
    with disk.in_words(path, "written"):
        real = Path(os.path.realpath(path))
        if real.exists():
            if not force:
                raise NotWritten(f"{path.name}: there is a file of this name already; --force replaces it ({real})")
            if not real.is_file():
                raise DiskTrouble(f"{path.name}: this is a pipe, a device or a folder, not a file ({real})")
            disk.require_writable(real)
        elif parent and not real.parent.is_dir():
            raise DiskTrouble(f"{path.name}: there is no folder {real.parent} to write it to")
        if parent and not os.access(real.parent, os.W_OK):
            raise DiskTrouble(f"{path.name}: the folder is write-protected ({real.parent})")
    return real
