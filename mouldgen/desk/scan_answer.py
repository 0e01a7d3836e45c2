"""The file of a scan, as it is typed: looked for, read, and what was found in it."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from mouldgen.desk.draft import Draft
from mouldgen.desk.insert_line import InsertTold
from mouldgen.errors import InputError, ScanError, SurroundingsError, UsageError

SHIPPED = "burl-knob.stl"
_MEND = re.compile(r"\s*[,;]?\s+mend(?:ed)?$|\s*[,;]\s*mend(?:ed)?$", re.IGNORECASE)
_UNIT = re.compile(r"\s*[,;]\s*(?:in\s+)?(mm|cm|m|in)$|\s+in\s+(mm|cm|m|in)$", re.IGNORECASE)


def read_scan(text: str, *, draft: Draft) -> InsertTold:
    """A path; behind it ``, cm`` where its unit is in doubt, ``, mend`` where it has holes.

    draft : that it goes into; its folder is the one that the path starts from.

    Raises UsageError with a plain sentence for a file that is not there or cannot be used.
    """
    path, values = _parts(text)
    if not path.isprintable():
        raise UsageError(f"{_shown(path)} is no name of a file", allowed="letters, digits, - and _")
    if draft.confined:
        _require_inside(path, draft.folder)
    told = InsertTold({"file": path, **values})
    try:
        scan = draft.held(insert=told).insert.scan
    except ScanError as problem:
        raise UsageError(
            _named(path, problem.what), allowed=_allowed(problem), try_=_try(problem, text)
        ) from None
    except (InputError, SurroundingsError) as problem:
        raise UsageError(
            _named(path, problem.what), allowed=problem.allowed, try_=problem.try_
        ) from None
    except OSError as problem:  # such as a name that is too long
        raise UsageError(_named(path, str(problem.strerror)), try_="Take another file.") from None
    if scan is None:
        raise UsageError(f"{path} is no scan", allowed="STL, 3MF, OBJ, PLY, OFF or GLB")
    return replace(told, across_mm=2.0 * scan.radius_mm, length_mm=scan.length_mm)


def _require_inside(path: str, folder: Path) -> None:
    """Refuse a file that lies elsewhere.  Raises UsageError."""
    try:
        place = folder / Path(path).expanduser()
        inside = place.resolve().is_relative_to(folder.resolve())
    except (OSError, RuntimeError, ValueError):  # too long, a ring of links, no such home
        inside = False
    if not inside:
        raise UsageError(
            f"{_shown(path)} does not lie in the folder of the jobs",
            allowed="a file of that folder, or the name of a shipped scan",
            try_="Copy it there first.",
        )


def _shown(path: str) -> str:
    from mouldgen.job.words import one_line

    return one_line(path)


def _named(path: str, what: str) -> str:
    """What is wrong, with the file in front where it is not named."""
    return what if Path(path).name in what else f"{_shown(path)}: {what}"


def _parts(text: str) -> tuple[str, dict[str, Any]]:
    """The path, and the keys that stand behind it in words."""
    values: dict[str, Any] = {}
    rest = _MEND.sub("", text)
    if rest != text:
        values["mend"] = True
    found = _UNIT.search(rest)
    if found:
        values = {"file_unit": (found[1] or found[2]).lower(), **values}
        rest = rest[: found.start()]
    return rest.strip().strip("\"'"), values


def _doubts(problem: InputError) -> bool:
    return "file_unit" in problem.allowed


def _allowed(problem: InputError) -> str:
    return "" if _doubts(problem) else problem.allowed


def _try(problem: InputError, text: str) -> str:
    if _doubts(problem):
        return f"Type its unit behind it, such as: {text}, cm."
    if text.endswith("mend"):
        return "Mend it in the program that scanned it, or look at its unit."
    return f"Mend it in the program that scanned it, or look at its unit, or type: {text}, mend."


def found_words(told: InsertTold) -> str:
    """What was found in a scan, one sentence."""
    return (
        f"Found: {told.length_mm:.1f} mm long, and the thinnest round that it goes into is"
        f" {told.across_mm:.1f} mm across."
    )
