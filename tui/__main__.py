"""`ampledger`: the terminal program, or a command for scripts and for people without a screen."""

from __future__ import annotations

import sys


def main(arguments: list[str] | None = None) -> int:
    """Run with `arguments` (without the program's name); answers the exit status."""
    from tui.commandline import run

    return run(sys.argv[1:] if arguments is None else arguments)


if __name__ == "__main__":
    raise SystemExit(main())
