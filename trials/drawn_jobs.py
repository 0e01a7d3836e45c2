"""Whole jobs that look as if they were meant: every insert, every family, any size.

Four of five sizes are a shop's, the others anything from a hair to a house.  One job in twenty is
a dear one: fine facets, lettering, many parts of a bundle, a shell round a scan.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from pathlib import Path

import numpy as np

from mouldgen.solid.mesh import Mesh
from tests.random_scans import shape, sphere

BARE_JOB = Path(__file__).parent.parent / "tests" / "bare_job.toml"
SHAPES = (
    "rod", "tube", "bar", "twist", "flute", "coil", "taper", "outline", "scan",
    "members", "honeycomb", "heap",
)  # fmt: skip
FAMILIES = ("cup", "cup", "contour", "master", "split", "block", "tray")
HOLDS = ("tape", "screw", "dowel", "weight", "band", "glue", "none")
DEAR = 0.05  # share of jobs that may take long
ODD = 0.2  # share of sizes that no shop has


def drawn_job(rng: random.Random) -> tuple[list[str], Mesh | None]:
    """Settings over the job in `tests/bare_job.toml`, and the scan that an insert is, or None.

    rng : draws it.
    """
    dear = rng.random() < DEAR
    kind = rng.choice(SHAPES)
    across, length = _size(rng, 6.0, 70.0), _size(rng, 10.0, 160.0)
    sets = [f"insert.length={_mm(length)}", f"insert.density={rng.uniform(0.1, 1.6):.2f} g/ml"]
    scan = None
    if kind == "scan":
        scan, across, length = _scan(rng, across, length, dear=dear)
        sets = ["insert.shape=scan", "insert.length=1 mm", *sets[1:]]
    else:
        sets += _INSERTS[kind](rng, across, length, dear)
    sets += _piece(rng, across, length)
    sets += _mould(rng, kind, across, length, dear=dear)
    sets += _shop(rng, dear=dear)
    return sets, scan


# ------------------------------------------------------------------------------------- inserts


def _round(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    return ["insert.shape=rod", f"insert.diameter={_mm(across)}", *_bore(rng, across)]


def _tube(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    return [
        "insert.shape=tube",
        f"insert.diameter={_mm(across)}",
        f"insert.inside={_mm(across * _share(rng, 0.1, 0.97))}",
        f"insert.plugged={_yes(rng)}",
    ]


def _bar(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    return ["insert.shape=bar", *_sides(rng, across), *_bore(rng, across / 2.0)]


def _twist(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    return [
        "insert.shape=twist",
        *_sides(rng, across),
        f"insert.turn_length={_mm(across * rng.uniform(0.8, 12.0))}",
        f"insert.hand={rng.choice(('right', 'left'))}",
        *_bore(rng, across / 2.0),
    ]


def _flute(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    return [
        "insert.shape=flute",
        f"insert.diameter={_mm(across)}",
        f"insert.flutes={rng.randint(2, 12)}",
        f"insert.flute_area={_share(rng, 0.005, 0.5):.4f}",
        *_bore(rng, across),
    ]


def _coil(rng: random.Random, across: float, length: float, dear: bool) -> list[str]:
    wire = across * _share(rng, 0.04, 0.45)
    windings = rng.uniform(1.5, 30.0 if dear else 6.0)
    pitch = max(wire * rng.uniform(0.98, 1.5), length / windings)
    return [
        "insert.shape=coil",
        f"insert.diameter={_mm(across)}",
        f"insert.wire={_mm(wire)}",
        f"insert.pitch={_mm(pitch)}",
    ]


def _taper(rng: random.Random, across: float, _: float, __: bool) -> list[str]:
    small = across * _share(rng, 0.05, 1.0)
    return [
        "insert.shape=taper",
        f"insert.diameter={_mm(across)}",
        f"insert.small={_mm(small)}",
        f"insert.point={rng.choice(('up', 'down'))}",
        *_bore(rng, small),
    ]


def _outline(rng: random.Random, across: float, length: float, dear: bool) -> list[str]:
    inner = sorted(rng.random() for _ in range(rng.randint(0, 60 if dear else 5)))
    along = [0.0, *(length * share for share in inner), length]
    if len(along) > 3 and rng.random() < 0.4:  # a shoulder
        along[2] = along[1]
    radii = [across / 2.0 * _share(rng, 0.15, 1.0) for _ in along]
    pairs = ", ".join(f'["{z:.4f} mm", {_mm(r)}]' for z, r in zip(along, radii, strict=True))
    bore = _bore(rng, 2.0 * min(radii))
    return ["insert.shape=outline", f"insert.profile=[{pairs}]", *bore]


def _members(rng: random.Random, across: float, _: float, dear: bool) -> list[str]:
    """Some on a circle, mostly as thick as stand there without touching."""
    count = rng.randint(1, 24 if dear else 5)
    apart = math.sin(math.pi / count) if count > 1 else 1.0
    thick = across * apart / (1.0 + apart) * rng.choice((0.6, 0.9, 0.97, 0.97, 1.02))
    reach = (across - thick) / 2.0 if count > 1 else rng.choice((0.0, across / 4.0))
    told = []
    for k in range(count):
        turn = 2.0 * math.pi * k / count
        at = f'at=["{reach * math.cos(turn):.3f} mm", "{reach * math.sin(turn):.3f} mm"]'
        form = rng.choice(("rod", "tube", "bar", "taper"))
        size = {
            "rod": f"diameter={_mm(thick)}",
            "tube": f"diameter={_mm(thick)}, inside={_mm(thick * 0.6)}, plugged={_yes(rng)}",
            "bar": f"width={_mm(thick * 0.75)}, thickness={_mm(thick * rng.uniform(0.2, 0.6))},"
            f' turn="{rng.randint(0, 180)} deg"',
            "taper": f"diameter={_mm(thick)}, small={_mm(thick * rng.uniform(0.1, 0.99))}",
        }[form]
        told.append(f'{{shape="{form}", {size}, {at}}}')
    return ["insert.shape=bundle", f"insert.member=[{', '.join(told)}]"]


def _honeycomb(rng: random.Random, across: float, _: float, dear: bool) -> list[str]:
    cell = across * rng.uniform(0.04 if dear else 0.12, 0.6)
    return [
        "insert.shape=bundle",
        f"insert.cell={_mm(cell)}",
        f"insert.cell_wall={_mm(cell * _share(rng, 0.02, 0.6))}",
        *_sides(rng, across),
    ]


def _heap(rng: random.Random, across: float, length: float, _: bool) -> list[str]:
    boxed = rng.random() < 0.3
    room = across**2 * length / 1000.0 * (0.5 if boxed else 0.785)
    filled = room * _share(rng, 0.02, 1.02)
    size = _sides(rng, across) if boxed else [f"insert.diameter={_mm(across)}"]
    told = f"insert.displaced={filled:.6g} ml"
    if rng.random() < 0.3:
        told = f"insert.weight={filled * rng.uniform(0.3, 1.2):.6g} g"
    return ["insert.shape=bundle", *size, told]


_INSERTS: dict[str, Callable[[random.Random, float, float, bool], list[str]]] = {
    "rod": _round,
    "tube": _tube,
    "bar": _bar,
    "twist": _twist,
    "flute": _flute,
    "coil": _coil,
    "taper": _taper,
    "outline": _outline,
    "members": _members,
    "honeycomb": _honeycomb,
    "heap": _heap,
}


def _scan(
    rng: random.Random, across: float, length: float, *, dear: bool
) -> tuple[Mesh, float, float]:
    """A bumpy ball, a bent stick or an egg, clean; how far it goes across and along [mm]."""
    numpy_rng = np.random.default_rng(rng.getrandbits(32))
    name = rng.choice(("pebble", "stick", "egg"))
    steps = rng.randint(4, 24 if dear else 8)
    if name == "egg":
        corners, faces = sphere(steps)
    else:
        corners, faces = shape(name, numpy_rng, steps)
    size = np.ptp(corners, axis=0)
    scaled = corners * (np.array([across, across * rng.uniform(0.6, 1.0), length]) / size)
    mesh = Mesh(np.ascontiguousarray(scaled, np.float32), np.ascontiguousarray(faces, np.int32))
    return mesh, across, length


# ---------------------------------------------------------------------------- all but the insert


def _piece(rng: random.Random, across: float, length: float) -> list[str]:
    high = max(0.2, length * rng.uniform(0.4, 1.05))
    wide = max(0.2, across * rng.uniform(0.3, 1.1))
    sets = [f"piece.diameter={_mm(wide)}", f"piece.length={_mm(high)}"]
    if rng.random() < 0.15:
        sets.append(f"piece.cover={_mm(_size(rng, 0.3, 6.0))}")
    if rng.random() < 0.1:
        sets.append(f"piece.hole={_mm(wide * rng.uniform(0.1, 0.9))}")
        sets.append(f"piece.hole_depth={_mm(high * rng.uniform(0.1, 1.0))}")
        sets.append(f"piece.hole_from={rng.choice(('bottom', 'top'))}")
    if rng.random() < 0.15:
        radii = [wide / 2.0 * rng.uniform(0.3, 1.0) for _ in range(rng.randint(1, 6))] + [wide / 2]
        along = [0.0, *sorted(rng.random() * high for _ in radii[2:]), high]
        pairs = (f'["{z:.4f} mm", {_mm(r)}]' for z, r in zip(along, radii, strict=True))
        sets.append(f"piece.outline=[{', '.join(pairs)}]")
    return sets


def _mould(rng: random.Random, kind: str, across: float, length: float, *, dear: bool) -> list[str]:
    family = rng.choice(FAMILIES)
    if kind == "scan" and dear:
        family = rng.choice(("shell", "cup", "split"))
    straight = family in ("contour", "split", "shell")
    sets = [
        f"mould.family={family}",
        f"mould.chord={rng.uniform(0.002, 0.02) if dear else rng.uniform(0.05, 0.5):.4f} mm",
        f"mould.lettering={'true' if dear or rng.random() < 0.1 else 'false'}",
        f"mould.vent_grooves={0 if family == 'shell' else rng.choice((0, 0, 3, 3, 5, 12))}",
    ]
    if rng.random() < 0.6:
        sets.append(f"mould.gap={_mm(_size(rng, 0.3, 8.0))}")
    if rng.random() < 0.4 and not straight:
        sets.append(f"mould.draft={rng.choice((0.5, 1.0, 3.0, 10.0)):g} deg")
    if rng.random() < 0.2:
        sets.append(f"mould.fill={_mm(length * rng.uniform(0.5, 1.6))}")
    if rng.random() < 0.1:
        sets.append(f"mould.head={_mm(_size(rng, 0.5, 20.0))}")
    if family in ("block", "tray"):
        most = 4 if dear else 2
        sets.append(f"mould.cells=[{rng.randint(1, most)}, {rng.randint(1, most)}]")
    if family == "tray" and rng.random() < 0.5:
        sets.append(rng.choice(("piece.per_blank=2", "piece.saw=[2, 2]")))
    if family == "master":
        sets.append(f"rubber.card={rng.choice(('tin-cure-silicone', 'platinum-cure-silicone'))}")
        sets.append(f"mould.up={rng.randint(1, 8 if dear else 2)}")
    sets += _fastened(rng, family, across)
    return sets


def _fastened(rng: random.Random, family: str, across: float) -> list[str]:
    """What is asked for about holding and release, mostly of families that may have it."""
    sets = []
    way = rng.random()
    if way < 0.2:
        sets.append(f"mould.hold={rng.choice(HOLDS)}")
    elif way < 0.26 and family in ("cup", "contour"):
        sets.append(f"mould.lid_screws={rng.randint(2, 6)}")
    if family in ("cup", "contour"):
        if rng.random() < 0.08:
            sets.append(f"mould.tenon={_mm(across * rng.uniform(0.2, 1.2))}")
            sets.append(f"mould.tenon_length={_mm(_size(rng, 3.0, 20.0))}")
        if rng.random() < 0.08:
            sets.append("mould.knock_out=true")
        if rng.random() < 0.08:
            sets.append("mould.score=true")
    return sets


def _shop(rng: random.Random, *, dear: bool) -> list[str]:
    orders = ("auto", "auto", "resin-first", "insert-first", "bottom-feed")
    resins = ("casting-epoxy-slow", "casting-epoxy-medium", "casting-urethane-fast")
    sets = [
        f"resin.card={rng.choice(resins)}",
        f"plastic.card={rng.choice(('petg', 'pla', 'abs', 'asa'))}",
        f"printer.card={rng.choice(('square-220', 'square-300', 'round-240'))}",
        f"order.pieces={rng.randint(1, 60) if dear else rng.randint(1, 4)}",
        f"pour.shop={rng.uniform(15.0, 26.0):.1f} C",
        f"pour.close={rng.uniform(4.0, 15.0):.1f} min",
        "pour.mix=2 min",
        f"pour.layers={rng.choice((1, 1, 1, 2, 3))}",
        f"pour.sequence={rng.choice(orders)}",
    ]
    if rng.random() < 0.6:  # so that a gap is not refused for heat alone
        sets += ["plastic.softens=180 C", "resin.hottest=250 C", "resin.depth=150 mm"]
    if rng.random() < 0.15:
        sets += [f"printer.line={_mm(rng.uniform(0.2, 1.2))}"]
        sets += [f"printer.layer={_mm(rng.uniform(0.05, 0.6))}"]
    if rng.random() < 0.15:
        sets += ["pot.card=pot-228", "pot.rating=60 psi", "pour.pressure=40 psi"]
    if rng.random() < 0.05:
        sets.append("extras.catch_moulds=1")
    return sets


# -------------------------------------------------------------------------------------- sizes


def _size(rng: random.Random, low: float, high: float) -> float:
    """Log-uniform between the sizes that a shop has, now and then between any."""
    if rng.random() < ODD * 0.5:  # two sizes of an insert: one job of five is odd in one
        low, high = 0.05, 3000.0
    return math.exp(rng.uniform(math.log(low), math.log(high)))


def _share(rng: random.Random, low: float, high: float) -> float:
    return rng.uniform(low, high)


def _sides(rng: random.Random, across: float) -> list[str]:
    """Width and thickness of what fits into a round."""
    width = across * rng.uniform(0.6, 0.85)
    thickness = width * _share(rng, 0.1 if rng.random() < 0.2 else 0.6, 1.0)
    return [f"insert.width={_mm(width)}", f"insert.thickness={_mm(thickness)}"]


def _bore(rng: random.Random, across: float) -> list[str]:
    if rng.random() > 0.15:
        return []
    return [
        f"insert.hole={_mm(across * rng.uniform(0.05, 0.9))}",
        f"insert.hole_plugged={_yes(rng)}",
    ]


def _yes(rng: random.Random) -> str:
    return rng.choice(("true", "false"))


def _mm(length: float) -> str:
    return f'"{length:.3f} mm"'
