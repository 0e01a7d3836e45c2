"""A catalogue from its variants to its files: what is known is left, what is missing is made."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable, Generator, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

import mouldgen
from mouldgen.catalogue.base import Base
from mouldgen.catalogue.crew import Done
from mouldgen.catalogue.journal import FILE, Journal
from mouldgen.catalogue.row import Row
from mouldgen.catalogue.variant import Variant
from mouldgen.catalogue.work import Bench, Task
from mouldgen.catalogue.written import write_files
from mouldgen.errors import MouldgenError
from mouldgen.files.folder import locked, told_of

SETS = "sets"

# Hands that make rows: the cores of this machine, a cluster.
Hands = Callable[[Iterable[Task], Bench], Iterator[Done]]


@dataclass(eq=False)
class Progress:
    """How far a catalogue is; it grows while it is made.

    folder : that its files go to.
    variants : how many there are to be.
    rows : what is done, by the names of the variants, in the order of getting done.
    kept : how many of those an earlier run had made.
    """

    folder: Path
    variants: int
    rows: dict[str, Row] = field(default_factory=dict)
    kept: int = 0


def catalogue_folder(base: Base, *, out: Path) -> Path:
    """Where the files of a catalogue go.

    base : its job.
    out : the folder that holds a folder a job.
    """
    return out / f"{base.name}-catalogue"


def make_catalogue(
    base: Base,
    variants: Mapping[str, Variant],
    *,
    out: Path,
    hands: Hands,
    sets: bool = False,
    anew: bool = False,
    watch: Callable[[Progress], None] = lambda _: None,
) -> dict[str, Row]:
    """Make all variants and write their table; the rows by their names, in their order.

    base : the job.
    variants : by the names of their jobs.
    out : the folder that holds a folder a job.
    hands : that make the rows.
    sets : write every set that needs no fixing too, into a folder each.
    anew : make everything, whatever an earlier run has kept.
    watch : told of every row.

    What is done is kept at once, so a run that is stopped, however that happens, loses only what
    was being worked on; one that is interrupted writes the table of what is done.

    Raises SurroundingsError where the folder cannot be written or another run holds its lock, and
    what the hands raise.
    """
    folder = catalogue_folder(base, out=out)
    progress = Progress(folder, len(variants))
    with contextlib.ExitStack() as stack:
        with told_of(folder):
            folder.mkdir(parents=True, exist_ok=True)
            stack.enter_context(locked(folder))
            journal = stack.enter_context(Journal(folder / FILE, anew=anew))
        run = _Run(base, variants, journal, progress, sets=sets, watch=watch)
        try:
            run.make(hands)
        except BaseException:
            with contextlib.suppress(MouldgenError):  # the first problem is the one to tell
                run.write()
            raise
        run.write()
        return run.in_order()


class _Run:
    def __init__(
        self,
        base: Base,
        variants: Mapping[str, Variant],
        journal: Journal,
        progress: Progress,
        *,
        sets: bool,
        watch: Callable[[Progress], None],
    ) -> None:
        self._base, self._variants, self._journal = base, variants, journal
        self._progress, self._watch = progress, watch
        self._sets = (progress.folder / SETS).absolute() if sets else None

    def make(self, hands: Hands) -> None:
        bench = Bench(
            version=mouldgen.__version__,
            folder=self._base.folder.absolute(),
            loads=self._base.loads,
            sets=self._sets,
        )
        done = hands(self._tasks(), bench)
        try:
            for task, row in done:
                with told_of(self._progress.folder / FILE):
                    self._journal.keep(task.key, row, sets=self._sets is not None)
                self._done(row)
        finally:
            if isinstance(done, Generator):
                done.close()  # whoever works is sent home

    def _tasks(self) -> Iterator[Task]:
        """What is missing; what is known or refused beforehand is done."""
        for name, variant in self._variants.items():
            try:
                merged = self._base.merged(variant, name=name)
                key = self._base.key(merged)
            except MouldgenError as problem:
                self._refuse(name, variant, str(problem))
                continue
            except OSError as problem:
                why = f"its scan cannot be read ({problem.strerror or problem})."
                self._refuse(name, variant, why)
                continue
            known = self._known(key)
            if known is None:
                yield Task(name, variant.settings, merged, key)
            else:
                self._progress.kept += 1
                self._done(replace(known, settings=variant.settings))

    def _refuse(self, name: str, variant: Variant, why: str) -> None:
        """Nothing was tried, so nothing is kept: it is told again by the next run."""
        self._done(Row(name=name, settings=variant.settings, error=why, trouble="refused"))

    def _known(self, key: str) -> Row | None:
        """The row that an earlier run has kept, with its set where one is asked for."""
        row = self._journal.known.get(key)
        if row is None or row.error:  # what went wrong may go well, and a line may have moved
            return None
        if self._sets is None or (key in self._journal.with_sets and not row.ready):
            return row
        return row if _has_set(self._sets / row.name, row) else None

    def _done(self, row: Row) -> None:
        where = self._variants[row.name].where
        if row.error and where not in row.error:
            row = replace(row, error=f"{where}: {row.error}")
        self._progress.rows[row.name] = row
        self._watch(self._progress)

    def in_order(self) -> dict[str, Row]:
        rows = self._progress.rows
        return {name: rows[name] for name in self._variants if name in rows}

    def write(self) -> None:
        write_files(
            self._progress.folder,
            self.in_order(),
            job=self._base.name,
            variants=len(self._variants),
        )


def _has_set(folder: Path, row: Row) -> bool:
    """Whether the set of a row lies there."""
    try:
        report = json.loads((folder / "report.json").read_bytes())
        return bool(report["fingerprint"] == row.fingerprint)
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return False
