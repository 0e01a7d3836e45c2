"""Two and five of a command at once in one folder: one does it, the others queue or are told."""

from __future__ import annotations

import random
import signal
import subprocess
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from trials.chores import CHORES, JOB, Chore, known, typed
from trials.no_room import CHORES_TEXT
from trials.page_kills import opened
from trials.runs import Ran, leftovers, must, run, start, things, workshop

HELD = "is being written by another run"
_POURED = "is written down already"
_THERE = "there is a file of this name already"


def at_once(chance: random.Random) -> str:
    """Start two or five at the same time."""
    name = chance.choice(
        ("fresh", "over", "others", "cards", "first", "result", "save", "new", "catalogue", "pages")
    )
    count = chance.choice((2, 5))
    if name == "others":
        return _others(chance, count)
    if name == "pages":
        return _pages()
    chore = CHORES[name]
    will = known(chore)
    with will.again() as folder:
        ran = together([chore.words] * (2 if name == "catalogue" else count), folder, chore)
        told = Counter(_word(each, chore) for each in ran)
        now = things(folder)
        after = dict(will.after)
        for found in (now, after):
            found.pop(f"out/{JOB}/cards/loads.json", None)
        if now != after or not told["did it"] or leftovers(folder):
            raise AssertionError(f"{name}: {told}, left {leftovers(folder)}\n{ran}")
        if name in {"first", "save", "new"} and told["did it"] != 1:
            raise AssertionError(f"{name}: {told}")
    return f"at once, {chore.kind}: {'one did it' if told['did it'] == 1 else 'queued'}"


def _others(chance: random.Random, count: int) -> str:
    """Jobs that say different things under one name: the folder is that of one of them, whole."""
    words = [("build", JOB, "--quiet", "--set", f"order.pieces={2 + n}") for n in range(count)]
    chance.shuffle(words)
    alone = [known(Chore("build", each, "Files")).after for each in words]
    with workshop() as folder:
        ran = together(words, folder, CHORES["fresh"])
        told = Counter(_word(each, CHORES["fresh"]) for each in ran)
        won = [after for after, each in zip(alone, ran, strict=True) if each.code == 0]
        if things(folder) not in won or leftovers(folder):
            raise AssertionError(f"{told}, left {leftovers(folder)}\n{ran}")
        must(run(words[0], folder))
        if things(folder) != alone[0]:
            raise AssertionError("the last one is not what lies there")
    return f"at once, other jobs: {'one did it' if told['did it'] == 1 else 'queued'}"


def together(words: Sequence[tuple[str, ...]], folder: Path, chore: Chore) -> list[Ran]:
    """What came of commands that were started at the same time."""
    processes = [start(each, folder) for each in words]
    for process in processes:
        if process.stdin is not None:
            process.stdin.write(typed(chore))
            process.stdin.close()
            process.stdin = None
    ran = []
    for process in processes:
        out, err = process.communicate(timeout=25)
        ran.append(Ran(process.returncode, out, err))
    return ran


def _word(ran: Ran, chore: Chore) -> str:
    """Whether it did its work or was told why not."""
    if ran.code == chore.code and "Traceback" not in ran.err:
        return "did it"
    told = {3: (HELD, "another program is writing"), 2: (_POURED, _THERE)}.get(ran.code, ())
    if not any(word in ran.err for word in told):
        raise AssertionError(ran.told())
    return "told"


def _pages() -> str:
    """Pages that are started at once find a port each, and save into one folder in turn."""
    with workshop() as folder:
        words = ("--no-castings",)
        with ThreadPoolExecutor(4) as pool:
            pages = list(pool.map(lambda _: opened(folder, *words), range(4)))
            saved = list(
                pool.map(
                    lambda page: page.told(
                        "/api/save", name=f"p{page.port}.toml", text=CHORES_TEXT, stamp=""
                    ),
                    pages,
                )
            )
        for page in pages:
            page.process.send_signal(signal.SIGINT)
        ended = [_code(page.process) for page in pages]
        if len({page.port for page in pages}) != 4 or len(saved) != 4 or ended != [130] * 4:
            raise AssertionError(f"{[page.port for page in pages]} {ended}")
        if leftovers(folder) or len(list(folder.glob("p*.toml"))) != 4:
            raise AssertionError(str(sorted(folder.iterdir())))
    return "at once, pages: a port each"


def _code(process: subprocess.Popen[str]) -> int:
    process.communicate(timeout=25)
    return process.returncode
