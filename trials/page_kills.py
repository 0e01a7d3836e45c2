"""The page killed while jobs are saved, scans taken and pours logged, and edits run beside that."""

from __future__ import annotations

import http.client
import json
import random
import re
import signal
import threading
import time
from array import array
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from subprocess import Popen
from typing import Any

from mouldgen.job import presets
from trials.chores import JOB
from trials.runs import leftovers, rows, start, workshop

BYTES = "application/octet-stream"
WORDS = ("page", "--no-browser", "--folder", ".")
_JOBS = 3  # files that are saved in turn
_AWAY = (OSError, http.client.HTTPException)  # the page is gone


@dataclass(eq=False)
class Page:
    """A page in a process of its own.

    process : of it.
    port : that it is served at.
    """

    process: Popen[str]
    port: int

    def ask(self, path: str, body: bytes, kind: str = "application/json") -> bytes:
        """What it answers.  Raises OSError and HTTPException where it is gone."""
        line = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        with closing(line):
            line.request("POST", path, body, {"content-type": kind})
            answer = line.getresponse()
            said = answer.read()
        if answer.status != 200:
            raise AssertionError(f"{path}: {answer.status} {said!r}")
        return said

    def told(self, path: str, **fields: Any) -> Any:
        """The same in JSON."""
        return json.loads(self.ask(path, json.dumps(fields).encode()))


def opened(folder: Path, *more: str) -> Page:
    """A page of the folder, once it answers.

    more : words of its command.
    """
    process = start((*WORDS, *more), folder)
    if process.stdout is None:
        raise AssertionError("no output")
    said = ""
    while not (found := re.search(r"^http://127\.0\.0\.1:(\d+)/$", said, re.MULTILINE)):
        said += (line := process.stdout.readline())
        if not line:
            raise AssertionError(f"did not open: {said} {process.communicate()}")
    return Page(process, int(found[1]))


@dataclass(eq=False)
class _Written:
    """What was told as written, and what was being written when the page ended.

    saved : the number of the text that each file has, by its name.
    scans : numbers of those that were taken.
    loads : how many were logged.
    trying : the step that was not answered.
    wrong : what a page that is there answered but should not have.
    """

    saved: dict[str, int] = field(default_factory=dict)
    scans: list[int] = field(default_factory=list)
    loads: int = 0
    trying: int = 0
    wrong: list[str] = field(default_factory=list)


def page_killed(chance: random.Random) -> str:
    """Kill a page once, and see to it that what it told as written is there."""
    with workshop() as folder:
        page = opened(folder)
        if chance.random() < 0.8:  # its workers are ready, so that more is written
            page.told("/api/log", do="list")
        written = _Written()
        threads = [
            threading.Thread(target=work, args=(page, written), daemon=True)
            for work in (_write, _edit)
        ]
        for thread in threads:
            thread.start()
        time.sleep(chance.uniform(0.0, 1.5))
        page.process.send_signal(signal.SIGKILL)
        page.process.communicate(timeout=20)
        for thread in threads:
            thread.join(20)
        if written.wrong:
            raise AssertionError(written.wrong[0])
        _nothing_lost(folder, written)
        left = leftovers(folder)
        _goes_on(folder, written)
    done = len(written.saved) + len(written.scans) + written.loads
    return f"page: {'half written, cleared' if left else 'written' if done else 'idle'}"


def _until_gone(work: Callable[[], None], written: _Written) -> None:
    try:
        work()
    except _AWAY:
        return
    except AssertionError as problem:
        written.wrong.append(str(problem))


def _write(page: Page, written: _Written) -> None:
    stamps: dict[str, str] = {}

    def work() -> None:
        for step in range(10_000):
            written.trying = step
            name = f"pegs-{step % _JOBS}.toml"
            told = page.told("/api/save", name=name, text=_text(step), stamp=stamps.get(name, ""))
            stamps[name], written.saved[name] = told["stamp"], step
            page.ask(f"/api/scan?name=scan-{step}.stl", scan_of(step), BYTES)
            written.scans.append(step)
            if step % 4 == 3:
                page.told("/api/log", do="pour", text=_text(0), load="1", again=True)
                written.loads += 1

    _until_gone(work, written)


def _edit(page: Page, written: _Written) -> None:
    def work() -> None:
        for step in range(10_000):
            change = {"key": "order.pieces", "said": str(10 + step % 5)}
            page.ask("/api/early", json.dumps({"text": _text(0), "change": change}).encode())

    _until_gone(work, written)


def _text(step: int) -> str:
    return presets.find_card("jobs", JOB).read_text("utf-8") + f"\n# step {step}\n" + "#\n" * 500


def scan_of(step: int) -> bytes:
    """A binary STL of any triangles."""
    chance, count = random.Random(step), 20 + 2500 * (step % 3)
    data = array("f", (chance.uniform(0.0, 99.0) for _ in range(12 * 20))).tobytes()
    each = [data[at : at + 48] + b"\0\0" for at in range(0, len(data), 48)]
    return bytes(80) + count.to_bytes(4, "little") + b"".join(each * (count // 20))


def _nothing_lost(folder: Path, written: _Written) -> None:
    """What lies there is whole, and all that was told as written is among it."""
    for n in range(_JOBS):
        path, told = folder / f"pegs-{n}.toml", written.saved.get(f"pegs-{n}.toml")
        may = [told] if told is not None else []
        if written.trying % _JOBS == n:
            may.append(written.trying)
        there = path.read_text("utf-8") if path.exists() else None
        if there not in [_text(step) for step in may] and (there is not None or told is not None):
            raise AssertionError(f"{path.name} is none of {may}: {there!r:.200}")
    scans = {path.name: path.read_bytes() for path in folder.glob("*.stl")}
    lost = [step for step in written.scans if f"scan-{step}.stl" not in scans]
    half = [name for name, data in scans.items() if data != scan_of(int(name[5:-4]))]
    file = folder / "castings.sqlite"
    loads = rows(file) if file.exists() else ()
    if lost or half or len(loads) - written.loads not in (0, 1):
        raise AssertionError(f"lost {lost}, half {half}, {len(loads)} of {written.loads} loads")


def _goes_on(folder: Path, written: _Written) -> None:
    """The page opens again, has all of it, saves, tidies up and ends as it should."""
    page = opened(folder)
    text = _text(0)
    page.told("/api/save", name="after.toml", text=text, stamp="")
    listed = page.told("/api/log", do="list")["loads"]
    page.process.send_signal(signal.SIGINT)
    _, err = page.process.communicate(timeout=20)
    if page.process.returncode != 130 or "Traceback" in err:
        raise AssertionError(f"ended with {page.process.returncode}: {err}")
    if (folder / "after.toml").read_text("utf-8") != text or len(listed) < written.loads:
        raise AssertionError("the page does not go on")
    if leftovers(folder):
        raise AssertionError(f"left: {leftovers(folder)}")
