"""How the work of a process becomes an answer: whole or line by line, given up with the browser."""

from __future__ import annotations

import asyncio
import contextlib
import json
from collections.abc import AsyncGenerator, Awaitable, Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from mouldgen.errors import MouldgenError, SurroundingsError
from mouldgen.page.guard import Receive, Scope, Send
from mouldgen.page.problem import problem_of, status_of
from mouldgen.page.worker import Worker


def refusal(problem: MouldgenError, *, key: str = "") -> Response:
    """The answer that tells an error.

    problem : in the words of its reader.
    key : that was edited, where the error names none itself.
    """
    return JSONResponse(problem_of(problem, key=key), status_of(problem))


class Stream(StreamingResponse):
    """Lines as they come; whatever ends the answer ends the work too."""

    def __init__(
        self, lines: AsyncGenerator[bytes, None], *, kind: str = "application/x-ndjson"
    ) -> None:
        super().__init__(lines, media_type=kind)
        self._lines = lines

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        try:
            await super().__call__(scope, receive, send)
        finally:
            await self._lines.aclose()


async def joined(first: bytes, lines: AsyncGenerator[bytes, None]) -> AsyncGenerator[bytes, None]:
    """All lines, the first of which was awaited before anything was answered.

    first : that one.
    lines : the others; what goes wrong with them becomes the last.
    """
    async with contextlib.aclosing(lines):
        yield first
        try:
            async for line in lines:
                yield line
        except MouldgenError as problem:
            yield _json_line(problem_of(problem))


async def json_lines(
    worker: Worker, task: str, values: Mapping[str, Any], *, limit_s: float, lane: str
) -> AsyncGenerator[bytes, None]:
    """What a task answers, a line each; arguments and errors as of `Worker.work`."""
    async with worker.work(task, values, limit_s=limit_s, lane=lane) as answers:
        async for answer in answers:
            yield _json_line(answer)


def _json_line(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False).encode() + b"\n"


async def one_answer(
    worker: Worker,
    task: str,
    values: Mapping[str, Any],
    request: Request,
    *,
    limit_s: float,
    lane: str = "",
) -> Any:
    """The one answer of a task; given up where the browser no longer waits.

    request : that is answered.
    worker, task, values, limit_s, lane : as of `Worker.work`, which tells the errors too.
    """

    async def answer() -> Any:
        async with worker.work(task, values, limit_s=limit_s, lane=lane) as answers:
            return [each async for each in answers][-1]

    return await unless_left(request, answer())


async def unless_left(request: Request, work: Awaitable[Any]) -> Any:
    """What the work gives; it is cancelled where the browser goes away.

    request : that is answered.
    work : whatever takes long.

    Raises SurroundingsError where the browser went away, and what the work raises.
    """

    async def left() -> None:
        while (await request.receive())["type"] != "http.disconnect":
            pass

    working, leaving = asyncio.ensure_future(work), asyncio.create_task(left())
    try:
        await asyncio.wait((working, leaving), return_when=asyncio.FIRST_COMPLETED)
        if not working.done():
            raise SurroundingsError("the page no longer waits for this")
        return working.result()
    finally:
        for task in (working, leaving):
            task.cancel()
        await asyncio.gather(working, leaving, return_exceptions=True)


def lane_of(request: Request, task: str) -> str:
    """Newer requests of the same tab overtake older ones; without a tab's name none does."""
    tab = request.headers.get("x-tab", "")
    return f"{task} {tab[:64]}" if tab else ""
