"""The application: which function answers which request, and what lives and ends with it.

Nothing is kept between two requests: the page holds the job's text and sends it along.
"""

from __future__ import annotations

import asyncio
import contextlib
import logging
from collections.abc import AsyncIterator, Awaitable, Callable

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from mouldgen.errors import MouldgenError, UsageError
from mouldgen.page import file_answers, work_answers
from mouldgen.page.answering import refusal
from mouldgen.page.guard import App, Guard, Rules
from mouldgen.page.inside import unforeseen
from mouldgen.page.problem import problem_of
from mouldgen.page.served import Served

LOG = logging.getLogger("mouldgen.page")

Answer = Callable[[Served, Request], Awaitable[Response]]
GETS: dict[str, Answer] = {
    "/": file_answers.page,
    "/assets/{name:path}": file_answers.asset,
    "/api/start": file_answers.start,
}
POSTS: dict[str, Answer] = {
    "/api/change": work_answers.change,
    "/api/download": work_answers.download,
    "/api/early": work_answers.early,
    "/api/log": work_answers.log,
    "/api/new": work_answers.new,
    "/api/open": file_answers.open_job,
    "/api/rest": work_answers.rest,
    "/api/save": file_answers.save,
    "/api/scan": file_answers.scan,
}


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
    return [
        Route(path, _answered(served, answer), methods=methods)
        for answers, methods in ((GETS, ["GET"]), (POSTS, ["POST"]))
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


def _answered(served: Served, answer: Answer) -> Callable[[Request], Awaitable[Response]]:
    async def answered(request: Request) -> Response:
        try:
            return await answer(served, request)
        except MouldgenError as problem:
            return refusal(problem)
        except HTTPException:
            raise
        except Exception as problem:
            LOG.exception("%s", request.url.path)
            return refusal(unforeseen(problem))

    return answered


async def _no_such(request: Request, problem: Exception) -> Response:  # noqa: ARG001
    status = problem.status_code if isinstance(problem, HTTPException) else 500
    what = "there is no such method here" if status == 405 else "there is nothing at this address"
    headers = problem.headers if isinstance(problem, HTTPException) else None
    return JSONResponse(problem_of(UsageError(what)), status, headers)
