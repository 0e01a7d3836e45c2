"""Requests for files: the page itself, the job files of the folder, a scan that is put there."""

from __future__ import annotations

import asyncio

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from mouldgen import __version__
from mouldgen.errors import SurroundingsError
from mouldgen.job import presets
from mouldgen.page import front
from mouldgen.page.answering import unless_left
from mouldgen.page.asked import Asked
from mouldgen.page.folder import Opened
from mouldgen.page.served import Served
from mouldgen.sheet.sheet_pdf import can_make_pdf

SCAN_S = 20.0  # for looking at one; a job that uses it has no more


async def page(served: Served, request: Request) -> Response:  # noqa: ARG001
    """The page itself."""
    return await asyncio.to_thread(front.index)


async def asset(served: Served, request: Request) -> Response:  # noqa: ARG001
    """A file that the page loads.  Raises HTTPException where there is none."""
    found = await asyncio.to_thread(front.asset, request.path_params["name"])
    if found is None:
        raise HTTPException(404)
    return found


async def start(served: Served, request: Request) -> Response:  # noqa: ARG001
    """What a new tab begins with."""
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


async def open_job(served: Served, request: Request) -> Response:
    """A job of the folder, or a copy of a shipped one."""
    asked = Asked.of(await request.body())
    name = asked.text("name")
    shipped = asked.one_of("from", ("shipped", "folder")) == "shipped"
    found = await asyncio.to_thread(shipped_copy if shipped else served.folder.open, name)
    return JSONResponse({"name": found.name, "text": found.text, "stamp": found.stamp})


async def save(served: Served, request: Request) -> Response:
    """Write a job file into the folder."""
    asked = Asked.of(await request.body())
    name, text, stamp = asked.text("name"), asked.job_text(), asked.text("stamp", "")
    over = asked.flag("over")
    fresh = await asyncio.to_thread(served.folder.save, name, text, stamp=stamp, over=over)
    return JSONResponse({"name": name, "stamp": fresh})


async def scan(served: Served, request: Request) -> Response:
    """Put the file of a scan into the folder, if it can be read, and say what is wrong with it."""
    name, data = request.query_params.get("name", ""), await request.body()
    await asyncio.to_thread(served.folder.require_free, name)
    looked = await unless_left(request, _looked_at(served, name, data))
    size = await asyncio.to_thread(served.folder.take_scan, name, [data])
    return JSONResponse({"name": name, "bytes": size, **looked})


async def _looked_at(served: Served, name: str, data: bytes) -> dict[str, object]:
    """What is to be said of a scan; one that cannot even be read is refused."""
    found: list[dict[str, object]] = []
    values = {"name": name, "data": data}
    try:
        async with served.quick.work("scan", values, limit_s=SCAN_S) as answers:
            async for answer in answers:
                found.append(answer)  # noqa: PERF401 - what came before it broke off counts
    except SurroundingsError as problem:
        if not found:
            raise
        return {"sound": False, "said": f"It could not be looked through: {problem.what}."}
    return found[-1]
