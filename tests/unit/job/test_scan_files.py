"""The file of a scan: where it is looked for, what is refused, what mending tells."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from docs.make_scan import FILE, burl
from mouldgen.errors import JobError, MeshFileError, ScanError
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.job.scan import scan_of
from mouldgen.memo import digest
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes

TEXT = (shipped_folder() / "jobs" / "burl-knobs.toml").read_text(encoding="utf-8")
OWN = TEXT.replace("burl-knob.stl", "scans/mine.stl").replace('file_unit = "mm"', "")


def job_file(tmp_path: Path, mesh: Mesh, text: str = OWN) -> Path:
    folder = tmp_path / "jobs"
    (folder / "scans").mkdir(parents=True)
    (folder / "scans" / "mine.stl").write_bytes(stl_bytes([mesh]))
    path = folder / "mine.toml"
    path.write_text(text, encoding="utf-8")
    return path


def holed() -> Mesh:
    """The burl without two triangles that lie apart, and with one turned."""
    mesh = burl()
    faces = np.array(mesh.triangles)
    faces[500] = faces[500][::-1]
    return Mesh(mesh.vertices, np.delete(faces, [10, 900], axis=0))


def test_the_shipped_scan_is_what_its_formula_draws() -> None:
    assert FILE.read_bytes() == stl_bytes([burl()])
    assert FILE.stat().st_size < 60_000


def test_a_path_counts_from_the_job_files_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = job_file(tmp_path, burl())
    monkeypatch.chdir(tmp_path)

    insert = load_job(path).job.insert

    assert insert.length == insert.scan.length_mm
    assert insert.scan.mesh.volume_mm3 == pytest.approx(burl().volume_mm3, rel=1e-5)


def test_on_the_command_line_a_path_counts_from_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job_file(tmp_path, burl(seed=5))
    monkeypatch.chdir(tmp_path / "jobs")

    own = load_job("burl-knobs", sets=["insert.file=scans/mine.stl"]).job
    assert own.insert.length != load_job("burl-knobs").job.insert.length


def test_the_users_own_scans_go_before_the_shipped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "scans").mkdir()
    (tmp_path / "scans" / "burl-knob.stl").write_bytes(stl_bytes([burl(seed=5)]))
    shipped = load_job("burl-knobs").job.insert.length
    monkeypatch.setenv("MOULDGEN_PRESETS", str(tmp_path))

    assert load_job("burl-knobs").job.insert.length != shipped


@pytest.mark.parametrize(
    ("sets", "match"),
    [
        (["insert.file=nowhere.stl"], r"\[insert\] file: there is no such file: nowhere.stl"),
        (["insert.file=."], "this is a folder, not a file"),
        (["insert.length=40 mm"], r"\[insert\] length: the length of a scan is measured on it"),
        (["insert.hole=5 mm"], "a scan has no hole"),
        (['insert.measured=["60 mm"]'], "a fifth off the largest diameter"),
        (["insert.file_unit=foot"], r"\[insert\] file_unit"),
        (["insert.scale=0"], r"\[insert\] scale"),
        (["insert.scan=1"], "there is no key scan in this table"),
        (["mould.draft=1 deg"], "a shell follows the scan and has no draft"),
        (["mould.vent_grooves=3"], "a shell follows the scan and has no vent grooves"),
        (["pour.sequence=bottom-feed"], "a shell is not made with a runner"),
        (["mould.lid_screws=2"], "a shell mould is not made with"),
    ],
)
def test_what_cannot_be_meant_is_named(sets: list[str], match: str) -> None:
    with pytest.raises(JobError, match=match):
        load_job("burl-knobs", sets=sets)


def test_without_a_file_the_key_is_asked_for(tmp_path: Path) -> None:
    path = job_file(tmp_path, burl(), OWN.replace('file = "scans/mine.stl"', ""))
    with pytest.raises(JobError, match=r"\[insert\] file: a scan needs file"):
        load_job(path)


def test_another_shape_takes_no_file() -> None:
    with pytest.raises(JobError, match="a flute has no mend"):
        load_job("boathouse-pegs", sets=["insert.mend=true"])


def test_no_mesh_file_is_told_with_its_key(tmp_path: Path) -> None:
    path = job_file(tmp_path, burl())
    (path.parent / "scans" / "mine.stl").write_bytes(b"nothing of the kind")
    with pytest.raises(MeshFileError, match=r"mine.toml \[insert\] file: mine.stl"):
        load_job(path)


def test_an_unlikely_size_is_asked_about_and_not_guessed(tmp_path: Path) -> None:
    small = burl(half_mm=(0.0185, 0.017, 0.029))  # in metres
    path = job_file(tmp_path, small)

    with pytest.raises(ScanError, match=r"the unit of the scan is in doubt: .*metres"):
        load_job(path)
    stated = load_job(path, sets=["insert.file_unit=m"]).job.insert
    # Snapped to the grid of 0.06 micrometre before it was made a thousand times as large.
    assert stated.length == pytest.approx(load_job("burl-knobs").job.insert.length, abs=0.2)


def test_a_scan_that_is_not_sound_is_refused_with_counts_and_places(tmp_path: Path) -> None:
    path = job_file(tmp_path, holed())

    with pytest.raises(ScanError, match=r"the scan has 2 holes \(\d.* mm across near x") as told:
        load_job(path)
    assert "1 face turned the wrong way" in str(told.value)
    assert "set [insert] mend = true" in str(told.value)


def test_mending_is_done_when_asked_for_and_told(tmp_path: Path) -> None:
    scan = load_job(job_file(tmp_path, holed()), sets=["insert.mend=true"]).job.insert.scan

    (finding,) = scan.findings
    assert finding.id == "scan.mended"
    assert "2 holes closed" in finding.message
    assert "1 face turned" in finding.message
    assert f"holds {scan.mesh.volume_mm3 / 1000.0:.2f} ml" in finding.message
    # Three corners on a round of about 20 mm, 4 mm apart: a patch is the triangle that was lost.
    assert scan.mesh.volume_mm3 == pytest.approx(burl().volume_mm3, rel=1e-6)


def test_scaling_grows_the_volume_by_the_cube() -> None:
    plain, grown = (
        load_job("burl-knobs", sets=[f"insert.scale={s}"]).job.insert for s in (1.0, 1.08)
    )

    assert grown.length == pytest.approx(1.08 * plain.length, abs=1e-3)
    ratio = grown.scan.mesh.volume_mm3 / plain.scan.mesh.volume_mm3
    assert ratio == pytest.approx(1.08**3, rel=1e-5)
    assert [f.id for f in grown.scan.findings] == ["scan.scaled"]


def test_from_python_a_mesh_goes_in_the_place_of_the_file() -> None:
    mesh = burl(seed=3)
    job = load_job("burl-knobs", scan=mesh).job

    assert job.insert.scan.mesh.same_as(scan_of(mesh).mesh)
    assert job.insert.length == job.insert.scan.length_mm


def test_the_fingerprint_is_of_the_scan_too() -> None:
    one, other = (load_job("burl-knobs", scan=burl(seed=seed)).job for seed in (3, 4))
    again = load_job("burl-knobs", scan=burl(seed=3)).job

    assert digest(one) == digest(again) != digest(other)


def test_a_plain_build_reads_no_code_of_scans(tmp_path: Path) -> None:
    ask = (
        "import json, sys; from mouldgen.cli import main\n"
        f"sys.argv = ['', 'build', 'boathouse-pegs', '--quiet', '--out', {str(tmp_path)!r}]\n"
        "try: main()\n"
        "except SystemExit: pass\n"
        "print(json.dumps(sorted(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", ask], capture_output=True, check=True, text=True)
    loaded = json.loads(done.stderr.splitlines()[-1])

    of_scans = {
        "job.scan", "job.scan_file", "job.shell_checks", "insert.scan", "insert.shadow",
        "size.shell", "cavity.shell", "mould.shell", "pour.ends", "solid.offset",
    }  # fmt: skip
    assert "mouldgen.build" in loaded
    assert {f"mouldgen.{name}" for name in of_scans} & set(loaded) == set()
