"""The page's application in this process: its guard, its routes and its tasks, without a socket.

Tasks are done by the very function that does them in a process of the page, which answers into a
list here instead of a pipe.  Each page has a folder of its own with files that may be read, and
files around it that may not.
"""

from __future__ import annotations

import asyncio
import contextlib
import datetime as dt
import hashlib
import logging
import os
import shutil
import tempfile
from collections.abc import AsyncIterator, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import unquote

from mouldgen.job.presets import find_card, shipped_folder
from mouldgen.page import inside
from mouldgen.page.app import page_app
from mouldgen.page.file_answers import shipped_copy
from mouldgen.page.folder import Folder
from mouldgen.page.guard import App, Message, Rules
from mouldgen.page.served import Served
from mouldgen.page.work import Shop

TODAY = dt.date(2026, 11, 30)
PORT = 8765
HOSTS = frozenset({"127.0.0.1", "localhost", "::1"})
TOKEN = "t0ken-of-the-terminal"
SECRET = "nobody-may-read-this-4711"
DEMO = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")
SCAN = (shipped_folder() / "scans" / "burl-knob.stl").read_bytes()
BODY_S = 0.3  # until a body must be whole


@dataclass(frozen=True, eq=False)
class Ask:
    """A request, as its bytes say it.

    method, target : of its first line.
    headers : names and values, in order.
    pieces : of its body, as they come.
    ends : what comes behind them: nothing more, nothing at all, or that the browser is gone.
    """

    method: str
    target: bytes
    headers: tuple[tuple[bytes, bytes], ...]
    pieces: tuple[bytes, ...] = (b"",)
    ends: str = "whole"


@dataclass(eq=False)
class Told:
    """What came back, message by message."""

    messages: list[Message] = field(default_factory=list)

    @property
    def status(self) -> int:
        """Of the answer."""
        return int(self.messages[0]["status"])

    @property
    def headers(self) -> list[tuple[bytes, bytes]]:
        """Of the answer, in order."""
        return list(self.messages[0]["headers"])

    @property
    def body(self) -> bytes:
        """All of it."""
        return b"".join(message.get("body", b"") for message in self.messages[1:])


class _Pipe:
    """Takes what a process would send to the server."""

    def __init__(self) -> None:
        self.sent: list[tuple[int, str, Any]] = []

    def send(self, message: tuple[int, str, Any]) -> None:
        self.sent.append(message)

    def poll(self) -> bool:
        return False


class _NearWorker:
    """Does a task here and now, as `mouldgen.page.worker.Worker` has it done elsewhere."""

    def __init__(self, shop: Shop) -> None:
        self._shop = shop

    @contextlib.asynccontextmanager
    async def work(
        self, task: str, values: Mapping[str, Any], *, limit_s: float, lane: str = ""
    ) -> AsyncIterator[AsyncIterator[Any]]:
        del limit_s, lane
        pipe = _Pipe()
        inside._do(pipe, self._shop, 1, task, dict(values))  # type: ignore[arg-type]

        async def answers() -> AsyncIterator[Any]:
            for _, kind, value in pipe.sent:
                if kind == "part":
                    yield value
                elif kind != "end":
                    raise value

        yield answers()


class _Heard(logging.Handler):
    """Keeps what is logged: a page that is asked anything at all has nothing to log."""

    def __init__(self) -> None:
        super().__init__()
        self.lines: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.lines.append(self.format(record))


HEARD = _Heard()
logging.getLogger("mouldgen.page").addHandler(HEARD)
_memo: list[inside.WatchedMemo] = []  # solids are the same for every page
_loop: list[asyncio.Runner] = []  # one for all: each would start threads of its own


@dataclass(frozen=True, eq=False)
class NearPage:
    """A page.

    root : a folder with the page's own folder in it, and secrets around that.
    app : behind its guard.
    rules : of the guard.
    """

    root: Path
    app: App
    rules: Rules

    @property
    def folder(self) -> Path:
        """That is served."""
        return self.root / "jobs"

    def ask(self, ask: Ask) -> Told:
        """Ask, and wait for all that comes back."""
        if not _loop:
            _loop.append(asyncio.Runner())
        return _loop[0].run(_asked(self.app, ask))

    def around(self) -> dict[str, str]:
        """What lies around the folder, and in it where it must not change."""
        return {
            str(path.relative_to(self.root)): _told(path)
            for path in sorted(self.root.rglob("*"))
            if self.folder not in path.parents or path.name in {"locked.toml", "shop.toml"}
        }


@contextlib.contextmanager
def near_page(*, token: bool) -> Iterator[NearPage]:
    """A page of a fresh folder.

    token : whether it is one beyond loopback.
    """
    root = Path(tempfile.mkdtemp(prefix="mouldgen-page-"))
    try:
        folder = _furnished(root)
        HEARD.lines.clear()
        shop = Shop(inside.Bench(folder), watch=lambda: None)
        if not _memo:
            _memo.append(shop.memo)
        shop.memo = _memo[0]
        worker: Any = _NearWorker(shop)
        first = shipped_copy("boathouse-pegs")
        served = Served(Folder(folder), first, lambda: TODAY, quick=worker, slow=worker)
        rules = Rules(HOSTS, port=PORT, token=TOKEN if token else "", body_s=BODY_S)
        yield NearPage(root, page_app(served, rules=rules), rules)
    finally:
        shutil.rmtree(root)


def _furnished(root: Path) -> Path:
    folder = root / "jobs"
    (folder / "sub").mkdir(parents=True)
    secret = f'# {SECRET}\nformat = 1\nname = "secret"\n'
    for place in (root / "secret.toml", folder / "sub" / "inner.toml", folder / "shop.toml"):
        place.write_text(secret if place.name != "shop.toml" else f"# {SECRET}\nformat = 1\n")
    (root / "secret.stl").write_bytes(SCAN[:80] + SECRET.encode())
    (folder / "pegs.toml").write_text(DEMO)
    (folder / "locked.toml").write_text(DEMO)
    (folder / "locked.toml").chmod(0o444)
    (folder / "burl.stl").write_bytes(SCAN)
    if os.name == "posix":
        (folder / "link.toml").symlink_to(root / "secret.toml")
        (folder / "link.stl").symlink_to(root / "secret.stl")
    return folder


def _told(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "folder"


async def _asked(app: App, ask: Ask) -> Told:
    told = Told()
    coming = list(ask.pieces)
    done = asyncio.Event()

    async def receive() -> Message:
        if coming:
            piece = coming.pop(0)
            more = bool(coming) or ask.ends != "whole"
            return {"type": "http.request", "body": piece, "more_body": more}
        if ask.ends != "gone":
            await done.wait()
        return {"type": "http.disconnect"}

    async def send(message: Message) -> None:
        told.messages.append(message)
        if message["type"] == "http.response.body" and not message.get("more_body"):
            done.set()

    raw, _, query = ask.target.partition(b"?")
    scope = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": ask.method,
        "path": unquote(raw.decode("ascii")),  # as uvicorn reads it
        "raw_path": raw,
        "query_string": query,
        "scheme": "http",
        "root_path": "",
        "headers": list(ask.headers),
        "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", PORT),
        "state": {},
    }
    await app(scope, receive, send)
    return told
