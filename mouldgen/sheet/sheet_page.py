"""The job sheet as one HTML file: no script, no style sheet or picture from elsewhere."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from collections.abc import Callable

    from jinja2 import Environment

    from mouldgen.sheet.sheet_data import Part, SheetData

Paper = Literal["a4", "letter"]


def sheet_html(data: SheetData, *, paper: Paper = "a4") -> str:
    """The whole file; the same sheet gives the same text.

    data : what it shows.
    paper : that it is printed on.
    """
    return _templates().get_template("sheet.html").render(sheet=data, paper=paper)


def part_html(part: Part, *, card: bool = False) -> str:
    """One part as it stands in the file.

    part : of a sheet.
    card : whether it is one of its cards.
    """
    return _part()(part, card=card)


@cache
def _part() -> Callable[..., str]:
    macro: Callable[..., str] = _templates().get_template("items.html").module.part  # type: ignore[attr-defined]
    return macro


@cache
def _templates() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined  # late: few commands need it

    return Environment(
        loader=PackageLoader("mouldgen.sheet"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )
