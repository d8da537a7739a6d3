"""The recovery journal: what was accepted since the last save, so that a kill -9 at any moment loses nothing.

Each record holds the whole design as the text of a design file, so the last complete one is all that is needed; it is
appended by a single write, and a record cut short by a crash is known by its length and checksum and left out. The write is
handed to the system and not flushed to the disk: that survives the death of the program at any moment. A power cut may cost
the edits of the last seconds; flushing each edit would make typing wait for the disk. When the file has grown it is replaced,
flushed, by its last record.

Every running program has journals of its own, named after the design's path and locked while it lives; the system drops the
lock when the process dies, however it dies. So a journal that can be locked belongs to nobody any more and is offered for
recovery, and two programs on one design do not disturb each other. (Where the system has no such locks, on Windows, a
journal of a living program may be offered too.)

The time of a recovery is that of the journal's last write, as the file system tells it.
"""

from __future__ import annotations

import hashlib
import itertools
import os
import re
import zlib
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from model.design import Design
from model.record import disk, files

try:
    import fcntl
except ImportError:  # Windows
    fcntl = None  # type: ignore[assignment]

ENVIRONMENT = "AMPLEDGER_STATE"
COMPACT_ABOVE_BYTES = 1_000_000
_HEAD = re.compile(rb"ampledger ([0-9]{1,8}) ([0-9a-f]{8})\n")
_number = itertools.count(1)


@dataclass(frozen=True, slots=True)
class Recovery:
    """A design that was being edited when its program died.

    `time_s` is when its last edit was accepted, `file_time_s` when the design file was written, in seconds since 1970; None
    where there is no file. `saved` is the design in it, None where it cannot be read.
    """

    design: Design
    time_s: float
    journal: Path
    saved: Design | None = None
    file_time_s: float | None = None

    @property
    def older_than_file(self) -> bool:
        """Whether the file was written after the last edit, by whomever; the edits are still not in it as they were."""
        return self.file_time_s is not None and self.time_s < self.file_time_s


class Journal:
    """The journal of one open design of this process. `path` None: a design without a file."""

    def __init__(self, path: str | Path | None, *, folder: Path | None = None) -> None:
        self._stem = _stem(path)
        self._folder = folder
        self._file: Path | None = None
        self._handle = -1
        self._size = 0

    def append(self, design: Design) -> None:
        """Keep an accepted edit. Raises DiskTrouble; what was kept before stays."""
        record = _record(design)
        with disk.in_words(self._file or Path(self._stem), "kept for recovery"):
            if self._handle >= 0 and not os.fstat(self._handle).st_nlink:
                self.clear()  # somebody tidied the folder: what is written here would be lost
            if self._handle < 0:
                self._open()
            if self._size + len(record) > COMPACT_ABOVE_BYTES:
                with suppress(OSError):  # no room for a new journal: go on in the old one
                    self._replace(record)
                    return
            try:
                disk.write_all(self._handle, record)
            except OSError:
                with suppress(OSError):
                    os.ftruncate(self._handle, self._size)
                raise
            self._size += len(record)

    def clear(self) -> None:
        """Nothing is left to recover: call after a save, and when the person leaves without saving."""
        if self._file is not None:
            with suppress(OSError):
                self._file.unlink()
            os.close(self._handle)
        self._file, self._handle, self._size = None, -1, 0

    def take_over(self, recovery: Recovery) -> None:
        """Make the recovered design this journal's own and drop the one it came from."""
        self.append(recovery.design)
        discard(recovery)

    def _open(self) -> None:
        folder = state_folder(self._folder)
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        self._file, self._handle = _create(folder, self._stem)
        self._size = 0

    def _replace(self, record: bytes) -> None:
        """Go on in a new journal; the old one goes when the new one is on the disk."""
        old_file, old_handle, old_size = self._file, self._handle, self._size
        try:
            self._open()
            disk.write_all(self._handle, record)
            os.fsync(self._handle)
        except OSError:
            if self._handle not in (-1, old_handle) and self._file is not None:
                os.close(self._handle)
                with suppress(OSError):
                    self._file.unlink()
            self._file, self._handle, self._size = old_file, old_handle, old_size
            raise
        self._size = len(record)
        os.close(old_handle)
        if old_file is not None:
            with suppress(OSError):
                old_file.unlink()


def pending(path: str | Path | None, *, folder: Path | None = None) -> Recovery | None:
    """The latest edits of a program that died over the design at `path` (None: over one without a file), if any.

    Journals of living programs are passed over, and so are those that say what the file says; those are removed. After
    `Journal.take_over` or `discard` ask again: there may be older ones.
    """
    saved: Design | None = None
    saved_at: float | None = None
    if path is not None:
        with suppress(OSError, files.Damaged):
            saved_at = Path(path).stat().st_mtime
            saved = files.open_design(path).design
    found: list[Recovery] = []
    with suppress(OSError):
        for journal in state_folder(folder).glob(f"{_stem(path)}.*.journal"):
            with suppress(OSError), _abandoned(journal) as free:
                if not free:
                    continue
                content = journal.read_bytes()
                time_s = journal.stat().st_mtime
                design = _last(content)
                if design is not None and design != saved:
                    found.append(Recovery(design, time_s, journal, saved, saved_at))
                elif design is not None or not content or _first_cut_short(content):
                    journal.unlink()  # the file says the same, or no edit was accepted yet
    return max(found, key=lambda one: one.time_s, default=None)


def in_use(path: str | Path, *, folder: Path | None = None, but: Journal | None = None) -> bool:
    """Whether a living program other than that of the journal `but` has edits of the design at `path` that are not saved."""
    with suppress(OSError):
        for journal in state_folder(folder).glob(f"{_stem(path)}.*.journal"):
            with suppress(OSError), _abandoned(journal) as free:
                if not free and (but is None or journal != but._file):
                    return True
    return False


def left_elsewhere(path: str | Path | None, *, folder: Path | None = None) -> list[str]:
    """Readable names of other designs than that at `path` over which programs died with edits that were not saved."""
    own, found = _stem(path), set[str]()
    with suppress(OSError):
        for journal in state_folder(folder).glob("*.journal"):
            stem = journal.name.split(".")[0]
            if stem == own:
                continue
            with suppress(OSError), _abandoned(journal) as free:
                if free and journal.stat().st_size:
                    found.add("a van without a file" if stem == _stem(None) else stem.rpartition("-")[0])
    return sorted(found)


def discard(recovery: Recovery) -> None:
    """Forget a recovery: the person does not want it, or has it."""
    with suppress(OSError):
        recovery.journal.unlink()


def state_folder(folder: Path | None = None) -> Path:
    """Where journals lie: `folder`, else $AMPLEDGER_STATE, else the place this system has for such things."""
    if folder is not None:
        return folder
    if named := os.environ.get(ENVIRONMENT):
        return Path(named)
    from platformdirs import user_state_path

    return user_state_path("ampledger", appauthor=False)


def _stem(path: str | Path | None) -> str:
    if path is None:
        return "untitled"
    real = os.path.realpath(path)
    readable = re.sub(r"[^A-Za-z0-9_-]", "_", Path(real).stem)[:40]
    return f"{readable}-{hashlib.blake2b(os.fsencode(real), digest_size=8).hexdigest()}"


def _record(design: Design) -> bytes:
    body = files.new_text(design).encode("utf-8", "replace")
    return b"ampledger %d %08x\n" % (len(body), zlib.crc32(body)) + body


def _last(content: bytes) -> Design | None:
    """The design of the last complete record that can be read."""
    bodies = list(_records(content))
    for body in reversed(bodies):
        with suppress(files.Damaged):
            return files.read_text(body.decode("utf-8", "replace"), "journal")
    return None


def _records(content: bytes) -> Iterator[bytes]:
    at = 0
    while head := _HEAD.match(content, at):
        at = head.end() + int(head[1])
        body = content[head.end() : at]
        if len(body) != int(head[1]) or zlib.crc32(body) != int(head[2], 16):
            return
        yield body


def _first_cut_short(content: bytes) -> bool:
    """Whether the program died within its very first write, so that no edit was accepted yet."""
    head = _HEAD.match(content)
    return head is not None and len(content) - head.end() < int(head[1])


def _create(folder: Path, stem: str) -> tuple[Path, int]:
    """A new journal, open for appending and locked."""
    while True:
        file = folder / f"{stem}.{os.getpid()}-{next(_number)}.journal"
        try:
            handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_APPEND, 0o600)
        except FileExistsError:  # of a dead process that had our number
            continue
        if _lock(handle) and os.fstat(handle).st_nlink:
            return file, handle
        os.close(handle)  # another program, looking for abandoned journals, met it before it was locked


def _lock(handle: int) -> bool:
    """Lock for this process; False where another holds it. Where the file system knows no locks: True."""
    if fcntl is not None:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True
    return True


@contextmanager
def _abandoned(journal: Path) -> Iterator[bool]:
    """Whether nobody holds the journal; it is held while the block runs."""
    handle = os.open(journal, os.O_RDONLY)
    try:
        yield _lock(handle)
    finally:
        os.close(handle)
