"""The parts of README.md that are made from the program: `python -m tests.readme` renews them, test_readme.py compares.

Made are the tables of keys, of the design file and of the figures' names, and what the commands in ```console blocks print. A
line "…" in such a block stands for lines left out: as many lines as stand before and after it are shown of the real output.
"""

from __future__ import annotations

import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass, fields
from pathlib import Path
from typing import Any

from model import entry, names, quantities
from model.design import Design, Entry
from model.record import schema
from tui.commands import EVERY_COMMAND, PLACE_TITLES

ROOT = Path(__file__).resolve().parent.parent
README = ROOT / "README.md"
CUT = "…"

_MADE = re.compile(r"(<!-- made: (\w+) -->\n).*?(<!-- end -->)", re.DOTALL)
_CONSOLE = re.compile(r"(```console\n)(.*?)(```)", re.DOTALL)


# -- the commands that are printed ----------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Printed:
    """A command line as README shows it, with the lines below it."""

    line: str
    shown: tuple[str, ...]


def printed(text: str) -> tuple[Printed, ...]:
    """Every command of the ```console blocks of `text`, in order."""
    return tuple(one for block in _CONSOLE.finditer(text) for one in _of_block(block[2]))


def _of_block(body: str) -> Iterator[Printed]:
    for part in re.split(r"^\$ ", body, flags=re.MULTILINE)[1:]:
        line, *shown = part.splitlines()
        yield Printed(line, tuple(shown))


def run(line: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run a command line that begins with `ampledger` in `folder`, without a terminal."""
    program, *arguments = shlex.split(line)
    if program != "ampledger":
        raise ValueError(f"{line}: only ampledger is run here")
    surroundings = os.environ | {
        "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", "COLUMNS": "80", "AMPLEDGER_STATE": str(folder / "state"),
    }  # fmt: skip
    return subprocess.run(
        [sys.executable, "-m", "tui", *arguments],
        cwd=folder, env=surroundings, stdin=subprocess.DEVNULL, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip


def cut_like(real: str, shown: tuple[str, ...]) -> tuple[str, ...]:
    """The real output, with lines left out where `shown` leaves them out."""
    lines = tuple(line.rstrip() for line in real.splitlines())
    if CUT not in shown:
        return lines
    before = shown.index(CUT)
    after = len(shown) - before - 1
    return (*lines[:before], CUT, *lines[len(lines) - after :])


# -- the tables -----------------------------------------------------------------------------------------------------


def keys_table() -> str:
    """Every command of the program with its keys."""
    rows = [
        (
            " or ".join(f"`{keycap(key)}`" for key in command.keys.split(",")),
            command.sentence,
            ", ".join(PLACE_TITLES[place] for place in command.places) or "everywhere",
        )
        for command in EVERY_COMMAND
    ]
    return _table(("Key", "What it does", "Where"), rows)


def keycap(key: str) -> str:
    """Textual's name of a key as a person reads it: "l" -> "l", "M" -> "Shift+M", "ctrl+z" -> "Ctrl+Z"."""
    if len(key) == 1 and key.islower():
        return key
    *held, last = key.split("+")
    if len(last) == 1 and last.isupper():
        held.append("shift")
    names = {"question_mark": "?", "delete": "Del", "asterisk": "*"}
    return "+".join([*(one.capitalize() for one in held), names.get(last, last.capitalize())])


def file_tables() -> str:
    """Every table and key of the design file, from the declarations in model/design.py."""
    parts = []
    for path, record, shape in records():
        title = {"table": f"`[{path}]`", "list": f"`[[{path}]]`, one for each"}.get(
            shape, f"`[{path}]`, may be left out"
        )
        defaults = {item.name: item.default for item in fields(record)}
        rows = [
            (f"`{one.key}`", one.label, accepts(record, name), left_out(one, defaults[name]))
            for name, one in entry.entries(record).items()
        ]
        if not path:
            title = "At the top of the file"
            rows.insert(0, ("`format`", "Format number of the file", f"{schema.FORMAT}", f"{schema.FORMAT}"))
        parts.append(f"**{title}**\n\n" + _table(("Key", "What", "Takes", "Left out"), rows))
    return "\n".join(parts)


def records(record: type = Design, path: str = "", shape: str = "table") -> Iterator[tuple[str, type, str]]:
    """Dotted path, dataclass and shape of every table of a design file."""
    yield path, record, shape
    for inner in schema.nested(record).values():
        yield from records(inner.record, f"{path}.{inner.key}" if path else inner.key, inner.shape)


def accepts(record: type, name: str) -> str:
    """What a key takes, by example."""
    one = entry.entries(record)[name]
    if one.many < 0:
        return "numbers; the program writes them when it reads a weather file"
    if one.many:
        return f"{one.many} values, January first, such as {quantities.hint(one.kind)}"
    return entry.hint(record, name).removeprefix(f"{one.label}: ").removesuffix(" (may stay empty)")


def left_out(one: Entry, default: Any) -> str:
    """What counts where the key is left out."""
    if default is None:
        return "not given"
    if one.many:
        return f"{quantities.write(default[0], one.kind)} in each month"
    return entry.write_entry(one, default) or "empty"


def _table(titles: tuple[str, ...], rows: list[tuple[str, ...]]) -> str:
    lines = [titles, ("---",) * len(titles), *rows]
    return "".join("| " + " | ".join(cell.replace("|", "\\|") for cell in row) + " |\n" for row in lines)


def words_table() -> str:
    """Every name of a figure, what it means, and its keys in `plan --json` or in the working."""
    rows = [
        (
            each.full,
            "" if each.short == each.full else each.short,
            each.unit,
            each.meaning,
            ", ".join(f"`{key}`" for key in dict.fromkeys(end.split(".")[-1] for end in each.keys)),
        )
        for each in names.NAMES
    ]
    return _table(("Figure", "Short", "Unit", "What it is", "Keys"), rows)


# -- renewing -------------------------------------------------------------------------------------------------------

TABLES: dict[str, Callable[[], str]] = {"keys": keys_table, "file": file_tables, "words": words_table}


def with_tables(text: str) -> str:
    """`text` with the made tables as they are now; KeyError where it asks for a table that nobody makes."""
    return _MADE.sub(lambda block: f"{block[1]}\n{TABLES[block[2]]()}\n{block[3]}", text)


def with_outputs(text: str, folder: Path) -> str:
    """`text` with what its commands print now; the commands run in order in one folder."""

    def renewed(block: re.Match[str]) -> str:
        lines = [
            line
            for one in _of_block(block[2])
            for line in ("$ " + one.line, *cut_like(run(one.line, folder).stdout, one.shown))
        ]
        return block[1] + "".join(f"{line}\n" for line in lines) + block[3]

    return _CONSOLE.sub(renewed, text)


def main() -> None:
    text = README.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        README.write_text(with_outputs(with_tables(text), Path(folder)), encoding="utf-8")


if __name__ == "__main__":
    main()
