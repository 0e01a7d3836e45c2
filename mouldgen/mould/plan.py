"""Where every feature of a cup and its lid goes: numbers only, no solids.

Angles are counted from the x axis in degrees, heights from the inside floor.  Grooves and ribs
take turns round the bore, so that no rib stands in a groove.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from mouldgen.finding import Finding
from mouldgen.insert.facts import InsertFacts
from mouldgen.job.model import Mould, Piece, Printer
from mouldgen.mould.label import (
    LABEL_EDGE,
    LOWEST_LETTERS,
    Label,
    Round,
    body_label,
    lid_label,
    second_label,
    stroke_of,
)
from mouldgen.mould.lines import FillLine, fill_lines, topped_up
from mouldgen.mould.naming import label_texts, note_texts
from mouldgen.mould.sockets import Sockets, place_sockets, socket_remarks
from mouldgen.mould.stands import WEB, legs_on, pips_under, stand_remarks
from mouldgen.size import Size, SizeQuestion
from mouldgen.size.question import FILL_LINE_MM
from mouldgen.solid.circle import segments

if TYPE_CHECKING:
    from mouldgen.mould.feature import Feature, HoldDown

# Our own choices, no source.  A vent of 4 mm clears itself of resin (twice the arrest radius of
# an epoxy, rounded up), a smaller one only stays open dry.
LEAD = 0.6
VENT_RADIUS = 2.0
LEAST_VENT_RADIUS = 1.0
LEAST_PORT_RADIUS = 2.0
MOST_PORT_RADIUS = 6.0
VENT_TURNS = (30.0, 150.0, 270.0)  # degrees
MORE_TURNS = (
    90.0,
    210.0,
    330.0,
    0.0,
    60.0,
    120.0,
    180.0,
    240.0,
    300.0,
)  # where legs are in the way
FILL_LINE = FILL_LINE_MM
LEGLESS = ("screw", "glue", "none")  # what is held at its foot, or not at all, needs no leg
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
    lines : round the bore, one a pour, the lowest first.
    lid_note : the lid's second line of lettering, or None.
    hold : how the insert is held, in the words of the job file.
    held_by : what the mould has for that beside the lid's legs, or None.
    tenon_mm : radius and depth of the recess for a tenon, 0 with none [mm].
    released_by : what the mould has so that the blank comes out.
    lifted : whether the blank is pushed out upward.
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
    lines: tuple[FillLine, ...] = ()
    lid_note: Label | None = None
    hold: str = "lid"
    held_by: HoldDown | None = None
    tenon_mm: tuple[float, float] = (0.0, 0.0)
    released_by: tuple[Feature, ...] = ()
    lifted: bool = False

    @property
    def insert_foot_mm(self) -> float:
        """Height of the insert's lower end [mm]."""
        return self.question.pip_mm

    @property
    def insert_top_mm(self) -> float:
        """Height of the insert's upper end [mm]."""
        return self.question.pip_mm + self.insert.length_mm

    @property
    def insert_middle_mm(self) -> float:
        """Height midway along the insert, where the finished piece has its middle [mm]."""
        return (self.insert_foot_mm + self.insert_top_mm) / 2.0

    @property
    def blank_mm(self) -> float:
        """Length of the blank along its piece's axis [mm]."""
        return self.size.fill_mm

    def with_second(self) -> CupPlan:
        """The same with a line at the blank's height, for a second pour.

        Without it where the blank is pushed out: resin in the line would keep it in.
        """
        if self.lifted:
            return self
        return replace(self, lines=topped_up(self.lines, self.size))

    @property
    def lid_genus(self) -> int:
        """Holes through the lid: the vents, the port, and those that hold it."""
        return len(self.vents) + (self.port is not None) + sum(f.lid_genus for f in self.features)

    @property
    def body_genus(self) -> int:
        """Holes through the body: a cup has none of its own."""
        return sum(feature.body_genus for feature in self.features)

    @property
    def features(self) -> tuple[Feature, ...]:
        """What is added to the plain body and lid."""
        held = () if self.held_by is None else (self.held_by,)
        return (*held, *self.released_by)

    @property
    def lid_labels(self) -> tuple[Label, ...]:
        """Every line of lettering on the lid."""
        return tuple(label for label in (self.lid_label, self.lid_note) if label is not None)


def plan_cup(
    question: SizeQuestion,
    size: Size,
    *,
    slide_mm: float,
    mould: Mould,
    piece: Piece,
    printer: Printer,
    mould_id: str,
    letter: str = "",
    resin_g_ml: float | None = None,
    layers: int = 1,
) -> CupPlan:
    """Place the features of a cup and its lid.

    question, size : the closed form.
    slide_mm : what the thickest expected insert takes up, with its sliding clearance; the
        sockets leave this much free on every side [mm].
    mould, piece, printer : the maker's tables.
    mould_id : lettered on both parts.
    letter : of a trial's rung, lettered before it; empty for none.
    resin_g_ml : density of the mixed resin, to letter what the mould takes; None leaves that
        out [g/ml].
    layers : pours that fill the mould by equal heights of the insert.

    Raises JobError where there is no room for a hold or a tenon that is asked for.
    """
    insert = question.insert
    remarks: list[Finding] = []
    grooves, ribs = _turns(mould.vent_grooves, aside=size.lid_inside)
    sockets = place_sockets(
        question,
        size,
        angles=ribs,
        slide_mm=slide_mm,
        piece=piece,
        grooved=bool(grooves),
        lifted=mould.knock_out,
    )
    if size.halves:
        from mouldgen.mould.split_hollow import kept_grooves, seated  # late: most moulds are cups

        sockets = seated(sockets, question, size)
        grooves, dropped = kept_grooves(grooves, size, question.groove_mm)
        remarks += dropped
    if size.follows:
        sockets = replace(sockets, lower=False, upper="none")
    else:
        remarks += socket_remarks(sockets, size, question)
    remarks += stand_remarks(insert)
    legs = () if mould.hold in LEGLESS else legs_on(insert.upper)
    port = _port(legs, sockets, size.lid_bore_mm)
    if port is None:
        remarks.append(_no_port())
    turns = VENT_TURNS if insert.ends is None else (*VENT_TURNS, *MORE_TURNS)
    vents = _vents(legs, port, sockets, size.lid_bore_mm, turns=turns)
    held_by, more = _held_by(
        question, size, mould, piece, sockets=sockets, legs=legs, layer_mm=printer.layer
    )
    remarks += more
    pips = _pips(question, size, mould)
    remarks += _tenon_remarks(mould, size, piece)
    on_body = on_lid = note = None
    if mould.lettering:
        texts = label_texts(mould_id, size.gap_mm, letter=letter)
        stroke = stroke_of(printer.line)
        on_body = _body_label(texts, size, stroke, grooves=len(grooves))
        holes = [*vents, *([port] if port else [])]
        edge = (size.reach_mm if mould.hold == "tape" else size.lid_reach_mm) - LABEL_EDGE
        on_lid = lid_label(texts, size, stroke, holes=holes, edge_mm=edge)
        if on_lid is None or (on_body is None and not size.follows):
            remarks.append(_no_lettering(on_body, on_lid))
        if on_lid is not None and resin_g_ml is not None:
            notes = note_texts(size.net_ml, (size.net_ml + size.riser_ml) * resin_g_ml)
            note = second_label(notes, stroke, holes=holes, first=on_lid, edge_mm=edge)
            if note is None or note.text != notes[0]:
                remarks.append(_short_note(notes[0], note))
    plan = CupPlan(
        insert=insert,
        size=size,
        question=question,
        sides=segments(size.across_mm, chord_mm=mould.chord),
        chord_mm=mould.chord,
        groove_angles=grooves,
        sockets=sockets,
        pips=pips,
        centre_pip=(min(1.5, 0.25 * insert.lower.outer_mm), 0.7 * question.pip_mm),
        legs=legs,
        vents=vents,
        port=port,
        body_label=on_body,
        lid_label=on_lid,
        remarks=tuple(remarks),
        lines=fill_lines(question, size, layers=layers, lifted=mould.knock_out),
        lid_note=note,
        hold=mould.hold,
        held_by=held_by,
        tenon_mm=(0.0, 0.0) if mould.tenon is None else (mould.tenon / 2.0, mould.tenon_length),
        lifted=mould.knock_out,
    )
    return _with_release(plan, mould, printer) if mould.knock_out or mould.score else plan


def _with_release(plan: CupPlan, mould: Mould, printer: Printer) -> CupPlan:
    from mouldgen.mould.release import released_by  # late: most moulds are turned away

    features, uses = released_by(plan, mould, printer)
    return replace(plan, released_by=features, remarks=(*plan.remarks, *uses))


def _held_by(
    question: SizeQuestion,
    size: Size,
    mould: Mould,
    piece: Piece,
    *,
    sockets: Sockets,
    legs: tuple[Round, ...],
    layer_mm: float,
) -> tuple[HoldDown | None, tuple[Finding, ...]]:
    """What holds lid or insert, where that is more than the lid's own weight and legs."""
    # Read late: most moulds have neither, and none has both.
    if mould.lid_screws:
        from mouldgen.mould.ears import place_ears

        return place_ears(question, size, mould), ()
    if mould.hold in ("lid", "none"):
        return None, ()
    from mouldgen.mould.hold import Site, hold_down

    return hold_down(
        Site(
            question=question,
            size=size,
            mould=mould,
            piece=piece,
            sockets=sockets,
            legs=legs,
            layer_mm=layer_mm,
        )
    )


def _pips(question: SizeQuestion, size: Size, mould: Mould) -> tuple[Round, ...]:
    """What the insert stands on; glued down it stands on its pad."""
    if mould.hold == "glue":
        return ()
    if mould.tenon is None:
        return pips_under(question.insert.lower)
    from mouldgen.mould.tenon import pips_round_tenon

    return pips_round_tenon(question, size, mould.tenon)


def _tenon_remarks(mould: Mould, size: Size, piece: Piece) -> tuple[Finding, ...]:
    if mould.tenon is None:
        return ()
    from mouldgen.mould.tenon import tenon_findings

    return tenon_findings(mould, size, piece)


def _body_label(
    texts: tuple[str, ...], size: Size, stroke_mm: float, *, grooves: int
) -> Label | None:
    if size.follows:
        return None  # its wall has no flat: the lid has the lettering
    if size.halves:
        from mouldgen.mould.halves import back_label  # late: most moulds are cups

        return back_label(texts, size, stroke_mm)
    return body_label(texts, size, stroke_mm, grooves=grooves)


def _turns(grooves: int, *, aside: bool) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Angles of grooves and ribs; ribs stand midway between grooves, three with none.

    aside : keep both as far as they can off the x axis, where a runner or a parting plane is;
        the first rib is the one nearest to the y axis.
    """
    ribs = grooves or 3
    pitch = 360.0 / ribs
    if aside:
        ribs_at = [(k - 0.25) * pitch % 360.0 for k in range(ribs)]
        ribs_at.sort(key=lambda angle: abs(angle - 90.0))
        return tuple((k + 0.25) * pitch for k in range(grooves)), tuple(ribs_at)
    rib_angles = tuple(90.0 + k * pitch for k in range(ribs))
    groove_angles = tuple(90.0 + (k + 0.5) * pitch for k in range(grooves))
    return groove_angles, rib_angles


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
    legs: tuple[Round, ...],
    port: Round | None,
    sockets: Sockets,
    bore_mm: float,
    *,
    turns: tuple[float, ...],
) -> tuple[Round, ...]:
    """Up to three vents over the gap, away from legs and port; at least 2 mm wide."""
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


def _short_note(wanted: str, note: Label | None) -> Finding:
    there = "it is left out" if note is None else f"it says {note.text} only"
    return Finding(
        id="cup.short-lettering",
        rule="cup",
        severity="note",
        message=f"The lid has no room to be lettered {wanted} besides its id: {there}.",
        limit=LOWEST_LETTERS,
        place="lid",
    )
