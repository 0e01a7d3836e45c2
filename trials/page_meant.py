"""What requests to the page are made of: paths, names, values, and what may come of them."""

from __future__ import annotations

import json
import random
from dataclasses import dataclass
from typing import Any

from mouldgen.page.description import REQUESTS
from trials.near_page import PORT, Ask

JSON, BYTES = b"application/json", b"application/octet-stream"
POSTS = [told.path for told in REQUESTS if told.method == "POST"]
READ = [path for path in POSTS if path != "/api/scan"]  # those that take JSON
HOST = (b"host", f"127.0.0.1:{PORT}".encode())
BUSY = 503  # the surroundings: a file that may not be written, a page that is not built
ANY = frozenset({200, 409, 413, 415, 422, BUSY})
DOTS = (
    "..", "%2e%2e", "%2E%2e", ".%2e", "%2e.", "%252e%252e", "..%00", "..%2f", "%2e%2e%2f", "..\\",
    "%5c..", "..%5c", "....", "..;", "..%c0%af", "%c0%ae%c0%ae", "%e0%80%ae%e0%80%ae",
    "%uff0e%uff0e", "%ef%bc%8e%ef%bc%8e", "..%e2%88%95", "%2e%2e%2e", ". .", "%20..", "..%20",
    "..%0a", "..%0d", "..%09", ".", "%2e", "", "~", "~root", "C:", "c%3a", "%00", "\\\\x", "con",
)  # fmt: skip
ENDS = (
    "secret.toml", "secret.stl", "etc/passwd", "windows/win.ini", "app.py", "pegs.toml",
    "index.html", "locked.toml", "sub/inner.toml", "shop.toml", "link.toml", "x.js", "x.css%00.js",
)  # fmt: skip
FILES = (
    "pegs.toml", "locked.toml", "link.toml", "shop.toml", "inner.toml", "gone.toml", "new.toml",
    "Pegs.TOML", "link.stl", "burl.stl", "my burl.STL", "new.3mf", "new.obj", "x" * 90 + ".toml",
    "con.toml", "NUL.stl", "com1.toml", ".toml", "pegs.toml ", "pegs.toml.", "pegs.toml/", "-.toml",
    "pegs.toml:x", "p\u200begs.toml", "p\u0435gs.toml", "pegs\u202elmot.toml", "pegs\n.toml", "",
    "*.toml", "$HOME.toml", "`id`.toml", "pegs.toml\0.stl", "/dev/zero", "\\\\host\\x.toml",
)  # fmt: skip
KEYS = (
    "order.pieces", "insert.diameter", "insert.measured", "piece.diameter", "piece.nosuch", "mould",
    "mould.gap", "resin.price", "colour", "colour.1.name", "colour.1", "colour.99.share", "name",
    "colour.-1.name", "insert.member.1.at", "", ".", "..", "a.b.c.d", "format", "__class__",
    "title", "insert.file", "order.due", "colour.1e9.name", "piece." * 500 + "x",
)  # fmt: skip
SAID = (
    "", "3", "22 mm", "7/8 in", "auto", "1e308 mm", "-1 mm", "nan", "9" * 5000, "[]",
    "[1, [2, [3]]]",
    '"', "'''", "x\ny = 1", "]\n[resin]\nx = 1", "#", "\\", "\0", "\u202e22 mm", "½ in", "22,5 mm",
    "../secret.stl", "~/x.stl", "/etc/passwd", "burl.stl", "link.stl", "true", "2026-11-30",
    "[" * 5000, "{a = {a = " * 900, "30 mm, " * 3000, "a" * 100_000,
)  # fmt: skip
NUMBERS = ("1e400", "-1e400", "9" * 6000, "1e-400", "NaN", "Infinity", "-0", "1.0", "0x1", "01")


@dataclass(frozen=True, eq=False)
class Meant:
    """A request and what may come of it.

    ask : itself.
    may : statuses that are right.
    token : whether the page is one beyond loopback.
    """

    ask: Ask
    may: frozenset[int]
    token: bool = False


def post(path: str, body: bytes, *, kind: bytes = JSON, may: frozenset[int] = ANY) -> Meant:
    """A POST with a body of one piece."""
    headers = (HOST, (b"content-type", kind), (b"content-length", str(len(body)).encode()))
    return Meant(Ask("POST", path.encode(), headers, (body,)), may)


def as_json(value: Any) -> bytes:
    """A value as the page would send it."""
    return json.dumps(value).encode()


def elsewhere(rng: random.Random) -> str:
    """A name that leads out of the folder."""
    told = "/".join(rng.choice(DOTS) for _ in range(rng.randint(1, 4)))
    return told + rng.choice(("/", "\\", "", "%2f")) + rng.choice(ENDS)
