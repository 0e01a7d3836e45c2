"""``mouldgen catalogue``: many variants of a job, on all cores or on a cluster."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING

from mouldgen.cli.asked import Asked
from mouldgen.cli.edge import INTERRUPTED
from mouldgen.cli.say import say, say_json, say_wrapped, tell
from mouldgen.cli.story import say_files
from mouldgen.cli.tables import table as table_of
from mouldgen.cli.words import count
from mouldgen.errors import UnitError, UsageError
from mouldgen.job.words import one_line, printable

if TYPE_CHECKING:
    from mouldgen.catalogue.base import Base
    from mouldgen.catalogue.crew import Done
    from mouldgen.catalogue.row import Row
    from mouldgen.catalogue.run import Hands, Progress
    from mouldgen.catalogue.variant import Variant
    from mouldgen.catalogue.work import Bench, Task

MOST_ROWS = 25  # on the terminal; the file has all
MOST_FAILED = 10
TOLD_EACH_S = 10.0


def show_catalogue(
    asked: Asked,
    *,
    table: Path | None,
    grid: Sequence[str],
    sets: bool,
    again: bool,
    workers: int | None,
    limit: str,
    scheduler: str | None,
) -> int:
    """Make the variants and their table; 1 where none of them is ready, 130 where interrupted.

    table : the file of variants, or None.
    grid : axes, or none.
    sets : write the moulds of each too.
    again : make all anew.
    workers : how many processes, or None for one a core.
    limit : after which a variant is given up, as it was typed.
    scheduler : address of a cluster's, or None for this machine.

    Raises UsageError for words that do not go together, and what reading job and variants raises.
    """
    from mouldgen.catalogue.base import base_of
    from mouldgen.catalogue.run import catalogue_folder, make_catalogue
    from mouldgen.catalogue.variant import named
    from mouldgen.cli.lessons import loads_for

    hands = _hands(workers, _seconds(limit), scheduler)
    variants = _variants(table, grid)
    loads, _ = loads_for(asked.job, castings=asked.castings, without=asked.no_castings)
    base = base_of(asked.job, sets=asked.sets, loads=loads or ())
    by_name = named(variants, job=base.name)
    watch = _Watch(quiet=asked.quiet)
    try:
        rows = make_catalogue(
            base, by_name, out=asked.out, hands=hands, sets=sets, anew=again, watch=watch
        )
    except KeyboardInterrupt:
        tell(
            f"Interrupted. {watch.done} of {len(by_name)} are done and kept:"
            f" the same words{' without --again' if again else ''} go on from there."
        )
        return INTERRUPTED
    _answer(asked, base, rows, folder=catalogue_folder(base, out=asked.out), watch=watch, sets=sets)
    return int(not any(row.ready for row in rows.values()))


def _variants(table: Path | None, grid: Sequence[str]) -> tuple[Variant, ...]:
    if (table is None) == (not grid):
        raise UsageError(
            "a catalogue needs its variants, once",
            allowed='a table, such as sizes.csv, or --grid insert.diameter="20,22,24 mm"',
        )
    if table is not None:
        from mouldgen.catalogue.table import read_table

        return read_table(table)
    from mouldgen.catalogue.grid import grid_of

    return grid_of(grid)


def _seconds(limit: str) -> float:
    from mouldgen.units import time

    try:
        seconds = time(limit)
    except UnitError as problem:
        raise problem.at("--limit") from None
    if not 0.0 < seconds <= 1e6:
        raise UsageError(
            "this is no time to wait",
            where="--limit",
            allowed="more than 0 s, such as 60 s or 5 min",
        )
    return seconds


def _hands(workers: int | None, limit_s: float, scheduler: str | None) -> Hands:
    if scheduler is not None:
        if workers is not None:
            raise UsageError("--workers and --scheduler do not go together")
        return lambda tasks, bench: _with_cluster(tasks, bench, scheduler, limit_s)
    return lambda tasks, bench: _with_cores(tasks, bench, workers, limit_s)


def _with_cluster(
    tasks: Iterable[Task], bench: Bench, scheduler: str, limit_s: float
) -> Iterator[Done]:
    from mouldgen.catalogue.cluster import on_cluster

    return on_cluster(tasks, bench=bench, scheduler=scheduler, limit_s=limit_s)


def _with_cores(
    tasks: Iterable[Task], bench: Bench, workers: int | None, limit_s: float
) -> Iterator[Done]:
    from mouldgen.catalogue.crew import cores, with_crew

    return with_crew(tasks, bench=bench, workers=workers or cores(), limit_s=limit_s)


class _Watch:
    """Says now and then how far it is, to a person who is watching."""

    def __init__(self, *, quiet: bool) -> None:
        self.done = self.kept = 0
        self._silent = quiet or not sys.stderr.isatty()
        self._began = self._told = monotonic()

    def __call__(self, progress: Progress) -> None:
        self.done, self.kept = len(progress.rows), progress.kept
        now = monotonic()
        made = self.done - self.kept
        if self._silent or now - self._told < TOLD_EACH_S or not made:
            return
        self._told = now
        left_s = (now - self._began) / made * (progress.variants - self.done)
        failed = sum(bool(row.error) for row in progress.rows.values())
        wrong = f", {failed} not made" if failed else ""
        tell(f"{self.done} of {progress.variants}{wrong}, about {_while(left_s)} left …")


def _while(seconds: float) -> str:
    if seconds < 90.0:
        return f"{seconds:.0f} s"
    return f"{seconds / 60.0:.0f} min" if seconds < 5400.0 else f"{seconds / 3600.0:.1f} h"


# ------------------------------------------------------------------------------------ words


def _answer(
    asked: Asked, base: Base, rows: dict[str, Row], *, folder: Path, watch: _Watch, sets: bool
) -> None:
    from mouldgen.catalogue.journal import FILE
    from mouldgen.catalogue.run import SETS
    from mouldgen.catalogue.written import REPORT, TABLE, report_data

    if asked.json:
        data = report_data(rows, job=base.name, variants=len(rows))
        say_json({**data, "kept": watch.kept, "files": [TABLE, REPORT, FILE]})
        return
    told = list(rows.values())
    say_wrapped(_first_sentence(base.name, told, kept=watch.kept))
    _say_failed(told)
    if not asked.quiet:
        say()
        _say_rows(told)
        say()
        say_files(folder, [folder / name for name in (TABLE, REPORT, FILE)])
        if sets and any(row.ready for row in told):
            say_wrapped(f"The moulds of each are in {(folder / SETS).as_posix()}/.")


def _first_sentence(job: str, rows: Sequence[Row], *, kept: int) -> str:
    ready = sum(row.ready for row in rows)
    failed = sum(bool(row.error) for row in rows)
    told = [f"{job}: {count(len(rows), 'variant')}, {ready} ready"]
    if len(rows) - ready - failed:
        told.append(f"{len(rows) - ready - failed} to be fixed first or without a gap")
    if failed:
        told.append(f"{failed} not made")
    before = f" {kept} of them an earlier run had made." if kept else ""
    return f"{', '.join(told)}.{before}"


def _say_failed(rows: Sequence[Row]) -> None:
    """What could not be made, and why."""
    failed = [row for row in rows if row.error]
    for row in failed[:MOST_FAILED]:
        say_wrapped(f"{row.name}: {printable(row.error)}", first="  not made  ")
    if len(failed) > MOST_FAILED:
        say_wrapped(f"{len(failed) - MOST_FAILED} more are in the table.", first="  not made  ")


def _say_rows(rows: Sequence[Row]) -> None:
    from mouldgen.catalogue.row import cell
    from mouldgen.catalogue.written import columns_of

    shown = rows[:MOST_ROWS]
    keys = columns_of(shown)
    heading = ("variant", *keys, "gap mm", "set by", "net ml", "resin g", "beds", "must fix")
    lines: list[Sequence[str]] = [heading]
    for row in shown:
        said = dict(row.settings)
        figures = (row.gap_mm, row.set_by, row.net_ml, row.total_g, row.beds)
        wrong = "not made" if row.error else one_line(row.must_fix)  # the file has all of it
        lines.append(
            [row.name, *(printable(said.get(key, "")) for key in keys), *map(cell, figures), wrong]
        )
    numbers = tuple(len(keys) + at for at in (1, 3, 4, 5))
    say(table_of(lines, right=numbers))
    if len(rows) > MOST_ROWS:
        say_wrapped(f"{len(rows) - MOST_ROWS} more rows are in the table.")
