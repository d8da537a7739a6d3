"""The same van at 12, 24 and 48 V, as a part of the report's circuits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from model.record.report.document import Block, Column, Listing, Paragraph, Section, Table, text
from model.voltages import voltages
from model.voltages_words import heads, paragraphs, table

if TYPE_CHECKING:
    from model.plan import Plan

NUMBER = True


def at_voltages(plan: Plan) -> Section:
    """The table, and in words what changes and what speaks against it."""
    found = voltages(plan)
    columns = (Column("Figure"), *(Column(head, NUMBER) for head in heads(found)))
    rows = tuple((text(row.label), *(text(one) for one in row.texts)) for row in table(found))
    blocks: list[Block] = [Table("This van at other system voltages", columns, rows)]
    for head, sentences in paragraphs(found):
        blocks += [Paragraph(text(f"{head}.")), Listing(tuple(text(one) for one in sentences))]
    return Section("At 12, 24 and 48 V", "voltages", tuple(blocks))
