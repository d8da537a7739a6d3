"""The commands that print what was asked."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING

from tui.commandline.designs import asked_design, file_of, measured_days, read_design
from tui.commandline.status import DANGER, Trouble

if TYPE_CHECKING:
    from model.design import Design


def print_plan(parsed: argparse.Namespace) -> int:
    """The whole plan, as text or as JSON."""
    return print_design(asked_design(parsed), as_json=parsed.json, path=file_of(parsed))


def print_design(design: Design, *, as_json: bool, path: Path | None = None) -> int:
    """The plan of a design; `path`: where its file is, beside which its weather file may lie."""
    from model.plan import plan

    made = plan(design)
    if as_json:
        from model.record.export import Subject, json_text

        print(json_text(Subject(made, measured_days(design, path))))
    else:
        from model.record.as_text import as_text

        print(as_text(made, measured_days(design, path) if design.stops else None))
    return 0


def print_trip(parsed: argparse.Namespace) -> int:
    """The design's trip."""
    from model import quantities
    from model.plan import plan
    from model.record.trip_json import trip_dict
    from model.record.trip_text import trip_text
    from model.trip import trip

    charge = quantities.read(parsed.charge, "percent", low=0, high=1)
    design = asked_design(parsed)
    measured = measured_days(design, file_of(parsed))
    found = trip(plan(design), start_charge=charge, measured=measured)
    if parsed.json:
        print(json.dumps({"trip": trip_dict(found)}, ensure_ascii=False, indent=1, allow_nan=False))
    else:
        print(trip_text(found))
    return 0


def print_check(parsed: argparse.Namespace) -> int:
    """The findings; answers DANGER where one is a danger."""
    from model.plan import plan
    from model.record.as_text import findings_text

    made = plan(asked_design(parsed))
    print(findings_text(made))
    return DANGER if any(finding.severity == "danger" for finding in made.findings) else 0


def print_log(parsed: argparse.Namespace) -> int:
    """A log of real days beside the plan."""
    from model.logged import compare, in_words
    from model.plan import plan
    from model.record.log_files import read_log

    days = read_log(Path(parsed.log))
    made = plan(read_design(file_of(parsed)))
    print("\n".join(in_words(compare(made, days))))
    return 0


def print_comparison(parsed: argparse.Namespace) -> int:
    """Two designs side by side, or one at three voltages."""
    from model.compare import as_text, compare, differing
    from model.plan import plan

    if parsed.voltages:
        return _print_voltages(parsed)
    if parsed.file is None or parsed.other is None:
        raise Trouble("compare takes two design files, FILE and OTHER; or --voltages and one")
    paths = (Path(parsed.file), Path(parsed.other))
    rows = compare(*(plan(read_design(path)) for path in paths))
    print(as_text(rows if parsed.all else differing(rows), *(path.name for path in paths)))
    return 0


def _print_voltages(parsed: argparse.Namespace) -> int:
    from model.plan import plan
    from model.voltages import voltages
    from model.voltages_words import as_text

    if parsed.other is not None:
        raise Trouble(f"--voltages takes one design; {parsed.other} is one too many")
    print(as_text(voltages(plan(read_design(file_of(parsed))))))
    return 0


def print_places(parsed: argparse.Namespace) -> int:
    """The places that a name or coordinates may mean."""
    from model.supply.places import label, parse_coordinates, search

    query = " ".join(parsed.query)
    coordinates = parse_coordinates(query)
    if coordinates is not None:
        latitude, longitude, elevation = coordinates
        height = f", {elevation:g} m" if elevation is not None else ""
        print(f"{latitude:.4f}, {longitude:.4f}{height}")
        return 0
    found = search(query)
    if not found:
        raise Trouble(f"no place sounds like “{query}”; coordinates work too: 36.1, -79.95")
    for place in found:
        print(f"{label(place)}  {place.latitude_deg:.3f}, {place.longitude_deg:.3f}  {place.population} people")
    return 0
