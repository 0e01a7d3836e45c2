"""Which reader a file gets: by its ending, and where that says nothing by its content."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.errors import MeshFileError
from mouldgen.files.read import read_meshes
from tests.faults.broken_meshes import OBJ, OFF, PLY, glb, one, stl

TEXT = b"""solid t
 facet normal 0 0 -1
  outer loop
   vertex 0 0 0
   vertex 0 10 0
   vertex 10 0 0
  endloop
 endfacet
endsolid t
"""


@pytest.mark.parametrize(
    ("file", "content", "name", "triangles"),
    [
        ("a.stl", stl(), "", 4),
        ("A.STL", stl(), "", 4),
        ("a.3mf", one(), "object 1", 4),
        ("a.3MF", one(), "object 1", 4),
        ("no-ending", stl(), "", 4),
        ("a.dat", one(), "object 1", 4),
        ("text", TEXT, "", 1),
        ("a.obj", OBJ, "", 4),
        ("a.OFF", OFF, "", 4),
        ("a.ply", PLY, "", 4),
        ("ply-without-ending", PLY, "", 4),
        ("a.glb", glb(), "peg", 4),
        ("glb-without-ending", glb(), "peg", 4),
    ],
)
def test_a_file_is_known_by_its_ending_or_its_content(
    tmp_path: Path, file: str, content: bytes, name: str, triangles: int
) -> None:
    path = tmp_path / file
    path.write_bytes(content)

    ((found, mesh),) = read_meshes(path)

    assert found == name
    assert len(mesh.triangles) == triangles


def test_an_ending_goes_before_the_content(tmp_path: Path) -> None:
    path = tmp_path / "a.stl"
    path.write_bytes(one())

    with pytest.raises(MeshFileError, match=r"a\.stl: .*not an STL"):
        read_meshes(path)
