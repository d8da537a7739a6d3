"""The papers of the job as plain data."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.wiring.papers import Job, Paper

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.papers.paper import Value


RENAMED = {"start": "from", "end": "to"}  # as the runs of the circuits have it; "from" cannot name a field in Python


def job_of(plan: Plan) -> Job:
    """What the papers are written from, of a whole plan."""
    return Job(plan.wiring, plan.design, plan.storage.chosen)


def as_dicts(paper: Paper, job: Job) -> list[dict[str, Value]]:
    """The rows of a paper with all their digits: name of the field, with its unit -> figure or text."""
    return [
        {RENAMED.get(column.field, column.field): column.value(row) for column in paper.columns}
        for row in paper.rows(job)
    ]
