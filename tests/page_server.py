"""The page as it is served, with its processes, on a free port."""

from __future__ import annotations

import contextlib
import datetime as dt
import http.client
import json
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import uvicorn

from mouldgen.page.app import page_app
from mouldgen.page.file_answers import shipped_copy
from mouldgen.page.framing import unframed
from mouldgen.page.guard import Rules
from mouldgen.page.inside import Bench
from mouldgen.page.serve import LOOPBACKS, config_of, open_door
from mouldgen.page.served import Served, serving
from tests.demo_set import DEMO

TODAY = dt.date(2026, 11, 30)
JSON = "application/json"


@dataclass(frozen=True, eq=False)
class Told:
    """What came back."""

    status: int
    body: bytes
    headers: dict[str, str] = field(default_factory=dict)

    @property
    def json(self) -> Any:
        """The body as JSON."""
        return json.loads(self.body)

    @property
    def problem(self) -> dict[str, str]:
        """What was wrong."""
        found: dict[str, str] = self.json["problem"]
        return found

    @property
    def head(self) -> dict[str, Any]:
        """The head of a binary answer."""
        return unframed(self.body)[0]

    @property
    def lines(self) -> list[dict[str, Any]]:
        """JSON line by line."""
        return [json.loads(line) for line in self.body.splitlines()]


@dataclass(frozen=True, eq=False)
class PageServer:
    """A page that is served."""

    folder: Path
    port: int
    served: Served

    def get(self, path: str, **headers: str) -> Told:
        """Look at a path."""
        return self._ask("GET", path, None, headers)

    def post(self, path: str, /, tab: str = "", **fields: Any) -> Told:
        """Send fields as JSON."""
        headers = {"content-type": JSON} | ({"x-tab": tab} if tab else {})
        return self._ask("POST", path, json.dumps(fields).encode(), headers)

    def send(self, path: str, body: bytes) -> Told:
        """Send bytes that claim to be JSON."""
        return self._ask("POST", path, body, {"content-type": JSON})

    def put_scan(self, name: str, data: bytes) -> Told:
        """Send the file of a scan."""
        headers = {"content-type": "application/octet-stream"}
        return self._ask("POST", f"/api/scan?name={name}", data, headers)

    def _ask(self, method: str, path: str, body: bytes | None, headers: dict[str, str]) -> Told:
        with contextlib.closing(self.connection()) as line:
            line.request(method, path, body, headers)
            answer = line.getresponse()
            told = {name.lower(): value for name, value in answer.getheaders()}
            return Told(answer.status, answer.read(), told)

    def connection(self) -> http.client.HTTPConnection:
        """A line to the server."""
        return http.client.HTTPConnection("127.0.0.1", self.port, timeout=120)


@contextlib.contextmanager
def running(folder: Path, **bench: Any) -> Iterator[PageServer]:
    """A page of a folder, until the block ends.

    bench : as of `mouldgen.page.inside.Bench`.
    """
    door = open_door(port=0)
    served = serving(
        folder, first=shipped_copy(DEMO), today=lambda: TODAY, bench=Bench(folder, **bench)
    )
    app = page_app(served, rules=Rules(LOOPBACKS, port=door.port))
    server = uvicorn.Server(config_of(app))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door.socket]}, daemon=True)
    thread.start()
    until = time.monotonic() + 60.0
    while not server.started:
        assert time.monotonic() < until, "the server did not start"
        time.sleep(0.02)
    try:
        yield PageServer(folder, door.port, served)
    finally:
        server.should_exit = True
        thread.join(20.0)
