"""The server: a port of this machine, the browser, and a clean end."""

from __future__ import annotations

import socket
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING

from mouldgen.errors import SurroundingsError

if TYPE_CHECKING:
    from types import FrameType

    from uvicorn import Config

    from mouldgen.page.guard import App

PORT = 8765
TRIED = 20  # ports after the first
LOOPBACK = "127.0.0.1"
LOOPBACKS = frozenset({"127.0.0.1", "localhost", "::1"})
_EVERYWHERE = frozenset({"0.0.0.0", "::"})
_MOST_CONNECTIONS = 512
_GRACE_S = 2


@dataclass(frozen=True, eq=False)
class Door:
    """Where the page is served.

    socket : bound and listening, so that the port is no one else's.
    host : as it was asked for.
    port : that was free.
    """

    socket: socket.socket
    host: str
    port: int


def open_door(host: str = LOOPBACK, port: int | None = None) -> Door:
    """A port to serve at.

    host : an address of this machine.
    port : that one and no other; None takes the first that is free.

    Raises SurroundingsError where there is none.
    """
    wanted = range(PORT, PORT + TRIED) if port is None else (port,)
    why: OSError | None = None
    for number in wanted:
        try:
            return Door(bound := _bound(host, number), host, bound.getsockname()[1])
        except OSError as problem:
            why = problem
    raise SurroundingsError(
        f"the page cannot be served there ({why.strerror or why if why else ''})",
        where=f"{host} port {wanted[0]}" + ("" if port is not None else f" to {wanted[-1]}"),
        try_="Name another port: --port 9000." if host in LOOPBACKS else "Name another --host.",
    )


def _bound(host: str, port: int) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    made = socket.socket(family, socket.SOCK_STREAM)
    try:
        if hasattr(socket, "SO_EXCLUSIVEADDRUSE"):  # Windows lets a second program take the port
            made.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
        else:  # else the port stays taken for a minute after the last page was closed
            made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        made.bind((host, port))
        made.listen()  # two that are started at once could both bind it
    except BaseException:
        made.close()
        raise
    return made


def address(door: Door, *, token: str = "") -> str:
    """What a person opens.

    door : where the page is served.
    token : that must be brought along; empty for none.

    Addresses in digits: a name is looked up in IPv6 first by some systems, which takes a second.
    """
    host = socket.gethostname() if door.host in _EVERYWHERE else door.host
    host = LOOPBACK if host == "localhost" else host
    shown = f"[{host}]" if ":" in host else host
    return f"http://{shown}:{door.port}/" + (f"?token={token}" if token else "")


def hosts_of(door: Door) -> frozenset[str]:
    """Names and addresses that requests may be meant for."""
    if door.host in LOOPBACKS:
        return LOOPBACKS
    own = {door.host.lower(), *LOOPBACKS}
    if door.host in _EVERYWHERE:
        name = socket.gethostname()
        own |= {name.lower(), f"{name.lower()}.local"}
        with suppress(OSError):
            own |= {str(found[4][0]).lower() for found in socket.getaddrinfo(name, None)}
    return frozenset(own)


def config_of(app: App) -> Config:
    """How an application is served.

    app : the guarded application.
    """
    import uvicorn

    from mouldgen.page.line import Line

    return uvicorn.Config(
        app,
        http=Line,
        log_config=None,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        lifespan="on",
        ws="none",
        limit_concurrency=_MOST_CONNECTIONS,
        timeout_graceful_shutdown=_GRACE_S,
    )


def serve(app: App, door: Door, *, when_open: Callable[[], None]) -> None:
    """Serve until the process is told to end.

    app : the guarded application.
    door : where.
    when_open : called once requests are answered.

    Raises KeyboardInterrupt where Ctrl-C ended it, after all is closed.
    """
    import uvicorn

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            if self.started:
                when_open()

        def handle_exit(self, sig: int, frame: FrameType | None) -> None:
            if not self.should_exit:  # pressed again while it closes, which takes no longer for it
                super().handle_exit(sig, frame)

    Server(config_of(app)).run(sockets=[door.socket])
