"""Plain tables and wrapped paragraphs."""

from __future__ import annotations

import io

import pytest

from mouldgen.cli import progress
from mouldgen.cli.say import wrapped
from mouldgen.cli.tables import table
from mouldgen.cli.words import count, either, gap, length, percent
from mouldgen.job.words import printable
from mouldgen.sheet.number_words import grams, in_inch_words


def test_numbers_end_and_words_start_at_one_place() -> None:
    rows = [("a", "mm", "why"), ("long", "0.5", "x"), ("b", "12.25", "y")]

    assert table(rows, right=(1,)) == "a        mm  why\nlong    0.5  x\nb     12.25  y"


def test_a_long_last_column_breaks_under_itself() -> None:
    lines = table([("a", "why"), ("b", "word " * 30)]).splitlines()

    assert max(map(len, lines)) <= 80
    assert {line[:3] for line in lines[2:]} == {"   "}
    assert " ".join(lines).split() == ["a", "why", "b", *["word"] * 30]


def test_a_long_last_column_without_room_goes_below_its_row() -> None:
    rows = [("a" * 70, "why"), ("b" * 70, "word " * 30), ("c" * 70, "Thu 3 Dec 08:59")]
    lines = table(rows).splitlines()

    assert lines[0] == "a" * 70 + "  why"
    assert lines[1] == "b" * 70
    assert {line[:6] for line in lines[2:-1]} == {" " * 6}
    assert lines[2][6:10] == "word"
    assert max(map(len, lines[1:-1])) <= 80
    assert lines[-1] == "c" * 70 + "  Thu 3 Dec 08:59"  # a short one stays in its row


def test_a_mixed_fraction_is_not_broken() -> None:
    told = wrapped("88.9 mm (3 1/2 in)", columns=12)

    assert told.splitlines() == ["88.9 mm", "(3 1/2 in)"]


def test_a_word_is_never_broken() -> None:
    path = "folder-with-a-long-name/" * 6

    assert path in wrapped(f"see {path}", first="  ")


def test_control_characters_do_not_reach_the_terminal() -> None:
    assert printable("a\x1b[31mb\nc\td\u202ee") == "a [31mb c d e"


@pytest.mark.parametrize(
    ("shown", "text"),
    [
        # 30.1625 mm is 1 3/16 in and 0.94 mm is 0.0370 in: 25.4 mm to the inch, exactly.
        (length(30.1625, inches=True), "30.16 mm (1 3/16 in)"),
        (length(30.0, inches=False), "30 mm"),
        (in_inch_words(0.94), "0.037 in"),
        (gap(1.0, inches=False), "1.00 mm"),
        (gap(1.27, inches=True), "1.27 mm (0.050 in)"),
        (count(1, "bed"), "1 bed"),
        (count(2, "body", "bodies"), "2 bodies"),
        (grams(21.0, digit_g=1.0), "21"),
        (grams(20.2, digit_g=0.1), "20.2"),
        (grams(20.2, digit_g=0.05), "20.20"),
        (grams(20.0, digit_g=5.0), "20"),
        (percent(-0.0001, places=1), "0.0 %"),
        (percent(-0.02, places=1), "-2.0 %"),
        (percent(0.92), "92 %"),
        (either(("a",)), "a"),
        (either(("a, b", "c")), "a, b; or c"),
    ],
)
def test_numbers_in_a_makers_words(shown: str, text: str) -> None:
    assert shown == text


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize(
    ("stream", "quiet", "patience", "told"),
    [
        (Terminal(), False, 0.0, "Building the moulds …\n"),
        (Terminal(), False, 60.0, ""),
        (Terminal(), True, 0.0, ""),
        (io.StringIO(), False, 0.0, ""),
    ],
    ids=["long", "short", "quiet", "no-terminal"],
)
def test_only_what_takes_long_is_told_and_only_to_a_person(
    monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, quiet: bool, patience: float, told: str
) -> None:
    import threading

    monkeypatch.setattr("sys.stderr", stream)
    monkeypatch.setattr(progress, "PATIENCE_S", patience)
    with progress.busy("Building the moulds", quiet=quiet):
        for thread in threading.enumerate():
            if isinstance(thread, threading.Timer) and patience == 0.0:
                thread.join(5.0)

    assert stream.getvalue() == told
