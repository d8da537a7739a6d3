"""What a person set once for all designs: units, decimal sign, theme, keys. Kept in a file that may be edited by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from model.design import CHEMISTRIES, typed
from model.quantities import Preferences

THEMES = {"dark": "textual-dark", "light": "textual-light", "as the terminal": "ansi-dark"}
HEAD = """# Settings of Ampledger. The program writes this file anew when a setting changes; comments of your own go then.
# Keys: [keys] holds command = key, as the help lists them, for instance: undo = "z"
"""


@dataclass(frozen=True, slots=True)
class Settings:
    """Fields declared as those of a design are, so that the same form edits them."""

    length: str = typed("choice", "length", "Lengths", "metres", choices=("metres", "feet"))
    temperature: str = typed("choice", "temperature", "Temperatures", "Celsius", choices=("Celsius", "Fahrenheit"))
    decimal: str = typed("choice", "decimal", "Decimal sign", "point", choices=("point", "comma"))
    theme: str = typed("choice", "theme", "Theme", "dark", choices=tuple(THEMES))
    conductors: str = typed("choice", "conductors", "Conductors of new designs", "mm2", choices=("mm2", "AWG"))
    chemistry: str = typed("choice", "chemistry", "Battery of new designs", "LFP", choices=CHEMISTRIES)
    paper: str = typed("choice", "paper", "Paper of printed reports", "A4", choices=("A4", "Letter"))
    hidden: tuple[str, ...] = ()  # chemistries put away from the comparison
    keys: tuple[tuple[str, str], ...] = ()  # name of a command, its key

    @property
    def preferences(self) -> Preferences:
        """How numbers are written."""
        return Preferences(self.length == "feet", self.temperature == "Fahrenheit", self.decimal == "comma")


def load() -> tuple[Settings, tuple[str, ...]]:
    """The settings in force, and what is to be said about their file."""
    from model.record.settings_file import read_settings

    table, note = read_settings()
    if note:
        return Settings(), (note,)
    return from_table(table)


def save(settings: Settings) -> None:
    """Write the settings down. Raises DiskTrouble."""
    from model.record.settings_file import write_settings

    write_settings(to_text(settings))


def from_table(table: Mapping[str, Any]) -> tuple[Settings, tuple[str, ...]]:
    """Settings from what the file holds. A key or value that means nothing here keeps the default and is noted."""
    from model import entry
    from model.quantities import Refusal

    settings, notes = Settings(), []
    for key, value in table.items():
        if key == "hidden" and isinstance(value, list):
            settings = replace(settings, hidden=tuple(name for name in CHEMISTRIES if name in value))
        elif key == "keys" and isinstance(value, dict):
            settings = replace(settings, keys=tuple((str(name), str(one)) for name, one in value.items()))
        elif key in entry.entries(Settings):
            try:
                settings = replace(settings, **{key: entry.read(Settings, key, str(value))})
            except Refusal as refusal:
                notes.append(f"Setting {key} left at its default: {refusal}")
        else:
            notes.append(f"Setting {key} is unknown here and was passed over")
    return settings, tuple(notes)


def to_text(settings: Settings) -> str:
    """The settings file. Texts are quoted as JSON does, which TOML reads alike."""
    import json

    from model import entry

    default = Settings()
    lines = [HEAD.rstrip("\n")]
    for name in entry.entries(Settings):
        mark = "# " if getattr(settings, name) == getattr(default, name) else ""
        lines.append(f"{mark}{name} = {_quoted(getattr(settings, name))}")
    if settings.hidden:
        lines.append(f"hidden = {json.dumps(list(settings.hidden))}")
    lines += ["", "[keys]", *(f"{_quoted(name)} = {_quoted(key)}" for name, key in settings.keys)]
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    import json

    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
