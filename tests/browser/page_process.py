"""`mouldgen page` as a process of its own, and what its processes and the browser's take."""

from __future__ import annotations

import contextlib
import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

TICKS = os.sysconf("SC_CLK_TCK")
PAGE_BYTES = os.sysconf("SC_PAGE_SIZE")


@dataclass(frozen=True, eq=False)
class PageProcess:
    """A page that runs.

    pid : of the process.
    port : that it serves at.
    began : when it was started, by the monotonic clock [s].
    """

    pid: int
    port: int
    began: float


@contextlib.contextmanager
def page_process(folder: Path) -> Iterator[PageProcess]:
    """Run the command as a person does, until the block ends."""
    began = time.monotonic()
    page = subprocess.Popen(
        [sys.executable, "-m", "mouldgen", "page", "--no-browser", "--no-castings"],
        cwd=folder,
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
        start_new_session=True,
    )
    assert page.stdout is not None
    try:
        port = None
        while port is None:
            line = page.stdout.readline()
            assert line, "the page ended before it was served"
            if found := re.match(r"http://127\.0\.0\.1:(\d+)/", line):
                port = int(found[1])
        yield PageProcess(page.pid, port, began)
        os.killpg(page.pid, signal.SIGINT)
        assert page.wait(20) == 130
    finally:
        page.stdout.close()
        page.kill()
        page.wait(20)


def descendants(pid: int) -> list[int]:
    """A process and all that it has started, by what the system tells (Linux only)."""
    found = [pid]
    for one in found:
        with contextlib.suppress(OSError):
            for thread in Path(f"/proc/{one}/task").iterdir():
                found += map(int, (thread / "children").read_text().split())
    return found


def renderers(pid: int) -> list[int]:
    """Processes below this one that draw the pages of a browser."""
    return [
        one for one in descendants(pid)
        if b"--type=renderer" in Path(f"/proc/{one}/cmdline").read_bytes()
    ]  # fmt: skip


def cpu_s(pids: list[int]) -> float:
    """Time of a core that they have taken, all together [s]."""
    total = 0
    for pid in pids:
        told = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
        total += int(told[11]) + int(told[12])  # utime and stime, proc_pid_stat(5)
    return total / TICKS


def resident_bytes(pids: list[int]) -> int:
    """Memory that they hold, all together [byte]."""
    return sum(int(Path(f"/proc/{pid}/statm").read_text().split()[1]) * PAGE_BYTES for pid in pids)
