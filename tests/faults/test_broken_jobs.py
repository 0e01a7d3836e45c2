"""Every broken job file gives one plain paragraph that names the place."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from mouldgen.errors import JobError
from mouldgen.job.load import load_job
from tests.faults.broken_jobs import BROKEN, GOOD


@pytest.fixture(autouse=True)
def _no_user_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))


def test_the_job_that_the_broken_ones_are_made_from_is_good(tmp_path: Path) -> None:
    path = tmp_path / "good.toml"
    path.write_bytes(GOOD)
    assert load_job(path).job.name == "coat-pegs"


def test_each_case_has_a_name_of_its_own() -> None:
    assert len({case[0] for case in BROKEN}) == len(BROKEN) >= 20


@pytest.mark.parametrize(
    ("content", "says"), [case[1:] for case in BROKEN], ids=[case[0] for case in BROKEN]
)
def test_a_broken_job_file_is_refused_in_one_paragraph(
    tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "broken.toml"
    path.write_bytes(content)
    with pytest.raises(JobError, match=says) as caught:
        load_job(path)
    message = str(caught.value)
    assert message.startswith(str(path))
    assert message.isprintable()  # one line, and no escape
    assert re.search(r"[.?]$", message)
    assert "Allowed: " in message
    assert len(message) < 800
    for foreign in ("Traceback", "pydantic", "Input should", "validation error", "yield_ ="):
        assert foreign not in message


@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("..", r'"\.\." is neither a job file nor the name of a job.*boathouse-pegs'),
        ("con", r'"con" is neither a job file nor the name of a job'),
        ("nul", r'"nul" is neither'),
        ("", r'"" is neither'),
        ("boathouse-peg", r"no such job.*Did you mean the shipped job boathouse-pegs\?"),
        ("boathouse-peg.toml", r"no such job.*Did you mean the shipped job boathouse-pegs\?"),
        ("quite-other", r"no such job.*Shipped jobs: .*boathouse-pegs"),
        ("no/such/file.toml", r"no/such/file\.toml: there is no such job"),
        ("../", r"this is a folder, not a file"),
        ("a\0b.toml", r"there is no such file"),
    ],
)
def test_what_is_no_job_is_refused_by_name(source: str, says: str) -> None:
    with pytest.raises(JobError, match=says):
        load_job(source)


def test_a_file_without_its_ending_is_pointed_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "pegs.toml").write_bytes(GOOD)
    with pytest.raises(JobError, match=r"There is a file pegs\.toml in this folder"):
        load_job("pegs")


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(JobError, match="this is a folder, not a file"):
        load_job(tmp_path)


@pytest.mark.parametrize(
    ("setting", "says"),
    [
        ("order.pieces", r'--set: "order\.pieces" is not a setting.*table\.key=value'),
        ("=3", r"is not a setting"),
        ("order.=3", r"is not a setting"),
        ("a.b.c=3", r"is not a setting"),
        ("order.peices=3", r"--set \[order\] peices: .*mean pieces\?"),
        ("order.pieces=many", r'--set \[order\] pieces: "many" does not fit.*a whole number'),
        ("insert.diameter=22", r"--set \[insert\] diameter: 22 has no unit"),
        ("colour.name=smoke", r"--set colour\.name: colour cannot be set key by key"),
        ("order=3", r"order is not a table"),
        ("mould.gap=2 mmm", r"--set \[mould\] gap: .*unit mmm"),
        ("plastic.card=pteg", r"--set \[plastic\] card: there is no card.*mean petg\?"),
    ],
)
def test_a_broken_setting_is_refused_by_name(tmp_path: Path, setting: str, says: str) -> None:
    path = tmp_path / "good.toml"
    path.write_bytes(GOOD)
    with pytest.raises(JobError, match=says):
        load_job(path, sets=[setting])


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b'name = "x"\n', r"name belongs in a job file, not here"),
        (b"[insert]\n", r"table \[insert\] belongs in a job file, not here.*\[printer\]"),
        (b"format = 2\n", r"this file is format 2"),
        (b"[pott]\n", r"no table \[pott\].*mean pot\?"),
        (b'[pot]\ncard = "pot-228"\nrating = 60\n', r"\[pot\] rating: 60 has no unit.*psi"),
        (b"\xff", r"not UTF-8"),
    ],
)
def test_a_broken_shop_file_is_named(tmp_path: Path, content: bytes, says: str) -> None:
    (tmp_path / "good.toml").write_bytes(GOOD)
    (tmp_path / "shop.toml").write_bytes(content)
    with pytest.raises(JobError, match=r"^shop\.toml.*" + says):
        load_job(tmp_path / "good.toml")


def test_a_shop_file_that_was_asked_for_must_be_there(tmp_path: Path) -> None:
    (tmp_path / "good.toml").write_bytes(GOOD)
    with pytest.raises(JobError, match=r"mine\.toml: there is no such file"):
        load_job(tmp_path / "good.toml", shop_file=tmp_path / "mine.toml")
