"""A full disk, and places that may not be written: told, nothing half, and one can go on."""

from __future__ import annotations

import os
import random
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from http.client import HTTPException
from pathlib import Path
from signal import SIGINT

from trials.chores import CHORES, Chore, known, typed
from trials.kills import SINGLE, go_on, whole
from trials.page_kills import BYTES, opened, scan_of
from trials.runs import Ran, half, leftovers, run, things, workshop

PLAIN = ("cannot be written", "disk is full", "refused", "cannot be opened", "cannot be read")
# The superuser is stopped by no mode of a file, unless this is taken away.
_PLAIN_RIGHTS = (
    "setpriv", "--bounding-set", "-dac_override,-dac_read_search", "--inh-caps", "-all",
)  # fmt: skip
_MOST_KB = {"build": 9000, "cards": 400, "log": 200, "new": 12, "catalogue": 9000}


def full(chance: random.Random) -> str:
    """Too little room is left, in places enough: what is there stays, and with room all is done."""
    chore = CHORES[chance.choice((*SINGLE, "catalogue", "more"))]
    will = known(chore)
    with workshop() as folder, disk(folder) as sized:
        shutil.copytree(will.folder, folder, dirs_exist_ok=True)
        sized(_used_kb(folder) + int(chance.random() ** 2 * _MOST_KB[chore.kind]))
        ran = run(chore.words, folder, typed=typed(chore))
        done = refused(ran, chore)
        now = things(folder)
        wrong = half(now, will.before, will.after)
        if wrong or (done and now != will.after and "loads.json" not in str(wrong)):
            raise AssertionError(f"half: {wrong}\n{ran.told()}")
        sized(64_000)
        if not done or chore.again is not None:
            go_on(chore, will, folder, done=done)
    return f"full disk, {chore.kind}: {'enough' if done else 'told'}"


def page_full(chance: random.Random) -> str:
    """The same of the page: a job, a scan and a pour are there as told, or refused."""
    with workshop() as folder, disk(folder) as sized:
        sized(1000)
        page = opened(folder)
        try:
            text = CHORES_TEXT
            stamp = page.told("/api/save", name="pegs.toml", text=text, stamp="")["stamp"]
            sized(_used_kb(folder) + chance.choice((0, 4, 40, 400, 4000)))
            longer = text + "# more\n" * chance.randint(1, 20_000)
            saved = _answered(
                lambda: page.told("/api/save", name="pegs.toml", text=longer, stamp=stamp)
            )
            there = (folder / "pegs.toml").read_text("utf-8")
            taken = _answered(lambda: page.ask("/api/scan?name=a.stl", scan_of(7), BYTES))
            poured = _answered(lambda: page.told("/api/log", do="pour", text=text, load="1"))
            sized(64_000)
            loads = page.told("/api/log", do="list")["loads"]
            scan = (folder / "a.stl").read_bytes() if (folder / "a.stl").exists() else None
            if there != (longer if saved else text) or len(loads) != int(poured):
                raise AssertionError(f"saved {saved}, poured {poured}, {len(loads)} loads")
            if scan != (scan_of(7) if taken else None):
                raise AssertionError(f"taken {taken}, and there lies {scan!r:.40}")
            page.told("/api/save", name="pegs.toml", text="format = 1\n", stamp="", over=True)
            page.told("/api/log", do="pour", text=text, load="2")
        finally:
            page.process.send_signal(SIGINT)
            _, err = page.process.communicate(timeout=20)
        if leftovers(folder) or "Traceback" in err:
            raise AssertionError(f"left: {leftovers(folder)}\n{err}")
    return f"full disk, page: {'enough' if saved and taken and poured else 'told'}"


CHORES_TEXT = (Path(__file__).parents[1] / "presets/jobs/boathouse-pegs.toml").read_text("utf-8")


def _answered(work: Callable[[], object]) -> bool:
    """Whether it was done; what was not is told plainly."""
    try:
        work()
    except HTTPException:
        raise
    except AssertionError as problem:
        if not any(word in str(problem) for word in PLAIN) or "bug" in str(problem):
            raise
        return False
    return True


def read_only(chance: random.Random) -> str:
    """A disk that is mounted to read only: nothing changes, and that is told."""
    chore = CHORES[chance.choice((*SINGLE, "more"))]
    will = known(chore)
    with workshop() as folder, disk(folder) as sized:
        shutil.copytree(will.folder, folder, dirs_exist_ok=True)
        sized(64_000, "ro")
        ran = run(chore.words, folder, typed=typed(chore))
        if refused(ran, chore) or things(folder) != will.before:
            raise AssertionError(f"should be refused: {ran.told()}")
        sized(64_000, "rw")
        go_on(chore, will, folder, done=False)
    return f"read-only, {chore.kind}: told"


def no_rights(chance: random.Random) -> str:
    """Some folders and files may not be written, or read: told, and what was there stays."""
    chore = CHORES[chance.choice(SINGLE)]
    will = known(chore)
    with workshop() as folder:
        shutil.copytree(will.folder, folder, dirs_exist_ok=True)
        mine = [folder, *sorted(folder.rglob("*"))]
        kept = {path: path.stat().st_mode for path in mine}
        for path in chance.sample(mine, min(len(mine), chance.randint(1, 2))):
            path.chmod(chance.choice((0o555, 0o500) if path.is_dir() else (0o444, 0)))
        ran = run(chore.words, folder, typed=typed(chore), through=plain_rights())
        done = refused(ran, chore)
        for path, mode in kept.items():
            if path.exists():
                path.chmod(mode)
        whole(folder, will)
        if not done or chore.again is not None:
            go_on(chore, will, folder, done=done and chore.again != 0)
    return f"no rights, {chore.kind}: {'enough' if done else 'told'}"


def plain_rights() -> tuple[str, ...]:
    """What a command is started through, so that modes of files bind it."""
    return _PLAIN_RIGHTS if os.geteuid() == 0 else ()


def refused(ran: Ran, chore: Chore) -> bool:
    """Whether a command has done its work; if not it has told plainly why.

    Raises AssertionError where it did neither.
    """
    if ran.code == chore.code and "Traceback" not in ran.err:
        return True
    plain = any(word in ran.err for word in PLAIN)
    if ran.code not in (2, 3) or not plain or "Traceback" in ran.err or "bug" in ran.err:
        raise AssertionError(ran.told())
    return False


# ------------------------------------------------------------------------ a small disk


def can_mount() -> bool:
    """Whether this process may make disks of its own."""
    return sys.platform == "linux" and os.geteuid() == 0 and _mount_works()


def _mount_works() -> bool:
    with workshop() as folder:
        tried = _mount("-t", "tmpfs", "-o", "size=64k", "trial", str(folder))
        if tried:
            subprocess.run(["umount", "-l", str(folder)], check=False)
        return tried


def _mount(*words: str) -> bool:
    try:
        done = subprocess.run(["mount", *words], check=False, capture_output=True)
    except OSError:
        return False
    return done.returncode == 0


class _Sized:
    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def __call__(self, kilobytes: int, mode: str = "rw") -> None:
        """Make it so large."""
        if not _mount("-o", f"remount,{mode},size={max(4, kilobytes)}k", str(self._folder)):
            raise RuntimeError("the disk cannot be made so large")


@contextmanager
def disk(folder: Path) -> Iterator[_Sized]:
    """A disk of its own at a folder, in memory; what it yields says how large it is."""
    if not _mount("-t", "tmpfs", "-o", "size=64m,nr_inodes=4k", "trial", str(folder)):
        raise RuntimeError("no disk can be made here")
    try:
        yield _Sized(folder)
    finally:
        with suppress(OSError):
            subprocess.run(["umount", "-l", str(folder)], check=False)


def _used_kb(folder: Path) -> int:
    found = os.statvfs(folder)
    return (found.f_blocks - found.f_bfree) * found.f_frsize // 1024
