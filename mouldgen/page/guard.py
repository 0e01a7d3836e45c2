"""What stands in front of every request: who may ask, how much, how long, how many at once.

The page is for the person at this machine.  Any other page that is open in the same browser can
send requests here too, and so can, with ``--host``, everyone in the network.  So a request is
looked at before anything else sees it:

- its Host must be this server's, else a foreign name that was made to point here would do;
- what is not a plain look at the page must come from the page itself (Origin, Sec-Fetch-Site);
- beyond loopback it must bring the token that the terminal shows;
- its body must be small, whole within seconds, and of the kind that no foreign form can send;
- no part of its path may lead out of a folder.

Every answer, refusals too, tells the browser to load nothing from elsewhere.
"""

from __future__ import annotations

import asyncio
import contextlib
import hmac
import json
import logging
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import parse_qs

LOG = logging.getLogger("mouldgen.page")

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

MOST_JSON_BYTES = 600_000  # a job's text of 256 kB, whatever JSON makes of its line ends
MOST_SCAN_BYTES = 64_000_000
BODY_S = 15.0
MOST_AT_ONCE = 64
WAIT_S = 20.0
SCANS_AT_ONCE = 2
DROPPED_S = 10.0
DROPPED_BYTES = 2**30
_MOST_DIGITS = 15  # of a length or a port; of thousands Python makes no number at all

SCAN_PATH = "/api/scan"
LOOKS = frozenset({"GET", "HEAD"})
METHODS = LOOKS | {"POST"}

HEADERS = (
    (
        b"content-security-policy",
        (
            b"default-src 'self'; img-src 'self' data: blob:; style-src 'self'; object-src 'none';"
            b" frame-ancestors 'none'; base-uri 'none'; form-action 'self'"
        ),
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"x-frame-options", b"DENY"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cross-origin-opener-policy", b"same-origin"),
)


@dataclass(frozen=True, eq=False)
class Rules:
    """What is let through.

    hosts : names and addresses of this server, small letters, without a port.
    port : of this server; 0 lets every port through.
    token : that must be brought along; empty for none.
    body_s : until a body must be whole [s].
    at_once : requests that are worked on at the same time.
    wait_s : that others wait for those [s].
    """

    hosts: frozenset[str]
    port: int = 0
    token: str = ""
    body_s: float = BODY_S
    at_once: int = MOST_AT_ONCE
    wait_s: float = WAIT_S
    cookie: str = field(init=False, default="")

    def __post_init__(self) -> None:
        # Browsers keep cookies by host alone: two pages on two ports would overwrite each other's.
        object.__setattr__(self, "cookie", f"mouldgen-{self.port}")


class Refused(Exception):  # noqa: N818 - it is an answer
    """A request that is not let through.

    status : of the answer.
    what : a sentence.
    allow : methods that there are at the address, where that is what is wrong.
    """

    def __init__(self, status: int, what: str, *, allow: bytes = b"") -> None:
        super().__init__(what)
        self.status = status
        self.what = what
        self.allow = allow


class Guard:
    """An application behind the rules.

    app : that sees only what is let through.
    rules : what that is.
    within : the application.
    """

    def __init__(self, app: App, rules: Rules) -> None:
        self.within = app
        self._rules = rules
        self._room = asyncio.Semaphore(rules.at_once)
        self._scans = asyncio.Semaphore(SCANS_AT_ONCE)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request or refuse it."""
        if scope["type"] == "lifespan":
            await self.within(scope, receive, send)
        elif scope["type"] == "http":
            await self._http(scope, receive, send)
        elif scope["type"] == "websocket":
            await receive()
            await send({"type": "websocket.close", "code": 1008})

    async def _http(self, scope: Scope, receive: Receive, send: Send) -> None:
        answer = _Answer(send)
        most = MOST_SCAN_BYTES if scope["path"] == SCAN_PATH else MOST_JSON_BYTES
        body = _Body(receive, most=most, seconds=self._rules.body_s)
        try:
            if self._let_in(scope):
                answer.cookie = self._cookie()
            await self._in_turn(scope, body, answer)
        except Refused as refusal:
            # Without its traceback, which would keep what has come of the body meanwhile.
            await answer.refuse(refusal.with_traceback(None), body)
        except Exception:
            LOG.exception("%s %s", scope["method"], scope["path"])
            await answer.refuse(Refused(500, "mouldgen hit a bug, and it is not your doing"), body)

    async def _in_turn(self, scope: Scope, body: _Body, answer: _Answer) -> None:
        scan = scope["path"] == SCAN_PATH
        body.announced(_header(scope, b"content-length"))
        room = self._scans if scan else self._room
        if not scan:
            coming = await body.whole()  # before its turn: who dawdles keeps nobody waiting
        try:
            await asyncio.wait_for(room.acquire(), self._rules.wait_s)
        except TimeoutError:
            raise Refused(503, "there is too much to do at the moment") from None
        try:
            if scan:  # in its turn: only so many are in memory at once
                body.from_now(self._rules.body_s)
                coming = await body.whole()
            await self.within(scope, coming, answer)
        finally:
            room.release()

    # ------------------------------------------------------------------- who asks

    def _let_in(self, scope: Scope) -> bool:
        """Whether the token came in the address, so that it is to be kept.  Raises Refused."""
        self._require_host(scope)
        if scope["method"] not in METHODS:
            raise Refused(405, "there is no such method here", allow=_methods_of(scope["path"]))
        _require_plain_path(scope)
        if scope["method"] == "POST" or scope["path"].startswith("/api/"):
            self._require_own(scope)
        fresh = self._require_token(scope)
        if scope["method"] == "POST":
            _require_kind(scope)
        return fresh

    def _require_host(self, scope: Scope) -> None:
        told = [value for name, value in scope["headers"] if name == b"host"]
        if len(told) != 1 or not self._is_own(told[0].decode("latin-1").lower()):
            raise Refused(400, "this is no address of this page")

    def _is_own(self, host: str) -> bool:
        name, _, port = host.rpartition(":") if ":" in host.rpartition("]")[2] else (host, "", "")
        if port and not _is_count(port):
            return False
        own_port = self._rules.port in {0, int(port) if port else 80}
        return own_port and name.removeprefix("[").removesuffix("]") in self._rules.hosts

    def _require_own(self, scope: Scope) -> None:
        """Only the page itself asks for more than the page."""
        site = _header(scope, b"sec-fetch-site")
        typed = scope["method"] in LOOKS and site == "none"  # an address that a person typed
        if site is not None and site != "same-origin" and not typed:
            raise Refused(403, "only the page itself may ask for this")
        origin = _header(scope, b"origin")
        if origin is not None and origin.lower() != f"http://{_header(scope, b'host')}".lower():
            raise Refused(403, "only the page itself may ask for this")

    def _require_token(self, scope: Scope) -> bool:
        token = self._rules.token
        if not token:
            return False
        if any(_same(kept, token) for kept in _cookies(scope, self._rules.cookie)):
            return False
        if scope["method"] in LOOKS and scope["path"] == "/":
            given = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])
            if _same(given[-1], token):
                return True
        raise Refused(403, "open the page with the whole address that the terminal shows")

    def _cookie(self) -> bytes:
        kept = f"{self._rules.cookie}={self._rules.token}; Path=/; HttpOnly; SameSite=Strict"
        return kept.encode("ascii")


def _require_plain_path(scope: Scope) -> None:
    """No path that any system could read as one that leads elsewhere."""
    path: str = scope["path"]
    raw: bytes = scope.get("raw_path") or b""
    if (
        not path.startswith("/")
        or "\\" in path
        or ":" in path
        or any(not sign.isprintable() for sign in path)
        or any(part in {".", ".."} for part in path.split("/"))
        or "//" in path
        or b"%2f" in raw.lower()
    ):
        raise Refused(400, "this is no path of this page")


def _methods_of(path: str) -> bytes:
    """What a 405 must tell (RFC 9110, 15.5.6)."""
    return b"POST" if path.startswith("/api/") and path != "/api/start" else b"GET, HEAD"


def _require_kind(scope: Scope) -> None:
    """No form of a foreign page can send these kinds without being asked first."""
    kind = (_header(scope, b"content-type") or "").partition(";")[0].strip().lower()
    wanted = "application/octet-stream" if scope["path"] == SCAN_PATH else "application/json"
    if kind != wanted:
        raise Refused(415, f"this takes {wanted}")


def _same(given: str, token: str) -> bool:
    return hmac.compare_digest(given.encode("utf-8", "replace"), token.encode())


def _is_count(text: str) -> bool:
    """Whether a text is a number as headers write them, which Python's own idea is wider than."""
    return text.isascii() and text.isdigit() and len(text) <= _MOST_DIGITS


def _header(scope: Scope, name: bytes) -> str | None:
    found = [value for key, value in scope["headers"] if key == name]
    return ", ".join(value.decode("latin-1") for value in found) if found else None


def _cookies(scope: Scope, name: str) -> list[str]:
    """All that a browser keeps under a name for this host.

    Not read by a library: that stops at the first odd one, which another program's may be.
    """
    pairs = [pair.strip().partition("=") for pair in (_header(scope, b"cookie") or "").split(";")]
    return [value for told, _, value in pairs if told == name]


class _Body:
    """The body of a request, counted and timed as it comes."""

    def __init__(self, receive: Receive, *, most: int, seconds: float) -> None:
        self._receive = receive
        self._most = most
        self._seconds = seconds
        self._until = asyncio.get_running_loop().time() + seconds
        self._seen = 0
        self._all = False

    def announced(self, length: str | None) -> None:
        """Refuse what says beforehand that it is too long."""
        if length is not None and (not _is_count(length) or int(length) > self._most):
            raise self._too_long()

    def _too_long(self) -> Refused:
        most = self._most // 1000
        return Refused(
            413,
            f"this takes at most {most} kB"
            if most < 1000
            else f"this takes at most {most // 1000} MB",
        )

    def from_now(self, seconds: float) -> None:
        """Let it take so long from now on [s]."""
        self._until = asyncio.get_running_loop().time() + seconds

    async def piece(self) -> Message:
        """The next piece, or that the other side is gone."""
        left = self._until - asyncio.get_running_loop().time()
        try:
            message = await asyncio.wait_for(self._receive(), max(left, 0.001))
        except TimeoutError:
            raise Refused(408, "the request took too long to come") from None
        self._seen += len(message.get("body", b""))
        self._all = not message.get("more_body", False)
        if self._seen > self._most:
            raise self._too_long()
        return message

    async def whole(self) -> Receive:
        """All of it, to be received in one piece."""
        pieces: list[bytes] = []
        while not self._all:
            message = await self.piece()
            if message["type"] == "http.disconnect":
                raise Refused(400, "the request ended before it was whole")
            pieces.append(message.get("body", b""))
        first: list[Message] = [
            {"type": "http.request", "body": b"".join(pieces), "more_body": False}
        ]

        async def receive() -> Message:
            return first.pop() if first else await self._receive()

        return receive

    async def dropped(self) -> None:
        """Read what is still coming, so much and so long, and keep none of it.

        A browser that is cut off while it sends never looks at what it was answered.
        """
        seconds = min(self._seconds, DROPPED_S)
        seen = 0
        with contextlib.suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                while not self._all and seen < DROPPED_BYTES:
                    message = await self._receive()
                    seen += len(message.get("body", b""))
                    self._all = not message.get("more_body", False)


class _Answer:
    """An answer on its way, with the headers that every one has."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self._begun = False
        self.cookie = b""

    async def __call__(self, message: Message) -> None:
        """As an application sends."""
        if message["type"] == "http.response.start":
            self._begun = True
            own = {name for name, _ in HEADERS}
            kept = [(name, value) for name, value in message["headers"] if name not in own]
            if not any(name == b"cache-control" for name, _ in kept):
                kept.append((b"cache-control", b"no-store"))
            if self.cookie:
                kept.append((b"set-cookie", self.cookie))
            message = {**message, "headers": [*kept, *HEADERS]}
        await self._send(message)

    async def refuse(self, refusal: Refused, body: _Body) -> None:
        """Say no, in a sentence, where nothing was said yet; then let the other side finish."""
        if self._begun:
            return
        told = refused_body(refusal.what)
        headers = [
            (b"content-type", b"application/json"),
            (b"content-length", str(len(told)).encode()),
            (b"connection", b"close"),
            *([(b"allow", refusal.allow)] if refusal.allow else []),
        ]
        await self({"type": "http.response.start", "status": refusal.status, "headers": headers})
        await self({"type": "http.response.body", "body": told, "more_body": True})
        await body.dropped()
        await self({"type": "http.response.body", "body": b""})


def refused_body(what: str) -> bytes:
    """The body of an answer that says no.

    what : a sentence without its full stop, small at its beginning.
    """
    text = what[:1].upper() + what[1:] + "."
    facts = {"id": "refused", "what": what, "where": "", "key": ""}
    return json.dumps({"problem": {**facts, "allowed": "", "try": "", "text": text}}).encode()
