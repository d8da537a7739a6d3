"""The program as a person starts it: a process of its own in a pseudo-terminal of 80 x 24."""

from __future__ import annotations

import os
import pty
import select
import signal
import struct
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from types import TracebackType

LONGEST_S = 60.0
ROWS, COLUMNS = 24, 80


def environment(state: str) -> dict[str, str]:
    """As a person has it: compiled modules are kept, the recovery journal lies in `state`."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "TERM": "xterm-256color", "COLORTERM": "truecolor", "AMPLEDGER_STATE": state}


class Terminal:
    """`python -m tui` with `arguments`, running; leaving the block ends it. Unix only."""

    def __init__(self, *arguments: str) -> None:
        import fcntl
        import termios

        self._state = tempfile.TemporaryDirectory()
        self._seen = b""
        self.peak_mb = 0.0
        self._screen, end = pty.openpty()
        fcntl.ioctl(end, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self._begun = time.perf_counter()
        command = [sys.executable, "-m", "tui", *arguments]
        self._process = subprocess.Popen(
            command, stdin=end, stdout=end, stderr=end, env=environment(self._state.name), start_new_session=True
        )
        os.close(end)

    def __enter__(self) -> Terminal:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        os.kill(self._process.pid, signal.SIGKILL)
        _, self._process.returncode, used = os.wait4(self._process.pid, 0)  # unlike Popen.wait it tells the memory
        self.peak_mb = used.ru_maxrss / (1024 if sys.platform != "darwin" else 1024**2)
        os.close(self._screen)
        self._state.cleanup()

    def wait_for(self, text: str) -> float:
        """Seconds from the start of the process until `text` was written to the terminal. TimeoutError if it never is."""
        wanted = text.encode()
        while wanted not in self._seen:
            self._read(0.2)
            if time.perf_counter() - self._begun > LONGEST_S:
                raise TimeoutError(f"{text!r} did not come; last: {self._seen[-400:]!r}")
        return time.perf_counter() - self._begun

    def press(self, keys: str, pause_s: float = 0.15) -> None:
        """Send `keys` one after another and take what comes back."""
        for key in keys:
            os.write(self._screen, key.encode())
            until = time.perf_counter() + pause_s
            while (left := until - time.perf_counter()) > 0:
                self._read(left)

    def _read(self, wait_s: float) -> None:
        if select.select([self._screen], [], [], wait_s)[0]:
            try:
                self._seen += os.read(self._screen, 65536)
            except OSError:  # how Linux says that the other end is gone
                raise TimeoutError(f"the program ended: {self._seen[-400:]!r}") from None


def first_paint_s() -> float:
    """Seconds until the first load of the demonstration stands on the screen."""
    with Terminal() as terminal:
        return terminal.wait_for("Compressor fridge")


def first_figures_s() -> float:
    """Seconds until the verdict of the demonstration stands on the screen."""
    with Terminal() as terminal:
        return terminal.wait_for("autonomy")


def session_mb() -> float:
    """Peak resident memory of a session: months, places, pictures, a dozen edits, undo and redo."""
    with Terminal() as terminal:
        terminal.wait_for("autonomy")
        terminal.press("m" * 12)
        terminal.press("pgreensboro\r")
        terminal.press("pkiruna\r")
        terminal.press("lwf", 0.3)
        terminal.press("\x1b", 0.5)
        for hours in range(2, 14):
            terminal.press(f"\x1b[C\x1b[C\x1b[C{hours}\r" if hours == 2 else f"{hours}\r", 0.05)
        terminal.press("svvvb", 0.4)
        terminal.press("u" * 12 + "U" * 12, 0.1)
    return terminal.peak_mb


def process_s(arguments: Sequence[str]) -> float:
    """Seconds of a whole run of the program without a terminal."""
    with tempfile.TemporaryDirectory() as state:
        begun = time.perf_counter()
        subprocess.run(
            [sys.executable, "-m", "tui", *arguments], env=environment(state), capture_output=True, check=True
        )
        return time.perf_counter() - begun
