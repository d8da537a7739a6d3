"""The demonstration's plan and report, made once for all tests of what leaves the program; and a design of hostile names."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from functools import cache
from typing import Any

from model import shelf
from model.design import Circuit, Design, Load, Place, Run, Tap
from model.plan import Plan, plan
from model.record.export import Subject, json_text
from model.record.files import open_design
from model.record.report.content import document
from model.record.report.document import Document

HOSTILE = '#*_<é>$x$ `a` | [b](c) "q" \\ & <script>alert(1)</script> @d //e =f -g'
FORBIDDEN = re.compile(r"\b(safe|safely|compliant|compliance|complies|approved)\b", re.IGNORECASE)


@cache
def demonstration() -> Design:
    return open_design(shelf.path("heron.toml")).design


@cache
def demo_plan() -> Plan:
    return plan(demonstration())


@cache
def demo() -> Subject:
    return Subject(demo_plan())


@cache
def demo_document() -> Document:
    return demo().document


@cache
def demo_json() -> dict[str, Any]:
    """As another program reads it."""
    found: dict[str, Any] = json.loads(json_text(demo()))
    return found


def without_most_working(document: Document) -> Document:
    """The document with the working of its first stage alone: a third of the pages, for what needs no more."""
    sections = tuple(
        replace(one, sections=one.sections[:1]) if one.anchor == "working" else one for one in document.sections
    )
    return replace(document, sections=sections)


@cache
def hostile_document() -> Document:
    """Every text that a person types is hostile."""
    before = demonstration()
    load = Load(name=HOSTILE, power_w=10.0, hours_per_day=2.0, note=HOSTILE, days=HOSTILE)
    run = Run("panel", HOSTILE, 2.0, jacket=HOSTILE, note=HOSTILE)
    circuit = Circuit(name=HOSTILE, system=HOSTILE, note=HOSTILE, runs=(run,), taps=(Tap(HOSTILE, HOSTILE),))
    design = replace(
        before,
        name=HOSTILE,
        place=replace(before.place, name=HOSTILE),
        loads=(load,),
        circuits=(circuit,),
    )
    return document(plan(design))


def at(data: Any, path: str) -> Any:
    """What stands in `data` under "supply.months.11.harvest_wh_per_day"."""
    for part in path.split("."):
        data = data[int(part)] if isinstance(data, list) else data[part]
    return data


@cache
def odd_plans() -> dict[str, Plan]:
    """Designs at the edge: nothing entered, no climate, a sun that does not rise, signs that control a terminal."""
    before = demonstration()
    isle, north = Place("Isle", 21.3, -157.85), Place("North", 69.65, 18.96)
    made = {
        "nothing": Design(),
        "no climate": replace(before, place=isle, stops=()),
        "polar night": replace(before, place=north, stops=()),
        "control signs": replace(before, name="a\x00b\x1b[31m\nc\ud800\ufffe\u2028", stops=()),
    }
    return {name: plan(design) for name, design in made.items()}
