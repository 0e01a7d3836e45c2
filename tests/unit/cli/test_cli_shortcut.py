"""``mouldgen shortcut``: what it writes, says and refuses."""

from __future__ import annotations

import re
import shlex
import sys
from pathlib import Path

import pytest

from tests.cli_runs import mouldgen

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="the files are those of Linux")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "me"
    (folder / "Desktop").mkdir(parents=True)
    monkeypatch.setenv("HOME", str(folder))
    monkeypatch.delenv("XDG_DATA_HOME", raising=False)
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    return folder


def started(home: Path) -> list[str]:
    """The words of the line in the script that starts the page."""
    script = (home / ".local/share/mouldgen/open-page.sh").read_text(encoding="utf-8")
    (line,) = (line for line in script.splitlines() if "mouldgen page" in line)
    return shlex.split(line)


def test_it_opens_the_page_of_a_folder_made_for_it(home: Path) -> None:
    run = mouldgen("shortcut")

    assert (run.code, run.err) == (0, "")
    jobs = home / "mouldgen-jobs"
    assert jobs.is_dir()
    assert started(home) == [
        sys.executable, "-P", "-m", "mouldgen", "page", "--folder", str(jobs)
    ]  # fmt: skip
    written = [line.removeprefix("written: ") for line in run.out.splitlines()[:4]]
    assert {Path(path) for path in written} == {path for path in home.rglob("*") if path.is_file()}
    assert f"opens the page for the jobs in {jobs}." in run.words


def test_it_says_where_it_lies(home: Path) -> None:
    assert "It lies on the desktop and among the programs." in mouldgen("shortcut").words
    (home / "Desktop" / "mouldgen.desktop").unlink()
    (home / "Desktop").rmdir()
    run = mouldgen("shortcut")

    assert "so it is among the programs only" in run.words
    assert len(re.findall(r"^written: ", run.out, re.MULTILINE)) == 3


def test_a_second_time_it_is_another_folders(home: Path, tmp_path: Path) -> None:
    mouldgen("shortcut")
    (tmp_path / "shop jobs").mkdir()

    assert mouldgen("shortcut", "--folder", str(tmp_path / "shop jobs")).code == 0
    assert started(home)[-1] == str(tmp_path / "shop jobs")


def test_removed_it_is_gone_and_the_jobs_are_not(home: Path) -> None:
    mouldgen("shortcut")
    (home / "mouldgen-jobs" / "pegs.toml").write_text("", encoding="utf-8")
    run = mouldgen("shortcut", "--remove")

    assert run.code == 0
    assert [path.name for path in home.rglob("*") if path.is_file()] == ["pegs.toml"]
    assert run.out.count("removed: ") == 4
    assert mouldgen("shortcut", "--remove").out == "There was no shortcut to remove.\n"


def test_a_file_of_somebody_else_stays_and_is_told(home: Path) -> None:
    theirs = home / "Desktop/mouldgen.desktop"
    theirs.write_text("mine", encoding="utf-8")
    run = mouldgen("shortcut")

    assert run.code == 3
    assert run.err.startswith(f"{theirs}: is there already and not made by mouldgen")
    assert [path.name for path in home.rglob("*") if path.is_file()] == ["mouldgen.desktop"]
    assert not (home / "mouldgen-jobs").exists()
    assert f"left alone, mouldgen did not make it: {theirs}" in mouldgen("shortcut", "--remove").out
    assert theirs.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (["--folder", "nowhere"], 2, "nowhere: is no folder that is there. Make it first, or"),
        (["--folder", "me"], 2, "--folder does not go with --remove"),
        (["--folder", "note"], 2, "note: is a file, so it cannot hold jobs."),
    ],
)
def test_words_that_do_not_fit_are_refused(
    home: Path, monkeypatch: pytest.MonkeyPatch, words: list[str], code: int, says: str
) -> None:
    monkeypatch.chdir(home.parent)
    Path("note").write_text("", encoding="utf-8")
    extra = ["--remove"] if words[1] == "me" else []
    run = mouldgen("shortcut", *words, *extra)

    assert (run.code, run.out) == (code, "")
    assert run.err.startswith(says)
    assert not any(path.is_file() for path in home.rglob("*"))


def test_a_file_where_the_jobs_would_go_is_told_before_anything_is_written(home: Path) -> None:
    (home / "mouldgen-jobs").write_text("", encoding="utf-8")
    run = mouldgen("shortcut")

    assert run.code == 2
    assert "mouldgen-jobs: is a file, so it cannot hold jobs." in run.err
    assert not (home / ".local").exists()
