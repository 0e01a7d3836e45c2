"""The ten questions for one who keeps the answers and hands all of them in each time."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

import pytest

from mouldgen.desk.calliper import READINGS, SIZES
from mouldgen.desk.insert_kinds import KINDS
from mouldgen.desk.next_question import Asked, Finished, next_question
from mouldgen.desk.ten import OPENING
from mouldgen.errors import InputError, JobError, UsageError
from mouldgen.job.presets import find_scan

FULL = [
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
]
ORDER = ["title", "wanted", "kind", "mould", "wood", "piece", "insert", "readings", "resin"]


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder of jobs, of a maker without presets of their own."""
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))
    (tmp_path / "jobs").mkdir()
    return tmp_path / "jobs"


def asked(answers: list[str], folder: Path) -> Asked:
    step = next_question(answers, folder=folder)
    assert isinstance(step, Asked)
    return step


def finished(answers: list[str], folder: Path) -> Finished:
    step = next_question(answers, folder=folder)
    assert isinstance(step, Finished)
    return step


def test_the_first_question_comes_without_an_answer(folder: Path) -> None:
    step = asked([], folder)

    assert (step.id, step.at, step.of, step.told) == ("title", 1, 10, (OPENING,))
    assert step.words == "What are you making? A few words, such as coat pegs: they name the job."
    assert (step.usual, step.choices, step.hint) == ("my-job", (), "")


def test_each_answer_brings_the_next_question(folder: Path) -> None:
    steps = [asked(FULL[:n], folder) for n in range(10)]

    assert [step.id for step in steps] == [*ORDER, "colours"]
    assert [step.at for step in steps] == list(range(1, 11))
    assert {step.of for step in steps} == {10}
    assert steps[2].choices == tuple((kind.name, kind.words) for kind in KINDS)
    assert steps[6].hint == SIZES["flute"]
    assert steps[7].hint == READINGS["flute"]


def test_all_answers_make_a_job_and_write_nothing(folder: Path) -> None:
    step = finished(FULL, folder)

    job = tomllib.loads(step.text)
    assert (step.name, job["name"], step.told) == (*[FULL[0].lower().replace(" ", "-")] * 2, ())
    assert job["order"]["pieces"] == 18
    assert job["insert"]["measured"] == ["29.8 mm", "30.1 mm", "30.0 mm"]
    assert list(folder.iterdir()) == []


def test_what_is_not_known_is_told(folder: Path) -> None:
    assert asked(["", "", ""], folder).told == ("Taken: a rod.",)
    assert finished([""] * 10, folder).told == ("Taken: none, the resin stays clear.",)


def test_a_bundle_has_no_readings(folder: Path) -> None:
    answers = ["", "", "bundle"]

    assert asked(answers[:2], folder).of == 10  # not known yet
    assert [asked(answers + [""] * n, folder).id for n in range(5)][-1] == "resin"
    assert asked([*answers, *[""] * 5], folder).at == asked(answers, folder).of == 9
    assert finished([*answers, *[""] * 6], folder).name == "my-job"


def test_a_name_that_is_taken_is_refused(folder: Path) -> None:
    (folder / "pegs.toml").write_text("mine")

    with pytest.raises(UsageError, match=r"^there is a pegs\.toml here already\. Take another"):
        next_question(["pegs"], folder=folder)


@pytest.mark.parametrize(
    ("answers", "says"),
    [
        (["pegs", "many"], r'^"many" is not a number of pieces\. Allowed: a whole number'),
        (["con"], r'^"con" cannot be the name of a job\.'),
        ([*FULL[:5], "2600 m x 60 mm"], r'^"2600 m" is far too large for a length in this shop'),
        (["a\nb"], r"^an answer is one line"),
        (["a", "1", "sti\rck"], r"^an answer is one line"),
        (["\ud83d"], r"^what was typed is not UTF-8"),
        (["con", "18"], r'^answer 1: "con" cannot be the name of a job\.'),
        ([*FULL, ""], r"^there is 1 answer more than there are questions"),
        ([*FULL, "", ""], r"^there are 2 answers more than there are questions"),
    ],
)
def test_an_answer_that_cannot_be_is_refused(folder: Path, answers: list[str], says: str) -> None:
    with pytest.raises(InputError, match=says):
        next_question(answers, folder=folder)


def test_a_broken_shop_file_is_told_at_the_end(folder: Path) -> None:
    (folder / "shop.toml").write_text("[printer\n")

    assert asked(FULL[:9], folder).id == "colours"
    with pytest.raises(JobError, match=r"^shop\.toml"):
        next_question(FULL, folder=folder)


def test_what_the_shop_file_says_is_left_out(folder: Path) -> None:
    (folder / "shop.toml").write_text('format = 1\n[printer]\ncard = "round-240"\n')

    assert "printer" not in tomllib.loads(finished(FULL, folder).text)


class TestScan:
    def test_one_of_the_folder_is_read(self, folder: Path) -> None:
        shutil.copy(find_scan("burl-knob.stl"), folder / "mine.stl")

        step = asked(["", "", "scan", "", "", "mine.stl"], folder)

        assert (step.id, step.of) == ("piece", 10)
        assert step.told[0].startswith("Found: ")

    def test_a_shipped_one_is_read(self, folder: Path) -> None:
        step = asked(["", "", "scan", "", "", "burl-knob.stl"], folder)

        assert step.told[0].startswith("Found: ")

    @pytest.mark.parametrize(
        "path",
        [
            "../mine.stl",
            "/etc/passwd",
            "a/../../mine.stl",
            "link/mine.stl",
            "..",
            "~/mine.stl",
            "~nobody-of-that-name/mine.stl",
        ],
    )
    def test_one_of_elsewhere_is_not_looked_at(
        self, folder: Path, monkeypatch: pytest.MonkeyPatch, path: str
    ) -> None:
        shutil.copy(find_scan("burl-knob.stl"), folder.parent / "mine.stl")
        (folder / "link").symlink_to(folder.parent)
        monkeypatch.setenv("HOME", str(folder.parent))

        with pytest.raises(UsageError, match="does not lie in the folder of the jobs"):
            next_question(["", "", "scan", "", "", path], folder=folder)

    @pytest.mark.parametrize("path", ["a\x00b.stl", "a\x7f.stl", "\x1b[2J.stl"])
    def test_a_name_that_no_file_has_is_refused(self, folder: Path, path: str) -> None:
        with pytest.raises(UsageError, match="is no name of a file"):
            next_question(["", "", "scan", "", "", path], folder=folder)


@pytest.mark.parametrize("at", [2, 3, 4, 8], ids=["kind", "mould", "wood", "resin"])
def test_the_number_of_each_choice_will_do(at: int, folder: Path) -> None:
    before = [*FULL[:2], "rod", *FULL[3:6], "30 x 70 mm", *FULL[7:]][:at]
    choices = asked(before, folder).choices

    assert len(choices) > 2
    for number, (name, _) in enumerate(choices, 1):
        by_number, by_name = (
            next_question([*before, said], folder=folder) for said in (str(number), name)
        )
        assert isinstance(by_number, Asked)
        assert isinstance(by_name, Asked)
        assert (by_number.words, by_number.usual, by_number.told) == (
            by_name.words,
            by_name.usual,
            by_name.told,
        )


def test_none_is_no_reading_and_no_colour(folder: Path) -> None:
    job = tomllib.loads(finished([*FULL[:7], "None", FULL[8], "none"], folder).text)

    assert "measured" not in job["insert"]
    assert "colour" not in job
