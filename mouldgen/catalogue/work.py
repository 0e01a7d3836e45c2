"""What a worker does: one variant, from its tables to its row, whatever happens on the way."""

from __future__ import annotations

import time
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from mouldgen.catalogue.row import Row, Trouble, row_of
from mouldgen.errors import InternalError, MouldgenError, SurroundingsError
from mouldgen.job.merge import Merged

if TYPE_CHECKING:
    from mouldgen.castings.records import Load
    from mouldgen.mould_set import MouldSet


@dataclass(frozen=True, eq=False)
class Bench:
    """What every worker is given.

    version : of the program that hands out the work.
    folder : of the job file, in which a scan is looked for.
    loads : of the castings file.
    sets : folder that gets a folder for each set; None for rows only.
    """

    version: str
    folder: Path
    loads: tuple[Load, ...] = ()
    sets: Path | None = None


@dataclass(frozen=True, eq=False)
class Task:
    """One variant to be made.

    name : of its job.
    settings : what it sets, as it was typed.
    merged : the tables of its job.
    key : what its row is known by.
    """

    name: str
    settings: tuple[tuple[str, str], ...]
    merged: Merged
    key: str


def make_row(bench: Bench, task: Task) -> Row:
    """The row of a variant; what goes wrong with it alone stands in the row.

    bench, task : what there is to do.

    Raises SurroundingsError where the set cannot be written, which no other variant could be
    either, and where this is another version of the program than asked.
    """
    _check_version(bench)
    began = time.perf_counter()
    try:
        row = _made(bench, task)
    except MemoryError:
        row = _failed(task, "it needs more memory than a worker may take", "memory")
    except _WriteError as problem:
        raise problem.why from problem
    except SurroundingsError as problem:
        row = _failed(task, str(problem), "surroundings")
    except InternalError as problem:
        row = _failed(task, f"mouldgen hit a bug, and it is not your doing ({problem})", "bug")
    except MouldgenError as problem:
        row = _failed(task, str(problem), "refused")
    except Exception as problem:  # noqa: BLE001 - one variant's bug must not cost the others
        told = f"{type(problem).__name__}: {problem}".rstrip(": ")
        row = _failed(task, f"mouldgen hit a bug, and it is not your doing ({told})", "bug")
    return replace(row, seconds=round(time.perf_counter() - began, 3))


class _WriteError(Exception):
    """A set that could not be written: told apart from a scan that cannot be read."""

    def __init__(self, why: SurroundingsError) -> None:
        super().__init__(why)
        self.why = why


def _made(bench: Bench, task: Task) -> Row:
    from mouldgen.build import build_moulds
    from mouldgen.job.load import merged_job
    from mouldgen.learn import learn

    loaded = merged_job(task.merged, folder=bench.folder)
    if bench.loads:
        loaded = learn(loaded, bench.loads)
    found = build_moulds(loaded.job, learned=loaded.learned, given=loaded.given)
    if bench.sets is not None and found.parts is not None and not found.stopped:
        _write(found, bench.sets)
    return row_of(found, name=task.name, settings=task.settings)


def _write(found: MouldSet, out: Path) -> None:
    from mouldgen.files.write import write_set
    from mouldgen.sheet.bed_picture import bed_svg

    job = found.answer.job
    pictures = [
        bed_svg(bed, job.printer, title=f"{job.name}, bed {bed.number}") for bed in found.beds
    ]
    try:
        write_set(found, out=out, bed_pictures=pictures)
    except SurroundingsError as problem:
        raise _WriteError(problem) from problem


def failed_row(task: Task, error: str, trouble: Trouble, *, attempts: int = 1) -> Row:
    """The row of a variant that was not made.

    task : the variant.
    error : why, a sentence.
    trouble : the kind of that.
    attempts : how often it was begun.
    """
    return replace(_failed(task, error, trouble), attempts=attempts)


def too_long(task: Task, limit_s: float, *, attempts: int = 1) -> Row:
    """The row of a variant that was given up.

    task : the variant.
    limit_s : that it was given [s].
    attempts : how often it was begun.
    """
    told = f"it took longer than {limit_s:g} s and was stopped; --limit gives it more"
    return failed_row(task, told, "too-long", attempts=attempts)


def _failed(task: Task, error: str, trouble: Trouble) -> Row:
    return Row(name=task.name, settings=task.settings, error=error, trouble=trouble)


def _check_version(bench: Bench) -> None:
    import mouldgen

    if mouldgen.__version__ != bench.version:
        raise SurroundingsError(
            f"a worker runs mouldgen {mouldgen.__version__}, and {bench.version} was asked",
            try_="Install the same version everywhere.",
        )


def warm() -> None:
    """Load what variants need, before the first one's clock runs."""
    import mouldgen.build
    import mouldgen.files.report
    import mouldgen.job.load
    import mouldgen.learn  # noqa: F401
