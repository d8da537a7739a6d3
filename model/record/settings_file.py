"""The program's own settings file on the disk. What stands in it is the screen's business."""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

from model.record import disk, journal

ENVIRONMENT = "AMPLEDGER_CONFIG"
NAME = "settings.toml"


def settings_path() -> Path:
    """Where settings lie: in $AMPLEDGER_CONFIG, else in $AMPLEDGER_STATE, else in the place this system has for them."""
    if named := os.environ.get(ENVIRONMENT) or os.environ.get(journal.ENVIRONMENT):
        return Path(named) / NAME
    from platformdirs import user_config_path

    return user_config_path("ampledger", appauthor=False) / NAME


def read_settings() -> tuple[dict[str, Any], str]:
    """What the file holds, and what is to be said about it: "" unless it cannot be read. Never raises; no file holds nothing."""
    path = settings_path()
    try:
        found = disk.look(path)
        return (tomllib.loads(found[0].decode("utf-8-sig")) if found else {}), ""
    except OSError as trouble:
        return {}, f"Settings left at their defaults: {trouble}"
    except (ValueError, RecursionError) as trouble:
        reason = str(trouble).splitlines()[0]
        return {}, f"Settings left at their defaults: {path.name} is damaged: {reason} ({path})"


def write_settings(text: str) -> None:
    """Put `text` down; what was there before stays beside it as NAME~. Raises DiskTrouble."""
    path = settings_path()
    with disk.in_words(path, "written"):
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    before = disk.look(path)
    content = text.encode()
    if before is None or before[0] != content:
        backup = None if before is None else (path.with_name(NAME + "~"), before[0])
        disk.replace(path, content, backup=backup)
