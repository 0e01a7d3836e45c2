"""Loads of the castings file: which one is meant, and what is told of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.errors import CastingsError
from mouldgen.job.words import printable
from mouldgen.sheet.plain_words import count

if TYPE_CHECKING:
    from mouldgen.castings.records import Casting, Load
    from mouldgen.castings.store import CastingsFile

BEGIN = "Nothing is logged yet. After a pour: mouldgen log pour JOB."


def find_load(file: CastingsFile, which: str) -> Load:
    """The load that is meant.

    which : its number in the file; or a job's name, with ``:N`` or without, for the newest load
        that fits, an open one before those with results.

    Raises CastingsError where there is none.
    """
    text = which.strip()
    if re.fullmatch(r"\d{1,18}", text):
        return file.load(int(text))
    found = re.fullmatch(r"(.+?)(?::(\d{1,9}))?", text)
    loads = file.loads()
    job, number = (found[1], found[2]) if found else (text, None)
    name = Path(job).stem if job.endswith(".toml") else job
    fits = [one for one in loads if one.job == name and number in {None, str(one.number)}]
    if not fits:
        jobs = sorted({load.job for load in loads})
        raise CastingsError(
            f'there is no load "{printable(text)}"',
            where=str(file.path),
            allowed=f"a number that mouldgen log list shows, such as {_newest(loads)}, or a job:"
            f" {', '.join(jobs)}"
            if jobs
            else "",
            try_="" if jobs else BEGIN,
        )
    return max(fits, key=lambda load: (load.open, load.id))


def _newest(loads: Sequence[Load]) -> int:
    """Of the loads that wait for their result, or of all."""
    return max(loads, key=lambda load: (load.open, load.id)).id


def in_inches(load: Load, job: str | Path) -> bool:
    """Whether the job of a load is in inches; not where the job is not found.

    job : its file, there or not, or its name.
    """
    from mouldgen.job.habit import habit_of  # late: a list needs none of it

    return habit_of(job if Path(job).is_file() else load.job).inches


def total_words(loads: Sequence[Load]) -> str:
    """How many castings, and what became of them, two sentences."""
    castings = [casting for load in loads for casting in load.castings]
    found = [casting.result for casting in castings if casting.result is not None]
    voids = sum(result.voids for result in found)
    scrapped = sum(result.outcome == "scrapped" for result in found)
    waiting = len(castings) - len(found)
    told = f"{count(len(castings), 'casting')}: {len(found)} with a result, {waiting} open."
    lost = f"{scrapped} {'was' if scrapped == 1 else 'were'} scrapped"
    return f"{told} {voids} had voids, {lost}." if found else told


def day_words(load: Load) -> list[str]:
    """How a load was poured and what is noted of it, a line each."""
    first = load.castings[0]
    day = load.poured_at[:16].replace("T", " ")
    wood = f", {first.wood}" if first.wood else ""
    lines = [f"Poured {day}, {first.sequence}, {pour_words(first)}. {first.resin}{wood}."]
    if load.mixed_g is not None:
        left = "" if load.left_g is None else f", {load.left_g:g} g left over"
        lines.append(f"{load.mixed_g:g} g mixed{left}.")
    if load.note:
        lines.append(f"Note: {load.note}.")
    return [printable(line) for line in lines]


def pour_words(casting: Casting) -> str:
    """How a casting was poured: ``19 C, 66 F, shut after 16 min, 45 psi``."""
    from mouldgen.job.rating import pressure_words  # late: a list needs none of it
    from mouldgen.sheet.card_words import temperature

    pressed = pressure_words(casting.pressure_kpa) if casting.pressure_kpa else "no pressure"
    return f"{temperature(casting.shop_c)}, shut after {casting.close_min:.0f} min, {pressed}"
