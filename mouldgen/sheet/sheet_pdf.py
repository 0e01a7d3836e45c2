"""The job sheet as PDF: the same values as on the page, set by typst where that is installed.

It is tagged for screen readers after ISO 14289-1 (PDF/UA-1), has its text as text and its drawings
as lines, and uses no font but those that come with typst, so that the same sheet gives the same
bytes on every machine.  What a maker typed goes in as data and is never read as markup.
"""

from __future__ import annotations

import json
import re
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.errors import InternalError, SurroundingsError
from mouldgen.sheet.sheet_flow import Plain, sheet_flow

if TYPE_CHECKING:
    from mouldgen.sheet.sheet_data import SheetData
    from mouldgen.sheet.sheet_page import Paper

PAPERS_MM: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}

_TEMPLATE = Path(__file__).parent / "templates" / "sheet.typ"
_STAND_IN = "\ufffd"
_LACKING = f"{_STAND_IN} stands for a character that the type of this paper does not have."
_NOT_IN_TYPE = re.compile(r'the text `"(.+?)"` could not be displayed')
_ROUNDS = 4  # one names every character that is lacking; drawings may come after texts


def can_make_pdf() -> bool:
    """Whether the package that sets the PDF is installed."""
    return find_spec("typst") is not None


def require_pdf() -> None:
    """Before slow work: that a PDF can be made at all.

    Raises SurroundingsError where typst is not installed, with how to get it.
    """
    if not can_make_pdf():
        raise SurroundingsError(
            "a PDF is set by typst, which is not installed here",
            try_="Install it: pip install 'mouldgen[pdf]'; "
            "or print sheet.html from a browser, which can save it as PDF.",
        )


def sheet_pdf(data: SheetData, *, paper: Paper = "a4") -> bytes:
    """The whole sheet, pot cards too, each on a page of its own; the same sheet, the same bytes.

    data : what it shows.
    paper : that it is printed on.

    A character that the type lacks is shown by another, which the sheet then explains.  Raises
    SurroundingsError where typst is not installed.
    """
    require_pdf()
    flow: Plain = {**sheet_flow(data), "paper": PAPERS_MM[paper], "lacking": ""}
    text = json.dumps(flow, ensure_ascii=False).encode("utf-8", "replace").decode()
    for _ in range(_ROUNDS):
        made = _set(text)
        if isinstance(made, bytes):
            return made
        text = _without(text, made)
    raise InternalError("the sheet has characters that cannot be set")


def _set(text: str) -> bytes | frozenset[str]:
    """The file, or what of its text the type does not have."""
    import typst  # late: it is large, and only a PDF needs it

    try:
        made = typst.compile(
            _TEMPLATE,
            root=_TEMPLATE.parent,
            font_paths=[],
            ignore_system_fonts=True,
            format="pdf",
            sys_inputs={"sheet": text},
            pdf_standards=["ua-1"],
        )
    except typst.TypstError as problem:
        lacking = frozenset(_NOT_IN_TYPE.findall(problem.diagnostic))
        if not lacking:
            raise InternalError(f"the sheet cannot be set: {problem.message}") from problem
        return lacking
    if not isinstance(made, bytes):
        raise InternalError("typst gave no PDF")
    return made


def _without(text: str, lacking: frozenset[str]) -> str:
    """The sheet with a stand-in for what the type lacks, and with what that means."""
    flow = json.loads(text)
    gone = "".join(_unescaped(one) for one in sorted(lacking))
    shown = str.maketrans(dict.fromkeys(gone, _STAND_IN))
    return json.dumps({**_translated(flow, shown), "lacking": _LACKING}, ensure_ascii=False)


def _unescaped(told: str) -> str:
    """Characters as typst tells them: those without a shape by number."""
    return re.sub(r"\\u\{([0-9a-fA-F]+)\}", lambda found: chr(int(found[1], 16)), told)


def _translated(what: Plain, shown: dict[int, str]) -> Plain:
    def retold(part: object) -> object:
        if isinstance(part, str):
            return part.translate(shown)
        if isinstance(part, list):
            return [retold(one) for one in part]
        if isinstance(part, dict):
            return {name: retold(one) for name, one in part.items()}
        return part

    return {name: retold(one) for name, one in what.items()}
