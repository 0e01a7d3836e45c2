"""What the page is answered when a new job is asked for."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from mouldgen.desk.next_question import Asked, Finished, next_question
from mouldgen.errors import UsageError
from mouldgen.page.inside import Bench
from mouldgen.page.work import TASKS, Shop
from tests.page_server import PageServer


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(Bench(tmp_path), watch=lambda: None)


def new(shop: Shop, *answers: str) -> dict[str, Any]:
    (told,) = TASKS["new"](shop, {"answers": list(answers)})
    assert isinstance(told, dict)
    return told


def test_a_question_is_told_as_the_desk_has_it(shop: Shop) -> None:
    told = new(shop, "pegs", "18", "")
    step = next_question(["pegs", "18", ""], folder=shop.bench.folder)

    assert isinstance(step, Asked)
    assert told == {
        "question": {
            "id": "mould",
            "words": step.words,
            "usual": step.usual,
            "choices": [list(row) for row in step.choices],
            "hint": "",
            "told": ["Taken: a rod."],
        },
        "at": 4,
        "of": 10,
    }
    assert told["question"]["choices"][0][0] == "cup"


def test_all_answers_are_told_as_a_file_to_be_saved(shop: Shop) -> None:
    told = new(shop, "pegs", *[""] * 9)
    step = next_question(["pegs", *[""] * 9], folder=shop.bench.folder)

    assert isinstance(step, Finished)
    assert told == {"name": "pegs.toml", "text": step.text, "told": list(step.told)}
    assert shop.loaded(told["text"]).job.name == "pegs"
    assert list(shop.bench.folder.iterdir()) == []


def test_a_wrong_answer_is_refused_as_at_the_terminal(shop: Shop) -> None:
    with pytest.raises(UsageError, match=r'^"many" is not a number of pieces\.'):
        new(shop, "pegs", "many")


def test_the_route_answers_question_by_question(page: PageServer) -> None:
    told = page.post("/api/new", answers=[]).json
    assert (told["question"]["id"], told["at"], told["of"]) == ("title", 1, 10)

    told = page.post("/api/new", answers=["told by the route", *[""] * 9]).json
    assert told["name"] == "told-by-the-route.toml"
    assert page.post("/api/early", text=told["text"]).head["name"] == "told-by-the-route"
    assert not (page.folder / told["name"]).exists()


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (["pegs", "many"], '"many" is not a number of pieces.'),
        (["con", "18"], 'answer 1: "con" cannot be the name of a job.'),
        (["", "", "scan", "", "", "../x.stl"], "does not lie in the folder of the jobs"),
        ([""] * 21, "answers is not a list of at most 20"),
        ([1], "answers is not a text"),
        ("pegs", "answers is not a list"),
    ],
)
def test_the_route_refuses_in_the_terminals_words(
    page: PageServer, answers: object, says: str
) -> None:
    told = page.post("/api/new", answers=answers)

    assert told.status == 422
    assert says in told.problem["text"]
