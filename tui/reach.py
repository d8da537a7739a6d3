"""How far the program reaches on the disk: everywhere, or, in a browser, the folder that its server was started in."""

from __future__ import annotations

import os
from pathlib import Path

ENVIRONMENT = "AMPLEDGER_FOLDER"


class Outside(ValueError, OSError):
    """A path beyond the folder. It is both what a dialog refuses in place and what reading and writing may raise."""


def within(path: Path) -> Path:
    """`path`, where it may be read and written. Raises Outside.

    Judged by where the path really leads: neither `..` nor a symbolic link leads out.
    """
    folder = os.environ.get(ENVIRONMENT)
    if folder and not Path(os.path.realpath(path.expanduser())).is_relative_to(os.path.realpath(folder)):
        raise Outside(f"{path} lies outside {folder}; in a browser the program reaches no further than that folder")
    return path


def is_within(path: Path) -> bool:
    """Whether `path` may be read and written."""
    try:
        within(path)
    except Outside:
        return False
    return True
