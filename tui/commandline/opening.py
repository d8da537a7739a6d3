"""What opens the program: on this terminal, in a browser, or as text where there is no terminal."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from tui.commandline.designs import existing, file_of, read_design
from tui.commandline.printing import print_design
from tui.commandline.status import CRASHED, Trouble


def open_program(arguments: Sequence[str]) -> int:
    """Open the design named first, or the demonstration; without a terminal its plan is printed."""
    if len(arguments) > 1:
        raise Trouble(f"one design at a time; {arguments[1]} is one too many")
    path = existing(Path(arguments[0]) if arguments else None)
    if not (sys.stdout.isatty() and sys.stdin.isatty()):
        return print_design(read_design(path), as_json=False)
    return on_screen(path)


def on_screen(path: Path | None, *, begin: bool = False) -> int:
    """Open the program on this terminal; with `begin` the questions of a new design come first."""
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


def collect_garbage_seldom() -> None:
    """For the program on the screen. Nearly all that it makes lives on or dies without the collector, which at its usual
    threshold of 700 objects takes an eighth of the start and, with pandas loaded, stops an edit for 0.1 s now and then."""
    import gc

    gc.set_threshold(100_000, 50, 100)


def serve_page(parsed: argparse.Namespace) -> int:
    """Open the program in a browser."""
    path = existing(file_of(parsed))
    if path is not None:
        read_design(path)  # what is wrong with it is told here, not in a page
        if not path.resolve().is_relative_to(Path.cwd()):
            raise Trouble(f"{path} lies outside this folder; a browser reaches nothing beyond it: start it there")
    if not 0 <= parsed.port <= 65535:
        raise Trouble(f"{parsed.port} is no port; they go from 1 to 65535")
    from tui.serve.server import serve

    serve(path, parsed.host, parsed.port)
    return 0
