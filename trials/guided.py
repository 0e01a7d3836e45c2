"""Bytes that are changed where that leads to new lines, for the readers of what people bring.

    python -m trials.guided meshes
    python -m trials.guided jobs --seconds 600

atheris draws them, from files that are sound; it has an environment of its own (``make test-heavy``
sets it up).  What is no text goes to the readers of mesh files, text to those of job files, of
results as makers say them and of measures.  A trouble is whatever is raised that is no sentence for
people; it ends the run, and says the bytes.
"""

from __future__ import annotations

import argparse
import os
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

SECONDS = 120
LIMIT_S, MOST_MB = 30, 2048  # of one case, as in every trial
LONGEST = 20_000  # bytes of one
KINDS = ("meshes", "jobs", "results", "measures")
ENDINGS = (".stl", ".3mf", ".obj", ".ply", ".off", ".glb")


def main() -> int:
    """Start one kind after the other, each in a process of its own; 1 where one found something."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("kinds", nargs="*", choices=(*KINDS, []), help="all without")
    parser.add_argument("--seconds", type=int, default=SECONDS, help="of each kind")
    parser.add_argument("--in-here", action="store_true", help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.in_here:
        _guide(asked.kinds[0], asked.seconds)
    failed = False
    for kind in asked.kinds or KINDS:
        words = [sys.executable, "-m", "trials.guided", kind, "--seconds", str(asked.seconds)]
        ran = subprocess.run(
            [*words, "--in-here"], check=False, capture_output=True, text=True, errors="replace"
        )
        lines = (ran.stderr + ran.stdout).splitlines()
        if ran.returncode:
            print("\n".join([f"--- {kind}", *lines[-60:]]))
            failed = True
        else:
            print(f"guided, {kind}: {lines[-1] if lines else 'nothing'}", flush=True)
    return int(failed)


def _guide(kind: str, seconds: int) -> None:
    import atheris

    with atheris.instrument_imports(include=["mouldgen"]):
        case = _case(kind)
    with tempfile.TemporaryDirectory() as folder:
        for number, seed in enumerate(_seeds(kind)):
            (Path(folder) / f"{number:03d}").write_bytes(seed)
        atheris.Setup(
            [sys.argv[0], folder, f"-max_total_time={seconds}", f"-timeout={LIMIT_S}", "-seed=1",
             f"-rss_limit_mb={MOST_MB}", f"-max_len={LONGEST}", f"-artifact_prefix={folder}/",
             "-print_final_stats=0", "-verbosity=1"],
            case,
        )  # fmt: skip
        atheris.Fuzz()


def _case(kind: str) -> Callable[[bytes], None]:
    """What is done with the bytes of one kind."""
    cases = {"meshes": _meshes, "jobs": _jobs, "results": _results, "measures": _measures}
    return cases[kind]()


def _meshes() -> Callable[[bytes], None]:
    import numpy as np

    from mouldgen.errors import InputError
    from mouldgen.solid.scan_file import read_any
    from trials.claims import must, said

    def case(data: bytes) -> None:
        ending = ENDINGS[data[0] % len(ENDINGS)] if data else ".stl"
        try:
            solids = read_any(data[1:], name=f"a{ending}")
        except InputError as refused:
            said(str(refused))
            return
        for _, mesh in solids:
            must(bool(np.isfinite(mesh.vertices).all()), "a corner that is none")
            faces = mesh.triangles
            must(not len(faces) or 0 <= faces.min() <= faces.max() < len(mesh.vertices), "corners")

    return case


def _jobs() -> Callable[[bytes], None]:
    from mouldgen.answer import answer_job
    from mouldgen.errors import InputError, NoAnswerError
    from mouldgen.job.load import load_job
    from trials.claims import said

    file = Path(tempfile.mkdtemp()) / "mine.toml"

    def case(data: bytes) -> None:
        file.write_bytes(data)
        try:
            answer_job(load_job(file).job)
        except (InputError, NoAnswerError) as refused:
            said(str(refused))

    return case


def _results() -> Callable[[bytes], None]:
    from mouldgen.castings.said import read_result
    from mouldgen.errors import UsageError
    from trials.claims import must, said

    def case(data: bytes) -> None:
        numbers = range(1, 13)
        try:
            found = read_result(data.decode("utf-8", "replace"), numbers)
        except UsageError as asked:
            said(str(asked))
            return
        spoken = [draft.number for draft in found.drafts]
        must(sorted([*spoken, *found.still_open]) == list(numbers), found)

    return case


def _measures() -> Callable[[bytes], None]:
    from mouldgen import units
    from mouldgen.errors import InputError
    from mouldgen.job.load import setting_value
    from mouldgen.job.price import pack, price
    from mouldgen.job.values_in_line import values_in
    from trials.claims import said

    readers: tuple[Callable[[Any], Any], ...] = (
        units.length, units.time, units.temperature, units.force, units.pressure, units.mass,
        units.density, units.viscosity, units.angle, units.volume, units.flow, price, pack,
    )  # fmt: skip

    def case(data: bytes) -> None:
        text = data.decode("utf-8", "replace")
        values_in(text)
        setting_value(text)
        for read in readers:
            try:
                read(text)
            except InputError as refused:
                said(str(refused))

    return case


def _seeds(kind: str) -> list[bytes]:
    """What is sound, to begin with."""
    from trials.job_texts import started
    from trials.typed_units import PARTS

    rng = random.Random(1)
    if kind == "jobs":
        return [started(rng).encode() for _ in range(30)]
    if kind == "results":
        said = ("voids in 3 and 7, 7 scrapped, 25 min", "all good", "1-4 repaired; rest good")
        return [told.encode() for told in said]
    if kind == "measures":
        return [part.encode("utf-8", "replace") for part in PARTS]
    return [bytes([number % len(ENDINGS)]) + data for number, data in _mesh_seeds(rng)]


def _mesh_seeds(rng: random.Random) -> list[tuple[int, bytes]]:
    import numpy as np

    from trials.mesh_shapes import solid
    from trials.mesh_writers import written

    found = []
    for _ in range(60):
        corners, faces = solid(rng)
        file = written(corners.astype(np.float32), faces, rng=rng)
        if len(file.data) < LONGEST:
            found.append((ENDINGS.index(f".{file.kind}"), file.data))
    return found


if __name__ == "__main__":
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    sys.exit(main())
