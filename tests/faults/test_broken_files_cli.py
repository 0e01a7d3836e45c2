"""Whatever is wrong with a file: one plain paragraph, exit 2, and earlier output as it was."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable
from pathlib import Path

import pytest

from mouldgen.cli import main
from tests.faults.broken_jobs import BROKEN as JOBS
from tests.faults.broken_jobs import GOOD
from tests.faults.broken_meshes import BROKEN as MESHES
from tests.faults.broken_meshes import OBJ, OFF, PLY, TETRA, glb, one, stl

Refused = Callable[..., str]


@pytest.fixture(scope="module")
def earlier(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The output of an earlier run, of the very name that the broken jobs have."""
    folder = tmp_path_factory.mktemp("earlier")
    job = folder / "coat-pegs.toml"
    job.write_bytes(GOOD)
    assert main(["build", str(job), "--out", str(folder / "out"), "--quiet"]) == 0
    return folder / "out"


@pytest.fixture(autouse=True)
def _no_user_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path / "no-presets-of-mine"))


def tree(folder: Path) -> dict[str, str]:
    """Every path below a folder with the hash of its content."""
    return {
        path.relative_to(folder).as_posix(): (
            hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "folder"
        )
        for path in folder.rglob("*")
    }


@pytest.fixture
def refused(earlier: Path, capsys: pytest.CaptureFixture[str]) -> Refused:
    """Runs a command that must be refused, and returns what it said."""

    def run(*words: str, code: int = 2) -> str:
        before = tree(earlier)
        assert "coat-pegs/report.json" in before
        capsys.readouterr()
        assert main(words) == code
        said = capsys.readouterr()
        assert said.out == ""
        assert said.err.count("\n") == 1, "more than one paragraph"
        assert said.err.endswith((".\n", "?\n"))
        assert said.err.strip().isprintable()
        assert "Traceback" not in said.err
        assert "mouldgen hit a bug" not in said.err
        assert tree(earlier) == before
        return said.err

    return run


def test_there_are_more_than_forty_of_them() -> None:
    assert len(JOBS) + len(MESHES) > 40


@pytest.mark.parametrize(
    ("content", "says"), [case[1:] for case in JOBS], ids=[case[0] for case in JOBS]
)
def test_a_broken_job_file(
    refused: Refused, earlier: Path, tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "broken.toml"
    path.write_bytes(content)

    said = refused("build", str(path), "--out", str(earlier))

    assert said.startswith(str(path))
    assert re.search(says, said)


@pytest.mark.parametrize("command", ["gap", "resin", "beds"])
def test_the_other_commands_refuse_it_alike(refused: Refused, tmp_path: Path, command: str) -> None:
    path = tmp_path / "broken.toml"
    path.write_bytes(GOOD.replace(b"22 mm", b"22 mmm"))

    assert "mmm" in refused(command, str(path))


@pytest.mark.parametrize("json", [[], ["--json"]], ids=["words", "json"])
@pytest.mark.parametrize(
    ("source", "says"),
    [
        ("..", r"neither a job file nor the name of a job"),
        ("con", r"neither a job file nor the name of a job"),
        ("nothing.toml", r"no such job"),
        (".", r"neither a job file|is a folder"),
        ("a\0b.toml", r"no such file"),
        ("bad\x1b[31mname\n.toml", r"no such job"),
    ],
)
def test_a_job_that_is_not_there(
    refused: Refused, earlier: Path, source: str, says: str, json: list[str]
) -> None:
    assert re.search(says, refused("build", source, "--out", str(earlier), *json))


@pytest.mark.parametrize(
    ("file", "content", "says"), [case[1:] for case in MESHES], ids=[case[0] for case in MESHES]
)
def test_a_broken_mesh_file(
    refused: Refused, tmp_path: Path, file: str, content: bytes, says: str
) -> None:
    path = tmp_path / file
    path.write_bytes(content)

    said = refused("check", str(path))

    assert said.startswith(str(path))
    assert re.search(says, said)


def test_a_mesh_file_that_is_no_file(refused: Refused, tmp_path: Path) -> None:
    assert "is a folder" in refused("check", str(tmp_path))
    assert "no such file" in refused("check", str(tmp_path / "gone.stl"))
    assert "no such file" in refused("check", str(tmp_path / "gone.stl" / "deeper.stl"))
    assert "no file can have this name" in refused("check", "a\0b.stl")


def test_a_mesh_file_larger_than_is_read(refused: Refused, tmp_path: Path) -> None:
    path = tmp_path / "large.stl"
    with path.open("wb") as file:
        file.truncate(1_000_000_001)  # sparse: takes no room

    assert "is 1.0 GB large. Allowed: at most 1 GB." in refused("check", str(path))


def test_a_good_tetrahedron_is_the_ground_of_all_broken_ones(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for name, content in (
        ("a.stl", stl()), ("a.3mf", one()), ("a.obj", OBJ), ("a.off", OFF), ("a.ply", PLY),
        ("a.glb", glb()),
    ):  # fmt: skip
        path = tmp_path / name
        path.write_bytes(content)
        assert main(["check", str(path)]) == 0
        told = " ".join(capsys.readouterr().out.split())
        # The volume of a tetrahedron with three edges of 10 mm at right angles is 1000/6 mm3.
        size = "10.0 x 10.0 x 10.0 mm, 0.17 ml, 4 triangles, closed. Looked at for lines of 0.42 mm"
        assert size in told


@pytest.mark.parametrize(
    ("name", "content"),
    [
        ("a.stl", stl(faces=3)),
        ("a.3mf", one(TETRA.replace('<triangle v1="1" v2="2" v3="3"/>', ""))),
    ],
)
def test_an_open_mesh_is_read_and_found_open(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, content: bytes
) -> None:
    path = tmp_path / name
    path.write_bytes(content)

    assert main(["check", str(path)]) == 1

    said = capsys.readouterr()
    assert said.err == ""
    told = " ".join(said.out.split())
    assert "3 triangles, not closed." in told
    assert "must fix:" in told
    assert "has holes: 3 edges have a face on one side only" in told


def test_one_unreadable_file_does_not_hide_the_others(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    good, bad = tmp_path / "good.stl", tmp_path / "bad.stl"
    good.write_bytes(stl())
    bad.write_bytes(stl()[:-1])

    assert main(["check", str(bad), str(good)]) == 2

    said = capsys.readouterr()
    assert "closed" in said.out
    assert said.err.startswith(str(bad))
