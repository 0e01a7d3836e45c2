"""What the processes of the page do: tasks by name, and what they share.

A task takes the shop and plain values, and gives plain values one by one.  It is the only code
that a process runs, so nothing that a request brings can name anything else.
"""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.errors import InternalError, JobError, MouldgenError
from mouldgen.job.habit import habit_in
from mouldgen.job.load import unwritten_job, unwritten_layers
from mouldgen.job.toml import parse_toml
from mouldgen.job.words import is_name, one_line
from mouldgen.page.download_task import download
from mouldgen.page.early_task import change, early
from mouldgen.page.inside import KEPT, Bench, WatchedMemo
from mouldgen.page.log import log
from mouldgen.page.new_task import new
from mouldgen.page.rest_task import rest
from mouldgen.page.scan_task import scan
from mouldgen.page.taught import Lessons
from mouldgen.units.beside import in_both

if TYPE_CHECKING:
    from mouldgen.job.load import LoadedJob

Task = Callable[["Shop", Mapping[str, Any]], Iterator[Any]]


class Shop:
    """What a process keeps from task to task.

    bench : what it was given at its start.
    watch : called between two steps; raises where the task is to stop.
    """

    def __init__(self, bench: Bench, *, watch: Callable[[], None]) -> None:
        self.bench = bench
        self.watch = watch
        self.lessons = Lessons(bench.folder, castings=bench.castings, without=bench.no_castings)
        self.memo = WatchedMemo(KEPT, watch=self._look_up, counted=_solids())

    def _look_up(self) -> None:
        self.watch()  # of the task that is done now

    def loaded(self, text: str) -> LoadedJob:
        """The job that a text says, the shop file of the folder merged in; not taught.

        text : of a job file.

        Raises what `mouldgen.job.load.load_job` raises.
        """
        data, label = _read(text)
        self._require_inside(data, label)
        return unwritten_job(data, label=label, folder=self.bench.folder)

    def retold(self, problem: MouldgenError, text: str) -> MouldgenError:
        """A refusal in the units that the maker of a job writes, as on the terminal.

        problem : as it was raised.
        text : of the job file.
        """
        if isinstance(problem, InternalError):  # a bug is told as it is
            return problem
        try:
            data, label = _read(text)
            habit = habit_in(unwritten_layers(data, label=label, folder=self.bench.folder))
        except MouldgenError:
            return problem
        return problem.retold(
            lambda told: in_both(told, inches=habit.inches, written=habit.written)
        )

    def _require_inside(self, data: Mapping[str, Any], label: str) -> None:
        """Refuse a scan that lies outside the folder: a text must not read the whole disk."""
        insert = data.get("insert")
        file = insert.get("file") if isinstance(insert, dict) else None
        if not isinstance(file, str) or "\0" in file:
            return  # the job's own reader has a sentence for that
        folder = self.bench.folder.resolve()
        try:
            inside = (folder / Path(file).expanduser()).resolve().is_relative_to(folder)
        except (OSError, RuntimeError):  # too long, a ring of links, no such home
            inside = False
        if not inside:
            raise JobError(
                f"the scan {one_line(file)} does not lie in the folder of the page",
                where=f"{label} [insert] file",
                allowed="a file of that folder, or the name of a shipped scan",
                try_=f"Copy it to {folder}.",
            )

    def warm(self) -> None:
        """Load what the first edit will need, by building the shipped demo."""
        from mouldgen.build import build_moulds
        from mouldgen.job.load import load_job

        with contextlib.suppress(MouldgenError):  # a broken preset is told where a job needs it
            loaded = load_job("boathouse-pegs")
            build_moulds(loaded.job, memo=self.memo, given=loaded.given)


def _read(text: str) -> tuple[dict[str, Any], str]:
    """The tables of a text, and what messages call it: the file that its name stands for."""
    data = parse_toml(text.encode(), label="job.toml")
    name = data.get("name")
    return data, f"{name}.toml" if isinstance(name, str) and is_name(name) else "job.toml"


def _solids() -> frozenset[str]:
    """The steps that make solids, as a store names them."""
    from mouldgen.mould.families import NAMES, family_of

    made = (family_of(name).make for name in NAMES)
    return frozenset(f"{make.__module__}.{make.__qualname__}" for make in made)


TASKS: dict[str, Task] = {
    "change": change,
    "download": download,
    "early": early,
    "log": log,
    "new": new,
    "rest": rest,
    "scan": scan,
}
