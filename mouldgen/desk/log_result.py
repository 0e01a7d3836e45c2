"""What was found at the lathe is written down, in the maker's words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.castings.load_words import found_words, listed, load_words
from mouldgen.desk.log_loads import BEGIN
from mouldgen.errors import NoAnswerError, UsageError
from mouldgen.job.words import printable

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.castings.said import Said
    from mouldgen.castings.store import CastingsFile

EXAMPLE = '"voids in 3 and 7, 7 scrapped, 25 min", or "all good"'


@dataclass(frozen=True, eq=False)
class Found:
    """What was written down of a load's castings.

    load : as it stands in the file now.
    replaced : castings of which something else was said before.
    supposed : castings that count as having had voids, though nobody said so.
    """

    load: Load
    replaced: tuple[int, ...]
    supposed: tuple[int, ...]

    @property
    def sized(self) -> bool:
        """Whether a size was told, which an inch job has in inches too."""
        results = (casting.result for casting in self.load.castings)
        return any(one is not None and one.worst_mm is not None for one in results)


def write_result(
    load: Load, said: Said, file: CastingsFile, *, now: dt.datetime, note: str = ""
) -> Found:
    """Write down what was found.

    load : that was looked at.
    said : as `mouldgen.castings.said.read_result` has it.
    file : that it is written into.
    now : the moment, with its offset.
    note : anything else.

    Raises CastingsError and SurroundingsError where the file cannot be written.
    """
    before = {casting.number for casting in load.castings if casting.result is not None}
    replaced = tuple(draft.number for draft in said.drafts if draft.number in before)
    noted_at = now.isoformat(timespec="seconds")
    written = file.result(load.id, said.drafts, noted_at=noted_at, note=note)
    return Found(written, replaced, said.supposed)


def result_words(found: Found, *, inches: bool) -> list[str]:
    """What was understood, a sentence each; the first is enough for one in a hurry.

    inches : whether the load's job is in inches.
    """
    load = found.load
    told = [printable(f"{load_words(load)}: {found_words(load, inches=inches)}.")]
    if found.supposed:
        numbers = listed(found.supposed)
        told.append(
            f"{numbers} {'counts' if len(found.supposed) == 1 else 'count'} as having had voids;"
            f" if not, say it again with: no voids in {numbers}."
        )
    if found.replaced:
        told.append(f"This replaces what was said of {listed(found.replaced)}.")
    return told


def no_load_said(file: CastingsFile) -> UsageError:
    """For a result of nobody knows which load, worded as a question.

    file : that it was to be written into.
    """
    waiting = file.loads(open_only=True)
    if not waiting:
        there = file.loads()
        return UsageError(
            "no load is open", try_="Name one: mouldgen log list." if there else BEGIN
        )
    some = ", ".join(f"{load.id} for {load.job}:{load.number}" for load in waiting[:6])
    return UsageError(
        "which load?",
        allowed=printable(some),
        try_=f"Such as: mouldgen log result {waiting[0].id} {EXAMPLE}.",
    )


def nothing_said(load: Load) -> UsageError:
    """For a result without a word, worded as a question."""
    return UsageError(
        "what was found?",
        allowed=f"mouldgen log result {load.id} {EXAMPLE}",
        try_="Only voids that break the finished surface count; a casting that was repaired is"
        " not scrapped.",
    )


def take_back(file: CastingsFile) -> str:
    """Take the last thing back, and say what it was, a clause.

    Raises NoAnswerError where there is nothing to take back.
    """
    undone = file.undo()
    if undone is None:
        raise NoAnswerError("there is nothing to take back", where=str(file.path))
    return undone
