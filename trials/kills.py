"""Kills at random moments: what was there is there, or what is new is whole, and one can go on.

A command is killed some time in its life, or before it does its so many-th thing to a file; the
page and the workers of a catalogue are killed at work.  Then every thing that lies there is as it
was or as an undisturbed run makes it, what was told as done is done, and the same words work, make
the same bytes, and tidy up.
"""

from __future__ import annotations

import os
import random
import signal
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from trials import tally
from trials.chores import CHORES, Chore, Known, know_all, known, typed
from trials.page_kills import page_killed
from trials.runs import (
    Ran,
    Stop,
    half,
    leftovers,
    must,
    run,
    run_stopped,
    start,
    things,
    until_ended,
)

SINGLE = tuple(name for name, chore in CHORES.items() if chore.kind != "catalogue")
MOST_FILES = {"build": 40, "cards": 24, "log": 14, "new": 8}  # things that they do to files


def case(seed: int) -> str:
    """Kill something once, and see to it that nothing came of it."""
    chance = random.Random(seed)
    match seed % 10:
        case 3:
            return page_killed(chance)
        case 6:
            return _catalogue_killed(chance)
        case 9:
            return _worker_killed(chance)
        case 1 | 4:
            chore = CHORES[chance.choice(SINGLE)]
            stop = Stop(at_file=chance.randint(1, MOST_FILES[chore.kind]))
        case _:
            chore = CHORES[chance.choice(SINGLE)]
            stop = Stop(after_s=chance.uniform(0.0, 1.05) * known(chore).seconds)
    will = known(chore)
    with will.again() as folder:
        ran = run_stopped(chore.words, folder, stop=stop, typed=typed(chore))
        now = whole(folder, will)
        done = now == will.after
        if ran.code == chore.code:
            word = "ended before"
        elif ran.code == -signal.SIGKILL:
            word = _word(now, will)
        else:
            raise AssertionError(ran.told())
        _require(done or not _told_done(chore, ran), "was told as done and is not", folder)
        go_on(chore, will, folder, done=done_by(chore, now, will))
    return f"{chore.kind}: {word}"


def whole(folder: Path, will: Known) -> dict[str, Any]:
    """What lies there now, none of it half."""
    now = things(folder)
    wrong = half(now, will.before, will.after)
    _require(not wrong, f"half: {wrong}", folder)
    return now


def go_on(chore: Chore, will: Known, folder: Path, *, done: bool) -> None:
    """The same words once more; after them all is as if nothing had been."""
    if done and chore.again is None:
        must(run(("log", "list"), folder))
    else:
        code = chore.again if done and chore.again is not None else chore.code
        must(run(chore.words, folder, typed=typed(chore)), code)
    now, after = things(folder), dict(will.after)
    if done:  # what is kept for the next time only may be kept anew
        for found in (now, after):
            found.pop("out/boathouse-pegs/cards/loads.json", None)
    other = [name for name in {*now, *after} if now.get(name) != after.get(name)]
    _require(not other, f"the same words do not make the same: {other}", folder)
    if done and leftovers(folder):  # of what is never written over: the next new file tidies up
        must(run(("new", "--out", "another.toml"), folder, typed=typed(CHORES["new"])))
    _require(not leftovers(folder), f"left: {leftovers(folder)}", folder)


def done_by(chore: Chore, now: dict[str, Any], will: Known) -> bool:
    """Whether it has done what it is for, whatever it keeps beside that."""
    if chore.again == 0:
        return False  # more of the same does no harm
    told = [name for name in will.after if will.after[name] != will.before.get(name)]
    main = [name for name in told if not name.endswith("loads.json")]
    return all(now.get(name) == will.after[name] for name in main)


def _told_done(chore: Chore, ran: Ran) -> bool:
    return bool(chore.says) and chore.says in ran.out


def _word(now: dict[str, Any], will: Known) -> str:
    if now == will.before:
        return "as before"
    return "all new" if now == will.after else "some of it new"


def _require(true: bool, told: str, folder: Path) -> None:
    if not true:
        there = "\n".join(str(path.relative_to(folder)) for path in sorted(folder.rglob("*")))
        raise AssertionError(f"{told}\n{there}")


# ------------------------------------------------------------------------ the catalogue


def _catalogue_killed(chance: random.Random) -> str:
    """The process that hands out the work is killed: its workers end, and its rows are kept."""
    chore = CHORES[chance.choice(("catalogue", "more"))]
    will = known(chore)
    with will.again() as folder:
        process = start(chore.words, folder)
        with suppress(TimeoutError):
            until_ended(process, chance.uniform(0.0, 1.05) * will.seconds)
        process.send_signal(signal.SIGKILL)
        out, _ = process.communicate(timeout=20)
        none_left(process.pid)
        now = whole(folder, will)
        done = chore.says in out
        _require(now == will.after or not done, "was told as done and is not", folder)
        kept = len(now.get(f"{_folder(will)}/rows.jsonl", {}))
        again = must(run((*chore.words, "--json"), folder))
        _require(f'"kept": {kept},' in again.out, f"{kept} were kept: {again.out}", folder)
        _require(things(folder) == will.after, "the same words do not make the same", folder)
        _require(not leftovers(folder), f"left: {leftovers(folder)}", folder)
        word = "ended before" if process.returncode == 0 else _word(now, will)
    return f"catalogue: {word}"


def _folder(will: Known) -> str:
    return next(name for name in will.after if name.endswith("rows.jsonl")).rpartition("/")[0]


def _worker_killed(chance: random.Random) -> str:
    """A worker is killed: another does what it did, and nobody sees a difference."""
    chore = CHORES[chance.choice(("catalogue", "more"))]
    will = known(chore)
    with will.again() as folder:
        process = start(chore.words, folder)
        time.sleep(chance.uniform(0.1, 0.9) * will.seconds)
        workers = _workers(process.pid)
        if workers:
            with suppress(ProcessLookupError):
                os.kill(chance.choice(workers), signal.SIGKILL)
        out, err = process.communicate(timeout=25)
        must(Ran(process.returncode, out, err))
        none_left(process.pid)
        _require(things(folder) == will.after, "it does not make the same", folder)
        _require(not leftovers(folder), f"left: {leftovers(folder)}", folder)
    return f"catalogue: {'a worker died' if workers else 'ended before'}"


def _workers(pid: int) -> list[int]:
    """The workers of a process, without the one that Python itself starts to tidy up."""
    try:
        children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
        return [
            int(child)
            for child in children
            if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes()
        ]
    except OSError:
        return []


def none_left(group: int) -> None:
    """See to it that no process of a group goes on, within some seconds."""
    until = time.monotonic() + 10.0
    while time.monotonic() < until:
        try:
            os.killpg(group, 0)
        except ProcessLookupError:
            return
        time.sleep(0.02)
    raise AssertionError("processes are left")


if __name__ == "__main__":
    if "--one" not in sys.argv:
        know_all()
    sys.exit(tally.main("kills", case, about=__doc__.partition("\n")[0], count=500))
