"""``mouldgen page``: says where it is, takes a free port, and ends cleanly."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from mouldgen.cli.page import PageAsked, _first
from mouldgen.errors import JobError, SurroundingsError, UsageError
from mouldgen.page.serve import LOOPBACKS, Door, address, hosts_of, open_door
from tests.cli_runs import mouldgen

PEGS = 'format = 1\nname = "pegs"\n'


# -------------------------------------------------------------------------- ports


def test_the_next_free_port_is_taken_where_none_is_asked_for() -> None:
    # Two that are started at once: neither answers yet, and each has its own.
    with open_door().socket as first:
        taken = first.getsockname()[1]
        with open_door().socket as second:
            assert second.getsockname()[1] > taken


def test_a_port_that_is_asked_for_and_busy_is_told() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(SurroundingsError, match=rf"^127.0.0.1 port {port}: .*in use") as told:
            open_door(port=port)

    assert "--port" in told.value.try_
    assert mouldgen("page", "--no-browser", "--port", "0").code == 2


def test_an_address_of_another_machine_is_told() -> None:
    # TEST-NET-1 of RFC 5737: no machine has it.
    with pytest.raises(SurroundingsError, match=r"^192\.0\.2\.1 port 8765"):
        open_door("192.0.2.1")


@pytest.mark.parametrize(
    ("host", "shown"),
    [("127.0.0.1", "127.0.0.1"), ("localhost", "127.0.0.1"), ("::1", "[::1]"),
     ("192.168.1.7", "192.168.1.7"), ("0.0.0.0", socket.gethostname())],
)  # fmt: skip
def test_the_address_is_one_that_a_browser_opens(host: str, shown: str) -> None:
    with socket.socket() as unused:
        door = Door(unused, host, 8765)
        assert address(door) == f"http://{shown}:8765/"
        assert address(door, token="abc") == f"http://{shown}:8765/?token=abc"
        assert hosts_of(door) >= LOOPBACKS | ({shown.lower()} - {"[::1]"})
        if host in LOOPBACKS:
            assert hosts_of(door) == LOOPBACKS


# --------------------------------------------------------------- folder and job


def test_without_a_job_the_demo_is_opened_in_this_folder() -> None:
    folder, first = _first(PageAsked())

    assert (folder, first.name, first.stamp) == (Path(), "boathouse-pegs.toml", "")


def test_a_job_file_is_opened_in_its_own_folder(tmp_path: Path) -> None:
    (tmp_path / "pegs.toml").write_text(PEGS)

    folder, first = _first(PageAsked(str(tmp_path / "pegs.toml")))

    assert (folder, first.name, first.text) == (tmp_path, "pegs.toml", PEGS)
    assert first.stamp
    assert _first(PageAsked("gear-knob", folder=tmp_path))[1].name == "gear-knob.toml"


def test_what_does_not_go_together_is_refused(tmp_path: Path) -> None:
    (tmp_path / "pegs.toml").write_text(PEGS)
    (tmp_path / "sub").mkdir()

    with pytest.raises(UsageError, match="in another folder than the one that is served"):
        _first(PageAsked(str(tmp_path / "pegs.toml"), folder=tmp_path / "sub"))
    with pytest.raises(UsageError, match="there is no such folder"):
        _first(PageAsked(folder=tmp_path / "gone"))
    with pytest.raises(JobError, match="there is no such job"):
        _first(PageAsked("no-such-job"))


def test_bad_words_end_with_two() -> None:
    for words in (("page", "no-such-job"), ("page", "--port", "x"), ("page", "--nonsense")):
        told = mouldgen(*words)
        assert (told.code, told.out) == (2, "")
        assert "Traceback" not in told.err


# ------------------------------------------------------------------------ running


def children_of(pid: int) -> set[int]:
    """Processes that a process has started, by what the system tells (Linux only)."""
    told = Path(f"/proc/{pid}/task/{pid}/children").read_text()
    return {int(child) for child in told.split()}


@pytest.mark.skipif(not Path("/proc/self/task").exists(), reason="asks Linux for its processes")
@pytest.mark.parametrize("presses", [1, 3])
def test_ctrl_c_ends_the_page_and_all_its_processes(tmp_path: Path, presses: int) -> None:
    page = subprocess.Popen(
        [sys.executable, "-m", "mouldgen", "page", "--no-browser"],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
        start_new_session=True,
    )
    assert page.stdout is not None
    try:
        told = ""
        while not (found := re.search(r"^(http://127\.0\.0\.1:\d+/)$", told, re.MULTILINE)):
            told += (line := page.stdout.readline())
            assert line, page.communicate()
        with urllib.request.urlopen(f"{found[1]}api/start", timeout=20) as answer:
            assert answer.status == 200
        until = time.monotonic() + 20.0
        while len(started := children_of(page.pid)) < 3:  # with Python's own tracker
            assert time.monotonic() < until
            time.sleep(0.05)
        for _ in range(presses):
            os.killpg(page.pid, signal.SIGINT)  # as a terminal does: to all of them
            time.sleep(0.05)
        _, err = page.communicate(timeout=20)
    finally:
        page.kill()

    assert page.returncode == 130
    assert err.splitlines()[-2:] == ["Ctrl-C ends it.", "The page is closed."]
    assert "Traceback" not in err
    until = time.monotonic() + 5.0  # the one that tidies up after the others goes last
    while any(Path(f"/proc/{pid}").exists() for pid in started):
        assert time.monotonic() < until
        time.sleep(0.05)
    assert list(tmp_path.iterdir()) == []
