"""Lines on which nothing is said, and lines from which nothing is read: each is cut."""

from __future__ import annotations

import contextlib
import json
import socket
import time
from collections.abc import Iterator

import pytest

from mouldgen.job.presets import find_card
from mouldgen.page import line
from tests.page_server import PageServer

TEXT = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")
HEAD = b"GET /api/start HTTP/1.1\r\nHost: "
FORGIVEN_S = 5.0  # a machine that has much else to do


@contextlib.contextmanager
def connected(page: PageServer, *, room: int = 0) -> Iterator[socket.socket]:
    """A bare line; `room` is how many bytes the system keeps for who does not read."""
    with socket.socket() as plain:
        if room:
            plain.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, room)
        plain.settimeout(60.0)
        plain.connect(("127.0.0.1", page.port))
        yield plain


def seconds_until_cut(plain: socket.socket) -> float:
    """How long the server still keeps a line on which it says nothing more [s]."""
    begun = time.monotonic()
    with contextlib.suppress(ConnectionError):
        while plain.recv(65_536):
            pass
    return time.monotonic() - begun


def _ask_on(plain: socket.socket, request: bytes) -> None:
    """The same again and again, until the server has had enough."""
    until = time.monotonic() + 60.0
    while time.monotonic() < until:
        plain.sendall(request)


@pytest.mark.parametrize("said", [b"", HEAD], ids=["nothing", "half a head"])
def test_a_line_without_a_request_is_cut(
    page: PageServer, monkeypatch: pytest.MonkeyPatch, said: bytes
) -> None:
    monkeypatch.setattr(line, "HEAD_S", 0.4)
    with connected(page) as plain:
        plain.sendall(said)
        assert 0.2 < seconds_until_cut(plain) < FORGIVEN_S


def test_a_second_request_is_not_waited_for_without_end_either(
    page: PageServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(line, "HEAD_S", 0.4)
    with connected(page) as plain:
        plain.sendall(HEAD + f"127.0.0.1:{page.port}\r\n\r\n".encode())
        while b'"today"' not in plain.recv(65_536):
            pass
        plain.sendall(HEAD)
        assert 0.2 < seconds_until_cut(plain) < FORGIVEN_S


def test_a_head_that_is_there_in_time_is_answered(
    page: PageServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Work may take longer than the head of its request."""
    page.post("/api/early", text=TEXT)  # the process is ready
    monkeypatch.setattr(line, "HEAD_S", 0.05)
    assert page.post("/api/rest", text=TEXT, stills=True).lines[-1]["done"]["state"] == "ready"


def test_a_line_that_is_not_read_is_cut(page: PageServer, monkeypatch: pytest.MonkeyPatch) -> None:
    """One that asks and asks and never reads, until what it is told fits nowhere any more."""
    monkeypatch.setattr(line, "READ_S", 0.4)
    body = json.dumps({"text": TEXT, "known": ""}).encode()
    head = (
        f"POST /api/early HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\n"
        f"Content-Type: application/json\r\nContent-Length: {len(body)}\r\n\r\n"
    ).encode()
    with connected(page, room=4096) as plain, pytest.raises(ConnectionError):
        _ask_on(plain, head + body)
    assert page.post("/api/early", text=TEXT).status == 200
