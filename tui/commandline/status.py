"""How a command ends: its exit status, and what the person can mend."""

from __future__ import annotations

DANGER, ERROR = 1, 2
CRASHED = 1  # what Textual returns of a program that raised


class Trouble(Exception):
    """Something the person can mend; its text is one line for standard error."""
