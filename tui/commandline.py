"""The command line. Loads Textual only to open the terminal program."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

from model import __version__

if TYPE_CHECKING:
    from model.design import Design
    from model.supply.weather_file import MeasuredDays

DANGER, ERROR = 1, 2
CRASHED = 1  # what Textual returns of a program that raised
DESCRIPTION = "Plan a camper van's electricity before the cables disappear behind the panels."
EPILOG = (
    "Without a command: `ampledger [FILE]` opens the terminal program; FILE left out means the demonstration. "
    "Exit status: 0, 1 for open dangers (check), 2 for an error."
)


class Trouble(Exception):
    """Something the person can mend; its text is one line for standard error."""


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        print(f"ampledger: {message} (ampledger --help lists the commands)", file=sys.stderr)
        raise SystemExit(ERROR)


def run(arguments: Sequence[str]) -> int:
    """Do what `arguments` ask for; answers the exit status."""
    if list(arguments) == ["--version"]:
        print(f"ampledger {__version__}")
        return 0
    commands = _commands()
    if not arguments or (arguments[0] not in commands and not arguments[0].startswith("-")):
        return _guard(lambda: _open(arguments))
    parsed = _parser(commands).parse_args(arguments)
    if parsed.command is None:
        return _guard(lambda: _open(()))
    return _guard(lambda: commands[parsed.command](parsed))


def _guard(task: Callable[[], int]) -> int:
    """Run `task`; what the person can mend becomes one line on standard error."""
    from model.quantities import Refusal

    try:
        return task()
    except BrokenPipeError:  # the reader of a pipe has had enough
        sys.stdout = None
        return 0
    except (Trouble, Refusal, OSError, ValueError) as trouble:
        print("ampledger: " + " ".join(str(trouble).split()), file=sys.stderr)
        return ERROR


def _commands() -> dict[str, Callable[[argparse.Namespace], int]]:
    return {
        "plan": _plan,
        "trip": _trip,
        "check": _check,
        "compare": _compare,
        "log": _log,
        "places": _places,
        "new": _new,
        "export": _export,
        "serve": _serve,
    }


def _parser(commands: dict[str, Callable[[argparse.Namespace], int]]) -> argparse.ArgumentParser:
    parser = _Parser(prog="ampledger", description=DESCRIPTION, epilog=EPILOG)
    parser.add_argument("--version", action="version", version=f"ampledger {__version__}")
    kinds = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for name, words in {
        "plan": "print the whole plan as text, or as JSON",
        "trip": "follow the design's stops: how often the battery is empty at each, and what would mend the worst",
        "check": "list the findings; exit status 1 where one is a danger",
    }.items():
        command = kinds.add_parser(name, help=words, description=words)
        command.add_argument("file", nargs="?", metavar="FILE", help="a design file; left out: the demonstration")
        _place_and_month(command)
        if name != "check":
            command.add_argument("--json", action="store_true", help="for other programs")
        if name == "trip":
            command.add_argument(
                "--charge", default="100 %", help="of the battery on the first morning; left out: full"
            )
    words = "put two designs side by side, where they differ; or one at 12, 24 and 48 V"
    both = kinds.add_parser("compare", help=words, description=f"{words.capitalize()}.")
    both.add_argument("file", nargs="?", metavar="FILE", help="a design file")
    both.add_argument(
        "other", nargs="?", metavar="OTHER", help="another, for instance FILE~, which is FILE before its last save"
    )
    both.add_argument("--voltages", action="store_true", help="FILE at 12, 24 and 48 V; left out: the demonstration")
    both.add_argument("--all", action="store_true", help="every figure, also those that agree")
    told = "write a report, spreadsheet, diagram or tables; the ending of OUT says which"
    leave = kinds.add_parser("export", help=told, description=told)
    leave.add_argument("file", nargs="?", metavar="FILE", help="a design file; left out: the demonstration")
    leave.add_argument(
        "out", metavar="OUT", help=".html, .pdf, .md, .txt, .json, .csv, .svg or .xlsx; or a folder for all CSV tables"
    )
    leave.add_argument("--force", action="store_true", help="replace what is there already")
    leave.add_argument(
        "--sections", metavar="A,B", help="of the report, only these, by their titles: loads, battery, labels"
    )
    leave.add_argument("--paper", help="of a PDF: A4 or Letter; left out: as the settings say")
    _place_and_month(leave)
    told = "compare a log of real days (CSV: day, Wh in, Wh out, min %%) with the plan"
    log = kinds.add_parser("log", help=told, description=f"{told.capitalize()}, month by month.")
    log.add_argument("file", nargs="?", metavar="FILE", help="a design file; left out: the demonstration")
    log.add_argument(
        "log",
        metavar="LOG",
        help="in: what controllers and chargers delivered; out: what the loads took; min: lowest charge",
    )
    places = kinds.add_parser("places", help="search the list of places", description="Search the list of places.")
    places.add_argument("query", nargs="+", help="a name, spelling mistakes allowed; or coordinates")
    new = kinds.add_parser("new", help="write a new design file", description="Write a new design file to begin with.")
    new.add_argument("file", metavar="FILE")
    words = "open the program in a browser"
    serve = kinds.add_parser("serve", help=words, description=f"{words.capitalize()}. It reaches this folder only.")
    serve.add_argument("file", nargs="?", metavar="FILE", help="a design file; left out: the demonstration")
    serve.add_argument("--host", default="127.0.0.1", help="address to listen on; left out: this machine alone")
    serve.add_argument("--port", type=int, default=0, help="left out: one that is free")
    assert set(kinds.choices) == set(commands)
    return parser


def _place_and_month(command: argparse.ArgumentParser) -> None:
    command.add_argument("--place", help="a name, or latitude,longitude[,elevation]")
    command.add_argument("--month", help="1 to 12, or a name")


def _open(arguments: Sequence[str]) -> int:
    if len(arguments) > 1:
        raise Trouble(f"one design at a time; {arguments[1]} is one too many")
    path = _existing(arguments[0] if arguments else None)
    if not (sys.stdout.isatty() and sys.stdin.isatty()):
        return _print_plan(_read(path), as_json=False)
    return _on_screen(path)


def _existing(file: str | None) -> Path | None:
    path = Path(file) if file else None
    if path is not None and not path.exists():
        raise Trouble(f"{path}: there is no such file; `ampledger new {path}` makes one")
    return path


def collect_garbage_seldom() -> None:
    """For the program on the screen. Nearly all that it makes lives on or dies without the collector, which at its usual
    threshold of 700 objects takes an eighth of the start and, with pandas loaded, stops an edit for 0.1 s now and then."""
    import gc

    gc.set_threshold(100_000, 50, 100)


def _plan(parsed: argparse.Namespace) -> int:
    return _print_plan(_asked(parsed), as_json=parsed.json, path=Path(parsed.file) if parsed.file else None)


def _print_plan(design: Design, *, as_json: bool, path: Path | None = None) -> int:
    from model.plan import plan

    made = plan(design)
    if as_json:
        from model.record.export import Subject, json_text

        print(json_text(Subject(made, _measured(design, path))))
    else:
        from model.record.as_text import as_text

        print(as_text(made, _measured(design, path) if design.stops else None))
    return 0


def _measured(design: Design, path: Path | None) -> MeasuredDays | None:
    """The days of the design's weather file; a file that cannot be used is told on standard error."""
    from tui.session import measured_beside

    days, note = measured_beside(design.weather, path)
    if note:
        print(f"ampledger: {note}", file=sys.stderr)
    return days


def _trip(parsed: argparse.Namespace) -> int:
    from model import quantities
    from model.plan import plan
    from model.record.trip_json import trip_dict
    from model.record.trip_text import trip_text
    from model.trip import trip

    charge = quantities.read(parsed.charge, "percent", low=0, high=1)
    design = _asked(parsed)
    measured = _measured(design, Path(parsed.file) if parsed.file else None)
    found = trip(plan(design), start_charge=charge, measured=measured)
    if parsed.json:
        print(json.dumps({"trip": trip_dict(found)}, ensure_ascii=False, indent=1, allow_nan=False))
    else:
        print(trip_text(found))
    return 0


def _check(parsed: argparse.Namespace) -> int:
    from model.plan import plan
    from model.record.as_text import findings_text

    made = plan(_asked(parsed))
    print(findings_text(made))
    return DANGER if any(finding.severity == "danger" for finding in made.findings) else 0


def _log(parsed: argparse.Namespace) -> int:
    from model.logged import compare, in_words
    from model.plan import plan
    from model.record.log_files import read_log

    days = read_log(Path(parsed.log))
    made = plan(_read(Path(parsed.file) if parsed.file else None))
    print("\n".join(in_words(compare(made, days))))
    return 0


def _compare(parsed: argparse.Namespace) -> int:
    from model.compare import as_text, compare, differing
    from model.plan import plan

    if parsed.voltages:
        return _voltages(parsed)
    if parsed.file is None or parsed.other is None:
        raise Trouble("compare takes two design files, FILE and OTHER; or --voltages and one")
    paths = (Path(parsed.file), Path(parsed.other))
    rows = compare(*(plan(_read(path)) for path in paths))
    print(as_text(rows if parsed.all else differing(rows), *(path.name for path in paths)))
    return 0


def _voltages(parsed: argparse.Namespace) -> int:
    from model.plan import plan
    from model.voltages import voltages
    from model.voltages_words import as_text

    if parsed.other is not None:
        raise Trouble(f"--voltages takes one design; {parsed.other} is one too many")
    print(as_text(voltages(plan(_read(Path(parsed.file) if parsed.file else None)))))
    return 0


def _places(parsed: argparse.Namespace) -> int:
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


def _new(parsed: argparse.Namespace) -> int:
    from model.record.files import NotSaved, save, untitled
    from model.record.start import starter

    try:
        save(untitled(starter()), starter(), Path(parsed.file))
    except NotSaved as refusal:
        raise Trouble(str(refusal)) from refusal
    if sys.stdout.isatty() and sys.stdin.isatty():
        return _on_screen(Path(parsed.file), begin=True)
    print(f"{parsed.file} written; `ampledger {parsed.file}` opens it")
    return 0


def _on_screen(path: Path | None, *, begin: bool = False) -> int:
    collect_garbage_seldom()
    from tui.app import Ampledger

    app = Ampledger(path, begin=begin)
    app.run()
    if app.return_code == CRASHED:
        named = f" {path}" if path is not None else ""
        print(
            f"ampledger: a fault of the program ended it. `ampledger{named}` offers your edits again.", file=sys.stderr
        )
    return app.return_code or 0


def _export(parsed: argparse.Namespace) -> int:
    from model.plan import plan
    from model.record.export import REPORTS, NotWritten, Subject, check, export

    try:
        check(parsed.out, force=parsed.force)
        if parsed.sections is not None and Path(parsed.out).suffix.lower() not in REPORTS:
            raise Trouble(f"--sections chooses within a report; take one of {', '.join(REPORTS)}")
        paper = _paper(parsed.paper)
        design = _asked(parsed)
        measured = _measured(design, Path(parsed.file) if parsed.file else None)
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


def _serve(parsed: argparse.Namespace) -> int:
    path = _existing(parsed.file)
    if path is not None:
        _read(path)  # what is wrong with it is told here, not in a page
        if not path.resolve().is_relative_to(Path.cwd()):
            raise Trouble(f"{path} lies outside this folder; a browser reaches nothing beyond it: start it there")
    if not 0 <= parsed.port <= 65535:
        raise Trouble(f"{parsed.port} is no port; they go from 1 to 65535")
    from tui.serve.server import serve

    serve(path, parsed.host, parsed.port)
    return 0


def _read(path: Path | None) -> Design:
    from model import shelf
    from model.record.files import Damaged, open_design

    try:
        opened = open_design(path if path is not None else shelf.path("heron.toml"))
    except Damaged as damaged:
        raise Trouble(str(damaged)) from damaged
    for note in opened.notes:
        print(f"ampledger: {note}", file=sys.stderr)
    return opened.design


def _asked(parsed: argparse.Namespace) -> Design:
    """The design of the file, with place and month as asked for on the command line."""
    design = _read(Path(parsed.file) if parsed.file else None)
    if parsed.month is not None:
        from model.calendar import read_month

        design = replace(design, month=read_month(parsed.month))
    if parsed.place is not None:
        from model.supply.places import label, resolve

        found = resolve(parsed.place)
        place = replace(
            design.place,
            name=label(found),
            latitude_deg=found.latitude_deg,
            longitude_deg=found.longitude_deg,
            elevation_m=found.elevation_m,
        )
        # own weather belongs to the place it was typed for
        design = replace(design, place=place, weather=None)
    return design
