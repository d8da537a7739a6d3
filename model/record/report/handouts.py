"""The papers to build by: those of the registry, what it all weighs, and what was fitted in the end."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, TypeGuard

from model.record.papers import job_of
from model.record.report.document import (
    Column,
    Listing,
    Paragraph,
    Section,
    Span,
    Table,
    figure,
    plain,
    text,
)
from model.wiring.papers import PAPERS, Job

if TYPE_CHECKING:
    from model.plan import Plan
    from model.wiring.papers import Paper

NUMBER = True
MOST_COLUMNS = 13
FILLED_BY_HAND = ("Reading",)
ON_A_PAGE_OF_THEIR_OWN = ("shopping", "commissioning")  # one goes to the shop, one to the bench


def job_papers(plan: Plan) -> Section:
    """Every paper of the registry that has rows; then what it weighs, and what was fitted."""
    job = job_of(plan)
    sections = (
        *(_paper(paper, job) for paper in PAPERS.values() if paper.rows(job)),
        Section("What it weighs", "paper-mass", (_mass(plan, job),)),
        Section("What was fitted", "paper-fitted", (_fitted(job),)),
    )
    said = f"{', '.join(one.title for one in sections)}. Each can be had as a file of its own as well."
    return Section("Papers of the job", "papers", (Paragraph(text(said)),), sections, fresh_page=True)


def remarks_table(plan: Plan) -> Table:
    """What stands below the papers in the report, for those that leave as CSV: a CSV file has rows alone."""
    job = job_of(plan)
    there = [paper for paper in PAPERS.values() if paper.rows(job)]
    rows = tuple((text(paper.title), text(remark)) for paper in there for remark in paper.remarks)
    return Table("Remarks on the papers", (Column("Paper"), Column("Remark")), rows, "remarks")


def _fitted(job: Job) -> Table:
    """For whoever buys, insures or mends the van: what is in it, to be filled in by hand."""
    columns = ("What", "Maker, type, serial number", "Bought, receipt", "Photograph", "Date, who")
    things = ["Battery", "Battery monitor", "Main switch", "Main fuse", "Fuse panel", "Modules", "Charge controller"]
    things += ["DC-DC charger or relay"] * job.design.alternator.fitted + ["Inverter"] * job.design.inverter.fitted
    things += ["Charger"] * (job.design.shore.nights_per_week > 0 or job.design.generator.hours_per_week > 0)
    rows = tuple((text(thing), *(text(""),) * (len(columns) - 1)) for thing in things)
    return Table(
        "To be filled in, with photographs before the panels close", tuple(map(Column, columns)), rows, to_fill=True
    )


def _mass(plan: Plan, job: Job) -> Table:
    """What the plan adds to the van, as far as it is known."""
    chosen, module = plan.storage.chosen, plan.design.module
    count = plan.supply.wiring.count if plan.supply is not None else 0
    copper_kg = sum(row.copper_kg for row in PAPERS["copper"].rows(job) if row.material is None)
    known: list[tuple[str, float, str]] = [(f"Battery, {chosen.chemistry}", chosen.mass_kg, "its catalogue")]
    if module.mass_kg is not None and count:
        known.append((f"{count} modules", count * module.mass_kg, "typed"))
    known.append(("Copper of the cables", copper_kg, "length and section; without insulation"))
    rows = tuple((text(what), (figure("", kg, "mass", unit=False),), text(source)) for what, kg, source in known)
    total = (
        text("Together"),
        (figure("", sum(kg for _, kg, _ in known), "mass", unit=False),),
        text("not weighed: all else"),
    )
    columns = (Column("What"), Column("Mass (kg)", NUMBER), Column("By"))
    return Table("Part of the van's payload", columns, (*rows, total), "mass", total=True)


def _paper(paper: Paper, job: Job) -> Section:
    table = without_empty_columns(paper_table(paper, job))
    remarks = (Listing(tuple(text(one) for one in paper.remarks)),) if paper.remarks else ()
    blocks = (*in_parts(table), *remarks)
    return Section(paper.title, f"paper-{paper.name}", blocks, fresh_page=paper.name in ON_A_PAGE_OF_THEIR_OWN)


def paper_table(paper: Paper, job: Job) -> Table:
    """A paper of the registry, row by row and column by column."""
    made = paper.rows(job)
    columns = tuple(Column(one.heading, any(_is_number(one.value(row)) for row in made)) for one in paper.columns)
    rows = tuple(
        tuple(
            (Span(one.text(row), value=float(value) if _is_number(value := one.value(row)) else None),)
            for one in paper.columns
        )
        for row in made
    )
    return Table(f"{len(rows)} lines", columns, rows, to_fill=any(one.title in FILLED_BY_HAND for one in paper.columns))


def without_empty_columns(table: Table) -> Table:
    """Columns without a single word go, unless a hand will write into them."""
    kept = [
        index
        for index, column in enumerate(table.columns)
        if column.head in FILLED_BY_HAND or any(plain(row[index]) for row in table.rows)
    ]
    return table.with_columns(kept)


def in_parts(table: Table) -> tuple[Table, ...]:
    """As many tables as no page is too narrow for, alike in width, each beginning with the column that names the rows."""
    columns = range(1, len(table.columns))
    parts = -(-len(columns) // (MOST_COLUMNS - 1))
    if parts == 1:
        return (table,)
    each = -(-len(columns) // parts)
    return tuple(
        replace(
            table.with_columns((0, *columns[number * each : (number + 1) * each])),
            caption=f"{table.caption}, part {number + 1} of {parts}",
        )
        for number in range(parts)
    )


def _is_number(value: object) -> TypeGuard[int | float]:
    return isinstance(value, int | float) and not isinstance(value, bool)
