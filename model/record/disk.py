"""Reading and replacing one file of the user's, with every trouble said in one line."""

from __future__ import annotations

import hashlib
import itertools
import os
import stat
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

LARGEST_BYTES = 5_000_000
_ABANDONED_AFTER_S = 3600.0  # a temporary file this much older than ours was left by a save that was killed
_PART = ".ampledger-"
_number = itertools.count()


class DiskTrouble(OSError):
    """One line for a person about a file that cannot be read or written; `errno` as the system gave it, or None."""


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """What a file looked like when it was read: enough to see that somebody changed it since."""

    size: int
    mtime_ns: int
    digest: bytes

    @classmethod
    def of(cls, content: bytes, mtime_ns: int) -> Fingerprint:
        return cls(len(content), mtime_ns, hashlib.blake2b(content, digest_size=16).digest())

    def same_content(self, other: Fingerprint) -> bool:
        """True where the bytes agree; a file that was only touched counts as unchanged."""
        return (self.size, self.digest) == (other.size, other.digest)


@contextmanager
def in_words(path: Path, doing: str) -> Iterator[None]:
    """Turn any OSError within into a DiskTrouble that says what could not be done and why."""
    try:
        yield
    except DiskTrouble:
        raise
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        reason = getattr(error, "strerror", None) or str(error)
        trouble = DiskTrouble(f"{path.name or path}: cannot be {doing}: {reason[:1].lower()}{reason[1:]} ({path})")
        trouble.errno = getattr(error, "errno", None)
        raise trouble from error


def read(path: Path) -> tuple[bytes, Fingerprint]:
    """Content of a regular file of at most LARGEST_BYTES.

    Raises DiskTrouble for anything else: no such file, a folder, a pipe, a device, no permission, too large.
    """
    with in_words(path, "read"):
        # O_NONBLOCK: opening a pipe that nobody writes to would wait for ever.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
        try:
            status = os.fstat(handle)
            if stat.S_ISDIR(status.st_mode):
                raise DiskTrouble(f"{path.name}: this is a folder; name a design file in it ({path})")
            if not stat.S_ISREG(status.st_mode):
                raise DiskTrouble(f"{path.name}: this is a pipe or a device, not a file ({path})")
            with os.fdopen(os.dup(handle), "rb") as file:
                content = file.read(LARGEST_BYTES + 1)
        finally:
            os.close(handle)
    if len(content) > LARGEST_BYTES:
        raise DiskTrouble(f"{path.name}: larger than {LARGEST_BYTES // 1_000_000} MB; this is no design file ({path})")
    return content, Fingerprint.of(content, status.st_mtime_ns)


def look(path: Path) -> tuple[bytes, Fingerprint] | None:
    """As `read`, but None where there is no file."""
    try:
        return read(path)
    except DiskTrouble as trouble:
        if isinstance(trouble.__cause__, FileNotFoundError):
            return None
        raise


def replace(path: Path, content: bytes, *, backup: tuple[Path, bytes] | None = None) -> None:
    """Put `content` at `path` so that a reader, a crash or a full disk meets the old file or the new one, never a part.

    The new file is written beside the old one, flushed to the disk, given the old one's mode and renamed over it; once it is
    written, and before it takes the place, `backup` (path, content) is put down in the same way. Raises DiskTrouble; the old
    file and the old backup are then as they were and nothing is left lying about.
    """
    with in_words(path, "written"), ExitStack() as undo:
        status = path.stat() if path.exists() else None
        pairs = [(path, content)] if backup is None else [(path, content), backup]
        parts = [(_part(undo, target, text, status), target) for target, text in pairs]
        now = parts[0][0].stat().st_mtime
        for part, target in reversed(parts):
            part.replace(target)
        _flush_folder(path.parent)
        _sweep(path.parent, now)


def _part(undo: ExitStack, path: Path, content: bytes, like: os.stat_result | None) -> Path:
    """A flushed file beside `path`, which goes when `undo` is unwound and it was not renamed."""
    part = path.with_name(f"{_PART}{os.getpid()}-{next(_number)}.part")
    part.unlink(missing_ok=True)  # of an earlier process with our number
    handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    undo.callback(_forget, part)
    try:
        write_all(handle, content)
        if like is not None:
            part.chmod(stat.S_IMODE(like.st_mode))
            if hasattr(os, "chown"):
                with suppress(OSError):  # only an administrator may give files away
                    os.chown(part, like.st_uid, like.st_gid)
        os.fsync(handle)
    finally:
        os.close(handle)
    return part


def _forget(part: Path) -> None:
    with suppress(OSError):
        part.unlink()


def require_writable(path: Path) -> None:
    """DiskTrouble for a file that its owner protected: replacing it would work and ignore that."""
    if not os.access(path, os.W_OK):
        raise DiskTrouble(f"{path.name}: this file is write-protected; save under another name ({path})")


def write_all(handle: int, content: bytes) -> None:
    """os.write until everything is out; raises OSError."""
    rest = memoryview(content)
    while rest:
        rest = rest[os.write(handle, rest) :]


def _flush_folder(folder: Path) -> None:
    """Make the rename itself last through a power cut. Not every system lets a folder be opened or flushed: then, as is."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _sweep(folder: Path, now: float) -> None:
    """Remove what killed saves left in `folder`; the clock is the file system's own, so that ages compare."""
    with suppress(OSError):
        for left in folder.glob(f"{_PART}*.part"):
            if now - left.stat().st_mtime > _ABANDONED_AFTER_S:
                left.unlink()
