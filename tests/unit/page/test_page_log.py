"""The castings log on the page writes the rows and says the words of the terminal."""

from __future__ import annotations

import json
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest

from mouldgen.castings.store import castings_file
from mouldgen.job.presets import find_card
from mouldgen.page.inside import Bench
from mouldgen.page.work import TASKS, Shop
from tests.castings_drafts import load_draft
from tests.cli_runs import mouldgen
from tests.demo_set import DEMO
from tests.page_server import PageServer, Told, running

TEXT = find_card("jobs", DEMO).read_text(encoding="utf-8")
WHEN = "2026-07-20T18:30:00+02:00"
NAME = "castings.sqlite"


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PageServer]:
    """A page of its own: what is logged here is no lesson for the tests of the others."""
    with running(tmp_path_factory.mktemp("logged")) as server:
        yield server


@pytest.fixture
def logged(served: PageServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> PageServer:
    """The page without a castings file, and an empty folder for the terminal."""
    for path in served.folder.glob(f"{NAME}*"):
        path.unlink()
    monkeypatch.chdir(tmp_path)
    return served


def ask(page: PageServer, do: str, **fields: Any) -> Told:
    return page.post("/api/log", do=do, **fields)


def pour(page: PageServer, **fields: Any) -> Told:
    return ask(page, "pour", text=TEXT, **{"when": WHEN, **fields})


def written(page: PageServer, number: int = 2) -> None:
    """A load of pegs in the page's file, without making them."""
    with castings_file(page.folder / NAME) as file:
        file.pour(load_draft(2, 3, 4, 5, job=DEMO, number=number, poured_at=WHEN))


def as_options(fields: dict[str, Any]) -> list[str]:
    words: list[str] = []
    for name, value in fields.items():
        for one in value if isinstance(value, list) else [value]:
            words += [f"--{name}"] if one is True else [f"--{name}", one]
    return words


POURS: list[dict[str, Any]] = [
    {},
    {"shop": "66.2 F", "close": "16 min", "pressure": "45 psi", "note": "cold \tmorning"},
    {"mixed": "412 g", "left": "18 g", "moulds": "2-4"},
    {"gap": ["2=0.6 mm", "3,4=3/64 in", "0.9 mm"]},
    {"shop": "60 C", "close": "40 min", "pressure": "200 psi"},  # each with a warning
]


@pytest.mark.parametrize("fields", POURS)
def test_a_pour_is_the_row_and_the_words_of_the_terminal(
    logged: PageServer, fields: dict[str, Any]
) -> None:
    words = ["log", "pour", f"{DEMO}:2", "--when", WHEN, *as_options(fields)]
    told = pour(logged, load="2", **fields).json
    run = mouldgen(*words, "--json").json

    assert told["load"] == run["load"]
    assert told["warnings"] == run["warnings"]
    assert told["file"] == str(logged.folder / NAME)
    Path(NAME).unlink()
    run_words = mouldgen(*words).words
    assert run_words.startswith(" ".join(told["said"]).removesuffix("Write 1 on its card."))
    assert "Write 1 on its card." in run_words


REFUSED: list[dict[str, Any]] = [
    {"load": "99"},
    {"shop": "cold"},
    {"close": "0 min"},
    {"mixed": "10 g", "left": "12 g"},
    {"gap": ["0.6 mm", "0.7 mm"]},
    {"moulds": "2-1"},
    {"load": "2", "gap": ["9=0.6 mm"]},
    {"when": "2999-01-01 10:00"},
    {"when": "2026-07-20"},
    {"note": "x" * 2001},
    {"again": True},
]


@pytest.mark.parametrize("fields", REFUSED)
def test_a_pour_is_refused_as_at_the_terminal(logged: PageServer, fields: dict[str, Any]) -> None:
    told = pour(logged, **fields)
    options = {"when": WHEN, **fields}
    load = options.pop("load", "")
    run = mouldgen("log", "pour", f"{DEMO}:{load}" if load else DEMO, *as_options(options))

    assert (told.status, run.code) == (422, 2)
    assert told.problem["text"] == run.err.rstrip("\n")
    assert not (logged.folder / NAME).exists()


def test_a_load_that_was_poured_is_not_written_down_twice(logged: PageServer) -> None:
    written(logged)
    with castings_file(Path(NAME)) as file:
        file.pour(load_draft(2, 3, 4, 5, job=DEMO, number=2, poured_at=WHEN))
    told = pour(logged, load="2")

    assert told.status == 422
    assert told.problem["text"] == mouldgen("log", "pour", f"{DEMO}:2").err.rstrip("\n")
    assert pour(logged, load="2", again=True).json["load"]["load_id"] == 2


def test_a_later_pour_is_noted(logged: PageServer) -> None:
    text = find_card("jobs", "apple-toppers").read_text(encoding="utf-8")
    first = ask(logged, "pour", text=text, when=WHEN, load="1").json
    second = ask(logged, "pour", text=text, when=WHEN, load="1", note="still warm").json
    strange = ask(logged, "pour", text=text, when=WHEN, load="1", moulds="1")

    assert "It takes 3 pours: note the next with the same words." in first["said"]
    assert second["said"][0].startswith("Noted as pour 2 of 3: Load 1: apple-toppers:1")
    assert second["load"]["poured"] == 2
    assert second["load"]["note"].endswith("still warm")
    assert (strange.status, strange.problem["what"][:9]) == (422, "--moulds ")


def test_a_result_is_said_as_at_the_terminal(logged: PageServer) -> None:
    written(logged)
    with castings_file(Path(NAME)) as file:
        file.pour(load_draft(2, 3, 4, 5, job=DEMO, number=2, poured_at=WHEN))
    for words in ("all good", "voids in 3, 3 scrapped, 25 min, worst 3 mm in 3 at the top", "2 m"):
        told = ask(logged, "result", load="1", words=words)
        run = mouldgen("log", "result", "1", words)
        if run.code:
            assert (told.status, told.problem["text"]) == (422, run.err.rstrip("\n"))
            continue
        assert run.words.startswith(" ".join(told.json["said"]))
        assert told.json["replaced"] == ([] if words == "all good" else [2, 3, 4, 5])
    results = [one["result"] for one in told_load(logged)["castings"]]
    assert [one["outcome"] for one in results] == ["good", "scrapped", "good", "good"]


def told_load(page: PageServer) -> dict[str, Any]:
    (load,) = ask(page, "list").json["loads"]
    return dict(load)


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({}, "which load? Allowed: 1 for boathouse-pegs:2."),
        ({"load": "1"}, 'what was found? Allowed: mouldgen log result 1 "voids in 3 and 7'),
        ({"load": "7", "words": "all good"}, "there is no load 7"),
        ({"load": "lamp", "words": "all good"}, 'there is no load "lamp". Allowed: a number'),
        ({"load": "1", "words": "void in 12"}, "12"),
    ],
)
def test_a_result_that_is_not_clear_is_asked_about(
    logged: PageServer, fields: dict[str, Any], says: str
) -> None:
    written(logged)
    told = ask(logged, "result", **fields)

    assert told.status == 422
    assert says in told.problem["text"]
    assert told_load(logged)["open"] is True


def test_the_last_thing_is_taken_back(logged: PageServer) -> None:
    written(logged)
    ask(logged, "result", load="1", words="all good")

    assert ask(logged, "undo").json["said"] == [
        "Taken back: the result of load 1 (boathouse-pegs:2)."
    ]
    assert told_load(logged)["open"] is True
    assert ask(logged, "undo").json["undone"].startswith("the pour of load 1 ")
    told = ask(logged, "undo")
    assert (told.status, told.problem["what"]) == (422, "there is nothing to take back")


def test_the_list_tells_every_load(logged: PageServer) -> None:
    assert ask(logged, "list").json == {
        "file": str(logged.folder / NAME),
        "said": ["Nothing is logged yet. After a pour: mouldgen log pour JOB."],
        "loads": [],
    }
    written(logged)
    written(logged, number=3)
    ask(logged, "result", load="1", words="voids in 3")
    told = ask(logged, "list").json

    assert [(load["load_id"], load["open"], load["found"]) for load in told["loads"]] == [
        (1, False, "voids in 3; 2, 4 and 5 good, 3 repaired"),
        (2, True, "open"),
    ]
    assert told["loads"][0]["day"][0].startswith("Poured 2026-07-20 18:30, resin-first, ")
    assert told["said"] == ["8 castings: 4 with a result, 4 open. 1 had voids, 0 were scrapped."]


@pytest.mark.parametrize(
    ("fields", "says"),
    [
        ({"do": "drop"}, "do is none of those there are"),
        ({}, "do is not a text"),
        ({"do": "pour"}, "text is not a text"),
        ({"do": "pour", "text": TEXT, "load": "two"}, "the load is no number"),
        ({"do": "pour", "text": TEXT, "load": "٣"}, "the load is no number"),
        ({"do": "pour", "text": TEXT, "load": "1" * 10}, "the load is no number"),
        ({"do": "pour", "text": TEXT, "gap": "1 mm"}, "gap is not a list"),
        ({"do": "pour", "text": TEXT, "again": "yes"}, "again is neither true nor false"),
        ({"do": "result", "words": "\ud800"}, "words is not a text"),
    ],
)
def test_what_cannot_be_meant_is_refused(
    logged: PageServer, fields: dict[str, Any], says: str
) -> None:
    told = logged.send("/api/log", json.dumps(fields).encode())

    assert told.status == 422
    assert says in told.problem["text"]
    assert not (logged.folder / NAME).exists()


def test_page_and_terminal_write_at_once_and_nothing_is_lost(logged: PageServer) -> None:
    def beside(number: int) -> int:
        written(logged, number=number)
        return 200

    def here(number: int) -> int:
        return pour(logged, load="1", again=True, note=str(number)).status

    with ThreadPoolExecutor(8) as pool:
        runs = [pool.submit(turn, n) for n in range(1, 7) for turn in (here, beside)]
        assert [run.result() for run in runs] == [200] * 12
    with castings_file(logged.folder / NAME) as file:
        loads = file.loads()
    assert [load.id for load in loads] == list(range(1, 13))
    assert sorted(load.note for load in loads if load.number == 1 and load.note) == list("123456")


def shop_of(folder: Path, **bench: Any) -> Shop:
    return Shop(Bench(folder, **bench), watch=lambda: None)


def task(shop: Shop, **values: Any) -> dict[str, Any]:
    (told,) = TASKS["log"](shop, values)
    return dict(told)


def test_castings_are_kept_beside_the_shop_file_else_in_the_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    jobs, mine, elsewhere = (tmp_path / name for name in ("jobs", "mine", "elsewhere"))
    for folder in (jobs, mine, elsewhere):
        folder.mkdir()
    monkeypatch.chdir(elsewhere)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(mine))

    assert task(shop_of(jobs), do="list")["file"] == str(jobs / NAME)
    (mine / "shop.toml").write_text("")
    assert task(shop_of(jobs), do="list")["file"] == str(mine / NAME)
    (jobs / "shop.toml").write_text("")
    assert task(shop_of(jobs), do="list")["file"] == str(jobs / NAME)
    assert task(shop_of(jobs, castings=mine / "x"), do="list")["file"] == str(mine / "x")
    assert [path for path in tmp_path.rglob("*") if path.is_file()] == [
        jobs / "shop.toml", mine / "shop.toml",
    ]  # fmt: skip


def test_what_is_logged_is_a_lesson_for_the_next_edit(tmp_path: Path) -> None:
    shop = shop_of(tmp_path)
    assert shop.lessons.loads() == ()
    with castings_file(tmp_path / NAME) as file:
        file.pour(load_draft(2, 3, job=DEMO, number=2, poured_at=WHEN))
    before = shop.lessons.loads()
    task(shop, do="result", load="1", words="voids in 3", note="")

    assert [load.open for load in before] == [True]
    assert [load.open for load in shop.lessons.loads()] == [False]


def test_an_inch_job_is_told_in_inches(tmp_path: Path) -> None:
    text = TEXT.replace('unit = "mm"', 'unit = "in"', 1)
    assert text != TEXT
    (tmp_path / f"{DEMO}.toml").write_text(text)
    with castings_file(tmp_path / NAME) as file:
        file.pour(load_draft(2, 3, job=DEMO, number=2, poured_at=WHEN))
    words = "voids in 3, worst 1/16 in in 3"
    told = task(shop_of(tmp_path), do="result", load="1", words=words, note="")

    assert "3: 1.6 mm (1/16 in)" in told["said"][0]
    assert "3: 1.6 mm (1/16 in)" in task(shop_of(tmp_path), do="list")["loads"][0]["found"]
