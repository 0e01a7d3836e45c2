"""What the page serves: a folder, the job it opens with, and the processes that work."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from mouldgen.page.folder import Folder, Opened
from mouldgen.page.inside import Bench
from mouldgen.page.worker import Worker


@dataclass(frozen=True, eq=False)
class Served:
    """What is served.

    folder : with the maker's job files.
    first : the job that the page opens with.
    today : the day, asked each time.
    quick : does what is waited for at each edit.
    slow : does what takes longer.
    """

    folder: Folder
    first: Opened
    today: Callable[[], dt.date]
    quick: Worker
    slow: Worker


def serving(
    folder: Path, *, first: Opened, today: Callable[[], dt.date], bench: Bench | None = None
) -> Served:
    """What is served of a folder; its processes are started with the application.

    folder : with the maker's job files.
    first : the job that the page opens with.
    today : the day, asked each time.
    bench : what the processes are given; one for the folder where None.
    """
    bench = bench or Bench(folder)
    # What is waited for at each edit goes before what is worked out behind it.
    quick, slow = Worker("quick", bench), Worker("slow", replace(bench, gives_way=True))
    return Served(Folder(folder), first, today, quick=quick, slow=slow)
