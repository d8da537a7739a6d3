"""The program behind one browser window: `python -m tui.serve.window [FILE]`, started by the server."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path

from tui.serve.leaving import end_when_alone


def main(arguments: Sequence[str]) -> int:
    """Run the program on the file named, or on the demonstration; answers the exit status."""
    end_when_alone()
    from tui.commandline.opening import collect_garbage_seldom
    from tui.serve.app import Served

    collect_garbage_seldom()
    app = Served(Path(arguments[0]) if arguments else None)
    app.run()
    return app.return_code or 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
