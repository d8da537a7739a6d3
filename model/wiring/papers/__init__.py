"""The papers of the job: each a table whose rows come from the wiring of a design.

PAPERS: name -> paper, in the order in which a builder wants them. What files and screens show comes from here alone.
"""

from __future__ import annotations

from model.wiring.papers import commissioning, copper, cut_list, joint_list, labels, schedule, shopping, ways
from model.wiring.papers.paper import Column, Job, Paper

__all__ = ["PAPERS", "Column", "Job", "Paper"]

_ALL = (
    Paper(
        "schedule",
        "Cable schedule",
        "cable-schedule.csv",
        schedule.COLUMNS,
        lambda job: schedule.schedule(job.wiring),
        schedule.REMARKS,
    ),
    Paper("labels", "Labels", "labels.csv", labels.COLUMNS, lambda job: labels.labels(job.wiring), labels.REMARKS),
    Paper(
        "cut-list",
        "Cut list",
        "cut-list.csv",
        cut_list.COLUMNS,
        lambda job: cut_list.cut_list(job.wiring),
        cut_list.REMARKS,
    ),
    Paper(
        "shopping",
        "Shopping list",
        "shopping-list.csv",
        shopping.COLUMNS,
        lambda job: shopping.shopping(job.wiring),
        shopping.REMARKS,
    ),
    Paper(
        "ways",
        "Ways of the fuse panel",
        "panel-ways.csv",
        ways.COLUMNS,
        lambda job: ways.ways(job.wiring),
        ways.REMARKS,
    ),
    Paper(
        "commissioning",
        "Commissioning sheet",
        "commissioning.csv",
        commissioning.COLUMNS,
        commissioning.commissioning,
        commissioning.REMARKS,
    ),
    Paper(
        "joints",
        "Joint list",
        "joints.csv",
        joint_list.COLUMNS,
        lambda job: joint_list.joint_list(job.wiring),
        joint_list.REMARKS,
    ),
    Paper("copper", "Copper", "copper.csv", copper.COLUMNS, lambda job: copper.copper(job.wiring), copper.REMARKS),
)

PAPERS: dict[str, Paper] = {paper.name: paper for paper in _ALL}
