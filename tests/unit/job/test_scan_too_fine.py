"""A scan of more triangles than a job takes is refused at once, with what to try."""

from __future__ import annotations

from pathlib import Path

import pytest

from mouldgen.errors import ScanError
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.job.scan_file import MOST_TRIANGLES
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from tests.random_scans import sphere


@pytest.mark.parametrize("mend", ["true", "false"])
def test_more_than_half_a_million_triangles(mend: str, tmp_path: Path) -> None:
    """A build with a million took three quarters of a minute."""
    corners, faces = sphere(251)
    assert len(faces) > MOST_TRIANGLES
    ball = Mesh((20.0 * corners).astype("float32"), faces.astype("int32"))
    (tmp_path / "fine.stl").write_bytes(stl_bytes([ball]))
    text = (shipped_folder() / "jobs" / "burl-knobs.toml").read_text(encoding="utf-8")
    (tmp_path / "mine.toml").write_text(text.replace("burl-knob.stl", "fine.stl"), encoding="utf-8")

    with pytest.raises(ScanError, match="has 504008 triangles") as refused:
        load_job(tmp_path / "mine.toml", sets=[f"insert.mend={mend}"])

    assert refused.value.allowed == "at most 500000"
    assert "coarser" in refused.value.try_
    assert "fine.stl" in refused.value.where
