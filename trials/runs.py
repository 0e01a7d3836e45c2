"""Commands in processes of their own, and what lies in a folder afterwards."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
PATIENCE_S = 25.0
_LEFTOVERS = (".new", ".old", ".part")  # of a run that was stopped; the next one clears them
_TABLES = ("-catalogue/catalogue.csv", "-catalogue/report.json")
_OF_THE_DATABASE = ("-wal", "-shm", "-journal")

# Stops its own process with a signal before the n-th thing that it does to a file.
_AT_A_FILE = """
import os, signal, sys
left = int(os.environ.pop("STOP_AT_FILE", "0"))  # not those that it starts
def heard(event, args):
    global left
    if event == "open":
        mode, flags = args[1:]
        if not (flags & (os.O_WRONLY | os.O_RDWR)) or str(args[0]).endswith(".pyc"):
            return
    elif event not in {"os.rename", "os.link", "os.mkdir", "os.remove", "os.rmdir",
                       "os.truncate", "sqlite3.connect"}:
        return
    name = str(args[0])
    if name.startswith("/") and os.environ["STOP_IN"] not in name:
        return
    left -= 1
    if left == 0:
        os.kill(os.getpid(), int(os.environ["STOP_WITH"]))
if left:
    sys.addaudithook(heard)
"""

# What is started in the background may be told not to hear Ctrl-C, and so would all that it starts.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, signal.default_int_handler)


@dataclass(frozen=True)
class Ran:
    """What came of a command: its exit code, below 0 for a signal, and what it said."""

    code: int
    out: str
    err: str

    def told(self) -> str:
        """For a message."""
        return f"exit {self.code}\n{self.out}\n{self.err}"


@dataclass(frozen=True)
class Stop:
    """When a command is stopped, and with what.

    after_s : this long after its start; None where a file tells.
    at_file : before the so many-th thing that it does to a file; 0 where the time tells.
    sent : signals, one after the other.
    """

    after_s: float | None = None
    at_file: int = 0
    sent: tuple[signal.Signals, ...] = (signal.Signals(9),)


def start(
    words: Sequence[str],
    folder: Path,
    stop: Stop | None = None,
    *,
    through: Sequence[str] = (),
    program: Sequence[str] = (),
    **given: str,
) -> subprocess.Popen[str]:
    """``mouldgen`` with these words, in a group of processes of its own as in a terminal.

    stop : before a thing that it does to a file, where it says one.
    through : another program with its words, which starts it.
    program : in Python, with its words, that runs the command; its own where there is none.
    given : variables of the process.
    """
    settings = surroundings(folder) | given
    if stop is not None and stop.at_file:
        hook = folder.with_name(f"{folder.name}-hook")
        hook.mkdir(exist_ok=True)
        (hook / "sitecustomize.py").write_text(_AT_A_FILE)
        settings |= {
            "PYTHONPATH": os.pathsep.join(filter(None, (str(hook), os.environ.get("PYTHONPATH")))),
            "STOP_AT_FILE": str(stop.at_file), "STOP_IN": folder.name,
            "STOP_WITH": str(int(stop.sent[0])),
        }  # fmt: skip
    return subprocess.Popen(
        [*through, sys.executable, *(("-c", *program) if program else ("-m", "mouldgen")), *words],
        cwd=folder,
        env=settings,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def surroundings(folder: Path) -> dict[str, str]:
    """The variables of a process: ours, without a person's own presets."""
    return {**os.environ, "MOULDGEN_PRESETS": str(folder / "none"), "PYTHONUNBUFFERED": "1"}


def run(
    words: Sequence[str],
    folder: Path,
    *,
    typed: str = "",
    through: Sequence[str] = (),
    program: Sequence[str] = (),
    **given: str,
) -> Ran:
    """The same, to its end."""
    return _ended(start(words, folder, None, through=through, program=program, **given), typed)


def run_stopped(words: Sequence[str], folder: Path, *, stop: Stop, typed: str = "") -> Ran:
    """The same, stopped some time; it may have ended before."""
    process = start(words, folder, stop=stop)
    if process.stdin is not None:
        with suppress(OSError):
            process.stdin.write(typed)
            process.stdin.close()
        process.stdin = None
    if stop.after_s is not None:
        with suppress(subprocess.TimeoutExpired):
            process.wait(stop.after_s)
        for sent in stop.sent:
            with suppress(ProcessLookupError):  # Ctrl-C reaches all in a terminal, a kill one
                (os.kill if sent == signal.SIGKILL else os.killpg)(process.pid, sent)
            time.sleep(0.0005)
    return _ended(process, "")


def _ended(process: subprocess.Popen[str], typed: str) -> Ran:
    try:
        out, err = process.communicate(typed or None, timeout=PATIENCE_S)
    except subprocess.TimeoutExpired:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        raise AssertionError(f"did not end: {process.args!r}") from None
    return Ran(process.returncode, out, err)


def must(ran: Ran, code: int = 0) -> Ran:
    """What ran, which ended as it should."""
    if ran.code != code or "Traceback" in ran.err:
        raise AssertionError(f"should have ended with {code}: {ran.told()}")
    return ran


@contextmanager
def workshop() -> Iterator[Path]:
    """An empty folder, in memory where the system has that."""
    memory = Path("/dev/shm")
    top = tempfile.mkdtemp(prefix="trial-", dir=memory if memory.is_dir() else None)
    try:
        (folder := Path(top, "shop-of-this-trial")).mkdir()
        yield folder
    finally:
        shutil.rmtree(top, ignore_errors=True)


# ------------------------------------------------------------------ what lies in a folder


def things(folder: Path) -> dict[str, Any]:
    """What lies there, thing by thing: each of them is there as it was or as it will be.

    A set is one thing, the castings file is its rows, and a file of rows is the rows that it has;
    what a stopped run has left is none, and a set that it has put aside is where it belongs.
    """
    found: dict[str, Any] = {}
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder)
        aside = [part for part in name.parts if part.startswith(".") and part.endswith(".old")]
        if path.is_dir() or (is_leftover(name) and not aside):
            continue
        if aside:
            place = Path(*(p[1:-4] if p in aside else p for p in name.parts))
            if (folder / _thing(place)).exists():
                continue
            name = place
        if name.suffix == ".sqlite":
            found[name.as_posix()] = rows(path)
        elif name.name == "loads.json":
            found[name.as_posix()] = _cards(path)
        elif name.name == "rows.jsonl":
            found[name.as_posix()] = kept_rows(path)
        elif not name.name.endswith(".lock"):
            found.setdefault(_thing(name), {})[name.as_posix()] = path.read_bytes()
    return found


def is_leftover(name: Path) -> bool:
    """Whether a file is, or lies in, what a run has put there for itself only."""
    return name.name.endswith(_OF_THE_DATABASE) or any(
        part.startswith(".") and part.endswith(_LEFTOVERS) for part in name.parts
    )


def leftovers(folder: Path) -> list[str]:
    """What a stopped run has left there; a lock is none, for it stays and binds nobody."""
    found = (path.relative_to(folder) for path in sorted(folder.rglob("*")))
    return [name.as_posix() for name in found if is_leftover(name)]


def _thing(name: Path) -> str:
    """The folder of a set, or the file."""
    parts = name.parts
    if "sets" in parts:
        return Path(*parts[: parts.index("sets") + 2]).as_posix()
    if parts[0] == "out" and name.name != "loads.json" and not parts[1].endswith("-catalogue"):
        return Path(*parts[: 3 if "cards" in parts else 2]).as_posix()
    return name.as_posix()


def rows(path: Path) -> tuple[Any, ...]:
    """The loads of a castings file as data, without the moments at which they were noted.

    A copy is read, so that what lies there stays as it was left.
    """
    import sqlite3

    from mouldgen.castings.store import castings_file
    from mouldgen.castings.transfer import load_data

    with tempfile.TemporaryDirectory() as place:
        copy = Path(place, path.name)
        for beside in (path, *(path.with_name(path.name + end) for end in _OF_THE_DATABASE)):
            if beside.exists() and not beside.name.endswith("-shm"):
                shutil.copy(beside, copy.with_name(beside.name))
        with castings_file(copy) as file:
            loads = file.loads()
        db = sqlite3.connect(copy)
        sound = db.execute("PRAGMA integrity_check").fetchone()[0]
        db.close()
    if sound != "ok":
        raise AssertionError(f"{path.name}: {sound}")
    return tuple(_timeless(load_data(load)) for load in loads)


def _cards(path: Path) -> dict[str, Any]:
    """The cards that are kept for the next time, without the age of the program's own files."""
    kept: dict[str, Any] = json.loads(path.read_bytes())
    return {name: value for name, value in kept.items() if name != "key"}


def _timeless(said: Any) -> Any:
    if isinstance(said, dict):
        return {key: _timeless(value) for key, value in said.items() if key != "noted_at"}
    return [_timeless(each) for each in said] if isinstance(said, list) else said


def kept_rows(path: Path) -> dict[str, Any]:
    """The rows of a catalogue that can be read, by their names, without how long they took."""
    from mouldgen.catalogue.row import row_data, row_from

    found: dict[str, Any] = {}
    for line in path.read_bytes().split(b"\n")[:-1]:
        row = row_from(json.loads(line)["row"])
        found[row.name] = row_data(replace(row, seconds=0.0, attempts=1))
    return found


def half(now: Mapping[str, Any], before: Mapping[str, Any], after: Mapping[str, Any]) -> list[str]:
    """Things that are neither as they were nor as they should be.

    The rows of a catalogue may be some of those that there should be.
    """
    wrong = []
    for name in sorted({*now, *before, *after}):
        here = now.get(name)
        if name.endswith("rows.jsonl"):
            if not _some(here or {}, after.get(name, {})):
                wrong.append(name)
        elif name.endswith(_TABLES) and here:
            if not _some_of_table(here, after[name]):
                wrong.append(name)
        elif not _same(here, before.get(name)) and not _same(here, after.get(name)):
            wrong.append(name)
    return wrong


def _some(here: Mapping[str, Any], will: Mapping[str, Any]) -> bool:
    return all(will.get(row) == said for row, said in here.items())


def _some_of_table(here: Mapping[str, bytes], will: Mapping[str, bytes]) -> bool:
    """Whether a table of a catalogue is whole and has no row that it should not have."""
    ((name, data),) = here.items()
    if name.endswith(".csv"):
        there = set(data.splitlines()[1:])  # without rows the heading has no settings
        return data.endswith(b"\n") and there <= set(will[name].splitlines())
    rows = json.loads(will[name])["rows"]
    return all(row in rows for row in json.loads(data)["rows"])


def _same(one: Any, other: Any) -> bool:
    """A castings file without rows is as good as none."""
    return one == other or (one in (None, ()) and other in (None, ()))


def until_ended(process: subprocess.Popen[str], seconds: float) -> None:
    """Wait for its end.  Raises TimeoutError where it has not ended by then."""
    try:
        process.wait(seconds)
    except subprocess.TimeoutExpired:
        raise TimeoutError from None
