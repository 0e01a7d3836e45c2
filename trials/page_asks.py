"""Requests that no page would send, and some that it would, each with what may come of it."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Any
from urllib.parse import quote

import numpy as np

from mouldgen.job.presets import names
from mouldgen.page.description import REQUESTS
from mouldgen.page.download_task import PAPERS, WHATS
from trials.job_texts import spoilt, started
from trials.mesh_shapes import solid
from trials.mesh_spoilers import spoiled
from trials.mesh_writers import written
from trials.near_page import DEMO, PORT, SCAN, TOKEN, Ask

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


def _post(path: str, body: bytes, *, kind: bytes = JSON, may: frozenset[int] = ANY) -> Meant:
    headers = (HOST, (b"content-type", kind), (b"content-length", str(len(body)).encode()))
    return Meant(Ask("POST", path.encode(), headers, (body,)), may)


def _json(value: Any) -> bytes:
    return json.dumps(value).encode()


# --------------------------------------------------------------------------- addresses


def path(rng: random.Random) -> Meant:
    """An address that leads elsewhere, or nowhere."""
    before = rng.choice(
        ("/", "/assets/", "/assets/x/", "/api/", "/api/open/", "/static/", "//", "")
    )
    dots = "/".join(rng.choice(DOTS) for _ in range(rng.randint(1, 5)))
    told = before + dots + rng.choice(("/", "", "%2f", "\\")) + rng.choice(ENDS)
    if rng.random() < 0.2:
        told += rng.choice(("?", "?name=", "#", ";", "?token=")) + rng.choice(DOTS)
    raw = quote(told, safe="/%?=;#:~.\\").encode()
    method = rng.choice(("GET", "GET", "HEAD", "POST"))
    headers = (HOST, *(((b"content-type", JSON),) if method == "POST" else ()))
    # An empty way in and a way to the page itself are looks at the page.
    may = {400, 404, 405} | ({200, BUSY} if raw.partition(b"?")[0] == b"/" else set())
    return Meant(Ask(method, raw, headers), frozenset(may))


def named(rng: random.Random) -> Meant:
    """A job of the folder by any name, opened or saved."""
    name = rng.choice(FILES) if rng.random() < 0.5 else _elsewhere(rng)
    if rng.random() < 0.5:
        where = rng.choice(("folder", "folder", "shipped"))
        if where == "shipped" and rng.random() < 0.5:
            name = rng.choice(list(names("jobs")))
        return _post("/api/open", _json({"from": where, "name": name}))
    told = {"name": name, "text": f"format = 1\n# {rng.random()}\n", "over": rng.random() < 0.5}
    return _post("/api/save", _json({**told, "stamp": rng.choice(("", "0" * 32, "x" * 9999))}))


def _elsewhere(rng: random.Random) -> str:
    told = "/".join(rng.choice(DOTS) for _ in range(rng.randint(1, 4)))
    return told + rng.choice(("/", "\\", "", "%2f")) + rng.choice(ENDS)


# -------------------------------------------------------------------------- who asks


def asker(rng: random.Random) -> Meant:
    """A request that another page sends, or one that is meant for another server."""
    own = HOST[1].decode()
    hosts = (
        own, "localhost:8765", "[::1]:8765", "LOCALHOST:8765", "127.0.0.1", "127.0.0.1:80",
        "evil.example", "evil.example:8765", "127.0.0.1:8765@evil.example",
        "127.0.0.1.evil.example",
        "127.0.0.1:", "127.0.0.1:٣", "127.0.0.1:" + "9" * 5000, "0x7f.1:8765", "2130706433:8765",
        "[::ffff:127.0.0.1]:8765", "", "127.0.0.1:8765, evil.example", "localhost.:8765",
        "a" * 70_000,
    )  # fmt: skip
    origins = (
        None, None, f"http://{own}", "http://evil.example", "null", "", f"https://{own}",
        f"http://{own}.evil.example", f"http://{own}/", "file://", f"http://{own}, http://evil",
        "http://localhost:8765", "http://127.0.0.1:8766", "\xff",
    )  # fmt: skip
    sites = (None, None, "same-origin", "cross-site", "same-site", "none", "", "same-origin, none")
    host, origin, site = rng.choice(hosts), rng.choice(origins), rng.choice(sites)
    method = rng.choice(("GET", "POST"))
    headers = [(b"host", host.encode("utf-8"))] * rng.choice((1, 1, 1, 1, 0, 2))
    for name, value in ((b"origin", origin), (b"sec-fetch-site", site)):
        if value is not None:
            headers.append((name, value.encode("latin-1")))
    if method == "POST":
        headers.append((b"content-type", JSON))
    target = b"/api/start" if method == "GET" else b"/api/open"
    ask = Ask(method, target, tuple(headers), (_json({"from": "folder", "name": "pegs.toml"}),))
    good = len([name for name, _ in headers if name == b"host"]) == 1 and host.lower() in {
        own, "localhost:8765", "[::1]:8765",
    }  # fmt: skip
    if not good:
        return Meant(ask, frozenset({400}))
    here = origin is None or origin.lower() == f"http://{host}".lower()
    page = site in {None, "same-origin"} or (site == "none" and method == "GET")
    return Meant(ask, frozenset({200} if here and page else {403}))


def bearer(rng: random.Random) -> Meant:
    """A request to a page beyond loopback, with the token, without it, or with half of it."""
    tokens = (TOKEN, TOKEN, "", TOKEN[:-1], TOKEN + "x", TOKEN.upper(), "\xff", "a" * 100_000, "\0")
    told = rng.choice(tokens)
    names_ = (f"mouldgen-{PORT}", f"mouldgen-{PORT}", "mouldgen-1", "Mouldgen-8765", "")
    cookies = [f"{rng.choice(names_)}={told}", 'odd="{a;b}"', "=;", ";;", "x"]
    rng.shuffle(cookies)
    cookie = rng.choice(("; ", ";", ";;")).join(cookies).encode("latin-1")
    look = rng.random() < 0.4
    query = b"?token=" + quote(rng.choice(tokens), safe="", encoding="latin-1").encode()
    if rng.random() < 0.3:
        query += b"&token=" + TOKEN.encode()
    target = (b"/" if look else b"/api/start") + (query if rng.random() < 0.7 else b"")
    headers = (HOST, *(((b"cookie", cookie),) if rng.random() < 0.7 else ()))
    kept = any(
        pair.strip() == f"mouldgen-{PORT}={TOKEN}".encode()
        for _, value in headers[1:]
        for pair in value.split(b";")
    )
    brought = look and target.rpartition(b"token=")[2] == TOKEN.encode()
    may = {200, BUSY} if kept or brought else {403}
    return Meant(Ask("GET", target, headers), frozenset(may), token=True)


def method(rng: random.Random) -> Meant:
    """A method that is none, or not here."""
    told = rng.choice(
        ("PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT", "QUERY", "get", "X" * 3000, "GET",
         "POST", "HEAD", "PRI")
    )  # fmt: skip
    target = rng.choice(["/", "/api/start", "/assets/x.js", "/api/nothing", *POSTS])
    headers = (HOST, (b"content-type", BYTES if target == "/api/scan" else JSON))
    looks = {"/", "/api/start", "/assets/x.js"}
    if told not in {"GET", "HEAD", "POST"}:
        may = {405}
    elif target in {"/api/nothing", "/assets/x.js"}:
        may = {404, 405}
    elif (told == "POST") == (target in looks):
        may = {405}
    else:
        may = {200, 422, BUSY}
    return Meant(Ask(told, target.encode(), headers), frozenset(may))


def headers(rng: random.Random) -> Meant:
    """Odd headers, many of them, and very long ones."""
    value = rng.choice(
        (b"", b"\xff\xfe", b"a" * 200_000, b"0", b"-1", b"\t", b"x;y=z", b"bytes=0-")
    )
    name = rng.choice(
        (b"x-tab", b"accept", b"range", b"if-none-match", b"transfer-encoding", b"x-forwarded-host",
         b"x-forwarded-for", b"x-http-method-override", b"cookie", b"content-encoding", b"referer",
         b"accept-encoding", b"upgrade", b"connection", b"authorization", b"x" * 5000)
    )  # fmt: skip
    more = ((name, value),) * rng.choice((1, 1, 2, 2000))
    target = rng.choice((b"/api/start", b"/api/new"))
    kind = ((b"content-type", JSON),) if target == b"/api/new" else ()
    ask = Ask("POST" if kind else "GET", target, (HOST, *kind, *more), (b"{}" if kind else b"",))
    return Meant(ask, frozenset({200}))


# ---------------------------------------------------------------------------- bodies


def kind(rng: random.Random) -> Meant:
    """A body of another kind than it says, or than is taken."""
    target = rng.choice(POSTS)
    said = rng.choice(
        (b"text/plain", b"application/x-www-form-urlencoded", b"multipart/form-data; boundary=x",
         b"application/toml", b"application/x-ndjson", b"application/zip", b"",
         b"application/jsonp",
         b"application/json/x", b"\xff", b"APPLICATION/JSON", b"application/json;charset=utf-16",
         b"application/json, text/plain", JSON, BYTES)
    )  # fmt: skip
    body = rng.choice(
        (b"", b"a=1&b=2", b'--x\r\nContent-Disposition: form-data; name="text"\r\n\r\n1\r\n--x--',
         DEMO.encode(), b'{"a": 1}\n{"a": 2}\n', b"PK\3\4" + bytes(40), b"\xff\xfe{\0", b"\0" * 99)
    )  # fmt: skip
    wanted = BYTES if target == "/api/scan" else JSON
    fits = said.partition(b";")[0].strip().lower() == wanted
    return _post(target, body, kind=said, may=frozenset({422} if fits else {415}))


def broken(rng: random.Random) -> Meant:
    """JSON that is none, or that holds what no JSON should."""
    whole = _json({"text": DEMO, "key": "order.pieces", "said": "3", "what": "job", "do": "pour"})
    body = rng.choice(
        (
            lambda: whole[: rng.randrange(len(whole) - 1)],
            lambda: b"[" * rng.choice((10, 1000, 100_000, 590_000)),
            lambda: b'{"text":' * rng.choice((10, 1000, 60_000)),
            lambda: b'{"a":' * 400 + b"1" + b"}" * 400,
            lambda: rng.randbytes(rng.choice((1, 10, 1000, 100_000))),
            lambda: whole.decode().encode(rng.choice(("utf-16", "utf-32", "utf-7"))),
            lambda: b"\xef\xbb\xbf" + whole,
            lambda: rng.choice((b"", b"null", b"1", b'"x"', b"[]", b"true", b"NaN", b"\0")),
            lambda: b'{"text": ' + rng.choice(NUMBERS).encode() + b"}",
            lambda: b'{"text": "' + rng.choice((b"\\ud800", b"\\u0000", b"\\x", b"\xff", b"\n")),
            lambda: b'{"text": "\\ud800", "name": "\\udfff", "answers": ["\\ud83d"]}',
            lambda: whole + whole,
        )
    )()
    # UTF-16 and UTF-32 are read as JSON, and a body with a mark in front of it too.
    return _post(rng.choice(READ), body)


def fields(rng: random.Random) -> Meant:
    """JSON with fields of every type, those that there are and others."""
    told = {
        name: _any(rng)
        for name in ("text", "change", "key", "said", "add", "drop", "known", "today", "what",
                     "paper", "anyway", "stills", "answers", "do", "from", "name", "stamp", "over",
                     "load", "words", "gap", "again", "__proto__")
        if rng.random() < 0.6
    }  # fmt: skip
    if rng.random() < 0.5:
        told["text"] = rng.choice(
            (DEMO, "", "format = 1\n", "#" * 256_000, "#" * 256_001, "é" * 128_001)
        )
    return _post(rng.choice(READ), _json(told))


def _any(rng: random.Random) -> Any:
    return rng.choice(
        (None, True, False, 0, -1, 2**63, 10**400, 1e308, 0.1, "", "x", "a" * 70_000, [], [[]],
         ["x"], {}, {"key": "order.pieces", "said": "3"}, {"key": 1}, "2026-11-30", "0001-01-01",
         "9999-12-31", "2026-02-30", "stl", "shipped", "pour", "\0", "\u202e", "🪵" * 999)
    )  # fmt: skip


def length(rng: random.Random) -> Meant:
    """A body that is longer or shorter than it says, that never ends, or breaks off."""
    target = rng.choice(POSTS)
    base = (HOST, (b"content-type", BYTES if target == "/api/scan" else JSON))
    how = rng.randrange(5)
    if how == 0:  # says too much
        said = rng.choice(
            (b"64000001", b"999999999999999", b"9" * 5000, b"-1", b"1e9", b"0x10", b"", b"\xb2")
        )
        ask = Ask("POST", target.encode(), (*base, (b"content-length", said)), (b"{}",) * 3)
        return Meant(ask, frozenset({413}))
    if how == 1 and target != "/api/scan":  # is too much
        ask = Ask("POST", target.encode(), base, (b" " * 100_000,) * 7)
        return Meant(ask, frozenset({413}))
    if how == 2:  # breaks off
        pieces = (b'{"text": ',) * rng.randint(1, 3)
        return Meant(Ask("POST", target.encode(), base, pieces, "gone"), frozenset({400}))
    if how == 3 and rng.random() < 0.1:  # never ends; each of them is waited for
        return Meant(Ask("POST", target.encode(), base, (b"{",), "dawdles"), frozenset({408}))
    pieces = (b"",) * rng.randint(1, 50) + (b"{", b"}")
    return Meant(Ask("POST", target.encode(), base, pieces), frozenset({200, 422}))


# ------------------------------------------------------------------------------ work


def job(rng: random.Random) -> Meant:
    """A job that is spoilt, to be changed, shown, or taken along as it is."""
    text = started(rng) if rng.random() < 0.3 else DEMO
    if rng.random() < 0.7:
        text = spoilt(rng, text).decode("utf-8", "replace")
    change = {"key": rng.choice(KEYS), **_edit(rng)}
    how = rng.random()
    if how < 0.45:
        return _post("/api/change", _json({"text": text, **change}))
    if how < 0.9:
        told = {"text": text, "change": change, "known": rng.choice(("", "x"))}
        return _post("/api/early", _json(told))
    what = "job" if how < 0.95 else rng.choice(WHATS)
    return _post("/api/download", _json({"text": text, "what": what, "paper": rng.choice(PAPERS)}))


def _edit(rng: random.Random) -> dict[str, Any]:
    return rng.choice(
        ({"said": rng.choice(SAID)}, {"said": rng.choice(SAID)}, {"add": True}, {"drop": True})
    )


def rest(rng: random.Random) -> Meant:
    """The demo, or nearly, worked out whole or taken along whole."""
    text = DEMO if rng.random() < 0.5 else spoilt(rng, DEMO).decode("utf-8", "replace")
    if rng.random() < 0.5:
        day = rng.choice(("2026-11-30", "0001-01-01", "9999-12-31"))
        return _post("/api/rest", _json({"text": text, "stills": rng.random() < 0.3, "today": day}))
    return _post("/api/download", _json({"text": text, "what": rng.choice(WHATS), "anyway": True}))


def scan(rng: random.Random) -> Meant:
    """The file of a scan, sound or not, under any name."""
    name, data = rng.choice(FILES) if rng.random() < 0.6 else _elsewhere(rng), SCAN
    if rng.random() < 0.8:
        corners, faces = solid(rng)
        file = written(corners.astype(np.float32), faces, rng=rng)
        found = spoiled(file, rng)
        data = found.data if rng.random() < 0.7 else file.data
        name = found.name if rng.random() < 0.8 else name
    before = rng.choice(("?name=", "?name=", "?NAME=", "?name=a.stl&name=", "?"))
    return _post(f"/api/scan{before}{quote(name)}", data, kind=BYTES)


def log(rng: random.Random) -> Meant:
    """Something for the log, or out of it."""
    told: dict[str, Any] = {"do": rng.choice(("list", "pour", "pour", "result", "undo", "drop"))}
    texts = (
        "load",
        "shop",
        "close",
        "pressure",
        "when",
        "moulds",
        "mixed",
        "left",
        "note",
        "words",
    )
    told |= {name: _said(rng) for name in texts if rng.random() < 0.2}
    told |= {"gap": [_said(rng)] * rng.choice((1, 3, 101))} if rng.random() < 0.2 else {}
    if told["do"] == "pour":
        told["text"] = DEMO if rng.random() < 0.8 else spoilt(rng, DEMO).decode("utf-8", "replace")
    return _post("/api/log", _json(told))


def _said(rng: random.Random) -> str:
    return rng.choice(
        (*SAID[:-4], "1", "70 F", "50 psi", "2026-11-30 10:00", "yesterday", "A1 A2", "1-99999999",
         "120 g", "99999999999 kg", "1: ok", "all ok", "A1 void 3 mm", "\x1b[31m", "B" * 70_000)
    )  # fmt: skip


def new(rng: random.Random) -> Meant:
    """Answers to the ten questions."""
    good = ("hooks", "18", "rod", "30 mm, 70 mm", "26 mm", "", "", "none", "cup", "yes")
    told = [
        rng.choice((good[at % 10], "", rng.choice(SAID), _elsewhere(rng)))
        if rng.random() < 0.5
        else good[at % 10]
        for at in range(rng.choice((0, 1, 3, 9, 10, 10, 20, 21)))
    ]
    return _post("/api/new", _json({"answers": told}))


def plain(rng: random.Random) -> Meant:
    """What the page itself asks."""
    target, fields_ = rng.choice(
        (
            ("/api/early", {"text": DEMO, "change": {"key": "order.pieces", "said": "7"}}),
            ("/api/change", {"text": DEMO, "key": "colour", "add": True}),
            ("/api/open", {"from": "folder", "name": "pegs.toml"}),
            ("/api/save", {"name": "new.toml", "text": DEMO}),
            ("/api/new", {"answers": []}),
            ("/api/log", {"do": "list"}),
            ("/api/download", {"text": DEMO, "what": "job"}),
        )
    )
    return _post(target, _json(fields_), may=frozenset({200}))


KINDS: dict[Callable[[random.Random], Meant], int] = {
    path: 16, named: 10, asker: 8, bearer: 6, method: 6, headers: 4, kind: 6, broken: 8, fields: 8,
    length: 5, job: 8, rest: 1, scan: 6, log: 5, new: 4, plain: 2,
}  # fmt: skip


def meant(rng: random.Random) -> tuple[str, Meant]:
    """A request of any kind, and the kind's name."""
    (make,) = rng.choices(list(KINDS), list(KINDS.values()))
    found = make(rng)
    if rng.random() < 0.1 and found.ask.ends == "whole" and len(found.ask.pieces) == 1:
        whole = found.ask.pieces[0]  # in pieces, which must make no difference
        at = rng.randrange(len(whole) + 1)
        found = replace(found, ask=replace(found.ask, pieces=(whole[:at], whole[at:])))
    return make.__name__, found
