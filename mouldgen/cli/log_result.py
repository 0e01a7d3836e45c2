"""``mouldgen log result``: what was found at the lathe, in the maker's words."""

from __future__ import annotations

import datetime as dt
import sys
from dataclasses import dataclass
from pathlib import Path

from mouldgen.castings.load_words import found_words, listed, load_words
from mouldgen.castings.place import castings_place
from mouldgen.castings.records import Load
from mouldgen.castings.said import Said, read_result
from mouldgen.castings.store import CastingsFile, castings_file
from mouldgen.castings.transfer import load_data
from mouldgen.cli.ask import Asker, Question
from mouldgen.cli.log import BEGIN, find_load, named, place_of
from mouldgen.cli.log_told import read_note
from mouldgen.cli.say import printable, say_json, say_wrapped
from mouldgen.errors import UsageError

_NONE = ("none", "no", "nothing", "0")
_EXAMPLE = '"voids in 3 and 7, 7 scrapped, 25 min", or "all good"'


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
        now = dt.datetime.now(dt.UTC).astimezone().isoformat(timespec="seconds")
        replaced = _replaced(load, said)
        written = file.result(load.id, said.drafts, noted_at=now, note=note)
    if asked.json:
        say_json(
            {
                "file": str(path),
                "load": load_data(written),
                "replaced": list(replaced),
                "supposed_voids": list(said.supposed),
            }
        )
        return 0
    say_wrapped(printable(f"{load_words(written)}: {found_words(written)}."))
    if not asked.quiet:
        _say_more(said, replaced, path=path)
    return 0


def _load(file: CastingsFile, asked: ResultAsked) -> Load:
    if asked.load is not None:
        return find_load(file, asked.load)
    waiting = file.loads(open_only=True)
    if not waiting:
        raise UsageError(
            "no load is open", try_=BEGIN if not file.loads() else "Name one: mouldgen log list."
        )
    if len(waiting) == 1 and sys.stdin.isatty():
        return waiting[0]
    some = ", ".join(f"{load.id} for {load.job}:{load.number}" for load in waiting[:6])
    raise UsageError(
        "which load?",
        allowed=printable(some),
        try_=f"Such as: mouldgen log result {waiting[0].id} {_EXAMPLE}.",
    )


def _said(asked: ResultAsked, load: Load, numbers: list[int]) -> Said | None:
    """What is told; asked again at a terminal; None where the maker does not know yet."""
    text = " ".join(asked.words).strip()
    can_ask = sys.stdin.isatty() and not asked.json
    if not text and not can_ask:
        raise UsageError(
            "what was found?",
            allowed=f"mouldgen log result {load.id} {_EXAMPLE}",
            try_="Only voids that break the finished surface count; a casting that was repaired is"
            " not scrapped.",
        )
    if not can_ask:
        return read_result(text, numbers)
    asker = Asker("mouldgen log result")
    if text:
        again = Question[Said | None](
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
        return Question(text, read, default=before, taken=taken, unknown=unknown)

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


def _replaced(load: Load, said: Said) -> tuple[int, ...]:
    before = {casting.number for casting in load.castings if casting.result is not None}
    return tuple(draft.number for draft in said.drafts if draft.number in before)


def _say_more(said: Said, replaced: tuple[int, ...], *, path: Path) -> None:
    if said.supposed:
        numbers = listed(said.supposed)
        say_wrapped(
            f"{numbers} {'counts' if len(said.supposed) == 1 else 'count'} as having had voids; if"
            f" not, say it again with: no voids in {numbers}."
        )
    if replaced:
        say_wrapped(f"This replaces what was said of {listed(replaced)}.")
    say_wrapped(f"Wrong? mouldgen log undo{named(path)}.")
