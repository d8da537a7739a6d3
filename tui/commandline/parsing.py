"""The commands and their options, as argparse has them."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Set
from typing import NoReturn

from model import __version__
from tui.commandline.status import ERROR

DESCRIPTION = "Plan a camper van's electricity before the cables disappear behind the panels."
EPILOG = (
    "Without a command: `ampledger [FILE]` opens the terminal program; FILE left out means the demonstration. "
    "Exit status: 0, 1 for open dangers (check), 2 for an error."
)


class _Parser(argparse.ArgumentParser):
    def error(self, message: str) -> NoReturn:
        print(f"ampledger: {message} (ampledger --help lists the commands)", file=sys.stderr)
        raise SystemExit(ERROR)


def parser_of(commands: Set[str]) -> argparse.ArgumentParser:
    """The parser of the whole command line; `commands` are those that somebody does."""
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
    assert set(kinds.choices) == commands
    return parser


def _place_and_month(command: argparse.ArgumentParser) -> None:
    command.add_argument("--place", help="a name, or latitude,longitude[,elevation]")
    command.add_argument("--month", help="1 to 12, or a name")
