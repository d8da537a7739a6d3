"""The document as one page of HTML: nothing is fetched, nothing runs."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from model.record.report.document import Document, printable

if TYPE_CHECKING:
    from jinja2 import Template

HERE = Path(__file__).parent


def html(document: Document) -> str:
    """The whole page. Texts are escaped by the template, drawings are taken as they are."""
    css = (HERE / "report.css").read_text(encoding="utf-8")
    return printable(_template().render(document=document, css=css))


@cache
def _template() -> Template:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    environment = Environment(
        loader=FileSystemLoader(HERE), autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    return environment.get_template("report.html.jinja")
