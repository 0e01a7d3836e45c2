"""Requests that no page would send, and some that it would, each with what may come of it."""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import replace
from urllib.parse import quote

from mouldgen.job.presets import names
from trials.near_page import PORT, TOKEN, Ask
from trials.page_bodies import broken, fields, job, kind, length, log, new, plain, rest, scan
from trials.page_meant import (
    BUSY,
    BYTES,
    DOTS,
    ENDS,
    FILES,
    HOST,
    JSON,
    POSTS,
    Meant,
    as_json,
    elsewhere,
    post,
)

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
    name = rng.choice(FILES) if rng.random() < 0.5 else elsewhere(rng)
    if rng.random() < 0.5:
        where = rng.choice(("folder", "folder", "shipped"))
        if where == "shipped" and rng.random() < 0.5:
            name = rng.choice(list(names("jobs")))
        return post("/api/open", as_json({"from": where, "name": name}))
    told = {"name": name, "text": f"format = 1\n# {rng.random()}\n", "over": rng.random() < 0.5}
    return post("/api/save", as_json({**told, "stamp": rng.choice(("", "0" * 32, "x" * 9999))}))


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
    ask = Ask(method, target, tuple(headers), (as_json({"from": "folder", "name": "pegs.toml"}),))
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
