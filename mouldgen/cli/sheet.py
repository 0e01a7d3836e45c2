"""``mouldgen sheet``: the whole job on paper, as one file that any browser shows and prints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from mouldgen.cli.asked import Asked
from mouldgen.cli.plan import day_of
from mouldgen.cli.potcard import PAPERS
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say_json, say_wrapped, tell
from mouldgen.errors import CastingsError, SurroundingsError, UsageError

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.tune import Tuned
    from mouldgen.job.load import LoadedJob
    from mouldgen.sheet.sheet_data import SheetData, Value
    from mouldgen.sheet.sheet_page import Paper

FILE, PDF = "sheet.html", "sheet.pdf"


@dataclass(frozen=True, eq=False)
class SheetAsked:
    """What is wanted of a sheet.

    paper : ``a4`` or ``letter``.
    today : the first day, as typed; None for the clock's.
    pdf : whether a PDF is written beside it.
    """

    paper: str = "a4"
    today: str | None = None
    pdf: bool = False


def show_sheet(asked: Asked, wanted: SheetAsked) -> int:
    """Write the sheet of a job; 1 where there is no gap or something must be fixed.

    Raises UsageError for another paper and for what is no day, SurroundingsError where a PDF is
    wanted and cannot be made here.
    """
    if wanted.paper not in PAPERS:
        raise UsageError(
            f"there is no paper {wanted.paper!r}", where="--paper", allowed=", ".join(PAPERS)
        )
    from mouldgen.build import build_moulds
    from mouldgen.cli.kept_cards import kept_cards_of
    from mouldgen.files.single import put_file
    from mouldgen.sheet.compose_sheet import sheet_data
    from mouldgen.sheet.job_card import card_of_set
    from mouldgen.sheet.order_work import mixed
    from mouldgen.sheet.sheet_page import sheet_html
    from mouldgen.sheet.sheet_pdf import require_pdf, sheet_pdf

    if wanted.pdf:
        require_pdf()
    paper = cast("Paper", wanted.paper)
    today = day_of(wanted.today)
    kept = kept_cards_of(asked, out=asked.out)
    loaded = asked.load()
    with busy(f"Working out the sheet of {loaded.job.name}", quiet=asked.quiet):
        loads, tuned = _log(asked)
        found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
        made = mixed(found)
        data = sheet_data(
            found, today=today, given=loaded.given, loads=loads, tuned=tuned, made=made
        )
        files = {FILE: sheet_html(data, paper=paper).encode()}
        if wanted.pdf:
            files[PDF] = sheet_pdf(data, paper=paper)
    folder = asked.out / loaded.job.name
    for name, content in files.items():
        put_file(folder, name, content)
    kept.keep(card_of_set(found, made))
    if asked.json:
        say_json(_data(data, loaded, files=list(files)), of=loaded)
    else:
        _say(data, [folder / name for name in files])
    return int(found.answer.size is None or bool(data.stops))


def _log(asked: Asked) -> tuple[Sequence[Load], Tuned | None]:
    """Loads of the castings file and what they say of the gap; none where it cannot be read."""
    from mouldgen.castings.place import castings_place

    path = asked.castings or castings_place(asked.job)
    if asked.no_castings or not path.exists():
        return (), None
    from mouldgen.cli.lessons import read_loads
    from mouldgen.job.load import load_job
    from mouldgen.learn import teach

    try:
        loads = read_loads(path)
        return loads, teach(load_job(asked.job, sets=asked.sets), loads).tuned
    except (CastingsError, SurroundingsError) as problem:
        tell(f"{problem} The sheet shows no log.")
        return (), None


def _say(data: SheetData, paths: Sequence[Path]) -> None:
    say_wrapped(f"Sheet: {', '.join(path.as_posix() for path in paths)}")
    if data.stops:
        say_wrapped("It is NOT READY: what must be fixed stands on top of it.")


def _data(data: SheetData, loaded: LoadedJob, *, files: list[str]) -> dict[str, Any]:
    return {
        "job": loaded.job.name,
        "ready": not data.stops,
        "must_fix": [stop.text for stop in data.stops],
        "values": [_value(value) for value in data.values()],
        "files": files,
    }


def _value(value: Value) -> dict[str, Any]:
    import math

    number = value.number
    if number is not None and not math.isfinite(number):  # JSON has no infinity
        number = None
    return {
        "id": value.id,
        "text": value.text,
        "number": number,
        "unit": value.unit,
        "key": value.key,
    }
