"""What a maker is told about a scan: each ailment once, and nothing about a sound one."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from mouldgen.check.ailing import ailing
from mouldgen.cli import main
from mouldgen.finding import Finding
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from tests.random_scans import sphere


def made(*pieces: tuple[np.ndarray, np.ndarray]) -> Mesh:
    starts = np.cumsum([0] + [len(corners) for corners, _ in pieces])
    faces = [f + start for (_, f), start in zip(pieces, starts, strict=False)]
    return Mesh(
        np.concatenate([corners for corners, _ in pieces]).astype(np.float32),
        np.ascontiguousarray(np.concatenate(faces), np.int32),
    )


def told(mesh: Mesh) -> dict[str, Finding]:
    findings = ailing(mesh, name="peg")
    assert len({finding.id for finding in findings}) == len(findings)
    return {finding.id: finding for finding in findings}


CORNERS, FACES = sphere(10)
BALL = (CORNERS * 10.0, FACES)


def test_a_sound_mesh_gives_none() -> None:
    assert ailing(made(BALL), name="peg") == ()


def test_holes_are_told_one_by_one_the_largest_first() -> None:
    whole = box((0, 0, 0), (10, 10, 10)).any_mesh()
    top = (whole.corners[:, :, 2] == 10.0).all(axis=1)
    found = told(Mesh(whole.vertices, whole.triangles[~top]))
    assert list(found) == ["scan.holes"]
    assert found["scan.holes"].message == (
        "peg has 1 hole: 14.1 mm across near x 5.0, y 5.0, z 10.0 mm."
    )
    # Twenty faces gone that share no corner: as many holes of one triangle.
    gone: list[int] = []
    for number, face in enumerate(FACES):
        if len(gone) < 20 and not set(FACES[gone].ravel()) & set(face):
            gone.append(number)
    many = told(made((BALL[0], np.delete(FACES, gone, axis=0))))
    assert many["scan.holes"].measured == 20.0
    assert many["scan.holes"].message.endswith("; and 17 more.")


def test_stray_bits_pieces_inside_and_doubles() -> None:
    crumb = (CORNERS * 0.3 + [14.0, 0.0, 0.0], FACES)
    inner = (CORNERS * 3.0, FACES)
    doubled = (BALL[0], np.concatenate([FACES, FACES[:3]]))
    found = told(made(doubled, crumb, inner))
    assert found["scan.stray"].message == "peg has 1 stray bit apart from its body."
    assert found["scan.inside"].message == "peg has 1 piece of surface inside its body."
    assert found["scan.doubled"].measured == 3.0


def test_corners_that_are_nearly_one_are_told_and_taken_as_one() -> None:
    """Without that each of the 800 triangles were a stray bit with a hole of its own."""
    rng = np.random.default_rng(0)
    loose = CORNERS[FACES[1:]].reshape(-1, 3) * 10.0
    loose = loose + rng.normal(0.0, 1e-5, loose.shape)
    found = told(made((loose, np.arange(len(loose)).reshape(-1, 3))))
    assert set(found) == {"scan.loose", "scan.holes"}
    assert found["scan.loose"].severity == "warn"
    assert found["scan.loose"].measured == len(loose) - len(CORNERS)
    assert found["scan.holes"].measured == 1.0


def test_a_fin_is_told_as_such_and_not_as_a_hole() -> None:
    on = FACES[0]
    fin = np.array([[on[0], on[1], len(CORNERS)]])
    tip = np.array([[20.0, 20.0, 20.0]])
    found = told(made((np.concatenate([BALL[0], tip]), np.concatenate([FACES, fin]))))
    assert set(found) == {"scan.fins"}
    assert found["scan.fins"].message == (
        "peg has 1 triangle that sticks out from an edge which has its two already."
    )


def test_a_hollow_is_told_here_where_nothing_else_would() -> None:
    inner = (CORNERS * 3.0, FACES[:, ::-1])
    # Closed, `prints` tells it; with a hole `prints` is never asked.
    assert told(made(BALL, inner)) == {}
    found = told(made((BALL[0], FACES[1:]), inner))
    assert set(found) == {"scan.holes", "scan.inside"}
    assert set(told(made((BALL[0], FACES[:, ::-1]), (CORNERS * 3.0, FACES)))) == {"scan.inside"}


def test_an_open_scan_is_told_inside_out_and_in_how_many_pieces() -> None:
    other = (BALL[0] + [40.0, 0.0, 0.0], FACES)
    found = told(made((BALL[0], FACES[1:]), other))
    assert found["scan.apart"].message == "peg is in 2 pieces that are no stray bits."
    assert set(told(made((BALL[0], FACES[1:, ::-1])))) == {"scan.holes", "scan.inside-out"}


@pytest.mark.parametrize(
    ("size", "words"), [(0.007, "perhaps it was saved in metres"), (100.0, "2 m at its longest")]
)
def test_an_unlikely_unit_is_noted(size: float, words: str) -> None:
    found = told(made((CORNERS * size * 10.0, FACES)))
    assert list(found) == ["scan.unit"]
    assert found["scan.unit"].severity == "note"
    assert words in found["scan.unit"].message


def test_what_is_too_large_to_look_at_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("mouldgen.check.ailing.MOST_FACES", 100)
    found = told(made(BALL))
    assert list(found) == ["scan.unfinished"]
    assert (found["scan.unfinished"].measured, found["scan.unfinished"].limit) == (800.0, 100.0)


def test_the_command_names_them(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "two.stl"
    path.write_bytes(stl_bytes([made(BALL, (BALL[0] + [12.0, 0.1, 0.2], FACES))]))
    main(["check", str(path)])
    said = " ".join(capsys.readouterr().out.split())
    assert "look at: two.stl passes through itself:" in said
    path.write_bytes(stl_bytes([made((BALL[0], FACES[1:]))]))
    assert main(["check", str(path)]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "worth knowing: two.stl has 1 hole:" in said
