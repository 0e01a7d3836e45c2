"""The requests of the page, each a short function: what is asked, who does it, what is answered.

Nothing is kept between two requests: the page holds the job's text and sends it along.
"""

from __future__ import annotations

import asyncio
import contextlib
import datetime as dt
import json
import logging
from collections.abc import AsyncGenerator, AsyncIterator, Awaitable, Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import Route

from mouldgen import __version__
from mouldgen.errors import InputError, MouldgenError, SurroundingsError, UsageError
from mouldgen.job import presets
from mouldgen.page.asked import Asked
from mouldgen.page.download_task import PAPERS, WHATS
from mouldgen.page.folder import Folder, Opened
from mouldgen.page.framing import framed
from mouldgen.page.front import asset, index
from mouldgen.page.guard import App, Guard, Receive, Rules, Scope, Send
from mouldgen.page.inside import Bench, unforeseen
from mouldgen.page.log import log_values
from mouldgen.page.problem import problem_of, status_of
from mouldgen.page.worker import Worker
from mouldgen.sheet.sheet_pdf import can_make_pdf

LOG = logging.getLogger("mouldgen.page")
EARLY_S, REST_S, FILES_S = 20.0, 120.0, 120.0


@dataclass(frozen=True, eq=False)
class Served:
    """What is served.

    folder : with the maker's job files.
    first : the job that the page opens with.
    today : the day, asked each time.
    quick : does what is waited for at each edit.
    slow : does what takes longer.
    """

    folder: Folder
    first: Opened
    today: Callable[[], dt.date]
    quick: Worker
    slow: Worker


def serving(
    folder: Path, *, first: Opened, today: Callable[[], dt.date], bench: Bench | None = None
) -> Served:
    """What is served of a folder; its processes are started with the application.

    folder : with the maker's job files.
    first : the job that the page opens with.
    today : the day, asked each time.
    bench : what the processes are given; one for the folder where None.
    """
    bench = bench or Bench(folder)
    # What is waited for at each edit goes before what is worked out behind it.
    quick, slow = Worker("quick", bench), Worker("slow", replace(bench, gives_way=True))
    return Served(Folder(folder), first, today, quick=quick, slow=slow)


def page_app(served: Served, *, rules: Rules) -> App:
    """The whole application, guarded; the processes start and end with it.

    served : what it serves.
    rules : what is let through.
    """
    app = Starlette(
        routes=_routes(served),
        lifespan=_lifespan(served),
        exception_handlers={HTTPException: _no_such},
    )
    app.router.redirect_slashes = False  # an address is right or it is not
    return Guard(app, rules)


def _routes(served: Served) -> list[Route]:
    posts: dict[str, Callable[[Served, Request], Awaitable[Response]]] = {
        "/api/open": _open, "/api/save": _save, "/api/change": _change, "/api/early": _early,
        "/api/rest": _rest, "/api/new": _new, "/api/download": _download, "/api/scan": _scan,
        "/api/log": _log,
    }  # fmt: skip
    gets: dict[str, Callable[[Served, Request], Awaitable[Response]]] = {
        "/": _index, "/assets/{name:path}": _asset, "/api/start": _start,
    }  # fmt: skip
    return [
        Route(path, _answered(served, answer), methods=methods)
        for answers, methods in ((gets, ["GET"]), (posts, ["POST"]))
        for path, answer in answers.items()
    ]


def _lifespan(
    served: Served,
) -> Callable[[Starlette], contextlib.AbstractAsyncContextManager[None]]:
    @contextlib.asynccontextmanager
    async def living(app: Starlette) -> AsyncIterator[None]:  # noqa: ARG001
        # The page is shown while they load: the first edit waits for them, not the first sight.
        both = (served.quick, served.slow)
        starting = [asyncio.create_task(worker.start()) for worker in both]
        try:
            yield
        finally:
            for task in starting:
                task.cancel()
            await asyncio.gather(*starting, return_exceptions=True)
            await asyncio.gather(*(worker.close() for worker in both))

    return living


def _answered(
    served: Served, answer: Callable[[Served, Request], Awaitable[Response]]
) -> Callable[[Request], Awaitable[Response]]:
    async def answered(request: Request) -> Response:
        try:
            return await answer(served, request)
        except MouldgenError as problem:
            return _problem(problem)
        except HTTPException:
            raise
        except Exception as problem:
            LOG.exception("%s", request.url.path)
            return _problem(unforeseen(problem))

    return answered


def _problem(problem: MouldgenError, *, key: str = "") -> Response:
    return JSONResponse(problem_of(problem, key=key), status_of(problem))


async def _no_such(request: Request, problem: Exception) -> Response:  # noqa: ARG001
    status = problem.status_code if isinstance(problem, HTTPException) else 500
    what = "there is no such method here" if status == 405 else "there is nothing at this address"
    return JSONResponse(problem_of(UsageError(what)), status)


# ----------------------------------------------------------------------- the page


async def _index(served: Served, request: Request) -> Response:  # noqa: ARG001
    return await asyncio.to_thread(index)


async def _asset(served: Served, request: Request) -> Response:  # noqa: ARG001
    found = await asyncio.to_thread(asset, request.path_params["name"])
    if found is None:
        raise HTTPException(404)
    return found


async def _start(served: Served, request: Request) -> Response:  # noqa: ARG001
    files, shipped = await asyncio.gather(
        asyncio.to_thread(served.folder.names), asyncio.to_thread(_shipped)
    )
    first = served.first
    return JSONResponse(
        {
            "version": __version__,
            "name": first.name,
            "text": first.text,
            "stamp": first.stamp,
            "shipped": shipped,
            "files": files,
            "folder": str(served.folder.path),
            "pdf": can_make_pdf(),
            "today": served.today().isoformat(),
        }
    )


def _shipped() -> list[dict[str, str]]:
    return [{"name": name, "title": _title(name)} for name in presets.names("jobs")]


def _title(name: str) -> str:
    """The sentence that a shipped job begins with, as a comment."""
    with presets.find_card("jobs", name).open(encoding="utf-8") as file:
        first = file.readline().strip()
    return first.lstrip("# ").rstrip(".") if first.startswith("#") else name


def shipped_copy(name: str) -> Opened:
    """A shipped job, to be saved as one's own.

    name : such as ``boathouse-pegs``.

    Raises PresetError where there is none of that name.
    """
    text = presets.find_card("jobs", name).read_text(encoding="utf-8-sig")
    return Opened(f"{name}.toml", text, "")


async def _open(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    name = asked.text("name")
    shipped = asked.one_of("from", ("shipped", "folder")) == "shipped"
    found = await asyncio.to_thread(shipped_copy if shipped else served.folder.open, name)
    return JSONResponse({"name": found.name, "text": found.text, "stamp": found.stamp})


async def _save(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    name, text, stamp = asked.text("name"), asked.job_text(), asked.text("stamp", "")
    over = asked.flag("over")
    fresh = await asyncio.to_thread(served.folder.save, name, text, stamp=stamp, over=over)
    return JSONResponse({"name": name, "stamp": fresh})


# ----------------------------------------------------------------------- the work


async def _change(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    values = {"text": asked.job_text(), "change": asked.edit()}
    try:
        changed = await _one(served.quick, "change", values, request, limit_s=EARLY_S)
    except InputError as problem:
        return _problem(problem, key=asked.text("key"))
    return JSONResponse(changed)


async def _early(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    change = asked.change()
    values = {
        "text": asked.job_text(),
        "change": change,
        "known": asked.text("known", ""),
        "today": asked.day(served.today()),
    }
    key = change["key"] if change else ""  # what an edit breaks is told beside what was edited
    answers = _early_answers(served.quick, values, lane=_lane(request, "early"), key=key)
    try:
        first = await _unless_left(request, anext(answers))
    except InputError as problem:
        return _problem(problem, key=key)
    except BaseException:
        await answers.aclose()
        raise
    return _Stream(_joined(first, answers), kind="application/octet-stream")


async def _early_answers(
    worker: Worker, values: Mapping[str, Any], *, lane: str, key: str
) -> AsyncGenerator[bytes, None]:
    begun = False
    try:
        async with worker.work("early", values, limit_s=EARLY_S, lane=lane) as answers:
            async for answer in answers:
                yield answer
                begun = True
    except MouldgenError as problem:
        if not begun:
            raise
        told = {**problem_of(problem, key=key), "status": status_of(problem)}
        yield framed(told)


async def _rest(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    values = {
        "text": asked.job_text(),
        "stills": asked.flag("stills"),
        "today": asked.day(served.today()),
    }
    lines = _lines(served.slow, "rest", values, lane=_lane(request, "rest"))
    try:  # what is wrong with the job itself is told by the status, before any line
        first = await _unless_left(request, anext(lines))
    except BaseException:
        await lines.aclose()
        raise
    return _Stream(_joined(first, lines))


async def _new(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    values = {"answers": asked.texts("answers", most=20)}
    return JSONResponse(await _one(served.quick, "new", values, request, limit_s=EARLY_S))


async def _log(served: Served, request: Request) -> Response:
    values = log_values(Asked.of(await request.body()))
    return JSONResponse(await _one(served.quick, "log", values, request, limit_s=FILES_S))


async def _download(served: Served, request: Request) -> Response:
    asked = Asked.of(await request.body())
    values = {
        "text": asked.job_text(),
        "what": asked.one_of("what", WHATS),
        "paper": asked.one_of("paper", PAPERS, "a4"),
        "anyway": asked.flag("anyway"),
        "today": asked.day(served.today()),
    }
    file = await _one(served.slow, "download", values, request, limit_s=FILES_S)
    told = f'attachment; filename="{file["name"]}"'  # a job's name is small letters and hyphens
    return Response(file["data"], media_type=file["kind"], headers={"content-disposition": told})


async def _scan(served: Served, request: Request) -> Response:
    name, data = request.query_params.get("name", ""), await request.body()
    size = await asyncio.to_thread(served.folder.take_scan, name, [data])
    return JSONResponse({"name": name, "bytes": size})


class _Stream(StreamingResponse):
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


async def _joined(first: bytes, lines: AsyncGenerator[bytes, None]) -> AsyncGenerator[bytes, None]:
    async with contextlib.aclosing(lines):
        yield first
        try:
            async for line in lines:
                yield line
        except MouldgenError as problem:
            yield _line(problem_of(problem))


async def _lines(
    worker: Worker, task: str, values: Mapping[str, Any], *, lane: str
) -> AsyncGenerator[bytes, None]:
    async with worker.work(task, values, limit_s=REST_S, lane=lane) as answers:
        async for answer in answers:
            yield _line(answer)


def _line(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, allow_nan=False).encode() + b"\n"


async def _one(
    worker: Worker,
    task: str,
    values: Mapping[str, Any],
    request: Request,
    *,
    limit_s: float,
    lane: str = "",
) -> Any:
    """The one answer of a task; given up where the browser no longer waits."""

    async def answer() -> Any:
        async with worker.work(task, values, limit_s=limit_s, lane=lane) as answers:
            return [each async for each in answers][-1]

    return await _unless_left(request, answer())


async def _unless_left(request: Request, work: Awaitable[Any]) -> Any:
    """What the work gives; it is cancelled where the browser goes away."""

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


def _lane(request: Request, task: str) -> str:
    """Newer requests of the same tab overtake older ones; without a tab's name none does."""
    tab = request.headers.get("x-tab", "")
    return f"{task} {tab[:64]}" if tab else ""
