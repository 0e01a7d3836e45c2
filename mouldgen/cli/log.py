"""``mouldgen log``, its list and its page of one load: what stands in the castings file."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

from mouldgen.castings.load_words import found_words, load_words, size_words
from mouldgen.castings.place import castings_place
from mouldgen.castings.store import castings_file
from mouldgen.cli.lessons import no_such_file
from mouldgen.cli.say import say, say_json, say_wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count
from mouldgen.desk.log_loads import BEGIN, day_words, find_load, in_inches, total_words
from mouldgen.job.words import printable
from mouldgen.sheet.number_words import runs

if TYPE_CHECKING:
    from mouldgen.castings.records import Casting, Load


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
            say_wrapped(total_words(loads))
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
        for line in day_words(load):
            say_wrapped(line)
    say()
    say(_castings_table(load, inches=in_inches(load, job_file_of(load, which))))
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
    return castings_place(_job_file(which))


def _job_file(which: str) -> str | None:
    job = re.sub(r":\d{1,9}$", "", which.strip())
    return job if job.endswith(".toml") and Path(job).is_file() else None


def job_file_of(load: Load, which: str) -> str:
    """Where the job file of a load would be.

    which : as `find_load` takes it.
    """
    return _job_file(which) or f"{load.job}.toml"


def _data(path: Path, loads: Sequence[Load]) -> dict[str, Any]:
    from mouldgen.castings.transfer import load_data

    return {"file": str(path), "loads": [load_data(load) for load in loads]}


def _loads_table(loads: Sequence[Load]) -> str:
    rows = [("load", "job", "moulds", "poured", "found")]
    with_sizes = {
        load.job: load
        for load in loads
        if any(c.result is not None and c.result.worst_mm is not None for c in load.castings)
    }
    inches = {job for job, load in with_sizes.items() if in_inches(load, job_file_of(load, job))}
    rows += [
        (
            str(load.id),
            printable(f"{load.job}:{load.number}"),
            runs([casting.number for casting in load.castings]),
            load.poured_at[:16].replace("T", " "),
            printable(found_words(load, inches=load.job in inches)),
        )
        for load in loads
    ]
    return table(rows, right=(0,))


def _castings_table(load: Load, *, inches: bool) -> str:
    units = ("", "in") if inches else ("",)
    sizes = [unit or size for size in ("gap mm", "open mm", "air asks mm") for unit in units]
    heading = ("mould", *sizes, "result", "rework", "voids")
    rows = [heading, *(_casting_cells(casting, inches=inches) for casting in load.castings)]
    return table(rows, right=(*range(len(sizes) + 1), len(sizes) + 2))


def _casting_cells(casting: Casting, *, inches: bool) -> tuple[str, ...]:
    found = casting.result
    sizes = [str(casting.number)]
    for mm in (casting.gap_mm, casting.open_mm, casting.air_mm):
        there = math.isfinite(mm)
        sizes.append(f"{mm:.2f}" if there else "had gelled")
        if inches:
            sizes.append(f"{mm / 25.4:.3f}" if there else "")
    if found is None:
        return (*sizes, "open", "", "")
    worst = "" if found.worst_mm is None else size_words(found.worst_mm, inches=inches)
    told = ", ".join(filter(None, (worst, found.place))) or "yes"
    minutes = f"{found.rework_min:.0f} min" if found.rework_min else ""
    return (*sizes, found.outcome, minutes, printable(told) if found.voids else "none")
