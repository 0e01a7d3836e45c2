"""Without any network but this machine's own: the main job once more where there is no other."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.browser.conftest import what_is_missing

pytestmark = pytest.mark.heavy

LO_UP = 'ip link set lo up && exec "$@"'
WHAT = "tests/browser/test_browser_main_job.py"


def cut_off() -> list[str]:
    """Words that run a command with no network but loopback; none where that is denied."""
    if not (shutil.which("unshare") and shutil.which("ip")):
        return []
    for user in ([], ["--map-root-user"]):
        words = ["unshare", "--net", *user, "sh", "-c", LO_UP, "sh"]
        if subprocess.run([*words, "true"], capture_output=True, check=False).returncode == 0:
            return words
    return []


def test_the_main_job_needs_no_network(tmp_path: Path) -> None:
    words = cut_off()
    if not words or what_is_missing():
        pytest.skip("no network can be taken away from a process here")
    told = subprocess.run(
        [*words, "python3", "-c", "import socket; socket.create_connection(('192.0.2.1', 80), 2)"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert "unreachable" in told.stderr  # TEST-NET-1 of RFC 5737: it is really cut off
    command = [sys.executable, "-m", "pytest", "-m", "heavy", "-q", "-p", "no:cacheprovider",
               "-p", "no:xdist", f"--basetemp={tmp_path / 'alone'}", WHAT]  # fmt: skip
    run = subprocess.run(
        [*words, *command],
        capture_output=True,
        text=True,
        check=False,
        timeout=240,
        env=os.environ | {"CI": "1"},  # so that nothing is skipped
    )
    assert run.returncode == 0, run.stdout[-3000:]
    assert "2 passed" in run.stdout
