"""Write docs/gallery.md and draw its pictures anew with the commands that a reader has:
``make gallery``.

A test holds the page to the output of `page`; the pictures are left out of that, since their bytes
depend on the compression library.
"""

from __future__ import annotations

import contextlib
import io
import json
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from mouldgen.cli import main
from mouldgen.cli.words import count
from mouldgen.job.load import load_job

PAGE = Path(__file__).with_name("gallery.md")
FOLDER = Path(__file__).with_name("pictures") / "gallery"

# Every family and every insert shape, the plain ones first.
JOBS = (
    "boathouse-pegs",
    "drawer-knobs",
    "chest-toggles",
    "curtain-finials",
    "bell-pulls",
    "lantern-grips",
    "sash-pulls",
    "locker-pegs",
    "orchard-grips",
    "conference-pens",
    "apple-toppers",
    "gear-knob",
    "lamp-finials",
    "burl-knobs",
)
# A set that a cut through one axis does not show is drawn taken apart.
APART = (
    "locker-pegs",
    "orchard-grips",
    "conference-pens",
    "apple-toppers",
    "gear-knob",
    "lamp-finials",
)

HEAD = """# Gallery

Every family of moulds and every shape of insert, drawn by `mouldgen build JOB --pictures`. Each is
a shipped job: build it by its name, or take its file from `presets/jobs/` as a start for your own.
This page is written by `make gallery`; a test holds it to what the jobs give today.
"""


@dataclass(frozen=True, eq=False)
class Entry:
    """A shipped job as it was built.

    name : of the job.
    report : what `mouldgen build --json` tells.
    picture : PNG.
    """

    name: str
    report: dict[str, Any]
    picture: bytes


def entries() -> tuple[Entry, ...]:
    """Every job of the gallery, built."""
    return tuple(_built(name) for name in JOBS)


def page(found: tuple[Entry, ...]) -> str:
    """The page for some entries."""
    return "\n".join([HEAD, *(_section(entry) for entry in found)])


def _section(entry: Entry) -> str:
    job, report = load_job(entry.name).job, entry.report
    gap, volume = report["gap"], report["volume"]
    looks = [f"`{f['id']}`" for f in report["findings"] if f["severity"] == "warn"]
    lines = [
        f"## {entry.name}",
        "",
        (
            f"Family {job.mould.family}, insert {job.insert.shape},"
            f" {count(job.order.pieces, 'piece')}."
        ),
        "",
        f"![{entry.name}, {_shown(entry.name)}](pictures/gallery/{entry.name}.png)",
        "",
        (
            f"- Gap {gap['gap_mm']:.2f} mm, set by {gap['set_by']}; measured"
            f" {gap['measured_least_mm']:.2f} mm at the least."
        ),
        (
            f"- Cavity {volume['cavity_ml']:.1f} ml, insert {volume['insert_ml']:.1f} ml,"
            f" net {volume['net_ml']:.1f} ml of resin; {volume['total_g']:.0f} g for"
            f" {count(volume['moulds'], 'casting')}."
        ),
        "- Parts: "
        + ", ".join(f"{p['name']} ({p['triangles']} triangles)" for p in report["parts"])
        + ".",
    ]
    if looks:
        lines.append(f"- To look at: {', '.join(looks)}.")
    return "\n".join([*lines, ""])


def _shown(name: str) -> str:
    return "taken apart" if name in APART else "cut open"


def _built(name: str) -> Entry:
    """RuntimeError where the job cannot be built."""
    picture = "set-apart.png" if name in APART else "set-section.png"
    with tempfile.TemporaryDirectory() as out:
        told, wrong = io.StringIO(), io.StringIO()
        with contextlib.redirect_stdout(told), contextlib.redirect_stderr(wrong):
            code = main(["build", name, "--pictures", "--json", "--out", out])
        if code:
            raise RuntimeError(f"{name}: exit code {code}\n{told.getvalue()}\n{wrong.getvalue()}")
        return Entry(name, json.loads(told.getvalue()), (Path(out) / name / picture).read_bytes())


if __name__ == "__main__":
    built = entries()
    FOLDER.mkdir(exist_ok=True)
    for entry in built:
        (FOLDER / f"{entry.name}.png").write_bytes(entry.picture)
    PAGE.write_text(page(built), encoding="utf-8")
