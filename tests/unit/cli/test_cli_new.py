"""``mouldgen new`` with scripted answers."""

from __future__ import annotations

import datetime as dt
import io
import re
import tomllib
from collections.abc import Callable
from pathlib import Path

import pytest

from mouldgen.job.load import load_job
from tests.cli_runs import Run, mouldgen

FULL = (
    "Coat pegs for the boathouse",
    "18 by 2026-12-18",
    "flute",
    "cup",
    "white ash",
    "26 mm x 60 mm",
    "30 x 70 mm, 6 flutes",
    "29.8, 30.1, 30.0 mm",
    "casting-epoxy-slow",
    "smoke 70, amber 30",
)
New = Callable[..., Run]


@pytest.fixture
def new(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> New:
    """Runs ``mouldgen new`` in an empty folder with these lines typed."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))

    def run(*lines: str, words: tuple[str, ...] = (), end: str = "\n") -> Run:
        monkeypatch.setattr("sys.stdin", io.StringIO("".join(line + end for line in lines)))
        return mouldgen("new", *words)

    return run


def questions(run: Run) -> list[str]:
    return re.findall(r"^(\d+)\. ", run.out, re.MULTILINE)


def files() -> list[str]:
    return sorted(path.name for path in Path().iterdir())


def test_ten_answers_make_a_job(new: New) -> None:
    run = new(*FULL)

    assert (run.code, run.err) == (0, "")
    assert questions(run) == [str(number) for number in range(1, 11)]
    assert files() == ["coat-pegs-for-the-boathouse.toml"]
    job = load_job(Path("coat-pegs-for-the-boathouse.toml")).job
    assert job.order.pieces == 18
    assert job.order.due == dt.date(2026, 12, 18)
    assert (job.piece.diameter, job.piece.length) == (26.0, 60.0)
    assert (job.insert.shape, job.insert.diameter, job.insert.length) == ("flute", 30.0, 70.0)
    assert job.insert.flutes == 6
    assert job.insert.measured == (29.8, 30.1, 30.0)
    assert job.insert.wood == "white ash"
    assert job.mould.family == "cup"
    assert job.resin.card == "casting-epoxy-slow"
    assert [(c.name, c.share) for c in job.colour] == [("smoke", 0.7), ("amber", 0.3)]
    assert job.unit is None


def test_the_gap_and_the_grams_follow(new: New) -> None:
    run = new(*FULL)

    after = run.out.split("Written: coat-pegs-for-the-boathouse.toml\n")[1]
    words = " ".join(after.split())
    assert re.match(r"The gap is \d\.\d\d mm all round, set by \w+:", words)
    assert re.search(r"one mould +[\d.]+ +[\d.]+ +\d+ +\d+ +\d+\n", after)
    assert words.endswith("Next: mouldgen build coat-pegs-for-the-boathouse.toml")


def test_the_drawing_shows_where_to_measure(new: New) -> None:
    run = new(*FULL)

    assert "across its ridges, not in the flutes, at both ends and in the middle:" in run.words
    assert re.search(r"^ +1 +2 +3$", run.out, re.MULTILINE)


@pytest.mark.parametrize("answer", ["", "?", "don't know", "Don't know", "don’t know"])
def test_nothing_known_still_makes_a_job(new: New, answer: str) -> None:
    run = new(*[answer] * 10)

    assert (run.code, run.err) == (0, "")
    assert run.out.count("Taken: ") == 10
    assert files() == ["my-job.toml"]
    job = load_job(Path("my-job.toml")).job
    assert (job.order.pieces, job.order.due) == (1, None)
    assert (job.insert.shape, job.insert.diameter, job.insert.length) == ("rod", 30.0, 70.0)
    assert (job.insert.measured, job.colour, job.resin.card) == ((), (), "casting-epoxy-slow")
    assert Path("my-job.toml").read_text("utf-8").count("# not known") == 9


def test_a_name_given_is_not_asked_for(new: New) -> None:
    run = new(*FULL[1:], words=("coat-pegs",))

    assert run.code == 0
    assert questions(run) == [str(number) for number in range(1, 10)]
    assert files() == ["coat-pegs.toml"]


def test_a_name_that_cannot_be_is_told_and_asked_for(new: New) -> None:
    run = new(*FULL, words=("con",))

    assert run.code == 0
    assert '"con" cannot be the name of a job' in run.words
    assert len(questions(run)) == 10


def test_a_slip_is_told_and_asked_for_again(new: New) -> None:
    run = new(
        "pegs", "many", "18 by Friday", "18", "sitck", "rod", "shell", "bucket", "cup",
        "whit oak", "white oak", "26 x 60", "26 x 60 mm", "30 mm", "30 x 70 mm",
        "29.8, 3.01 mm", "", "7", "2", "smoke 9", "red",
    )  # fmt: skip

    assert run.code == 0
    for says in (
        '"many" is not a number of pieces. Allowed: a whole number',
        '"Friday" is not a date. Allowed: year-month-day',
        '"26" has no unit. Allowed: mm, cm',
        'there is no shape "sitck". Allowed: rod, tube, bar',
        "a shell does not take a rod: its form is known in full",
        'there is no mould "bucket". Allowed: cup, contour, master, split, block, tray',
        '"30 mm" is not diameter x length.',
        "3.01 mm is more than a fifth off the 30 mm you gave.",
        'there is no wood "whit oak". Allowed: american-basswood',
        "Did you mean white-oak?",
        'there is no resin card "7".',
        "the shares add up to 9.",
    ):
        assert says in run.words
    assert len(questions(run)) == 10
    assert load_job(Path("pegs.toml")).job.insert.wood == "white oak"


def test_inches_are_kept_as_they_were_typed(new: New) -> None:
    new("pegs", "", "rod", "", "", '1-1/8" x 2 3/8"', "1 3/16 x 2 3/4 in", "", "", "")

    written = tomllib.loads(Path("pegs.toml").read_text("utf-8"))
    assert written["unit"] == "in"
    assert written["piece"] == {"diameter": '1-1/8"', "length": '2 3/8"'}
    assert written["insert"]["diameter"] == "1 3/16 in"


def test_words_that_toml_would_trip_over_are_kept(new: New) -> None:
    run = new('The "best" pegs\x07 \\ ever', *[""] * 8, '"sea" \\ blue')

    job = load_job(Path("the-best-pegs-ever.toml")).job
    assert run.code == 0
    assert job.colour[0].name == '"sea" \\ blue'
    assert (
        Path("the-best-pegs-ever.toml").read_text("utf-8").startswith('# The "best" pegs \\ ever')
    )


def test_a_file_that_is_there_is_never_written_over(new: New) -> None:
    Path("pegs.toml").write_text("mine")

    run = new("pegs", "other pegs", *FULL[1:])

    assert run.code == 0
    assert "there is a pegs.toml here already. Take another name." in run.words
    assert Path("pegs.toml").read_text() == "mine"
    assert files() == ["other-pegs.toml", "pegs.toml"]


def test_unknown_names_count_on(new: New) -> None:
    assert new(*[""] * 10).code == 0
    assert new(*[""] * 10).code == 0

    assert files() == ["my-job-2.toml", "my-job.toml"]


@pytest.mark.parametrize("answers", range(10))
def test_answers_that_end_early_leave_nothing(new: New, answers: int) -> None:
    run = new(*FULL[:answers])

    assert run.code == 2
    assert run.err.startswith("the answers ended before the last question.")
    assert "Nothing was written." in run.err
    assert run.err.count("\n") == 1
    assert files() == []


def test_a_last_line_without_its_end_is_an_answer(new: New) -> None:
    assert new("\n".join(FULL), end="").code == 0


def test_what_is_not_utf_8_is_told(
    new: New, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    typed = io.TextIOWrapper(io.BytesIO("caf\u00e9\n".encode("latin-1")), encoding="utf-8")
    monkeypatch.setattr("sys.stdin", typed)

    run = mouldgen("new")

    assert run.code == 2
    assert run.err.startswith("what was typed is not UTF-8.")


def test_the_file_may_be_chosen(new: New) -> None:
    Path("jobs").mkdir()

    run = new(*FULL, words=("--out", "jobs/pegs.toml"))

    assert run.code == 0
    assert load_job(Path("jobs/pegs.toml")).job.name == "coat-pegs-for-the-boathouse"


@pytest.mark.parametrize(
    ("out", "code", "says"),
    [
        ("pegs.txt", 2, "pegs.txt: a job file ends in .toml. Take pegs.txt.toml."),
        ("there.toml", 2, "there.toml: there is a file of this name already, and it is never"),
        ("no/such/folder/pegs.toml", 3, "no/such/folder/pegs.toml: the file cannot be written"),
    ],
)
def test_a_file_that_cannot_be(new: New, out: str, code: int, says: str) -> None:
    Path("there.toml").write_text("mine")

    run = new(*FULL, words=("--out", out))

    assert run.code == code
    assert run.err.startswith(says)
    assert files() == ["there.toml"]


def test_what_the_shop_file_says_is_left_out(new: New) -> None:
    Path("shop.toml").write_text('[printer]\ncard = "round-240"\n[pour]\nshop = "18 C"\n')

    assert new(*FULL).code == 0

    written = tomllib.loads(Path("coat-pegs-for-the-boathouse.toml").read_text("utf-8"))
    job = load_job(Path("coat-pegs-for-the-boathouse.toml")).job
    assert not {"printer", "pour"} & set(written)
    assert (job.printer.card, job.pour.shop) == ("round-240", 18.0)


def test_a_broken_shop_file_leaves_nothing_half_written(new: New) -> None:
    Path("shop.toml").write_text("[printer]\ncard = 3\n")

    run = new(*FULL)

    assert run.code == 2
    assert "shop.toml [printer] card" in run.err
    assert files() == ["shop.toml"]


def test_a_conflict_is_told_once_and_the_job_is_kept(new: New) -> None:
    # A fast urethane gels before the usual 14 minutes are over.
    run = new(*FULL[:8], "casting-urethane-fast", "smoke")

    assert run.code == 1
    assert run.out.count("No gap meets every rule.") == 1
    assert files() == ["coat-pegs-for-the-boathouse.toml"]
