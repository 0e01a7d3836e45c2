"""Lines on which nothing is said, or from which nothing is read, or which say what is none."""

from __future__ import annotations

import contextlib
import itertools
import json
import socket
import time
from collections.abc import Iterator

import pytest

from mouldgen.job.presets import find_card
from mouldgen.page import guard, line
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


@pytest.mark.parametrize(
    ("path", "kind", "size", "most"),
    [
        ("/api/early", "application/json", 1_000_000, "600 kB"),
        ("/api/early", "application/json", 100_000_000, "600 kB"),
        ("/api/scan?name=a.stl", "application/octet-stream", 100_000_000, "64 MB"),
    ],
)
@pytest.mark.parametrize("announced", [True, False])
def test_what_is_too_long_is_told_to_who_sends_it_all(
    page: PageServer, path: str, kind: str, size: int, most: str, *, announced: bool
) -> None:
    """Cut off while it sends, a browser would only see that the line is gone."""
    with contextlib.closing(page.connection()) as plain:
        body = itertools.repeat(b"x" * 1_000_000, size // 1_000_000)
        headers = {"content-type": kind} | ({"content-length": str(size)} if announced else {})
        plain.request("POST", path, body, headers, encode_chunked=not announced)
        told = plain.getresponse()
        assert (told.status, f"at most {most}." in told.read().decode()) == (413, True)


def test_who_never_ends_sending_is_cut(page: PageServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(guard, "DROPPED_S", 0.3)
    head = f"POST /api/early HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\n"
    with connected(page) as plain:
        plain.sendall(f"{head}Content-Length: 99999999\r\n\r\n".encode())
        assert plain.recv(65_536).startswith(b"HTTP/1.1 415")
        assert 0.1 < seconds_until_cut(plain) < FORGIVEN_S


HOST = b"Host: 127.0.0.1:%d\r\n"
LONG = b"POST /api/early HTTP/1.1\r\n" + HOST + b"Content-Type: application/json\r\n"


@pytest.mark.parametrize(
    ("request_", "what"),
    [
        (b"\0\1\r\n\r\n", b"This is no request."),
        (b"GET / HTTP/1.1\r\n\r\n", b"This is no request."),
        (b"GET / HTTP/1.1\r\n" + HOST + b"X: " + b"a" * 70_000, b"This is no request."),
        (LONG + b"Content-Length: -1\r\n\r\n", b"This is no request."),
        (LONG + b"Transfer-Encoding: chunked\r\n\r\nzz\r\n", b"This is no request."),
        (LONG + b"Content-Length: 9999999\r\n\r\n{}", b"This takes at most 600 kB."),
    ],
)
def test_what_is_no_request_is_told_and_nothing_is_said_on_the_terminal(
    page: PageServer, caplog: pytest.LogCaptureFixture, request_: bytes, what: bytes
) -> None:
    told = b""
    with connected(page) as plain:
        plain.sendall(request_.replace(b"%d", str(page.port).encode()))
        plain.shutdown(socket.SHUT_WR)
        with contextlib.suppress(ConnectionError):
            while piece := plain.recv(65_536):
                told += piece

    assert told.startswith(b"HTTP/1.1 4")
    assert told.count(b"HTTP/1.1") == 1
    assert what in told
    for name, value in guard.HEADERS:
        assert name + b": " + value in told
    assert "Traceback" not in caplog.text
    assert page.get("/api/start").status == 200


def test_what_is_told_breaks_off_where_the_request_does(
    page: PageServer, caplog: pytest.LogCaptureFixture
) -> None:
    """The refusal is out when the rest of the body turns out to be none."""
    with connected(page) as plain:
        head = LONG.replace(b"/api/early", b"/api/nothing").replace(b"json", b"pdf")
        plain.sendall(head.replace(b"%d", str(page.port).encode()))
        plain.sendall(b"Transfer-Encoding: chunked\r\n\r\n")
        assert plain.recv(65_536).startswith(b"HTTP/1.1 415")
        plain.sendall(b"zz\r\n")
        assert seconds_until_cut(plain) < FORGIVEN_S
    assert "Traceback" not in caplog.text
    assert page.get("/api/start").status == 200
