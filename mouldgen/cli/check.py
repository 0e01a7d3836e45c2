"""``mouldgen check``: whether anybody's mesh files would print as solids."""

from __future__ import annotations

import math
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from mouldgen.cli.findings import say_findings
from mouldgen.cli.progress import busy
from mouldgen.cli.say import say_json, say_wrapped, tell
from mouldgen.cli.words import count
from mouldgen.errors import MouldgenError, PresetError
from mouldgen.job.words import printable

if TYPE_CHECKING:
    from mouldgen.check.prints import PrintCheck
    from mouldgen.finding import Finding
    from mouldgen.solid.mesh import Mesh
    from mouldgen.solid.topology import Topology

SHIFTED_MM = 1e-3  # by which copies of a part differ from it, from the decimals of a file
CROSSING_S = 4.0  # for looking where one solid passes through itself
CROSSINGS_S = 12.0  # for all those of a file


@dataclass(frozen=True, eq=False)
class Lines:
    """What a printer lays down.

    card : the printer's.
    line_mm, layer_mm : width of a line and height of a layer [mm].
    """

    card: str
    line_mm: float
    layer_mm: float


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


def check_files(
    files: Sequence[str], *, printer: str, as_json: bool, quiet: bool, verbose: bool
) -> int:
    """Say what is wrong with each file; 2 where one cannot be read, else 1 where one must be fixed.

    files : their paths; every one is looked at, whatever the others hold.
    printer : the card whose lines and layers are taken.

    Raises PresetError where there is no such card, or it does not say them.
    """
    lines = _lines(printer)
    solids: list[Checked] = []
    problems: list[MouldgenError] = []
    for file in files:
        try:
            with busy(f"Reading {file}", quiet=quiet):
                solids += _checked(file, lines)
        except MouldgenError as problem:
            problems.append(problem)
    if as_json:
        say_json(_data(solids, problems, lines))
    else:
        for equal in _grouped(solids):
            _say(equal[0], times=len(equal), quiet=quiet, verbose=verbose)
        if not quiet and any(solid.prints is not None for solid in solids):
            say_wrapped(
                f"Looked at for lines of {lines.line_mm:g} mm in layers of {lines.layer_mm:g} mm,"
                f" as printer card {printable(lines.card)} has them."
            )
    for told in problems:
        tell(str(told))
    if problems:
        return max(told.exit_code for told in problems)
    return int(any(f.severity == "stop" for solid in solids for f in solid.findings))


def _checked(file: str, lines: Lines) -> list[Checked]:
    from mouldgen.files.read import read_meshes

    label = printable(Path(file).name)
    found, spent_s = [], 0.0
    for name, mesh in read_meshes(Path(file)):
        within_s = min(CROSSING_S, CROSSINGS_S - spent_s)
        solid, took_s = _looked_at(
            file, name, mesh, label=printable(name) or label, lines=lines, crossing_s=within_s
        )
        found.append(solid)
        spent_s += took_s
    return found


def _looked_at(
    file: str, name: str, mesh: Mesh, *, label: str, lines: Lines, crossing_s: float
) -> tuple[Checked, float]:
    """One solid, and how long it was looked at for where it passes through itself [s]."""
    from mouldgen.check.ailing import ailing
    from mouldgen.check.crosses import crosses
    from mouldgen.check.prints import prints, unlooked
    from mouldgen.check.sound import sound
    from mouldgen.solid.topology import topology_of

    findings, printed = sound(mesh, name=label), None
    if not any(finding.severity == "stop" for finding in findings):
        findings += unlooked(mesh, name=label)
    if not any(finding.rule == "prints" or finding.severity == "stop" for finding in findings):
        printed = prints(mesh, name=label, line_mm=lines.line_mm, layer_mm=lines.layer_mm)
        findings += printed.findings
    findings += ailing(mesh, name=label)
    began = time.monotonic()
    findings += crosses(mesh, name=label, until=began + crossing_s)
    took_s = time.monotonic() - began
    return Checked(file, name, mesh, topology_of(mesh), findings, printed), took_s


def _lines(printer: str) -> Lines:
    from mouldgen.job.presets import read_card

    card = read_card("printers", printer)
    return Lines(printer, _length(card, "line", printer), _length(card, "layer", printer))


def _length(card: dict[str, Any], key: str, printer: str) -> float:
    """A length above zero on a printer's card [mm]; anybody's may be their own."""
    from mouldgen import units

    where, allowed = f"printers/{printer}.toml {key}", 'a length above zero, such as "0.4 mm"'
    if key not in card:
        raise PresetError(f"the card does not give its {key}", where=where, allowed=allowed)
    try:
        found = units.length(card[key])
    except MouldgenError as problem:
        raise problem.at(where) from None
    if not found > 0.0:
        raise PresetError(f"{found:g} mm is no {key}", where=where, allowed=allowed)
    return found


def _grouped(solids: Sequence[Checked]) -> list[list[Checked]]:
    """Copies of one part on a bed together, each kind where its first one comes."""
    groups: list[list[Checked]] = []
    for solid in solids:
        for group in groups:
            if _equal(group[0], solid):
                group.append(solid)
                break
        else:
            groups.append([solid])
    return groups


def _equal(one: Checked, other: Checked) -> bool:
    """Whether two solids of a file are one part in two places."""
    import numpy as np

    if (one.file, one.name) != (other.file, other.name):
        return False
    if [f.id for f in one.findings] != [f.id for f in other.findings]:
        return False
    a, b = one.mesh, other.mesh
    if len(a.vertices) != len(b.vertices) or not np.array_equal(a.triangles, b.triangles):
        return False
    off = b.vertices - a.vertices.astype(float)
    return bool((np.ptp(off, axis=0) <= SHIFTED_MM).all())


def _say(solid: Checked, *, times: int, quiet: bool, verbose: bool) -> None:
    called = _called(solid, times)
    if not quiet:
        say_wrapped(f"{called}: {_facts(solid)}.", rest="  ")
    elif any(finding.severity == "stop" for finding in solid.findings):
        say_wrapped(f"{called}:")
    say_findings(solid.findings, quiet=quiet, verbose=verbose)
    told = [f for f in solid.findings if not quiet or f.severity == "stop"]
    if times > 1 and told:
        say_wrapped(f"So with all {times} of them, each in its place.", first="  ", rest="  ")


def _called(solid: Checked, times: int) -> str:
    name = f"{times} x {solid.name or 'solid'}" if times > 1 else solid.name
    return printable(f"{solid.file}, {name}" if name else solid.file)


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


def _data(
    solids: Sequence[Checked], problems: Sequence[MouldgenError], lines: Lines
) -> dict[str, Any]:
    from mouldgen.files.report import finding_data
    from mouldgen.files.report_prints import print_data

    return {
        "printer": lines.card,
        "line_mm": lines.line_mm,
        "layer_mm": lines.layer_mm,
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
