"""Asks an ASGI application without a socket, with every byte of the request under control."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Awaitable, Callable, MutableMapping, Sequence
from dataclasses import dataclass
from typing import Any

Message = MutableMapping[str, Any]
App = Callable[..., Awaitable[None]]
HOST = "127.0.0.1:8765"


@dataclass(frozen=True, eq=False)
class Reply:
    """What came back: headers by small name, the last of equal ones."""

    status: int
    headers: dict[str, str]
    body: bytes

    @property
    def json(self) -> Any:
        """The body as JSON."""
        return json.loads(self.body)


def scope_of(
    method: str, path: str, headers: dict[str, str | None] | None = None, *, query: str = ""
) -> dict[str, Any]:
    """A request's head; its Host is this server's unless it says another, or None for no Host."""
    told: dict[str, str | None] = {"host": HOST}
    if method == "POST":
        told["content-type"] = "application/json"
    told |= headers or {}
    return {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "path": path,
        "raw_path": path.encode(),
        "query_string": query.encode(),
        "scheme": "http",
        "root_path": "",
        "headers": [(k.encode(), v.encode("latin-1")) for k, v in told.items() if v is not None],
        "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", 8765),
    }


async def asked(app: App, scope: dict[str, Any], pieces: Sequence[bytes] = (b"",)) -> Reply:
    """The reply to a request whose body comes in these pieces."""
    left = list(pieces)
    sent: list[Message] = []

    async def receive() -> Message:
        if left:
            return {"type": "http.request", "body": left.pop(0), "more_body": bool(left)}
        await asyncio.Event().wait()
        raise AssertionError("never")

    async def send(message: Message) -> None:
        sent.append(message)

    await app(scope, receive, send)
    head = sent[0]
    headers = {k.decode(): v.decode("latin-1") for k, v in head["headers"]}
    return Reply(head["status"], headers, b"".join(m.get("body", b"") for m in sent[1:]))
