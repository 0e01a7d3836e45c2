"""The same job gives the same bytes, whatever is around: ``python -m trials.same_bytes``.

Every shipped job goes through the commands in processes of their own, in four surroundings that
differ in all that a command could pick up by mistake: cores, hash seed, locale, time zone, day,
folder, home, umask, threads of the linear algebra, and the order in which a folder lists its
files.  The files that they leave, and what they answer with ``--json``, must agree to the byte.
"""

from __future__ import annotations

import argparse
import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from time import perf_counter

from trials.tally import Tally, report

DAY = "2026-11-02"
# What is run, one after the other into the same folder.
GROUPS: dict[str, tuple[tuple[str, ...], ...]] = {
    "build": (("build", "JOB", "--pictures"),),
    "sheet": (("sheet", "JOB", "--pdf", "--today", DAY), ("potcard", "JOB", "--out", "out")),
    "plots": (
        ("gap", "JOB", "--pictures", "--json"),
        ("heat", "JOB", "--pictures", "--json"),
        ("pot", "JOB", "--pictures", "--json"),
        ("gap", "JOB", "--sweep", "pour.close=8 min..16 min", "--steps", "5", "--json"),
    ),
    "order": (
        ("plan", "JOB", "--json", "--today", DAY),
        ("quote", "JOB", "--json", "--today", DAY),
        ("buy", "JOB", "--json"),
        ("resin", "JOB", "--json"),
    ),
    "many": (
        ("trial", "JOB", "--around", "--json"),
        ("catalogue", "JOB", "--grid", "pour.shop=20,22 C", "--sets", "--json"),
    ),
}
# The first tells the seconds of each row; the second is known by the age of the program's files.
NOT_COMPARED = {"rows.jsonl", "loads.json"}
# Runs before the command does, whatever the command: see `_started_by`.
_PROLOGUE = """
import locale, os, time
locale.setlocale(locale.LC_ALL, "")
_back = float(os.environ["TRIAL_DAYS"]) * 86400.0
if _back:
    _time, _ns = time.time, time.time_ns
    _local, _universal = time.localtime, time.gmtime
    time.time = lambda: _time() + _back
    time.time_ns = lambda: _ns() + int(_back * 1e9)
    time.localtime = lambda at=None: _local(time.time() if at is None else at)
    time.gmtime = lambda at=None: _universal(time.time() if at is None else at)
if os.environ["TRIAL_BACKWARDS"] == "1":
    _list, _scan = os.listdir, os.scandir
    class _Backwards:
        def __init__(self, found): self._found = found
        def __enter__(self): return self
        def __exit__(self, *_): self.close()
        def __iter__(self): return iter(self._found)
        def __next__(self): raise StopIteration
        def close(self): pass
    def _scanned(*where):
        with _scan(*where) as found:
            return _Backwards(sorted(found, key=lambda each: each.name, reverse=True))
    os.listdir = lambda *where: sorted(_list(*where), reverse=True)
    os.scandir = _scanned
"""


@dataclass(frozen=True)
class Surroundings:
    """What is around a command.

    name : of them.
    cores : that it may run on; more than there are is all.
    hash_seed, locale, zone, threads : of the process, as the system is told.
    umask : of the files that it makes.
    days : that the clock is off.
    backwards : whether folders list their files from the last to the first.
    """

    name: str
    cores: int
    hash_seed: str
    locale: str
    zone: str
    threads: str
    umask: int
    days: float = 0.0
    backwards: bool = False


PLAIN = Surroundings("plain", 1, "0", "C", "UTC", "1", 0o022)
OTHERS = (
    Surroundings("german", 2, "1", "de_DE.UTF-8", "Pacific/Kiritimati", "2", 0o077, days=400.3),
    Surroundings(
        "turkish", 1, "random", "tr_TR.UTF-8", "America/St_Johns", "2", 0o027, backwards=True
    ),
    Surroundings("utf-8", 2, "random", "C.UTF-8", "UTC", "1", 0o002, days=-30.6, backwards=True),
)


class NotTheSameError(AssertionError):
    """Something came out otherwise; says what."""


def compare(
    job: str, group: str, others: Sequence[Surroundings] = OTHERS, *, locales: Path | None
) -> int:
    """Run a group of commands on a job in all surroundings; how many outputs agreed.

    job : a shipped one.
    group : of `GROUPS`.
    others : what the plain surroundings are held against.
    locales : where those of `made_locales` lie; None for those of the system.

    Raises NotTheSameError.
    """
    wanted = outputs(job, group, PLAIN, locales=locales)
    if not wanted:
        raise NotTheSameError(f"{group} of {job} left nothing")
    for one in others:
        found = outputs(job, group, one, locales=locales)
        differ = sorted(k for k in wanted.keys() | found.keys() if wanted.get(k) != found.get(k))
        if differ:
            raise NotTheSameError(f"{group} of {job}, {one.name} against plain: {differ}")
    return len(wanted)


def outputs(job: str, group: str, one: Surroundings, *, locales: Path | None) -> dict[str, str]:
    """A hash of every file that a group of commands leaves, and of what they answer.

    job, group, locales : as `compare` takes them.
    one : what is around the commands.
    """
    with tempfile.TemporaryDirectory(prefix=f"mouldgen-{one.name}-") as folder:
        home, here = Path(folder, "home of " + one.name), Path(folder, "here")
        home.mkdir()
        here.mkdir()
        said = {}
        for words in GROUPS[group]:
            told = [job if word == "JOB" else word for word in words]
            out = run(told, one, home=home, here=here, locales=locales)
            if "--json" in words:
                said[" ".join(told)] = _hash(out)
        return {**said, **dict(_files(here / "out"))}


def run(
    words: Sequence[str], one: Surroundings, *, home: Path, here: Path, locales: Path | None
) -> bytes:
    """Standard output of a command.

    words : of it.
    one : what is around it.
    home, here : the folders of the user and of the command.
    locales : as `compare` takes it.

    Raises NotTheSameError where it fails: what is run here never does.
    """
    done = subprocess.run(
        [*_on_cores(one.cores), sys.executable, str(_started_by(here)), *words],
        cwd=here,
        env=_environment(one, home=home, locales=locales),
        umask=one.umask,
        capture_output=True,
        stdin=subprocess.DEVNULL,
        check=False,
    )
    # Exit code 1 is an answer too: something must be fixed, or the day is too late.
    if done.returncode not in {0, 1} or b"Traceback" in done.stderr:
        raise NotTheSameError(f"{words}, {one.name}: {done.returncode}\n{done.stderr.decode()}")
    return done.stdout


def _started_by(here: Path) -> Path:
    """A program that prepares its surroundings, then is the command."""
    place = here.parent / "started.py"
    if not place.exists():
        start = "import sys\nfrom mouldgen.cli import main\n"
        end = "if __name__ == '__main__':\n    sys.exit(main(sys.argv[1:]))\n"
        place.write_text(_PROLOGUE + start + end, encoding="utf-8")
    return place


def _environment(one: Surroundings, *, home: Path, locales: Path | None) -> dict[str, str]:
    kept = ("PATH", "SYSTEMROOT", "LD_LIBRARY_PATH", "OPENBLAS_CORETYPE", "OPENBLAS_L2_SIZE")
    return (
        {key: os.environ[key] for key in kept if key in os.environ}
        | {
            "HOME": str(home),
            "PYTHONPATH": str(Path(__file__).parents[1]),
            "PYTHONHASHSEED": one.hash_seed,
            "LC_ALL": one.locale if has_locale(one.locale, locales) else "C",
            "TZ": one.zone,
            "OPENBLAS_NUM_THREADS": one.threads,
            "OMP_NUM_THREADS": one.threads,
            "TRIAL_DAYS": str(one.days),
            "TRIAL_BACKWARDS": str(int(one.backwards)),
        }
        | ({} if locales is None else {"LOCPATH": str(locales)})
    )


def _on_cores(cores: int) -> list[str]:
    taskset = shutil.which("taskset")
    if taskset is None or not hasattr(os, "sched_getaffinity"):
        return []
    allowed = sorted(os.sched_getaffinity(0))[:cores]
    return [taskset, "-c", ",".join(map(str, allowed))]


def _files(folder: Path) -> Iterator[tuple[str, str]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file() and path.name not in NOT_COMPARED and not path.name.endswith(".lock"):
            yield path.relative_to(folder).as_posix(), _hash(path.read_bytes())


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


# ------------------------------------------------------------------------------------ locales


def made_locales(folder: Path) -> Path | None:
    """Make the locales that the surroundings name, as an ordinary user can; None where it fails.

    folder : that gets them.
    """
    localedef = shutil.which("localedef")
    if localedef is None:
        return None
    for name in sorted({one.locale for one in (PLAIN, *OTHERS)} - {"C", "C.UTF-8"}):
        words = [localedef, "-i", name.partition(".")[0], "-f", "UTF-8", str(folder / name)]
        subprocess.run(words, capture_output=True, check=False)
    # Where LOCPATH is set nothing else is looked at, so C.UTF-8 must be there too.
    source = ["-i", "C" if Path("/usr/share/i18n/locales/C").exists() else "POSIX"]
    words = [localedef, *source, "-f", "UTF-8", str(folder / "C.UTF-8")]
    subprocess.run(words, capture_output=True, check=False)
    return folder if any(folder.iterdir()) else None


@cache
def has_locale(name: str, locales: Path | None) -> bool:
    """Whether a process can be put into a locale.

    name : of it.
    locales : as `compare` takes it.
    """
    program = "import locale, sys\nlocale.setlocale(locale.LC_ALL, sys.argv[1])"
    env: Mapping[str, str] = os.environ if locales is None else {"LOCPATH": str(locales)}
    done = subprocess.run(
        [sys.executable, "-c", program, name], env=env, capture_output=True, check=False
    )
    return done.returncode == 0


def lacking(locales: Path | None) -> list[str]:
    """The locales that are asked for and are not here, which "C" stands in for.

    locales : as `compare` takes it.
    """
    return [one.locale for one in (PLAIN, *OTHERS) if not has_locale(one.locale, locales)]


# --------------------------------------------------------------------------------- the program


def main() -> int:
    """Compare all shipped jobs, or those that are named."""
    from mouldgen.job import presets

    parser = argparse.ArgumentParser(description="the same job gives the same bytes")
    parser.add_argument("jobs", nargs="*", help="shipped jobs; all without")
    parser.add_argument("--group", action="append", choices=[*GROUPS])
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    asked = parser.parse_args()
    jobs = asked.jobs or presets.names("jobs")
    with tempfile.TemporaryDirectory() as folder:
        locales = made_locales(Path(folder))
        for name in lacking(locales):
            print(f"same-bytes: no locale {name} here, C in its place")
        found = _all([(job, group) for job in jobs for group in asked.group or GROUPS], locales,
                     workers=asked.workers)  # fmt: skip
    return report("same-bytes", found)


def _all(pairs: Sequence[tuple[str, str]], locales: Path | None, *, workers: int) -> Tally:
    """What came of them; the outcomes count outputs that agreed, by their group."""
    found, began = Tally(), perf_counter()

    def one(at: int) -> tuple[int, str, int, str, float]:
        start = perf_counter()
        job, group = pairs[at]
        try:
            agreed, told = compare(job, group, locales=locales), ""
        except Exception:  # noqa: BLE001 - whatever it is, it is what is looked for
            agreed, told = 0, traceback.format_exc()
        return at, group, agreed, told, perf_counter() - start

    with ThreadPoolExecutor(workers) as pool:
        for at, group, agreed, told, took in pool.map(one, range(len(pairs))):
            found.outcomes[group] += agreed
            found.slowest = max(found.slowest, (took, at))
            if told:
                found.troubles.append((at, told))
    found.seconds = perf_counter() - began
    return found


if __name__ == "__main__":
    sys.exit(main())
