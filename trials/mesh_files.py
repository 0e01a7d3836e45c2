"""Mesh files of every format, sound, damaged and spoiled, read by `check` and by a job with a scan.

A case is a small solid of some shape; often something is wrong with its surface, as often with the
file that it is written to.  The file goes through the command `check` and through what a job does
with a scan.  It may be refused in plain words, or be read and told of; what is told is compared
with plain counting edge by edge.  A trouble is anything else that is raised or warned of, a number
that is none, a count that is not so, something wrong that is said to be sound, a sound solid that
something is said to be wrong with, and a solid out of a scan that is not closed.
"""

from __future__ import annotations

import json
import re
import sys
import tempfile
import warnings
from dataclasses import dataclass
from functools import cache
from math import isfinite
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mouldgen.errors import InputError, MeshFileError, ScanError
from mouldgen.files.read import read_meshes
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.job.scan import Scan, scan_of
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.scan_file import joined, read_any
from tests.cli_runs import mouldgen
from tests.crossed_faces import crossed_faces
from trials import tally
from trials.mesh_shapes import Bench, Counts, counted, damaged, solid
from trials.mesh_spoilers import Spoiled, spoiled
from trials.mesh_writers import written

SOUND, DAMAGED, SPOILED = "sound", "damaged", "spoiled"
SCAN_EVERY, MEND_EVERY, JOB_EVERY, CROSSING_EVERY = 4, 12, 60, 6
MOST_CROSSED = 250  # triangles among which every pair is tried
ABOUT_A_SCAN = ("sound.", "scan.", "crossing.")
ASKED = {"scan.unit"}  # says nothing against the surface


@dataclass(frozen=True, eq=False)
class Known:
    """The surface that was written.

    soup : its triangles as the file says them (m, 3, 3) [mm].
    counts : what plain counting says of it.
    """

    soup: NDArray[np.float32]
    counts: Counts


@dataclass(frozen=True, eq=False)
class Case:
    """A file, and what is known of it.

    path : where it lies.
    sort : whether it is sound, damaged or spoiled.
    done : what was done to it.
    known : the surface that was written; None where it has corners that nobody can place.
    tells : a file that is not the surface that was written must not pass as sound.
    """

    path: Path
    sort: str
    done: tuple[str, ...]
    known: Known | None
    tells: bool


def case(seed: int) -> str:
    """What came of one file: its sort, and whether it was refused, told of or clean."""
    rng = Random(seed)
    with tempfile.TemporaryDirectory() as folder, warnings.catch_warnings():
        warnings.simplefilter("error")
        file = _file(rng, Path(folder))
        try:
            meshes = _read(file)
            answer = _check(file, meshes, rng)
            _scan(file, rng, clean=answer == "clean")
        except Exception as trouble:
            trouble.add_note(f"{file.path.name}: {file.sort}, {', '.join(file.done)}")
            raise
    return f"{file.sort} {answer}"


def _file(rng: Random, folder: Path) -> Case:
    sort = rng.choices([SOUND, DAMAGED, SPOILED], [15, 45, 40])[0]
    bench = Bench(rng, *solid(rng))
    if sort == DAMAGED or (sort == SPOILED and rng.random() < 0.2):
        with np.errstate(all="ignore"):
            damaged(bench)
    with np.errstate(all="ignore"):
        single = bench.corners.astype(np.float32)
    file = written(single, bench.faces, rng=rng)
    bad = Spoiled(f"part.{file.kind}", file.data, "", tells=True)
    if sort == SPOILED:
        bad = spoiled(file, rng)
        bench.done.append(f"{file.kind} {bad.how}")
    path = folder / bad.name
    path.write_bytes(bad.data)
    soup, faces = None, bench.faces
    # Corners that no face names are in some formats and not in others.
    if len(faces) and faces.min() >= 0 and faces.max() < len(file.corners):
        soup = file.corners[faces] + np.float32(0.0)
    if soup is None or not np.isfinite(soup).all():
        return Case(path, sort, tuple(bench.done), None, bad.tells)
    known = Known(soup, counted(file.corners, faces))
    return Case(path, sort, tuple(bench.done), known, bad.tells)


# ------------------------------------------------------------------------ check


def _read(file: Case) -> list[Mesh] | None:
    """The solids of the file, or None where it is refused."""
    try:
        meshes = [mesh for _, mesh in read_meshes(file.path)]
    except MeshFileError as refused:
        _plain(str(refused))
        if file.sort == SOUND or (file.sort == DAMAGED and file.known is not None):
            raise AssertionError(f"refused: {refused}") from None
        return None
    if file.sort == DAMAGED and file.known is None:
        raise AssertionError("was read, and names corners that are no numbers or not there")
    for mesh in meshes:
        faces = mesh.triangles
        if not np.isfinite(mesh.vertices).all() or not len(faces):
            raise AssertionError("corners that are no numbers, or no triangle")
        if faces.min() < 0 or faces.max() >= len(mesh.vertices) or not isfinite(mesh.volume_mm3):
            raise AssertionError(f"corners that are not there, or a volume of {mesh.volume_mm3}")
    return meshes


def _check(file: Case, meshes: list[Mesh] | None, rng: Random) -> str:
    run = mouldgen("check", "--json", str(file.path))
    if meshes is None:
        if run.code != 2 or not run.err.startswith(str(file.path)):
            raise AssertionError(f"refused when read, and exit {run.code}: {run.err}")
        return "refused"
    if run.err or run.code not in {0, 1}:
        raise AssertionError(f"exit {run.code}: {run.err}")
    said = json.loads(run.out, parse_constant=_no_number)["solids"]
    if len(said) != len(meshes):
        raise AssertionError(f"{len(said)} solids of {len(meshes)}")
    wrong = {name for solid, mesh in zip(said, meshes, strict=True) for name in _told(solid, mesh)}
    if file.sort == SOUND and wrong - ASKED:
        raise AssertionError(f"a sound solid: {sorted(wrong)}")
    if file.known is not None:
        _match(file, file.known, said, wrong=bool(wrong - ASKED), rng=rng)
    return "told" if wrong - ASKED else "clean"


def _told(solid: dict[str, Any], mesh: Mesh) -> set[str]:
    """What is said against a surface, its counts compared with plain ones."""
    found = {finding["id"]: finding for finding in solid["findings"]}
    for finding in found.values():
        _plain(finding["message"])
    truth = counted(mesh.vertices, mesh.triangles.astype(np.int64))
    counts = {
        "sound.open": truth.open, "sound.crowded": truth.crowded, "sound.turned": truth.turned,
    }  # fmt: skip
    if "scan.loose" not in found:
        counts["scan.doubled"] = truth.doubled
    for name, count in counts.items():
        says = found[name]["measured"] if name in found else 0
        if says != count:
            raise AssertionError(f"{name} {says}, counted {count}")
    if solid["closed"] != truth.closed or solid["triangles"] != truth.triangles:
        raise AssertionError(f"said {solid['closed']}, {solid['triangles']}, counted {truth}")
    # Pieces that touch in a corner are one where they are told by their corners.
    if not (truth.pieces > 0) <= solid["shells"] <= max(truth.pieces, 1):
        raise AssertionError(f"{solid['shells']} pieces, counted {truth.pieces}")
    told = {name for name in found if name.startswith(ABOUT_A_SCAN) or name == "prints.hollow"}
    if truth.pieces > 1:
        told |= {"in pieces"}  # which its facts tell
    # Over 5 m this is told.  At 1e20 mm the sign of a volume is rounding alone, in either count.
    if not told - ASKED and "prints.too-large" not in found and not truth.sound:
        raise AssertionError(f"nothing is said against {truth}")
    return told


def _match(
    file: Case, known: Known, said: list[dict[str, Any]], *, wrong: bool, rng: Random
) -> None:
    """What is known of the surface that was written, against what is said of the file."""
    if not file.tells or wrong:
        return
    if sum(solid["triangles"] for solid in said) != len(known.soup):
        raise AssertionError(
            f"{len(known.soup)} triangles were written, and it is said to be sound"
        )
    again = np.concatenate([mesh.corners for _, mesh in read_meshes(file.path)])
    if not np.array_equal(_in_order(again), _in_order(known.soup)):
        raise AssertionError("what was read is not what was written, and is said to be sound")
    if len(known.soup) <= MOST_CROSSED and rng.randrange(CROSSING_EVERY) == 0:
        with np.errstate(all="ignore"):
            sure, _ = crossed_faces(known.soup.astype(np.float64))
        if sure:
            raise AssertionError(f"{len(sure)} triangles pass through each other, and none is told")


def _in_order(soup: NDArray[np.float32]) -> NDArray[np.float32]:
    rows = soup.reshape(-1, 3) + np.float32(0.0)
    sorted_rows: NDArray[np.float32] = rows[np.lexsort(rows.T)]
    return sorted_rows


def _no_number(word: str) -> None:
    raise AssertionError(f"a number that is {word}")


def _plain(words: str) -> None:
    said = re.sub(r"'[^']*'", "", words)  # what the file says itself
    if not words.isprintable() or "Traceback" in said or "nan" in said.split():
        raise AssertionError(f"no plain words: {words!r}")


# ------------------------------------------------------------------------ a scan


def _scan(file: Case, rng: Random, *, clean: bool) -> None:
    unit = rng.choice([None, None, 1.0, 10.0, 25.4, 1000.0])
    mend = rng.randrange(MEND_EVERY) == 0
    if clean and rng.randrange(SCAN_EVERY):  # to find its axis takes longest of all
        return
    try:
        solids = read_any(file.path.read_bytes(), name=file.path.name, unit_mm=unit)
        mesh = joined(solids)
        _plain_scan(file, mesh, sure=unit is not None, clean=clean and unit is None)
        if mend:
            _solid_scan(scan_of(mesh, mend=True, sure=True))
    except InputError as refused:
        _plain(str(refused))
    if rng.randrange(JOB_EVERY) == 0:
        job = file.path.with_name("mine.toml")
        job.write_text(_job_text().replace("burl-knob.stl", file.path.name), encoding="utf-8")
        try:
            held = load_job(job).job.insert.scan
            if held is None:
                raise AssertionError("a job with a scan that has none")
            _solid_scan(held)
        except InputError as refused:
            _plain(str(refused))


def _plain_scan(file: Case, mesh: Mesh, *, sure: bool, clean: bool) -> None:
    """As it is, not mended: taken if it is sound, refused if not."""
    truth = counted(mesh.vertices, mesh.triangles.astype(np.int64))
    try:
        found = scan_of(mesh, sure=sure)
    except ScanError as refused:
        _plain(str(refused))
        if file.sort == SOUND and clean and "unit" not in refused.what:
            raise AssertionError(f"a sound scan: {refused}") from None
        return
    _solid_scan(found)
    if not truth.sound:
        raise AssertionError(f"taken as it is: {truth}")


def _solid_scan(found: Scan) -> None:
    mesh = found.mesh
    truth = counted(mesh.vertices, mesh.triangles.astype(np.int64))
    low, high = (np.array(side) for side in mesh.bounds)
    away = float(np.hypot(*mesh.vertices[:, :2].astype(np.float64).T).max())
    if not truth.closed or not truth.volume_mm3 > 0.0 or not isfinite(found.radius_mm):
        raise AssertionError(f"no solid: {truth}, radius {found.radius_mm}")
    if low[2] != 0.0 or not high[2] > 0.0 or away > found.radius_mm * 1.001 + 1e-3:
        raise AssertionError(f"from {low} to {high}, {away} of {found.radius_mm}")


@cache
def _job_text() -> str:
    text = (shipped_folder() / "jobs" / "burl-knobs.toml").read_text(encoding="utf-8")
    return text.replace('file_unit = "mm"', "")


if __name__ == "__main__":
    sys.exit(tally.main("mesh files", case, about=(__doc__ or "").splitlines()[0], count=50_000))
