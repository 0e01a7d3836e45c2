"""Workers of this machine: what dies, hangs or takes too much costs itself and nothing else."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from mouldgen.catalogue.crew import MOST_DEATHS, with_crew
from mouldgen.catalogue.row import Row
from mouldgen.catalogue.work import Bench, Task
from mouldgen.errors import SurroundingsError
from tests.catalogue_works import act, begun, bench, tasks


def crew(
    folder: Path, given: Iterable[Task], *, workers: int = 2, limit_s: float = 60.0
) -> dict[str, Row]:
    made = with_crew(given, bench=bench(folder), workers=workers, limit_s=limit_s, work=act)
    return {task.name: row for task, row in made}


def alive(pid: float | None) -> bool:
    assert pid is not None
    try:
        os.kill(int(pid), 0)
    except ProcessLookupError:
        return False
    return True


def test_every_task_is_done_once_and_nobody_is_left(tmp_path: Path) -> None:
    names = [f"quick-{n}" for n in range(50)]
    rows = crew(tmp_path, tasks(*names))

    assert set(rows) == set(names)
    assert {begun(tmp_path, name) for name in names} == {1}
    assert {row.attempts for row in rows.values()} == {1}
    pids = {row.gap_mm for row in rows.values()}
    assert len(pids) <= 2
    assert os.getpid() not in pids
    assert not any(alive(pid) for pid in pids)


def test_two_workers_work_at_the_same_time(tmp_path: Path) -> None:
    rows = crew(tmp_path, tasks(*(f"nap-{n}" for n in range(10))))

    assert len({row.gap_mm for row in rows.values()}) == 2


def test_no_more_workers_are_started_than_there_are_tasks(tmp_path: Path) -> None:
    def slowly() -> Iterator[Task]:
        yield from tasks("nap-1", "nap-2")

    rows = crew(tmp_path, slowly(), workers=500)

    assert len({row.gap_mm for row in rows.values()}) <= 2
    assert crew(tmp_path, [], workers=3) == {}


def test_a_worker_that_dies_costs_one_retry(tmp_path: Path) -> None:
    names = ["quick-1", "dies-1", "quick-2", "quick-3", "dies-2", "quick-4"]
    rows = crew(tmp_path, tasks(*names))

    assert all(row.ready for row in rows.values())
    assert {name: begun(tmp_path, name) for name in names} == {
        name: 2 if name.startswith("dies") else 1 for name in names
    }
    assert {name: row.attempts for name, row in rows.items()} == {
        name: begun(tmp_path, name) for name in names
    }


def test_a_task_that_kills_its_worker_twice_is_given_up_and_costs_nobody_else(
    tmp_path: Path,
) -> None:
    names = ["quick-1", "poison-1", "quick-2", "quick-3"]
    rows = crew(tmp_path, tasks(*names))

    assert {name: begun(tmp_path, name) for name in names} == {
        "quick-1": 1, "poison-1": MOST_DEATHS, "quick-2": 1, "quick-3": 1,
    }  # fmt: skip
    assert rows["poison-1"].trouble == "died"
    assert rows["poison-1"].attempts == MOST_DEATHS
    assert "its worker died 2 times" in rows["poison-1"].error
    assert all(rows[name].ready for name in names if name != "poison-1")


def test_a_task_that_takes_too_long_is_given_up_and_its_worker_replaced(tmp_path: Path) -> None:
    names = ["slow-1", "quick-1", "quick-2"]
    rows = crew(tmp_path, tasks(*names), workers=1, limit_s=1.5)

    assert rows["slow-1"].trouble == "too-long"
    assert (
        rows["slow-1"].error == "it took longer than 1.5 s and was stopped; --limit gives it more"
    )
    assert {name: begun(tmp_path, name) for name in names} == dict.fromkeys(names, 1)
    assert rows["quick-1"].ready
    assert rows["quick-2"].ready


@pytest.mark.skipif(sys.platform != "linux", reason="other systems do not hold to the limit")
def test_a_task_that_takes_too_much_memory_is_given_up_and_its_worker_replaced(
    tmp_path: Path,
) -> None:
    rows = crew(tmp_path, tasks("quick-1", "greedy-1", "quick-2"), workers=1)

    assert rows["greedy-1"].trouble == "memory"
    assert rows["quick-2"].ready
    assert rows["quick-2"].gap_mm != rows["quick-1"].gap_mm  # of another process


def test_what_stops_all_stops_all(tmp_path: Path) -> None:
    with pytest.raises(SurroundingsError, match="no space left"):
        crew(tmp_path, tasks("quick-1", "full-1", "nap-1", "nap-2"))


def test_whoever_stops_asking_ends_the_workers(tmp_path: Path) -> None:
    made = with_crew(
        tasks("slow-1", "quick-1", "slow-2"), bench=bench(tmp_path), workers=2, work=act
    )
    _, row = next(made)
    while not begun(tmp_path, "slow-1"):
        time.sleep(0.01)
    began = time.monotonic()
    made.close()  # type: ignore[attr-defined]

    assert time.monotonic() - began < 5.0
    assert not alive(row.gap_mm)


class EndsWhoReadsIt:
    """Ends the process that it is sent to."""

    def __reduce__(self) -> tuple[object, ...]:
        return (os._exit, (3,))


def test_workers_that_cannot_start_are_told(tmp_path: Path) -> None:
    deadly = Bench(version="", folder=tmp_path, loads=(EndsWhoReadsIt(),))  # type: ignore[arg-type]
    with pytest.raises(SurroundingsError, match="worker processes end before they are ready"):
        list(with_crew(tasks("quick-1"), bench=deadly, workers=1, work=act))
