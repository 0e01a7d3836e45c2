"""Who is let through to the page, and with what."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

from mouldgen.page.guard import HEADERS, MOST_JSON_BYTES, Guard, Rules
from tests.asked_of_app import HOST, Message, Reply, asked, scope_of

LOOPBACKS = frozenset({"127.0.0.1", "localhost", "::1"})
RULES = Rules(LOOPBACKS, port=8765)
TOKEN = "t0ken-of-the-terminal"
AFAR = Rules(LOOPBACKS | {"192.168.1.7"}, port=8765, token=TOKEN)


async def echo(scope: dict[str, Any], receive: Any, send: Any) -> None:
    """Answers with the body that it got."""
    body = b""
    while True:
        message = await receive()
        body += message.get("body", b"")
        if not message.get("more_body"):
            break
    await send({"type": "http.response.start", "status": 200, "headers": [(b"x-own", b"1")]})
    await send({"type": "http.response.body", "body": body})


def reply(
    method: str,
    path: str,
    headers: dict[str, str | None] | None = None,
    *,
    rules: Rules = RULES,
    pieces: tuple[bytes, ...] = (b"{}",),
    query: str = "",
) -> Reply:
    async def run() -> Reply:
        return await asked(Guard(echo, rules), scope_of(method, path, headers, query=query), pieces)

    return asyncio.run(run())


# -------------------------------------------------------------------------- Host


@pytest.mark.parametrize("host", [HOST, "localhost:8765", "[::1]:8765", "LOCALHOST:8765"])
def test_this_servers_names_are_let_through(host: str) -> None:
    assert reply("GET", "/", {"host": host}).status == 200


@pytest.mark.parametrize(
    "host",
    [
        "evil.example", "evil.example:8765", "127.0.0.1.evil.example:8765", "127.0.0.1:8766",
        "127.0.0.1", "", None, "127.0.0.1:8765, evil.example", "localhost:8765@evil.example",
        "127.0.0.1:port", "[::1", "0x7f000001:8765", "127.0.0.1.:8765", "127.1:8765",
        "127.0.0.1:\xb2", f"127.0.0.1:{'8' * 5000}",  # digits to Python, or too many for it
    ],
)  # fmt: skip
def test_any_other_host_is_refused_with_400(host: str | None) -> None:
    """A name of a foreign page can be made to point here; its Host still tells (RFC 9110 7.2)."""
    for method, path in (("GET", "/"), ("GET", "/api/start"), ("POST", "/api/early")):
        assert reply(method, path, {"host": host}).status == 400


def test_two_hosts_are_refused() -> None:
    scope = scope_of("GET", "/")
    scope["headers"].append((b"host", b"evil.example"))

    assert asyncio.run(asked(Guard(echo, RULES), scope)).status == 400


# ------------------------------------------------------------------------ Origin


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": f"https://{HOST}"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": f"http://{HOST}", "sec-fetch-site": "cross-site"},
    ],
)
@pytest.mark.parametrize(("method", "path"), [("POST", "/api/early"), ("GET", "/api/start")])
def test_a_foreign_page_is_refused_with_403(
    headers: dict[str, str | None], method: str, path: str
) -> None:
    told = reply(method, path, headers)

    assert told.status == 403
    assert told.json["problem"]["text"] == "Only the page itself may ask for this."


def test_a_post_that_nobody_typed_needs_the_page() -> None:
    assert reply("POST", "/api/save", {"sec-fetch-site": "none"}).status == 403
    assert reply("GET", "/api/start", {"sec-fetch-site": "none"}).status == 200


def test_the_page_itself_is_let_through() -> None:
    own = {"origin": f"http://{HOST}", "sec-fetch-site": "same-origin"}

    assert reply("POST", "/api/early", own).status == 200
    assert reply("GET", "/", {"sec-fetch-site": "cross-site"}).status == 200  # a link to it


# -------------------------------------------------------------- methods and kinds


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE", "CONNECT"])
def test_other_methods_are_refused(method: str) -> None:
    assert reply(method, "/api/early").status == 405


@pytest.mark.parametrize(
    "kind",
    [None, "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"],
)
def test_what_a_foreign_form_can_send_is_refused(kind: str | None) -> None:
    """The three kinds that need no asking beforehand (Fetch standard, CORS-safelisted)."""
    assert reply("POST", "/api/early", {"content-type": kind}).status == 415
    assert reply("POST", "/api/scan", {"content-type": kind}).status == 415


def test_json_with_a_charset_is_json() -> None:
    told = reply("POST", "/api/early", {"content-type": "Application/JSON; charset=utf-8"})

    assert (told.status, told.body) == (200, b"{}")


# ------------------------------------------------------------------------- paths


@pytest.mark.parametrize(
    "path",
    [
        "/../etc/passwd", "/assets/../../app.py", "/assets/..", "/assets/./x.js", "/assets\\x.js",
        "/assets/..\\x.js", "/c:/windows/win.ini", "/assets/x.js\0.css", "//evil.example/x",
        "/assets/\n", "/assets/x.js::$data", "assets/x.js", "/assets/\x7f",
    ],
)  # fmt: skip
def test_a_path_that_could_lead_elsewhere_is_refused(path: str) -> None:
    assert reply("GET", path).status == 400


def test_a_hidden_slash_is_refused() -> None:
    scope = scope_of("GET", "/assets/a/b") | {"raw_path": b"/assets/a%2Fb"}

    assert asyncio.run(asked(Guard(echo, RULES), scope)).status == 400


# ------------------------------------------------------------------------- token


def test_without_the_token_nothing_is_shown_beyond_loopback() -> None:
    there: dict[str, str | None] = {"host": "192.168.1.7:8765"}
    for path, query in (("/", ""), ("/", "token=other"), ("/api/start", f"token={TOKEN}")):
        told = reply("GET", path, there, rules=AFAR, query=query)
        assert (told.status, "set-cookie" in told.headers) == (403, False)


def test_the_token_goes_from_the_address_into_a_cookie_that_no_script_reads() -> None:
    told = reply("GET", "/", {"host": "192.168.1.7:8765"}, rules=AFAR, query=f"token={TOKEN}")

    assert told.status == 200
    assert told.headers["set-cookie"] == f"mouldgen-8765={TOKEN}; Path=/; HttpOnly; SameSite=Strict"


def test_the_cookie_is_enough_from_then_on() -> None:
    for path in ("/", "/api/start", "/assets/x.js"):
        own: dict[str, str | None] = {"cookie": f"a=b; mouldgen-8765={TOKEN}"}
        assert reply("GET", path, own, rules=AFAR).status == 200
        wrong: dict[str, str | None] = {"cookie": f"mouldgen-8765={TOKEN}x; mouldgen-1={TOKEN}"}
        assert reply("GET", path, wrong, rules=AFAR).status == 403


def test_what_other_programs_keep_for_this_host_locks_nobody_out() -> None:
    """Cookies are kept by host alone, so those of every other port come along (RFC 6265 8.5)."""
    for others in ('=; [odd]; x={"a":"b"}', "\xe9=\xff", "mouldgen-8765=theirs", ";;"):
        own: dict[str, str | None] = {"cookie": f"{others}; mouldgen-8765={TOKEN}"}
        assert reply("GET", "/api/start", own, rules=AFAR).status == 200


# ------------------------------------------------------------------------ bodies


def test_a_body_that_is_too_long_is_refused_before_it_is_read() -> None:
    said: dict[str, str | None] = {"content-length": str(MOST_JSON_BYTES + 1)}

    assert reply("POST", "/api/early", said).status == 413


@pytest.mark.parametrize("length", ["-1", "1e9", "x"])
def test_a_length_that_is_none_is_refused(length: str) -> None:
    assert reply("POST", "/api/early", {"content-length": length}).status == 413


def test_a_body_that_grows_too_long_is_refused_while_it_comes() -> None:
    pieces = (b"x" * 250_000,) * 3

    assert reply("POST", "/api/early", pieces=pieces).status == 413
    assert reply("POST", "/api/early", pieces=pieces[:2]).body == b"x" * 500_000


def test_a_scan_may_be_larger() -> None:
    kind: dict[str, str | None] = {"content-type": "application/octet-stream"}

    assert len(reply("POST", "/api/scan", kind, pieces=(b"x" * 10**6,) * 3).body) == 3 * 10**6


def test_a_body_that_dawdles_is_dropped() -> None:
    async def run() -> tuple[int, float]:
        sent: list[Message] = []
        begun = asyncio.get_running_loop().time()

        async def receive() -> Message:
            await asyncio.sleep(0.05)
            return {"type": "http.request", "body": b" ", "more_body": True}

        async def send(message: Message) -> None:
            sent.append(message)

        rules = Rules(LOOPBACKS, port=8765, body_s=0.3)
        await Guard(echo, rules)(scope_of("POST", "/api/early"), receive, send)
        return sent[0]["status"], asyncio.get_running_loop().time() - begun

    status, took_s = asyncio.run(run())

    assert status == 408
    assert 0.25 < took_s < 2.0


# ---------------------------------------------------------------------- how many


def test_no_more_than_so_many_are_worked_on_at_once() -> None:
    most = now = 0

    async def slow(scope: Any, receive: Any, send: Any) -> None:
        nonlocal most, now
        now += 1
        most = max(most, now)
        await asyncio.sleep(0.01)
        now -= 1
        await echo(scope, receive, send)

    async def run() -> list[Reply]:
        guard = Guard(slow, Rules(LOOPBACKS, port=8765, at_once=8))
        return await asyncio.gather(
            *(asked(guard, scope_of("POST", "/api/early"), (b"{}",)) for _ in range(200))
        )

    assert {told.status for told in asyncio.run(run())} == {200}
    assert most == 8


def test_who_waits_too_long_for_the_others_is_told() -> None:
    async def stuck(scope: Any, receive: Any, send: Any) -> None:
        await asyncio.sleep(0.5)
        await echo(scope, receive, send)

    async def run() -> list[Reply]:
        guard = Guard(stuck, Rules(LOOPBACKS, port=8765, at_once=2, wait_s=0.1))
        return await asyncio.gather(
            *(asked(guard, scope_of("POST", "/api/early"), (b"{}",)) for _ in range(5))
        )

    told = asyncio.run(run())

    assert sorted(one.status for one in told) == [200, 200, 503, 503, 503]


def test_slow_bodies_keep_nobody_waiting() -> None:
    async def run() -> Reply:
        guard = Guard(echo, Rules(LOOPBACKS, port=8765, at_once=2, wait_s=0.2))

        async def never() -> Message:
            await asyncio.Event().wait()
            raise AssertionError("never")

        async def nobody(message: Message) -> None: ...

        dawdling = [
            asyncio.create_task(guard(scope_of("POST", "/api/early"), never, nobody))
            for _ in range(20)
        ]
        await asyncio.sleep(0.02)
        told = await asked(guard, scope_of("POST", "/api/early"), (b"{}",))
        for task in dawdling:
            task.cancel()
        await asyncio.gather(*dawdling, return_exceptions=True)
        return told

    assert asyncio.run(run()).status == 200


# ----------------------------------------------------------------------- answers


@pytest.mark.parametrize(
    ("method", "path", "headers", "status"),
    [
        ("GET", "/", {}, 200),
        ("GET", "/", {"host": "evil.example"}, 400),
        ("POST", "/api/early", {"origin": "null"}, 403),
        ("POST", "/api/early", {"content-length": "9999999"}, 413),
        ("PUT", "/", {}, 405),
    ],
)
def test_every_answer_keeps_the_browser_here(
    method: str, path: str, headers: dict[str, str | None], status: int
) -> None:
    told = reply(method, path, headers)

    assert told.status == status
    for name, value in HEADERS:
        assert told.headers[name.decode()] == value.decode()
    assert "default-src 'self'" in told.headers["content-security-policy"]
    assert "unsafe" not in told.headers["content-security-policy"]
    assert told.headers["cache-control"] == "no-store"


def test_an_application_cannot_soften_those_headers() -> None:
    async def soft(scope: Any, receive: Any, send: Any) -> None:
        headers = [(b"content-security-policy", b"default-src *")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": b""})

    told = asyncio.run(asked(Guard(soft, RULES), scope_of("GET", "/")))

    assert told.headers["content-security-policy"].startswith("default-src 'self'")


def test_a_bug_is_told_without_where_it_is(caplog: pytest.LogCaptureFixture) -> None:
    async def broken(scope: Any, receive: Any, send: Any) -> None:
        raise ZeroDivisionError("secret of the code")

    told = asyncio.run(asked(Guard(broken, RULES), scope_of("GET", "/")))

    assert told.status == 500
    assert b"secret" not in told.body
    assert b"Traceback" not in told.body
    assert "secret of the code" in caplog.text


def test_a_socket_for_messages_is_closed() -> None:
    async def run() -> list[Message]:
        sent: list[Message] = []

        async def receive() -> Message:
            return {"type": "websocket.connect"}

        async def send(message: Message) -> None:
            sent.append(message)

        await Guard(echo, RULES)({"type": "websocket", "path": "/", "headers": []}, receive, send)
        return sent

    assert asyncio.run(run()) == [{"type": "websocket.close", "code": 1008}]
