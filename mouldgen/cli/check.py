"""``mouldgen check``: whether anybody's mesh files would print as solids."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.findings import say_findings
from mouldgen.cli.progress import busy
from mouldgen.cli.say import printable, say_json, say_wrapped, tell
from mouldgen.cli.words import count
from mouldgen.errors import MouldgenError

if TYPE_CHECKING:
    from mouldgen.check.prints import PrintCheck
    from mouldgen.finding import Finding
    from mouldgen.solid.mesh import Mesh
    from mouldgen.solid.topology import Topology

CROSSING_S = 4.0  # for looking where one solid passes through itself
PRINTER = "square-220"  # the card whose lines and layers are taken for anybody's file


@dataclass(frozen=True, eq=False)
class Checked:
    """One solid of a file.

    file : as it was named.
    name : inside the file, or empty.
    mesh, topology : what it is.
    findings : what is wrong with it.
    prints : what it is like to print; None where it is no solid.
    """

    file: str
    name: str
    mesh: Mesh
    topology: Topology
    findings: tuple[Finding, ...]
    prints: PrintCheck | None


def check_files(files: Sequence[str], *, as_json: bool, quiet: bool, verbose: bool) -> int:
    """Say what is wrong with each file; 2 where one cannot be read, else 1 where one must be fixed.

    files : their paths; every one is looked at, whatever the others hold.
    """
    solids: list[Checked] = []
    problems: list[MouldgenError] = []
    for file in files:
        try:
            with busy(f"Reading {file}", quiet=quiet):
                solids += _checked(file)
        except MouldgenError as problem:
            problems.append(problem)
    if as_json:
        say_json(_data(solids, problems))
    else:
        for solid in solids:
            _say(solid, quiet=quiet, verbose=verbose)
    for told in problems:
        tell(str(told))
    if problems:
        return max(told.exit_code for told in problems)
    return int(any(f.severity == "stop" for solid in solids for f in solid.findings))


def _checked(file: str) -> list[Checked]:
    from mouldgen.files.read import read_meshes

    label = printable(Path(file).name)
    return [
        _looked_at(file, name, mesh, label=printable(name) or label)
        for name, mesh in read_meshes(Path(file))
    ]


def _looked_at(file: str, name: str, mesh: Mesh, *, label: str) -> Checked:
    from mouldgen.check.ailing import ailing
    from mouldgen.check.crosses import crosses
    from mouldgen.check.prints import prints
    from mouldgen.check.sound import sound
    from mouldgen.solid.topology import topology_of

    findings, printed = sound(mesh, name=label), None
    if not any(finding.severity == "stop" for finding in findings):
        line, layer = _lines()
        printed = prints(mesh, name=label, line_mm=line, layer_mm=layer)
        findings += printed.findings
    findings += ailing(mesh, name=label)
    findings += crosses(mesh, name=label, until=time.monotonic() + CROSSING_S)
    return Checked(file, name, mesh, topology_of(mesh), findings, printed)


@cache
def _lines() -> tuple[float, float]:
    """Line and layer of the printer that is taken where no job names one [mm]."""
    from mouldgen import units
    from mouldgen.job.presets import read_card

    card = read_card("printers", PRINTER)
    return units.length(card["line"]), units.length(card["layer"])


def _say(solid: Checked, *, quiet: bool, verbose: bool) -> None:
    if not quiet:
        say_wrapped(f"{_called(solid)}: {_facts(solid)}.", rest="  ")
    elif any(finding.severity == "stop" for finding in solid.findings):
        say_wrapped(f"{_called(solid)}:")
    say_findings(solid.findings, quiet=quiet, verbose=verbose)


def _called(solid: Checked) -> str:
    return printable(f"{solid.file}, {solid.name}" if solid.name else solid.file)


def _facts(solid: Checked) -> str:
    size = " x ".join(f"{mm:.1f}" for mm in _size(solid.mesh))
    triangles = count(len(solid.mesh.triangles), "triangle")
    if not solid.topology.closed:
        return f"{size} mm, {triangles}, not closed"
    apart = f", {solid.topology.shells} pieces" if solid.topology.shells > 1 else ""
    wall = "" if solid.prints is None else _thinnest(solid.prints)
    return f"{size} mm, {solid.mesh.volume_mm3 / 1000:.2f} ml, {triangles}, closed{apart}{wall}"


def _thinnest(prints: PrintCheck) -> str:
    thick = prints.figures.walls.thinnest.mm
    return f", thinnest wall {thick:.2f} mm" if math.isfinite(thick) else ""


def _size(mesh: Mesh) -> tuple[float, ...]:
    low, high = mesh.bounds
    return tuple(b - a for a, b in zip(low, high, strict=True))


def _data(solids: Sequence[Checked], problems: Sequence[MouldgenError]) -> dict[str, Any]:
    from mouldgen.files.report import finding_data
    from mouldgen.files.report_prints import print_data

    line, layer = _lines()
    return {
        "line_mm": line,
        "layer_mm": layer,
        "solids": [
            {
                "file": solid.file,
                "name": solid.name,
                "size_mm": [round(mm, 4) for mm in _size(solid.mesh)],
                "volume_ml": round(solid.mesh.volume_mm3 / 1000, 4),
                "triangles": len(solid.mesh.triangles),
                "closed": solid.topology.closed,
                "shells": solid.topology.shells,
                "genus": solid.topology.genus if solid.topology.closed else None,
                "prints": None if solid.prints is None else print_data(solid.prints),
                "findings": [finding_data(finding) for finding in solid.findings],
            }
            for solid in solids
        ],
        "not_read": [{"file": problem.where, "message": str(problem)} for problem in problems],
    }
