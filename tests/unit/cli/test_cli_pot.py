"""``mouldgen pot``: loads in words, as JSON and as pictures."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

PEGS = "boathouse-pegs"


def test_loads_are_told_with_what_is_left() -> None:
    run = mouldgen("pot", PEGS)

    assert run.code == 0
    # One mould alone, then 21 in the fewest loads of 17 at most, and those even.
    assert run.words.startswith("22 moulds in 3 loads: the pot takes 17 at once, on one tier.")
    assert "1 1 1 1 132.7 mm 2 2 to 12 11 11 132.7 mm 3 13 to 22 10 10 132.7 mm" in run.words
    assert (
        "Load 1 is one mould alone: it is finished and shown before the rest is cast"
        " ([order] first_article)." in run.words
    )
    assert "8 mm are kept free along the wall and 3 mm or more between moulds." in run.words
    assert "write [pot] tiers = 2 if you have them" in run.words
    assert "50 psi" in run.words
    assert run.err == ""


@pytest.mark.parametrize(
    "asked",
    [("--set", "order.first_article=false"), ("--moulds", "22"), ("--set", "order.pieces=1")],
)
def test_nothing_is_said_of_a_first_load_where_none_is_alone_for_it(asked: tuple[str, ...]) -> None:
    run = mouldgen("pot", PEGS, *asked)

    assert "alone" not in run.words
    assert "22 moulds in 2 loads" in run.words or asked[-1] == "order.pieces=1"


def test_the_drawing_holds_every_number_of_the_fullest_load() -> None:
    """A first article alone in the pot would show nobody how moulds stand."""
    before, drawing = mouldgen("pot", PEGS).out.split("at the head:")
    lines = drawing.split("A closed mould")[0]

    numbers = [word for word in lines.replace(".", " ").split() if word.isdigit()]
    assert sorted(map(int, numbers)) == list(range(2, 13))
    assert before.splitlines()[-1].startswith("Load 2 from above, the back of the pot ")


def test_another_number_on_two_tiers() -> None:
    run = mouldgen("pot", PEGS, "--moulds", "40", "--set", "pot.tiers=2", "--json")

    assert run.code == 0
    assert (run.json["per_tier"], run.json["tiers"], run.json["per_load"]) == (17, 2, 34)
    assert [load["moulds"] for load in run.json["loads"]] == [20, 20]
    assert [len(t["places"]) for t in run.json["loads"][0]["tiers"]] == [10, 10]
    places = [p for load in run.json["loads"] for t in load["tiers"] for p in t["places"]]
    assert [p["mould"] for p in places] == list(range(1, 41))


def test_pictures_of_every_load_are_the_same_bytes_twice(tmp_path: Path) -> None:
    runs = [
        mouldgen("pot", PEGS, "--pictures", "--json", "--out", str(tmp_path / name))
        for name in ("a", "b")
    ]

    files = [f"plots/pot-load-{load}.svg" for load in (1, 2, 3)]
    assert [run.json["files"] for run in runs] == [files, files]
    one, other = ([(tmp_path / n / PEGS / f).read_bytes() for f in files] for n in ("a", "b"))
    assert one == other
    assert runs[0].out == runs[1].out


def test_a_job_without_a_pot() -> None:
    run = mouldgen("pot", "bell-pulls")

    assert run.code == 0
    assert "no [pot]" in run.words
    told = mouldgen("pot", "bell-pulls", "--json").json
    assert {key: told[key] for key in told.keys() - {"version", "fingerprint"}} == {
        "job": "bell-pulls", "conflict": None, "pot": None, "loads": [],
    }  # fmt: skip


def test_a_missing_rating_is_told_and_no_pressure() -> None:
    run = mouldgen("pot", PEGS, "--set", "pot.card=pot-305")

    assert run.code == 0
    assert "Pressure: ____ psi. The pot's rating is not known" in run.words
    assert "50 psi" not in run.words


def test_a_mould_that_does_not_go_in_is_told_with_what_would_take_it() -> None:
    wide = ("--set", "pot.diameter=50 mm", "--set", "mould.gap=1 mm")
    run = mouldgen("pot", PEGS, *wide)

    assert run.code == 1
    assert run.out == ""
    assert "41.6 mm across and the pot leaves 34 mm within its margin" in run.err
    assert "a pot of 58 mm inside" in run.err


def test_a_conflict_has_no_loads() -> None:
    run = mouldgen("pot", PEGS, "--json", "--set", "pour.close=60 min")

    assert run.code == 1
    assert run.json["loads"] == []
    assert run.json["conflict"]


def test_a_least_batch_that_the_smallest_load_does_not_make() -> None:
    run = mouldgen("pot", PEGS, "--moulds", "2", "--set", "resin.least_batch=500 g")

    assert "short of the least batch of 500 g" in run.words


@pytest.mark.parametrize(
    ("job", "loads"),
    [
        # The first filling alone, then the rest.
        ("conference-pens", [1, 3, 3, 2, 2]),  # 11 trays of four, three of them printed
        ("orchard-grips", [1, 4, 3, 3, 3]),  # 14 blocks of two halves, four printed
        ("lamp-finials", [1, 1, 1, 1, 1, 1]),  # one rubber mould: one cavity, then 19 of four
    ],
)
def test_moulds_that_are_used_again_go_in_as_often_as_they_are_filled(
    job: str, loads: list[int]
) -> None:
    told = mouldgen("pot", job, "--json", "--set", "pot.tiers=6").json["loads"]

    assert [load["moulds"] for load in told] == loads


def test_loads_of_the_pot_are_not_taken_for_those_of_the_clock() -> None:
    # The pegs go in eleven at once, and their resin lets four be filled: six loads of the rest
    # after the first article, not two.
    run = mouldgen("pot", PEGS)
    assert "The clock of the resin may let you fill fewer at one time" in run.words
    assert "7 sessions" in mouldgen("resin", PEGS).words

    one = mouldgen("pot", "conference-pens")  # one tray at a time: no clock lets fewer in
    assert "The clock of the resin" not in one.words


def test_moulds_that_are_used_again_are_not_counted_as_many() -> None:
    run = mouldgen("pot", "orchard-grips")
    assert run.words.startswith("14 fillings of 4 moulds in 5 loads: the pot takes 4 at once")
    assert "load fillings how many" in run.words


def test_without_a_pot_the_clock_still_says_how_many() -> None:
    run = mouldgen("pot", "locker-pegs")
    assert "in the open. How many are filled at one time the clock says: mouldgen resin." in (
        run.words
    )
