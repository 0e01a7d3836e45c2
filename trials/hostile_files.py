"""Files made to do harm, each through the real command in a process of its own.

Bombs, counts of billions, a million triangles in every bad state, links and pipes in the place of
files, names that no file should have.  Measured from outside: at most 30 s of computing, 2 GB, and
the answer is plain words or the work done.
"""

from __future__ import annotations

import argparse
import os
import re
import resource
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from trials import tally

MOST_S = 30.0  # of computing; on a machine with nothing else to do that is the time it takes
PATIENCE_S = 240.0  # on a machine that has much else to do; what waits for ever is found by it
MOST_BYTES = 2 * 2**30
SECRET = "not for anybody to read"


@dataclass(frozen=True, eq=False)
class Hostile:
    """A trap, and what is the right answer to it.

    name : of the trap.
    set_up : lays it in a folder, and gives the words of the command.
    codes : exit codes that are right.
    says : what it must say, on either stream.
    large : it takes seconds to set up and to answer.
    """

    name: str
    set_up: Callable[[Path], list[str]]
    codes: tuple[int, ...] = (2,)
    says: str = ""
    large: bool = False


@dataclass(frozen=True, eq=False)
class Answer:
    """What came of a command.

    code : its exit code, negative for the signal that ended it.
    out, err : what it said.
    cpu_s, wall_s : how long it computed and took [s].
    most_bytes : the most memory that it held.
    """

    code: int
    out: str
    err: str
    cpu_s: float
    wall_s: float
    most_bytes: int


def answered(words: list[str], folder: Path) -> Answer:
    """Run the command in a process of its own, within its limits.

    words : after ``mouldgen``.
    folder : where it runs.
    """
    with (folder / ".out").open("w+b") as out, (folder / ".err").open("w+b") as err:
        began = time.monotonic()
        child = subprocess.Popen(
            [sys.executable, "-m", "mouldgen", *words], cwd=folder, stdout=out, stderr=err,
            stdin=subprocess.DEVNULL, env=_surroundings(folder),
            preexec_fn=_limits,  # noqa: PLW1509  there is one thread here
        )  # fmt: skip
        signal.signal(signal.SIGALRM, lambda *_: child.kill())
        signal.alarm(int(PATIENCE_S))
        try:
            _, status, used = os.wait4(child.pid, 0)
        finally:
            signal.alarm(0)
        child.returncode = os.waitstatus_to_exitcode(status)
        out.seek(0)
        err.seek(0)
        return Answer(
            child.returncode, out.read().decode(), err.read().decode(),
            used.ru_utime + used.ru_stime, time.monotonic() - began,
            used.ru_maxrss * (1 if sys.platform == "darwin" else 1024),
        )  # fmt: skip


def _surroundings(folder: Path) -> dict[str, str]:
    home = folder / ".home"
    home.mkdir(exist_ok=True)
    return {**os.environ, "HOME": str(home), "MOULDGEN_PRESETS": str(folder / "none"),
            "PYTHONPATH": str(Path(__file__).parents[1])}  # fmt: skip


def _limits() -> None:
    resource.setrlimit(resource.RLIMIT_DATA, (MOST_BYTES, MOST_BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (int(MOST_S) + 5, int(MOST_S) + 5))


def tried(trap: Hostile, folder: Path) -> Answer:
    """Walk into a trap; AssertionError where the answer is not right.

    trap : which.
    folder : an empty one.
    """
    words = trap.set_up(folder)
    before = _precious(folder)
    got = answered(words, folder)
    said = got.out + got.err
    wrong = []
    if got.code not in trap.codes:
        wrong.append(f"exit {got.code}")
    if "Traceback" in said or "hit a bug" in said:
        wrong.append("no plain words")
    if SECRET in said:
        wrong.append("it told what is in another file")
    if got.code >= 2 and (got.err.count("\n") != 1 or not got.err.strip().isprintable()):
        wrong.append("not one plain paragraph")
    if trap.says and not re.search(trap.says, " ".join(said.split())):
        wrong.append(f"does not say {trap.says!r}")
    if got.cpu_s > MOST_S or got.wall_s >= PATIENCE_S:
        wrong.append(f"took {got.cpu_s:.1f} s of computing, {got.wall_s:.1f} s in all")
    if got.most_bytes > MOST_BYTES:
        wrong.append(f"held {got.most_bytes / 2**20:.0f} MB")
    now = _precious(folder)
    if any(now.get(name) != content for name, content in before.items()):
        wrong.append("what lay beside it is no longer what it was")
    if wrong:
        raise AssertionError(f"{trap.name}: {'; '.join(wrong)}\n{said[-1500:]}")
    return got


def _precious(folder: Path) -> dict[str, bytes]:
    """What lies in folders that nobody asked to be written to."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.glob("elsewhere*/**/*"))
        if path.is_file()
    }


def main() -> int:
    """Walk into all of them, or into those whose name holds a word."""
    from trials.hostile_traps import TRAPS

    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("word", nargs="?", default="")
    parser.add_argument("--small", action="store_true", help="those that take no seconds")
    parser.add_argument("--all", action="store_true", help="tell what each took")
    asked = parser.parse_args()
    found, began = tally.Tally(), time.perf_counter()
    for number, trap in enumerate(TRAPS):
        if asked.word not in trap.name or (asked.small and trap.large):
            continue
        with tempfile.TemporaryDirectory() as folder:
            try:
                got = tried(trap, Path(folder))
            except AssertionError as wrong:
                found.troubles.append((number, str(wrong)))
                continue
        found.outcomes["worked" if got.code < 2 else "refused"] += 1
        found.slowest = max(found.slowest, (got.cpu_s, number))
        found.most_bytes = max(found.most_bytes, got.most_bytes)
        if asked.all:
            told = " ".join((got.err or got.out).split())[:150]
            size = got.most_bytes / 2**20
            print(f"{trap.name}: {got.code}, {got.cpu_s:.1f} s, {size:.0f} MB: {told}", flush=True)
    found.seconds = time.perf_counter() - began
    return tally.report("hostile files", found)


if __name__ == "__main__":
    sys.exit(main())
