"""``mouldgen log``, its list and its page of one load: what stands in the castings file."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

from mouldgen.castings.load_words import found_words, load_words
from mouldgen.castings.place import castings_place
from mouldgen.castings.store import castings_file
from mouldgen.cli.lessons import no_such_file
from mouldgen.cli.say import printable, say, say_json, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count
from mouldgen.errors import CastingsError
from mouldgen.sheet.number_words import runs

if TYPE_CHECKING:
    from mouldgen.castings.records import Casting, Load
    from mouldgen.castings.store import CastingsFile

BEGIN = "Nothing is logged yet. After a pour: mouldgen log pour JOB."


def _named_or_own(castings: Path | None) -> Path:
    """The file; a shop's own need not be there yet, one that was named must be."""
    if castings is not None and not castings.exists():
        raise no_such_file(castings)
    return castings or castings_place()


def show_open(castings: Path | None, *, json: bool, quiet: bool) -> int:
    """The loads that wait for their result.

    castings : the file, or None for the shop's own.
    """
    path = _named_or_own(castings)
    with castings_file(path) as file:
        loads = file.loads()
    waiting = [load for load in loads if load.open]
    if json:
        say_json(_data(path, waiting))
        return 0
    if not loads:
        say_wrapped(BEGIN)
        return 0
    if waiting:
        say(_loads_table(waiting))
    else:
        say_wrapped(f"All {count(len(loads), 'load')} have their result.")
    if quiet:
        return 0
    say()
    if waiting:
        say_wrapped(
            f'After the lathe: mouldgen log result {waiting[0].id} "all good"{named(path)}.'
        )
    say_wrapped(f"All loads: mouldgen log list{named(path)}.")
    return 0


def show_loads(castings: Path | None, *, open_only: bool, json: bool, quiet: bool) -> int:
    """All loads, or those that wait for their result.

    castings : the file, or None for the shop's own.
    open_only : without those that have all their results.
    """
    path = _named_or_own(castings)
    with castings_file(path) as file:
        loads = file.loads(open_only=open_only)
    if json:
        say_json(_data(path, loads))
    elif not loads:
        say_wrapped("No load is open." if open_only else BEGIN)
    else:
        say(_loads_table(loads))
        if not quiet:
            say()
            say_wrapped(_total(loads))
    return 0


def show_load(which: str, castings: Path | None, *, json: bool, quiet: bool) -> int:
    """All that is written down of one load.

    which : its number, or a job with or without the load on its card.
    castings : the file, or None for the shop's own.
    """
    path = castings or place_of(which)
    with castings_file(path) as file:
        load = find_load(file, which)
    if json:
        from mouldgen.castings.transfer import load_data  # late, as below: only JSON needs it

        say_json({"file": str(path), "load": load_data(load)})
        return 0
    say_wrapped(printable(f"{load_words(load)}."))
    if not quiet:
        for line in _day(load):
            say_wrapped(line)
    say()
    say(_castings_table(load))
    return 0


def named(path: Path) -> str:
    """What a command needs to find the file again: nothing where it is found without a word.

    path : of the castings file.
    """
    own = path.resolve() == castings_place().resolve()
    return "" if own else f" --castings {quote(str(path))}"


def place_of(which: str) -> Path:
    """The castings file of the shop, or of a job file's own where the load is told with one.

    which : as `find_load` takes it.
    """
    job = re.sub(r":\d{1,9}$", "", which.strip())
    return castings_place(job if job.endswith(".toml") and Path(job).is_file() else None)


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


def _data(path: Path, loads: Sequence[Load]) -> dict[str, Any]:
    from mouldgen.castings.transfer import load_data

    return {"file": str(path), "loads": [load_data(load) for load in loads]}


def _loads_table(loads: Sequence[Load]) -> str:
    rows = [("load", "job", "moulds", "poured", "found")]
    rows += [
        (
            str(load.id),
            printable(f"{load.job}:{load.number}"),
            runs([casting.number for casting in load.castings]),
            load.poured_at[:16].replace("T", " "),
            printable(found_words(load)),
        )
        for load in loads
    ]
    return table(rows, right=(0,))


def _total(loads: Sequence[Load]) -> str:
    castings = [casting for load in loads for casting in load.castings]
    found = [casting.result for casting in castings if casting.result is not None]
    voids = sum(result.voids for result in found)
    scrapped = sum(result.outcome == "scrapped" for result in found)
    waiting = len(castings) - len(found)
    told = f"{count(len(castings), 'casting')}: {len(found)} with a result, {waiting} open."
    lost = f"{scrapped} {'was' if scrapped == 1 else 'were'} scrapped"
    return f"{told} {voids} had voids, {lost}." if found else told


def _day(load: Load) -> list[str]:
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


def _castings_table(load: Load) -> str:
    heading = ("mould", "gap mm", "open mm", "air asks mm", "result", "rework", "voids")
    rows = [heading, *(_casting_cells(casting) for casting in load.castings)]
    return table(rows, right=(0, 1, 2, 3, 5))


def _casting_cells(casting: Casting) -> tuple[str, ...]:
    found = casting.result
    air = f"{casting.air_mm:.2f}" if math.isfinite(casting.air_mm) else "had gelled"
    sizes = (str(casting.number), f"{casting.gap_mm:.2f}", f"{casting.open_mm:.2f}", air)
    if found is None:
        return (*sizes, "open", "", "")
    worst = "" if found.worst_mm is None else f"{round(found.worst_mm, 1):g} mm"
    told = ", ".join(filter(None, (worst, found.place))) or "yes"
    minutes = f"{found.rework_min:.0f} min" if found.rework_min else ""
    return (*sizes, found.outcome, minutes, printable(told) if found.voids else "none")
