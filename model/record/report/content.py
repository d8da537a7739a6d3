"""The report of a plan: which sections it has, in which order. Each is made in a module of its own kind."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from model.calendar import month_name
from model.record.report.answers import answers
from model.record.report.cabling import circuits
from model.record.report.document import Document, Section
from model.record.report.drawings import system_drawings
from model.record.report.energy import loads, sun
from model.record.report.handouts import job_papers
from model.record.report.journey import journey
from model.record.report.notes import about, working
from model.record.report.store import battery, odds
from model.record.report.volts import at_voltages

if TYPE_CHECKING:
    from model.plan import Plan
    from model.trip import Trip
    from model.year import Year


def document(plan: Plan, year: Year | None = None, trip: Trip | None = None) -> Document:
    """The whole report; without `year` it says nothing of odds, without `trip` nothing of a journey."""
    design = plan.design
    place = f"{design.place.name} ({design.place.latitude_deg:.2f}, {design.place.longitude_deg:.2f})"
    subtitle = f"{design.system.nominal_v:g} V · {place} · {month_name(design.month)}"
    sections = (
        answers(plan, year, trip),
        loads(plan),
        sun(plan),
        battery(plan),
        odds(plan, year),
        *((journey(trip),) if trip is not None else ()),
        *_wiring(plan),
        working(plan, year, trip),
        about(plan),
    )
    return Document(design.name or "A plan without a name", subtitle, tuple(one for one in sections if _says(one)))


def _wiring(plan: Plan) -> tuple[Section, ...]:
    found = circuits(plan.wiring, system_drawings(plan))
    if found.sections:
        found = replace(found, sections=(*found.sections, at_voltages(plan)))
    return found, job_papers(plan)


def _says(section: Section) -> bool:
    return bool(section.blocks or section.sections)
