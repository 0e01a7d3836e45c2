"""Requests for work: what is told at once, what takes longer, files to take away, the log."""

from __future__ import annotations

from collections.abc import AsyncGenerator, Mapping
from typing import Any

from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from mouldgen.errors import InputError, MouldgenError
from mouldgen.page.answering import (
    Stream,
    joined,
    json_lines,
    lane_of,
    one_answer,
    refusal,
    unless_left,
)
from mouldgen.page.asked import Asked
from mouldgen.page.download_task import PAPERS, WHATS
from mouldgen.page.framing import framed
from mouldgen.page.log import log_values
from mouldgen.page.problem import problem_of, status_of
from mouldgen.page.served import Served
from mouldgen.page.worker import Worker

EARLY_S, LOG_S = 20.0, 30.0
REST_S, FILES_S = 120.0, 120.0  # the page says meanwhile what is done, and stops it if told so


async def change(served: Served, request: Request) -> Response:
    """The job's text with one key said otherwise."""
    asked = Asked.of(await request.body())
    values = {"text": asked.job_text(), "change": asked.edit()}
    try:
        changed = await one_answer(served.quick, "change", values, request, limit_s=EARLY_S)
    except InputError as problem:
        return refusal(problem, key=asked.text("key"))
    return JSONResponse(changed)


async def early(served: Served, request: Request) -> Response:
    """The numbers of closed forms and the solids, in binary."""
    asked = Asked.of(await request.body())
    change = asked.change()
    values = {
        "text": asked.job_text(),
        "change": change,
        "known": asked.text("known", ""),
        "today": asked.day(served.today()),
    }
    key = change["key"] if change else ""  # what an edit breaks is told beside what was edited
    answers = _early_answers(served.quick, values, lane=lane_of(request, "early"), key=key)
    try:
        first = await unless_left(request, anext(answers))
    except InputError as problem:
        return refusal(problem, key=key)
    except BaseException:
        await answers.aclose()
        raise
    return Stream(joined(first, answers), kind="application/octet-stream")


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


async def rest(served: Served, request: Request) -> Response:
    """Whatever takes longer, line by line."""
    asked = Asked.of(await request.body())
    values = {
        "text": asked.job_text(),
        "stills": asked.flag("stills"),
        "today": asked.day(served.today()),
    }
    lines = json_lines(served.slow, "rest", values, limit_s=REST_S, lane=lane_of(request, "rest"))
    try:  # what is wrong with the job itself is told by the status, before any line
        first = await unless_left(request, anext(lines))
    except BaseException:
        await lines.aclose()
        raise
    return Stream(joined(first, lines))


async def new(served: Served, request: Request) -> Response:
    """The question that is next, or the job that the answers make."""
    asked = Asked.of(await request.body())
    values = {"answers": asked.texts("answers", most=20)}
    return JSONResponse(await one_answer(served.quick, "new", values, request, limit_s=EARLY_S))


async def log(served: Served, request: Request) -> Response:
    """The log of castings: read, written, taken back."""
    values = log_values(Asked.of(await request.body()))
    return JSONResponse(await one_answer(served.quick, "log", values, request, limit_s=LOG_S))


async def download(served: Served, request: Request) -> Response:
    """A file to take away."""
    asked = Asked.of(await request.body())
    values = {
        "text": asked.job_text(),
        "what": asked.one_of("what", WHATS),
        "paper": asked.one_of("paper", PAPERS, "a4"),
        "anyway": asked.flag("anyway"),
        "today": asked.day(served.today()),
    }
    file = await one_answer(served.slow, "download", values, request, limit_s=FILES_S)
    told = f'attachment; filename="{file["name"]}"'  # a job's name is small letters and hyphens
    return Response(file["data"], media_type=file["kind"], headers={"content-disposition": told})
