"""A mesh far larger than any printer: that is told, and the rest is not looked at."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from mouldgen.check.prints import LARGEST_MM, unlooked
from mouldgen.solid.kernel import box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from tests.cli_runs import mouldgen


def block(length_mm: float) -> Mesh:
    made = box((0, 0, 0), (10, 10, 10)).any_mesh()
    corners = made.vertices.astype(np.float64) * [1.0, 1.0, length_mm / 10.0]
    return Mesh(corners.astype(np.float32), made.triangles)


def test_up_to_five_metres_it_is_looked_at() -> None:
    assert unlooked(block(LARGEST_MM), name="a") == ()


@pytest.mark.parametrize("length_mm", [5001.0, 1e9, 3e38])
def test_beyond_that_it_is_told(length_mm: float, tmp_path: Path) -> None:
    """Its edges were once walked along in steps of a printed line, however long they were."""
    path = tmp_path / "a.stl"
    path.write_bytes(stl_bytes([block(length_mm)]))

    run = mouldgen("check", "--json", str(path))

    assert run.code == 0
    (solid,) = json.loads(run.out)["solids"]
    assert [f["id"] for f in solid["findings"]] == ["prints.too-large", "scan.unit"]
    assert solid["closed"]
    assert solid["prints"] is None
