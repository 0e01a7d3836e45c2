"""A cluster of two workers on this machine makes the same rows, and outlives its workers."""

from __future__ import annotations

import csv
import importlib.util
import os
import signal
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest

from mouldgen.catalogue import cluster as room
from mouldgen.catalogue.base import base_of
from mouldgen.catalogue.cluster import on_cluster
from mouldgen.catalogue.crew import Done
from mouldgen.catalogue.grid import grid_of
from mouldgen.catalogue.run import make_catalogue
from mouldgen.catalogue.variant import named
from mouldgen.catalogue.work import Bench, Task
from mouldgen.errors import SurroundingsError, UsageError
from tests.catalogue_works import act, at_once, begun, bench, start_cluster, tasks
from tests.cli_runs import mouldgen

needs_cluster = pytest.mark.skipif(
    importlib.util.find_spec("distributed") is None, reason="the extra cluster is not installed"
)
# What its library says of itself while it closes is no fault of ours.
pytestmark = pytest.mark.filterwarnings("default")


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    process, address = start_cluster(tmp_path_factory.mktemp("cluster"))
    assert address.startswith("tcp://")
    yield address
    process.communicate("\n", timeout=60)


@needs_cluster
def test_rows_and_bytes_are_those_of_this_machine(scheduler: str, tmp_path: Path) -> None:
    asked = ("catalogue", "boathouse-pegs", "--grid", "insert.diameter=29,30,31 mm")
    far = mouldgen(*asked, "--scheduler", scheduler, "--out", str(tmp_path / "far"))
    near = mouldgen(*asked, "--workers", "1", "--out", str(tmp_path / "near"))

    assert (far.code, near.code) == (0, 0)
    for file in ("catalogue.csv", "report.json"):
        one, two = (
            (tmp_path / name / "boathouse-pegs-catalogue" / file).read_bytes()
            for name in ("far", "near")
        )
        assert one == two
    text = (tmp_path / "far/boathouse-pegs-catalogue/catalogue.csv").read_text()
    assert [row["ready"] for row in csv.DictReader(text.splitlines())] == ["yes"] * 3


@needs_cluster
def test_a_worker_that_dies_costs_nothing_but_time(scheduler: str, tmp_path: Path) -> None:
    names = [f"nap-{n}" for n in range(12)]
    killed = 0
    rows = {}
    for task, row in on_cluster(
        tasks(*names), bench=bench(tmp_path), scheduler=scheduler, work=act
    ):
        rows[task.name] = row
        if not killed and row.gap_mm is not None:
            killed = int(row.gap_mm)
            os.kill(killed, signal.SIGKILL)

    assert sorted(rows) == sorted(names)
    assert all(row.ready for row in rows.values())
    assert sum(begun(tmp_path, name) for name in names) <= len(names) + 2
    assert begun(tmp_path, "nap-0") >= 1


@needs_cluster
def test_what_stops_all_stops_all_here_too(scheduler: str, tmp_path: Path) -> None:
    given = tasks("full-1", "nap-1")
    with pytest.raises(SurroundingsError, match="no space left"):
        list(on_cluster(given, bench=bench(tmp_path), scheduler=scheduler, work=act))


@needs_cluster
def test_what_takes_too_long_is_no_longer_waited_for_and_keeps_its_thread(
    scheduler: str, tmp_path: Path
) -> None:
    # The last test of this cluster: one of its two threads stays taken.
    given = tasks("slow-1", *(f"nap-{n}" for n in range(20)))
    rows = {
        task.name: row
        for task, row in on_cluster(
            given, bench=bench(tmp_path), scheduler=scheduler, limit_s=2.0, work=act
        )
    }

    assert rows["slow-1"].trouble == "too-long"
    assert [name for name, row in rows.items() if not row.ready] == ["slow-1"]


@needs_cluster
def test_a_scheduler_that_goes_away_is_told_and_what_is_done_stays(tmp_path: Path) -> None:
    process, address = start_cluster(tmp_path)
    given = named(
        grid_of(["order.pieces=" + ",".join(map(str, range(1, 41)))]), job="boathouse-pegs"
    )
    seen: list[int] = []

    def watch(progress: object) -> None:
        seen.append(1)
        if len(seen) == 3:
            process.kill()

    with pytest.raises(SurroundingsError, match="--scheduler"):
        make_catalogue(
            base_of("boathouse-pegs"),
            given,
            out=tmp_path,
            hands=lambda tasks, bench: on_cluster(tasks, bench=bench, scheduler=address),
            watch=watch,
        )
    process.communicate(timeout=60)
    rest: list[str] = []

    def finish(tasks: Iterable[Task], bench: Bench) -> Iterator[Done]:
        for task, row in at_once(tasks, bench):
            rest.append(task.name)
            yield task, row

    rows = make_catalogue(base_of("boathouse-pegs"), given, out=tmp_path, hands=finish)
    assert len(rows) == 40
    assert len(rest) == 40 - len(seen)


@needs_cluster
def test_an_address_at_which_nobody_answers_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(room, "CONNECT_S", 0.5)
    for address in ("tcp://127.0.0.1:1", "nowhere"):
        with pytest.raises(SurroundingsError, match=f"--scheduler {address}: no scheduler answers"):
            list(on_cluster(tasks("a"), bench=bench(tmp_path), scheduler=address))


def test_without_the_extra_it_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("importlib.util.find_spec", lambda _: None)
    with pytest.raises(UsageError, match=r"pip install 'mouldgen\[cluster\]'"):
        list(on_cluster(tasks("a"), bench=bench(tmp_path), scheduler="tcp://127.0.0.1:1"))


class Future:
    """What the library hands back, as far as it is looked at."""

    def __init__(self, status: str, problem: BaseException | None = None) -> None:
        self.status, self._problem = status, problem

    def exception(self) -> BaseException | None:
        return self._problem


class KilledWorker(Exception):  # noqa: N818 - the name that the library has for it
    pass


def test_what_comes_back_undone_is_a_row_or_stops_all() -> None:
    (task,) = tasks("a")
    killed = room._row(Future("error", KilledWorker()), task)
    odd = room._row(Future("error", ValueError("odd")), task)

    assert (killed.trouble, odd.trouble) == ("died", "died")
    assert "its workers died" in killed.error
    assert "ValueError: odd" in odd.error
    with pytest.raises(SurroundingsError, match=r"cannot run mouldgen .* Install the same version"):
        room._row(Future("error", ModuleNotFoundError("No module named 'mouldgen'")), task)
    for status in ("lost", "cancelled"):
        with pytest.raises(SurroundingsError, match="the scheduler is gone"):
            room._row(Future(status), task)


@needs_cluster
@pytest.mark.parametrize(
    ("stuck", "says"), [(0, "the cluster has no worker"), (1, "every worker is held up")]
)
def test_a_cluster_without_a_free_worker_is_waited_for_and_then_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stuck: int, says: str
) -> None:
    class Client:
        def nthreads(self) -> dict[str, int]:
            return {"tcp://a": 1} if stuck else {}

        def wait_for_workers(self, *_: object, **__: object) -> None:
            raise TimeoutError

    monkeypatch.setattr(room, "WORKERS_S", 0.05)
    monkeypatch.setattr(room, "_LOOK_S", 0.0)
    out = room._Out(Client(), iter(tasks("a")), bench=bench(tmp_path), limit_s=1.0, work=act)

    class Running:
        def done(self) -> bool:
            return False

    out._stuck = [Running()] * stuck

    def go_on() -> None:
        while out.fill():
            assert list(out.wait("tcp://x")) == []

    with pytest.raises(SurroundingsError, match=says):
        go_on()
