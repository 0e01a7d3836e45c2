"""Programs that write a castings file in processes of their own, for those that are stopped."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]

# Writes until it is killed; says every row once it is written.  A fork costs no start-up.
KILLED = """
import json, os, random, signal, sqlite3, sys, time
from pathlib import Path
from mouldgen.castings.store import castings_file
from tests.castings_drafts import load_draft, result_draft

NOON = "2026-11-20T12:00:00+01:00"

def write(path, say):
    with castings_file(path) as file:
        while True:
            load = file.pour(load_draft(1, 2, 3))
            say(f"pour {load.id}")
            file.result(load.id, [result_draft(1), result_draft(2), result_draft(3)], noted_at=NOON)
            say(f"result {load.id}")

def stopped(path, lines, seconds):
    # What a writer said that is killed some moments after so many lines.
    ear, mouth = os.pipe()
    child = os.fork()
    if not child:
        os.close(ear)
        write(path, lambda line: os.write(mouth, (line + "\\n").encode()))
    os.close(mouth)
    said = b""
    while said.count(b"\\n") < lines:
        more = os.read(ear, 1000)
        assert more, "the writer stopped by itself"
        said += more
    time.sleep(seconds)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    with os.fdopen(ear, "rb") as rest:
        return (said + rest.read()).decode().split("\\n")[:-1]

folder, kills, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
chance = random.Random(seed)
found = []
for kill in range(kills):
    path = folder / f"{kill // 10}.sqlite"  # the first kill of ten may fall into its making
    lines = stopped(path, chance.randint(0, 4), chance.uniform(0.0, 0.015))
    if not path.exists():
        assert not lines
        continue
    with castings_file(path) as file:
        loads = {load.id: load for load in file.loads()}
    db = sqlite3.connect(path)
    found.append({
        "poured": [int(line.split()[1]) for line in lines if line.startswith("pour")],
        "finished": [int(line.split()[1]) for line in lines if line.startswith("result")],
        "there": sorted(loads),
        "closed": sorted(load.id for load in loads.values() if not load.open),
        "half": [load.id for load in loads.values() if len(load.castings) != 3
                 or len({each.result is None for each in load.castings}) != 1],
        "integrity": db.execute("PRAGMA integrity_check").fetchone()[0],
    })
    db.close()
print(json.dumps(found))
"""

# Writes so many loads of a job, opening the file anew for each, as a command does.
MANY = """
import sys, time
from pathlib import Path
from mouldgen.castings.store import castings_file
from tests.castings_drafts import load_draft

path, job, loads = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
print("ready", flush=True)
sys.stdin.readline()
began = time.monotonic()
for number in range(1, loads + 1):
    with castings_file(path) as file:
        file.pour(load_draft(1, 2, job=job, number=number))
print(began, time.monotonic())
"""

# Writes loads with long notes into files that may not grow past some size.
NO_ROOM = """
import resource, sys
from pathlib import Path
from mouldgen.castings.store import castings_file
from mouldgen.errors import MouldgenError
from tests.castings_drafts import load_draft

path = Path(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
written = 0
try:
    while True:
        with castings_file(path) as file:
            written = file.pour(load_draft(1, note="x" * 20_000)).id
except MouldgenError as problem:
    print(written, type(problem).__name__, problem)
"""


def start(program: str, *words: object) -> subprocess.Popen[str]:
    """The program in a process of its own."""
    return subprocess.Popen(
        [sys.executable, "-c", program, *map(str, words)],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def said(program: str, *words: object) -> str:
    """What the program prints; its failure is the test's."""
    process = start(program, *words)
    out, err = process.communicate(timeout=120)
    assert process.returncode == 0, err
    return out
