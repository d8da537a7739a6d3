"""The design file in hand: reading, saving, recovery. No Textual here; heavy imports wait until they are needed."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from model import shelf
from tui.document import Document
from tui.reach import is_within, within

if TYPE_CHECKING:
    from model.design import Design, Weather
    from model.record.files import Opened
    from model.record.journal import Journal, Recovery
    from model.supply.weather_file import MeasuredDays

DEMONSTRATION = "heron.toml"


def measured_beside(weather: Weather | None, path: Path | None) -> tuple[MeasuredDays | None, str]:
    """The days of the weather file that the design at `path` names, or None and in a sentence why, "" where it names none."""
    from model.record.weather_files import measured_days

    folder = path.parent if path is not None else Path()
    if weather is not None and weather.file and not is_within(folder / weather.file):
        return None, f"The weather file {weather.file} is out of reach: days are drawn from the monthly values."
    return measured_days(weather, folder)


class Session:
    """One open design. `path` None is the demonstration, which is never written over: its first save asks for a name."""

    def __init__(self, path: Path | None = None) -> None:
        self.path = path
        self.untitled = False
        self._opened: Opened | None = None
        self._journal: Journal | None = None

    @property
    def title(self) -> str:
        if self.path is not None:
            return self.path.name
        return "new design" if self.untitled else "demonstration"

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be said about the file: unknown keys that are kept, a file that had to be written anew."""
        return self._opened.notes if self._opened is not None else ()

    def others(self) -> str:
        """What other programs do to the file, in words; "" where they leave it alone."""
        from model.record.files import changed_on_disk
        from model.record.journal import in_use

        if self.path is None or self._opened is None:
            return ""
        with suppress(OSError):
            if changed_on_disk(self._opened):
                return f"{self.path.name} was changed by another program; saving will ask"
        if in_use(self.path, but=self._journal):
            return f"{self.path.name} has unsaved edits in another window of this program"
        return ""

    def peek(self) -> list[dict[str, str]]:
        """The loads as raw texts, for the first paint."""
        from model.record.files import peek

        return peek(self.path or shelf.path(DEMONSTRATION))

    def read(self) -> Document:
        """The design of the file. Raises what `model.record.files.open_design` raises."""
        from model.record.files import open_design

        opened = open_design(within(self.path) if self.path else shelf.path(DEMONSTRATION))
        return self._hold(replace(opened, path=self.path, fingerprint=opened.fingerprint if self.path else None))

    def begin(self, design: Design) -> Document:
        """A design that has no file yet."""
        from model.record.files import untitled

        self.path, self.untitled = None, True
        return self._hold(untitled(design))

    def measured(self, design: Design) -> MeasuredDays | None:
        """The days of its weather file, for the odds; None where it has none that can be used."""
        return measured_beside(design.weather, self.path)[0]

    def recovery(self) -> Recovery | None:
        """Edits of a program that died over this design, if any."""
        from model.record.journal import pending

        return pending(self.path)

    def kept_in(self) -> str:
        """The folder of the recovery journals, short enough to be read in one line."""
        from model.record.journal import state_folder

        folder, home = state_folder(), Path.home()
        return f"~/{folder.relative_to(home)}" if folder.is_relative_to(home) else str(folder)

    def left_elsewhere(self) -> str:
        """That edits of another design wait for it to be opened; "" where none do, or where a file was asked for."""
        from model.record.journal import left_elsewhere

        names = left_elsewhere(None) if self.path is None else []
        return f"Unsaved edits of {' and '.join(names[:2])} are kept: open it to take them up." if names else ""

    def recover(self, document: Document, recovery: Recovery) -> None:
        """Take the recovered design as an edit, so that undo leads back to the file's."""
        assert self._journal is not None
        self._journal.take_over(recovery)
        document.edit(recovery.design, "recovered edits")

    def save(self, document: Document, path: Path | None = None, *, overwrite: bool = False) -> None:
        """Write the design. Raises what `model.record.files.save` raises."""
        from model.record.files import save

        assert self._opened is not None
        self._opened = save(self._opened, document.design, path and within(path), overwrite_changed=overwrite)
        if self._opened.path != self.path:
            self._keep_journal_for(self._opened.path)
        self.path = self._opened.path
        self.untitled = False
        document.mark_saved()
        self.close()

    def close(self) -> None:
        """Nothing is left to recover."""
        if self._journal is not None:
            self._journal.clear()

    def _hold(self, opened: Opened) -> Document:
        self._opened = opened
        self._keep_journal_for(self.path)
        return Document.of(opened.design, self._keep)

    def _keep(self, design: Design) -> None:
        """Write an accepted edit to the journal of whatever file is open now."""
        if self._journal is not None:
            self._journal.append(design)

    def _keep_journal_for(self, path: Path | None) -> None:
        from model.record.journal import Journal

        self.close()
        self._journal = Journal(path)
