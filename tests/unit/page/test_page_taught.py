"""What castings teach the page is what they teach the terminal."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.job.presets import find_card
from mouldgen.page.framing import unframed
from mouldgen.page.inside import Bench
from mouldgen.page.work import TASKS, Shop
from tests.castings_seeds import TIGHT_AND_WIDE, seed
from tests.cli_runs import mouldgen

JOB = "boathouse-pegs"
TEXT = find_card("jobs", JOB).read_text(encoding="utf-8")


@pytest.fixture(autouse=True)
def here(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def shop_of(folder: Path, *, castings: Path | None = None, no_castings: bool = False) -> Shop:
    return Shop(Bench(folder, castings=castings, no_castings=no_castings), watch=lambda: None)


def gap(shop: Shop) -> str:
    """The gap as the page shows it."""
    _, told = TASKS["early"](shop, {"text": TEXT, "today": "2026-11-30"})
    head, _ = unframed(told)
    return {value["id"]: value["text"] for value in head["values"]}["gap.gap_mm"]


def shown(*words: str) -> str:
    """The gap as the terminal has it."""
    return f"{mouldgen('gap', JOB, '--json', *words).json['gap_mm']:.2f} mm"


def test_castings_move_the_gap_of_the_page_as_that_of_every_command(here: Path) -> None:
    alone = gap(shop_of(here))
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)

    assert alone == shown("--no-castings") == gap(shop_of(here, no_castings=True))
    assert gap(shop_of(here)) == shown() != alone


def test_a_shop_file_tells_where_the_castings_are(here: Path) -> None:
    jobs = here / "jobs"
    jobs.mkdir()
    (jobs / "shop.toml").write_text("format = 1\n")
    seed(jobs / "castings.sqlite", TIGHT_AND_WIDE)

    assert gap(shop_of(jobs)) == shown("--castings", str(jobs / "castings.sqlite"))
    assert gap(shop_of(here)) == shown()


def test_a_file_that_is_named_is_read(here: Path) -> None:
    named = seed(here / "other.sqlite", TIGHT_AND_WIDE)

    assert gap(shop_of(here, castings=named)) == shown("--castings", "other.sqlite")


def test_a_load_that_is_logged_meanwhile_counts_at_the_next_edit(here: Path) -> None:
    shop = shop_of(here)
    before = gap(shop)
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)

    assert gap(shop) == shown() != before


def test_the_same_job_learns_once(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    shop = shop_of(here)
    first = gap(shop)
    monkeypatch.setattr("mouldgen.learn.learn", None)  # not to be called again

    assert gap(shop) == first


def test_a_broken_file_stops_nothing(here: Path) -> None:
    alone = gap(shop_of(here))
    (here / "castings.sqlite").write_bytes(b"no database at all")
    shop = shop_of(here)
    loaded = shop.loaded(TEXT)

    assert gap(shop) == alone
    assert "castings.sqlite" in shop.lessons.taught(loaded).learned.unread
    assert shop.lessons.log(loaded) == ((), None)


def test_the_log_is_that_of_the_sheet(here: Path) -> None:
    seed(here / "castings.sqlite", TIGHT_AND_WIDE)
    shop = shop_of(here)
    loads, tuned = shop.lessons.log(shop.loaded(TEXT))

    assert len(loads) == len(TIGHT_AND_WIDE)
    assert tuned is not None
    assert (tuned.castings, tuned.voids) == (28, 7)


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (("--castings", "gone.sqlite"), "there is no such castings file"),
        (("--castings", "gone.sqlite", "--no-castings"), "do not go together"),
    ],
)
def test_slips_are_told_before_anything_is_served(words: tuple[str, ...], what: str) -> None:
    told = mouldgen("page", "--no-browser", *words)

    assert (told.code, told.out) == (2, "")
    assert what in told.err
