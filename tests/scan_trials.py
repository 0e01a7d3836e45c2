"""One random scan through all that ``mouldgen check`` and a job with a scan do with a file.

The scan is written in one of the six formats and read back.  What is said of it is compared with
counts by another library's reader and by plain counting, with what is known to be wrong with it,
and with the volume it was made from; planted crossings with every edge against every triangle.
"""

from __future__ import annotations

import time
from collections import Counter
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import trimesh
from numpy.typing import NDArray

from mouldgen.errors import ScanError
from mouldgen.job.load import load_job
from mouldgen.job.presets import shipped_folder
from mouldgen.pour.ends import stood_up
from mouldgen.solid.kernel import Solid, box
from mouldgen.solid.mesh import Mesh
from mouldgen.solid.stl import stl_bytes
from mouldgen.solid.threemf import Item, threemf_bytes
from tests.cli_runs import mouldgen
from tests.crossed_faces import crossed_faces
from tests.random_scans import SHAPES, RandomScan, random_scan, shape

KINDS = ("stl", "3mf", "obj", "ply", "off", "glb")
METRE = 1000.0  # mm: GLB is in metres (glTF 2.0, section 3.4)
SNAP = 2e-4  # mm that snapping and float32 may move a corner by
LOOSE = 2.5  # open edges a triangle from which a surface is triangles that do not hang together
CONTROL_EVERY = 5  # seeds to one clean solid and one planted crossing
NAMES = {
    "holes": {"scan.holes"},
    "pepper": {"scan.holes"},
    "an open end": {"scan.holes"},
    "one view": {"scan.holes"},
    "flips": {"sound.turned"},
    "duplicates": {"scan.doubled"},
    "fins": {"scan.fins"},
    "flat faces": {"sound.flat"},
    "shells inside": {"scan.inside", "prints.hollow"},
    "swarf": {"scan.stray", "scan.inside"},
    "two passes": {"crossing.itself"},
    "inside out": {"sound.inside-out", "scan.inside-out"},
}


@dataclass(eq=False)
class Tally:
    """What was counted over a run.

    errors : how far each mended volume is off, as a share.
    seconds : of each scan, with its seed; `stages` of each part of the work.
    refused : why scans that nobody could mend were refused.
    wrong : what should not have happened, one line each.
    named : how often each finding was told.
    counts : of what was compared.
    """

    errors: list[float] = field(default_factory=list)
    seconds: list[tuple[float, int]] = field(default_factory=list)
    stages: dict[str, list[float]] = field(default_factory=dict)
    refused: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    named: Counter[str] = field(default_factory=Counter)
    counts: Counter[str] = field(default_factory=Counter)


@dataclass(frozen=True, eq=False)
class Counted:
    """Plain counts of a surface whose corners are one where they agree to the bit.

    collapsed : triangles that lost a corner; they have no edges.
    loose : its triangles do not hang together.
    """

    triangles: int
    collapsed: int
    doubled: int
    open_edges: int
    crowded: int
    turned: int
    pieces: int
    volume_mm3: float
    watertight: bool
    alike: bool

    @property
    def loose(self) -> bool:
        return self.open_edges > LOOSE * self.triangles

    @property
    def sound(self) -> bool:
        return self.pieces == 1 and self.volume_mm3 > 0.0 and not any(
            (self.collapsed, self.doubled, self.open_edges, self.crowded, self.turned)
        )  # fmt: skip


# ------------------------------------------------------------------------ files


def written(mesh: Mesh, kind: str) -> bytes:
    """The mesh as a file of some kind: ours for what we write, another library's for the rest."""
    if kind == "stl":
        return stl_bytes([mesh])
    if kind == "3mf":
        return threemf_bytes([Item("scan", mesh)], title="scan", application="test")
    scale = 1.0 / METRE if kind == "glb" else 1.0
    corners = mesh.vertices.astype(np.float64) * scale
    data = trimesh.Trimesh(corners, mesh.triangles, process=False).export(file_type=kind)
    return data if isinstance(data, bytes) else data.encode()


def soup_of(path: Path) -> NDArray[np.float32]:
    """The corners of every triangle (m, 3, 3) [mm] as another library reads them."""
    kind = path.suffix[1:]
    mesh = trimesh.load(path, file_type=kind, process=False, force="mesh")
    scale = METRE if kind == "glb" else 1.0
    # -0.0 and 0.0 are one place.
    corners = (np.asarray(mesh.vertices, np.float64) * scale).astype(np.float32) + np.float32(0.0)
    return corners[np.asarray(mesh.faces)]


def counted(soup: NDArray[np.float32]) -> Counted:
    """Count anew, from the corners alone."""
    places, names = np.unique(soup.reshape(-1, 3), axis=0, return_inverse=True)
    faces = names.reshape(-1, 3)
    whole = (np.diff(np.sort(faces, axis=1), axis=1) != 0).all(axis=1)
    lone = faces[whole]
    mesh = trimesh.Trimesh(places.astype(np.float64), lone, process=False)
    sides = np.concatenate([lone[:, [k, (k + 1) % 3]] for k in range(3)])
    edge = np.unique(np.sort(sides, axis=1), axis=0, return_inverse=True)[1].ravel()
    ahead = np.bincount(edge, sides[:, 0] < sides[:, 1]).astype(int)
    uses = np.bincount(edge)
    return Counted(
        triangles=len(faces),
        collapsed=int((~whole).sum()),
        doubled=len(lone) - len(np.unique(np.sort(lone, axis=1), axis=0)),
        open_edges=len(trimesh.grouping.group_rows(mesh.edges_sorted, require_count=1)),
        crowded=int((uses > 2).sum()),
        turned=int(((uses == 2) & (ahead != 1)).sum()),
        pieces=len(
            trimesh.graph.connected_components(
                mesh.face_adjacency, nodes=np.arange(len(lone)), min_len=1
            )
        ),
        volume_mm3=float(mesh.volume),
        watertight=bool(mesh.is_watertight),
        alike=bool(mesh.is_winding_consistent),
    )  # fmt: skip


# ------------------------------------------------------------------------ check


def said_of(path: Path, tally: Tally, label: str) -> dict[str, dict[str, Any]]:
    """The findings of the command on a file, by their ids; what is wrong with it goes to tally."""
    run = mouldgen("check", "--json", str(path))
    if run.err or run.code not in {0, 1}:
        tally.wrong.append(f"{label} exit {run.code}: {run.err.strip()[:300]}")
        return {}
    (solid,) = run.json["solids"]
    found = {finding["id"]: finding for finding in solid["findings"]}
    grave = any(finding["severity"] == "stop" for finding in found.values())
    if len(found) != len(solid["findings"]) or run.code != int(grave):
        tally.wrong.append(f"{label} tells {[f['id'] for f in solid['findings']]}, {run.code}")
    if solid["closed"] != (not {"sound.open", "sound.crowded", "sound.turned"} & set(found)):
        tally.wrong.append(f"{label} is closed {solid['closed']} with {sorted(found)}")
    tally.named.update(list(found))
    return found


def check_counts(
    found: dict[str, dict[str, Any]], truth: Counted, tally: Tally, label: str
) -> None:
    """Every count that is told against the plain one."""
    told = {
        "sound.open": truth.open_edges, "sound.crowded": truth.crowded,
        "sound.turned": truth.turned,
    }  # fmt: skip
    if not truth.loose:
        told["scan.doubled"] = truth.doubled
    for name, count in told.items():
        says = found[name]["measured"] if name in found else 0
        tally.counts["counts compared"] += 1
        if says != count:
            tally.wrong.append(f"{label} {name} {says}, counted {count}")
    if (truth.open_edges + truth.crowded == 0) != truth.watertight:
        tally.wrong.append(f"{label} counted {truth}: watertight {truth.watertight}")
    if found.get("sound.flat", {"measured": 0})["measured"] < truth.collapsed:
        tally.wrong.append(f"{label} tells fewer flat triangles than {truth.collapsed}")
    if truth.loose != ("scan.loose" in found) and (truth.loose or truth.open_edges == 0):
        tally.wrong.append(f"{label} loose {truth.loose}, told {sorted(found)}")


def check_names(
    scan: RandomScan, found: dict[str, dict[str, Any]], truth: Counted, tally: Tally, label: str
) -> None:
    """Everything that was done to a scan is named, where it left a trace."""
    nothing_left = {
        "flips": truth.turned == 0,
        "duplicates": truth.doubled == 0 and not truth.loose,
        "flat faces": truth.loose,  # they have lost no corner until they are welded
        # Triangles that share no corner have no rim that could be told from a hole.
        **dict.fromkeys(
            ("holes", "pepper", "an open end"), truth.open_edges == 0 or truth.loose
        ),
        # A single view has no inside, and its two passes need not meet.
        "shells inside": "one view" in scan.damage or "an open end" in scan.damage,
        "two passes": "one view" in scan.damage or "crossing.unfinished" in found,
        "inside out": scan.hopeless or "an open end" in scan.damage,
    }  # fmt: skip
    for what in scan.damage:
        names = NAMES.get(what)
        if names is None or nothing_left.get(what, False):
            continue
        tally.counts[f"named: {what}"] += 1
        if not names & set(found):
            tally.wrong.append(
                f"{label} does not name {what} of {scan.damage}: {sorted(found)}"
            )  # fmt: skip
    tally.counts["crossings unfinished"] += "crossing.unfinished" in found


# ------------------------------------------------------------------------ controls


def clean_mesh(seed: int) -> Mesh:
    """A sound shape with a flat foot: whatever was not drawn with one is cut off below."""
    name = SHAPES[seed % len(SHAPES)]
    rng = np.random.default_rng(1_000_000 + seed)
    solid = Solid.of_surface(*shape(name, rng, int(rng.integers(10, 31))))
    if name in {"ellipsoid", "pebble", "torus"}:
        low, high = (np.array(side) for side in solid.any_mesh().bounds)
        low[2] += 0.25 * (high[2] - low[2])
        solid = solid ^ box((low - [1, 1, 0]).tolist(), (high + 1).tolist())
    return solid.any_mesh()


def check_clean(seed: int, folder: Path, tally: Tally) -> None:
    """Nothing must be fixed on a clean solid, but one that does tip over."""
    mesh = clean_mesh(seed)
    kind = KINDS[(seed // len(SHAPES)) % len(KINDS)]
    path = folder / f"clean.{kind}"
    path.write_bytes(written(mesh, kind))
    label = f"{seed} clean {SHAPES[seed % len(SHAPES)]}.{kind}"
    found = said_of(path, tally, label)
    if "prints.tips" in found and _tips(mesh):
        tally.counts["clean that tips"] += 1
        found.pop("prints.tips")
    wrong = [
        name
        for name, finding in found.items()
        if finding["severity"] == "stop" or name.split(".")[0] in {"sound", "scan", "crossing"}
    ]
    tally.counts["clean"] += 1
    if wrong:
        tally.wrong.append(f"{label} tells {wrong}: {found[wrong[0]]['message']}")


def _tips(mesh: Mesh) -> bool:
    """Whether the centre of mass lies beside the hull of what stands on the bed."""
    import shapely

    whole = trimesh.Trimesh(mesh.vertices.astype(float), mesh.triangles, process=False)
    low = mesh.vertices[:, 2].min()
    foot = shapely.MultiPoint(mesh.vertices[mesh.vertices[:, 2] == low, :2]).convex_hull
    return not foot.contains(shapely.Point(whole.center_mass[:2]))


# ------------------------------------------------------------------------ crossings


def check_crossing(seed: int, folder: Path, tally: Tally) -> None:
    """Two small bodies one through the other: every crossed triangle is told, and no other."""
    rng = np.random.default_rng(2_000_000 + seed)
    one, faces = shape(SHAPES[int(rng.integers(2))], rng, 4)
    other, more = shape(SHAPES[int(rng.integers(2))], rng, 4)
    # The middle of the smaller lies on the other's skin, which its own must then meet.
    other = 0.5 * other + one[rng.integers(len(one))]
    mesh = Mesh(
        np.concatenate([one, other]).astype(np.float32),
        np.concatenate([faces, more + len(one)]).astype(np.int32),
    )
    kind = KINDS[seed % len(KINDS)]
    path = folder / f"crossing.{kind}"
    path.write_bytes(written(mesh, kind))
    found = said_of(path, tally, f"{seed} crossing.{kind}")
    sure, perhaps = crossed_faces(soup_of(path).astype(np.float64))
    told = found.get("crossing.itself", {"measured": 0})["measured"]
    tally.counts["planted crossings"] += 1
    if not sure or not len(sure) <= told <= len(sure | perhaps):
        tally.wrong.append(
            f"{seed} crossing.{kind} tells {told} triangles, {len(sure)} to {len(sure | perhaps)}"
        )


# ------------------------------------------------------------------------ a job


@lru_cache(maxsize=1)
def _job_text() -> str:
    text = (shipped_folder() / "jobs" / "burl-knobs.toml").read_text(encoding="utf-8")
    return text.replace('file_unit = "mm"', "")


def check_job(
    scan: RandomScan, path: Path, truth: Counted, tally: Tally, label: str
) -> Mesh | None:
    """The scan as a job reads it, without mending and with it; its mesh where there is one."""
    job_file = path.with_name("mine.toml")
    job_file.write_text(_job_text().replace("burl-knob.stl", path.name), encoding="utf-8")
    try:
        load_job(job_file)
        if not truth.sound:
            tally.wrong.append(f"{label} was taken unmended: {truth}")
        tally.counts["sound and taken as they are"] += 1
    except ScanError as refused:
        if truth.sound or "the scan has" not in refused.what:
            tally.wrong.append(f"{label} unmended: {refused}")
        tally.counts["refused unmended"] += 1
    try:
        job = load_job(job_file, sets=["insert.mend=true"]).job
    except ScanError as refused:
        if not scan.hopeless:
            tally.wrong.append(f"{label} refused ({', '.join(scan.damage)}): {refused}")
        tally.refused["".join(c for c in refused.what if not c.isdigit())[:60]] += 1
        return None
    held = job.insert.scan
    assert held is not None
    _check_placed(held.mesh, held.radius_mm, tally, label)
    _note_volume(scan, held.mesh.volume_mm3, tally, label)
    stood, findings = stood_up(job)
    if stood.insert.end_down not in {"heavy", "light"} or findings[-1].id != "scan.end-down":
        tally.wrong.append(f"{label} stands on its {stood.insert.end_down} end")
    mesh: Mesh = held.mesh
    return mesh


def _check_placed(mesh: Mesh, radius: float, tally: Tally, label: str) -> None:
    """Closed by another library's word, upright in its cylinder, the heavier end down."""
    whole = trimesh.Trimesh(mesh.vertices.astype(float), mesh.triangles, process=False)
    if not (whole.is_watertight and whole.is_winding_consistent):
        tally.wrong.append(f"{label} is not closed once mended")
    if abs(whole.volume / mesh.volume_mm3 - 1.0) > 1e-9:
        tally.wrong.append(f"{label} holds {mesh.volume_mm3}, by another count {whole.volume}")
    away = np.hypot(*whole.vertices[:, :2].T).max()
    (low, high) = mesh.bounds
    upright = low[2] == 0.0 and radius - SNAP * radius < away < radius + SNAP
    if not upright or whole.center_mass[2] > high[2] / 2.0 + SNAP:
        tally.wrong.append(
            f"{label} from {low[2]} to {high[2]}, {away} of {radius}, {whole.center_mass}"
        )


def _note_volume(scan: RandomScan, found_mm3: float, tally: Tally, label: str) -> None:
    """Compare a mended volume with the true one; a hopeless scan has none to compare with."""
    if scan.hopeless:
        tally.refused["mended although it need not have been"] += 1
        return
    off = abs(found_mm3 / scan.volume_mm3 - 1.0)
    if off > scan.within:
        tally.wrong.append(f"{label} is off by {off:.2%} ({', '.join(scan.damage)})")
    if scan.within < 0.01:  # with an end cut off there is no true volume
        tally.errors.append(off)


# ------------------------------------------------------------------------ one seed


def try_seed(seed: int, folder: Path, tally: Tally) -> Mesh | None:
    """Everything about one seed: its scan, its clean solid, its crossing; the scan's own mesh.

    folder : for files, which are overwritten.
    """
    scan = random_scan(seed)
    # Shapes go by the seed too: each in every format.
    kind = KINDS[(seed // len(SHAPES)) % len(KINDS)]
    label = f"{seed} {scan.shape}.{kind}"
    path = folder / f"scan.{kind}"
    path.write_bytes(written(scan.mesh, kind))
    truth = counted(soup_of(path))
    result = None
    begun = time.perf_counter()
    try:
        found = said_of(path, tally, label)
        checked = time.perf_counter()
        check_counts(found, truth, tally, label)
        check_names(scan, found, truth, tally, label)
        again = time.perf_counter()
        result = check_job(scan, path, truth, tally, label)
        taken = time.perf_counter()
        tally.stages.setdefault("check", []).append(checked - begun)
        tally.stages.setdefault("job", []).append(taken - again)
    except Exception as problem:  # noqa: BLE001  what this is there to find
        tally.wrong.append(f"{label} {type(problem).__name__}: {problem}")
    tally.seconds.append((time.perf_counter() - begun, seed))
    if seed % CONTROL_EVERY:
        return result
    try:
        check_clean(seed, folder, tally)
        check_crossing(seed, folder, tally)
    except Exception as problem:  # noqa: BLE001
        tally.wrong.append(f"{seed} clean or crossing {type(problem).__name__}: {problem}")
    return result
