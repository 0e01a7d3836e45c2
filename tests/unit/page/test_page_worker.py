"""Processes that are killed, overtaken, left alone and out of memory; and the page that goes on."""

from __future__ import annotations

import asyncio
import os
import signal
import struct
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from mouldgen.errors import MouldgenError, SurroundingsError
from mouldgen.job.presets import find_card
from mouldgen.page import inside, work_answers
from mouldgen.page.inside import Bench
from mouldgen.page.work import Shop
from mouldgen.page.worker import Worker
from tests.page_server import PageServer, Told

TEXT = find_card("jobs", "boathouse-pegs").read_text(encoding="utf-8")


def different(number: int) -> str:
    """A job that was not worked out before."""
    return TEXT.replace('gap = "auto"', f'gap = "{1.7 + number / 1000:.3f} mm"')


def wait_for_work(page: PageServer, text: str) -> Any:
    """A line to the server on which the slow process has just begun."""
    line = page.connection()
    body = b'{"stills": true, "text": ' + _quoted(text) + b"}"
    line.request("POST", "/api/rest", body, {"content-type": "application/json"})
    answer = line.getresponse()
    assert b'"step"' in answer.readline()
    return line, answer


def _quoted(text: str) -> bytes:
    import json

    return json.dumps(text).encode()


def test_a_process_that_is_killed_is_told_and_started_anew(page: PageServer) -> None:
    line, answer = wait_for_work(page, different(1))
    pid = page.served.slow.pid
    assert pid is not None
    os.kill(pid, signal.SIGTERM)
    last = answer.read().splitlines()[-1]
    line.close()

    assert b'"problem"' in last
    assert b"ended before it was done" in last
    assert page.post("/api/download", text=TEXT, what="job").status == 200
    assert page.served.slow.pid not in {pid, None}


def test_a_killed_process_does_not_take_the_next_edit_along(page: PageServer) -> None:
    pid = page.served.quick.pid
    assert pid is not None
    os.kill(pid, signal.SIGTERM)
    told = [page.post("/api/early", text=TEXT) for _ in range(2)]

    # The first may be sent before the end is seen; it is told then, in words, and no more.
    assert told[0].status in {200, 503}
    assert told[1].status == 200


def test_a_task_goes_to_the_next_process_where_one_is_just_ending(page: PageServer) -> None:
    """Its end of the pipe is shut before the system says that it has ended."""

    class Shut:
        def send(self, _: object) -> None:
            raise BrokenPipeError

    page.post("/api/early", text=TEXT)
    life = page.served.quick._life
    assert life is not None
    life.pipe = Shut()  # type: ignore[assignment]
    told = page.post("/api/early", text=TEXT)
    os.kill(life.process.pid or 0, signal.SIGKILL)

    assert told.status == 200
    assert page.served.quick._life is not life


def test_what_takes_too_long_is_stopped(page: PageServer, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(work_answers, "REST_S", 0.15)
    told = page.post("/api/rest", text=different(2), stills=True)
    monkeypatch.undo()

    problem = told.problem if told.status == 503 else told.lines[-1]["problem"]
    assert problem["what"] == "this took too long and was stopped"
    assert page.post("/api/download", text=TEXT, what="job").status == 200


def test_work_that_nobody_waits_for_is_stopped_within_two_seconds(page: PageServer) -> None:
    page.post("/api/download", text=TEXT, what="job")  # the process is ready
    line, answer = wait_for_work(page, different(3))
    answer.close()
    line.close()
    gone = time.monotonic()
    while page.served.slow.busy:
        assert time.monotonic() < gone + 2.0
        time.sleep(0.01)


def test_the_newest_edit_of_a_tab_wins(page: PageServer) -> None:
    with ThreadPoolExecutor(24) as many:
        told = list(
            many.map(
                lambda n: page.post("/api/early", tab="one", text=different(n), known=""),
                range(10, 34),
            )
        )

    done = [one for one in told if one.status == 200]
    rest = [one for one in told if one.status != 200]
    assert done
    assert {one.status for one in rest} <= {503}
    assert {one.problem["what"] for one in rest} <= {
        "a newer change came before this was worked out"
    }
    assert page.post("/api/early", tab="one", text=TEXT).status == 200


def test_two_tabs_do_not_disturb_each_other(page: PageServer) -> None:
    def tab(name: str) -> list[Told]:
        return [
            page.post(
                "/api/early",
                tab=name,
                text=TEXT,
                change={"key": "order.pieces", "said": str(ord(name) + n)},
            )
            for n in range(6)
        ]

    with ThreadPoolExecutor(2) as both:
        one, other = both.map(tab, ("a", "b"))

    for told, first in ((one, ord("a")), (other, ord("b"))):
        assert [f"pieces = {first + n}\n" in each.head["text"] for n, each in enumerate(told)] == (
            [True] * 6
        )


def test_two_hundred_edits_at_once_are_all_answered(page: PageServer) -> None:
    with ThreadPoolExecutor(200) as many:
        told = list(
            many.map(
                lambda n: page.post(
                    "/api/early", tab=f"tab {n % 5}", text=different(n % 7), known=""
                ),
                range(200),
            )
        )

    assert {one.status for one in told} <= {200, 503}
    assert sum(one.status == 200 for one in told) >= 5
    assert all(one.problem["text"] for one in told if one.status == 503)
    assert page.post("/api/early", text=TEXT).status == 200


def test_slow_bodies_leave_the_page_alone(page: PageServer) -> None:
    lines = []
    for _ in range(80):  # more than are worked on at once
        line = page.connection()
        line.putrequest("POST", "/api/early")
        line.putheader("content-type", "application/json")
        line.putheader("content-length", "1000")
        line.endheaders()
        lines.append(line)
    begun = time.monotonic()
    told = page.post("/api/early", text=TEXT)
    for line in lines:
        line.close()

    assert told.status == 200
    assert time.monotonic() - begun < 10.0


def test_who_is_slow_in_taking_its_answers_keeps_nobody_waiting(tmp_path: Path) -> None:
    async def run() -> tuple[Any, list[Any]]:
        worker = Worker("slow", Bench(tmp_path))
        values = {"text": TEXT, "stills": False, "today": "2026-11-30"}
        async with worker.work("rest", values, limit_s=60.0) as dawdling:
            await anext(dawdling)
            edit = {"text": TEXT, "change": {"key": "name", "said": "x"}}
            async with worker.work("change", edit, limit_s=60.0) as answers:
                between = [each async for each in answers]
            rest = [each async for each in dawdling]
        await worker.close()
        return between[0], rest

    between, rest = asyncio.run(run())

    assert 'name = "x"' in between["text"]
    assert rest[-1]["done"]["state"] == "ready"  # and loses none of them


def test_who_leaves_while_the_process_starts_does_not_end_it(tmp_path: Path) -> None:
    async def run() -> tuple[int | None, int | None]:
        worker = Worker("quick", Bench(tmp_path))
        edit = {"text": TEXT, "change": {"key": "name", "said": "x"}}

        async def ask() -> None:
            async with worker.work("change", edit, limit_s=60.0) as answers:
                async for _ in answers:
                    pass

        leaving = asyncio.create_task(ask())
        while worker.pid is None:
            await asyncio.sleep(0.01)
        first = worker.pid
        leaving.cancel()
        await asyncio.gather(leaving, return_exceptions=True)
        await ask()
        after = worker.pid
        await worker.close()
        return first, after

    first, after = asyncio.run(run())

    assert first == after


def test_a_process_that_cannot_be_started_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone() -> str:
        raise FileNotFoundError(2, "No such file or directory")

    async def run() -> str:
        worker = Worker("quick", Bench(tmp_path))
        monkeypatch.setattr(os, "getcwd", gone)  # the folder that it was started in
        with pytest.raises(SurroundingsError, match="process cannot be started") as told:
            await worker.start()
        monkeypatch.undo()
        await worker.start()
        await worker.close()
        return str(told.value)

    assert "in a folder that is there" in asyncio.run(run())


@pytest.mark.skipif(not Path("/proc/self/fd").is_dir(), reason="open files are not listed here")
def test_a_process_that_ended_leaves_no_file_open(tmp_path: Path) -> None:
    async def run() -> list[int]:
        worker, counts = Worker("quick", Bench(tmp_path)), []
        for _ in range(3):
            await worker.start()
            counts.append(len(list(Path("/proc/self/fd").iterdir())))
            assert worker.pid is not None
            os.kill(worker.pid, signal.SIGKILL)
            while worker.pid is not None:
                await asyncio.sleep(0.01)
        await worker.close()
        return counts

    first, second, third = asyncio.run(run())

    assert third <= second <= first


def test_two_hundred_equal_prices_make_no_solid(page: PageServer) -> None:
    known = page.post("/api/early", text=TEXT).head["solids"]["key"]
    made = [
        page.post(
            "/api/early",
            text=TEXT,
            change={"key": "resin.price", "said": f"{30 + n} per kg"},
            known=known,
        ).head["made"]
        for n in range(20)
    ]

    assert made == [0] * 20


def many_triangles(path: Path) -> None:
    """A binary STL of a million triangles, in which nothing is closed."""
    kind = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("more", "<u2")])
    faces = np.zeros(1_000_000, kind)
    faces["corners"] = np.random.default_rng(1).uniform(0.0, 40.0, (len(faces), 3, 3))
    path.write_bytes(bytes(80) + struct.pack("<I", len(faces)) + faces.tobytes())


@pytest.mark.skipif(os.name != "posix", reason="no limit of memory elsewhere")
def test_work_that_takes_too_much_memory_is_told(tmp_path: Path) -> None:
    many_triangles(tmp_path / "many.stl")
    text = find_card("jobs", "burl-knobs").read_text(encoding="utf-8")

    async def run() -> tuple[MouldgenError | None, Any]:
        # A process that has built the demo has 310 MB of addresses; the scan takes as much again.
        worker = Worker("quick", Bench(tmp_path, most_bytes=450 * 2**20))
        await worker.start()
        problem = None
        try:
            values = {"text": text.replace("burl-knob.stl", "many.stl")}
            async with worker.work("early", values, limit_s=60.0) as answers:
                async for _ in answers:
                    pass
        except MouldgenError as told:
            problem = told
        edit = {"text": TEXT, "change": {"key": "name", "said": "x"}}
        async with worker.work("change", edit, limit_s=60.0) as answers:
            after = [each async for each in answers]
        await worker.close()
        return problem, after

    problem, after = asyncio.run(run())

    assert isinstance(problem, SurroundingsError)
    assert "memory" in str(problem)
    assert 'name = "x"' in after[0]["text"]


def test_a_problem_that_cannot_be_told_otherwise_ends_no_process(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, caplog: pytest.LogCaptureFixture
) -> None:
    sent: list[tuple[int, str, Any]] = []

    class Pipe:
        send = staticmethod(sent.append)

    def broken(*_: object) -> None:
        raise KeyError("name")

    monkeypatch.setattr(Shop, "retold", broken)
    shop = Shop(Bench(tmp_path), watch=lambda: None)
    inside._do(Pipe(), shop, 1, "change", {"text": "", "change": {"key": "no", "said": ""}})

    ((_, kind, problem),) = sent
    assert (kind, problem.id) == ("problem", "internal")
    assert "KeyError: 'name'" in caplog.text
