"""A few seconds of the guided trial of each kind: enough to see that it works and finds nothing."""

from __future__ import annotations

import importlib.util
import re
import subprocess
import sys

import pytest

from trials.guided import KINDS


@pytest.mark.heavy
@pytest.mark.skipif(importlib.util.find_spec("atheris") is None, reason="atheris is for Linux")
@pytest.mark.parametrize("kind", KINDS)
def test_nothing_is_found_in_some_seconds(kind: str) -> None:
    words = [sys.executable, "-m", "trials.guided", kind, "--seconds", "10"]
    ran = subprocess.run(words, check=False, capture_output=True, text=True)

    assert ran.returncode == 0, ran.stdout[-4000:]
    told = re.search(r"Done (\d+) runs", ran.stdout)
    assert told is not None, ran.stdout
    assert int(told[1]) >= 100
