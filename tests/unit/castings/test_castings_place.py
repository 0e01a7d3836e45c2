"""Where the castings file is kept."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.castings.place import castings_place
from mouldgen.errors import JobError
from mouldgen.job.find import SHOP_FILE


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder; the user's folder of presets and a folder of jobs stand beside it."""
    for name in ("here", "mine", "jobs"):
        (tmp_path / name).mkdir()
    monkeypatch.chdir(tmp_path / "here")
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "mine"))
    (tmp_path / "jobs" / "pegs.toml").write_text("format = 1\n", encoding="utf-8")
    return tmp_path


def test_without_a_shop_file_it_lies_in_this_folder(here: Path) -> None:
    assert castings_place() == Path("castings.sqlite")
    assert castings_place("boathouse-pegs") == Path("castings.sqlite")
    assert castings_place(str(here / "jobs" / "pegs.toml")) == Path("castings.sqlite")


def test_it_lies_beside_the_first_shop_file(here: Path) -> None:
    job = str(here / "jobs" / "pegs.toml")
    (here / "mine" / SHOP_FILE).touch()
    assert castings_place(job) == here / "mine" / "castings.sqlite"
    assert castings_place() == here / "mine" / "castings.sqlite"

    (here / "here" / SHOP_FILE).touch()
    assert castings_place(job) == Path("castings.sqlite")
    assert castings_place("boathouse-pegs") == Path("castings.sqlite")

    (here / "jobs" / SHOP_FILE).touch()
    assert castings_place(job) == here / "jobs" / "castings.sqlite"
    assert castings_place() == Path("castings.sqlite")


def test_a_job_that_there_is_not_is_refused(here: Path) -> None:
    with pytest.raises(JobError, match="there is no such job"):
        castings_place("no-pegs-of-mine")
