"""The command line. Loads Textual only to open the terminal program."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence

from model import __version__
from tui.commandline import opening, printing, writing
from tui.commandline.parsing import parser_of
from tui.commandline.status import ERROR, Trouble

COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "plan": printing.print_plan,
    "trip": printing.print_trip,
    "check": printing.print_check,
    "compare": printing.print_comparison,
    "log": printing.print_log,
    "places": printing.print_places,
    "new": writing.write_new,
    "export": writing.write_export,
    "serve": opening.serve_page,
}


def run(arguments: Sequence[str]) -> int:
    """Do what `arguments` ask for; answers the exit status."""
    if list(arguments) == ["--version"]:
        print(f"ampledger {__version__}")
        return 0
    if not arguments or (arguments[0] not in COMMANDS and not arguments[0].startswith("-")):
        return _guard(lambda: opening.open_program(arguments))
    parsed = parser_of(COMMANDS.keys()).parse_args(arguments)
    if parsed.command is None:
        return _guard(lambda: opening.open_program(()))
    return _guard(lambda: COMMANDS[parsed.command](parsed))


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
