"""The job sheet as one HTML file: no script, no style sheet or picture from elsewhere."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from jinja2 import Template

    from mouldgen.sheet.sheet_data import SheetData

Paper = Literal["a4", "letter"]


def sheet_html(data: SheetData, *, paper: Paper = "a4") -> str:
    """The whole file; the same sheet gives the same text.

    data : what it shows.
    paper : that it is printed on.
    """
    return _template().render(sheet=data, paper=paper)


@cache
def _template() -> Template:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # late: few commands need it

    found = Environment(
        loader=PackageLoader("mouldgen.sheet"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
    return found.get_template("sheet.html")
