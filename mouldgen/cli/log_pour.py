"""``mouldgen log pour``: a load as its pot card says, but for what the maker tells otherwise."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.castings.place import castings_place
from mouldgen.castings.store import castings_file
from mouldgen.castings.transfer import load_data
from mouldgen.cli.kept_cards import kept_cards
from mouldgen.cli.log import named
from mouldgen.cli.moment import now
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say_json, say_wrapped, tell
from mouldgen.desk.log_pour import Written, poured_words, write_pour
from mouldgen.desk.log_told import PourSaid, Told, read_told

if TYPE_CHECKING:
    from mouldgen.castings.on_card import JobCard
    from mouldgen.job.load import LoadedJob


@dataclass(frozen=True, eq=False, kw_only=True)
class PourAsked:
    """What the command was asked for.

    job : with ``:N`` for the load, or without.
    said : of the pour, as typed.
    again : a load that was poured before is cast once more.
    castings : the file, or None for the shop's own.
    json, sets, quiet, out : as in every command.
    """

    job: str
    said: PourSaid
    again: bool = False
    castings: Path | None = None
    json: bool = False
    sets: tuple[str, ...] = ()
    quiet: bool = False
    out: Path = Path("out")


def split_job(text: str) -> tuple[str, int | None]:
    """Job and load of ``boathouse-pegs:2``; None for a load that is not told."""
    found = re.fullmatch(r"(.+):(\d{1,9})", text.strip())
    return (found[1], int(found[2])) if found else (text, None)


def show_pour(asked: PourAsked) -> int:
    """Write the pour down and say what was written.

    Raises UsageError where it is not clear which load is meant, NoAnswerError for a job without a
    gap, and what reading the job and writing the file raise.
    """
    name, number = split_job(asked.job)
    path = asked.castings or castings_place(name)
    card, told = _card(asked, name, path)
    with castings_file(path) as file:
        written = write_pour(card, told, file, number=number, name=name, again=asked.again)
    for warning in written.warnings:
        tell(warning)
    if asked.json:
        load = load_data(written.load)
        say_json({"file": str(path), "load": load, "warnings": list(written.warnings)})
    else:
        _say(asked, written, path=path)
    return 0


def _card(asked: PourAsked, name: str, path: Path) -> tuple[JobCard, Told]:
    """What the cards say, kept from an earlier command or reckoned now, and what was told."""
    kept = kept_cards(name, sets=asked.sets, out=asked.out, castings=path)
    card = kept.read()
    if card is not None:
        return card, read_told(asked.said, unit=card.unit, now=now())
    from mouldgen.job.load import load_job
    from mouldgen.sheet.job_card import job_card

    loaded = load_job(name, sets=asked.sets)
    told = read_told(asked.said, unit=loaded.job.unit, now=now())
    with busy(f"Working out the loads of {loaded.job.name}", quiet=asked.quiet):
        card = job_card(_learned(loaded, path))
    kept.keep(card)
    return card, told


def _learned(loaded: LoadedJob, path: Path) -> LoadedJob:
    """The job as every command has it, with what the file's castings teach it."""
    if not path.exists():
        return loaded
    from mouldgen.cli.lessons import read_loads
    from mouldgen.learn import learn

    return learn(loaded, read_loads(path))


def _say(asked: PourAsked, written: Written, *, path: Path) -> None:
    told = poured_words(written)
    for line in told[:1] if asked.quiet else told:
        say_wrapped(line)
    load = written.load
    if asked.quiet or load.poured > 1:
        return
    say_wrapped(
        f"Write {load.id} on its card. After the lathe: mouldgen log result {load.id}"
        f' "all good"{named(path)}. Wrong? mouldgen log undo{named(path)}. It is kept in {path}.'
    )
