"""``mouldgen dry``: the log read, a weighing added, exit codes, words and JSON."""

import datetime as dt
import re
from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

LOG = """\
piece,when,weight
# oven on at six
A1,2026-11-20 06:30,412.3 g
A1,2026-11-20 09:30,398.1 g
A1,2026-11-20 12:30,390.0 g
A1,2026-11-20 18:30,383.0 g
A1,2026-11-20 23:30,380.9 g
root 3,2026-11-20 06:30,120.0 g
root 3,2026-11-20 12:00,119.9 g
"""


@pytest.fixture
def log(tmp_path: Path) -> Path:
    path = tmp_path / "log.csv"
    path.write_text(LOG, encoding="utf-8")
    return path


def test_what_the_log_says(log: Path) -> None:
    run = mouldgen("dry", str(log))

    assert (run.code, run.err) == (1, "")
    assert "A1 5 times 2026-11-20 23:30 380.9 g 0.42 g no" in run.words
    assert "root 3 2 times 2026-11-20 12:00 119.9 g 0.018 g yes" in run.words
    assert "A1: still losing: 2.1 g in 5 h, and 0.2 g are allowed. It should be constant about" in (
        run.words
    )
    assert (
        "At first it held 8.2 % of water or more, as a share of its lightest weight." in run.words
    )
    assert "root 3: constant: it lost 0.1 g in 5.5 h, and 0.12 g are allowed." in run.words
    assert "[insert] constant_weight = true" in run.words
    assert log.read_text(encoding="utf-8") == LOG


def test_all_constant_is_a_yes(log: Path) -> None:
    log.write_text(LOG.replace("A1,", "# A1,"), encoding="utf-8")
    run = mouldgen("dry", str(log), "--json")

    assert run.code == 0
    assert run.json["all_constant"] is True
    assert run.json["scale_g"] == 0.1
    (piece,) = run.json["pieces"]
    assert (piece["state"], piece["loss_g"], piece["over_h"]) == ("constant", 0.1, 5.5)
    assert (piece["constant_at"], piece["weigh_again"]) == (None, None)


def test_a_weighing_is_added_and_nothing_else_is_touched(log: Path) -> None:
    run = mouldgen("dry", str(log), "--add", "root 3 119.95", "--when", "2026-11-20 16:00")

    assert log.read_text(encoding="utf-8") == LOG + "root 3,2026-11-20 16:00,119.95 g\n"
    assert "root 3 3 times 2026-11-20 16:00 119.95 g" in run.words


def test_without_a_time_it_is_now_and_a_new_log_is_begun(tmp_path: Path) -> None:
    path = tmp_path / "new.csv"
    run = mouldgen("dry", str(path), "--add", "A1 412.3 g")
    heading, line = path.read_text(encoding="utf-8").splitlines()
    found = re.fullmatch(r"A1,(\d{4}-\d\d-\d\d \d\d:\d\d),412\.3 g", line)

    assert run.code == 1
    assert heading == "piece,when,weight"
    now = dt.datetime.now(dt.UTC).astimezone().replace(tzinfo=None)
    assert abs(now - dt.datetime.fromisoformat(found[1])) < dt.timedelta(minutes=2)
    assert "A1: weighed once, which tells nothing yet. Weigh it again after" in run.words


def test_a_weight_that_rises_is_told(log: Path) -> None:
    run = mouldgen("dry", str(log), "--add", "A1 381.9 g", "--when", "2026-11-21 09:00")

    assert "381.9 g -0.11 g no, gained" in run.words
    assert "It gained 1.0 g from 2026-11-20 23:30 to 2026-11-21 09:00: it picked up water, or" in (
        run.words
    )
    (piece, _) = mouldgen("dry", str(log), "--json").json["pieces"]
    assert piece["gained"] == [{"from_line": 7, "to_line": 10, "gain_g": 1.0}]


def test_what_lost_little_in_a_day_is_weighed_once_more(log: Path) -> None:
    days = ("20,412", "21,405", "22,402", "23,401")
    log.write_text("".join(f"A1,2026-11-{day} g\n" for day in days), encoding="utf-8")
    run = mouldgen("dry", str(log))

    # 1 g in 24 h is more than a thousandth; a 24th of it an hour is not in three hours.
    assert "still losing: 1 g in 24 h, and 0.401 g are allowed. By these weighings three" in (
        run.words
    )
    assert "weigh it again after 2026-11-24 12:00 to show it." in run.words
    assert "A day without a time is taken at noon." in run.words


def test_a_coarse_scale_is_told(log: Path) -> None:
    run = mouldgen("dry", str(log), "--scale", "1 g")

    assert "A scale of 1 g sees no less than 0.8 % of root 3: take a finer one" in run.words
    assert mouldgen("dry", str(log), "--verbose").words.count("ASTM D4442") == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--when", "2026-11-20 16:00"], "--when does not go without --add."),
        (["--add", "412.3 g"], '--add: "412.3 g" is not a piece and its weight.'),
        (["--add", "A1 412,3 g"], "Decimals have a point, never a comma."),
        (["--add", "A1 12 oz"], '--add: "12 oz" has the unit oz'),
        (["--add", "#1 12 g"], "--add: a line that begins with # would be a comment."),
        (["--add", "A1 12 g", "--when", "noon"], '--when: "noon" is neither a day nor a time.'),
        (["--scale", "fine"], '--scale: "fine" does not start with a number.'),
        (
            ["--add", "A1 400 g", "--when", "2026-11-20 23:30"],
            "log.csv, line 10: A1 is weighed twice at one time, which line 7 says too.",
        ),
    ],
)
def test_words_that_cannot_be_used_change_nothing(log: Path, words: list[str], says: str) -> None:
    run = mouldgen("dry", str(log), *words)

    assert (run.code, run.out) == (2, "")
    assert says in run.err
    assert log.read_text(encoding="utf-8") == LOG


def test_a_bad_line_and_an_empty_log(log: Path, tmp_path: Path) -> None:
    log.write_text(LOG + "A1;2026\n", encoding="utf-8")
    refused = mouldgen("dry", str(log), "--add", "A1 380.9 g")
    assert refused.code == 2
    assert "log.csv, line 10: the line has 1 field and not 3." in refused.err
    assert log.read_text(encoding="utf-8") == LOG + "A1;2026\n"

    log.write_text("piece,when,weight\n", encoding="utf-8")
    assert "the log holds no weighing" in mouldgen("dry", str(log)).err
    assert "there is no such file" in mouldgen("dry", str(tmp_path / "none.csv")).err


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("root 3 14 1/2 oz", "A fraction is written with a point: 14.5 weight oz"),
        ("A1 412,3 g", "Decimals have a point, never a comma."),
        ("412.3 g", "The piece's name comes first."),
    ],
)
def test_a_weighing_that_cannot_be_read_says_what_to_type(log: Path, typed: str, told: str) -> None:
    run = mouldgen("dry", str(log), "--add", typed)
    assert run.code == 2
    assert told in run.err
    assert log.read_text(encoding="utf-8") == LOG


def test_what_an_oven_can_do_is_said(log: Path) -> None:
    assert "stay near: warm wood and its sap can catch fire." in mouldgen("dry", str(log)).words
    assert "catch fire" not in mouldgen("dry", str(log), "--quiet").words


def test_names_that_are_nearly_alike_are_told(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    path.write_text("A1,2026-11-20 08:00,400 g\na 1,2026-11-20 12:00,390 g\n", encoding="utf-8")
    run = mouldgen("dry", str(path))
    assert "A1 and a 1 count as two pieces: if they are one, write one name" in run.words

    path.write_text("A1,2026-11-20 08:00,400 g\nA2,2026-11-20 12:00,390 g\n", encoding="utf-8")
    assert "count as two pieces" not in mouldgen("dry", str(path)).words
