"""Draw the pictures of the docs anew with the commands that a reader has: ``make pictures``.

A test holds the committed drawings to the output of `drawings`; the still picture of the README
is left out of that, since its bytes depend on the compression library.
"""

from __future__ import annotations

import contextlib
import io
import tempfile
from pathlib import Path

from mouldgen.cli import main

FOLDER = Path(__file__).with_name("pictures")
JOB = "boathouse-pegs"
SWEEPS = ("pour.close=8 min..40 min", "pour.shop=15 C..30 C")


def drawings() -> dict[str, bytes]:
    """The drawings of docs/how-the-gap-is-chosen.md and docs/pot-loads.md, by file name."""
    runs = [[command, JOB, "--pictures"] for command in ("gap", "heat", "pot")]
    runs += [["gap", JOB, "--sweep", sweep, "--pictures"] for sweep in SWEEPS]
    return {name: _bare(data) for name, data in _drawn(runs).items() if name.endswith(".svg")}


def _bare(drawing: bytes) -> bytes:
    """Without the remark at its end: the docs' pictures are the same from version to version."""
    return drawing[: drawing.index(b"<!-- mouldgen ")]


def still() -> bytes:
    """The set cut open, as the demo draws it."""
    return _drawn([["build", JOB, "--pictures"]])["set-section.png"]


def _drawn(runs: list[list[str]]) -> dict[str, bytes]:
    """What commands leave behind, by file name.  RuntimeError where one of them fails."""
    with tempfile.TemporaryDirectory() as out:
        for words in runs:
            told = io.StringIO()
            with contextlib.redirect_stdout(told), contextlib.redirect_stderr(told):
                code = main([*words, "--out", out])
            if code:
                raise RuntimeError(f"{' '.join(words)}: exit code {code}\n{told.getvalue()}")
        return {p.name: p.read_bytes() for p in (Path(out) / JOB).rglob("*") if p.is_file()}


if __name__ == "__main__":
    for name, data in drawings().items():
        (FOLDER / name).write_bytes(data)
    (FOLDER / f"{JOB}.png").write_bytes(still())
