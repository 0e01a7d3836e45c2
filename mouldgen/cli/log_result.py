"""``mouldgen log result``: what was found at the lathe, in the maker's words."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

from mouldgen.castings.load_words import load_words
from mouldgen.castings.place import castings_place
from mouldgen.castings.records import Load
from mouldgen.castings.said import Said, read_result
from mouldgen.castings.store import CastingsFile, castings_file
from mouldgen.castings.transfer import load_data
from mouldgen.cli.ask import Asker
from mouldgen.cli.log import job_file_of, named, place_of
from mouldgen.cli.moment import now
from mouldgen.cli.say import say_json, say_wrapped
from mouldgen.desk.log_loads import find_load, in_inches
from mouldgen.desk.log_result import no_load_said, nothing_said, result_words, write_result
from mouldgen.desk.log_told import read_note
from mouldgen.desk.question import Question
from mouldgen.job.words import printable

_NONE = ("none", "no", "nothing", "0")


@dataclass(frozen=True, eq=False, kw_only=True)
class ResultAsked:
    """What the command was asked for.

    load : as typed; None where it was not told.
    words : that were found, as typed.
    note : anything else.
    castings : the file, or None for the shop's own.
    json, quiet : as in every command.
    """

    load: str | None = None
    words: tuple[str, ...] = ()
    note: str | None = None
    castings: Path | None = None
    json: bool = False
    quiet: bool = False


def show_result(asked: ResultAsked) -> int:
    """Write the result down and say what was understood; 1 where nothing was told.

    Raises UsageError, worded as a question, where it is not clear what is meant and nobody can be
    asked.
    """
    path = asked.castings or (place_of(asked.load) if asked.load else castings_place())
    note = read_note(asked.note)
    with castings_file(path) as file:
        load = _load(file, asked)
        numbers = [casting.number for casting in load.castings]
        said = _said(asked, load, numbers)
        if said is None:
            say_wrapped("Nothing is written down.")
            return 1
        found = write_result(load, said, file, now=now(), note=note)
    if asked.json:
        say_json(
            {
                "file": str(path),
                "load": load_data(found.load),
                "replaced": list(found.replaced),
                "supposed_voids": list(found.supposed),
            }
        )
        return 0
    inches = found.sized and in_inches(found.load, job_file_of(found.load, asked.load or ""))
    told = result_words(found, inches=inches)
    for line in told[:1] if asked.quiet else told:
        say_wrapped(line)
    if not asked.quiet:
        say_wrapped(f"Wrong? mouldgen log undo{named(path)}.")
    return 0


def _load(file: CastingsFile, asked: ResultAsked) -> Load:
    if asked.load is not None:
        return find_load(file, asked.load)
    waiting = file.loads(open_only=True)
    if len(waiting) == 1 and sys.stdin.isatty():
        return waiting[0]
    raise no_load_said(file)


def _said(asked: ResultAsked, load: Load, numbers: list[int]) -> Said | None:
    """What is told; asked again at a terminal; None where the maker does not know yet."""
    text = " ".join(asked.words).strip()
    can_ask = sys.stdin.isatty() and not asked.json
    if not text and not can_ask:
        raise nothing_said(load)
    if not can_ask:
        return read_result(text, numbers)
    asker = Asker("mouldgen log result")
    if text:
        again = Question[Said | None](
            id="again",
            text="Say it once more.",
            read=lambda words: read_result(words, numbers),
            default=None,
            taken="nothing is written down",
        )
        return asker.ask(again, typed=text).value
    return _ask(asker, load, numbers)


def _ask(asker: Asker, load: Load, numbers: list[int]) -> Said | None:
    """Three questions, each read together with the answers before it."""
    say_wrapped(printable(f"{load_words(load)}. Enter alone where you do not know yet."))

    def question(text: str, form: str, *, before: str = "") -> Question[str]:
        def read(words: str) -> str:
            bare = not set(words) - set("0123456789,- ")
            told = f"{before}{form.format(words) if bare else words}"
            read_result(told, numbers)
            return f"{told}; "

        taken = "none" if before else "not looked at yet, so nothing is written down"
        unknown = _NONE if before else ()
        return Question(text, read, default=before, taken=taken, unknown=unknown, id=form)

    voids = asker.ask(
        question(
            "Which castings have voids that break the finished surface? Their numbers, or none, or"
            " more of it, such as: voids in 3 and 7, worst 3 mm in 7 at the top.",
            "voids in {}",
        )
    )
    if not voids.known:
        return None
    scrapped = asker.ask(
        question(
            "Which were scrapped? One that was repaired is not scrapped. Numbers, or none.",
            "{} scrapped",
            before=voids.value,
        )
    )
    minutes = asker.ask(
        question(
            "How many minutes did repairs take in all? Such as 25 min, or none.",
            "{} min",
            before=scrapped.value,
        )
    )
    return read_result(minutes.value, numbers)
