"""The end of a program whose browser has left.

A program in a browser hears from its server by standard input. When that pipe has no writer any more, or another process has
become the parent, nobody can see or use the program: it gets a moment to end by itself, then it is ended. A thread looks, so
that this holds while the main thread is stuck; a signal would not do, because the handlers run in the main thread.

Nothing accepted is lost: an edit is in the recovery journal before it is on the screen.
"""

from __future__ import annotations

import os
import select
import time
from threading import Thread

GRACE_S = 2.0  # to finish what was typed before the browser left
GLANCE_S = 0.25


def end_when_alone(grace_s: float = GRACE_S) -> None:
    """End this process, at most `grace_s` and a glance after its server or its browser has gone."""
    Thread(target=_watch, args=(os.getppid(), grace_s), name="leaving", daemon=True).start()


def _watch(parent: int, grace_s: float) -> None:
    while os.getppid() == parent and not _hung_up(0):
        time.sleep(GLANCE_S)
    time.sleep(grace_s)
    os._exit(0)


def _hung_up(descriptor: int) -> bool:
    """Whether the other end of a pipe is closed. Reads nothing: what is in the pipe belongs to the program."""
    if not hasattr(select, "poll"):  # Windows: there the server ends its windows, and a server that is killed cannot
        return False
    look = select.poll()
    look.register(descriptor, 0)  # an end that is closed is told without being asked for
    return any(event & (select.POLLHUP | select.POLLERR | select.POLLNVAL) for _, event in look.poll(0))
