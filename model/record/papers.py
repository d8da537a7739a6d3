"""The papers of the job as files: CSV by RFC 4180, UTF-8, a heading with units, figures as the papers print them."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING

from model.wiring.papers import Job, Paper
from model.wiring.papers.labels import label_lines

if TYPE_CHECKING:
    from model.plan import Plan

FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins so for a formula (OWASP, CSV injection); names come from other people's designs."""


def job_of(plan: Plan) -> Job:
    """What the papers are written from, of a whole plan."""
    return Job(plan.wiring, plan.design, plan.storage.chosen)


def as_csv(paper: Paper, job: Job) -> str:
    """One paper as CSV. Lines end with CR LF; a text that a spreadsheet would run gets an apostrophe in front."""
    out = StringIO()
    writer = csv.writer(out)
    writer.writerow([column.heading for column in paper.columns])
    for row in paper.rows(job):
        writer.writerow(
            [
                _harmless(column.text(row)) if isinstance(column.value(row), str) else column.text(row)
                for column in paper.columns
            ]
        )
    return out.getvalue()


def label_strip(job: Job) -> str:
    """The labels for a printer: one text a line, nothing else."""
    return "".join(f"{line}\n" for line in label_lines(job.wiring))


def _harmless(text: str) -> str:
    return f"'{text}" if text.startswith(FORMULA_SIGNS) else text
