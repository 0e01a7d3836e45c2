"""Where every feature of a cup and its lid goes: numbers only, no solids.

Angles are counted from the x axis in degrees, heights from the inside floor.  Grooves and ribs
take turns round the bore, so that no rib stands in a groove.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Mould, Piece, Printer
from mouldgen.mould.label import LOWEST_LETTERS, Label, Round, body_label, lid_label
from mouldgen.mould.sockets import Sockets, place_sockets, socket_remarks
from mouldgen.size import Size, SizeQuestion
from mouldgen.solid.circle import segments

# Our own choices, no source.  A leg or a pip must land inside the insert's core at every
# rotation; a hole keeps one strong web to its neighbours; a vent of 4 mm clears itself of
# resin (twice the arrest radius of an epoxy, rounded up), a smaller one only stays open dry.
LEAD = 0.6
WEB = 1.0
VENT_RADIUS = 2.0
LEAST_VENT_RADIUS = 1.0
LEAST_PORT_RADIUS = 2.0
MOST_PORT_RADIUS = 6.0
FILL_LINE = 0.4
RELIEF = 0.5
ENGRAVING = 0.4


@dataclass(frozen=True, eq=False)
class CupPlan:
    """Every number that the solids of a cup and its lid are made from.

    insert, size, question : the insert and the closed form that the plan rests on.
    sides : of every circle about the axis.
    chord_mm : tolerance of the small circles [mm].
    groove_angles : where vent grooves stand [degrees].
    sockets : what centres the insert at either end.
    pips : of the floor, each x, y and radius.
    centre_pip : radius and height of the cone that leaves a drill mark.
    legs, vents : of the lid, each x, y and radius.
    port : of the lid, x, y and radius, or None where there is no room.
    body_label, lid_label : lettering, or None.
    remarks : what was left out for want of room, as findings.
    """

    insert: InsertFacts
    size: Size
    question: SizeQuestion
    sides: int
    chord_mm: float
    groove_angles: tuple[float, ...]
    sockets: Sockets
    pips: tuple[Round, ...]
    centre_pip: tuple[float, float]
    legs: tuple[Round, ...]
    vents: tuple[Round, ...]
    port: Round | None
    body_label: Label | None
    lid_label: Label | None
    remarks: tuple[Finding, ...]

    @property
    def insert_foot_mm(self) -> float:
        """Height of the insert's lower end [mm]."""
        return self.question.pip_mm

    @property
    def insert_top_mm(self) -> float:
        """Height of the insert's upper end [mm]."""
        return self.question.pip_mm + self.insert.length_mm

    @property
    def lid_genus(self) -> int:
        """Holes through the lid: the vents and the port."""
        return len(self.vents) + (self.port is not None)


def plan_cup(
    question: SizeQuestion,
    size: Size,
    *,
    slide_mm: float,
    mould: Mould,
    piece: Piece,
    printer: Printer,
    mould_id: str,
) -> CupPlan:
    """Place the features of a cup and its lid.

    question, size : the closed form.
    slide_mm : what the thickest expected insert takes up, with its sliding clearance; the
        sockets leave this much free on every side [mm].
    mould, piece, printer : the maker's tables.
    mould_id : lettered on both parts.
    """
    insert = question.insert
    remarks: list[Finding] = []
    grooves, ribs = _turns(mould.vent_grooves)
    sockets = place_sockets(
        question, size, angles=ribs, slide_mm=slide_mm, piece=piece, grooved=bool(grooves)
    )
    remarks += socket_remarks(sockets, size, question)
    legs = _legs(insert.core_mm)
    port = _port(legs, sockets, size.bore_mm(size.rim_mm))
    if port is None:
        remarks.append(_no_port())
    vents = _vents(legs, port, sockets, size.bore_mm(size.rim_mm))
    on_body = on_lid = None
    if mould.lettering:
        # The whole line first, the bare id where there is no room for more.
        texts = (f"{mould_id} {size.gap_mm:.2f}", mould_id)
        stroke = 2.0 * printer.line
        on_body = body_label(texts, size, stroke, grooves=len(grooves))
        on_lid = lid_label(texts, size, stroke, holes=[*vents, *([port] if port else [])])
        if on_body is None or on_lid is None:
            remarks.append(_no_lettering(on_body, on_lid))
    return CupPlan(
        insert=insert,
        size=size,
        question=question,
        sides=segments(size.lid_reach_mm, chord_mm=mould.chord),
        chord_mm=mould.chord,
        groove_angles=grooves,
        sockets=sockets,
        pips=_ring(3, 0.65 * insert.core_mm, min(1.2, 0.2 * insert.core_mm), start=30.0),
        centre_pip=(min(1.5, 0.25 * insert.core_mm), 0.7 * question.pip_mm),
        legs=legs,
        vents=vents,
        port=port,
        body_label=on_body,
        lid_label=on_lid,
        remarks=tuple(remarks),
    )


def _turns(grooves: int) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Angles of grooves and ribs; ribs stand midway between grooves, three with none."""
    ribs = grooves or 3
    pitch = 360.0 / ribs
    rib_angles = tuple(90.0 + k * pitch for k in range(ribs))
    groove_angles = tuple(90.0 + (k + 0.5) * pitch for k in range(grooves))
    return groove_angles, rib_angles


def _ring(count: int, distance: float, radius: float, *, start: float) -> tuple[Round, ...]:
    return tuple(
        (
            distance * math.cos(math.radians(start + k * 360.0 / count)),
            distance * math.sin(math.radians(start + k * 360.0 / count)),
            radius,
        )
        for k in range(count)
    )


def _legs(core_mm: float) -> tuple[Round, ...]:
    """Three legs inside the insert's core, or one in the middle where three would merge."""
    radius = min(3.0, max(1.5, 0.2 * core_mm))
    distance = core_mm - radius - 0.3
    if distance * math.sqrt(3.0) < 2.0 * radius + WEB:
        return ((0.0, 0.0, min(radius, 0.8 * core_mm)),)
    return _ring(3, distance, radius, start=90.0)


def _clear(hole: Round, others: list[Round]) -> bool:
    x, y, r = hole
    return all(math.hypot(x - a, y - b) >= r + s + WEB for a, b, s in others)


def _port(legs: tuple[Round, ...], sockets: Sockets, bore_mm: float) -> Round | None:
    """The widest port that keeps its webs: in the middle, else between two legs."""
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


def _vents(
    legs: tuple[Round, ...], port: Round | None, sockets: Sockets, bore_mm: float
) -> tuple[Round, ...]:
    """Up to three vents over the gap, away from legs and port; at least 2 mm wide."""
    found: list[Round] = []
    taken = [*legs, *([port] if port else [])]
    for angle in (30.0, 150.0, 270.0):
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


def _no_port() -> Finding:
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


def _no_lettering(body: Label | None, lid: Label | None) -> Finding:
    bare = [name for name, label in (("body", body), ("lid", lid)) if label is None]
    return Finding(
        id="cup.no-lettering",
        rule="cup",
        severity="note",
        message=(
            f"Too small for letters {LOWEST_LETTERS:g} mm high on the {' and the '.join(bare)}:"
            " mark it by hand."
        ),
        limit=LOWEST_LETTERS,
        place=" and ".join(bare),
    )
