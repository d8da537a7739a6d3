"""The figures that formulas come to, put beside them in a workbook.

openpyxl writes a formula without its value. A spreadsheet works it out when it opens the file; a preview in a mail, a telephone
and `pandas.read_excel` do not, and would show an empty cell (ECMA-376, part 1, 18.3.1.96: `v` holds the value last worked out).
"""

from __future__ import annotations

import io
import re
from collections.abc import Mapping, Sequence
from zipfile import ZIP_DEFLATED, ZipFile

_FORMULA = re.compile(rb'<c r="([A-Z]+\d+)"([^>]*)><f>([^<]*)</f><v ?/></c>')


def with_values(book: bytes, values: Sequence[Mapping[str, float | str]]) -> bytes:
    """The workbook with the value of each formula; values: by the name of the cell, a mapping for each sheet in its order."""
    out = io.BytesIO()
    with ZipFile(io.BytesIO(book)) as before, ZipFile(out, "w", ZIP_DEFLATED) as after:
        for part in before.infolist():
            content = before.read(part)
            if number := re.fullmatch(r"xl/worksheets/sheet(\d+)\.xml", part.filename):
                content = _filled(content, values[int(number[1]) - 1])
            after.writestr(part, content)
    return out.getvalue()


def _filled(sheet: bytes, values: Mapping[str, float | str]) -> bytes:
    def cell(found: re.Match[bytes]) -> bytes:
        value = values.get(found[1].decode())
        if value is None:
            return found[0]
        kind, shown = (b' t="str"', b"") if isinstance(value, str) else (b"", repr(float(value)).encode())
        return b'<c r="%b"%b%b><f>%b</f><v>%b</v></c>' % (found[1], found[2], kind, found[3], shown)

    return _FORMULA.sub(cell, sheet)
