"""Where the port and the vents of a cup's lid go: numbers only, no solids.

Angles are counted from the x axis in degrees.
"""

from __future__ import annotations

import math

from mouldgen.finding import Finding
from mouldgen.mould.label import Round
from mouldgen.mould.sockets import Sockets
from mouldgen.mould.stands import WEB

# Our own choices, no source.  A vent of 4 mm clears itself of resin (twice the arrest radius of
# an epoxy, rounded up), a smaller one only stays open dry.
VENT_RADIUS = 2.0
LEAST_VENT_RADIUS = 1.0
LEAST_PORT_RADIUS = 2.0
MOST_PORT_RADIUS = 6.0
VENT_TURNS = (30.0, 150.0, 270.0)  # degrees
# Where legs are in the way.
MORE_TURNS = (90.0, 210.0, 330.0, 0.0, 60.0, 120.0, 180.0, 240.0, 300.0)


def place_port(legs: tuple[Round, ...], sockets: Sockets, *, bore_mm: float) -> Round | None:
    """The widest port that keeps its webs: in the middle, else between two legs; None without room.

    legs : of the lid, each x, y and radius [mm].
    sockets : what centres the insert.
    bore_mm : radius within which the lid may be pierced [mm].
    """
    steps = int((MOST_PORT_RADIUS - LEAST_PORT_RADIUS) / 0.25)
    radii = [MOST_PORT_RADIUS - 0.25 * k for k in range(steps + 1)]
    for radius in radii:
        if radius < 3.0:
            break
        if _clear((0.0, 0.0, radius), list(legs)) and radius + WEB <= bore_mm:
            return (0.0, 0.0, radius)
    for radius in radii:
        hole = (0.0, -(bore_mm - radius - WEB), radius)
        fits = radius + WEB <= bore_mm and sockets.clears(hole, WEB)
        if fits and _clear(hole, list(legs)):
            return hole
    return None


def place_vents(
    legs: tuple[Round, ...],
    sockets: Sockets,
    *,
    port: Round | None,
    bore_mm: float,
    turns: tuple[float, ...],
) -> tuple[Round, ...]:
    """Up to three vents over the gap, away from legs and port; at least 2 mm wide.

    legs, port : of the lid, each x, y and radius [mm].
    sockets : what centres the insert.
    bore_mm : radius within which the lid may be pierced [mm].
    turns : where they may be, the place liked best first [degrees].
    """
    found: list[Round] = []
    taken = [*legs, *([port] if port else [])]
    for angle in turns:
        if len(found) == len(VENT_TURNS):
            break
        for step in range(5):
            radius = VENT_RADIUS - 0.25 * step
            if radius < LEAST_VENT_RADIUS:
                break
            distance = bore_mm - radius - WEB
            hole = (
                distance * math.cos(math.radians(angle)),
                distance * math.sin(math.radians(angle)),
                radius,
            )
            fits = distance > 0.0 and sockets.clears(hole, WEB)
            if fits and _clear(hole, [*taken, *found]):
                found.append(hole)
                break
    return tuple(found)


def no_port() -> Finding:
    """A lid that no port has room in."""
    return Finding(
        id="cup.no-port",
        rule="cup",
        severity="note",
        message=(
            "The lid has no room for a pour port of 4 mm beside its legs: fill the mould before"
            " the lid goes on."
        ),
        place="lid",
    )


def _clear(hole: Round, others: list[Round]) -> bool:
    x, y, r = hole
    return all(math.hypot(x - a, y - b) >= r + s + WEB for a, b, s in others)


def no_opening() -> Finding:
    """What to do with a lid that has neither port nor vent."""
    return Finding(
        id="cup.no-opening",
        rule="cup",
        severity="warn",
        message=(
            "The lid has no room for a single hole beside its legs: under it air stays shut in, and"
            " the pot's pressure gets in by its edge only. Lay a thread of filament under its rim,"
            " so that it stays open a crack, or take a wider gap."
        ),
        place="lid",
    )
