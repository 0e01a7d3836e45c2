"""Processes that never hear of Ctrl-C."""

from __future__ import annotations

import signal
import subprocess
import sys

import pytest

from mouldgen.deaf import deaf_to_ctrl_c

pytestmark = pytest.mark.skipif(
    not hasattr(signal, "pthread_sigmask"), reason="no signals are kept back on this system"
)
CHILD = "input(); print('went on')"


def started() -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-c", CHILD],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip


def kept_back() -> bool:
    return signal.SIGINT in signal.pthread_sigmask(signal.SIG_BLOCK, set())


def test_a_process_that_is_started_meanwhile_goes_on_and_this_one_hears_again() -> None:
    assert not kept_back()
    with deaf_to_ctrl_c():
        assert kept_back()
        deaf = started()
    assert not kept_back()

    deaf.send_signal(signal.SIGINT)  # before it can say that it does not want to hear
    assert deaf.communicate("\n", timeout=20)[0] == "went on\n"
    assert deaf.returncode == 0


def test_any_other_process_is_ended() -> None:
    hearing = started()
    hearing.send_signal(signal.SIGINT)
    assert hearing.wait(20) != 0
    hearing.communicate()


def test_this_process_hears_again_where_none_could_be_started() -> None:
    with pytest.raises(OSError, match="no memory"), deaf_to_ctrl_c():
        raise OSError("no memory")
    assert not kept_back()
