"""Requests whose body matters: of another kind, broken, too long, or asking for odd work."""

from __future__ import annotations

import random
from typing import Any
from urllib.parse import quote

import numpy as np

from mouldgen.page.download_task import PAPERS, WHATS
from trials.job_texts import spoilt, started
from trials.mesh_shapes import solid
from trials.mesh_spoilers import spoiled
from trials.mesh_writers import written
from trials.near_page import DEMO, SCAN, Ask
from trials.page_meant import (
    BYTES,
    FILES,
    HOST,
    JSON,
    KEYS,
    NUMBERS,
    POSTS,
    READ,
    SAID,
    Meant,
    as_json,
    elsewhere,
    post,
)

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
    return post(target, body, kind=said, may=frozenset({422} if fits else {415}))


def broken(rng: random.Random) -> Meant:
    """JSON that is none, or that holds what no JSON should."""
    whole = as_json({"text": DEMO, "key": "order.pieces", "said": "3", "what": "job", "do": "pour"})
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
    return post(rng.choice(READ), body)


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
    return post(rng.choice(READ), as_json(told))


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
        return post("/api/change", as_json({"text": text, **change}))
    if how < 0.9:
        told = {"text": text, "change": change, "known": rng.choice(("", "x"))}
        return post("/api/early", as_json(told))
    what = "job" if how < 0.95 else rng.choice(WHATS)
    return post("/api/download", as_json({"text": text, "what": what, "paper": rng.choice(PAPERS)}))


def _edit(rng: random.Random) -> dict[str, Any]:
    return rng.choice(
        ({"said": rng.choice(SAID)}, {"said": rng.choice(SAID)}, {"add": True}, {"drop": True})
    )


def rest(rng: random.Random) -> Meant:
    """The demo, or nearly, worked out whole or taken along whole."""
    text = DEMO if rng.random() < 0.5 else spoilt(rng, DEMO).decode("utf-8", "replace")
    if rng.random() < 0.5:
        day = rng.choice(("2026-11-30", "0001-01-01", "9999-12-31"))
        stills = rng.random() < 0.3
        return post("/api/rest", as_json({"text": text, "stills": stills, "today": day}))
    return post("/api/download", as_json({"text": text, "what": rng.choice(WHATS), "anyway": True}))


def scan(rng: random.Random) -> Meant:
    """The file of a scan, sound or not, under any name."""
    name, data = rng.choice(FILES) if rng.random() < 0.6 else elsewhere(rng), SCAN
    if rng.random() < 0.8:
        corners, faces = solid(rng)
        file = written(corners.astype(np.float32), faces, rng=rng)
        found = spoiled(file, rng)
        data = found.data if rng.random() < 0.7 else file.data
        name = found.name if rng.random() < 0.8 else name
    before = rng.choice(("?name=", "?name=", "?NAME=", "?name=a.stl&name=", "?"))
    return post(f"/api/scan{before}{quote(name)}", data, kind=BYTES)


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
    return post("/api/log", as_json(told))


def _said(rng: random.Random) -> str:
    return rng.choice(
        (*SAID[:-4], "1", "70 F", "50 psi", "2026-11-30 10:00", "yesterday", "A1 A2", "1-99999999",
         "120 g", "99999999999 kg", "1: ok", "all ok", "A1 void 3 mm", "\x1b[31m", "B" * 70_000)
    )  # fmt: skip


def new(rng: random.Random) -> Meant:
    """Answers to the ten questions."""
    good = ("hooks", "18", "rod", "30 mm, 70 mm", "26 mm", "", "", "none", "cup", "yes")
    told = [
        rng.choice((good[at % 10], "", rng.choice(SAID), elsewhere(rng)))
        if rng.random() < 0.5
        else good[at % 10]
        for at in range(rng.choice((0, 1, 3, 9, 10, 10, 20, 21)))
    ]
    return post("/api/new", as_json({"answers": told}))


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
    return post(target, as_json(fields_), may=frozenset({200}))
