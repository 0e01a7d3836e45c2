"""A catalogue that is killed, interrupted or out of room: what was done is kept, and whole."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from mouldgen.catalogue.base import base_of
from mouldgen.catalogue.crew import Done
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.journal import FILE
from mouldgen.catalogue.run import make_catalogue
from mouldgen.catalogue.variant import named
from mouldgen.catalogue.work import Bench, Task
from tests.castings_writers import ROOT, said
from tests.catalogue_works import at_once
from tests.cli_runs import mouldgen

KILLS = 30
VARIANTS = 2000  # more than thirty short lives get through, on a machine that is quiet
PEGS = "boathouse-pegs"

# Makes canned rows until it is killed; says the name of every row once it is kept.  A fork costs
# no start-up.
KILLED = """
import json, os, random, signal, sys, time
from pathlib import Path
from mouldgen.catalogue.base import base_of
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.journal import Journal
from mouldgen.catalogue.run import make_catalogue
from mouldgen.catalogue.variant import named
from mouldgen.catalogue.work import Task
from tests.catalogue_works import canned

out, kills, variants, seed = Path(sys.argv[1]), *map(int, sys.argv[2:])
base = base_of("boathouse-pegs")
axis = "order.pieces=" + ",".join(map(str, range(1, variants + 1)))
given = named(grid_of([axis]), job=base.name)
folder = out / "boathouse-pegs-catalogue"

def write(say):
    def hands(tasks, bench):
        for task in tasks:
            yield task, canned(task)
            say(task.name)  # asked for the next one: this one is kept
    make_catalogue(base, given, out=out, hands=hands)
    say("all")

chance = random.Random(seed)
found, told = [], []
for kill in range(kills):
    ear, mouth = os.pipe()
    child = os.fork()
    if not child:
        os.close(ear)
        try:
            write(lambda line: os.write(mouth, (line + "\\n").encode()))
        finally:
            os._exit(0)
    os.close(mouth)
    said, wanted = b"", chance.randint(0, 3)  # the first of all may be killed before any row
    while said.count(b"\\n") < wanted and (more := os.read(ear, 1000)):  # or it has ended
        said += more
    time.sleep(chance.uniform(0.0, 0.01))
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(ear, "rb") as rest:
        lines = (said + rest.read()).decode().split("\\n")[:-1]
    told += lines
    path = folder / "rows.jsonl"
    whole = path.read_bytes().rpartition(b"\\n")[0].split(b"\\n") if path.exists() else []
    kept = [json.loads(line)["row"]["name"] for line in whole if line]
    found.append({"said": lines, "lost": sorted(set(told) - {"all"} - set(kept)),
                  "twice": len(kept) - len(set(kept)), "kept": len(kept)})
print(json.dumps(found))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL and fork are not of this system")
def test_thirty_kills_lose_nothing_and_leave_nothing_half_written(tmp_path: Path) -> None:
    found = json.loads(said(KILLED, tmp_path, KILLS, VARIANTS, 20261126))

    assert len(found) == KILLS
    for kill, at in enumerate(found):
        assert at["lost"] == [], kill
        assert at["twice"] == 0, kill  # a rerun made only what was missing
    assert 0 < found[-1]["kept"] < VARIANTS, "the kills did not fall into the middle"
    assert sum(bool(at["said"]) for at in found) > KILLS / 2

    made: list[str] = []

    def rest(tasks: Iterable[Task], bench: Bench) -> Iterator[Done]:
        for task, row in at_once(tasks, bench):
            made.append(task.name)
            yield task, row

    axis = "order.pieces=" + ",".join(map(str, range(1, VARIANTS + 1)))
    given = named(grid_of([axis]), job=PEGS)
    broken = make_catalogue(base_of(PEGS), given, out=tmp_path / "once", hands=at_once)
    rows = make_catalogue(base_of(PEGS), given, out=tmp_path, hands=rest)
    assert len(made) == VARIANTS - found[-1]["kept"]
    assert list(rows) == list(broken)
    folders = (tmp_path / f"{PEGS}-catalogue", tmp_path / "once" / f"{PEGS}-catalogue")
    for file in ("catalogue.csv", "report.json"):
        killed, whole = ((folder / file).read_bytes() for folder in folders)
        assert killed == whole


def started(out: Path, *words: str) -> subprocess.Popen[str]:
    """The command in a process of its own that has a group to itself, as in a terminal."""
    return subprocess.Popen(
        [sys.executable, "-m", "mouldgen", "catalogue", PEGS, "--out", str(out), *words],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        start_new_session=True,
    )


def kept(out: Path) -> int:
    path = out / f"{PEGS}-catalogue" / FILE
    return path.read_bytes().count(b"\n") if path.exists() else 0


def wait_for(rows: int, *, out: Path) -> None:
    until = time.monotonic() + 60.0
    while kept(out) < rows:
        assert time.monotonic() < until, "no row within a minute"
        time.sleep(0.02)


def in_group(group: int) -> list[int]:
    """The processes of a group that are not done."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, _, of = stat.read_text().rpartition(")")[2].split()[:3]
        except (OSError, ValueError):
            continue
        if int(of) == group and state != "Z":
            found.append(int(stat.parent.name))
    return found


@pytest.mark.skipif(sys.platform != "linux", reason="looks for processes in /proc")
def test_a_kill_leaves_no_worker_and_a_rerun_goes_on(tmp_path: Path) -> None:
    grid = ("--grid", "order.pieces=" + ",".join(map(str, range(1, 9))))
    process = started(tmp_path, *grid)
    wait_for(2, out=tmp_path)
    os.kill(process.pid, signal.SIGKILL)
    process.communicate(timeout=60)
    until = time.monotonic() + 10.0
    while in_group(process.pid) and time.monotonic() < until:
        time.sleep(0.05)
    assert in_group(process.pid) == []
    assert not (tmp_path / f"{PEGS}-catalogue" / "catalogue.csv").exists()

    before = kept(tmp_path)
    again = mouldgen("catalogue", PEGS, *grid, "--out", str(tmp_path), "--json")
    assert again.code == 0
    assert again.json["kept"] == before >= 2
    assert again.json["done"] == again.json["ready"] == 8


@pytest.mark.skipif(sys.platform == "win32", reason="Ctrl-C is sent otherwise there")
def test_ctrl_c_writes_what_is_done_and_says_how_to_go_on(tmp_path: Path) -> None:
    # So many that they are not all done before the signal comes.
    grid = ("--grid", "order.pieces=" + ",".join(map(str, range(1, 301))))
    process = started(tmp_path, *grid)
    wait_for(2, out=tmp_path)
    os.killpg(process.pid, signal.SIGINT)  # a terminal sends it to all of them
    out, err = process.communicate(timeout=60)

    assert process.returncode == 130
    assert out == ""
    table = (tmp_path / f"{PEGS}-catalogue" / "catalogue.csv").read_text(encoding="utf-8")
    done = [row["name"] for row in csv.DictReader(table.splitlines())]
    assert 2 <= len(done) < 300
    assert err == (
        f"Interrupted. {len(done)} of 300 are done and kept: the same words go on from there.\n"
    )
    assert done == sorted(done, key=lambda name: int(name.rpartition("-")[2]))
    assert kept(tmp_path) == len(done)


# Makes canned rows into files that may not grow past some size.
NO_ROOM = """
import resource, sys
from pathlib import Path
from mouldgen.catalogue.base import base_of
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.run import make_catalogue
from mouldgen.catalogue.variant import named
from mouldgen.errors import SurroundingsError
from tests.catalogue_works import at_once

base = base_of("boathouse-pegs")
given = named(grid_of(["order.pieces=" + ",".join(map(str, range(1, 101)))]), job=base.name)
if int(sys.argv[2]):
    resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
try:
    print(len(make_catalogue(base, given, out=Path(sys.argv[1]), hands=at_once)))
except SurroundingsError as problem:
    print(problem)
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no limit on a file's size there")
def test_a_full_disk_is_told_and_the_rows_that_were_kept_are_whole(tmp_path: Path) -> None:
    told = said(NO_ROOM, tmp_path, 10_000)
    path = tmp_path / f"{PEGS}-catalogue" / FILE
    whole = path.read_bytes().rpartition(b"\n")[0].split(b"\n")

    assert "rows.jsonl: cannot be written: " in told
    assert path.stat().st_size == 10_000
    assert all(json.loads(line)["row"]["ready"] for line in whole)
    assert len(whole) > 10
    assert said(NO_ROOM, tmp_path, 0) == "100\n"
    names = [json.loads(line)["row"]["name"] for line in path.read_bytes().splitlines()]
    assert sorted(names) == sorted(f"{PEGS}-{n}" for n in range(1, 101))  # each once
