"""Commands that write: what is there before them, and what an undisturbed run makes of it."""

from __future__ import annotations

import atexit
import functools
import hashlib
import os
import pickle
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter
from typing import Any

from trials.runs import Ran, must, run, things, workshop

_KEPT = "MOULDGEN_TRIALS_KNOWN"
JOB = "boathouse-pegs"
WHEN = ("--when", "2026-11-20 19:30")
ANSWERS = (
    "Coat pegs", "18", "2026-12-18", "flute", "cup", "white ash", "26 mm x 60 mm",
    "30 x 70 mm, 6 flutes", "29.8, 30.1, 30.0 mm", "casting-epoxy-slow", "smoke 70, amber 30",
)  # fmt: skip


@dataclass(frozen=True)
class Chore:
    """A command that writes.

    kind : for the count.
    words : of the command.
    before : commands that were run in the folder before.
    own : files of the maker's that lie there.
    typed : the lines that it reads.
    says : words that it says only once all is written; empty where it speaks before.
    code : that it ends with.
    again : the exit code of the same words once it has been done; None where they would do more.
    """

    kind: str
    words: tuple[str, ...]
    says: str
    before: tuple[tuple[str, ...], ...] = ()
    own: tuple[tuple[str, str], ...] = ()
    typed: tuple[str, ...] = ()
    code: int = 0
    again: int | None = 0


@dataclass(frozen=True, eq=False)
class Known:
    """What an undisturbed run makes.

    folder : as it is before.
    before, after : what lies there.
    seconds : that it takes.
    ran : what it said.
    """

    folder: Path
    before: dict[str, Any]
    after: dict[str, Any]
    seconds: float
    ran: Ran

    @contextmanager
    def again(self) -> Iterator[Path]:
        """A folder as it is before."""
        with workshop() as folder:
            shutil.copytree(self.folder, folder, dirs_exist_ok=True)
            yield folder


@functools.cache
def known(chore: Chore) -> Known:
    """What a chore makes; worked out once for all processes that this one starts."""
    place = _place() / hashlib.sha256(repr(chore).encode()).hexdigest()[:16]
    kept = place / "known"
    if not kept.exists():
        fresh = Path(tempfile.mkdtemp(dir=place.parent))
        found = _made(chore, place / "shop", fresh / "shop")
        (fresh / "known").write_bytes(pickle.dumps(found))
        with suppress(OSError):  # another process was quicker
            fresh.rename(place)
    found = pickle.loads(kept.read_bytes())
    if not isinstance(found, Known):
        raise TypeError
    return found


def _place() -> Path:
    """The folder that this process, or the one that started it, keeps what is known in."""
    if _KEPT not in os.environ:
        os.environ[_KEPT] = tempfile.mkdtemp(prefix="trial-known-")
        atexit.register(shutil.rmtree, os.environ[_KEPT], ignore_errors=True)
    return Path(os.environ[_KEPT])


def know_all() -> None:
    """Work out every chore, before any case's time is taken."""
    for chore in CHORES.values():
        known(chore)


def _made(chore: Chore, name: Path, folder: Path) -> Known:
    folder.mkdir()
    for words in chore.before:
        must(run(words, folder))
    for own, text in chore.own:
        path = folder / own
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    with workshop() as place:
        shutil.copytree(folder, place, dirs_exist_ok=True)
        began = perf_counter()
        ran = must(run(chore.words, place, typed=typed(chore)), chore.code)
        return Known(name, things(folder), things(place), perf_counter() - began, ran)


def typed(chore: Chore) -> str:
    """What is typed, line by line."""
    return "".join(f"{line}\n" for line in chore.typed)


BUILD = ("build", JOB, "--quiet")
POUR = ("log", "pour", f"{JOB}:1", "--when", "2026-11-20 18:30", "--quiet")
CATALOGUE = ("catalogue", JOB, "--grid", "order.pieces=1,2,3", "--sets", "--workers", "2")
OTHER = ("log", "pour", f"{JOB}:3", "--castings", "other.sqlite", "--when", "2026-11-21 08:00")
SAVED = ("log", "save", "other.csv", "--castings", "other.sqlite")
WEIGHED = "piece,when,weight\nA1,2026-11-01,420.0 g\nA1,2026-11-08,415.1 g\n"

CHORES: dict[str, Chore] = {
    "fresh": Chore("build", BUILD, "Files"),
    "over": Chore(
        "build",
        BUILD,
        "Files",
        before=(("build", JOB, "--set", "order.pieces=3", "--quiet"),),
        own=((f"out/{JOB}/notes.txt", "mine"), (f"out/{JOB}/parts/old/my.stl", "mine too")),
    ),
    "pictures": Chore("build", (*BUILD, "--pictures"), "Files", before=(BUILD,)),
    "cards": Chore(
        "cards", ("potcard", JOB, "--quiet", "--out", "out"), "Cards:", before=(BUILD,),
        own=((f"out/{JOB}/cards/load-9.txt", "of an earlier run"),),
    ),
    "first": Chore("log", POUR, "Load", again=2),
    "pour": Chore(
        "log", ("log", "pour", f"{JOB}:2", *WHEN, "--quiet"), "Load", before=(POUR,), again=2
    ),
    "result": Chore("log", ("log", "result", "1", "all good"), "Load", before=(POUR,)),
    "undo": Chore("log", ("log", "undo"), "Taken", before=(POUR,), again=None),
    "read": Chore("log", ("log", "read", "other.csv"), "Taken", before=(POUR, OTHER, SAVED)),
    "save": Chore("log", ("log", "save", "rows.csv"), "Written", before=(POUR,), again=2),
    "copy": Chore("log", ("log", "copy", "copy.sqlite"), "Copied", before=(POUR,), again=2),
    "weighing": Chore(
        "log", ("dry", "wood.csv", "--add", "A1 412.3 g", "--when", "2026-11-15"), "A1",
        own=(("wood.csv", WEIGHED),), code=1, again=None,
    ),
    "new": Chore("new", ("new", "--out", "pegs.toml"), "Written", typed=ANSWERS, again=2),
    "catalogue": Chore("catalogue", CATALOGUE, "catalogue.csv"),
    "more": Chore(
        "catalogue", (*CATALOGUE[:3], "order.pieces=1,2,3,4,5", *CATALOGUE[4:]),
        "catalogue.csv", before=(CATALOGUE,),
    ),
}  # fmt: skip
