"""``mouldgen potcard``: the grams of ``resin``, files that replace their own, what is refused."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from mouldgen.cli import potcard
from tests.cli_runs import Run, mouldgen
from tests.demo_set import DEMO, demo_set

CONFLICT = ("--set", "pour.close=60 min")


@pytest.fixture
def built(monkeypatch: pytest.MonkeyPatch) -> None:
    """The demo as built before: only what is done with it is looked at."""
    monkeypatch.setattr("mouldgen.build.build_moulds", lambda *_, **__: demo_set())


@pytest.mark.parametrize("job", ["drawer-knobs", "gear-knob"])
def test_every_gram_is_the_one_that_resin_tells(job: str) -> None:
    resin, card = (mouldgen(command, job, "--json").json for command in ("resin", "potcard"))

    assert len(card["cards"]) == len(resin["mixing"]["sessions"])
    for one, session in zip(card["cards"], resin["mixing"]["sessions"], strict=True):
        keys = ("load", "pour", "moulds", "catch_moulds", "limited_by")
        assert [one[key] for key in keys] == [session[key] for key in keys]
        assert one["fill_mm"] == session["to_mm"]
        for key in ("pour_s", "close_s", "limit_s"):
            assert one[key] == pytest.approx(session[key], abs=0.051)
        assert one["left_ml"] == session["left_ml"]
        assert [_mix(mix) for mix in one["mixes"]] == [_mix(mix) for mix in session["mixes"]]


def _mix(mix: dict[str, Any]) -> tuple[Any, ...]:
    cups = [(cup["colour"] or "", cup["g"], cup["tint_g"]) for cup in mix["cups"]]
    return mix["a_g"], mix["b_g"], mix["total_g"], mix["mixed_ml"], cups


@pytest.mark.usefixtures("built")
def test_cards_are_printed_with_a_form_feed_between_them() -> None:
    printed = mouldgen("potcard", DEMO)
    pages = printed.out.split("\f")

    assert printed.code == 0
    assert printed.err == ""
    assert len(pages) == 7
    assert [page.splitlines()[0].split("LOAD")[1] for page in pages] == [
        f" {load} of 7" for load in range(1, 8)
    ]


@pytest.mark.usefixtures("built")
def test_one_load_alone_is_that_card() -> None:
    every = mouldgen("potcard", DEMO, "--paper", "letter").out.split("\f")
    third = mouldgen("potcard", DEMO, "--paper", "letter", "--load", "3")

    assert third.out.strip() == every[2].strip()


@pytest.mark.usefixtures("built")
def test_files_are_the_printed_cards_and_replace_those_of_an_earlier_run(tmp_path: Path) -> None:
    cards = tmp_path / DEMO / "cards"
    cards.mkdir(parents=True)
    (cards / "load-9.txt").write_text("of an earlier run, with more loads")
    (cards / "load-9-notes.txt").write_text("the maker's own")
    (tmp_path / DEMO / "mine.txt").write_text("beside them")

    wrote = mouldgen("potcard", DEMO, "--out", str(tmp_path), "--json")

    assert wrote.code == 0
    names = [f"load-{load}.txt" for load in range(1, 8)]
    assert wrote.json["files"] == [(cards / name).as_posix() for name in names]
    others = ["load-9-notes.txt", "loads.json"]  # the latter for ``log pour``
    assert sorted(path.name for path in cards.iterdir()) == sorted([*names, *others])
    assert (tmp_path / DEMO / "mine.txt").read_text() == "beside them"
    text = (cards / "load-1.txt").read_text(encoding="utf-8")
    assert text.splitlines()[0].startswith("POT CARD   BOATHOUSE-PEGS")
    assert "█" in text


@pytest.mark.usefixtures("built")
def test_a_load_or_a_paper_that_there_is_not_is_refused(tmp_path: Path) -> None:
    for words, says in (
        (("--load", "9"), "--load: there is no load 9. Allowed: 1 to 7."),
        (("--paper", "a5"), "--paper: there is no paper 'a5'. Allowed: a4, letter."),
    ):
        refused = mouldgen("potcard", DEMO, *words)
        assert refused.code == 2
        assert refused.out == ""
        assert refused.err.startswith(says)
    # Alone in the folder one card would look like the whole job.
    refused = mouldgen("potcard", DEMO, "--load", "2", "--out", str(tmp_path))
    assert refused.code == 2
    assert refused.err.startswith("--load does not go with --out")
    assert list(tmp_path.iterdir()) == []


@pytest.fixture(scope="module")
def conflict() -> Run:
    return mouldgen("potcard", *CONFLICT, DEMO)


def test_a_job_without_a_gap_is_not_ready(conflict: Run) -> None:
    assert conflict.code == 1
    assert "NOT READY: No gap meets every rule." in conflict.words
    assert " g " not in conflict.words


def test_a_job_that_is_not_ready_leaves_no_card_to_pour_by(tmp_path: Path) -> None:
    cards = tmp_path / DEMO / "cards"
    cards.mkdir(parents=True)
    (cards / "load-2.txt").write_text("141 g and 60 g")

    wrote = mouldgen("potcard", *CONFLICT, DEMO, "--out", str(tmp_path))

    assert wrote.code == 1
    assert [path.name for path in cards.iterdir()] == ["load-1.txt"]
    assert "NOT READY" in (cards / "load-1.txt").read_text(encoding="utf-8")


@pytest.mark.usefixtures("built")
def test_no_time_to_pour_even_one_mould_is_not_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    from mouldgen.mix import batches

    monkeypatch.setattr(batches, "in_time", lambda *_: False)
    said = mouldgen("potcard", DEMO)

    assert said.code == 1
    assert "NOT READY: Not one mould can be poured in time" in said.words
    assert mouldgen("potcard", DEMO, "--json").json["cards"] == []


def test_a_stop_stands_on_every_card_and_the_code_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import replace

    from mouldgen.finding import Finding

    stop = Finding("x", "x", "stop", "The lid does not close.")
    found = replace(demo_set(), findings=(stop, *demo_set().findings))
    monkeypatch.setattr("mouldgen.build.build_moulds", lambda *_, **__: found)
    said = mouldgen("potcard", DEMO)
    data = mouldgen("potcard", DEMO, "--json")

    assert said.code == data.code == 1
    assert all("NOT READY: The lid does not close." in page for page in said.out.split("\f"))
    assert data.json["ready"] is False
    assert data.json["must_fix"] == ["The lid does not close."]
    assert json.loads(data.out)["cards"][0]["stops"] == ["The lid does not close."]


def test_papers_are_those_that_a_page_is_set_for() -> None:
    from mouldgen.sheet.pot_card import LINES

    assert set(potcard.PAPERS) == set(LINES)
