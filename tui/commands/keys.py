"""Keys as people write them, and as Textual names them."""

from __future__ import annotations

import re
import unicodedata

_NAMED_KEYS = re.compile(r"ctrl\+[a-z]|f[1-9]|f1[0-2]|delete|insert")
_TEXTUAL_NAMES = {"/": "slash", "\\": "backslash", "@": "at", "_": "underscore"}


def key_named(text: str) -> str | None:
    """Textual's name of a key as a person writes it ("z", "shift+Z", "Del", "/"); None for what cannot carry a command."""
    text = text.strip()
    if match := re.fullmatch("shift\\+([A-Za-z])", text):
        return match[1].upper()
    if len(text) == 1 and text.isprintable() and not (text.isspace() or text.isdigit() or text in ".,+-"):
        named = _TEXTUAL_NAMES.get(text) or re.sub("[ -]", "_", unicodedata.name(text, "").lower())
        return text if text.isalpha() else named
    text = "delete" if text.lower() == "del" else text.lower()
    return text if _NAMED_KEYS.fullmatch(text) else None


def spelled(key: str) -> str:
    """A key as a person reads it."""
    if len(key) == 1:
        return f"shift+{key}" if key.isupper() else key
    signs = {name: sign for sign, name in _TEXTUAL_NAMES.items()}
    try:
        return signs.get(key) or unicodedata.lookup(key.replace("_", " "))
    except KeyError:
        return key
